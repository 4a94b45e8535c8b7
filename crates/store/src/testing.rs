//! Generators of valid notebooks for property tests: every kind of record and act, awkward texts,
//! extreme numbers, missing optionals, corrections of corrections and undos.

mod acts;
mod large;
mod records;
mod supplies;
mod values;
mod walk;

pub use acts::arb_act;
pub use large::{large, large_entry, large_trial};
pub use values::{arb_at, arb_number, arb_text, arb_timestamp};

use proptest::prelude::*;
use proptest::sample::Index;
use trial::{
    Act, CardId, DeviceId, Entry, EntryId, EquipmentId, Origin, PlanId, PlantingId, ProductId,
    Record, TankId, TrialId, WaterId,
};
use uuid::{Builder, Uuid};

/// A distinct id in the shape of UUIDv7: `family` tells the kinds of record apart, `n` counts.
pub fn numbered_id(family: u8, n: u32) -> Uuid {
    let mut rest = [0u8; 10];
    rest[5] = family;
    rest[6..].copy_from_slice(&n.to_be_bytes());
    Builder::from_unix_timestamp_millis(1_900_000_000_000 + u64::from(n), &rest).into_uuid()
}

/// The ids of one trial's set-up.
#[derive(Debug, Clone)]
pub struct World {
    /// The trial.
    pub trial: TrialId,
    /// At least one.
    pub tanks: Vec<TankId>,
    /// At least one, in tank `i % tanks` each.
    pub plantings: Vec<PlantingId>,
    /// Equipment of the trial.
    pub equipment: Vec<EquipmentId>,
    /// Plans of the trial.
    pub plans: Vec<PlanId>,
    /// The notebook's cards, at least one.
    pub cards: Vec<CardId>,
    /// The notebook's products, at least one.
    pub products: Vec<ProductId>,
    /// The notebook's waters, at least one.
    pub waters: Vec<WaterId>,
}

impl World {
    /// The `n`th world of a notebook; worlds share cards, products and waters.
    pub fn numbered(n: u32, tanks: u32, plantings: u32) -> World {
        let own =
            |family: u8, count: u32| (0..count).map(move |i| numbered_id(family, n * 100 + i));
        let shared = |family: u8| (0..2).map(move |i| numbered_id(family, i));
        World {
            trial: TrialId(numbered_id(1, n)),
            tanks: own(2, tanks.max(1)).map(TankId).collect(),
            plantings: own(3, plantings.max(1)).map(PlantingId).collect(),
            equipment: own(4, 2).map(EquipmentId).collect(),
            plans: own(5, 2).map(PlanId).collect(),
            cards: shared(6).map(CardId).collect(),
            products: shared(7).map(ProductId).collect(),
            waters: shared(8).map(WaterId).collect(),
        }
    }
}

/// A valid notebook: one or two trials with their records (parents first; some records come again
/// with other content, which makes a second revision) and up to 40 entries in the order of writing.
pub fn arb_notebook() -> impl Strategy<Value = (Vec<Record>, Vec<Entry>)> {
    (1u32..=2, 1u32..=4, 1u32..=4)
        .prop_map(|(trials, tanks, plantings)| {
            (0..trials)
                .map(|n| World::numbered(n, tanks, plantings))
                .collect::<Vec<_>>()
        })
        .prop_flat_map(|worlds| {
            let entries: Vec<_> = worlds.iter().map(arb_entries).collect();
            (records::arb_records(&worlds), entries)
        })
        .prop_map(|(records, entries)| (records, interleave(entries)))
}

/// Up to 20 valid entries of one trial, in the order of writing, ids not yet final.
fn arb_entries(world: &World) -> BoxedStrategy<Vec<Entry>> {
    let links = (prop::bool::weighted(0.3), any::<Index>());
    prop::collection::vec((arb_entry(world), links), 0..20)
        .prop_map(link)
        .boxed()
}

/// One entry that supersedes nothing, with an id that the caller replaces.
fn arb_entry(world: &World) -> impl Strategy<Value = Entry> + use<> {
    let trial = world.trial;
    let tanks = prop::sample::subsequence(world.tanks.clone(), 0..=world.tanks.len());
    (
        (arb_at(), arb_timestamp(), tanks.prop_shuffle()),
        (any::<bool>(), arb_text(), arb_text()),
        prop::option::of(arb_number()),
        arb_origin(),
        arb_act(world),
    )
        .prop_map(
            move |(when, (all_tanks, who, note), minutes, origin, act)| {
                let (at, written, tanks) = when;
                Entry {
                    id: EntryId(Uuid::nil()),
                    trial,
                    at,
                    written,
                    tanks,
                    all_tanks,
                    who,
                    minutes,
                    note,
                    origin,
                    supersedes: None,
                    act,
                }
            },
        )
}

fn arb_origin() -> impl Strategy<Value = Origin> {
    prop_oneof![
        arb_text().prop_map(|line| Origin::Jot { line }),
        Just(Origin::Form),
        // Line numbers as other programs read them without loss: up to 2^53.
        (arb_text(), 0..=(1u64 << 53)).prop_map(|(file, line)| Origin::Import { file, line }),
        (arb_text(), proptest::option::of(arb_text()), 0u32..9).prop_map(|(name, line, n)| {
            let device = DeviceId(numbered_id(8, n));
            Origin::Device { device, name, line }
        }),
        Just(Origin::Demo),
    ]
}

/// Gives ids in order and lets the chosen entries supersede one that stands; an undo always does,
/// and where nothing stands it becomes a note.
fn link(drafts: Vec<(Entry, (bool, Index))>) -> Vec<Entry> {
    let mut standing: Vec<EntryId> = Vec::new();
    let mut entries = Vec::with_capacity(drafts.len());
    for (n, (mut entry, (corrects, index))) in drafts.into_iter().enumerate() {
        let number = u32::try_from(n).unwrap_or(0);
        entry.id = EntryId(retag(entry.trial.0, number));
        if (corrects || entry.act == Act::Undo) && !standing.is_empty() {
            entry.supersedes = Some(standing.remove(index.index(standing.len())));
        }
        if entry.act == Act::Undo && entry.supersedes.is_none() {
            entry.act = Act::Note;
        }
        standing.push(entry.id);
        entries.push(entry);
    }
    entries
}

/// An id for the `n`th entry of a trial, distinct from those of its other trials.
fn retag(trial: Uuid, n: u32) -> Uuid {
    let trial_number = trial.as_bytes()[15];
    numbered_id(9, u32::from(trial_number) * 1000 + n)
}

/// Entries of several trials as one notebook gets them: turn by turn.
fn interleave(trials: Vec<Vec<Entry>>) -> Vec<Entry> {
    let mut turns: Vec<_> = trials.into_iter().map(Vec::into_iter).collect();
    let mut all = Vec::new();
    loop {
        let before = all.len();
        all.extend(turns.iter_mut().filter_map(Iterator::next));
        if all.len() == before {
            return all;
        }
    }
}
