//! A fortnight of days in two tanks of two arms: every family, every state of a plan, treatment
//! unlike inside an arm and between arms, and a reading of a source water.

use answers::compare::Window;
use answers::timeline::{
    Cell, Family, Kinds, Lane, PhasePart, PlanMark, PlanState, Slot, Span, Timeline, Unit, Unlike,
};
use answers::unequal::Alike;
use jiff::civil::Date;
use jiff::{Timestamp, ToSpan};
use trial::types::PhaseKind;
use trial::{EntryId, PlanId};
use uuid::Uuid;

use super::{START, tank_id};

const DAYS: i64 = 14;

fn day(n: i64) -> Date {
    START.checked_add(n.days()).unwrap()
}

fn cell(slot: usize, family: Family, kinds: &[(&'static str, u32)]) -> Cell {
    let n = kinds.iter().map(|(_, n)| n).sum();
    Cell {
        slot,
        family,
        kinds: kinds
            .iter()
            .map(|(kind, n)| Kinds { kind, n: *n })
            .collect(),
        n,
        entry: (n == 1).then(|| EntryId(Uuid::from_u128(slot as u128))),
        words: format!("{n} on day {slot}"),
    }
}

fn plan(slot: usize, state: PlanState, planned_slot: Option<usize>) -> PlanMark {
    PlanMark {
        slot,
        planned_slot,
        state,
        plan: PlanId(Uuid::nil()),
        entry: None,
        words: "Planned: dim the lamps.".into(),
    }
}

fn lane(tank: Option<u128>, name: &str, cells: Vec<Cell>, plans: Vec<PlanMark>) -> Lane {
    Lane {
        tank: tank.map(tank_id),
        name: name.into(),
        arm: tank.map(|t| ["Lean", "Rich"][t as usize].into()),
        cells,
        plans,
    }
}

fn ash() -> Lane {
    let cells = vec![
        cell(0, Family::In, &[("dose", 1), ("feed", 2)]),
        cell(1, Family::Water, &[("change", 1)]),
        cell(
            3,
            Family::Plants,
            &[
                ("loss", 1),
                ("trim", 1),
                ("thin", 1),
                ("move", 1),
                ("replant", 1),
                ("plantlets", 1),
            ],
        ),
        cell(4, Family::Seen, &[("observation", 12)]),
        cell(7, Family::Tests, &[("reading", 1)]),
        cell(9, Family::Upkeep, &[("setting", 1)]),
    ];
    let plans = vec![
        plan(2, PlanState::Missed, None),
        plan(5, PlanState::Done, Some(3)),
        plan(8, PlanState::Dropped, None),
        plan(10, PlanState::Overdue, None),
        plan(12, PlanState::Ahead, None),
    ];
    lane(Some(0), "Ash", cells, plans)
}

pub fn timeline() -> Timeline {
    let elm = vec![
        cell(0, Family::In, &[("dose", 1)]),
        cell(6, Family::Water, &[("top_up", 3)]),
    ];
    let water = vec![cell(7, Family::Tests, &[("reading", 2)])];
    let slots = (0..DAYS).map(|n| Slot {
        from: day(n).to_datetime(Default::default()),
        to: day(n + 1).to_datetime(Default::default()),
        start: Timestamp::UNIX_EPOCH,
    });
    let unlike = |slot: usize, alike: Alike| Unlike {
        first: slot,
        last: slot,
        family: Family::Water,
        alike,
        tanks: match alike {
            Alike::WithinArm => vec![tank_id(0)],
            _ => vec![],
        },
        when: "then".into(),
        what: "Water changes".into(),
        totals: "Ash 1, Elm 0".into(),
    };
    Timeline {
        as_of: day(10),
        span: Span::Month,
        window: Window {
            from: START,
            to: day(DAYS),
        },
        unit: Unit::Day,
        slots: slots.collect(),
        earlier: None,
        later: None,
        phases: [(PhaseKind::Baseline, 0, 5), (PhaseKind::Treatment, 5, DAYS)]
            .map(|(kind, from, to)| PhasePart {
                kind,
                from: day(from),
                to: day(to),
                began_before: from == 0,
            })
            .to_vec(),
        lanes: vec![
            ash(),
            lane(Some(1), "Elm", elm, vec![]),
            lane(None, "Whole trial", water, vec![]),
        ],
        unlike: vec![unlike(1, Alike::WithinArm), unlike(6, Alike::BetweenArms)],
        counted: false,
        changes: vec![],
        entries: 30,
        list: vec![],
        more_after: None,
    }
}
