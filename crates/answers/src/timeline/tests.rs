//! Timelines of small notebooks written by hand.

use super::*;
use crate::unequal::Alike;
use jiff::civil::date;
use jiff::{Timestamp, ZonedDateTime};
use quantity::{Amount, Unit as Measure};
use tempfile::TempDir;
use trial::act::{Change, Dose, DoseOf, Into, WaterAmount};
use trial::plan::{PlanOutcome, Routine};
use trial::types::{Arm, Phase};
use trial::{Act, EntryId, Origin, Plan, PlanId, Record, Tank, TankId, Trial, TrialId};
use uuid::Uuid;

const TODAY: Date = date(2026, 3, 20);

fn tank(n: u128) -> TankId {
    TankId(Uuid::from_u128(n))
}

fn trial_id() -> TrialId {
    TrialId(Uuid::from_u128(99))
}

fn entry(n: u128, at: &str, tanks: &[u128], act: Act) -> Entry {
    let at: ZonedDateTime = format!("{at}[Europe/Berlin]").parse().unwrap();
    Entry {
        id: EntryId(Uuid::from_u128(1000 + n)),
        trial: trial_id(),
        written: at.timestamp(),
        at,
        all_tanks: false,
        tanks: tanks.iter().map(|t| tank(*t)).collect(),
        who: String::new(),
        minutes: None,
        note: String::new(),
        origin: Origin::Form,
        supersedes: None,
        act,
    }
}

fn dose(grams: f64) -> Act {
    Act::Dose(Dose {
        of: DoseOf::Salt {
            formula: "KNO3".into(),
        },
        amount: Amount::new(grams, Measure::Gram),
        into: Into::Water,
    })
}

fn change() -> Act {
    Act::Change(Change {
        amount: WaterAmount::Share { share: 0.4 },
        source: None,
    })
}

fn plan(n: u128, what: &str, from: Date) -> Plan {
    Plan {
        id: PlanId(Uuid::from_u128(500 + n)),
        trial: trial_id(),
        what: what.into(),
        tanks: vec![],
        from,
        expects: String::new(),
        routine: None,
        outcome: PlanOutcome::Open,
    }
}

/// Tanks 1 and 2 in the one arm, 3 and 4 in the other.
fn notebook(plans: Vec<Plan>, entries: Vec<Entry>) -> (TempDir, Notebook) {
    let mut trial = Trial::new(trial_id(), "Small", "Europe/Berlin");
    trial.start = Some(date(2026, 3, 2));
    trial.arms = [("a", "Lean"), ("b", "Rich")]
        .map(|(key, name)| Arm {
            key: key.into(),
            name: name.into(),
            control: key == "a",
        })
        .to_vec();
    trial.phases = vec![Phase {
        kind: PhaseKind::Treatment,
        from: date(2026, 3, 2),
        to: None,
        note: String::new(),
    }];
    let mut records = vec![Record::Trial(trial)];
    for (n, name) in [(1, "Ash"), (2, "Elm"), (3, "Fir"), (4, "Oak")] {
        let mut tank = Tank::new(tank(n), trial_id(), name, n as u32 - 1);
        tank.arm = Some(if n < 3 { "a" } else { "b" }.into());
        records.push(Record::Tank(tank));
    }
    records.extend(plans.into_iter().map(Record::Plan));
    let folder = tempfile::tempdir().unwrap();
    let notebook = Notebook::create(folder.path()).unwrap();
    let now = Timestamp::UNIX_EPOCH;
    let batch = store::Batch {
        records: records
            .into_iter()
            .map(|r| (r, String::new(), now))
            .collect(),
        entries,
    };
    notebook.write_all(&batch).unwrap();
    (folder, notebook)
}

fn ask(notebook: &Notebook, span: Span, from: Date) -> Timeline {
    let asked = Asked {
        from: Some(from),
        span: Some(span),
        after: None,
    };
    let bench = notebook.bench(trial_id()).unwrap();
    timeline(notebook, &bench, &asked, TODAY).unwrap()
}

fn cells(timeline: &Timeline, lane: usize) -> Vec<(usize, Family, u32)> {
    let cells = timeline.lanes[lane].cells.iter();
    cells.map(|c| (c.slot, c.family, c.n)).collect()
}

