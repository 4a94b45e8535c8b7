//! Acts of every kind.

use super::World;
use super::values::{
    amount, analyte, arb_number, arb_text, date, interval, money, number, text, time,
};
use super::walk::{self, on_walk};
use proptest::array::{uniform7, uniform10};
use proptest::option::of;
use proptest::prelude::*;
use proptest::sample::{select, subsequence};
use proptest::strategy::Union;
use quantity::Means;
use trial::act::*;
use trial::tank::Livestock;
use trial::{Act, Seen};

/// An act of any kind, about the records of `world`.
pub fn arb_act(world: &World) -> BoxedStrategy<Act> {
    Union::new(
        [water_acts(world), plant_acts(world), other_acts(world)]
            .into_iter()
            .flatten(),
    )
    .boxed()
}

fn water_acts(world: &World) -> Vec<BoxedStrategy<Act>> {
    let source = || of(select(world.waters.clone()));
    let product = select(world.products.clone());
    let dose_of = prop_oneof![
        product.prop_map(|product| DoseOf::Product { product }),
        arb_text().prop_map(|formula| DoseOf::Salt { formula }),
    ];
    let into = select(vec![Into::Water, Into::Substrate]);
    let share = arb_number().prop_map(|share| WaterAmount::Share { share });
    let litres = arb_number().prop_map(|litres| WaterAmount::Litres { litres });
    vec![
        (dose_of, amount(), into)
            .prop_map(|(of, amount, into)| Act::Dose(Dose { of, amount, into }))
            .boxed(),
        (prop_oneof![share, litres], source())
            .prop_map(|(amount, source)| Act::Change(Change { amount, source }))
            .boxed(),
        (arb_number(), source(), number())
            .prop_map(|(litres, source, level_below_cm)| {
                Act::TopUp(TopUp {
                    litres,
                    source,
                    level_below_cm,
                })
            })
            .boxed(),
        (arb_text(), of(select(world.products.clone())), number())
            .prop_map(|(food, product, grams)| {
                Act::Feed(Feed {
                    food,
                    product,
                    grams,
                })
            })
            .boxed(),
        reading(world),
    ]
}

fn seen() -> impl Strategy<Value = Seen> {
    prop_oneof![
        arb_number().prop_map(|step| Seen::Step { step }),
        (arb_number(), arb_number()).prop_map(|(low, high)| Seen::Between { low, high }),
        arb_number().prop_map(|value| Seen::AtLeast { value }),
        arb_number().prop_map(|value| Seen::AtMost { value }),
        (arb_number(), number(), any::<u8>()).prop_map(|(value, error, decimals)| {
            Seen::Meter {
                value,
                error,
                decimals,
            }
        }),
    ]
}

fn reading(world: &World) -> BoxedStrategy<Act> {
    let tested = prop_oneof![
        4 => Just(ReadingOf::Sample),
        1 => Just(ReadingOf::Blank),
        1 => arb_number().prop_map(|value| ReadingOf::Standard { value }),
    ];
    (
        (analyte(), seen(), of(select(world.cards.clone()))),
        (select(vec![Means::Ion, Means::Element]), interval()),
        (of(select(world.waters.clone())), number(), tested),
        (arb_text(), of(date()), of(date()), number(), arb_text()),
    )
        .prop_map(
            |((analyte, seen, card), (means, interval), about, reagent)| {
                let (water, dilution, of) = about;
                let (lot, opened, expires, waited_min, viewing_light) = reagent;
                Act::Reading(Reading {
                    analyte,
                    seen,
                    card,
                    means,
                    interval,
                    water,
                    dilution,
                    of,
                    lot,
                    opened,
                    expires,
                    waited_min,
                    viewing_light,
                })
            },
        )
        .boxed()
}

fn plant_acts(world: &World) -> Vec<BoxedStrategy<Act>> {
    let one = || select(world.plantings.clone());
    let some = || subsequence(world.plantings.clone(), 0..=world.plantings.len());
    let dried =
        (arb_number(), arb_number()).prop_map(|(fresh_g, dry_g)| DriedSample { fresh_g, dry_g });
    let fate = select(vec![Fate::PlantedBack, Fate::Rehomed, Fate::Disposed]);
    vec![
        (some(), number(), number(), of(dried), some())
            .prop_map(|(plantings, kept_share, out_fresh_g, dried, left_out)| {
                Act::Trim(Trim {
                    plantings,
                    kept_share,
                    out_fresh_g,
                    dried,
                    left_out,
                })
            })
            .boxed(),
        (one(), one(), of(any::<u32>()), number())
            .prop_map(|(from, into, count, fresh_g)| {
                Act::Replant(Replant {
                    from,
                    into,
                    count,
                    fresh_g,
                })
            })
            .boxed(),
        (some(), number(), number())
            .prop_map(|(plantings, kept_share, out_fresh_g)| {
                Act::Thin(Thin {
                    plantings,
                    kept_share,
                    out_fresh_g,
                })
            })
            .boxed(),
        (one(), any::<bool>(), of(any::<u32>()))
            .prop_map(|(planting, whole, stems)| {
                Act::Loss(Loss {
                    planting,
                    whole,
                    stems,
                })
            })
            .boxed(),
        (one(), any::<u32>())
            .prop_map(|(planting, count)| Act::Plantlets(Plantlets { planting, count }))
            .boxed(),
        (one(), of(select(world.tanks.clone())), number(), number())
            .prop_map(|(planting, to, share, fresh_g)| {
                Act::Move(Move {
                    planting,
                    to,
                    share,
                    fresh_g,
                })
            })
            .boxed(),
        observation(world),
        (one(), number(), number(), fate)
            .prop_map(|(planting, fresh_g, dry_g, fate)| {
                Act::Harvest(Harvest {
                    planting,
                    fresh_g,
                    dry_g,
                    fate,
                })
            })
            .boxed(),
    ]
}

