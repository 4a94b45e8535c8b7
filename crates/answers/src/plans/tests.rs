use super::*;
use crate::cost::sample::{START, all, bench, change, entry, has, id, tank};
use jiff::ToSpan;
use jiff::civil::date;
use quantity::{Amount, Unit};
use trial::act::{Clean, Dose, DoseOf, Into, Part};
use trial::plan::Routine;
use trial::supply::ProductKind;
use trial::{Act, Product, ProductId, TrialId};

fn plan(n: u128, from: Date) -> Plan {
    Plan {
        id: PlanId(id(n)),
        trial: TrialId(id(100)),
        what: format!("plan {n}"),
        tanks: vec![],
        from,
        expects: "more cover".into(),
        routine: None,
        outcome: PlanOutcome::Open,
    }
}

fn weekly_change() -> Plan {
    let routine = Routine {
        act: "change".into(),
        every_days: 7,
        until: None,
    };
    Plan {
        routine: Some(routine),
        ..plan(1, START)
    }
}

fn day(n: i64) -> Date {
    START.checked_add(n.days()).unwrap()
}

#[test]
fn a_routine_counts_what_was_missed_and_says_what_is_due() {
    let mut bench = bench();
    bench.plans = vec![weekly_change()];
    // Ash: done on days 0, 7 and 15 (one late, within half a week), so due again on days 22 and 29.
    let entries: Vec<Entry> = [0, 7, 15]
        .iter()
        .map(|d| entry(*d as u128, *d, &[tank(1)], change()))
        .collect();
    let answer = plans(&bench, &entries, day(29));
    let routine = &answer.routines[0];
    let ash = &routine.tanks[0];
    assert_eq!(
        (ash.last, ash.next, ash.overdue_days),
        (Some(day(15)), Some(day(22)), Some(7))
    );
    // Day 22 is over; day 29 is today. Elm was due on days 0, 7, 14, 21 and 28; the last may still be
    // met until day 31.
    assert_eq!((ash.missed.clone(), ash.decided), (vec![day(22)], 4));
    let elm = &routine.tanks[1];
    assert_eq!(
        (elm.last, elm.next, elm.overdue_days),
        (None, Some(START), Some(29))
    );
    assert_eq!((elm.missed.len(), elm.decided), (4, 4));
    // 1 + 3 x 4 of 4 x 4.
    assert_eq!((routine.missed, routine.decided), (13, 16));
    let due = &answer.due[0];
    assert!(due.all_tanks && due.overdue_days == 29 && due.act.as_deref() == Some("change"));
    assert_eq!(due.tanks_words, "every tank");
}

#[test]
fn only_the_tank_that_waits_is_due() {
    let mut bench = bench();
    bench.plans = vec![weekly_change()];
    let entries = [
        entry(1, 0, &all(), change()),
        entry(2, 6, &[tank(1), tank(2), tank(4)], change()),
        entry(3, 7, &[tank(3)], Act::Note),
    ];
    let answer = plans(&bench, &entries, day(7));
    assert_eq!(answer.due.len(), 1);
    assert_eq!(
        (
            answer.due[0].tanks_words.as_str(),
            answer.due[0].overdue_days
        ),
        ("Fir", 0)
    );
    // Done yesterday, so the rest is next due on day 13.
    assert_eq!(answer.routines[0].tanks[0].next, Some(day(13)));
    assert_eq!(answer.routines[0].missed, 0);
    // Taken back, it was not done.
    let mut undo = entry(9, 7, &all(), Act::Undo);
    undo.supersedes = Some(entries[0].id);
    let mut taken_back = entries.to_vec();
    taken_back.push(undo);
    assert_eq!(
        plans(&bench, &taken_back, day(7)).routines[0].tanks[2].next,
        Some(START)
    );
}

#[test]
fn one_entry_stands_for_exactly_one_due_date() {
    let mut bench = bench();
    for every in 1..=15u16 {
        let routine = Routine {
            act: "change".into(),
            every_days: every,
            until: None,
        };
        bench.plans = vec![Plan {
            routine: Some(routine),
            ..plan(1, START)
        }];
        for done in 0..40 {
            let entries = [entry(1, done, &all(), change())];
            // Far enough ahead that every date up to day 59 is decided.
            let state = &plans(&bench, &entries, day(90)).routines[0].tanks[0];
            assert_eq!(
                state.missed.len() + 1,
                state.decided,
                "every {every}, done on day {done}"
            );
        }
    }
}