#[test]
fn an_entry_stands_in_its_tanks_lanes_at_its_time() {
    let (_folder, notebook) = notebook(
        vec![],
        vec![
            entry(1, "2026-03-02T17:30:00+01:00", &[1, 3], change()),
            entry(2, "2026-03-02T18:00:00+01:00", &[1], dose(1.0)),
            entry(3, "2026-03-02T18:10:00+01:00", &[1], dose(1.0)),
            entry(4, "2026-03-03T00:00:00+01:00", &[], Act::Note),
        ],
    );
    let day = ask(&notebook, Span::Day, date(2026, 3, 2));
    assert_eq!(day.slots.len(), 24);
    assert_eq!(
        cells(&day, 0),
        [(17, Family::Water, 1), (18, Family::In, 2)]
    );
    assert_eq!(cells(&day, 2), [(17, Family::Water, 1)]);
    // A minute past midnight is another day; the whole trial has no lane when it has no entry.
    assert_eq!((day.lanes.len(), day.entries), (4, 3));
    let single = &day.lanes[0].cells[0];
    assert_eq!(single.entry, Some(EntryId(Uuid::from_u128(1001))));
    assert!(
        single.words.starts_with("2 March, 17:30: changed 40"),
        "{}",
        single.words
    );
    assert_eq!(
        day.lanes[0].cells[1].words,
        "2 March, 18:00 to 19:00: 2 doses"
    );
    let week = ask(&notebook, Span::Week, date(2026, 3, 8));
    assert_eq!(week.slots.len(), 28);
    assert_eq!(cells(&week, 0), [(2, Family::Water, 1), (3, Family::In, 2)]);
    assert_eq!(cells(&week, 4), [(4, Family::Seen, 1)]);
    assert_eq!((week.earlier, week.later), (None, Some(date(2026, 3, 9))));
    assert_eq!(week.closer(2), Some((Span::Day, date(2026, 3, 2))));
    assert_eq!(day.closer(17), None);
    assert_eq!(week.phases[0].kind, PhaseKind::Treatment);
}

#[test]
fn counting_shows_the_cells_that_reading_shows() {
    // 40 a day for ten days over four tanks, one in seven of them for two.
    let many = |n: u128| {
        let at = format!(
            "2026-03-{:02}T{:02}:{:02}:00+01:00",
            2 + n / 40,
            n % 24,
            n % 60
        );
        let both = [1 + n % 4, 1 + (n + 1) % 4];
        let tanks = if n.is_multiple_of(7) {
            &both[..]
        } else {
            &both[..1]
        };
        entry(
            n,
            &at,
            tanks,
            if n.is_multiple_of(3) {
                change()
            } else {
                dose(1.0)
            },
        )
    };
    let entries: Vec<Entry> = (0..400).map(many).collect();
    let (_folder, notebook) = notebook(vec![], entries.clone());
    let bench = notebook.bench(trial_id()).unwrap();
    let window = Span::Month.window(
        date(2026, 3, 2),
        Window {
            from: TODAY,
            to: TODAY,
        },
    );
    let (slots, end) = spans::slots(&bench, window, Unit::Day);
    let stretch = Stretch {
        bench: &bench,
        window,
        unit: Unit::Day,
        slots: &slots,
        end,
    };
    let read = cells::of_entries(&stretch, &entries);
    let counts = notebook
        .counts_between(trial_id(), &stretch.bounds())
        .unwrap();
    let counted = cells::of_counts(&stretch, &counts);
    let plain = |lanes: &[Lane]| -> Vec<Vec<(usize, Family, Vec<Kinds>)>> {
        let of = |l: &Lane| {
            let cells = l.cells.iter();
            cells.map(|c| (c.slot, c.family, c.kinds.clone())).collect()
        };
        lanes.iter().map(of).collect()
    };
    assert_eq!(plain(&counted), plain(&read));
    assert!(counted[0].cells.len() > 15);
}

#[test]
fn what_differs_inside_an_arm_is_told_from_what_differs_between_arms() {
    let (_folder, notebook) = notebook(
        vec![],
        vec![
            // The Rich arm alone, both its tanks alike: between arms.
            entry(1, "2026-03-02T18:00:00+01:00", &[3, 4], dose(1.0)),
            // One tank of the Lean arm alone: inside an arm.
            entry(2, "2026-03-04T18:00:00+01:00", &[2], change()),
            // Every tank: alike.
            entry(3, "2026-03-05T18:00:00+01:00", &[1, 2, 3, 4], change()),
        ],
    );
    let month = ask(&notebook, Span::Month, TODAY);
    let told: Vec<_> = month
        .unlike
        .iter()
        .map(|u| (u.first, u.family, u.alike, u.tanks.clone()))
        .collect();
    let want = vec![
        (1, Family::In, Alike::BetweenArms, vec![]),
        (3, Family::Water, Alike::WithinArm, vec![tank(1), tank(2)]),
    ];
    assert_eq!(told, want);
    // In six-hour stretches a day's mark reaches over the whole day.
    let week = ask(&notebook, Span::Week, date(2026, 3, 2));
    assert_eq!((week.unlike[1].first, week.unlike[1].last), (8, 11));
}

