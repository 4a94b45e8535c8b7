//! Trials, their phases, tanks and lamps.

use super::super::column::{Column, ColumnKind, RowCells, key_of, number, opt, show};
use super::{CURRENCY, ID, NOTE, SetupTable, TRIAL, joined, money};
use crate::Bench;
use crate::types::{Better, Outcome};

use ColumnKind::{Count, Date, Number, Text, Time, Word, YesNo};

pub(super) const TRIALS: SetupTable = SetupTable {
    name: "trials",
    about: "The trials, each with its question and what decides it",
    of_trial: true,
    columns: &[
        ID,
        Column::new("title", Text, "Short title"),
        Column::new("question", Text, "The question, in the keeper's words"),
        Column::new(
            "invented",
            YesNo,
            "Whether the data are made up for a demonstration",
        ),
        Column::new("made_by", Text, "How invented data were made"),
        Column::new("start", Date, "First day"),
        Column::new("zone", Word, "Time zone in which days are counted"),
        Column::new("keeper", Text, "Who keeps it"),
        Column::new("arms", Text, "The arms: key, name and which is the control"),
        Column::new(
            "differ",
            Text,
            "What is meant to differ, with its level in each arm",
        ),
        Column::new("equal", Text, "What is meant to be equal"),
        Column::new(
            "primary_outcome",
            Text,
            "The outcome the question is decided on",
        ),
        Column::new("secondary_outcomes", Text, "The other outcomes"),
        Column::new("stop_rule", Text, "The welfare stop rule"),
        Column::new(
            "lot_seed",
            Word,
            "Seed of the draw of tanks to arms; empty when it was drawn on paper",
        ),
        Column::new("lot_method", Text, "How the draw was made"),
        Column::new("lot_drawn", Date, "The day of the draw"),
        Column::new("lot_by", Text, "Who drew"),
        Column::new(
            "lot_result",
            Text,
            "What a draw on paper gave: each tank with its arm",
        ),
        Column::new(
            "disclosures",
            Text,
            "Gifts, discounts and payments to disclose",
        ),
        Column::new("next_step", Text, "What the keeper will do next"),
        Column::new("price", Number, "Price of one kilowatt-hour"),
        CURRENCY,
        Column::new(
            "kept_ranges",
            Text,
            "The range each analyte is kept in, as the ion",
        ),
        Column::new(
            "absences",
            Text,
            "When the keeper is away: first and last day, who helps, note",
        ),
    ],
    rows: trials,
};

pub(super) const PHASES: SetupTable = SetupTable {
    name: "phases",
    about: "Phases of the trials in order",
    of_trial: true,
    columns: &[
        TRIAL,
        Column::new(
            "phase",
            Word,
            "establishing, baseline, treatment, after_switch or end",
        ),
        Column::new("from", Date, "First day"),
        Column::new("to", Date, "Day after the last; empty while it runs"),
        NOTE,
    ],
    rows: phases,
};

pub(super) const TANKS: SetupTable = SetupTable {
    name: "tanks",
    about: "The tanks; lengths are inner",
    of_trial: true,
    columns: &[
        TRIAL,
        ID,
        Column::new("name", Text, "Name"),
        Column::new("place", Count, "Place from the left, from 0"),
        Column::new("arm", Text, "Key of its arm"),
        Column::number("length_cm", "cm", "Left to right"),
        Column::number("width_cm", "cm", "Front to back"),
        Column::number("height_cm", "cm", "Height"),
        Column::number("water_depth_cm", "cm", "Water level above the floor"),
        Column::number("water_l", "L", "Water volume, as measured or computed"),
        Column::number("water_l_low", "L", "Lower end of a computed volume"),
        Column::number("water_l_high", "L", "Upper end of a computed volume"),
        Column::new("walls", Word, "glass, black, white or film"),
        Column::new("substrate", Text, "Layers, lowest first"),
        Column::number("hardscape_l", "L", "Volume of stones and wood"),
        Column::new("filter", Text, "Filter"),
        Column::number("filter_flow_l_h", "L/h", "Its flow"),
        Column::number("heater_w", "W", "Heater, rated power"),
        Column::number("heater_set_c", "degC", "Its set point"),
        Column::new("gas", Text, "CO2 supply; empty when none is added"),
        Column::new("livestock", Text, "Livestock at the start"),
        NOTE,
    ],
    rows: tanks,
};

