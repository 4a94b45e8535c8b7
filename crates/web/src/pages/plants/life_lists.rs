//! What was cut from what, weighed, done, seen and photographed of one planting.

use answers::compare::{LineMasses, Standing};
use answers::plants::{Cut, Life, LifeEvent, Look, Node};
use maud::{Markup, Render, html};
use quantity::{Estimate, Format};
use text::t;
use trial::EntryId;
use trial::describe::{anchors, measure_name, measure_unit};
use trial::types::Measure;

use super::{growth, planting_path, said, shot};
use crate::TrialPage;
use crate::pages::entry::entry_path;
use crate::pages::words::{capital, day, said as sentence};
use crate::parts::disclosure::working;
use crate::parts::empty::empty;
use crate::parts::series::tank_name;
use crate::parts::table::{Column, Table};

/// Pictures on the page; the rest are on the page of pictures.
const PICTURES: usize = 12;

/// The line of descent as a list in lists, so that a screen reader tells its depth.
pub(super) fn descent(page: &TrialPage, life: &Life) -> Markup {
    let alone = life.descent.size() == 1;
    html! {
        ul.descent { (node(page, life, &life.descent)) }
        @if alone { p.muted { (t!("plants.descent_alone")) } }
        @else { p.muted { (t!("plants.descent_note", n = life.descent.size())) } }
    }
}

fn node(page: &TrialPage, life: &Life, one: &Node) -> Markup {
    let here = one.planting.id == life.planting.id;
    let tank = page.bench.tank(one.tank);
    let title = html! {
        @if let Some(tank) = tank { (tank_name(tank.place, &tank.name)) }
        @if !one.planting.label.is_empty() { ", " (one.planting.label) }
    };
    html! {
        li {
            p aria-current=[here.then_some("true")] {
                @if here { strong { (title) } " " span.muted { (t!("plants.this_one")) } }
                @else { a href=(planting_path(page, one.planting.id)) { (title) } }
            }
            p.small.muted { (began(page, one)) (said::became(&one.state)) "." }
            @if !one.children.is_empty() {
                ul { @for child in &one.children { (node(page, life, child)) } }
            }
        }
    }
}

/// How it began: the cuttings with their entries, or the mass planted.
fn began(page: &TrialPage, one: &Node) -> Markup {
    let p = &one.planting;
    html! {
        @for cut in &one.cuts { (cuttings(cut)) ", " a href=(entry_path(page, cut.entry)) { (day(cut.day)) } ". " }
        @if one.cuts.is_empty() {
            @if let Some(planted) = p.planted { (t!("plants.planted_on", day = day(planted))) }
            @if let Some(grams) = p.fresh_g { ", " (said::grams(grams)) }
            @if p.planted.is_some() || p.fresh_g.is_some() { ". " }
        }
    }
}

fn cuttings(cut: &Cut) -> String {
    let many = match cut.count {
        Some(n) => t!("plants.cuttings_n", n = n),
        None => t!("plants.cuttings").to_string(),
    };
    match cut.fresh_g {
        Some(grams) => format!("{many}, {}", said::grams(grams)),
        None => many,
    }
}

/// The account of the line's masses: what stood, what left, what came back, what was made.
pub(super) fn masses(page: &TrialPage, life: &Life) -> Markup {
    let Some(line) = &life.masses else {
        return html! { p { (t!("plants.no_mass")) } };
    };
    if line.standing.is_empty() && line.moved.is_empty() {
        return html! { p { (t!("plants.no_mass")) } };
    }
    let several = line.members.len() > 1;
    html! {
        @if several { p { (t!("plants.masses_line", n = line.members.len())) } }
        (account(page, line))
        @match (line.made.refusal(), line.start, line.end) {
            (None, Some(start), Some(end)) => {
                p {
                    (t!("plants.made",
                        end = said::grams(end.value),
                        out = said::grams(line.out),
                        back = said::grams(line.back),
                        start = said::grams(start.value)))
                    " " strong.interval { (Format::default().estimate(&line.made, 3)) "\u{a0}g." }
                }
                p { (t!("plants.growth")) ": " (growth(line)) "." }
            },
            _ => { p { (t!("plants.growth_refused")) } },
        }
        (working(&basis(page, line)))
    }
}

