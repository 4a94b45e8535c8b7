//! The closed list of things an entry can say was done or seen.
//!
//! Amounts are per tank. Payloads are stored as JSON with `kind` and `version`; a payload of a newer
//! version is refused, never guessed at.

use crate::card::Seen;
use crate::ids::{CardId, EquipmentId, PlantingId, ProductId, TankId, WaterId};
use crate::tank::Livestock;
use crate::types::Money;
use jiff::civil::{Date, Time};
use quantity::{Amount, Analyte, Interval, Means};
use serde::{Deserialize, Serialize};

/// The payload version this build writes and the newest it reads.
pub const PAYLOAD_VERSION: u16 = 1;

/// What was done or seen.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Act {
    /// Something dosed.
    Dose(Dose),
    /// A water change.
    Change(Change),
    /// Evaporation made up.
    TopUp(TopUp),
    /// Plants cut.
    Trim(Trim),
    /// Cuttings planted.
    Replant(Replant),
    /// Plants or cover taken out to thin them.
    Thin(Thin),
    /// A planting, or part of it, died.
    Loss(Loss),
    /// Plantlets counted.
    Plantlets(Plantlets),
    /// Plants or cover moved to another tank or out.
    Move(Move),
    /// Livestock fed.
    Feed(Feed),
    /// Something cleaned.
    Clean(Clean),
    /// A setting changed.
    Setting(Setting),
    /// Equipment exchanged.
    Swap(Swap),
    /// Water tested.
    Reading(Reading),
    /// A planting looked at.
    Observation(Observation),
    /// Algae looked at.
    Algae(Algae),
    /// A picture taken.
    Picture(Picture),
    /// Something happened to livestock.
    Livestock(LivestockEvent),
    /// Closing harvest.
    Harvest(Harvest),
    /// Anything else; the text is the entry's note.
    Note,
    /// Takes back the entry it supersedes.
    Undo,
}

/// What is dosed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "is", rename_all = "snake_case")]
pub enum DoseOf {
    /// A product or stock solution of the notebook.
    Product {
        /// Which.
        product: ProductId,
    },
    /// A salt weighed out.
    Salt {
        /// Formula, as in the salt table.
        formula: String,
    },
}

/// Where a dose goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Into {
    /// Into the water.
    #[default]
    Water,
    /// Into the substrate, as root tablets are.
    Substrate,
}

/// A dose, per tank.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Dose {
    /// What.
    pub of: DoseOf,
    /// How much, in g, mg, mL or pieces.
    pub amount: Amount,
    /// Where.
    #[serde(default)]
    pub into: Into,
}

/// How much water.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(tag = "is", rename_all = "snake_case")]
pub enum WaterAmount {
    /// A share of the tank's water, 0 to 1.
    Share {
        /// The share.
        share: f64,
    },
    /// Litres.
    Litres {
        /// The litres.
        litres: f64,
    },
}

/// A water change, per tank.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Change {
    /// How much.
    pub amount: WaterAmount,
    /// The new water.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub source: Option<WaterId>,
}

/// A top-up, per tank.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct TopUp {
    /// How much.
    pub litres: f64,
    /// The water used.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub source: Option<WaterId>,
    /// How far the level stood below its mark.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub level_below_cm: Option<f64>,
}

/// A trim of one plant: one planting in each tank it was done in.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Trim {
    /// The plantings cut.
    pub plantings: Vec<PlantingId>,
    /// Share of the plant left standing, 0 to 1, by eye.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub kept_share: Option<f64>,
    /// Fresh mass taken out, blotted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub out_fresh_g: Option<f64>,
    /// A subsample that was dried.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub dried: Option<DriedSample>,
    /// Plantings left uncut on purpose.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub left_out: Vec<PlantingId>,
}

/// A dried subsample: its fresh and dry mass give the ratio.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct DriedSample {
    /// Fresh mass of the subsample.
    pub fresh_g: f64,
    /// Its dry mass.
    pub dry_g: f64,
}

/// Cuttings planted. When they get a planting of their own, its `parent` is `from`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Replant {
    /// The planting they were cut from.
    pub from: PlantingId,
    /// The planting they joined: the same one, or a new one of its own.
    pub into: PlantingId,
    /// How many.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub count: Option<u32>,
    /// Their fresh mass: part of what the trim took out, so it is counted once.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fresh_g: Option<f64>,
}

/// Plants taken out to thin a planting.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Thin {
    /// The plantings thinned, one in each tank.
    pub plantings: Vec<PlantingId>,
    /// Share left, 0 to 1.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub kept_share: Option<f64>,
    /// Fresh mass taken out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub out_fresh_g: Option<f64>,
}

/// A loss.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Loss {
    /// Which planting.
    pub planting: PlantingId,
    /// True when nothing of it is left.
    pub whole: bool,
    /// Stems lost when part of it is left.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stems: Option<u32>,
}

/// Plantlets counted: the count stands for the whole planting at that time.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Plantlets {
    /// Which planting.
    pub planting: PlantingId,
    /// How many there are.
    pub count: u32,
}

