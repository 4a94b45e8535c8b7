use super::*;
use crate::cost::sample::{all, bench, change, entry, id, tank};
use quantity::{Amount, Analyte, Interval, Means, Unit};
use trial::act::{Change, Dose, DoseOf, Into, Reading, ReadingOf, Setting, WaterAmount};
use trial::{Card, CardId, Seen};

fn dose(grams: f64) -> Act {
    Act::Dose(Dose {
        of: DoseOf::Salt {
            formula: "KNO3".into(),
        },
        amount: Amount::new(grams, Unit::Gram),
        into: Into::Water,
    })
}

fn over(mut later: Entry, earlier: &Entry) -> Entry {
    later.supersedes = Some(earlier.id);
    later
}

fn told(chain: &[Entry]) -> HistoryAnswer {
    history(chain, &bench(), &Format::default())
}

fn sentences(step: &Step) -> Vec<&str> {
    step.changed.iter().map(|c| c.sentence.as_str()).collect()
}

#[test]
fn an_entry_never_changed_stands() {
    let first = entry(1, 0, &all(), dose(1.2));
    let answer = told(std::slice::from_ref(&first));
    assert_eq!(answer.now, Now::InForce { entry: first.id });
    assert_eq!((answer.steps.len(), answer.steps[0].did), (1, Did::Written));
    assert!(answer.steps[0].sentence.contains("1.2\u{a0}g"));
    assert_eq!(answer.steps[0].tanks, "every tank");
}

#[test]
fn a_correction_says_each_field_it_changed() {
    let first = entry(1, 0, &all(), dose(1.2));
    let mut second = over(entry(2, 1, &[tank(1), tank(3)], dose(1.4)), &first);
    second.note = "misread the scale".into();
    second.minutes = Some(5.0);
    let id = second.id;
    let answer = told(&[first, second]);
    assert_eq!(answer.now, Now::Corrected { entry: id });
    assert_eq!(
        sentences(&answer.steps[1]),
        [
            "Time: 2024-01-01 18:00 UTC before, 2024-01-02 18:00 UTC now.",
            "Tanks: every tank before, Ash and Fir now.",
            "Minutes of work added: 5\u{a0}min.",
            "Note added: misread the scale.",
            "Amount: 1.2\u{a0}g before, 1.4\u{a0}g now.",
        ]
    );
    assert!(answer.sentence.contains("version 2 stands"));
    assert!(!answer.steps[0].in_force && answer.steps[1].in_force);
    assert!(answer.findings.is_empty());
}

#[test]
fn payload_fields_read_as_words() {
    let mut b = bench();
    b.cards = vec![Card {
        id: CardId(id(300)),
        name: "nitrate card".into(),
        analyte: Analyte::No3,
        means: Means::Ion,
        steps: vec![0.0, 6.0, 12.0, 24.0],
        invented: true,
    }];
    let reading = |seen, interval, lot: &str| {
        Act::Reading(Reading {
            analyte: Analyte::No3,
            seen,
            card: Some(CardId(id(300))),
            means: Means::Ion,
            interval,
            water: None,
            dilution: None,
            of: ReadingOf::Sample,
            lot: lot.into(),
            opened: None,
            expires: None,
            waited_min: None,
            viewing_light: String::new(),
        })
    };
    let (low, high) = (6.0, 12.0);
    let step = reading(
        Seen::Step { step: 6.0 },
        Interval::closed(3.0, 9.0).unwrap(),
        "A1",
    );
    let between = reading(
        Seen::Between { low, high },
        Interval::closed(low, high).unwrap(),
        "",
    );
    let first = entry(1, 0, &[tank(1)], step);
    let second = over(entry(2, 0, &[tank(1)], between), &first);
    let answer = history(&[first, second], &b, &Format { decimal_sign: ',' });
    let mut said = sentences(&answer.steps[1]);
    said.sort();
    assert_eq!(
        said,
        [
            "Reagent lot taken out; it was A1.",
            "Seen: step 6 before, between 6 and 12 now.",
            "What it says: 3 to 9\u{a0}mg/L before, 6 to 12\u{a0}mg/L now.",
        ]
    );
}

