//! The timeline's figure: nothing hangs on colour, links lead where they should, many marks stay
//! light.

#![allow(clippy::unwrap_used)] // helpers of tests, outside the test functions

mod common;

use std::collections::BTreeSet;

use answers::timeline::{Family, Timeline};
use chart::{Scene, SvgOptions};
use report::figures::timeline::{self as figures, Ways};

const PHONE: f64 = 358.0;
const DESK: f64 = 1120.0;

fn drawn(timeline: &Timeline, width: f64) -> Scene {
    let ways = Ways {
        entry: &|id| format!("entries/{id}"),
        span: &|span, day| format!("?from={day}&span={}", span.key()),
        list: "#entries",
    };
    figures::timeline(timeline, &common::bench(), &ways, width)
}

fn svg(timeline: &Timeline, width: f64) -> String {
    drawn(timeline, width).to_svg(&SvgOptions::page("t"))
}

#[test]
fn no_two_kinds_share_a_shape() {
    let kinds = Family::ALL.iter().flat_map(|f| f.kinds());
    let kinds: Vec<&str> = kinds.copied().collect();
    let shapes: BTreeSet<String> = kinds.iter().map(|k| figures::sign(k)).collect();
    assert_eq!(shapes.len(), kinds.len());
    // Every kind but an undo, which stands for nothing, has a family.
    for kind in trial::Act::KINDS.iter().filter(|k| **k != "undo") {
        assert!(kinds.contains(kind), "{kind}");
    }
}

/// Every mark keeps its shape when all colours are taken away: what is told apart stays apart.
#[test]
fn states_of_plans_and_unlike_treatment_differ_without_colour() {
    let grey = |svg: &str| {
        let mut out = String::new();
        for piece in svg.split(" class=\"") {
            let (_, rest) = piece.split_once('"').unwrap_or(("", piece));
            out.push_str(if out.is_empty() { piece } else { rest });
        }
        out
    };
    let one = |change: &dyn Fn(&mut Timeline)| {
        let mut timeline = common::timeline::timeline();
        change(&mut timeline);
        grey(&svg(&timeline, DESK))
    };
    use answers::timeline::PlanState::*;
    let mut seen = BTreeSet::new();
    for state in [Done, Ahead, Overdue, Dropped, Missed] {
        seen.insert(one(&|t| {
            for plan in &mut t.lanes[0].plans {
                plan.state = state;
            }
        }));
    }
    // Done and ahead have one outline and differ in their filling, which this test takes away with
    // the colour; the others differ in shape.
    assert!(seen.len() >= 4, "{}", seen.len());
    let with = one(&|_| ());
    assert_ne!(with, one(&|t| t.unlike.clear()));
    assert_ne!(
        with,
        one(&|t| t.unlike[0].tanks.clear()),
        "hatching shows which tanks"
    );
}

#[test]
fn few_marks_are_links_of_their_own_and_many_share_one_per_stretch() {
    let few = common::timeline::timeline();
    let text = svg(&few, DESK);
    let marks: usize = few
        .lanes
        .iter()
        .map(|l| l.cells.len() + l.plans.len())
        .sum();
    assert_eq!(text.matches("<a href=").count(), marks);
    assert!(text.contains("href=\"entries/00000000-0000-0000-0000-000000000001\""));
    assert!(text.contains("href=\"?from=2026-03-06&amp;span=day\""));
    assert!(text.contains("<title>Ash, 1 on day 1</title>"));
    // An image would hide its links from screen readers.
    assert!(text.contains("role=\"group\"") && !text.contains("role=\"img\""));
    let mut many = few.clone();
    let cells = many.lanes[0].cells.clone();
    for _ in 0..40 {
        many.lanes[0].cells.extend(cells.clone());
    }
    assert!(figures::fine(&few) && !figures::fine(&many));
    let text = svg(&many, DESK);
    assert_eq!(text.matches("<a href=").count(), many.slots.len());
    // On a phone a stretch is the target whatever the number of marks.
    assert_eq!(
        svg(&few, PHONE).matches("<a href=").count(),
        few.slots.len()
    );
}

#[test]
fn the_description_says_what_the_lanes_hold() {
    let scene = drawn(&common::timeline::timeline(), PHONE);
    assert_eq!(scene.title, "Timeline, 2 to 15 March 2026");
    for words in [
        "Ash: 1 dose, 1 water change, 2 feedings, 1 reading, 12 observations,",
        "4 planned, 1 missed.",
        "Elm: 1 dose, 3 top-ups.",
        "Whole trial: 2 readings.",
        "Unequal inside an arm: 1 time.",
    ] {
        assert!(scene.description.contains(words), "{}", scene.description);
    }
}

#[test]
fn an_empty_span_is_drawn_as_empty_lanes() {
    let mut empty = common::timeline::timeline();
    for lane in &mut empty.lanes {
        lane.cells.clear();
        lane.plans.clear();
    }
    empty.unlike.clear();
    for width in [PHONE, DESK] {
        let scene = drawn(&empty, width);
        assert!(scene.description.contains("Ash: nothing."));
        assert!(scene.height.is_finite() && scene.height > 60.0);
    }
}