#[test]
fn plans_stand_where_they_were_planned_and_done() {
    let done = Plan {
        expects: "slower growth".into(),
        outcome: PlanOutcome::Done {
            on: date(2026, 3, 9),
            entries: vec![EntryId(Uuid::from_u128(1001))],
            seen: "no change".into(),
        },
        ..plan(1, "Dim the lamps", date(2026, 3, 6))
    };
    let ahead = plan(2, "Exchange the arms", date(2026, 3, 30));
    let far = plan(3, "End", date(2026, 9, 1));
    let routine = Plan {
        tanks: vec![tank(1)],
        routine: Some(Routine {
            act: "change".into(),
            every_days: 7,
            until: None,
        }),
        ..plan(4, "Change 40 %", date(2026, 3, 2))
    };
    // Done on 2 March, then never: 9 and 16 March pass; by 20 March (more than half a week after
    // the 16th) both are missed.
    let (_folder, notebook) = notebook(
        vec![done, ahead, far, routine],
        vec![entry(1, "2026-03-02T18:00:00+01:00", &[1], change())],
    );
    let month = ask(&notebook, Span::Month, TODAY);
    let told: Vec<_> = month.lanes[0]
        .plans
        .iter()
        .map(|p| (p.slot, p.planned_slot, p.state))
        .collect();
    let want = vec![
        (8, Some(5), PlanState::Done),
        (8, None, PlanState::Missed),
        (15, None, PlanState::Missed),
        (29, None, PlanState::Ahead),
    ];
    assert_eq!(told.len(), 4, "{told:?}");
    assert_eq!(told, want);
    let words = &month.lanes[0].plans[0].words;
    assert!(
        words.contains("Expected: slower growth. Seen: no change."),
        "{words}"
    );
    // The other tanks have no routine; a change of every tank stands in each.
    assert_eq!(month.lanes[3].plans.len(), 2);
    assert_eq!(month.changes.len(), 2);
    // What is planned ahead can be reached.
    assert_eq!(month.later, Some(date(2026, 4, 1)));
    let ahead = ask(&notebook, Span::Month, date(2026, 9, 1));
    assert_eq!(ahead.lanes[1].plans[0].state, PlanState::Ahead);
    assert_eq!(ahead.later, None);
}

#[test]
fn a_routine_missed_is_the_same_however_little_is_shown() {
    let routine = Plan {
        routine: Some(Routine {
            act: "change".into(),
            every_days: 3,
            until: None,
        }),
        ..plan(1, "Change", date(2026, 1, 1))
    };
    // Every third day, and every eighth time left out.
    let days = (0..26u128).filter(|n| n % 8 != 5);
    let at = |n: u128| {
        let day = date(2026, 1, 1).checked_add(jiff::Span::new().days(3 * n as i64));
        format!("{}T18:00:00+01:00", day.unwrap())
    };
    let entries = days.map(|n| entry(n, &at(n), &[1, 2, 3, 4], change()));
    let (_folder, notebook) = notebook(vec![routine], entries.collect());
    let missed = |timeline: &Timeline| -> Vec<Date> {
        let marks = timeline.lanes[0].plans.iter();
        let missed = marks.filter(|p| p.state == PlanState::Missed);
        missed.map(|p| timeline.slots[p.slot].from.date()).collect()
    };
    let whole = missed(&ask(&notebook, Span::Whole, TODAY));
    assert!(whole.len() >= 3, "{whole:?}");
    let mut in_months = Vec::new();
    for month in 1..=3 {
        in_months.extend(missed(&ask(&notebook, Span::Month, date(2026, month, 1))));
    }
    assert_eq!(whole, in_months);
}

#[test]
fn the_list_goes_on_page_by_page_without_losing_any() {
    // All in one millisecond but for the first and last.
    let at = |n: u128| match n {
        0 => "2026-03-02T08:00:00+01:00",
        129 => "2026-03-02T20:00:00+01:00",
        _ => "2026-03-02T12:00:00+01:00",
    };
    let entries: Vec<Entry> = (0..130).map(|n| entry(n, at(n), &[1], dose(1.0))).collect();
    let want: Vec<EntryId> = entries.iter().map(|e| e.id).collect();
    let (_folder, notebook) = notebook(vec![], entries);
    let bench = notebook.bench(trial_id()).unwrap();
    let window = Span::Day.window(
        date(2026, 3, 2),
        Window {
            from: TODAY,
            to: TODAY,
        },
    );
    let (slots, end) = spans::slots(&bench, window, Unit::Hour);
    let stretch = Stretch {
        bench: &bench,
        window,
        unit: Unit::Hour,
        slots: &slots,
        end,
    };
    let all = notebook.entries(&stretch.query()).unwrap();
    for read in [None, Some(all.as_slice())] {
        let (mut got, mut after) = (Vec::new(), None);
        loop {
            let page = list::page(&notebook, &stretch, read, after).unwrap();
            got.extend(page.lines.iter().map(|l| l.id));
            after = got.last().copied();
            if !page.more {
                break;
            }
        }
        assert_eq!(got, want);
    }
}
