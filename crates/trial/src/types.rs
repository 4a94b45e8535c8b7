//! The records, in one picture:
//!
//! ```text
//! notebook (a folder)
//! ├── Card            the keeper's own colour card: analyte, printed steps, ion or element
//! ├── Product         fertiliser, stock solution, tablet, food: stated composition
//! ├── SourceWater     tap, rain, RO, mix; its readings are entries
//! └── Trial           question, arms, factors (differ / equal), outcomes, phases, stop rule
//!     ├── Tank        glass, water, substrate, lamps, filter, heater, gas, livestock; its arm
//!     │   └── Planting    one lot of one plant: origin, start, zone, parent (line of descent)
//!     ├── Equipment   price, life, power; shared or one tank's
//!     ├── Plan        a planned change or routine, and what the keeper expects of it
//!     └── Entry       immutable: when, tanks (resolved), who, minutes, note, origin, supersedes
//!         └── Act     one of a closed list: dose, change, top-up, trim, replant, thin, loss,
//!                     plantlets, move, feed, clean, setting, swap, reading, observation, algae,
//!                     picture, livestock, harvest, walk-round, note,
//!                     undo
//! ```
//!
//! Everything above `Entry` is set-up: it is edited by writing a new revision, never in place.
//! Entries are never edited: a correction or an undo is a new entry that supersedes one.

use crate::ids::TrialId;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

/// Money in one ISO 4217 currency.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Money {
    /// Amount in the currency's main unit.
    pub amount: f64,
    /// Three capital letters (ISO 4217), such as `EUR`.
    pub currency: String,
}

/// A side-by-side trial.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Trial {
    /// Identity.
    pub id: TrialId,
    /// Short title.
    pub title: String,
    /// The question, in the keeper's words.
    #[serde(default)]
    pub question: String,
    /// True for demonstration data: every page and file then says that it is invented.
    #[serde(default)]
    pub invented: bool,
    /// How invented data was made, when it was made by a formula.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub made_by: Option<String>,
    /// First day.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub start: Option<Date>,
    /// IANA time zone in which days are counted.
    pub zone: String,
    /// Who keeps it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub keeper: Option<String>,
    /// The arms.
    #[serde(default)]
    pub arms: Vec<Arm>,
    /// What is meant to differ, with its level in each arm.
    #[serde(default)]
    pub differ: Vec<Factor>,
    /// What is meant to be equal.
    #[serde(default)]
    pub equal: Vec<EqualFactor>,
    /// The one outcome the question is decided on, named in advance.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub primary: Option<Outcome>,
    /// The others.
    #[serde(default)]
    pub secondary: Vec<Outcome>,
    /// Phases in order.
    #[serde(default)]
    pub phases: Vec<Phase>,
    /// The welfare stop rule, written before the start; it overrides fairness.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stop_rule: Option<String>,
    /// How tanks were given to arms.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lot: Option<Lot>,
    /// Gifts, discounts or paid equipment to disclose.
    #[serde(default)]
    pub disclosures: Vec<String>,
    /// What the keeper will do next, in their words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub next_step: Option<String>,
    /// Price of one kilowatt-hour.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub electricity_per_kwh: Option<Money>,
    /// The range each analyte is kept in, as the keeper states it.
    #[serde(default)]
    pub kept_ranges: Vec<KeptRange>,
    /// When the keeper is away.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub absences: Vec<Absence>,
}

/// A stretch in which the keeper is away.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Absence {
    /// First day away.
    pub from: Date,
    /// Last day away.
    pub to: Date,
    /// Who looks after the tanks; empty when nobody does.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub who_helps: String,
    /// Anything to add.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}

/// One arm of a trial.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Arm {
    /// Short key that tanks refer to (`sand`).
    pub key: String,
    /// Name on pages (`Sand-fed`).
    pub name: String,
    /// Whether this is the arm the others are compared with.
    #[serde(default)]
    pub control: bool,
}

/// Something meant to differ between arms.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Factor {
    /// What differs (`Where the food goes`).
    pub name: String,
    /// Its level in each arm.
    pub levels: Vec<Level>,
}

/// A factor's level in one arm.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Level {
    /// The arm's key.
    pub arm: String,
    /// The level in words.
    pub value: String,
}

/// Something meant to be equal in every tank.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct EqualFactor {
    /// What (`Lamp`).
    pub name: String,
    /// Its common level (`3,000 lm at 55 %`).
    #[serde(default)]
    pub value: String,
}

/// What is measured to answer the question.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Outcome {
    /// In the keeper's words (`Carpet cover after 12 weeks`).
    pub name: String,
    /// Which measure of the records it is.
    pub measure: Measure,
    /// The plant it is about (scientific name); none for whole-tank outcomes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub plant: Option<String>,
    /// What counts as better.
    pub better: Better,
}

