//! Settings changed: one row for each tank.

use super::EntryTable;
use super::column::{Column, ColumnKind, opt, show};
use super::head::{Own, per_tank};
use super::line::{Line, RowProblem};
use crate::act::Setting;
use crate::{Act, Bench, Entry, TankId};

pub(crate) const TABLE: EntryTable = EntryTable {
    name: "settings",
    about: "Settings as they were changed; an empty cell stayed as it was",
    kinds: &["setting"],
    own: OWN,
    also_read: &[],
    marks: &[
        "photoperiod_h",
        "light_on_at",
        "timer_clock",
        "dimming_pct",
        "lamp_height_cm",
        "gas_on_after_light_min",
        "gas_off_after_light_min",
        "surface",
        "temperature_c",
        "flow_l_h",
    ],
    rows,
    act: Some(act),
};

const OWN: &[Column] = &[
    Column::number("photoperiod_h", "h", "Hours of light a day"),
    Column::new("light_on_at", ColumnKind::Time, "When the lamp goes on"),
    Column::new(
        "timer_clock",
        ColumnKind::Text,
        "The clock its timer follows",
    ),
    Column::number("dimming_pct", "%", "Percent of full power"),
    Column::number("lamp_height_cm", "cm", "Lamp height above the water"),
    Column::number(
        "gas_on_after_light_min",
        "min",
        "Gas on, minutes after the lamp",
    ),
    Column::number(
        "gas_off_after_light_min",
        "min",
        "Gas off, minutes after the lamp goes off",
    ),
    Column::new("surface", ColumnKind::Text, "Surface agitation, in words"),
    Column::number("temperature_c", "degC", "Heater set point"),
    Column::number("flow_l_h", "L/h", "Filter flow"),
];

fn rows(_bench: &Bench, entry: &Entry) -> Vec<Own> {
    let Act::Setting(s) = &entry.act else {
        return vec![];
    };
    let cells = vec![
        ("photoperiod_h", opt(s.photoperiod_h)),
        ("light_on_at", show(s.light_on_at)),
        ("timer_clock", s.timer_clock.clone().unwrap_or_default()),
        ("dimming_pct", opt(s.dimming_pct)),
        ("lamp_height_cm", opt(s.lamp_height_cm)),
        ("gas_on_after_light_min", opt(s.gas_on_after_light_min)),
        ("gas_off_after_light_min", opt(s.gas_off_after_light_min)),
        ("surface", s.surface.clone().unwrap_or_default()),
        ("temperature_c", opt(s.temperature_c)),
        ("flow_l_h", opt(s.flow_l_h)),
    ];
    per_tank(entry, cells)
}

fn act(line: &Line<'_>, _tanks: &[TankId]) -> Result<Act, RowProblem> {
    let words = |column| line.has(column).then(|| line.text(column));
    Ok(Act::Setting(Setting {
        photoperiod_h: line.number("photoperiod_h")?,
        light_on_at: line.time("light_on_at")?,
        timer_clock: words("timer_clock"),
        dimming_pct: line.number("dimming_pct")?,
        lamp_height_cm: line.number("lamp_height_cm")?,
        gas_on_after_light_min: line.number("gas_on_after_light_min")?,
        gas_off_after_light_min: line.number("gas_off_after_light_min")?,
        surface: words("surface"),
        temperature_c: line.number("temperature_c")?,
        flow_l_h: line.number("flow_l_h")?,
    }))
}
