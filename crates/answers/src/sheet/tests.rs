//! Rows by rule, values as typed, all or nothing, once. All invented.

use super::*;
use crate::log::Stamp;
use jiff::civil::date;
use quantity::Amount;
use quantity::Unit;
use trial::act::{Change, Dose, DoseOf, Feed, WaterAmount};
use trial::plan::{PlanOutcome, Routine};
use trial::types::{Better, Outcome};
use trial::{
    Card, Entry, EntryId, Origin, Plan, PlanId, Planting, PlantingId, Record, Tank, Trial, TrialId,
};
use uuid::Uuid;

const ZONE: &str = "Europe/Lisbon";
const PLANT: &str = "Bacopa caroliniana";

fn id(n: u128) -> Uuid {
    Uuid::from_u128(n)
}

fn at(day: i8, hour: i8) -> ZonedDateTime {
    let civil = date(2026, 3, day).at(hour, 0, 0, 0);
    civil.in_tz(ZONE).unwrap()
}

fn act(n: u128, day: i8, act: Act) -> Entry {
    Entry {
        id: EntryId(id(1000 + n)),
        trial: TrialId(id(1)),
        at: at(day, 18),
        written: at(day, 18).timestamp(),
        tanks: vec![TankId(id(10)), TankId(id(11))],
        all_tanks: true,
        who: "Kim".into(),
        minutes: None,
        note: String::new(),
        origin: Origin::Form,
        supersedes: None,
        act,
    }
}

fn share(share: f64) -> Act {
    Act::Change(Change {
        amount: WaterAmount::Share { share },
        source: None,
    })
}

fn salt(grams: f64) -> Act {
    Act::Dose(Dose {
        of: DoseOf::Salt {
            formula: "KNO3".into(),
        },
        amount: Amount::new(grams, Unit::Gram),
        into: Default::default(),
    })
}

fn flakes() -> Act {
    Act::Feed(Feed {
        food: "flakes".into(),
        product: None,
        grams: Some(0.2),
    })
}

/// Two tanks, one plant, one card, a weekly change that was last done on 5 March; the salt was dosed
/// on 3 and 6 March, the second time more.
fn desk() -> (tempfile::TempDir, Notebook, Bench) {
    let folder = tempfile::tempdir().unwrap();
    let notebook = Notebook::create(folder.path()).unwrap();
    let trial_id = TrialId(id(1));
    let mut trial = Trial::new(trial_id, "Two diets", ZONE);
    trial.start = Some(date(2026, 3, 2));
    trial.primary = Some(Outcome {
        name: "Height".into(),
        measure: Measure::Height,
        plant: Some(PLANT.into()),
        better: Better::More,
    });
    let mut records = vec![Record::Trial(trial)];
    for (n, name) in ["Ash", "Elm"].into_iter().enumerate() {
        let tank = TankId(id(10 + n as u128));
        records.push(Record::Tank(Tank::new(tank, trial_id, name, n as u32)));
        let planting = PlantingId(id(20 + n as u128));
        records.push(Record::Planting(Planting::new(
            planting, trial_id, tank, PLANT,
        )));
    }
    records.push(Record::Card(Card {
        id: CardId(id(30)),
        name: "nitrate card".into(),
        analyte: Analyte::No3,
        means: Means::Ion,
        steps: vec![0.0, 3.0, 6.0, 12.0, 24.0],
        invented: true,
    }));
    records.push(Record::Plan(Plan {
        id: PlanId(id(40)),
        trial: trial_id,
        what: "Change 40 %".into(),
        tanks: vec![],
        from: date(2026, 3, 2),
        expects: String::new(),
        routine: Some(Routine {
            act: "change".into(),
            every_days: 7,
            until: None,
        }),
        outcome: PlanOutcome::Open,
    }));
    for record in records {
        let now = at(1, 8).timestamp();
        notebook.write_record(&record, "Kim", now).unwrap();
    }
    let done = [
        act(1, 3, salt(0.5)),
        act(2, 5, share(0.4)),
        act(3, 6, salt(0.8)),
    ];
    for entry in done {
        notebook.write_entry(&entry).unwrap();
    }
    let bench = notebook.bench(trial_id).unwrap();
    (folder, notebook, bench)
}

fn asked(days: u32) -> Asked {
    Asked {
        from: date(2026, 3, 9),
        days,
        made: at(9, 8),
        parts: Parts::ALL,
    }
}

fn titles(rows: &[Row]) -> Vec<&str> {
    let printed = rows.iter().filter(|r| r.what != What::Line);
    printed.map(|r| r.title.as_str()).collect()
}

