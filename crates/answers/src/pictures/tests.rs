//! Galleries of small trials written by hand.

use super::*;
use jiff::civil::{Time, date, time};
use trial::act::{Change, Setting, WaterAmount};
use trial::plan::{PlanOutcome, Routine};
use trial::tank::Lamp;
use trial::types::{Phase, PhaseKind};
use trial::{Origin, Plan, PlanId, Tank, Trial, TrialId};
use uuid::Uuid;

fn tank(n: u128) -> TankId {
    TankId(Uuid::from_u128(n))
}

/// Ash, Elm and Oak; lamps on from 12:00 for eight hours.
fn bench() -> Bench {
    let id = TrialId(Uuid::from_u128(99));
    let mut bench = Bench::new(Trial::new(id, "T", "Europe/Lisbon"));
    bench.tanks = ["Ash", "Elm", "Oak"]
        .iter()
        .zip(0u32..)
        .map(|(name, place)| {
            let mut tank = Tank::new(tank(u128::from(place)), id, *name, place);
            tank.lamps = vec![Lamp {
                on_at: Some(time(12, 0, 0, 0)),
                photoperiod_h: Some(8.0),
                ..Lamp::default()
            }];
            tank
        })
        .collect();
    bench
}

fn entry(n: u128, at: &str, of: u128, act: Act) -> Entry {
    let at: jiff::ZonedDateTime = format!("{at}[Europe/Lisbon]").parse().unwrap();
    Entry {
        id: EntryId(Uuid::from_u128(1000 + n)),
        trial: TrialId(Uuid::from_u128(99)),
        written: at.timestamp(),
        at,
        all_tanks: false,
        tanks: vec![tank(of)],
        who: String::new(),
        minutes: None,
        note: String::new(),
        origin: Origin::Form,
        supersedes: None,
        act,
    }
}

fn shot(n: u128, at: &str, of: u128, view: View, size: (u32, u32)) -> Entry {
    let picture = Picture {
        sha256: format!("{n:064x}"),
        media_type: "image/jpeg".into(),
        width_px: size.0,
        height_px: size.1,
        view,
        planting: None,
    };
    entry(n, at, of, Act::Picture(picture))
}

fn front(n: u128, at: &str, of: u128) -> Entry {
    shot(n, at, of, View::Front, (1200, 800))
}

fn codes(findings: &[trial::Finding]) -> Vec<&'static str> {
    findings.iter().map(|f| f.code).collect()
}

#[test]
fn a_day_shows_every_tank_and_says_which_is_missing() {
    let bench = bench();
    let entries = [
        front(1, "2026-03-01T15:00", 0),
        front(2, "2026-03-01T15:05", 1),
        front(3, "2026-03-01T15:10", 2),
        front(4, "2026-03-15T15:00", 1),
        front(5, "2026-03-15T15:02", 1),
        shot(6, "2026-03-15T15:20", 0, View::Top, (1200, 800)),
    ];
    let gallery = by_day(&bench, &entries, None, 12);
    assert_eq!(gallery.older, None);
    let [second, first] = gallery.days.as_slice() else {
        panic!()
    };
    assert_eq!(
        (second.day, first.day),
        (date(2026, 3, 15), date(2026, 3, 1))
    );
    assert!(
        first
            .fronts
            .iter()
            .all(|f| f.taken.is_some() && f.nearest.is_none())
    );
    let there: Vec<Option<EntryId>> = second
        .fronts
        .iter()
        .map(|f| f.taken.as_ref().map(|t| t.line.entry))
        .collect();
    // The front taken again is the one shown.
    assert_eq!(there, [None, Some(entries[4].id), None]);
    assert_eq!(second.fronts[0].nearest, Some(date(2026, 3, 1)));
    // What is not shown as a front stands below, tanks from the left.
    let others: Vec<EntryId> = second.others.iter().map(|t| t.line.entry).collect();
    assert_eq!(others, [entries[5].id, entries[3].id]);
    assert_eq!(second.others[0].time, time(15, 20, 0, 0));
    // A page of one day tells where the next begins.
    let page = by_day(&bench, &entries, None, 1);
    assert_eq!((page.days.len(), page.older), (1, Some(date(2026, 3, 15))));
    let page = by_day(&bench, &entries, page.older, 1);
    assert_eq!((page.days[0].day, page.older), (date(2026, 3, 1), None));
    let rows = by_tank(&bench, &entries);
    let counts: Vec<(usize, usize)> = rows
        .iter()
        .map(|r| (r.fronts.len(), r.others.len()))
        .collect();
    assert_eq!(counts, [(1, 1), (3, 0), (1, 0)]);
}

fn setting(n: u128, at: &str, of: u128, on_at: Option<Time>, clock: Option<&str>) -> Entry {
    let setting = Setting {
        light_on_at: on_at,
        timer_clock: clock.map(str::to_owned),
        ..Setting::default()
    };
    entry(n, at, of, Act::Setting(setting))
}

