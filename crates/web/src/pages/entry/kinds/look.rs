//! Plantings and algae looked at, with the written anchors beside the scores; pictures.

use maud::{Markup, html};
use text::t;
use trial::act::{Algae, Observation, Picture, Surfaces, View};
use trial::describe;
use trial::types::Measure;

use super::super::kit::{Kit, NAME};
use super::super::reader::Reader;
use crate::pages::words::capital;
use crate::parts::disclosure::disclosure;
use crate::parts::fields::{Pairs, Pick, Words, picks, planting_picks, short_row};

const SCORES: [(&str, Measure); 4] = [
    ("vigour", Measure::Vigour),
    ("new_leaf", Measure::NewLeaf),
    ("density", Measure::Density),
    ("colour", Measure::Colour),
];

/// Every whole score, those with written words with their words; and the recorded one when it lies
/// between.
fn scores(measure: Measure, typed: Option<&str>) -> Vec<Pick> {
    let anchors = describe::anchors(measure);
    let most = anchors.last().map_or(0, |(score, _)| *score as u8);
    let mut all: Vec<Pick> = (0..=most)
        .map(|score| {
            let at = anchors.iter().find(|(a, _)| *a == f64::from(score));
            let said = match at {
                Some((_, words)) => t!("log.score_anchor", score = score, words = words),
                None => score.to_string(),
            };
            (score.to_string(), said)
        })
        .collect();
    let typed = typed.map(str::trim).filter(|t| !t.is_empty());
    if let Some(typed) = typed.filter(|t| !all.iter().any(|(value, _)| value == t)) {
        all.push((typed.to_owned(), typed.to_owned()));
    }
    all
}

fn score(kit: Kit<'_>, name: &str, measure: Measure) -> Markup {
    kit.maybe_select(name, &scores(measure, kit.state.data.one(name)))
}

/// The written anchors of some scores, beside each other.
fn anchors(measures: &[Measure]) -> Markup {
    let lists = html! {
        @for measure in measures {
            h3 { (capital(describe::measure_name(*measure))) }
            dl.anchors {
                @for (score, words) in describe::anchors(*measure) { dt { (score) } dd { (words) } }
            }
        }
    };
    disclosure(t!("log.anchors"), &lists)
}

const LENGTHS: [(&str, &str); 4] = [
    ("height_cm", "cm"),
    ("spread_cm", "cm"),
    ("node_cm", "cm"),
    ("cover_pct", "%"),
];

pub(super) fn draw_observation(kit: Kit<'_>) -> Markup {
    let plantings = planting_picks(kit.bench);
    let several = kit.state.data.all("plantings").count() > 1;
    let emerged = picks(&[("yes", t!("log.emerged_yes")), ("no", t!("log.emerged_no"))]);
    let rare = html! {
        (kit.may("fresh_g").number("g"))
        (kit.maybe_select("emerged", &emerged))
    };
    html! {
        @if several {
            (kit.must("plantings").checks(&plantings))
        } @else {
            (kit.select("plantings", &plantings))
        }
        p.hint { (t!("log.observation_hint")) }
        div.most-optional {
            @for (name, measure) in SCORES { (score(kit, name, measure)) }
            (anchors(&SCORES.map(|(_, measure)| measure)))
            (short_row(&html! { @for (name, unit) in LENGTHS { (kit.may(name).number(unit)) } }))
            (kit.may("signs").text())
            (kit.more(t!("log.more_observation"), &["fresh_g", "emerged"], &rare))
        }
    }
}