fn observation(world: &World) -> BoxedStrategy<Act> {
    (
        subsequence(world.plantings.clone(), 0..=world.plantings.len()),
        uniform10(number()),
        of(any::<bool>()),
        prop::collection::vec(arb_text(), 0..3),
        of(on_walk()),
    )
        .prop_map(|(plantings, numbers, emerged, signs, on_walk)| {
            let [
                vigour,
                new_leaf,
                density,
                colour,
                height_cm,
                spread_cm,
                node_cm,
                rest @ ..,
            ] = numbers;
            let [cover_pct, fresh_g, _] = rest;
            Act::Observation(Observation {
                plantings,
                vigour,
                new_leaf,
                density,
                colour,
                height_cm,
                spread_cm,
                node_cm,
                cover_pct,
                fresh_g,
                emerged,
                signs,
                on_walk,
            })
        })
        .boxed()
}

fn other_acts(world: &World) -> Vec<BoxedStrategy<Act>> {
    let part = select(vec![
        Part::Pane,
        Part::Filter,
        Part::Diffuser,
        Part::Cover,
        Part::Lamp,
        Part::Substrate,
        Part::Hardscape,
    ]);
    vec![
        (part, number(), number())
            .prop_map(|(part, flow_before_l_h, flow_after_l_h)| {
                Act::Clean(Clean {
                    part,
                    flow_before_l_h,
                    flow_after_l_h,
                })
            })
            .boxed(),
        setting(),
        (
            arb_text(),
            arb_text(),
            of(money()),
            of(select(world.equipment.clone())),
        )
            .prop_map(|(left, came, price, equipment)| {
                Act::Swap(Swap {
                    left,
                    came,
                    price,
                    equipment,
                })
            })
            .boxed(),
        (surfaces(), surfaces(), of(on_walk()))
            .prop_map(|(film, thread, on_walk)| {
                Act::Algae(Algae {
                    film,
                    thread,
                    on_walk,
                })
            })
            .boxed(),
        picture(world),
        livestock(),
        walk::arb_walk(world),
        Just(Act::Note).boxed(),
        Just(Act::Undo).boxed(),
    ]
}

fn setting() -> BoxedStrategy<Act> {
    (uniform7(number()), of(time()), text(), text())
        .prop_map(|(numbers, light_on_at, timer_clock, surface)| {
            let [
                photoperiod_h,
                dimming_pct,
                lamp_height_cm,
                gas_on,
                gas_off,
                rest @ ..,
            ] = numbers;
            let [temperature_c, flow_l_h] = rest;
            Act::Setting(Setting {
                photoperiod_h,
                light_on_at,
                timer_clock,
                dimming_pct,
                lamp_height_cm,
                gas_on_after_light_min: gas_on,
                gas_off_after_light_min: gas_off,
                surface,
                temperature_c,
                flow_l_h,
            })
        })
        .boxed()
}

fn surfaces() -> impl Strategy<Value = Surfaces> {
    (number(), number(), number(), number()).prop_map(|(pane, plants, hardscape, substrate)| {
        Surfaces {
            pane,
            plants,
            hardscape,
            substrate,
        }
    })
}

/// Pictures by name only: their files are the caller's to add.
fn picture(world: &World) -> BoxedStrategy<Act> {
    (
        "[0-9a-f]{64}",
        select(
            crate::MEDIA_TYPES
                .map(|(media_type, _)| media_type)
                .to_vec(),
        ),
        (any::<u32>(), any::<u32>()),
        select(vec![View::Front, View::Top, View::Detail]),
        of(select(world.plantings.clone())),
    )
        .prop_map(
            |(sha256, media_type, (width_px, height_px), view, planting)| {
                Act::Picture(Picture {
                    sha256,
                    media_type: media_type.to_string(),
                    width_px,
                    height_px,
                    view,
                    planting,
                })
            },
        )
        .boxed()
}

fn livestock() -> BoxedStrategy<Act> {
    let event = select(vec![
        LivestockHappening::Arrival,
        LivestockHappening::Death,
        LivestockHappening::Missing,
        LivestockHappening::Illness,
        LivestockHappening::Departure,
    ]);
    (event, arb_text(), any::<u32>())
        .prop_map(|(event, species, count)| {
            let who = Livestock { species, count };
            Act::Livestock(LivestockEvent { event, who })
        })
        .boxed()
}