pub(super) const LAMPS: SetupTable = SetupTable {
    name: "lamps",
    about: "Lamps over the tanks as they were at the start; later changes are in settings.csv",
    of_trial: true,
    columns: &[
        TRIAL,
        Column::new("tank", Text, "Name of the tank"),
        Column::new("lamp", Text, "Name of the lamp"),
        Column::number("lumens", "lm", "Stated luminous flux at full power"),
        Column::number("watts", "W", "Power drawn at full power"),
        Column::number("ppf_umol_s", "umol/s", "Stated photon flux, 400 to 700 nm"),
        Column::number("height_cm", "cm", "Height above the water"),
        Column::number("length_cm", "cm", "Length of the lit part"),
        Column::number("width_cm", "cm", "Width of the lit part"),
        Column::number("dimming_pct", "%", "Percent of full power"),
        Column::number("photoperiod_h", "h", "Hours a day"),
        Column::new("on_at", Time, "When it goes on"),
    ],
    rows: lamps,
};

fn outcome(o: &Outcome) -> String {
    let better = match o.better {
        Better::More => "more is better".to_string(),
        Better::Less => "less is better".to_string(),
        Better::Target { value } => format!("nearer to {} is better", number(value)),
    };
    let plant = o
        .plant
        .as_ref()
        .map(|p| format!(" of {p}"))
        .unwrap_or_default();
    format!("{} ({}{plant}; {better})", o.name, key_of(&o.measure))
}

fn trials(bench: &Bench) -> Vec<RowCells> {
    let t = &bench.trial;
    let arms = t.arms.iter().map(|a| {
        let control = if a.control { ", control" } else { "" };
        format!("{}: {}{control}", a.key, a.name)
    });
    let differ = t.differ.iter().map(|f| {
        let levels: Vec<_> = f
            .levels
            .iter()
            .map(|l| format!("{}: {}", l.arm, l.value))
            .collect();
        format!("{} ({})", f.name, levels.join(", "))
    });
    let equal = t.equal.iter().map(|e| match e.value.is_empty() {
        true => e.name.clone(),
        false => format!("{}: {}", e.name, e.value),
    });
    let ranges = t.kept_ranges.iter().map(|r| {
        format!(
            "{} {} to {}",
            r.analyte.key(),
            number(r.low),
            number(r.high)
        )
    });
    let mut cells = vec![
        ("id", t.id.to_string()),
        ("title", t.title.clone()),
        ("question", t.question.clone()),
        ("invented", t.invented.to_string()),
        ("made_by", show(t.made_by.as_ref())),
        ("start", show(t.start)),
        ("zone", t.zone.clone()),
        ("keeper", show(t.keeper.as_ref())),
        ("arms", joined(arms)),
        ("differ", joined(differ)),
        ("equal", joined(equal)),
        (
            "primary_outcome",
            t.primary.as_ref().map(outcome).unwrap_or_default(),
        ),
        (
            "secondary_outcomes",
            joined(t.secondary.iter().map(outcome)),
        ),
        ("stop_rule", show(t.stop_rule.as_ref())),
        ("lot_seed", show(t.lot.as_ref().and_then(|l| l.seed))),
        ("lot_method", show(t.lot.as_ref().map(|l| &l.method))),
        ("lot_drawn", show(t.lot.as_ref().map(|l| l.drawn))),
        ("lot_by", show(t.lot.as_ref().map(|l| &l.by))),
        ("lot_result", show(t.lot.as_ref().map(|l| &l.result))),
        ("disclosures", joined(t.disclosures.iter().cloned())),
        ("next_step", show(t.next_step.as_ref())),
        ("kept_ranges", joined(ranges)),
        ("absences", joined(t.absences.iter().map(absence))),
    ];
    cells.extend(money(&t.electricity_per_kwh));
    vec![cells]
}