/// Worked by hand: lit from 12:00 for 8 h is lit until 20:00.
#[test]
fn the_lamp_is_on_by_its_timer_and_not_told_near_a_switch() {
    let bench = bench();
    let at = |at: &str, settings: &[Entry]| alike::lamp_on(&bench, settings, &front(1, at, 0));
    assert_eq!(at("2026-01-10T11:00", &[]), Some(false));
    assert_eq!(at("2026-01-10T11:55", &[]), None);
    assert_eq!(at("2026-01-10T12:09", &[]), None);
    assert_eq!(at("2026-01-10T12:10", &[]), Some(true));
    assert_eq!(at("2026-01-10T19:51", &[]), None);
    assert_eq!(at("2026-01-10T20:10", &[]), Some(false));
    // Moved to 16:00 in that tank since; in another tank it means nothing here.
    let later = |of| setting(2, "2026-01-09T10:00", of, Some(time(16, 0, 0, 0)), None);
    assert_eq!(at("2026-01-10T13:00", &[later(0)]), Some(false));
    assert_eq!(at("2026-01-10T13:00", &[later(1)]), Some(true));
    assert_eq!(at("2026-01-08T13:00", &[later(0)]), Some(true));
    // From 22:00 for 8 h is until 06:00 of the next day.
    let night = [setting(
        2,
        "2026-01-09T10:00",
        0,
        Some(time(22, 0, 0, 0)),
        None,
    )];
    assert_eq!(at("2026-01-10T02:00", &night), Some(true));
    assert_eq!(at("2026-01-10T07:00", &night), Some(false));
    // A timer on Paris time is an hour ahead of Lisbon: lit from 11:00 to 19:00 here.
    let paris = [setting(
        2,
        "2026-01-09T10:00",
        0,
        None,
        Some("Europe/Paris"),
    )];
    assert_eq!(at("2026-01-10T11:30", &paris), Some(true));
    assert_eq!(at("2026-01-10T19:30", &paris), Some(false));
    let mut unknown = bench.clone();
    unknown.tanks[0].lamps[0].on_at = None;
    assert_eq!(
        alike::lamp_on(&unknown, &[], &front(1, "2026-01-10T13:00", 0)),
        None
    );
}

#[test]
fn a_day_tells_lamp_hour_and_fresh_water_that_differ() {
    let bench = bench();
    let change = |at: &str, of| {
        let amount = WaterAmount::Share { share: 0.4 };
        entry(
            9,
            at,
            of,
            Act::Change(Change {
                amount,
                source: None,
            }),
        )
    };
    let of = |entries: &[Entry]| by_day(&bench, entries, None, 1).days[0].findings.clone();
    let (ash, elm) = (
        front(1, "2026-03-01T15:00", 0),
        front(2, "2026-03-01T16:00", 1),
    );
    assert_eq!(codes(&of(&[ash.clone(), elm.clone()])), [""; 0]);
    let late = front(2, "2026-03-01T21:30", 1);
    let found = of(&[ash.clone(), late]);
    assert_eq!(
        codes(&found),
        ["pictures_lamp_differs", "pictures_hours_apart"]
    );
    assert!(
        found[0]
            .what
            .contains("on in the picture of Ash, and off in that of Elm")
    );
    assert!(
        found[1].what.contains("Ash at 15:00, Elm at 21:30"),
        "{}",
        found[1].what
    );
    let just_over = front(2, "2026-03-01T16:01", 1);
    assert_eq!(
        codes(&of(&[ash.clone(), just_over])),
        ["pictures_hours_apart"]
    );
    // Changed before the picture in one tank alone; after it, the day before, or in both: no matter.
    let found = of(&[change("2026-03-01T14:00", 0), ash.clone(), elm.clone()]);
    assert_eq!(codes(&found), ["pictures_after_change"]);
    for no_matter in [
        vec![change("2026-03-01T15:30", 0)],
        vec![change("2026-02-28T14:00", 0)],
        vec![change("2026-03-01T14:00", 0), change("2026-03-01T14:10", 1)],
    ] {
        let mut all = no_matter;
        all.extend([ash.clone(), elm.clone()]);
        all.sort_by_key(|e| e.at.timestamp());
        assert_eq!(codes(&of(&all)), [""; 0]);
    }
}