#[test]
fn a_sheet_has_what_is_due_usual_and_looked_at() {
    let (_folder, notebook, bench) = desk();
    let made = sheet(&notebook, &bench, &asked(7)).unwrap();
    // Every 7 days after 5 March: the 12th, and the 19th lies beyond the 15th.
    let due: Vec<_> = made.due.iter().map(|d| (d.day, d.what.as_str())).collect();
    assert_eq!(due, [(date(2026, 3, 12), "Change 40 %")]);
    assert_eq!(made.week, Some(2));
    // The last dose is the usual one; twice in six days makes two lines in seven.
    assert_eq!(
        titles(&made.rows),
        [
            "dosed 0.8\u{a0}g potassium nitrate (KNO3) into the water",
            "dosed 0.8\u{a0}g potassium nitrate (KNO3) into the water",
            "changed 40\u{a0}% of the water",
            "nitrate card",
            "Bacopa caroliniana: height",
            "Bacopa caroliniana: vigour",
            "the panes: film algae",
        ]
    );
    assert!(!made.examples.is_empty() && !made.cautions.is_empty());
    for row in &made.rows {
        let again = row_of(&notebook, &bench, &row.key).unwrap();
        assert_eq!(again.as_ref(), Some(row), "{}", row.key);
    }
}

#[test]
fn what_is_logged_after_a_sheet_was_made_does_not_change_it() {
    let (_folder, notebook, bench) = desk();
    let made = sheet(&notebook, &bench, &asked(7)).unwrap();
    notebook.write_entry(&act(4, 10, salt(2.0))).unwrap();
    notebook.write_entry(&act(5, 10, flakes())).unwrap();
    assert_eq!(sheet(&notebook, &bench, &asked(7)).unwrap(), made);
}

/// The rows of the sheet, each blank.
fn blank(rows: &[Row]) -> Vec<TypedRow> {
    let of_row = |r: &Row| TypedRow {
        values: vec![String::new(); r.boxes().len().max(1)],
        ..TypedRow::default()
    };
    rows.iter().map(of_row).collect()
}

fn row(rows: &[Row], title: &str) -> usize {
    let found = rows.iter().position(|r| r.title.contains(title));
    found.unwrap()
}

const SPAN: (Date, Date) = (date(2026, 3, 9), date(2026, 3, 15));

#[test]
fn values_become_entries_as_they_were_typed() {
    let (_folder, notebook, bench) = desk();
    let rows = sheet(&notebook, &bench, &asked(7)).unwrap().rows;
    let mut typed = blank(&rows);
    let dose = &mut typed[row(&rows, "dosed")];
    (dose.usual, dose.day, dose.time) = (true, "2026-03-10".into(), "18:30".into());
    let change = &mut typed[row(&rows, "changed")];
    (change.amount, change.minutes) = ("12 l".into(), "40".into());
    let card = &mut typed[row(&rows, "nitrate card")];
    (card.values, card.minutes) = (vec!["6-12".into(), "3".into()], "10".into());
    typed[row(&rows, "height")].values[1] = "22,5 cm".into();
    let line = row(&rows, crate::sheet::rows::free_line().title.as_str());
    typed[line].values[0] = "ash: died 1 snail @ 9:15".into();
    let head = Head {
        day: "2026-03-12".into(),
        who: "Mina".into(),
        ..Head::default()
    };
    let made = read(&bench, SPAN, &rows, (&head, &typed), &at(16, 9)).unwrap();
    let of = |kind: &str| -> Vec<&Made> {
        let all = made.iter();
        all.filter(|m| m.draft.act.kind() == kind).collect()
    };
    let dose = &of("dose")[0].draft;
    assert_eq!(dose.act, salt(0.8));
    assert_eq!(
        dose.at.strftime("%d %H:%M").to_string(),
        "10 18:30",
        "its own day and time"
    );
    assert!(dose.all_tanks && dose.who == "Mina");
    let change = &of("change")[0].draft;
    assert_eq!(change.minutes, Some(40.0));
    let litres = Act::Change(Change {
        amount: WaterAmount::Litres { litres: 12.0 },
        source: None,
    });
    assert_eq!(change.act, litres);
    assert_eq!(change.at, at(12, 12), "the head's day, at noon");
    let seen: Vec<_> = of("reading")
        .iter()
        .map(|m| match &m.draft.act {
            Act::Reading(r) => (r.seen, m.draft.minutes),
            other => panic!("{other:?}"),
        })
        .collect();
    // The minutes of a row are shared by its tanks.
    assert_eq!(
        seen,
        [
            (
                trial::Seen::Between {
                    low: 6.0,
                    high: 12.0
                },
                Some(5.0)
            ),
            (trial::Seen::Step { step: 3.0 }, Some(5.0)),
        ]
    );
    assert!(
        matches!(&of("observation")[0].draft.act, Act::Observation(o)
        if o.height_cm == Some(22.5) && o.plantings == [PlantingId(id(21))])
    );
    let died = &of("livestock")[0];
    assert_eq!(died.draft.at.strftime("%d %H:%M").to_string(), "12 09:15");
    assert_eq!(died.line.as_deref(), Some("ash: died 1 snail @ 9:15"));
}

