#![allow(dead_code, reason = "each test file uses the examples it needs")]
//! Invented examples of every plot, shared by the golden files and the pictures to look at.

use chart::plots::{
    About, Bar, BarRow, Bars, DotRow, Event, FanPoint, Join, KeptRange, Known, Lane, LaneSeries,
    Observation, PairedDots, Reference, Rug, ScaleInterval, ScaleRow, SeriesName, Stage, TimeLanes,
};
use chart::{RichText, Scene, SeriesStyle, Spacing, TimeTicks};

fn about(title: &str) -> About {
    About {
        title: title.to_owned(),
        description: "Invented numbers.".to_owned(),
        heading: true,
    }
}

const NAMES: [&str; 8] = ["Ash", "Elm", "Fir", "Oak", "Yew", "Bay", "Box", "Lime"];

fn series(i: usize) -> SeriesName {
    SeriesName {
        name: NAMES[i].into(),
        style: SeriesStyle::new(i),
    }
}

fn seen(at: f64, value: Known) -> Observation {
    Observation {
        at,
        value,
        doubtful: false,
        tip: format!("day {at}"),
    }
}

/// A colour card's step above and below a true value, open at both ends of the card.
fn card(value: f64, steps: &[f64]) -> Known {
    match steps.iter().position(|s| *s > value) {
        None => Known::at_least(steps[steps.len() - 1]),
        Some(0) => Known::at_most(steps[0]),
        Some(i) => Known::between(steps[i - 1], steps[i]),
    }
}

/// Days since 1970 of 2 March 2026.
const START: f64 = 20_514.0;

fn reading_lane(title: &str, unit: &str, steps: &[f64], scale: f64) -> Lane {
    let course = |i: usize, week: f64| {
        let base = [4.0, 9.0, 14.0, 3.0][i];
        scale * (base + [0.1, 0.6, 1.1, 0.05][i] * week + 2.5 * (week * 1.3 + i as f64).sin())
    };
    let series = (0..4).map(|i| LaneSeries {
        name: NAMES[i].into(),
        style: SeriesStyle::new(i),
        join: Join::None,
        observations: (0..17)
            .filter(|week| *week != 7)
            .map(|week| {
                let week = f64::from(week);
                let mut o = seen(START + week * 7.0, card(course(i, week), steps));
                o.doubtful = i == 3 && week == 11.0;
                o
            })
            .collect(),
        fan: Vec::new(),
    });
    Lane {
        title: RichText::default().strong(title),
        unit: unit.to_owned(),
        series: series.collect(),
        ..Lane::default()
    }
}

fn events() -> Vec<Event> {
    [
        (28.0, "fed apart from here"),
        (49.0, "nothing done for a week"),
        (56.0, "trim, weighed"),
        (63.0, "Fir dosed twice"),
        (66.0, "heater of Elm stuck"),
    ]
    .into_iter()
    .map(|(day, label)| Event {
        at: START + day,
        label: label.to_owned(),
        tip: String::new(),
    })
    .collect()
}

fn rug(label: &str, n: u32, step: f64) -> Rug {
    Rug {
        label: label.to_owned(),
        at: (0..n).map(|i| START + f64::from(i) * step).collect(),
        tips: (0..n).map(|i| format!("number {}", i + 1)).collect(),
    }
}

/// Four series, interval readings, two lanes, events and stages.
pub(crate) fn lanes(width: f64) -> Scene {
    let mut nitrate = reading_lane("Nitrate", "mg/L", &[0.0, 3.0, 6.0, 12.0, 24.0, 48.0], 1.3);
    nitrate.kept = Some(KeptRange {
        low: 5.0,
        high: 15.0,
        words: "kept 5 to 15 mg/L".to_owned(),
    });
    let stage = |from: f64, to: f64, label: &str, shaded: bool| Stage {
        from: START + from,
        to: START + to,
        label: label.to_owned(),
        shaded,
    };
    TimeLanes {
        about: about("Nitrate and phosphate in four tanks"),
        counting: TimeTicks::Weeks { zero: START },
        axis_words: "week".to_owned(),
        lanes: vec![
            nitrate,
            reading_lane(
                "Phosphate",
                "mg/L",
                &[0.0, 0.06, 0.15, 0.3, 0.6, 1.2, 3.0],
                0.06,
            ),
        ],
        events: events(),
        stages: vec![
            stage(0.0, 28.0, "baseline", true),
            stage(28.0, 112.0, "sand-fed or water-fed", false),
        ],
        rugs: vec![
            rug("water changes, every tank (17)", 17, 7.0),
            rug("doses, Elm and Fir (34)", 34, 3.5),
            rug("iron, every day (113)", 113, 1.0),
        ],
        ..TimeLanes::default()
    }
    .scene(width)
}