#[test]
fn a_routine_ends() {
    let mut bench = bench();
    let mut ended = weekly_change();
    ended.routine.as_mut().unwrap().until = Some(day(14));
    let mut dropped = weekly_change();
    dropped.outcome = PlanOutcome::Dropped {
        why: "too much".into(),
    };
    let later = plan(3, day(60));
    bench.plans = vec![ended, dropped, later];
    let answer = plans(&bench, &[], day(50));
    assert!(answer.due.is_empty());
    assert!(!answer.routines[0].running && answer.routines[0].tanks[0].next.is_none());
    // Days 0, 7 and 14 in four tanks.
    assert_eq!(answer.routines[0].missed, 12);
    assert_eq!(
        (
            answer.routines[1].decided,
            answer.routines[1].sentence.contains("too much")
        ),
        (0, true)
    );
    assert_eq!(answer.changes[0].state, ChangeState::Ahead { in_days: 10 });
}

#[test]
fn routines_that_cannot_be_counted_are_findings() {
    let mut bench = bench();
    let mut unknown = weekly_change();
    unknown.routine.as_mut().unwrap().act = "sing".into();
    let mut never = weekly_change();
    never.routine.as_mut().unwrap().every_days = 0;
    bench.plans = vec![unknown, never];
    let answer = plans(&bench, &[], day(5));
    assert!(answer.routines.is_empty());
    assert!(has(&answer.findings, "plan_act_unknown") && has(&answer.findings, "plan_every_zero"));
    assert_eq!(kinds(&bench), ["change"]);
}

#[test]
fn changes_say_how_they_stand() {
    let mut bench = bench();
    let done = |on, seen: &str| PlanOutcome::Done {
        on,
        entries: vec![],
        seen: seen.into(),
    };
    let mut silent = plan(6, day(9));
    silent.expects.clear();
    bench.plans = vec![
        plan(2, date(2024, 1, 11)),
        plan(1, day(5)),
        Plan {
            outcome: done(day(8), ""),
            ..plan(3, day(6))
        },
        Plan {
            outcome: done(day(6), "more film"),
            ..plan(4, day(7))
        },
        Plan {
            outcome: PlanOutcome::Dropped { why: String::new() },
            ..plan(5, day(8))
        },
        silent,
    ];
    let answer = plans(&bench, &[], day(10));
    let states: Vec<&ChangeState> = answer.changes.iter().map(|c| &c.state).collect();
    assert_eq!(*states[0], ChangeState::Overdue { days: 5 });
    assert_eq!(
        *states[1],
        ChangeState::Done {
            on: day(8),
            late_days: 2,
            entries: vec![]
        }
    );
    assert_eq!(
        *states[2],
        ChangeState::Done {
            on: day(6),
            late_days: -1,
            entries: vec![]
        }
    );
    assert_eq!(*states[5], ChangeState::Today);
    assert_eq!(answer.changes[2].seen, "more film");
    // Overdue by five, by one and due today, in that order.
    let due: Vec<i64> = answer.due.iter().map(|d| d.overdue_days).collect();
    assert_eq!(due, [5, 1, 0]);
    for code in ["plan_overdue", "plan_seen_missing", "plan_expects_missing"] {
        assert!(has(&answer.findings, code), "{code}");
    }
    assert!(answer.changes[1].sentence.contains("2 days after"));
}

/// The missed and decided due dates of a routine every `every` days, done on these days in Ash.
fn counted(every: u16, until: Option<Date>, done: &[i64], today: i64) -> (Vec<Date>, usize) {
    let mut bench = bench();
    let routine = Routine {
        act: "change".into(),
        every_days: every,
        until,
    };
    bench.plans = vec![Plan {
        routine: Some(routine),
        ..plan(1, START)
    }];
    let entries: Vec<Entry> = done
        .iter()
        .map(|d| entry((d + 50) as u128, *d, &[tank(1)], change()))
        .collect();
    let state = plans(&bench, &entries, day(today)).routines[0].tanks[0].clone();
    (state.missed, state.decided)
}

#[test]
fn mondays_and_thursdays_every_three_days_are_never_missed() {
    // START is a Monday; Thursday to Monday is one day late, within half of three days.
    let twice_a_week: Vec<i64> = (0..10).flat_map(|w| [7 * w, 7 * w + 3]).collect();
    let (missed, decided) = counted(3, None, &twice_a_week, 68);
    assert!(missed.is_empty(), "{missed:?}");
    assert_eq!(decided, twice_a_week.len());
}