/// Worked by hand: rounds on 1, 15 and 29 March are 14 days apart, so after 21 days one is overdue.
#[test]
fn a_tank_is_overdue_by_its_routine_or_by_habit() {
    let mut bench = bench();
    let mut entries: Vec<Entry> = (0u128..9)
        .map(|n| {
            let day = 1 + 14 * (n / 3);
            front(n, &format!("2026-03-{day:02}T15:00"), n % 3)
        })
        .collect();
    let found = |bench: &Bench, entries: &[Entry], today| overdue(bench, entries, today);
    assert!(found(&bench, &entries, date(2026, 4, 19)).is_empty());
    let late = found(&bench, &entries, date(2026, 4, 20));
    assert_eq!(codes(&late), ["pictures_overdue"]);
    assert!(
        late[0].what.contains("Ash, Elm and Oak is 22 days old"),
        "{}",
        late[0].what
    );
    assert_eq!(late[0].subjects.len(), 3);
    // One tank left out of the last two rounds.
    entries.retain(|e| !(e.tanks == [tank(2)] && days::of(e) > date(2026, 3, 1)));
    let left_out = found(&bench, &entries, date(2026, 3, 30));
    assert_eq!(codes(&left_out), ["pictures_overdue"]);
    assert!(left_out[0].what.contains("of Oak is 29 days old"));
    entries.retain(|e| e.tanks != [tank(2)]);
    assert_eq!(
        codes(&found(&bench, &entries, date(2026, 3, 30))),
        ["pictures_missing"]
    );
    // A routine of seven days holds instead, to the day.
    bench.plans = vec![Plan {
        id: PlanId(Uuid::from_u128(7)),
        trial: bench.trial.id,
        what: "pictures".into(),
        tanks: vec![],
        from: date(2026, 3, 1),
        expects: String::new(),
        routine: Some(Routine {
            act: "picture".into(),
            every_days: 7,
            until: Some(date(2026, 5, 1)),
        }),
        outcome: PlanOutcome::Open,
    }];
    let with_routine = |today| codes(&found(&bench, &entries, today)).contains(&"pictures_overdue");
    assert!(!with_routine(date(2026, 4, 5)) && with_routine(date(2026, 4, 6)));
    // Nothing is due once the trial has ended, or before the first picture.
    bench.trial.phases = vec![Phase {
        kind: PhaseKind::End,
        from: date(2026, 4, 2),
        to: None,
        note: String::new(),
    }];
    assert!(found(&bench, &entries, date(2026, 4, 20)).is_empty());
    assert!(found(&bench, &[], date(2026, 3, 20)).is_empty());
}

#[test]
fn two_pictures_are_found_by_day_and_by_tank() {
    let bench = bench();
    let entries = [
        front(1, "2026-03-01T15:00", 0),
        front(2, "2026-03-01T15:05", 1),
        front(3, "2026-03-15T15:00", 0),
        shot(4, "2026-03-20T15:00", 0, View::Detail, (800, 800)),
        front(5, "2026-03-29T15:00", 0),
    ];
    let ids = |asked| {
        let two = side_by_side(&bench, &entries, asked)?;
        Some((
            two.left.line.entry,
            two.right.line.entry,
            codes(&two.findings),
        ))
    };
    let at = |n: usize| entries[n].id;
    assert_eq!(ids(Asked::Usual), Some((at(0), at(4), vec![])));
    // The earlier one stands left, whichever day was said first.
    let (first, last) = (date(2026, 3, 1), date(2026, 3, 29));
    assert_eq!(
        ids(Asked::Days(tank(0), last, first)),
        Some((at(0), at(4), vec![]))
    );
    let near = ids(Asked::Days(tank(0), first, date(2026, 3, 14)));
    assert_eq!(near, Some((at(0), at(2), vec!["pictures_another_day"])));
    assert_eq!(
        ids(Asked::Tanks(tank(0), tank(1), first)),
        Some((at(0), at(1), vec![]))
    );
    assert_eq!(ids(Asked::Tanks(tank(0), tank(2), first)), None);
    let other = EntryId(Uuid::from_u128(1));
    assert_eq!(ids(Asked::Entries(at(0), other)), None);
    let odd = ids(Asked::Entries(at(0), at(3)));
    let both = vec!["pictures_views_differ", "pictures_shapes_differ"];
    assert_eq!(odd, Some((at(0), at(3), both)));
    let two = side_by_side(&bench, &entries, Asked::Entries(at(2), at(4))).unwrap();
    assert_eq!(two.days, 14);
    assert_eq!(two.around_left, [Some(at(0)), Some(at(4))]);
    assert_eq!(two.around_right, [Some(at(2)), None]);
}

#[test]
fn shapes_that_differ_by_rounding_alone_are_the_same() {
    let bench = bench();
    let sized = |n, size| shot(n, &format!("2026-03-0{n}T15:00"), 0, View::Front, size);
    let of = |size| {
        let entries = [sized(1, (4032, 3024)), sized(2, size)];
        codes(
            &side_by_side(&bench, &entries, Asked::Usual)
                .unwrap()
                .findings,
        )
    };
    assert_eq!(of((1000, 750)), [""; 0]);
    assert_eq!(of((1001, 750)), [""; 0]);
    assert_eq!(of((750, 1000)), ["pictures_shapes_differ"]);
    assert_eq!(of((1920, 1080)), ["pictures_shapes_differ"]);
}