enum Line<'a> {
    Standing(&'a Standing),
    Moved(&'a answers::compare::MassMoved),
}

fn account(page: &TrialPage, line: &LineMasses) -> Markup {
    let columns = [
        Column::words(t!("plants.col_day")),
        Column::words(t!("plants.col_what")),
        Column::numbers(t!("plants.col_standing"), "g"),
        Column::numbers(t!("plants.col_out"), "g"),
        Column::numbers(t!("plants.col_back"), "g"),
    ];
    let standing = line.standing.iter().map(|s| (s.day, 0, Line::Standing(s)));
    let moved = line.moved.iter().map(|m| (m.day, 1, Line::Moved(m)));
    let mut all: Vec<(jiff::civil::Date, u8, Line<'_>)> = standing.chain(moved).collect();
    // What stood before a cut comes before the cut.
    all.sort_by_key(|(on, order, _)| (*on, *order));
    let mut table = Table::new(t!("plants.masses_caption"), &columns).stacked();
    for (on, _, one) in all {
        table = match one {
            Line::Standing(s) => {
                let what = match (s.from_cut, s.entry) {
                    (true, _) => t!("plants.reckoned"),
                    (false, None) => t!("plants.as_planted"),
                    (false, Some(_)) => t!("plants.weighed_whole"),
                };
                table.row([
                    dated(page, on, s.entry),
                    html! { (what) },
                    html! { (grams(&s.before)) },
                    html! {},
                    html! {},
                ])
            }
            Line::Moved(m) => {
                let what = if m.back {
                    t!("plants.back_in")
                } else {
                    t!("plants.taken_out")
                };
                let mass = Format::default().significant(m.grams, 4);
                let (out, back) = if m.back {
                    ("", mass.as_str())
                } else {
                    (mass.as_str(), "")
                };
                table.row([
                    dated(page, on, Some(m.entry)),
                    html! { (what) },
                    html! {},
                    html! { (out) },
                    html! { (back) },
                ])
            }
        };
    }
    table.render()
}

/// A mass as its bounds, with the best value where it was weighed.
fn grams(mass: &Estimate) -> String {
    Format::default().estimate(mass, 3)
}

fn dated(page: &TrialPage, on: jiff::civil::Date, entry: Option<EntryId>) -> Markup {
    html! {
        @match entry {
            Some(entry) => a href=(entry_path(page, entry)) { (on) },
            None => (on),
        }
    }
}

fn basis(page: &TrialPage, line: &LineMasses) -> Markup {
    let mut records: Vec<&String> = Vec::new();
    for record in line
        .made
        .basis
        .records
        .iter()
        .chain(&line.growth.basis.records)
    {
        if !records.contains(&record) {
            records.push(record);
        }
    }
    html! {
        p { (t!("plants.growth_note")) }
        (said::formulas(&[&line.made.basis, &line.growth.basis]))
        @if !records.is_empty() {
            p {
                (t!("compare.records")) ": "
                @for (i, record) in records.iter().enumerate() {
                    @if i > 0 { ", " }
                    a href={ (page.path()) "/entries/" (record) } { (t!("compare.record", n = i + 1)) }
                }
            }
        }
    }
}

/// What was done, newest last, each with the way to correct it.
pub(super) fn events(page: &TrialPage, life: &Life) -> Markup {
    html! {
        @if life.events.is_empty() { p { (t!("plants.nothing_done")) } }
        ul.rows { @for event in &life.events { li { (event_row(page, event)) } } }
    }
}

fn event_row(page: &TrialPage, event: &LifeEvent) -> Markup {
    let line = &event.line;
    let at = entry_path(page, line.id);
    html! {
        span.rows-main {
            time.muted datetime=(line.day) { (day(line.day)) } " " (sentence(&capital(&line.sentence), &page.bench))
            @for other in &event.others {
                @if let Some(p) = page.bench.planting(*other) {
                    " " a href=(planting_path(page, *other)) {
                        (t!("plants.to_other")) span.visually-hidden { ": " (p.title()) }
                    }
                }
            }
        }
        span.rows-act { a href={ (at) "/correct" } { (t!("log.correct")) } a href=(at) { (t!("log.history")) } }
        @if !line.note.is_empty() { span.rows-more { (line.note) } }
    }
}

/// Every look as one row, with a column for each measure that any of them has.
pub(super) fn looks(page: &TrialPage, life: &Life) -> Markup {
    if life.looks.is_empty() {
        let how = t!("plants.no_looks_how");
        return empty(t!("plants.never_looked"), how, &html! {});
    }
    let measures = life.measures();
    let names: Vec<String> = measures.iter().map(|m| capital(measure_name(*m))).collect();
    let weighed = life.looks.iter().any(|l| l.fresh_g.is_some());
    let noted = life.looks.iter().any(|l| !words(l).is_empty());
    let mut columns = vec![Column::words(t!("plants.col_day"))];
    columns.extend(
        names
            .iter()
            .zip(&measures)
            .map(|(name, m)| Column::numbers(name, unit(*m))),
    );
    if weighed {
        columns.push(Column::numbers(t!("plants.fresh"), "g"));
    }
    if noted {
        columns.push(Column::words(t!("plants.col_signs")));
    }
    columns.push(Column::words(t!("plants.col_correct")));
    let mut table = Table::new(t!("plants.looks_caption"), &columns);
    for look in life.looks.iter().rev() {
        let mut row = vec![dated(page, look.day, Some(look.entry))];
        row.extend(measures.iter().map(|m| html! { (value(look, *m)) }));
        if weighed {
            let grams = look.fresh_g.map(|g| Format::default().significant(g, 4));
            row.push(html! { (grams.unwrap_or_default()) });
        }
        if noted {
            row.push(html! { (words(look)) });
        }
        row.push(
            html! { a href={ (entry_path(page, look.entry)) "/correct" } { (t!("log.correct")) } },
        );
        table = table.row(row);
    }
    table.render()
}

fn unit(measure: Measure) -> &'static str {
    if anchors(measure).is_empty() {
        measure_unit(measure)
    } else {
        ""
    }
}

fn value(look: &Look, measure: Measure) -> String {
    let found = look.values.iter().find(|(m, _)| *m == measure);
    found.map_or_else(String::new, |(_, v)| Format::default().significant(*v, 3))
}

/// Signs, leaves in air, what was looked at together, and the note.
fn words(look: &Look) -> String {
    let emerged = match look.emerged {
        Some(true) => Some(t!("act.emerged").to_string()),
        Some(false) => Some(t!("act.submerged").to_string()),
        None => None,
    };
    let together = (look.together > 1).then(|| t!("plants.together", n = look.together));
    let note = Some(look.note.clone()).filter(|n| !n.is_empty());
    let all = look
        .signs
        .iter()
        .cloned()
        .chain(emerged)
        .chain(together)
        .chain(note);
    all.collect::<Vec<_>>().join(", ")
}

/// The newest pictures, oldest first.
pub(super) fn pictures(page: &TrialPage, life: &Life) -> Markup {
    if life.shots.is_empty() {
        return empty(
            t!("plants.no_pictures"),
            t!("plants.no_pictures_how"),
            &html! {},
        );
    }
    let rest = life.shots.len().saturating_sub(PICTURES);
    html! {
        @if life.shots.iter().any(|s| s.strip.is_some()) { p.muted { (t!("plants.strip_note")) } }
        div.shots { @for one in &life.shots[rest..] { (shot::with_caption(page, one)) } }
        @if rest > 0 { p { a href={ (page.path()) "/pictures" } { (t!("plants.older_pictures", n = rest)) } } }
    }
}
