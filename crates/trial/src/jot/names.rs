//! Tanks, plants, products, waters and cards by the names people give them.

use super::cursor::{Cursor, Span};
use super::error::JotError;
use super::lex::Kind;
use super::nearest::nearest;
use super::parts::Parts;
use crate::{Bench, Planting, PlantingId, TankId, catalogue};
use text::t;

/// Tanks named before the colon.
pub(super) struct Tanks {
    pub(super) ids: Vec<TankId>,
    pub(super) all: bool,
}

const ALL: &[&str] = &["all", "all tanks", "every tank", "everywhere", "everything"];

/// Reads `all`, an arm, or names with commas, spaces or `and` between them.
pub(super) fn tanks(
    parts: &Parts,
    from: usize,
    to: usize,
    bench: &Bench,
) -> Result<(Tanks, Span), JotError> {
    let span = parts.trimmed(from, to);
    let whole = tidy(&parts.text(from, to));
    if whole.is_empty() {
        return Err(parts.error(span, &[], t!("act.jot_no_tank").to_string(), vec![]));
    }
    if ALL.contains(&whole.as_str()) {
        let ids = bench.tank_ids();
        return Ok((Tanks { ids, all: true }, span));
    }
    let mut ids: Vec<TankId> = Vec::new();
    for (words, place) in pieces(parts, from, to) {
        let found = tank_or_arm(&words, bench);
        if found.is_empty() {
            let known = bench.tanks.iter().map(|t| t.name.as_str());
            let arms = bench.trial.arms.iter().flat_map(|a| [&a.key, &a.name]);
            let known = known.chain(arms.map(String::as_str)).chain(["all"]);
            let problem = t!("act.jot_tank", word = words);
            return Err(parts.error(place, &[], problem, nearest(&words, known)));
        }
        for id in found {
            if !ids.contains(&id) {
                ids.push(id);
            }
        }
    }
    Ok((Tanks { ids, all: false }, span))
}

/// The names before the colon: the longest runs of words that are a tank or an arm, else one word.
fn pieces(parts: &Parts, from: usize, to: usize) -> Vec<(String, Span)> {
    let mut words: Vec<(usize, usize)> = Vec::new();
    let mut start = None;
    for i in from..=to {
        let apart = i == to
            || parts.chars[i].is_whitespace()
            || matches!(parts.chars[i], ',' | ';' | '&' | '+');
        match (apart, start) {
            (false, None) => start = Some(i),
            (true, Some(s)) => {
                words.push((s, i));
                start = None;
            }
            _ => {}
        }
    }
    words
        .into_iter()
        .map(|(s, e)| (parts.text(s, e).to_lowercase(), Span::new(s, e - s)))
        .filter(|(w, _)| w != "and")
        .collect()
}

fn tank_or_arm(words: &str, bench: &Bench) -> Vec<TankId> {
    if let Some(tank) = bench.tank_named(words) {
        return vec![tank.id];
    }
    let arm = bench
        .trial
        .arms
        .iter()
        .find(|a| a.key.to_lowercase() == words || a.name.to_lowercase() == words);
    arm.map_or_else(Vec::new, |a| {
        bench.tanks_of_arm(&a.key).map(|t| t.id).collect()
    })
}

/// Lower case, one space between words, no quotes.
fn tidy(text: &str) -> String {
    let lower = text.to_lowercase().replace('\u{2019}', "'");
    lower.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Fewer letters than this are no abbreviation.
const SHORTEST_PREFIX: usize = 3;

/// How a text meets one of several names.
fn meets(names: &[String], text: &str) -> Meets {
    if names.iter().any(|n| n == text) {
        Meets::Exactly
    } else if text.chars().count() >= SHORTEST_PREFIX && names.iter().any(|n| n.starts_with(text)) {
        Meets::AsPrefix
    } else {
        Meets::Not
    }
}

#[derive(PartialEq, Eq, Clone, Copy)]
enum Meets {
    Exactly,
    AsPrefix,
    Not,
}

/// Those of `items` that a text names: exactly, or else as a prefix.
fn named<'b, T>(items: &[&'b T], names: impl Fn(&T) -> Vec<String>, text: &str) -> Vec<&'b T> {
    let how: Vec<Meets> = items.iter().map(|i| meets(&names(i), text)).collect();
    let of = |wanted: Meets| {
        let hits = items.iter().zip(&how).filter(|(_, h)| **h == wanted);
        hits.map(|(i, _)| *i).collect::<Vec<_>>()
    };
    let exact = of(Meets::Exactly);
    if exact.is_empty() {
        of(Meets::AsPrefix)
    } else {
        exact
    }
}