/// A move.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Move {
    /// The planting moved from the entry's tank.
    pub planting: PlantingId,
    /// To which tank; none means out of the trial.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub to: Option<TankId>,
    /// Share moved, 0 to 1.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub share: Option<f64>,
    /// Fresh mass moved.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fresh_g: Option<f64>,
}

/// A feeding, per tank.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Feed {
    /// What, in words (`flakes`).
    pub food: String,
    /// The notebook's product, when its composition is recorded.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub product: Option<ProductId>,
    /// How much.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub grams: Option<f64>,
}

/// What was cleaned.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Part {
    /// The front or side panes.
    Pane,
    /// Filter media.
    Filter,
    /// The gas diffuser.
    Diffuser,
    /// The cover glass or lid.
    Cover,
    /// The lamp.
    Lamp,
    /// The substrate's surface.
    Substrate,
    /// Stones and wood.
    Hardscape,
}

/// A cleaning.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Clean {
    /// Which part.
    pub part: Part,
    /// Filter flow before.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub flow_before_l_h: Option<f64>,
    /// Filter flow after.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub flow_after_l_h: Option<f64>,
}

/// New settings; what is missing stays as it was.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Setting {
    /// Hours of light a day.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub photoperiod_h: Option<f64>,
    /// When the lamp goes on.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub light_on_at: Option<Time>,
    /// The clock its timer follows, when not the trial's zone.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub timer_clock: Option<String>,
    /// Percent of full power.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub dimming_pct: Option<f64>,
    /// Lamp height above the water.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lamp_height_cm: Option<f64>,
    /// Gas on, minutes after the lamp (negative: before).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gas_on_after_light_min: Option<f64>,
    /// Gas off, minutes after the lamp goes off (negative: before).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gas_off_after_light_min: Option<f64>,
    /// Surface agitation, in words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub surface: Option<String>,
    /// Heater set point.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub temperature_c: Option<f64>,
    /// Filter flow.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub flow_l_h: Option<f64>,
}

/// Equipment exchanged.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Swap {
    /// What left.
    pub left: String,
    /// What came.
    pub came: String,
    /// Its price.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub price: Option<Money>,
    /// The equipment record that came.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub equipment: Option<EquipmentId>,
}

/// A water test. The interval is worked out once, when it is written, from the card as it was then.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Reading {
    /// Of what.
    pub analyte: Analyte,
    /// What was seen.
    pub seen: Seen,
    /// The card it was seen on; none for meters and bare intervals.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub card: Option<CardId>,
    /// Whether the numbers mean the ion or the element.
    #[serde(default)]
    pub means: Means,
    /// What it says, in the numbers of `means`, dilution included.
    pub interval: Interval,
    /// The source water tested, when it is not a tank's.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub water: Option<WaterId>,
    /// Parts of water made up to one part sample (1 = undiluted).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub dilution: Option<f64>,
    /// Whether it was of the tank, a blank or a standard.
    #[serde(default, skip_serializing_if = "ReadingOf::is_sample")]
    pub of: ReadingOf,
    /// Reagent lot.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub lot: String,
    /// Reagent opened on.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub opened: Option<Date>,
    /// Reagent expires on.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub expires: Option<Date>,
    /// Minutes waited before reading.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub waited_min: Option<f64>,
    /// Light it was read in.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub viewing_light: String,
}

/// What was tested.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize, Deserialize)]
#[serde(tag = "is", rename_all = "snake_case")]
pub enum ReadingOf {
    /// Tank or source water.
    #[default]
    Sample,
    /// Water known to hold none.
    Blank,
    /// Water made up to a known value.
    Standard {
        /// The value, in the reading's numbers.
        value: f64,
    },
}

impl ReadingOf {
    fn is_sample(&self) -> bool {
        *self == ReadingOf::Sample
    }
}

impl Reading {
    /// The interval as the ion, the common currency of comparisons.
    pub fn as_ion(&self) -> Interval {
        self.interval
            .map_increasing(|v| self.analyte.as_ion(v, self.means))
            .unwrap_or(Interval::UNBOUNDED)
    }
}

/// A planting looked at. Scores are on the written 0 to 10 anchors of `docs/scores.md`.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Observation {
    /// Which plantings: usually one.
    pub plantings: Vec<PlantingId>,
    /// Vigour.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub vigour: Option<f64>,
    /// Condition of new leaves.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub new_leaf: Option<f64>,
    /// Density.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub density: Option<f64>,
    /// Colour strength.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub colour: Option<f64>,
    /// Height above the substrate.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub height_cm: Option<f64>,
    /// Spread.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub spread_cm: Option<f64>,
    /// Distance between nodes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub node_cm: Option<f64>,
    /// Share of its zone covered, percent, by eye or from a picture.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cover_pct: Option<f64>,
    /// Standing fresh mass, lifted, blotted and weighed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fresh_g: Option<f64>,
    /// Whether leaves stand out of the water.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub emerged: Option<bool>,
    /// Free signs: pale, crumpled, melting.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub signs: Vec<String>,
}

