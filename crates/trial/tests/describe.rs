//! Sentences, one for each kind of entry, as people read them.

#![allow(clippy::unwrap_used, clippy::panic, clippy::too_many_lines)] // helpers fail a test by panicking

mod common;

use common::*;
use quantity::Format;
use trial::act::*;
use trial::describe::{sentence, tanks_phrase};
use trial::{Act, jot};

fn said(line: &str) -> String {
    let b = bench();
    let j = jot::read(line, &b, &now()).unwrap_or_else(|e| panic!("{e}"));
    sentence(&j.draft.act, &b, &Format::default()).replace('\u{a0}', " ")
}

#[test]
fn one_plain_sentence_per_kind() {
    for (line, expected) in [
        (
            "dose kno3 1.2 g",
            "dosed 1.2 g potassium nitrate (KNO3) into the water",
        ),
        (
            "dose root tab 2",
            "dosed 2 pieces of Root tab into the substrate",
        ),
        ("change 40% tap", "changed 40 % of the water with tap"),
        ("change 20 l", "changed 20 L of water"),
        (
            "topup 2 l rain level 1.5 cm",
            "topped up 2 L with rain, the level was 1.5 cm below its mark",
        ),
        ("feed flakes 0.3 g", "fed 0.3 g flakes"),
        (
            "oak: read no3 6-12",
            "read nitrate 6 to 12 mg/L (between two steps of card \"nitrate\")",
        ),
        (
            "oak: read no3 6 x5",
            "read nitrate 22.5 to 45 mg/L (step 6 of card \"nitrate\", sample diluted 5 times)",
        ),
        (
            "oak: read ph 6.80",
            "read pH 6.80 (meter, error not stated)",
        ),
        (
            "oak: read no3-n ~2 +/- 0.1",
            "read NO3-N 2 ± 0.1 mg/L (meter)",
        ),
        (
            "oak: read kh 3-4",
            "read alkalinity (KH) 3 to 4 dKH (bare interval, no card)",
        ),
        (
            "read tap no3 3+",
            "read nitrate at least 3 mg/L in tap (on card \"nitrate\")",
        ),
        (
            "ash: score bacopa 7 height 22 cm cover 45% pale emerged",
            "looked at Bacopa caroliniana: vigour 7, height 22 cm, cover 45 %, leaves above the \
             water, pale",
        ),
        (
            "ash: film 2 thread sand 1",
            "scored film 2 on the panes and threads 1 on the substrate",
        ),
        (
            "trim bacopa keep 50%",
            "trimmed Bacopa caroliniana, 50 % kept",
        ),
        (
            "ash: trim bacopa out 32 g dried 12 g to 1.1 g leave \"second lot\"",
            "trimmed Bacopa caroliniana, 32 g taken out, 12 g of it dried to 1.1 g, Bacopa \
             caroliniana (second lot) left uncut",
        ),
        (
            "ash: replant bacopa 1 10 g into \"second lot\"",
            "replanted 1 cutting of Bacopa caroliniana, 10 g together, joining Bacopa caroliniana \
             (second lot)",
        ),
        (
            "thin salvinia keep 30%",
            "thinned Salvinia natans, 30 % kept",
        ),
        (
            "clean filter flow 220 to 300",
            "cleaned the filter, flow was 220 L/h, flow is now 300 L/h",
        ),
        (
            "light 7.5 h 60% on 11:00",
            "set light to 7.5 h a day, lamp to 60 % of full power and lamp on at 11:00",
        ),
        (
            "set gas on -60 min gas off 0 temp 24",
            "set gas on 60 min before the lamp goes on, gas off with the lamp and heater to 24 °C",
        ),
        (
            "ash: plantlets eleocharis 12",
            "counted 12 plantlets of Eleocharis acicularis",
        ),
        (
            "ash: lost bacopa 1 stem",
            "lost 1 stem of Bacopa caroliniana",
        ),
        (
            "ash: move salvinia 10 g to elm",
            "moved 10 g of Salvinia natans to Elm",
        ),
        (
            "ash: move salvinia out",
            "moved Salvinia natans out of the trial",
        ),
        ("ash: died 1 fish", "1 fish died"),
        (
            "ash: swap \"old lamp\" for \"new lamp\" 35 EUR",
            "swapped old lamp for new lamp, 35 EUR",
        ),
        (
            "ash: harvest bacopa 64 g dry 5.1 g planted back",
            "harvested Bacopa caroliniana, 64 g fresh, 5.1 g dry, planted back",
        ),
    ] {
        assert_eq!(said(line), expected, "{line}");
    }
}

#[test]
fn tanks_in_words() {
    let b = bench();
    let some = [tank("Ash"), tank("Elm")];
    assert_eq!(tanks_phrase(&some, false, &b), "Ash and Elm");
    assert_eq!(tanks_phrase(&b.tank_ids(), true, &b), "every tank");
    assert_eq!(
        tanks_phrase(&b.tank_ids(), false, &b),
        "Ash, Elm, Fir and Oak"
    );
    assert_eq!(tanks_phrase(&[], false, &b), "the whole trial");
}

#[test]
fn what_is_no_longer_recorded_is_said_so() {
    let act = Act::Dose(Dose {
        of: DoseOf::Product {
            product: product(99),
        },
        amount: quantity::Amount::new(5.0, quantity::Unit::Millilitre),
        into: Into::Water,
    });
    let text = sentence(&act, &bench(), &Format { decimal_sign: ',' });
    assert_eq!(text, "dosed 5\u{a0}mL (no longer recorded) into the water");
}