pub(super) fn read_observation(r: &mut Reader<'_>) -> Observation {
    let ids = r.data.all("plantings").filter_map(|id| id.parse().ok());
    let plantings = ids.collect();
    let signs = r.maybe_words("signs", NAME * 4);
    let signs = signs.split(',').map(str::trim).filter(|s| !s.is_empty());
    Observation {
        plantings,
        vigour: r.maybe("vigour"),
        new_leaf: r.maybe("new_leaf"),
        density: r.maybe("density"),
        colour: r.maybe("colour"),
        height_cm: r.maybe("height_cm"),
        spread_cm: r.maybe("spread_cm"),
        node_cm: r.maybe("node_cm"),
        cover_pct: r.maybe("cover_pct"),
        fresh_g: r.maybe("fresh_g"),
        emerged: match r.typed("emerged") {
            "yes" => Some(true),
            "no" => Some(false),
            _ => None,
        },
        signs: signs.map(ToOwned::to_owned).collect(),
        on_walk: None,
    }
}

pub(super) fn fill_observation(p: &mut Pairs, o: &Observation) {
    for id in &o.plantings {
        p.put("plantings", id);
    }
    let scores = [o.vigour, o.new_leaf, o.density, o.colour];
    for ((name, _), value) in SCORES.iter().zip(scores) {
        p.number(name, value);
    }
    let lengths = [o.height_cm, o.spread_cm, o.node_cm, o.cover_pct];
    for ((name, _), value) in LENGTHS.iter().zip(lengths) {
        p.number(name, value);
    }
    p.number("fresh_g", o.fresh_g);
    p.maybe("emerged", o.emerged.map(|e| if e { "yes" } else { "no" }));
    if !o.signs.is_empty() {
        p.put("signs", o.signs.join(", "));
    }
}

const FILM: [&str; 4] = [
    "film_pane",
    "film_plants",
    "film_hardscape",
    "film_substrate",
];
const THREAD: [&str; 4] = [
    "thread_pane",
    "thread_plants",
    "thread_hardscape",
    "thread_substrate",
];

pub(super) fn draw_algae(kit: Kit<'_>) -> Markup {
    html! {
        p.hint { (t!("log.algae_hint")) }
        div.most-optional {
            @for name in FILM { (score(kit, name, Measure::Film)) }
            @for name in THREAD { (score(kit, name, Measure::Thread)) }
            (anchors(&[Measure::Film, Measure::Thread]))
        }
    }
}

fn surfaces(r: &mut Reader<'_>, names: [&str; 4]) -> Surfaces {
    let [pane, plants, hardscape, substrate] = names.map(|name| r.maybe(name));
    Surfaces {
        pane,
        plants,
        hardscape,
        substrate,
    }
}

pub(super) fn read_algae(r: &mut Reader<'_>) -> Algae {
    Algae {
        film: surfaces(r, FILM),
        thread: surfaces(r, THREAD),
        on_walk: None,
    }
}

pub(super) fn fill_algae(p: &mut Pairs, algae: &Algae) {
    for (names, s) in [(FILM, &algae.film), (THREAD, &algae.thread)] {
        let values = [s.pane, s.plants, s.hardscape, s.substrate];
        for (name, value) in names.iter().zip(values) {
            p.number(name, value);
        }
    }
}

const VIEWS: Words<View> = Words(
    "log.view",
    &[
        (View::Front, "front"),
        (View::Top, "top"),
        (View::Detail, "detail"),
    ],
);

pub(super) fn draw_picture(kit: Kit<'_>) -> Markup {
    html! {
        (kit.must("view").radio(&VIEWS.picks()))
        (kit.maybe_select("planting", &planting_picks(kit.bench)))
    }
}

/// The picture with what the form says about it.
pub(super) fn read_picture(r: &mut Reader<'_>, file: &Picture) -> Option<Picture> {
    let view = r.choice("view", &VIEWS.picks());
    let planting = r.maybe_id("planting", &planting_picks(r.bench));
    let view = view?;
    Some(Picture {
        view: VIEWS.value(&view)?,
        planting,
        ..file.clone()
    })
}

pub(super) fn fill_picture(p: &mut Pairs, picture: &Picture) {
    p.put("view", VIEWS.key(picture.view));
    p.maybe("planting", picture.planting);
}