/// Every name a planting answers to, in lower case.
pub(super) fn plant_names(p: &Planting) -> Vec<String> {
    let scientific = tidy(&p.scientific_name);
    let mut plain = vec![scientific.clone()];
    if let Some((genus, rest)) = scientific.split_once(' ') {
        plain.push(genus.to_string());
        plain.push(rest.to_string());
    }
    let common = match (p.common_name.trim(), catalogue::find(&p.scientific_name)) {
        ("", Some(known)) => tidy(&known.common_name),
        (own, _) => tidy(own),
    };
    if !common.is_empty() {
        plain.push(common);
    }
    let label = tidy(&p.label);
    if label.is_empty() {
        return plain;
    }
    let labelled: Vec<String> = plain.iter().map(|n| format!("{n} {label}")).collect();
    plain.extend(labelled);
    plain.push(label);
    plain
}

/// One plant as named in a jot: its planting in each tank where it stands.
pub(super) struct Plants {
    pub(super) ids: Vec<PlantingId>,
    pub(super) span: Span,
}

impl<'a> Cursor<'a> {
    /// The next `k` tokens as one name, with their place.
    fn name_of(&self, k: usize) -> Option<(String, Span)> {
        let tokens = self.tokens.get(self.pos..self.pos + k)?;
        let (first, last) = (tokens.first()?, tokens.last()?);
        let quoted = tokens.iter().any(|t| t.kind == Kind::Quoted);
        let text = match (quoted, k) {
            (true, 1) => first.text.clone(),
            (true, _) => return None,
            (false, _) => self.raw(first.at, last.end()),
        };
        Some((tidy(&text), Span::of(first).through(Span::of(last))))
    }

    /// The longest run of tokens that names some of `items`, taken from the line.
    fn longest<T>(
        &mut self,
        items: &[&'a T],
        names: impl Fn(&T) -> Vec<String>,
    ) -> Option<(Vec<&'a T>, Span)> {
        let most = (self.tokens.len() - self.pos.min(self.tokens.len())).min(8);
        for k in (1..=most).rev() {
            let Some((text, span)) = self.name_of(k) else {
                continue;
            };
            let hits = named(items, &names, &text);
            if !hits.is_empty() {
                self.pos += k;
                return Some((hits, span));
            }
        }
        None
    }

    /// One of `items` by its own name; `None` takes nothing, several hits are refused.
    pub(super) fn one_named<T>(
        &mut self,
        items: &'a [T],
        name: impl Fn(&T) -> String,
        fits: impl Fn(&T) -> bool,
    ) -> Result<Option<(&'a T, Span)>, JotError> {
        let fitting: Vec<&T> = items.iter().filter(|i| fits(i)).collect();
        let Some((hits, span)) = self.longest(&fitting, |i| vec![tidy(&name(i))]) else {
            return Ok(None);
        };
        match hits.as_slice() {
            [one] => Ok(Some((one, span))),
            several => Err(self.ambiguous(span, several.iter().map(|i| name(i)).collect())),
        }
    }

    fn ambiguous(&self, span: Span, mut choices: Vec<String>) -> JotError {
        choices.sort();
        choices.dedup();
        let word = self.raw(span.at, span.at + span.width);
        let problem = t!(
            "act.jot_ambiguous",
            word = word,
            choices = choices.join(", ")
        );
        self.error(span, problem, vec![])
    }

    /// The tanks in which plants are looked for.
    fn scope(&self) -> Vec<TankId> {
        if self.named {
            self.tanks.clone()
        } else {
            self.bench.tank_ids()
        }
    }

    fn plantings_in_scope(&self) -> Vec<&'a Planting> {
        let scope = self.scope();
        let all = self.bench.plantings.iter();
        all.filter(|p| scope.contains(&p.tank)).collect()
    }

