//! A walk-round: plant by plant with the tanks beside each other.

use crate::ids::{PlantingId, TankId, WalkId};
use crate::types::Measure;
use serde::{Deserialize, Serialize};

/// A walk-round: one outcome of one plant after another, all tanks beside each other. It is written
/// when it begins; when it ends, an entry that supersedes that one adds the end. What was seen on it
/// are observations and algae scores that name it, see [`OnWalk`].
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Walk {
    /// Its identity, the same at its beginning and its end.
    pub walk: WalkId,
    /// How the tanks' names were hidden; none when they were shown.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub masked: Option<Mask>,
    /// The tanks in the order in which they were shown: behind a mask the first is A, the next B.
    pub order: Vec<TankId>,
    /// What is looked at, in order.
    pub steps: Vec<WalkStep>,
    /// How it ended; none while it is under way.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub end: Option<WalkEnd>,
}

/// How tanks were hidden behind letters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Mask {
    /// What stood between the eyes and the tanks.
    pub by: MaskedBy,
    /// The seed their order was drawn with, see [`crate::lot::shuffled`].
    pub seed: u64,
}

/// What stands between the one who scores and the tanks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum MaskedBy {
    /// Pictures under letters.
    Pictures,
    /// A helper at the tanks, who alone knows which letter is which.
    Helper,
}

/// One outcome of one plant in every tank that holds it, or one kind of algae on one surface.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct WalkStep {
    /// What is looked at: a score, a length, a cover, or algae.
    pub measure: Measure,
    /// Of algae: where.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub surface: Option<Surface>,
    /// The plantings looked at; none for algae.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub plantings: Vec<PlantingId>,
}

/// A surface that algae grow on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Surface {
    /// Glass.
    Pane,
    /// Plants.
    Plants,
    /// Stones and wood.
    Hardscape,
    /// Substrate.
    Substrate,
}

/// How a walk-round ended.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct WalkEnd {
    /// Whether it went through to the last step; else it was left.
    pub finished: bool,
    /// Of a masked one: which tank each letter was taken for.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub guesses: Vec<Guess>,
}

/// Which tank a letter was taken for, before it was told.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Guess {
    /// The tank behind the letter.
    pub tank: TankId,
    /// The tank it was taken for; none when the one who scored could not tell.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub guessed: Option<TankId>,
}

/// That something was seen on a walk-round.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct OnWalk {
    /// Which walk-round.
    pub walk: WalkId,
    /// Whether the tanks' names were hidden.
    #[serde(default)]
    pub masked: bool,
    /// Whether it was given as "as last time" rather than looked up on the scale.
    #[serde(default)]
    pub as_last: bool,
}

impl Surface {
    /// All of them, in the order forms show them.
    pub const ALL: [Surface; 4] = [
        Surface::Pane,
        Surface::Plants,
        Surface::Hardscape,
        Surface::Substrate,
    ];
}

impl Walk {
    /// The letter a tank stands behind: A for the first of the order. Beyond Z come AA, AB.
    pub fn letter(&self, tank: TankId) -> Option<String> {
        self.order.iter().position(|t| *t == tank).map(letter)
    }

    /// Letters whose tank was named rightly.
    pub fn right(&self) -> usize {
        self.guesses().filter(|g| g.guessed == Some(g.tank)).count()
    }

    /// What the letters were taken for.
    pub fn guesses(&self) -> impl Iterator<Item = &Guess> {
        self.end.iter().flat_map(|end| &end.guesses)
    }
}

/// The letters of a place from 0: A to Z, then AA, AB, as columns of sheets are named.
fn letter(place: usize) -> String {
    let own = char::from(b'A' + (place % 26) as u8);
    match place / 26 {
        0 => own.to_string(),
        more => format!("{}{own}", letter(more - 1)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_go_on_after_z() {
        // As columns are named in spreadsheets (common practice, no source).
        let said = [0, 25, 26, 51, 52, 701, 702].map(letter);
        assert_eq!(said, ["A", "Z", "AA", "AZ", "BA", "ZZ", "AAA"]);
    }
}
