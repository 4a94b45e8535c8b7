//! Figures of small hand-written answers: what they show, and their SVG text compared exactly with
//! the files in `tests/golden`.
//!
//! After a wanted change: `UPDATE_GOLDEN=1 cargo test -p report --test figures`, then look at the
//! difference and at the pictures (`cargo run -p report --example figures -- FOLDER`).

#![allow(clippy::unwrap_used)] // helpers of tests, outside the test functions

mod common;

use std::path::Path;

use chart::{Item, Mark, Scene, Shape, SvgOptions, TextMark};
use quantity::Analyte;
use report::figures::{bench, compare, cost, readings, timeline};
use trial::types::Measure;

const PHONE: f64 = 358.0;
const DESK: f64 = 960.0;

fn golden(name: &str, scene: &Scene) {
    let text = scene.to_svg(&SvgOptions::page(name));
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/golden")
        .join(format!("{name}.svg"));
    if std::env::var_os("UPDATE_GOLDEN").is_some() {
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(&path, text).unwrap();
        return;
    }
    let kept = std::fs::read_to_string(&path).unwrap_or_default();
    let differs = kept.lines().zip(text.lines()).find(|(a, b)| a != b);
    assert!(
        kept == text,
        "{name} differs from the golden file, first at {differs:?}"
    );
}

/// Every text and mark of a scene, groups opened. The figures here do not scale their groups.
fn flat<'s>(items: &'s [Item], texts: &mut Vec<&'s TextMark>, marks: &mut Vec<&'s Mark>) {
    for item in items {
        match item {
            Item::Text(text) => texts.push(text),
            Item::Mark(mark) => marks.push(mark),
            Item::Group(group) => flat(&group.items, texts, marks),
            Item::Image(_) => {}
        }
    }
}

fn texts(scene: &Scene) -> Vec<&TextMark> {
    let (mut texts, mut marks) = (Vec::new(), Vec::new());
    flat(&scene.items, &mut texts, &mut marks);
    texts
}

fn says(scene: &Scene, words: &str) -> bool {
    texts(scene)
        .iter()
        .any(|t| t.text.to_plain().contains(words))
}

fn every(width: f64) -> Vec<(&'static str, Scene)> {
    let (view, comparison, account) = (common::view(), common::comparison(), common::account());
    let over_time = common::readings();
    let b = &view.bench;
    let ways = timeline::Ways {
        entry: &|id| format!("entries/{id}"),
        span: &|span, day| format!("?from={day}&span={}", span.key()),
        list: "#entries",
    };
    let lanes = common::timeline::timeline();
    vec![
        ("bench", bench::tanks(&view, width)),
        ("lanes", readings::lanes(&over_time, b, width)),
        ("latest", readings::latest(&view, Analyte::No3, width)),
        (
            "tanks",
            compare::tanks(&comparison, b, Measure::Height, width).unwrap(),
        ),
        (
            "arms",
            compare::arms(&comparison, Measure::Height, width).unwrap(),
        ),
        ("once", cost::once(&account, b, width)),
        ("timeline", timeline::timeline(&lanes, b, &ways, width)),
        ("monthly", cost::monthly(&account, b, width)),
    ]
}

#[test]
fn the_svg_text_is_as_kept() {
    for width in [PHONE, DESK] {
        for (name, scene) in every(width) {
            golden(&format!("{name}-{width}"), &scene);
        }
    }
}

#[test]
fn every_figure_says_what_it_shows_and_can_be_read_on_a_phone() {
    for (name, scene) in every(PHONE) {
        assert!(
            !scene.title.is_empty() && scene.description.len() > 20,
            "{name}"
        );
        for text in texts(&scene) {
            let (left, right) = text.extent();
            let words = text.text.to_plain();
            assert!(text.size >= 11.0, "{name}: {words}");
            // Half a px for rounding in the font's widths.
            assert!(
                left >= -0.5 && right <= PHONE + 0.5,
                "{name}: {words} {left} {right}"
            );
        }
    }
}

#[test]
fn tanks_stand_to_one_scale() {
    let scene = bench::tanks(&common::view(), DESK);
    let (mut texts, mut marks) = (Vec::new(), Vec::new());
    flat(&scene.items, &mut texts, &mut marks);
    let floors: Vec<f64> = marks
        .iter()
        .filter_map(|m| match m.shape {
            // The floor is the only level line 1.8 px thick.
            Shape::Line { from, to } if from.1 == to.1 && m.stroke?.width == 1.8 => {
                Some(to.0 - from.0)
            }
            _ => None,
        })
        .collect();
    // Ash is 60 cm long and Elm 40 cm.
    assert_eq!(floors.len(), 2);
    assert!((floors[0] / floors[1] - 1.5).abs() < 1e-9, "{floors:?}");
}

#[test]
fn what_was_not_entered_is_named() {
    let scene = bench::tanks(&common::view(), PHONE);
    let all: String = texts(&scene)
        .iter()
        .map(|t| t.text.to_plain() + " ")
        .collect();
    for words in [
        "Not entered: height",
        "length of the lamp",
        "No place marked:",
    ] {
        assert!(all.contains(words), "{words} in {all}");
    }
}

#[test]
fn a_bench_without_tanks_is_no_fault() {
    let mut view = common::view();
    view.tanks.clear();
    assert!(bench::tanks(&view, PHONE).height > 0.0);
}