/// A measure the records can hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Measure {
    /// Relative growth rate from weighed masses, 1/day.
    Growth,
    /// Height, cm.
    Height,
    /// Spread, cm.
    Spread,
    /// Distance between nodes, cm.
    NodeDistance,
    /// Cover, percent of the zone.
    Cover,
    /// Vigour, 0 to 10.
    Vigour,
    /// New-leaf condition, 0 to 10.
    NewLeaf,
    /// Density, 0 to 10.
    Density,
    /// Colour strength, 0 to 10.
    Colour,
    /// Film algae, 0 to 5.
    Film,
    /// Thread algae, 0 to 5.
    Thread,
    /// Plantlets counted.
    Plantlets,
    /// Plantings that lived.
    Survival,
    /// Minutes of work.
    Minutes,
    /// Money spent.
    Money,
}

impl Measure {
    /// The stable key, as stored and in links.
    pub fn key(self) -> &'static str {
        match self {
            Measure::Growth => "growth",
            Measure::Height => "height",
            Measure::Spread => "spread",
            Measure::NodeDistance => "node_distance",
            Measure::Cover => "cover",
            Measure::Vigour => "vigour",
            Measure::NewLeaf => "new_leaf",
            Measure::Density => "density",
            Measure::Colour => "colour",
            Measure::Film => "film",
            Measure::Thread => "thread",
            Measure::Plantlets => "plantlets",
            Measure::Survival => "survival",
            Measure::Minutes => "minutes",
            Measure::Money => "money",
        }
    }
}

/// What the keeper counts as better.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(tag = "is", rename_all = "snake_case")]
pub enum Better {
    /// More is better.
    More,
    /// Less is better.
    Less,
    /// Nearer to `value` is better.
    Target {
        /// The value aimed at, in the measure's unit.
        value: f64,
    },
}

/// A stretch of the trial.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Phase {
    /// What kind of stretch.
    pub kind: PhaseKind,
    /// First day.
    pub from: Date,
    /// Day after the last; none while it runs.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub to: Option<Date>,
    /// Anything to add.
    #[serde(default)]
    pub note: String,
}

/// Kinds of phase.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum PhaseKind {
    /// Plants settle and the filter matures; nothing is compared.
    Establishing,
    /// All tanks alike.
    Baseline,
    /// Arms differ as planned.
    Treatment,
    /// After arms were exchanged.
    AfterSwitch,
    /// Closed.
    End,
}

/// How tanks were given to arms by lot.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Lot {
    /// The seed drawn before the start; none for a lot drawn on paper, which nobody can repeat.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub seed: Option<u64>,
    /// How the seed was used, so that anyone can repeat it; on paper, with what it was drawn.
    pub method: String,
    /// The day of the draw.
    pub drawn: Date,
    /// Who drew; empty when nobody is named.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub by: String,
    /// What a lot on paper gave: each tank with its arm, as it was typed.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub result: String,
}

/// The range a trial is kept in, for one analyte.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct KeptRange {
    /// Of what.
    pub analyte: quantity::Analyte,
    /// Lower end, in the analyte's unit as the ion.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

impl Trial {
    /// A new trial that knows only its title and zone.
    pub fn new(id: TrialId, title: impl Into<String>, zone: impl Into<String>) -> Self {
        Trial {
            id,
            title: title.into(),
            question: String::new(),
            invented: false,
            made_by: None,
            start: None,
            zone: zone.into(),
            keeper: None,
            arms: vec![],
            differ: vec![],
            equal: vec![],
            primary: None,
            secondary: vec![],
            phases: vec![],
            stop_rule: None,
            lot: None,
            disclosures: vec![],
            next_step: None,
            electricity_per_kwh: None,
            kept_ranges: vec![],
            absences: vec![],
        }
    }

    /// The absence that holds `day`.
    pub fn absence_on(&self, day: Date) -> Option<&Absence> {
        self.absences.iter().find(|a| a.from <= day && day <= a.to)
    }

    /// The arm of this key.
    pub fn arm(&self, key: &str) -> Option<&Arm> {
        self.arms.iter().find(|a| a.key == key)
    }

    /// The phase that holds `day`.
    pub fn phase_on(&self, day: Date) -> Option<&Phase> {
        self.phases
            .iter()
            .find(|p| p.from <= day && p.to.is_none_or(|to| day < to))
    }

    /// The first treatment phase.
    pub fn treatment(&self) -> Option<&Phase> {
        self.phases.iter().find(|p| p.kind == PhaseKind::Treatment)
    }
}
