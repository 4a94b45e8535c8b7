//! Walk-rounds, and that something was seen on one.

use super::{World, numbered_id};
use proptest::option::of;
use proptest::prelude::*;
use proptest::sample::{select, subsequence};
use trial::act::*;
use trial::types::Measure;
use trial::{Act, WalkId};

fn walk_id() -> impl Strategy<Value = WalkId> {
    (0u32..5).prop_map(|n| WalkId(numbered_id(10, n)))
}

/// That something was seen on a walk-round.
pub(super) fn on_walk() -> impl Strategy<Value = OnWalk> {
    (walk_id(), any::<bool>(), any::<bool>()).prop_map(|(walk, masked, as_last)| OnWalk {
        walk,
        masked,
        as_last,
    })
}

/// A walk-round under way, left or finished, masked or not.
pub(super) fn arb_walk(world: &World) -> BoxedStrategy<Act> {
    let by = select(vec![MaskedBy::Pictures, MaskedBy::Helper]);
    // Seeds as other programs read them without loss: up to 2^53.
    let mask = (by, 0..=(1u64 << 53)).prop_map(|(by, seed)| Mask { by, seed });
    let measure = select(vec![Measure::Vigour, Measure::Height, Measure::Film]);
    let step = (
        measure,
        of(select(Surface::ALL.to_vec())),
        subsequence(world.plantings.clone(), 0..=world.plantings.len()),
    )
        .prop_map(|(measure, surface, plantings)| WalkStep {
            measure,
            surface,
            plantings,
        });
    let guess = (select(world.tanks.clone()), of(select(world.tanks.clone())))
        .prop_map(|(tank, guessed)| Guess { tank, guessed });
    let end = (any::<bool>(), prop::collection::vec(guess, 0..4))
        .prop_map(|(finished, guesses)| WalkEnd { finished, guesses });
    (
        walk_id(),
        of(mask),
        subsequence(world.tanks.clone(), 0..=world.tanks.len()).prop_shuffle(),
        prop::collection::vec(step, 0..4),
        of(end),
    )
        .prop_map(|(walk, masked, order, steps, end)| {
            Act::Walk(Walk {
                walk,
                masked,
                order,
                steps,
                end,
            })
        })
        .boxed()
}
