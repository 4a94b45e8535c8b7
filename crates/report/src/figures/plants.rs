//! The life line of one planting: its masses, scores and sizes over time, with what was done to it
//! as rules through all lanes.

use super::{plant_name, style_of};
use answers::compare::Standing;
use answers::plants::{Life, LifeEvent, Look};
use chart::plots::{About, Event, Join, Known, Lane, LaneSeries, Observation, Stage, TimeLanes};
use chart::{RichText, Scene, SeriesStyle};
use jiff::civil::Date;
use quantity::{Estimate, Format};
use text::t;
use trial::act::Replant;
use trial::describe::{measure_name, measure_unit, phase_name};
use trial::types::{Measure, PhaseKind};
use trial::{Act, Bench};

/// Height of one lane, px: many small lanes are read together.
const LANE: f64 = 62.0;

/// The life of a planting, `width` px wide; none when nothing was seen, weighed or done but planting.
///
/// Masses are of the whole line in its tank. A share cut by eye makes wide bars before and after the
/// cut; scores have no bars, because the eye's error is not known.
pub fn life(life: &Life, bench: &Bench, width: f64) -> Option<Scene> {
    let style = style_of(bench, life.tank);
    let standing = life.masses.as_ref().map_or(&[][..], |m| &m.standing);
    let mut lanes: Vec<Lane> = mass_lane(standing, style).into_iter().collect();
    lanes.extend(life.measures().into_iter().map(|m| lane(life, m, style)));
    let events: Vec<Event> = life.events.iter().map(event).collect();
    if lanes.is_empty() && events.is_empty() {
        return None;
    }
    let (from, to) = life.span();
    // A day's room at either side, so that planting and harvest are not on the frame.
    let span = (chart::days(from) - 1.0, chart::days(to) + 2.0);
    let tank = bench.tank(life.tank).map_or("", |t| t.name.as_str());
    let plants = plant_name(&life.planting.scientific_name).to_plain();
    let scene = TimeLanes {
        about: About {
            title: t!("plants.figure_title", plant = plants, tank = tank),
            description: description(life, from, to),
            heading: false,
        },
        span: Some(span),
        lanes,
        events,
        stages: stages(bench, span),
        lane_height: Some(LANE),
        ..TimeLanes::default()
    };
    Some(scene.scene(width))
}

/// What was done in a few words: `trim, 32.1 g out`.
pub fn short(event: &LifeEvent) -> String {
    let n = |v: f64| Format::default().significant(v, 3);
    let out = |plain: &str, grams: Option<f64>| match grams {
        Some(g) => t!("plants.short_out", what = plain, grams = n(g)),
        None => plain.to_string(),
    };
    match &event.act {
        Act::Trim(trim) => out(t!("plants.short_trim"), trim.out_fresh_g),
        Act::Thin(thin) => out(t!("plants.short_thin"), thin.out_fresh_g),
        Act::Replant(r) => cuttings(event, r),
        Act::Loss(l) if l.whole => t!("plants.short_lost").to_string(),
        Act::Loss(l) => l.stems.map_or_else(
            || t!("plants.short_lost_part").to_string(),
            |stems| t!("plants.short_lost_n", n = stems),
        ),
        Act::Plantlets(p) => t!("plants.short_plantlets", n = p.count),
        Act::Move(_) => t!("plants.short_moved").to_string(),
        Act::Harvest(h) => match h.fresh_g {
            Some(g) => t!("plants.short_harvest_g", grams = n(g)),
            None => t!("plants.short_harvest").to_string(),
        },
        other => trial::describe::kind_name(other.kind()).to_string(),
    }
}

/// Cuttings that came from another planting, went to one of their own, or back into this one.
fn cuttings(event: &LifeEvent, replant: &Replant) -> String {
    let came = event.others.contains(&replant.from);
    let apart = event.others.contains(&replant.into);
    match (replant.count, came, apart) {
        (Some(n), true, _) => t!("plants.short_came_n", n = n),
        (Some(n), _, true) => t!("plants.short_apart_n", n = n),
        (Some(n), ..) => t!("plants.short_back_n", n = n),
        (None, true, _) => t!("plants.short_came").to_string(),
        (None, _, true) => t!("plants.short_apart").to_string(),
        (None, ..) => t!("plants.short_back").to_string(),
    }
}

fn event(event: &LifeEvent) -> Event {
    Event {
        at: noon(event.line.day),
        label: short(event),
        tip: format!("{}: {}", event.line.day, event.line.sentence),
    }
}