/// One series per lane, calendar axis, lines, steps and fans, many events.
pub(crate) fn courses(width: f64) -> Scene {
    let fan = |i: usize| {
        (0..29)
            .map(|d| {
                let d = f64::from(d);
                let mid = 10.0 + i as f64 * 3.0 + 4.0 * (d / 6.0).sin();
                let half = 0.8 + d * 0.09;
                FanPoint {
                    at: START + d,
                    low: mid - half,
                    mid,
                    high: mid + half,
                }
            })
            .collect::<Vec<_>>()
    };
    let lane = |i: usize, join: Join, fan: Vec<FanPoint>| Lane {
        title: RichText::default().strong(NAMES[i]),
        unit: "nitrate, mg/L".to_owned(),
        series: vec![LaneSeries {
            name: NAMES[i].into(),
            style: SeriesStyle::new(i),
            join,
            observations: (0..5)
                .map(|k| {
                    let k = f64::from(k);
                    let v = 10.0 + i as f64 * 3.0 + 3.0 * (k + 0.4).sin();
                    seen(START + k * 7.0, Known::around(v, v - 2.0, v + 2.5))
                })
                .collect(),
            fan,
        }],
        ..Lane::default()
    };
    let many = (0..9).map(|k| Event {
        at: START + 1.0 + f64::from(k) * 3.0,
        label: format!("something worth a longer note, number {}", k + 1),
        tip: String::new(),
    });
    TimeLanes {
        about: about("Courses"),
        lanes: vec![
            lane(0, Join::None, fan(0)),
            lane(1, Join::Line, Vec::new()),
            lane(2, Join::Step, Vec::new()),
        ],
        events: many.collect(),
        ..TimeLanes::default()
    }
    .scene(width)
}

/// Ratios on a logarithmic scale, species names, a row without values.
pub(crate) fn paired(width: f64) -> Scene {
    let row = |label: RichText, a: Option<Known>, b: Option<Known>| DotRow {
        label,
        dots: vec![a, b],
        note: "no pictures yet".to_owned(),
        tips: Vec::new(),
    };
    let species = |name: &str, what: &str| RichText::default().italic(name).plain(what);
    PairedDots {
        about: about("Growth against the start of the phase"),
        series: vec![
            SeriesName {
                name: "sand-fed".into(),
                style: SeriesStyle::new(0),
            },
            SeriesName {
                name: "water-fed".into(),
                style: SeriesStyle::new(1),
            },
        ],
        rows: vec![
            row(
                species("Eleocharis acicularis", ", carpet"),
                Some(Known::around(1.4, 1.15, 1.72)),
                Some(Known::around(1.9, 1.5, 2.4)),
            ),
            row(
                species("Bacopa caroliniana", ", stem"),
                Some(Known::around(2.6, 2.1, 3.3)),
                Some(Known::around(2.5, 1.9, 3.2)),
            ),
            row(
                species("Cryptocoryne wendtii", ", rosette"),
                Some(Known::around(1.05, 0.8, 1.35)),
                Some(Known::at_least(0.9)),
            ),
            row(
                species("Rotala rotundifolia", ", the red bush"),
                Some(Known::around(3.1, 2.2, 4.4)),
                Some(Known::at_most(2.0)),
            ),
            row(species("Salvinia natans", ", floating"), None, None),
        ],
        spacing: Spacing::Log,
        reference: Some(Reference {
            value: 1.0,
            words: "as at the start".to_owned(),
        }),
        axis_words: "cover, as a multiple of week 4 (90 % interval)".to_owned(),
        sides: Some(("shrank".to_owned(), "grew".to_owned())),
        ..PairedDots::default()
    }
    .scene(width)
}

/// A kept range and four intervals, two of them open.
pub(crate) fn scale(width: f64) -> Scene {
    let row = |i: usize, value: Option<Known>, words: &str| ScaleRow {
        series: series(i),
        value,
        words: words.to_owned(),
    };
    ScaleInterval {
        about: About {
            heading: false,
            ..about("Nitrate now")
        },
        kept: Some(KeptRange {
            low: 5.0,
            high: 15.0,
            words: "kept 5 to 15".to_owned(),
        }),
        rows: vec![
            row(0, Some(Known::between(6.0, 12.0)), "6 to 12"),
            row(1, Some(Known::at_least(24.0)), "24 or more"),
            row(2, Some(Known::around(9.0, 7.5, 10.8)), "7.5 to 10.8"),
            row(3, Some(Known::at_most(3.0)), "3 or less"),
            row(4, None, "not read"),
        ],
        axis_words: "nitrate, mg/L".to_owned(),
        ..ScaleInterval::default()
    }
    .scene(width)
}

/// Bars of two series with intervals, one negative.
pub(crate) fn bars(width: f64) -> Scene {
    let bar = |mid: f64, half: f64| {
        Some(Bar {
            value: Known::around(mid, mid - half, mid + half),
            words: format!("{} mg", chart::num::fixed(mid, 0)),
        })
    };
    let row = |label: &str, a: Option<Bar>, b: Option<Bar>| BarRow {
        label: label.into(),
        bars: vec![a, b],
    };
    Bars {
        about: about("Where the nitrogen went in a fortnight"),
        series: vec![series(0), series(1)],
        rows: vec![
            row("dosed", bar(180.0, 6.0), bar(182.0, 6.0)),
            row("left the sand", bar(64.0, 28.0), bar(22.0, 15.0)),
            row("taken with changes", bar(-70.0, 18.0), bar(-112.0, 24.0)),
            row("taken up by plants", bar(-158.0, 34.0), None),
        ],
        axis_words: "nitrogen, mg per fortnight (90 % interval)".to_owned(),
        ..Bars::default()
    }
    .scene(width)
}

/// Draws an example at a width in px.
pub(crate) type Draw = fn(f64) -> Scene;

/// Every example by name.
pub(crate) fn all() -> Vec<(&'static str, Draw)> {
    vec![
        ("time_lanes", lanes),
        ("time_courses", courses),
        ("paired_dots", paired),
        ("scale_interval", scale),
        ("bars", bars),
    ]
}