#[test]
fn everything_wrong_is_named_at_its_field() {
    let (_folder, notebook, bench) = desk();
    let rows = sheet(&notebook, &bench, &asked(7)).unwrap().rows;
    let (dose, change) = (row(&rows, "dosed"), row(&rows, "changed"));
    let (card, height) = (row(&rows, "nitrate card"), row(&rows, "height"));
    let film = row(&rows, "film");
    let line = row(&rows, crate::sheet::rows::free_line().title.as_str());
    let mut typed = blank(&rows);
    (typed[dose].usual, typed[dose].amount) = (true, "2 g".into());
    // A day is no act: it is asked for rather than dropped.
    typed[change].day = "2026-03-12".into();
    typed[card].values = vec!["5".into(), "6 lot A".into()];
    typed[height].values[0] = "-3".into();
    (typed[film].values[0], typed[film].time) = ("6".into(), "half past".into());
    (typed[line].values[0], typed[line].day) = ("ash: dance".into(), "2026-03-20".into());
    typed[line + 1].values[0] = "ash: dance".into();
    let head = Head {
        day: "2026-03-11".into(),
        ..Head::default()
    };
    let wrong = read(&bench, SPAN, &rows, (&head, &typed), &at(16, 9)).unwrap_err();
    let fields: Vec<_> = wrong.iter().map(|w| (w.row.unwrap(), w.part)).collect();
    assert_eq!(
        fields,
        [
            (dose, Part::Amount),
            (change, Part::Usual),
            (card, Part::Value(0)),
            (card, Part::Value(1)),
            (height, Part::Value(0)),
            (film, Part::Time),
            (line, Part::Day),
            (line + 1, Part::Value(0)),
        ]
    );
    assert!(
        wrong[2].accepted.contains("0, 3, 6, 12, 24"),
        "{:?}",
        wrong[2]
    );
    assert!(wrong.iter().all(|w| !w.accepted.is_empty()));
}

#[test]
fn days_must_be_said_on_the_sheet_and_past() {
    let (_folder, notebook, bench) = desk();
    let rows = sheet(&notebook, &bench, &asked(7)).unwrap().rows;
    let n = row(&rows, "dosed");
    let refused = |day: &str, time: &str| {
        let mut typed = blank(&rows);
        (typed[n].usual, typed[n].day, typed[n].time) = (true, day.into(), time.into());
        let now = at(12, 9);
        let read = read(&bench, SPAN, &rows, (&Head::default(), &typed), &now);
        read.unwrap_err()[0].part
    };
    assert_eq!(refused("", ""), Part::Day);
    assert_eq!(refused("2026-03-08", ""), Part::Day);
    assert_eq!(refused("2026-03-13", ""), Part::Day);
    assert_eq!(refused("2026-03-12", "10:00"), Part::Time);
    let nothing = read(
        &bench,
        SPAN,
        &rows,
        (&Head::default(), &blank(&rows)),
        &at(12, 9),
    );
    assert_eq!(nothing.unwrap_err()[0].row, None);
}

#[test]
fn a_sheet_is_written_whole_and_once() {
    let (_folder, notebook, bench) = desk();
    let rows = sheet(&notebook, &bench, &asked(7)).unwrap().rows;
    let mut typed = blank(&rows);
    typed[row(&rows, "dosed")].usual = true;
    typed[row(&rows, "nitrate card")].values = vec!["6".into(), "3".into()];
    let head = Head {
        day: "2026-03-10".into(),
        ..Head::default()
    };
    let made = read(&bench, SPAN, &rows, (&head, &typed), &at(16, 9)).unwrap();
    let stamp = |hour| Stamp {
        // The example UUIDv7 of RFC 9562, appendix A.6.
        id: EntryId("017f22e2-79b0-7cc3-98c4-dc0c0c07398f".parse().unwrap()),
        now: at(16, hour),
        device: None,
    };
    let before = notebook.count_entries().unwrap();
    let ids = write(&notebook, &bench, &made, &stamp(9)).unwrap();
    assert_eq!(ids.len(), 3);
    assert!(ids.iter().all(|id| id.0.get_version_num() == 7));
    assert_eq!(write(&notebook, &bench, &made, &stamp(10)).unwrap(), ids);
    assert_eq!(notebook.count_entries().unwrap(), before + 3);
    let said = wrote(&notebook, &bench, &ids).unwrap();
    assert!(said.iter().all(|w| w.stands && w.findings.is_empty()));
    // Changed meanwhile, it is refused and nothing more is written.
    let mut other = made.clone();
    other[0].draft.who = "Ada".into();
    assert!(write(&notebook, &bench, &other, &stamp(11)).is_err());
    assert_eq!(notebook.count_entries().unwrap(), before + 3);
    // The same paper typed in again under another id is named as such.
    let second = Stamp {
        id: EntryId("017f22e2-79b0-7cc3-98c4-dc0c1c07398f".parse().unwrap()),
        ..stamp(12)
    };
    let twice = write(&notebook, &bench, &made, &second).unwrap();
    let said = wrote(&notebook, &bench, &twice).unwrap();
    assert!(said.iter().all(|w| w.findings.len() == 1));
}