fn absence(a: &crate::types::Absence) -> String {
    let said = [a.who_helps.as_str(), a.note.as_str()];
    let said = said.into_iter().filter(|s| !s.is_empty());
    std::iter::once(format!("{} to {}", a.from, a.to))
        .chain(said.map(str::to_owned))
        .collect::<Vec<_>>()
        .join(", ")
}

fn phases(bench: &Bench) -> Vec<RowCells> {
    let row = |p: &crate::types::Phase| {
        vec![
            ("trial", bench.trial.title.clone()),
            ("phase", key_of(&p.kind)),
            ("from", p.from.to_string()),
            ("to", show(p.to)),
            ("note", p.note.clone()),
        ]
    };
    bench.trial.phases.iter().map(row).collect()
}

fn tanks(bench: &Bench) -> Vec<RowCells> {
    let row = |t: &crate::Tank| {
        let layer = |l: &crate::tank::SubstrateLayer| {
            let depth = l
                .depth_cm
                .map(|d| format!(" {} cm", number(d)))
                .unwrap_or_default();
            let mass = l
                .mass_kg
                .map(|m| format!(" {} kg", number(m)))
                .unwrap_or_default();
            format!("{}{depth}{mass}", l.material)
        };
        let gas = t.gas.as_ref().map(|g| match g.note.is_empty() {
            true => key_of(&g.supply),
            false => format!("{}: {}", key_of(&g.supply), g.note),
        });
        let animals = t
            .livestock
            .iter()
            .map(|l| format!("{} {}", l.count, l.species));
        let water = t.water_l();
        vec![
            ("trial", bench.trial.title.clone()),
            ("id", t.id.to_string()),
            ("name", t.name.clone()),
            ("place", t.place.to_string()),
            ("arm", show(t.arm.as_ref())),
            ("length_cm", opt(t.length_cm)),
            ("width_cm", opt(t.width_cm)),
            ("height_cm", opt(t.height_cm)),
            ("water_depth_cm", opt(t.water_depth_cm)),
            ("water_l", opt(water.value)),
            ("water_l_low", opt(water.low)),
            ("water_l_high", opt(water.high)),
            ("walls", key_of(&t.walls)),
            ("substrate", joined(t.substrate.iter().map(layer))),
            ("hardscape_l", opt(t.hardscape_l)),
            ("filter", show(t.filter.as_ref().map(|f| &f.kind))),
            (
                "filter_flow_l_h",
                opt(t.filter.as_ref().and_then(|f| f.flow_l_h)),
            ),
            ("heater_w", opt(t.heater.as_ref().and_then(|h| h.watts))),
            ("heater_set_c", opt(t.heater.as_ref().and_then(|h| h.set_c))),
            ("gas", gas.unwrap_or_default()),
            ("livestock", joined(animals)),
            ("note", t.note.clone()),
        ]
    };
    bench.tanks.iter().map(row).collect()
}

fn lamps(bench: &Bench) -> Vec<RowCells> {
    let row = |tank: &crate::Tank, l: &crate::tank::Lamp| {
        vec![
            ("trial", bench.trial.title.clone()),
            ("tank", tank.name.clone()),
            ("lamp", l.name.clone()),
            ("lumens", opt(l.lumens)),
            ("watts", opt(l.watts)),
            ("ppf_umol_s", opt(l.ppf_umol_s)),
            ("height_cm", opt(l.height_cm)),
            ("length_cm", opt(l.length_cm)),
            ("width_cm", opt(l.width_cm)),
            ("dimming_pct", opt(l.dimming_pct)),
            ("photoperiod_h", opt(l.photoperiod_h)),
            ("on_at", show(l.on_at)),
        ]
    };
    bench
        .tanks
        .iter()
        .flat_map(|t| t.lamps.iter().map(move |l| row(t, l)))
        .collect()
}
