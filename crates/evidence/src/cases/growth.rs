//! Growth cases: plants weighed twice, harvests, or a course of weighings per unit.

use std::collections::BTreeMap;

use serde_json::{Value, json};

use super::fields::{Fields, grouped};
use super::samples::{LEVEL, t_values};
use super::tables::anova_values;
use crate::anova::one_way;
use crate::growth::{between, of_means, plants, slope};
use crate::summary::check_lengths;
use crate::{NoAnswer, Unusable};

/// `title` names the window of a two-point rate ("day 0-20"), which no key of the input does.
pub(super) fn answer(input: &Fields, title: &str) -> Result<Value, NoAnswer> {
    if input.has("w1") {
        let (w1, w2) = (input.numbers("w1")?, input.numbers("w2")?);
        let level = input.number_or("level", LEVEL)?;
        return Ok(t_values(&plants(&w1, &w2, input.number("dt")?, level)?));
    }
    let courses = courses(&input.inner("data")?)?;
    if input.has("dt") {
        harvests(&courses, input.number("dt")?)
    } else {
        per_unit(&courses, window(title))
    }
}

/// Weighings of one unit.
#[derive(Default)]
struct Course {
    diet: String,
    days: Vec<f64>,
    masses: Vec<f64>,
}

fn courses(data: &Fields) -> Result<BTreeMap<String, Course>, Unusable> {
    let (unit, diet) = (data.labels("Chick")?, data.labels("Diet")?);
    let (time, mass) = (data.numbers("Time")?, data.numbers("weight")?);
    for (name, length) in [
        ("Diet", diet.len()),
        ("Time", time.len()),
        ("weight", mass.len()),
    ] {
        check_lengths("Chick", unit.len(), name, length)?;
    }
    let mut courses = BTreeMap::<String, Course>::new();
    for (row, name) in unit.into_iter().enumerate() {
        let course = courses.entry(name).or_default();
        course.diet.clone_from(&diet[row]);
        course.days.push(time[row]);
        course.masses.push(mass[row]);
    }
    Ok(courses)
}

/// First and last masses per diet, by both estimators.
fn harvests(courses: &BTreeMap<String, Course>, days: f64) -> Result<Value, NoAnswer> {
    let mut diets = BTreeMap::<&str, (Vec<f64>, Vec<f64>)>::new();
    for course in courses.values() {
        let (first, last) = diets.entry(&course.diet).or_default();
        first.extend(course.masses.first());
        last.extend(course.masses.last());
    }
    let rows = diets
        .into_iter()
        .map(|(diet, (first, last))| {
            let rate = of_means(&first, &last, days)?;
            Ok(json!({
                "diet": diet, "mean_of_ln": rate.mean_of_ln, "ln_of_mean": rate.ln_of_mean,
                "se_unpaired": rate.se,
            }))
        })
        .collect::<Result<Vec<_>, NoAnswer>>()?;
    Ok(json!({ "by_diet": rows }))
}

/// Two-point rate and slope per unit, and the rates compared between diets.
fn per_unit(
    courses: &BTreeMap<String, Course>,
    window: Option<(f64, f64)>,
) -> Result<Value, NoAnswer> {
    let (mut rates, mut slopes, mut diets) = (Vec::new(), Vec::new(), Vec::new());
    for course in courses.values() {
        let at = |day: Option<f64>, end: usize| {
            let found = day.and_then(|d| course.days.iter().position(|t| (t - d).abs() < 1e-9));
            found.unwrap_or(end)
        };
        let first = at(window.map(|w| w.0), 0);
        let last = at(window.map(|w| w.1), course.days.len() - 1);
        let days = course.days[last] - course.days[first];
        rates.push(between(course.masses[first], course.masses[last], days)?);
        slopes.push(slope(&course.days, &course.masses)?.slope);
        diets.push(course.diet.clone());
    }
    let table = one_way(&grouped(&diets, &rates))?;
    Ok(json!({
        "per_unit": {
            "Chick": courses.keys().collect::<Vec<_>>(), "Diet": diets,
            "rgr": rates, "slope": slopes,
        },
        "anova_rgr": anova_values("Diet", &table),
    }))
}

/// The two days of "day A-B" in a title.
fn window(title: &str) -> Option<(f64, f64)> {
    let after = title.split_once("day ")?.1;
    let (first, rest) = after.split_once('-')?;
    let last: String = rest
        .chars()
        .take_while(|c| c.is_ascii_digit() || *c == '.')
        .collect();
    Some((first.trim().parse().ok()?, last.parse().ok()?))
}