fn noon(day: Date) -> f64 {
    chart::days(day) + 0.5
}

/// Standing mass of the line, before and after each cut.
fn mass_lane(standing: &[Standing], style: SeriesStyle) -> Option<Lane> {
    let mut seen: Vec<Observation> = Vec::new();
    for weighing in standing {
        seen.extend(mass(weighing.day, &weighing.before, 0.0));
        if weighing.from_cut {
            // Beside the mass before the cut, or its bar would be hidden.
            seen.extend(mass(weighing.day, &weighing.after, 0.6));
        }
    }
    let title = RichText::default().strong(t!("plants.lane_mass"));
    (!seen.is_empty()).then(|| Lane {
        title,
        unit: "g".to_string(),
        series: vec![series(style, Join::Line, seen)],
        ..Lane::default()
    })
}

fn mass(day: Date, grams: &Estimate, later: f64) -> Option<Observation> {
    Some(Observation {
        at: noon(day) + later,
        value: super::known(grams)?,
        doubtful: false,
        tip: t!(
            "plants.tip_mass",
            day = day,
            grams = Format::default().estimate(grams, 3)
        ),
    })
}

fn lane(life: &Life, measure: Measure, style: SeriesStyle) -> Lane {
    let seen = points(&life.looks, measure).map(|(day, value)| Observation {
        at: noon(day),
        value: Known::exactly(value),
        doubtful: false,
        tip: format!("{day}: {}", amount(measure, value)),
    });
    let name = measure_name(measure);
    Lane {
        title: RichText::default().strong(capital(name)),
        unit: unit(measure).to_string(),
        domain: is_score(measure).then_some((0.0, 10.0)),
        series: vec![series(style, Join::Line, seen.collect())],
        ..Lane::default()
    }
}

fn series(style: SeriesStyle, join: Join, observations: Vec<Observation>) -> LaneSeries {
    LaneSeries {
        name: RichText::default(),
        style,
        join,
        observations,
        fan: vec![],
    }
}

fn points(looks: &[Look], measure: Measure) -> impl Iterator<Item = (Date, f64)> {
    looks.iter().filter_map(move |look| {
        let found = look.values.iter().find(|(m, _)| *m == measure);
        found.map(|(_, value)| (look.day, *value))
    })
}

fn is_score(measure: Measure) -> bool {
    !trial::describe::anchors(measure).is_empty()
}

/// Scores say their scale in the lane; sizes have a unit.
fn unit(measure: Measure) -> &'static str {
    if is_score(measure) {
        t!("plants.lane_score")
    } else {
        measure_unit(measure)
    }
}

fn amount(measure: Measure, value: f64) -> String {
    let number = Format::default().significant(value, 3);
    match is_score(measure) {
        true => number,
        false => format!("{number}\u{a0}{}", measure_unit(measure)),
    }
}

fn stages(bench: &Bench, (first, last): (f64, f64)) -> Vec<Stage> {
    let phases = bench.trial.phases.iter();
    phases
        .filter(|p| p.kind != PhaseKind::End)
        .map(|p| Stage {
            from: chart::days(p.from).max(first),
            to: p.to.map_or(last, chart::days).min(last),
            label: phase_name(p.kind).to_string(),
            shaded: p.kind == PhaseKind::Treatment,
        })
        .filter(|s| s.to > s.from)
        .collect()
}

/// What is to be seen, in words: what was done on which day, and each measure from first to last.
fn description(life: &Life, from: Date, to: Date) -> String {
    let mut said = vec![t!("plants.figure_span", from = from, to = to)];
    let done: Vec<String> = life
        .events
        .iter()
        .map(|e| format!("{} {}", e.line.day, short(e)))
        .collect();
    if !done.is_empty() {
        said.push(t!("plants.figure_done", what = done.join("; ")));
    }
    for measure in life.measures() {
        let mut all = points(&life.looks, measure);
        let Some((day, value)) = all.next() else {
            continue;
        };
        let name = capital(measure_name(measure));
        let first = amount(measure, value);
        said.push(match all.last() {
            Some((last_day, last)) => t!(
                "plants.figure_course",
                measure = name,
                first = first,
                day = day,
                last = amount(measure, last),
                last_day = last_day
            ),
            None => t!(
                "plants.figure_once",
                measure = name,
                first = first,
                day = day
            ),
        });
    }
    said.join(" ")
}

fn capital(words: &str) -> String {
    let mut chars = words.chars();
    chars.next().map_or_else(String::new, |c| {
        c.to_uppercase().collect::<String>() + chars.as_str()
    })
}