/// Algae by surface, on the written 0 to 5 anchors of `docs/scores.md`.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Algae {
    /// Film.
    #[serde(default, skip_serializing_if = "Surfaces::is_empty")]
    pub film: Surfaces,
    /// Threads.
    #[serde(default, skip_serializing_if = "Surfaces::is_empty")]
    pub thread: Surfaces,
}

/// One score per surface.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize, Deserialize)]
pub struct Surfaces {
    /// Glass.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pane: Option<f64>,
    /// Plants.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub plants: Option<f64>,
    /// Stones and wood.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hardscape: Option<f64>,
    /// Substrate.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub substrate: Option<f64>,
}

impl Surfaces {
    /// Whether nothing was scored.
    pub fn is_empty(&self) -> bool {
        *self == Surfaces::default()
    }
}

/// A picture, stored by the hash of its bytes.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Picture {
    /// SHA-256 of the bytes, 64 lower-case hexadecimal digits.
    pub sha256: String,
    /// `image/jpeg`, `image/png` or `image/webp`, by content.
    pub media_type: String,
    /// Width as shown.
    pub width_px: u32,
    /// Height as shown.
    pub height_px: u32,
    /// What it shows.
    #[serde(default)]
    pub view: View,
    /// The planting it is about.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub planting: Option<PlantingId>,
}

/// What a picture shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum View {
    /// The whole front pane.
    #[default]
    Front,
    /// From above.
    Top,
    /// A detail.
    Detail,
}

/// Something that happened to livestock.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct LivestockEvent {
    /// What happened.
    pub event: LivestockHappening,
    /// To whom, and how many.
    #[serde(flatten)]
    pub who: Livestock,
}

/// Kinds of livestock event.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum LivestockHappening {
    /// Came in.
    Arrival,
    /// Died.
    Death,
    /// Not seen.
    Missing,
    /// Ill or behaving oddly.
    Illness,
    /// Re-homed or taken out.
    Departure,
}

/// A closing harvest of one planting.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Harvest {
    /// Which.
    pub planting: PlantingId,
    /// All its fresh mass, blotted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fresh_g: Option<f64>,
    /// Its dry mass.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub dry_g: Option<f64>,
    /// What became of it.
    pub fate: Fate,
}

/// What became of harvested plants.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Fate {
    /// Weighed and planted back.
    PlantedBack,
    /// Given to another keeper.
    Rehomed,
    /// Dried or frozen and put in the waste: never into drains or the wild.
    Disposed,
}

impl Act {
    /// Every kind, in the order forms show them.
    pub const KINDS: [&'static str; 21] = [
        "dose",
        "change",
        "top_up",
        "feed",
        "reading",
        "observation",
        "algae",
        "trim",
        "replant",
        "thin",
        "clean",
        "setting",
        "picture",
        "plantlets",
        "loss",
        "move",
        "livestock",
        "swap",
        "harvest",
        "note",
        "undo",
    ];

    /// The stable key of its kind, as stored and exported.
    pub fn kind(&self) -> &'static str {
        match self {
            Act::Dose(_) => "dose",
            Act::Change(_) => "change",
            Act::TopUp(_) => "top_up",
            Act::Trim(_) => "trim",
            Act::Replant(_) => "replant",
            Act::Thin(_) => "thin",
            Act::Loss(_) => "loss",
            Act::Plantlets(_) => "plantlets",
            Act::Move(_) => "move",
            Act::Feed(_) => "feed",
            Act::Clean(_) => "clean",
            Act::Setting(_) => "setting",
            Act::Swap(_) => "swap",
            Act::Reading(_) => "reading",
            Act::Observation(_) => "observation",
            Act::Algae(_) => "algae",
            Act::Picture(_) => "picture",
            Act::Livestock(_) => "livestock",
            Act::Harvest(_) => "harvest",
            Act::Note => "note",
            Act::Undo => "undo",
        }
    }

    /// Whether an entry of this kind goes to every tank when none is named. The others need
    /// exactly one; a note, and a trim or thinning without a mass, may have any number.
    pub fn goes_to_all(&self) -> bool {
        match self {
            Act::Dose(_) | Act::Change(_) | Act::TopUp(_) | Act::Feed(_) | Act::Clean(_) => true,
            Act::Setting(_) | Act::Note | Act::Undo => true,
            Act::Trim(t) => t.out_fresh_g.is_none() && t.dried.is_none(),
            Act::Thin(t) => t.out_fresh_g.is_none(),
            _ => false,
        }
    }

    /// The plantings it is about.
    pub fn plantings(&self) -> Vec<PlantingId> {
        match self {
            Act::Trim(t) => t.plantings.iter().chain(&t.left_out).copied().collect(),
            Act::Replant(r) => vec![r.from, r.into],
            Act::Thin(t) => t.plantings.clone(),
            Act::Loss(l) => vec![l.planting],
            Act::Plantlets(p) => vec![p.planting],
            Act::Move(m) => vec![m.planting],
            Act::Observation(o) => o.plantings.clone(),
            Act::Picture(p) => p.planting.into_iter().collect(),
            Act::Harvest(h) => vec![h.planting],
            _ => vec![],
        }
    }
}
