//! How scores came about: how many were given behind a mask, and how often the mask was seen
//! through.

use super::on_walk;
use crate::compare::Window;
use crate::days;
use evidence::matching::{self, Kind, Round};
use quantity::Format;
use serde::Serialize;
use text::t;
use trial::act::{Guess, Walk};
use trial::{Act, Bench, Entry, TankId, WalkId};

/// How often something hidden was named rightly, and how far chance alone goes.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Named {
    /// Named rightly.
    pub right: usize,
    /// Letters asked for, those nobody could name included.
    pub of: usize,
    /// Rightly named on average by chance alone.
    pub expected: f64,
    /// Exact chance of at least as many by chance alone.
    pub at_least: f64,
    /// The smallest such chance any outcome of these walk-rounds could have had.
    pub smallest: f64,
}

/// How the scores of a span came about.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Scored {
    /// Observations and algae scores.
    pub looks: usize,
    /// Of these on a walk-round, tanks beside each other.
    pub on_walks: usize,
    /// Of these with the tanks' names hidden.
    pub masked: usize,
    /// Given as "as last time".
    pub as_last: usize,
    /// Masked walk-rounds at whose end the tanks were named.
    pub walks: usize,
    /// Masked walk-rounds left without naming the tanks.
    pub unnamed: usize,
    /// How often the tank was named rightly.
    pub tanks: Option<Named>,
    /// How often its arm was, when arms have more than one tank.
    pub arms: Option<Named>,
    /// All of it in sentences; empty when nothing was scored.
    pub sentences: Vec<String>,
}

/// How scores came about, in `window` or altogether. `entries` are effective entries, those of
/// observations, algae and walk-rounds among them.
pub fn scored(bench: &Bench, entries: &[Entry], window: Option<Window>) -> Scored {
    let within = |e: &&Entry| window.is_none_or(|w| days::within(e, w.from, w.to));
    let mut scored = Scored::default();
    let mut named: Vec<&[Guess]> = Vec::new();
    // A walk-round by pictures is later than what was seen on it: it counts where that does.
    let of_looks: Vec<WalkId> = entries
        .iter()
        .filter(within)
        .filter_map(|e| on_walk(&e.act).map(|on| on.walk))
        .collect();
    let counts = |e: &&Entry| match &e.act {
        Act::Walk(walk) => within(e) || of_looks.contains(&walk.walk),
        _ => within(e),
    };
    for e in entries.iter().filter(counts) {
        match &e.act {
            Act::Observation(_) | Act::Algae(_) => scored.count(e),
            Act::Walk(walk) => {
                let Some((_, guesses)) = masked_and_ended(walk) else {
                    continue;
                };
                match guesses.is_empty() {
                    true => scored.unnamed += 1,
                    false => named.push(guesses),
                }
            }
            _ => {}
        }
    }
    scored.walks = named.len();
    scored.tanks = rate(&named, &|tank| Some(tank.to_string()));
    let arm = |tank| bench.tank(tank).and_then(|t| t.arm.clone());
    let shared = bench
        .trial
        .arms
        .iter()
        .any(|a| bench.tanks_of_arm(&a.key).count() > 1);
    if shared && bench.trial.arms.len() > 1 {
        scored.arms = rate(&named, &arm);
    }
    scored.sentences = sentences(&scored, &named);
    scored
}

impl Scored {
    fn count(&mut self, entry: &Entry) {
        self.looks += 1;
        if let Some(on) = on_walk(&entry.act) {
            self.on_walks += 1;
            self.masked += usize::from(on.masked);
            self.as_last += usize::from(on.as_last);
        }
    }
}

fn masked_and_ended(walk: &Walk) -> Option<(u64, &[Guess])> {
    Some((walk.masked?.seed, &walk.end.as_ref()?.guesses))
}

/// The rate of `kind` named rightly over some walk-rounds; none when there are none, or when a
/// tank has no such kind.
fn rate(rounds: &[&[Guess]], kind: &dyn Fn(TankId) -> Option<String>) -> Option<Named> {
    let rounds: Option<Vec<Round>> = rounds.iter().map(|g| round(g, kind)).collect();
    let rounds = rounds.filter(|r| !r.is_empty())?;
    let found = matching::named(&rounds).ok()?;
    let hidden = rounds.iter().flat_map(|r| &r.kinds).map(|k| k.hidden);
    Some(Named {
        right: found.right,
        of: hidden.sum(),
        expected: found.expected,
        at_least: found.at_least,
        smallest: found.smallest,
    })
}

fn round(guesses: &[Guess], kind: &dyn Fn(TankId) -> Option<String>) -> Option<Round> {
    let mut names: Vec<String> = Vec::new();
    let mut kinds: Vec<Kind> = Vec::new();
    let mut place = |name: String| match names.iter().position(|n| *n == name) {
        Some(at) => at,
        None => {
            names.push(name);
            names.len() - 1
        }
    };
    let mut right = 0;
    for guess in guesses {
        let hidden = place(kind(guess.tank)?);
        let named = match guess.guessed {
            Some(tank) => Some(place(kind(tank)?)),
            None => None,
        };
        let most = hidden.max(named.unwrap_or(0)) + 1;
        if kinds.len() < most {
            let none = Kind {
                hidden: 0,
                named: 0,
            };
            kinds.resize(most, none);
        }
        kinds[hidden].hidden += 1;
        if let Some(named) = named {
            kinds[named].named += 1;
        }
        right += usize::from(named == Some(hidden));
    }
    Some(Round { kinds, right })
}

fn sentences(s: &Scored, named: &[&[Guess]]) -> Vec<String> {
    let mut said = Vec::new();
    if s.looks == 0 {
        return said;
    }
    said.push(match (s.on_walks, s.masked) {
        (0, _) => t!("walk.scored_none", n = s.looks),
        (on, 0) => t!("walk.scored_open", n = s.looks, on = on),
        (on, masked) => t!("walk.scored_masked", n = s.looks, on = on, masked = masked),
    });
    if s.as_last > 0 {
        said.push(t!("walk.scored_as_last", n = s.as_last));
    }
    said.extend(s.tanks.as_ref().map(|r| {
        let walks = match s.walks {
            1 => t!("walk.one_masked").to_string(),
            n => t!("walk.n_masked", n = n),
        };
        let format = Format::default();
        t!(
            "walk.guess_rate",
            walks = walks,
            right = r.right,
            of = r.of,
            expected = format.significant(r.expected, 2),
            chance = chance(r.at_least)
        )
    }));
    if !named.is_empty() && named.iter().all(|g| g.len() == 2) {
        said.push(t!("walk.two_tanks").to_string());
    }
    said.extend(s.arms.as_ref().map(|r| {
        let format = Format::default();
        t!(
            "walk.arm_rate",
            right = r.right,
            of = r.of,
            expected = format.significant(r.expected, 2),
            chance = chance(r.at_least)
        )
    }));
    if s.unnamed > 0 {
        said.push(t!("walk.unnamed", n = s.unnamed));
    }
    said
}

/// A probability as it is read: two digits, and small ones as such.
fn chance(p: f64) -> String {
    match p {
        p if p < 0.001 => t!("walk.chance_small").to_string(),
        p => Format::default().significant(p, 2),
    }
}