#[test]
fn a_week_off_is_missed_and_a_double_is_not_counted_twice() {
    // Twice on day 0, on days 7 and 21: day 14 is missed.
    assert_eq!(counted(7, None, &[0, 0, 7, 21], 22), (vec![day(14)], 4));
    // Two days early still meets day 7; on day 1 it only moves the next date to day 8.
    assert_eq!(counted(7, None, &[0, 5], 10), (vec![], 2));
    assert_eq!(counted(7, None, &[0, 1, 8], 10), (vec![], 2));
    // Three days before the routine began meets its first date, a week before does not.
    assert_eq!(counted(7, None, &[-3], 3), (vec![], 1));
    assert_eq!(counted(7, None, &[-7], 4), (vec![day(0)], 1));
    // After its end nothing is due.
    assert_eq!(counted(7, Some(day(7)), &[0, 7], 60), (vec![], 2));
    assert_eq!(counted(7, Some(day(7)), &[0], 60), (vec![day(7)], 2));
    assert_eq!(counted(7, Some(day(7)), &[0, 7, 14], 60), (vec![], 2));
}

fn product(n: u128, name: &str, kind: ProductKind) -> Product {
    Product {
        id: ProductId(id(n)),
        name: name.into(),
        kind,
        brings: vec![],
        per: Unit::Piece,
        recipe: vec![],
        made_up_to_ml: None,
        note: String::new(),
    }
}

#[test]
fn routines_of_one_kind_are_told_apart_by_what_they_name() {
    let mut bench = bench();
    bench.products = vec![
        product(1, "Evening mix", ProductKind::Stock),
        product(2, "root tablet", ProductKind::Tablet),
    ];
    let routine = |n, what: &str, act: &str| Plan {
        what: what.into(),
        routine: Some(Routine {
            act: act.into(),
            every_days: 7,
            until: None,
        }),
        ..plan(n, START)
    };
    bench.plans = vec![
        routine(1, "Dose evening mix", "dose"),
        routine(2, "Press tablets into the sand", "dose"),
        routine(3, "KH2PO4 on Fridays", "dose"),
        routine(4, "Something every week", "dose"),
        routine(5, "Wipe the pane", "clean"),
        routine(6, "Read nitrate", "reading"),
    ];
    let dose = |of| {
        Act::Dose(Dose {
            of,
            amount: Amount::new(1.0, Unit::Gram),
            into: Into::Water,
        })
    };
    let of_product = |n| {
        dose(DoseOf::Product {
            product: ProductId(id(n)),
        })
    };
    let clean = |part| {
        Act::Clean(Clean {
            part,
            flow_before_l_h: None,
            flow_after_l_h: None,
        })
    };
    let entries = [
        entry(1, 1, &all(), of_product(1)),
        entry(2, 2, &all(), of_product(2)),
        entry(
            3,
            3,
            &all(),
            dose(DoseOf::Salt {
                formula: "kh2po4".into(),
            }),
        ),
        entry(4, 4, &all(), clean(Part::Filter)),
        entry(5, 5, &all(), clean(Part::Pane)),
    ];
    let answer = plans(&bench, &entries, day(6));
    let last: Vec<Option<Date>> = answer.routines.iter().map(|r| r.tanks[0].last).collect();
    let wanted = [Some(1), Some(2), Some(3), Some(3), Some(5), None];
    assert_eq!(last, wanted.map(|d| d.map(day)));
    assert_eq!(answer.routines[1].counts, ["root tablet"]);
    assert_eq!(answer.routines[5].counts, ["nitrate"]);
    let vague: Vec<&Finding> = answer
        .findings
        .iter()
        .filter(|f| f.code == "plan_counts_any")
        .collect();
    assert!(vague.len() == 1 && vague[0].what.contains("Something every week"));
}

#[test]
fn an_absence_names_what_falls_in_it_and_what_it_cost() {
    let mut bench = bench();
    bench.plans = vec![weekly_change(), plan(2, day(33))];
    let absence = |from, to| trial::types::Absence {
        from: day(from),
        to: day(to),
        who_helps: String::new(),
        note: String::new(),
    };
    bench.trial.absences = vec![absence(30, 45), absence(5, 8)];
    // All tanks on day 0, nothing on day 7 (away) nor on day 14, then on day 21.
    let entries = [0, 21].map(|d| entry(d as u128 + 1, d, &all(), change()));
    let answer = plans(&bench, &entries, day(22));
    let routine = &answer.routines[0];
    // Missed all the same: 2 of 4 due days in each of 4 tanks, one of them while away.
    assert_eq!((routine.missed, routine.away, routine.decided), (8, 4, 16));
    assert_eq!(routine.tanks[0].away, [day(7)]);
    // The absence that is over is no longer named; due next on days 28, 35, 42 and 49.
    let [ahead] = answer.absences.as_slice() else {
        panic!("{:?}", answer.absences);
    };
    let falls: Vec<(PlanId, Date, usize)> = ahead
        .falls
        .iter()
        .map(|f| (f.plan, f.first, f.times))
        .collect();
    let expected = [(PlanId(id(2)), day(33), 1), (PlanId(id(1)), day(35), 2)];
    assert_eq!(falls, expected);
    assert!(!ahead.begun && ahead.falls[1].tanks_words == "every tank");
}
