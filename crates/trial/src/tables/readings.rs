//! Water tests: one row for each reading and tank.

use super::column::{Column, ColumnKind, key_of, number, opt, show};
use super::head::{Own, per_tank};
use super::line::{Line, RowProblem};
use super::{EntryTable, seen};
use crate::act::{Reading, ReadingOf};
use crate::{Act, Bench, Card, Entry, Seen, TankId};
use quantity::{Analyte, Interval, Means};

pub(crate) const TABLE: EntryTable = EntryTable {
    name: "readings",
    about: "Water tests. A reading is an interval: an open end is an empty cell",
    kinds: &["reading"],
    own: OWN,
    also_read: ALSO,
    marks: &["analyte"],
    rows,
    act: Some(act),
};

const OWN: &[Column] = &[
    Column::new("analyte", ColumnKind::Word, "What was tested, by its key"),
    Column::new(
        "unit",
        ColumnKind::Word,
        "Unit of low, high and seen; empty for pH",
    ),
    Column::new(
        "means",
        ColumnKind::Word,
        "ion when numbers count the ion (NO3), element (N)",
    ),
    Column::new(
        "seen",
        ColumnKind::Word,
        "What was seen on the card or meter, in words",
    ),
    Column::new("low", ColumnKind::Number, "Lower end; empty when open"),
    Column::new("high", ColumnKind::Number, "Upper end; empty when open"),
    Column::new("ion_low", ColumnKind::Number, "Lower end as the ion"),
    Column::new("ion_high", ColumnKind::Number, "Upper end as the ion"),
    Column::new(
        "card",
        ColumnKind::Text,
        "Name of the colour card, see cards.csv",
    ),
    Column::new("of", ColumnKind::Word, "sample, blank or standard"),
    Column::new(
        "standard_value",
        ColumnKind::Number,
        "What the standard was made up to",
    ),
    Column::new(
        "water",
        ColumnKind::Text,
        "The source water tested, when not a tank's",
    ),
    Column::new(
        "dilution",
        ColumnKind::Number,
        "Parts made up to one part sample",
    ),
    Column::new("lot", ColumnKind::Text, "Reagent lot"),
    Column::new("opened", ColumnKind::Date, "When the reagent was opened"),
    Column::new("expires", ColumnKind::Date, "When the reagent expires"),
    Column::number("waited_min", "min", "Minutes waited before reading"),
    Column::new(
        "viewing_light",
        ColumnKind::Text,
        "The light it was read in",
    ),
];

const ALSO: &[Column] = &[
    Column::new(
        "value",
        ColumnKind::Number,
        "A step of the card, or a meter's value",
    ),
    Column::new(
        "error",
        ColumnKind::Number,
        "A meter's stated error, plus or minus",
    ),
];

fn rows(bench: &Bench, entry: &Entry) -> Vec<Own> {
    let Act::Reading(r) = &entry.act else {
        return vec![];
    };
    let ion = r.as_ion();
    let (of, standard) = match r.of {
        ReadingOf::Sample => ("sample", None),
        ReadingOf::Blank => ("blank", None),
        ReadingOf::Standard { value } => ("standard", Some(value)),
    };
    let card = r.card.map(|id| {
        bench
            .card(id)
            .map_or_else(|| id.to_string(), |c| c.name.clone())
    });
    let water = r.water.map(|id| {
        bench
            .water(id)
            .map_or_else(|| id.to_string(), |w| w.name.clone())
    });
    let cells = vec![
        ("analyte", r.analyte.key().to_string()),
        ("unit", r.analyte.unit().to_string()),
        ("means", key_of(&r.means)),
        ("seen", seen::words(r.seen)),
        ("low", opt(r.interval.low())),
        ("high", opt(r.interval.high())),
        ("ion_low", opt(ion.low())),
        ("ion_high", opt(ion.high())),
        ("card", card.unwrap_or_default()),
        ("of", of.to_string()),
        ("standard_value", opt(standard)),
        ("water", water.unwrap_or_default()),
        ("dilution", opt(r.dilution)),
        ("lot", r.lot.clone()),
        ("opened", show(r.opened)),
        ("expires", show(r.expires)),
        ("waited_min", opt(r.waited_min)),
        ("viewing_light", r.viewing_light.clone()),
    ];
    per_tank(entry, cells)
}