    /// Whether a plant of these tanks is named next.
    pub(super) fn plant_stands_here(&mut self) -> bool {
        let before = self.pos;
        let here = self.plantings_in_scope();
        let found = self.longest(&here, plant_names).is_some();
        self.pos = before;
        found
    }

    /// The plant named next, one planting in each tank. Without named tanks it is looked for in
    /// all, and those where it does not stand drop out with a finding.
    pub(super) fn plants(&mut self, field: &'static str) -> Result<Plants, JotError> {
        let here = self.plantings_in_scope();
        let Some((hits, span)) = self.longest(&here, plant_names) else {
            return Err(self.no_such_plant(&here));
        };
        self.mark(field, span);
        let mut ids = Vec::new();
        let mut without = Vec::new();
        for tank in self.scope() {
            let in_tank: Vec<&Planting> = hits.iter().filter(|p| p.tank == tank).copied().collect();
            match in_tank.as_slice() {
                [] => without.push(tank),
                several => ids.push(self.one_lot(several, span)?),
            }
        }
        let title = self
            .bench
            .planting(ids[0])
            .map_or_else(String::new, Planting::title);
        self.understood.push(title.clone());
        if !without.is_empty() {
            self.drop_tanks(&without, &title, span)?;
        } else if !self.named {
            self.take_all_if_unnamed();
        }
        Ok(Plants { ids, span })
    }

    /// The one lot meant: the only one, or the one without a label among lots of one plant.
    fn one_lot(&self, lots: &[&Planting], span: Span) -> Result<PlantingId, JotError> {
        if let [one] = lots {
            return Ok(one.id);
        }
        let one_plant = lots
            .iter()
            .all(|p| p.scientific_name == lots[0].scientific_name);
        let plain: Vec<_> = lots.iter().filter(|p| p.label.trim().is_empty()).collect();
        match plain.as_slice() {
            [one] if one_plant => Ok(one.id),
            _ => Err(self.ambiguous(span, lots.iter().map(|p| p.title()).collect())),
        }
    }

    fn drop_tanks(&mut self, without: &[TankId], title: &str, span: Span) -> Result<(), JotError> {
        let names = crate::describe::tanks_phrase(without, false, self.bench);
        if self.named {
            let problem = t!("act.jot_not_in", plant = title, tanks = names);
            return Err(self.error(span, problem, vec![]));
        }
        let all = self.bench.tank_ids();
        self.tanks = all.into_iter().filter(|t| !without.contains(t)).collect();
        self.all_tanks = false;
        self.findings
            .push(t!("act.jot_left_out_tanks", plant = title, tanks = names));
        Ok(())
    }

    fn no_such_plant(&self, here: &[&Planting]) -> JotError {
        let Some(token) = self.peek().filter(|t| t.kind != Kind::Number) else {
            return self.missing(t!("act.jot_plant_missing"));
        };
        let mut names: Vec<String> = here.iter().flat_map(|p| plant_names(p)).collect();
        names.sort();
        names.dedup();
        let tanks = crate::describe::tanks_phrase(&self.scope(), !self.named, self.bench);
        let problem = t!("act.jot_plant", word = token.text, tanks = tanks);
        self.error(self.here(), problem, nearest(&token.lower, names))
    }

    /// The one planting named next, in the one tank of the jot.
    pub(super) fn plant(&mut self, field: &'static str) -> Result<(PlantingId, Span), JotError> {
        let plants = self.plants(field)?;
        Ok((plants.ids[0], plants.span))
    }
}
