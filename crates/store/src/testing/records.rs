//! Set-up records of every kind; those of the whole notebook are made in `supplies`.

use super::supplies::{card, product, water};
use super::values::{analyte, arb_number, arb_text, date, money, number, text, time};
use super::{World, numbered_id};
use proptest::array::{uniform6, uniform8};
use proptest::collection::vec;
use proptest::option::of;
use proptest::prelude::*;
use proptest::sample::{Index, select, subsequence};
use trial::equipment::EquipmentKind;
use trial::plan::{PlanOutcome, Routine};
use trial::planting::{GrownIn, OriginForm, PlantOrigin};
use trial::tank::{Filter, Gas, GasSupply, Heater, Lamp, Livestock, SubstrateLayer, Walls};
use trial::types::*;
use trial::{EntryId, Equipment, Plan, Planting, PlantingId, Record, Tank, TankId, Trial, TrialId};

/// The records of all worlds, parents first, then some of them again with a new name.
pub(super) fn arb_records(worlds: &[World]) -> BoxedStrategy<Vec<Record>> {
    let mut all: Vec<BoxedStrategy<Record>> = Vec::new();
    if let Some(first) = worlds.first() {
        all.extend(first.cards.iter().map(|id| card(*id)));
        all.extend(first.products.iter().map(|id| product(*id)));
        all.extend(first.waters.iter().map(|id| water(*id, first)));
    }
    for world in worlds {
        all.push(trial(world.trial));
        all.extend(world.tanks.iter().map(|id| tank(*id, world.trial)));
        for (i, id) in world.plantings.iter().enumerate() {
            let parents = world.plantings.get(..i).unwrap_or_default();
            all.push(planting(*id, world, i, parents));
        }
        all.extend(world.equipment.iter().map(|id| equipment(*id, world)));
        all.extend(world.plans.iter().map(|id| plan(*id, world)));
    }
    (all, vec((any::<Index>(), arb_text()), 0..6))
        .prop_map(|(mut records, again)| {
            for (index, name) in again {
                let mut record = index.get(&records).clone();
                rename(&mut record, name);
                records.push(record);
            }
            records
        })
        .boxed()
}

fn rename(record: &mut Record, name: String) {
    match record {
        Record::Trial(r) => r.title = name,
        Record::Tank(r) => r.note = name,
        Record::Planting(r) => r.label = name,
        Record::Card(r) => r.name = name,
        Record::Product(r) => r.name = name,
        Record::Water(r) => r.name = name,
        Record::Equipment(r) => r.name = name,
        Record::Plan(r) => r.what = name,
    }
}

fn trial(id: TrialId) -> BoxedStrategy<Record> {
    (
        (arb_text(), arb_text(), any::<bool>(), text(), of(date())),
        (text(), arms(), factors(), vec(equal(), 0..3)),
        (of(outcome()), vec(outcome(), 0..3), vec(phase(), 0..3)),
        (
            text(),
            of(lot()),
            vec(arb_text(), 0..3),
            text(),
            of(money()),
        ),
        (vec(kept_range(), 0..3), vec(absence(), 0..3)),
    )
        .prop_map(
            move |(about, design, outcomes, rest, (kept_ranges, absences))| {
                let (title, question, invented, made_by, start) = about;
                let (keeper, arms, differ, equal) = design;
                let (primary, secondary, phases) = outcomes;
                let (stop_rule, lot, disclosures, next_step, electricity_per_kwh) = rest;
                Record::Trial(Trial {
                    id,
                    title,
                    question,
                    invented,
                    made_by,
                    start,
                    zone: "Europe/Berlin".to_string(),
                    keeper,
                    arms,
                    differ,
                    equal,
                    primary,
                    secondary,
                    phases,
                    stop_rule,
                    lot,
                    disclosures,
                    next_step,
                    electricity_per_kwh,
                    kept_ranges,
                    absences,
                })
            },
        )
        .boxed()
}

fn arms() -> impl Strategy<Value = Vec<Arm>> {
    vec((arb_text(), arb_text(), any::<bool>()), 0..3).prop_map(|arms| {
        arms.into_iter()
            .map(|(key, name, control)| Arm { key, name, control })
            .collect()
    })
}

