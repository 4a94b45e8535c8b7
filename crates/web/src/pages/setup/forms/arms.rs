//! Arms, what differs between them and what is equal, and which tank is in which arm.

use maud::{Markup, html};
use text::t;
use trial::types::{Arm, EqualFactor, Factor, Level, Lot};
use trial::{Bench, Tank, Trial, lot};

use crate::pages::setup::kit::{Ink, MOST_ROWS, nth, part, rows_used};
use crate::pages::setup::reader::Reader;
use crate::parts::fields::Pairs;
use crate::parts::form::{hidden, row};

const ARM: [&str; 1] = ["arm_name"];
const EQUAL: [&str; 2] = ["equal", "equal_value"];

/// The name of the fields with the level in the arm of row `arm`.
fn level(arm: usize) -> String {
    format!("level{arm}")
}

/// The fields of a factor, for that many arms.
fn factor_fields(arms: usize) -> Vec<String> {
    let levels = (1..=arms).map(level);
    std::iter::once("factor".to_owned()).chain(levels).collect()
}

pub(in crate::pages::setup) fn fill(r: &Trial) -> Pairs {
    let mut to = Pairs::default();
    for (n, arm) in (1..).zip(&r.arms) {
        to.put(&nth("arm_name", n), &arm.name);
        to.put(&nth("arm_key", n), &arm.key);
        if arm.control {
            to.put("control", n);
        }
    }
    for (n, factor) in (1..).zip(&r.differ) {
        to.put(&nth("factor", n), &factor.name);
        for (a, arm) in (1..).zip(&r.arms) {
            let value = factor
                .levels
                .iter()
                .find(|l| l.arm == arm.key)
                .map(|l| &l.value);
            to.put(&nth(&level(a), n), value.map_or("", String::as_str));
        }
    }
    for (n, equal) in (1..).zip(&r.equal) {
        to.put(&nth("equal", n), &equal.name);
        to.put(&nth("equal_value", n), &equal.value);
    }
    to
}

/// Which tank is in which arm, as rows of the arms.
pub(in crate::pages::setup) fn fill_tanks(bench: &Bench) -> Pairs {
    let mut to = Pairs::default();
    for (n, tank) in (1..).zip(&bench.tanks) {
        let row = bench
            .trial
            .arms
            .iter()
            .position(|a| tank.arm.as_ref() == Some(&a.key));
        to.put(
            &nth("tank_arm", n),
            row.map_or(String::new(), |at| (at + 1).to_string()),
        );
    }
    to
}

/// The trial with its arms, and the tanks that change their arm.
pub(in crate::pages::setup) fn read(from: &mut Reader<'_>, base: &Trial) -> (Trial, Vec<Tank>) {
    let rows = from.rows(&ARM);
    let mut arms: Vec<Arm> = Vec::new();
    for n in &rows {
        let name = from.text(&nth("arm_name", *n));
        let kept = from.typed(&nth("arm_key", *n)).to_owned();
        let known = base.arms.iter().any(|a| a.key == kept);
        let key = if known {
            kept
        } else {
            new_key(&name, base, &arms)
        };
        let control = from.typed("control") == n.to_string();
        arms.push(Arm { key, name, control });
    }
    let keys: Vec<(usize, String)> = rows
        .iter()
        .zip(&arms)
        .map(|(row, arm)| (*row, arm.key.clone()))
        .collect();
    let mut trial = Trial {
        differ: read_factors(from, &keys),
        equal: read_equal(from),
        arms,
        ..base.clone()
    };
    let tanks = match from.typed("assign") {
        "lot" if base.lot.is_none() => by_lot(from, &mut trial),
        "paper" if base.lot.is_none() => {
            let changed = by_hand(from, &keys);
            let given = given(from, &trial, &changed);
            trial.lot = paper_lot(from, &given);
            changed
        }
        _ => by_hand(from, &keys),
    };
    (trial, tanks)
}

