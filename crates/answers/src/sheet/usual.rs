//! What is usually done and tested, with one row for each time it is likely to be done.

use super::due::{Span, dates_for};
use super::{Before, LATELY_DAYS, Row, rows};
use crate::days;
use crate::plans::{PlansAnswer, days_between};
use jiff::civil::Date;
use quantity::{Analyte, Means, Unit};
use trial::act::{DoseOf, Into, Part, ReadingOf};
use trial::card::Seen;
use trial::{Act, Bench, CardId, Entry, EntryId, TankId, WaterId};

/// The kinds that sheets repeat.
pub(super) const KINDS: [&str; 6] = ["dose", "change", "top_up", "feed", "clean", "reading"];
/// Done once, it keeps its row for so many days; done again, as long as it is "lately".
const ONCE_DAYS: i64 = 14;
/// Most rows of one act.
const MOST_ROWS: usize = 7;
/// Most rounds of one test.
const MOST_ROUNDS: usize = 3;

/// What makes two acts the same thing with another amount.
#[derive(PartialEq)]
enum Thing {
    Dose(DoseOf, Into, Unit),
    Change(Option<WaterId>),
    TopUp(Option<WaterId>),
    Feed(String),
    Clean(Part),
}

fn thing(act: &Act) -> Option<Thing> {
    Some(match act {
        Act::Dose(d) => Thing::Dose(d.of.clone(), d.into, d.amount.unit),
        Act::Change(c) => Thing::Change(c.source),
        Act::TopUp(t) => Thing::TopUp(t.source),
        Act::Feed(f) => Thing::Feed(f.food.to_lowercase()),
        Act::Clean(c) => Thing::Clean(c.part),
        _ => return None,
    })
}

/// One thing done in the same tanks, every time it was done of late.
struct Group<'a> {
    thing: Thing,
    tanks: Vec<TankId>,
    entries: Vec<&'a Entry>,
}

/// The rows of what is usually done: as often as its routine has it due, else as often as of late.
pub(super) fn acts(bench: &Bench, before: &Before, plans: &PlansAnswer, span: Span) -> Vec<Row> {
    let mut groups: Vec<Group> = Vec::new();
    for e in &before.lately {
        let Some(thing) = thing(&e.act) else { continue };
        let tanks = match e.all_tanks {
            true => bench.tank_ids(),
            false => e.tanks.clone(),
        };
        match groups
            .iter_mut()
            .find(|g| g.thing == thing && g.tanks == tanks)
        {
            Some(group) => group.entries.push(e),
            None => groups.push(Group {
                thing,
                tanks,
                entries: vec![e],
            }),
        }
    }
    groups.sort_by_key(|g| {
        Act::KINDS
            .iter()
            .position(|k| *k == g.entries[0].act.kind())
    });
    groups
        .iter()
        .flat_map(|g| g.rows(bench, before, plans, span))
        .collect()
}

impl Group<'_> {
    fn rows(&self, bench: &Bench, before: &Before, plans: &PlansAnswer, span: Span) -> Vec<Row> {
        let Some(newest) = self.entries.last() else {
            return vec![];
        };
        let counted = |id: EntryId| self.entries.iter().any(|e| e.id == id);
        let due = dates_for(plans, counted, span);
        let since = days_between(days::of(newest), before.day);
        if due.is_none() && self.entries.len() < 2 && since > ONCE_DAYS {
            return vec![];
        }
        let times = due_times(due, &self.entries, before, span, MOST_ROWS);
        times
            .into_iter()
            .filter_map(|day| rows::act(bench, newest, day))
            .collect()
    }
}

/// One due date for each time; where no routine says how often, as often as of late, without dates.
fn due_times(
    due: Option<Vec<Date>>,
    entries: &[&Entry],
    before: &Before,
    (from, to): Span,
    most: usize,
) -> Vec<Option<Date>> {
    match due {
        Some(dates) if !dates.is_empty() => dates.into_iter().take(most).map(Some).collect(),
        Some(_) => vec![None],
        None => {
            let first = entries.first().map_or(before.day, |e| days::of(e));
            // A week at least: what began yesterday is not done every day for that.
            let over = days_between(first, before.day).clamp(7, LATELY_DAYS);
            let mut on: Vec<Date> = entries.iter().map(|e| days::of(e)).collect();
            on.dedup();
            let days = days_between(from, to) + 1;
            let times = (on.len() as f64 * days as f64 / over as f64).round();
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // at most 42 x 14
            let times = (times as usize).clamp(1, most);
            vec![None; times]
        }
    }
}

/// How a test is read.
#[derive(Clone, Copy, PartialEq)]
enum By {
    Card(CardId),
    Meter(Analyte, Means),
}

/// The rows of tests: what was read of late, else every card, round by round.
pub(super) fn readings(
    bench: &Bench,
    before: &Before,
    plans: &PlansAnswer,
    span: Span,
) -> Vec<Row> {
    let mut tests: Vec<(By, Vec<&Entry>)> = Vec::new();
    for e in &before.lately {
        let Some(by) = read_by(&e.act) else { continue };
        match tests.iter_mut().find(|(b, _)| *b == by) {
            Some((_, entries)) => entries.push(e),
            None => tests.push((by, vec![e])),
        }
    }
    if tests.is_empty() {
        return bench
            .cards
            .iter()
            .map(|c| rows::card(bench, c, None))
            .collect();
    }
    let mut rounds: Vec<(usize, Row)> = Vec::new();
    for (by, entries) in &tests {
        // Routines count any of the analytes they name: what was read on the same day counts too.
        let on: Vec<Date> = entries.iter().map(|e| days::of(e)).collect();
        let counted = |id: EntryId| {
            let found = before.lately.iter().find(|e| e.id == id);
            found.is_some_and(|e| read_by(&e.act).is_some() && on.contains(&days::of(e)))
        };
        let due = dates_for(plans, counted, span);
        let times = due_times(due, entries, before, span, MOST_ROUNDS);
        for (round, day) in times.into_iter().enumerate() {
            let row = match *by {
                By::Card(id) => bench.card(id).map(|c| rows::card(bench, c, day)),
                By::Meter(analyte, means) => Some(rows::meter(bench, analyte, means, day)),
            };
            rounds.extend(row.map(|row| (round, row)));
        }
    }
    rounds.sort_by_key(|(round, _)| *round);
    rounds.into_iter().map(|(_, row)| row).collect()
}

/// How a tank's water was read; none for source waters, blanks and standards.
fn read_by(act: &Act) -> Option<By> {
    let Act::Reading(r) = act else { return None };
    if r.water.is_some() || r.of != ReadingOf::Sample {
        return None;
    }
    match (r.card, r.seen) {
        (Some(card), _) => Some(By::Card(card)),
        (None, Seen::Meter { .. }) => Some(By::Meter(r.analyte, r.means)),
        (None, _) => None,
    }
}