fn factors() -> impl Strategy<Value = Vec<Factor>> {
    let level = (arb_text(), arb_text()).prop_map(|(arm, value)| Level { arm, value });
    let factor = (arb_text(), vec(level, 0..3)).prop_map(|(name, levels)| Factor { name, levels });
    vec(factor, 0..3)
}

fn equal() -> impl Strategy<Value = EqualFactor> {
    (arb_text(), arb_text()).prop_map(|(name, value)| EqualFactor { name, value })
}

fn outcome() -> impl Strategy<Value = Outcome> {
    let measure = select(vec![
        Measure::Growth,
        Measure::Cover,
        Measure::NewLeaf,
        Measure::Film,
        Measure::Money,
    ]);
    let better = prop_oneof![
        Just(Better::More),
        Just(Better::Less),
        arb_number().prop_map(|value| Better::Target { value }),
    ];
    (arb_text(), measure, text(), better).prop_map(|(name, measure, plant, better)| Outcome {
        name,
        measure,
        plant,
        better,
    })
}

fn absence() -> impl Strategy<Value = Absence> {
    (date(), date(), arb_text(), arb_text()).prop_map(|(from, to, who_helps, note)| Absence {
        from,
        to,
        who_helps,
        note,
    })
}

fn phase() -> impl Strategy<Value = Phase> {
    let kind = select(vec![
        PhaseKind::Establishing,
        PhaseKind::Baseline,
        PhaseKind::Treatment,
        PhaseKind::AfterSwitch,
        PhaseKind::End,
    ]);
    (kind, date(), of(date()), arb_text()).prop_map(|(kind, from, to, note)| Phase {
        kind,
        from,
        to,
        note,
    })
}

fn lot() -> impl Strategy<Value = Lot> {
    (
        prop::option::of(any::<u64>()),
        arb_text(),
        date(),
        arb_text(),
        arb_text(),
    )
        .prop_map(|(seed, method, drawn, by, result)| Lot {
            seed,
            method,
            drawn,
            by,
            result,
        })
}

fn kept_range() -> impl Strategy<Value = KeptRange> {
    (analyte(), arb_number(), arb_number()).prop_map(|(analyte, low, high)| KeptRange {
        analyte,
        low,
        high,
    })
}

fn tank(id: TankId, trial: TrialId) -> BoxedStrategy<Record> {
    let layer =
        (arb_text(), number(), number()).prop_map(|(material, depth_cm, mass_kg)| SubstrateLayer {
            material,
            depth_cm,
            mass_kg,
        });
    let filter = (arb_text(), number()).prop_map(|(kind, flow_l_h)| Filter { kind, flow_l_h });
    let heater = (number(), number()).prop_map(|(watts, set_c)| Heater { watts, set_c });
    let supply = select(vec![
        GasSupply::Cylinder,
        GasSupply::Fermenting,
        GasSupply::Other,
    ]);
    let gas = (supply, arb_text()).prop_map(|(supply, note)| Gas { supply, note });
    let animals =
        (arb_text(), any::<u32>()).prop_map(|(species, count)| Livestock { species, count });
    let walls = select(vec![Walls::Glass, Walls::Black, Walls::White, Walls::Film]);
    (
        (arb_text(), any::<u32>(), text(), walls, arb_text()),
        uniform6(number()),
        (vec(layer, 0..3), vec(lamp(), 0..3)),
        (of(filter), of(heater), of(gas), vec(animals, 0..3)),
    )
        .prop_map(
            move |((name, place, arm, walls, note), sizes, layers, rest)| {
                let [length_cm, width_cm, height_cm, water_depth_cm, volumes @ ..] = sizes;
                let [water_volume_l, hardscape_l] = volumes;
                let (substrate, lamps) = layers;
                let (filter, heater, gas, livestock) = rest;
                Record::Tank(Tank {
                    id,
                    trial,
                    name,
                    place,
                    arm,
                    length_cm,
                    width_cm,
                    height_cm,
                    water_depth_cm,
                    water_volume_l,
                    walls,
                    substrate,
                    hardscape_l,
                    lamps,
                    filter,
                    heater,
                    gas,
                    livestock,
                    note,
                })
            },
        )
        .boxed()
}