/// Each tank with the name of the arm it has after these changes; a tank without one is refused.
fn given(from: &mut Reader<'_>, trial: &Trial, changed: &[Tank]) -> Vec<(String, String)> {
    let bench = from.bench;
    let mut given = Vec::new();
    for (n, tank) in (1..).zip(&bench.tanks) {
        let now = changed.iter().find(|t| t.id == tank.id).unwrap_or(tank);
        match now.arm.as_ref().and_then(|key| trial.arm(key)) {
            Some(arm) => given.push((tank.name.clone(), arm.name.clone())),
            None => from.refuse(&nth("tank_arm", n), t!("setup.accept_arm")),
        }
    }
    given
}

/// A lot that was drawn on paper, with what it gave.
pub(in crate::pages::setup) fn paper_lot(
    from: &mut Reader<'_>,
    given: &[(String, String)],
) -> Option<Lot> {
    let how = from.text("paper_how");
    if how.is_empty() {
        from.refuse("paper_how", t!("setup.accept_paper_how"));
    }
    let by = from.text("paper_by");
    let day = from.date("paper_on").filter(|day| *day <= from.today);
    if day.is_none() {
        from.refuse("paper_on", t!("setup.accept_paper_on", today = from.today));
    }
    Some(lot::on_paper(day?, &how, &by, given))
}

/// What a lot on paper is asked for.
pub(in crate::pages::setup) fn paper_fields(ink: &Ink<'_>) -> Markup {
    let names = ["paper_on", "paper_how", "paper_by"];
    let touched = |name: &&str| {
        let typed = ink.state.data.one(name).unwrap_or_default();
        !typed.trim().is_empty() || ink.state.errors.of(name).is_some()
    };
    html! {
        details.disclosure open[names.iter().any(touched)] {
            summary { (t!("setup.paper_rows")) }
            div.disclosure-body.disclosure-fields {
                (ink.field("paper_on").date())
                (ink.text("paper_how"))
                (ink.text("paper_by"))
            }
        }
    }
}

/// A short key of the arm's first word, not used yet by this trial.
pub(in crate::pages::setup) fn new_key(name: &str, base: &Trial, arms: &[Arm]) -> String {
    let word = name
        .split(|c: char| !c.is_alphanumeric())
        .find(|w| !w.is_empty());
    let word = word.unwrap_or("arm").to_lowercase();
    let taken = |key: &str| {
        arms.iter()
            .chain(&base.arms)
            .any(|a| a.key.to_lowercase() == key)
    };
    let numbered = (2..).map(|n| format!("{word}{n}"));
    let mut keys = std::iter::once(word.clone()).chain(numbered);
    keys.find(|key| !taken(key)).unwrap_or(word)
}

fn read_factors(from: &mut Reader<'_>, keys: &[(usize, String)]) -> Vec<Factor> {
    let fields = factor_fields(MOST_ROWS);
    let fields: Vec<&str> = fields.iter().map(String::as_str).collect();
    let mut factors = Vec::new();
    for n in from.rows(&fields) {
        let name = from.text(&nth("factor", n));
        if name.is_empty() {
            from.refuse(&nth("factor", n), t!("setup.accept_factor"));
        }
        let mut levels = Vec::new();
        for (row, key) in keys {
            let value = from.text(&nth(&level(*row), n));
            if !value.is_empty() {
                let arm = key.clone();
                levels.push(Level { arm, value });
            }
        }
        factors.push(Factor { name, levels });
    }
    factors
}

fn read_equal(from: &mut Reader<'_>) -> Vec<EqualFactor> {
    let mut equal = Vec::new();
    for n in from.rows(&EQUAL) {
        let (name, value) = (
            from.text(&nth("equal", n)),
            from.text(&nth("equal_value", n)),
        );
        if name.is_empty() {
            from.refuse(&nth("equal", n), t!("setup.accept_factor"));
        }
        equal.push(EqualFactor { name, value });
    }
    equal
}

fn by_hand(from: &mut Reader<'_>, keys: &[(usize, String)]) -> Vec<Tank> {
    let bench = from.bench;
    let mut changed = Vec::new();
    for (n, tank) in (1..).zip(&bench.tanks) {
        let name = nth("tank_arm", n);
        if !from.form.has(&name) {
            continue;
        }
        let row = from.typed(&name);
        let arm = keys
            .iter()
            .find(|(r, _)| r.to_string() == row)
            .map(|(_, key)| key.clone());
        if arm.is_none() && !row.is_empty() {
            from.refuse(&name, t!("setup.accept_arm"));
        }
        if arm != tank.arm {
            changed.push(Tank {
                arm,
                ..tank.clone()
            });
        }
    }
    changed
}

