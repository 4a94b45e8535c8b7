//! What is said of plants on more than one page.

use answers::plants::State;
use maud::{Markup, html};
use quantity::{Amount, Basis, Format, Unit};
use text::t;
use trial::act::Fate;
use trial::catalogue::Listing;
use trial::describe::{anchors, measure_name, measure_unit};
use trial::types::Measure;

use crate::pages::words::day;

/// A plant's name: italic when it is a scientific one.
pub(super) fn name(name: &str) -> Markup {
    html! {
        @if report::figures::is_scientific(name) { i lang="la" { (name) } } @else { (name) }
    }
}

pub(super) fn grams(value: f64) -> String {
    Format::default().amount(Amount::new(value, Unit::Gram))
}

/// `Stands, 154 days after planting`, or what became of it, on which day and how old.
pub(super) fn state(state: &State, age_days: Option<i64>) -> String {
    let age = match age_days {
        Some(n) => t!("plants.age", n = n),
        None => t!("plants.age_unknown").to_string(),
    };
    format!("{}, {age}", became(state))
}

/// What became of it, and on which day.
pub(super) fn became(state: &State) -> String {
    match state {
        State::Stands => t!("plants.stands").to_string(),
        State::Lost { day: on, .. } => t!("plants.lost", day = day(*on)),
        State::MovedOut { day: on, .. } => t!("plants.moved_out", day = day(*on)),
        State::Harvested { day: on, fate, .. } => match fate {
            Fate::PlantedBack => t!("plants.planted_back", day = day(*on)),
            Fate::Rehomed => t!("plants.rehomed", day = day(*on)),
            Fate::Disposed => t!("plants.disposed", day = day(*on)),
        },
    }
}

/// Scores and sizes in one line: `vigour 7, height 12 cm`.
pub(super) fn values(values: &[(Measure, f64)]) -> String {
    let each = values
        .iter()
        .map(|(m, v)| format!("{}\u{a0}{}", measure_name(*m), value(*m, *v)));
    each.collect::<Vec<_>>().join(", ")
}

/// A score alone, a size with its unit.
pub(super) fn value(measure: Measure, value: f64) -> String {
    let number = Format::default().significant(value, 3);
    match measure {
        Measure::Cover => Format::default().percent(value / 100.0),
        _ if anchors(measure).is_empty() => format!("{number}\u{a0}{}", measure_unit(measure)),
        _ => number,
    }
}

/// The lists that name a plant, with what a keeper of it must do.
pub(super) fn listings(all: &[Listing]) -> Markup {
    html! {
        ul { @for listing in all { li { (with_names(&listing.sentence())) } } }
        p { (t!("plants.check_law")) " " (t!("plants.never_release")) }
    }
}

/// Formulas and sources, each once.
pub(super) fn formulas(all: &[&Basis]) -> Markup {
    let once = |pick: fn(&Basis) -> &Vec<String>| {
        let mut found: Vec<&String> = Vec::new();
        for one in all.iter().flat_map(|b| pick(b)) {
            if !found.contains(&one) {
                found.push(one);
            }
        }
        found
    };
    html! {
        @for formula in once(|b| &b.formulas) { p { (formula) } }
        @for source in once(|b| &b.sources) { p.muted { (source) } }
    }
}

/// Names in the catalogue's remarks and in cautions that are not of its own plants.
const OTHER_NAMES: [&str; 7] = [
    "Hemianthus callitrichoides",
    "Eichhornia crassipes",
    "Echinodorus",
    "Microsorum",
    "Limnobium",
    "Myriophyllum",
    "Mycobacterium marinum",
];

/// A remark or listing with its scientific names in italics, shortened ones (`L. peploides`) too.
pub(super) fn with_names(text: &str) -> Markup {
    let mut pieces: Vec<(bool, &str)> = Vec::new();
    let mut rest = text;
    while let Some((at, length)) = next_name(rest) {
        pieces.push((false, &rest[..at]));
        pieces.push((true, &rest[at..at + length]));
        rest = &rest[at + length..];
    }
    pieces.push((false, rest));
    html! {
        @for (is_name, piece) in pieces {
            @if is_name { i lang="la" { (piece) } } @else { (piece) }
        }
    }
}

/// Where the first name begins and how long it is.
fn next_name(text: &str) -> Option<(usize, usize)> {
    let known = OTHER_NAMES
        .iter()
        .filter_map(|n| text.find(n).map(|at| (at, n.len())));
    known.chain(short_name(text)).min()
}

/// A capital with a full stop and an epithet behind it.
fn short_name(text: &str) -> Option<(usize, usize)> {
    let dots = text.match_indices(". ").map(|(at, _)| at);
    dots.filter_map(|dot| {
        let start = dot.checked_sub(1)?;
        let capital = text.as_bytes()[start].is_ascii_uppercase();
        let alone = start == 0 || !text.as_bytes()[start - 1].is_ascii_alphanumeric();
        let epithet = text[dot + 2..].bytes().take_while(u8::is_ascii_lowercase);
        let epithet = epithet.count();
        (capital && alone && epithet > 3).then_some((start, dot + 2 + epithet - start))
    })
    .next()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn scientific_names_in_remarks_are_italic() {
        let said = |text| with_names(text).into_string();
        assert_eq!(
            said("not the EU-listed L. grandiflora / L. peploides"),
            "not the EU-listed <i lang=\"la\">L. grandiflora</i> / <i lang=\"la\">L. peploides</i>"
        );
        assert_eq!(
            said("formerly Limnobium"),
            "formerly <i lang=\"la\">Limnobium</i>"
        );
        for plain in [
            "Reg. 1143/2014, Impl. Reg. 2016/1141",
            "trim flat. Often",
            "",
        ] {
            assert_eq!(said(plain), plain);
        }
    }

    #[test]
    fn a_score_has_no_unit_and_a_size_has() {
        let said = values(&[
            (Measure::Vigour, 7.0),
            (Measure::Height, 12.5),
            (Measure::Cover, 80.0),
        ]);
        assert_eq!(
            said.replace('\u{a0}', " "),
            "vigour 7, height 12.5 cm, cover 80 %"
        );
    }
}