#[test]
fn all_that_was_done_is_marked() {
    let mut all = common::readings();
    let scene = readings::lanes(&all, &common::bench(), DESK);
    // A setting as a rule with its words; nine doses of one day as one tick, counted.
    assert!(says(&scene, "set light to 7 h") && says(&scene, "Doses, every tank (9)"));
    assert!(scene.description.contains("Doses, every tank (9)"));
    assert!(scene.description.contains("1 reading is in doubt"));
    // A tank dosed otherwise than the rest has a row of its own.
    let last = all.marks.last_mut().unwrap();
    last.tanks = "Elm".into();
    let scene = readings::lanes(&all, &common::bench(), PHONE);
    assert!(says(&scene, "Doses, every tank (8)") && says(&scene, "Doses, Elm (1)"));
}

#[test]
fn a_reading_is_a_bar_from_end_to_end_without_a_mark_inside() {
    let mut all = common::readings();
    all.marks.clear();
    all.analytes[0].kept = None;
    all.analytes[0].tanks.truncate(1);
    let scene = readings::lanes(&all, &common::bench(), DESK);
    let (mut texts, mut marks) = (Vec::new(), Vec::new());
    flat(&scene.items, &mut texts, &mut marks);
    let bars: Vec<(f64, f64)> = marks
        .iter()
        .filter_map(|m| match m.shape {
            Shape::Rect { y, w, h, .. } if w <= 6.0 => Some((y, y + h)),
            _ => None,
        })
        .collect();
    // Eight readings of 6 to 12: the bars reach from the one grid line to the other.
    assert_eq!(bars.len(), 8);
    let level = |words: &str| {
        let found = texts.iter().find(|t| t.text.to_plain() == words);
        found.unwrap_or_else(|| panic!("no grid line {words}")).y
    };
    for (top, bottom) in bars {
        assert!((bottom - top - (level("6") - level("12"))).abs() < 1e-6);
    }
    // The only disc is that of the tank's sample beside the title.
    let discs = marks
        .iter()
        .filter(|m| matches!(m.shape, Shape::Circle { .. }));
    assert_eq!(discs.count(), 1);
}

#[test]
fn one_figure_holds_one_measure() {
    let comparison = common::comparison();
    assert_eq!(
        compare::measures(&comparison),
        [Measure::Height, Measure::Vigour]
    );
    let scene = compare::tanks(&comparison, &common::bench(), Measure::Height, DESK).unwrap();
    assert!(says(&scene, "Rotala") && !says(&scene, "Salvinia"));
    assert!(compare::tanks(&comparison, &common::bench(), Measure::Film, DESK).is_none());
    // Ratios 1.6 / 1.1 and 1.8 / 1.5: the larger comes first.
    let order: Vec<_> = compare::rows_of(&comparison, Measure::Height)
        .iter()
        .map(|r| r.plant.clone().unwrap())
        .collect();
    assert_eq!(order, ["Cryptocoryne wendtii", "Rotala rotundifolia"]);
}

#[test]
fn a_refused_interval_is_a_ring_and_said_in_the_key() {
    let scene = compare::arms(&common::comparison(), Measure::Height, DESK).unwrap();
    assert!(says(&scene, "with 95 % interval") && says(&scene, "no interval possible"));
    let scene = compare::arms(&common::comparison(), Measure::Vigour, DESK).unwrap();
    assert!(!says(&scene, "with 95 % interval"));
}

#[test]
fn a_missing_price_shows_as_at_least() {
    let scene = cost::once(&common::account(), &common::bench(), DESK);
    assert!(says(&scene, "at least 80.00") && says(&scene, "120.00"));
    // Rows in which nothing is known, or nothing was paid, are left out.
    assert!(!says(&scene, "Exchanges"));
    let month = cost::monthly(&common::account(), &common::bench(), DESK);
    assert!(!says(&month, "Electricity") && says(&month, "Wear"));
}

#[test]
fn a_meters_value_is_a_point_with_its_error() {
    let mut all = common::readings();
    all.marks.clear();
    all.analytes[0].kept = None;
    all.analytes[0].tanks.truncate(1);
    for point in &mut all.analytes[0].tanks[0].points {
        point.meter = Some(answers::readings::MeterValue {
            value: 9.0,
            error: Some(3.0),
        });
    }
    let scene = readings::lanes(&all, &common::bench(), DESK);
    let (mut texts, mut marks) = (Vec::new(), Vec::new());
    flat(&scene.items, &mut texts, &mut marks);
    let discs = marks
        .iter()
        .filter(|m| matches!(m.shape, Shape::Circle { .. }));
    // Eight values and the tank's sample beside the title; no bar.
    assert_eq!(discs.count(), 9);
    let bars = marks
        .iter()
        .filter(|m| matches!(m.shape, Shape::Rect { w, .. } if w <= 6.0));
    assert_eq!(bars.count(), 0);
    let words = all.analytes[0].tanks[0].points[0].words(&quantity::Format::default());
    assert_eq!(words, "9 \u{b1} 3");
}

#[test]
fn an_open_reading_far_off_does_not_stretch_its_lane_and_is_said() {
    let mut all = common::readings();
    all.analytes[0].tanks[1].points[1].interval = quantity::Interval::at_least(900.0).unwrap();
    let scene = readings::lanes(&all, &common::bench(), DESK);
    assert!(says(&scene, "\u{2265}\u{a0}900"));
    assert!(
        scene
            .description
            .contains("1 reading lies beyond the scale")
    );
    // The grid stays where the other readings are.
    assert!(!says(&scene, "1000") && !says(&scene, "500"));
}

#[test]
fn a_key_names_only_tanks_that_have_a_dot() {
    let mut all = common::comparison();
    for row in &mut all.rows {
        row.tanks.retain(|t| t.name == "Ash");
    }
    let scene = compare::tanks(&all, &common::bench(), Measure::Height, DESK).unwrap();
    assert!(says(&scene, "Ash") && !says(&scene, "Elm"));
}