fn by_lot(from: &mut Reader<'_>, trial: &mut Trial) -> Vec<Tank> {
    let bench = from.bench;
    if trial.arms.len() < 2 {
        from.refuse("assign", t!("setup.accept_two_arms"));
        return Vec::new();
    }
    let Some(seed) = from.seed("seed") else {
        return Vec::new();
    };
    let names: Vec<&str> = bench.tanks.iter().map(|t| t.name.as_str()).collect();
    let arms: Vec<&str> = trial.arms.iter().map(|a| a.name.as_str()).collect();
    trial.lot = Some(lot::record(seed, &arms, from.today));
    let dealt = lot::dealt(seed, &names, arms.len());
    let arm_of = |name: &str| dealt.iter().find(|(n, _)| *n == name).map(|(_, arm)| *arm);
    let tanks = bench.tanks.iter().map(|tank| Tank {
        arm: arm_of(&tank.name)
            .and_then(|at| trial.arms.get(at))
            .map(|a| a.key.clone()),
        ..tank.clone()
    });
    tanks.collect()
}

pub(in crate::pages::setup) fn fields(ink: &Ink<'_>) -> Markup {
    let arms = ink.rows(&ARM).max(2);
    let factor = factor_fields(arms);
    let factor: Vec<&str> = factor.iter().map(String::as_str).collect();
    let key = |n: usize| ink.state.data.one(&nth("arm_key", n)).unwrap_or_default();
    html! {
        (part(t!("setup.part_arms"), &html! {
            @for n in 1..=arms { (hidden(&nth("arm_key", n), key(n))) }
            (row(&html! { @for n in 1..=arms { (ink.text_numbered(&nth("arm_name", n), n)) } }))
            (ink.field("control").select(&arm_list(ink, t!("setup.no_control"))))
        }))
        (part(t!("setup.part_differ"), &html! {
            p.muted { (t!("setup.differ_what")) }
            (ink.repeated(t!("setup.row_factor"), &factor, |n| html! {
                (ink.text(&nth("factor", n)))
                (row(&html! {
                    @for a in 1..=arms {
                        (ink.field_named(&nth(&level(a), n), &t!("setup.level_of", arm = arm_words(ink, a))).text())
                    }
                }))
            }))
        }))
        (part(t!("setup.part_equal"), &html! {
            (ink.repeated(t!("setup.row_equal"), &EQUAL, |n| row(&html! {
                (ink.text(&nth("equal", n))) (ink.text(&nth("equal_value", n)))
            })))
        }))
        (part(t!("setup.part_tank_arms"), &tanks(ink)))
    }
}

fn tanks(ink: &Ink<'_>) -> Markup {
    let list = arm_list(ink, t!("setup.no_arm"));
    html! {
        (row(&html! {
            @for (n, tank) in (1..).zip(&ink.bench.tanks) {
                (ink.field_named(&nth("tank_arm", n), &tank.name).select(&list))
            }
        }))
        @match &ink.bench.trial.lot {
            Some(drawn) => {
                p { (lot::sentence(drawn)) " " (lot::details(drawn)) }
            }
            None => {
                p.muted { (t!("setup.lot_what")) }
                (row(&html! { (ink.select("assign")) (ink.text("seed")) }))
                (paper_fields(ink))
            }
        }
    }
}

/// The arm of a row as typed, or its number.
fn arm_words(ink: &Ink<'_>, n: usize) -> String {
    let typed = ink
        .state
        .data
        .one(&nth("arm_name", n))
        .unwrap_or_default()
        .trim();
    if typed.is_empty() {
        t!("setup.arm_number", n = n)
    } else {
        typed.to_owned()
    }
}

/// The arms as typed, by their row, after a word for none.
fn arm_list(ink: &Ink<'_>, none: &str) -> Vec<(String, String)> {
    let used = rows_used(ink.state.data.iter(), &ARM).max(2);
    let none = (String::new(), none.to_owned());
    let arms = (1..=used).map(|n| (n.to_string(), arm_words(ink, n)));
    std::iter::once(none).chain(arms).collect()
}