fn lamp() -> impl Strategy<Value = Lamp> {
    (arb_text(), uniform8(number()), of(time())).prop_map(|(name, numbers, on_at)| {
        let [lumens, watts, ppf_umol_s, height_cm, rest @ ..] = numbers;
        let [length_cm, width_cm, dimming_pct, photoperiod_h] = rest;
        Lamp {
            name,
            lumens,
            watts,
            ppf_umol_s,
            height_cm,
            length_cm,
            width_cm,
            dimming_pct,
            photoperiod_h,
            on_at,
        }
    })
}

fn planting(
    id: PlantingId,
    world: &World,
    n: usize,
    parents: &[PlantingId],
) -> BoxedStrategy<Record> {
    let (trial, tank) = (world.trial, world.tanks[n % world.tanks.len()]);
    let parent = match parents {
        [] => Just(None).boxed(),
        some => of(select(some.to_vec())).boxed(),
    };
    let form = select(vec![
        OriginForm::Pot,
        OriginForm::Cuttings,
        OriginForm::Culture,
        OriginForm::Division,
    ]);
    let grown = select(vec![GrownIn::Air, GrownIn::Water]);
    let origin = (of(form), of(grown), arb_text(), arb_text()).prop_map(
        |(form, grown_in, batch, quarantine)| PlantOrigin {
            form,
            grown_in,
            batch,
            quarantine,
        },
    );
    let corner = (arb_number(), arb_number()).prop_map(|(x, y)| [x, y]);
    (
        (arb_text(), arb_text(), arb_text(), of(date()), origin),
        (of(any::<u32>()), number(), arb_text(), parent),
        (vec(corner, 0..5), any::<bool>()),
    )
        .prop_map(move |(about, stock, (zone_cm, floating))| {
            let (scientific_name, common_name, label, planted, origin) = about;
            let (stems, fresh_g, divided, parent) = stock;
            Record::Planting(Planting {
                id,
                trial,
                tank,
                scientific_name,
                common_name,
                label,
                planted,
                origin,
                stems,
                fresh_g,
                divided,
                parent,
                zone_cm,
                floating,
            })
        })
        .boxed()
}

fn equipment(id: trial::EquipmentId, world: &World) -> BoxedStrategy<Record> {
    let trial = world.trial;
    let kind = select(vec![EquipmentKind::Durable, EquipmentKind::Consumable]);
    (
        (arb_text(), tanks(world), kind, arb_text()),
        (of(money()), of(date()), number(), number(), number()),
    )
        .prop_map(move |((name, tanks, kind, disclosure), figures)| {
            let (price, bought, life_months, power_w, hours_per_day) = figures;
            Record::Equipment(Equipment {
                id,
                trial,
                name,
                tanks,
                kind,
                price,
                bought,
                life_months,
                power_w,
                hours_per_day,
                disclosure,
            })
        })
        .boxed()
}

fn plan(id: trial::PlanId, world: &World) -> BoxedStrategy<Record> {
    let trial = world.trial;
    let routine =
        (arb_text(), any::<u16>(), of(date())).prop_map(|(act, every_days, until)| Routine {
            act,
            every_days,
            until,
        });
    let entries = vec((0u32..50).prop_map(|n| EntryId(numbered_id(9, n))), 0..3);
    let outcome = prop_oneof![
        Just(PlanOutcome::Open),
        (date(), entries, arb_text()).prop_map(|(on, entries, seen)| PlanOutcome::Done {
            on,
            entries,
            seen,
        }),
        arb_text().prop_map(|why| PlanOutcome::Dropped { why }),
    ];
    (
        (arb_text(), tanks(world), date()),
        (arb_text(), of(routine), outcome),
    )
        .prop_map(move |((what, tanks, from), (expects, routine, outcome))| {
            Record::Plan(Plan {
                id,
                trial,
                what,
                tanks,
                from,
                expects,
                routine,
                outcome,
            })
        })
        .boxed()
}

fn tanks(world: &World) -> impl Strategy<Value = Vec<TankId>> + use<> {
    subsequence(world.tanks.clone(), 0..=world.tanks.len())
}