#[test]
fn shares_settings_and_kinds_read_as_words() {
    let litres = Act::Change(Change {
        amount: WaterAmount::Litres { litres: 20.0 },
        source: None,
    });
    let first = entry(1, 0, &all(), change());
    let second = over(entry(2, 0, &all(), litres), &first);
    let third = over(entry(3, 0, &all(), Act::Note), &second);
    let answer = told(&[first, second, third]);
    assert_eq!(
        sentences(&answer.steps[1]),
        ["Amount: 40\u{a0}% before, 20\u{a0}L now."]
    );
    assert!(sentences(&answer.steps[2])[0].starts_with("What was done: "));
    let hours = |h| {
        Act::Setting(Setting {
            photoperiod_h: Some(h),
            ..Setting::default()
        })
    };
    let first = entry(1, 0, &all(), hours(7.0));
    let second = over(entry(2, 0, &all(), hours(7.5)), &first);
    assert_eq!(
        sentences(&told(&[first, second]).steps[1]),
        ["Hours of light: 7\u{a0}h before, 7.5\u{a0}h now."]
    );
}

#[test]
fn an_undo_takes_back_and_what_it_took_can_be_written_again() {
    let first = entry(1, 0, &all(), dose(1.2));
    let correction = over(entry(2, 1, &all(), dose(1.4)), &first);
    let undo = over(entry(3, 2, &all(), Act::Undo), &correction);
    let mut chain = vec![first, correction, undo];
    let answer = told(&chain);
    assert_eq!(answer.now, Now::TakenBack);
    assert_eq!(
        (answer.steps[2].did, answer.steps[2].changed.len()),
        (Did::TakenBack, 0)
    );
    assert!(answer.steps.iter().all(|s| !s.in_force));
    let again = over(entry(4, 3, &all(), dose(1.3)), &chain[2]);
    chain.push(again);
    let answer = told(&chain);
    assert_eq!(answer.now, Now::Corrected { entry: chain[3].id });
    assert_eq!(answer.steps[3].did, Did::WrittenAgain);
    // Held against the correction that was taken back, not against the undo.
    assert_eq!(
        sentences(&answer.steps[3])[1],
        "Amount: 1.4\u{a0}g before, 1.3\u{a0}g now."
    );
    assert!(answer.sentence.contains("written again"));
}

#[test]
fn odd_chains_are_findings() {
    let first = entry(1, 0, &all(), dose(1.2));
    let one = over(entry(2, 1, &all(), dose(1.4)), &first);
    let two = over(entry(3, 2, &all(), dose(1.6)), &first);
    let forked = told(&[first.clone(), one.clone(), two]);
    assert_eq!(forked.findings[0].code, "history_forked");
    let broken = told(&[one]);
    assert_eq!(broken.findings[0].code, "history_broken");
}

#[test]
fn in_force_keeps_order_and_needs_no_whole_chain() {
    let first = entry(1, 0, &all(), dose(1.2));
    let other = entry(2, 1, &all(), change());
    let correction = over(
        entry(3, 2, &all(), dose(1.4)),
        &entry(99, 0, &all(), dose(1.0)),
    );
    let entries = [first, other, correction];
    let ids: Vec<EntryId> = in_force(&entries).iter().map(|e| e.id).collect();
    assert_eq!(ids, [1, 2, 3].map(|n| EntryId(id(n))));
}

#[test]
fn fields_without_words_of_their_own_lose_unit_and_underscores() {
    assert_eq!(words::field_words("bubble_rate_min"), "bubble rate");
    assert_eq!(words::field_words("photoperiod_h"), "Hours of light");
}