fn act(line: &Line<'_>, _tanks: &[TankId]) -> Result<Act, RowProblem> {
    let analyte = Analyte::from_word(line.word("analyte")).ok_or_else(|| {
        let known: Vec<&str> = Analyte::all().map(Analyte::key).collect();
        line.problem(
            "analyte",
            format!("accepted is one of {}", known.join(", ")),
        )
    })?;
    let unit = line.word("unit");
    if !unit.is_empty() && unit != analyte.unit() {
        return Err(line.problem(
            "unit",
            format!(
                "readings of {} are in \"{}\"",
                analyte.name(),
                analyte.unit()
            ),
        ));
    }
    let card = card(line, analyte)?;
    let means = line
        .key::<Means>("means", "ion, element")?
        .unwrap_or_else(|| card.map_or(Means::Ion, |c| c.means));
    let dilution = line.number("dilution")?;
    let (seen, given) = seen_and_result(line, card)?;
    let interval = match given {
        Some(interval) => interval,
        None => result(line, card, seen, dilution)?,
    };
    Ok(Act::Reading(Reading {
        analyte,
        seen,
        card: card.map(|c| c.id),
        means,
        interval,
        water: water(line)?,
        dilution,
        of: of(line)?,
        lot: line.text("lot"),
        opened: line.date("opened")?,
        expires: line.date("expires")?,
        waited_min: line.number("waited_min")?,
        viewing_light: line.text("viewing_light"),
    }))
}

/// The card of this name that tests this analyte.
fn card<'a>(line: &Line<'a>, analyte: Analyte) -> Result<Option<&'a Card>, RowProblem> {
    if !line.has("card") {
        return Ok(None);
    }
    let fitting = line.bench.cards.iter().filter(|c| c.analyte == analyte);
    let found = line.named("card", fitting.clone(), |c| &c.name, "cards")?;
    found.map(Some).ok_or_else(|| {
        let known: Vec<&str> = fitting.map(|c| c.name.as_str()).collect();
        line.problem(
            "card",
            format!(
                "accepted for {} is one of {}",
                analyte.key(),
                known.join(", ")
            ),
        )
    })
}

/// What was seen, and the result where the row gives both.
fn seen_and_result(
    line: &Line<'_>,
    card: Option<&Card>,
) -> Result<(Seen, Option<Interval>), RowProblem> {
    let (low, high) = (line.number("low")?, line.number("high")?);
    if line.has("seen") {
        let says = "accepted is step 6, between 6 and 12, at least 3, at most 3, meter 6.8, or \
                    meter 6.8 plus or minus 0.1";
        let seen = seen::read(line.word("seen")).ok_or_else(|| line.problem("seen", says))?;
        let given = Interval::new(low, high).map_err(|e| line.problem("low", e.to_string()))?;
        return Ok((seen, (given != Interval::UNBOUNDED).then_some(given)));
    }
    if line.has("value") {
        let value = line.number("value")?.unwrap_or_default();
        let seen = match card {
            Some(_) => Some(Seen::Step { step: value }),
            None => seen::meter(line.word("value"), line.number("error")?),
        };
        // The cell has just been read as a number, so a meter's value is always there.
        return Ok((seen.unwrap_or(Seen::Step { step: value }), None));
    }
    match (low, high) {
        (Some(low), Some(high)) => Ok((Seen::Between { low, high }, None)),
        (Some(value), None) => Ok((Seen::AtLeast { value }, None)),
        (None, Some(value)) => Ok((Seen::AtMost { value }, None)),
        (None, None) => Err(line.problem(
            "value",
            "is empty; accepted is a number here, or low and high, or words in a column seen",
        )),
    }
}

/// The interval as the card is now, dilution included.
fn result(
    line: &Line<'_>,
    card: Option<&Card>,
    seen: Seen,
    dilution: Option<f64>,
) -> Result<Interval, RowProblem> {
    let column = ["seen", "value", "low"]
        .into_iter()
        .find(|c| line.has(c))
        .unwrap_or("high");
    let interval = match card {
        Some(card) => card.interval(seen),
        None => seen.interval(),
    }
    .map_err(|e| line.problem(column, e.to_string()))?;
    let times = dilution.unwrap_or(1.0);
    if times < 1.0 {
        return Err(line.problem("dilution", "accepted is 1 (undiluted) or more"));
    }
    interval
        .map_increasing(|v| v * times)
        .map_err(|e| line.problem(column, e.to_string()))
}

fn of(line: &Line<'_>) -> Result<ReadingOf, RowProblem> {
    match line.word("of").to_lowercase().as_str() {
        "" | "sample" => Ok(ReadingOf::Sample),
        "blank" => Ok(ReadingOf::Blank),
        "standard" => {
            let value = line.number("standard_value")?;
            let value = line.need("standard_value", value, "what the standard was made up to")?;
            Ok(ReadingOf::Standard { value })
        }
        _ => Err(line.problem("of", "accepted is one of sample, blank, standard")),
    }
}

fn water(line: &Line<'_>) -> Result<Option<crate::WaterId>, RowProblem> {
    super::changes::water(line, "water")
}

/// Kept here so that a card's steps are printed the same way everywhere.
pub(crate) fn steps(card: &Card) -> String {
    card.steps
        .iter()
        .map(|s| number(*s))
        .collect::<Vec<_>>()
        .join(" ")
}
