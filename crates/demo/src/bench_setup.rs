//! What stands on a trial's bench: tanks, plantings, equipment.

use crate::DemoError;
use crate::ids::id_at;
use crate::setup::BEGUN;
use crate::table::{Folder, Row};
use crate::trial_setup::euros;
use jiff::Timestamp;
use jiff::civil::{Date, Time};
use serde::Deserialize;
use trial::equipment::EquipmentKind;
use trial::planting::{GrownIn, OriginForm, PlantOrigin};
use trial::tank::{Filter, Heater, Lamp, SubstrateLayer, Walls};
use trial::{Bench, Equipment, EquipmentId, Planting, PlantingId, Tank, TankId, TrialId};

/// Tanks with their substrate, then plantings, then equipment.
pub(crate) fn furnish(folder: Folder, bench: &mut Bench) -> Result<(), DemoError> {
    tanks(folder, bench)?;
    for row in folder.rows("plantings")? {
        let planting = planting(&row, folder, bench)?;
        bench.plantings.push(planting);
    }
    for row in folder.rows("equipment")? {
        let equipment = equipment(&row, folder, bench)?;
        bench.equipment.push(equipment);
    }
    Ok(())
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct TankRow {
    name: String,
    place: u32,
    arm: Option<String>,
    length_cm: Option<f64>,
    width_cm: Option<f64>,
    height_cm: Option<f64>,
    water_depth_cm: Option<f64>,
    walls: Walls,
    hardscape_l: Option<f64>,
    lamp: String,
    lumens: Option<f64>,
    watts: Option<f64>,
    lamp_height_cm: Option<f64>,
    lamp_length_cm: Option<f64>,
    lamp_width_cm: Option<f64>,
    dimming_pct: Option<f64>,
    photoperiod_h: Option<f64>,
    light_on_at: Option<Time>,
    filter: String,
    flow_l_h: Option<f64>,
    heater_w: Option<f64>,
    heater_c: Option<f64>,
    note: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct LayerRow {
    tank: String,
    material: String,
    depth_cm: Option<f64>,
    mass_kg: Option<f64>,
}

fn tanks(folder: Folder, bench: &mut Bench) -> Result<(), DemoError> {
    for row in folder.rows::<TankRow>("tanks")? {
        if let Some(arm) = &row.cells.arm {
            row.known(bench.trial.arm(arm), "arm", arm)?;
        }
        bench.tanks.push(tank(row, bench.trial.id, folder));
    }
    for row in folder.rows::<LayerRow>("substrate")? {
        let name = &row.cells.tank;
        let tank = bench.tanks.iter_mut().find(|t| t.name == *name);
        row.known(tank, "tank", name)?
            .substrate
            .push(SubstrateLayer {
                material: row.cells.material.clone(),
                depth_cm: row.cells.depth_cm,
                mass_kg: row.cells.mass_kg,
            });
    }
    Ok(())
}

fn tank(row: Row<TankRow>, trial: TrialId, folder: Folder) -> Tank {
    let rank = row.rank();
    let cells = row.cells;
    let id = TankId(id_at(
        BEGUN,
        rank,
        &format!("tank {} {}", folder.name, cells.name),
    ));
    let lamp = Lamp {
        name: cells.lamp,
        lumens: cells.lumens,
        watts: cells.watts,
        ppf_umol_s: None,
        height_cm: cells.lamp_height_cm,
        length_cm: cells.lamp_length_cm,
        width_cm: cells.lamp_width_cm,
        dimming_pct: cells.dimming_pct,
        photoperiod_h: cells.photoperiod_h,
        on_at: cells.light_on_at,
    };
    Tank {
        arm: cells.arm,
        length_cm: cells.length_cm,
        width_cm: cells.width_cm,
        height_cm: cells.height_cm,
        water_depth_cm: cells.water_depth_cm,
        walls: cells.walls,
        hardscape_l: cells.hardscape_l,
        lamps: vec![lamp],
        filter: Some(Filter {
            kind: cells.filter,
            flow_l_h: cells.flow_l_h,
        }),
        heater: Some(Heater {
            watts: cells.heater_w,
            set_c: cells.heater_c,
        }),
        note: cells.note,
        ..Tank::new(id, trial, cells.name, cells.place)
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct PlantingRow {
    tank: String,
    plant: String,
    common_name: String,
    label: String,
    planted: Date,
    form: OriginForm,
    grown_in: GrownIn,
    batch: String,
    quarantine: String,
    stems: Option<u32>,
    fresh_g: Option<f64>,
    divided: String,
    parent: Option<String>,
    zone_cm: String,
    floating: bool,
}

fn planting(row: &Row<PlantingRow>, folder: Folder, bench: &Bench) -> Result<Planting, DemoError> {
    let cells = &row.cells;
    let tank = row
        .known(bench.tank_named(&cells.tank), "tank", &cells.tank)?
        .id;
    let name = format!(
        "planting {} {} {} {}",
        folder.name, cells.tank, cells.plant, cells.label
    );
    let parent = match cells.parent.as_deref() {
        None => None,
        Some("first") => Some(row.known(
            planting_of(bench, tank, &cells.plant, ""),
            "plant",
            &cells.plant,
        )?),
        Some(other) => {
            return Err(row.problem(format!("parent \"{other}\" must be \"first\" or empty")));
        }
    };
    let corner = |(x, y): (String, f64)| Ok([row.known(x.parse().ok(), "zone_cm", &x)?, y]);
    let zone = row.pairs("zone_cm", &cells.zone_cm)?;
    Ok(Planting {
        common_name: cells.common_name.clone(),
        label: cells.label.clone(),
        planted: Some(cells.planted),
        origin: PlantOrigin {
            form: Some(cells.form),
            grown_in: Some(cells.grown_in),
            batch: cells.batch.clone(),
            quarantine: cells.quarantine.clone(),
        },
        stems: cells.stems,
        fresh_g: cells.fresh_g,
        divided: cells.divided.clone(),
        parent,
        zone_cm: zone
            .into_iter()
            .map(corner)
            .collect::<Result<_, DemoError>>()?,
        floating: cells.floating,
        ..Planting::new(
            PlantingId(id_at(on(cells.planted), row.rank(), &name)),
            bench.trial.id,
            tank,
            cells.plant.clone(),
        )
    })
}

/// The planting of this plant and label in a tank.
pub(crate) fn planting_of(
    bench: &Bench,
    tank: TankId,
    plant: &str,
    label: &str,
) -> Option<PlantingId> {
    let mut here = bench.plantings_in(tank);
    here.find(|p| p.scientific_name == plant && p.label == label)
        .map(|p| p.id)
}

/// Noon UTC of a day: when a record about it is taken to be written.
pub(crate) fn on(day: Date) -> Timestamp {
    day.at(12, 0, 0, 0)
        .to_zoned_datetime(jiff::tz::TimeZone::UTC)
        .map_or(BEGUN, |z| z.timestamp())
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct EquipmentRow {
    name: String,
    tanks: String,
    kind: EquipmentKind,
    price_eur: Option<f64>,
    bought: Option<Date>,
    life_months: Option<f64>,
    power_w: Option<f64>,
    hours_per_day: Option<f64>,
    disclosure: String,
}

fn equipment(
    row: &Row<EquipmentRow>,
    folder: Folder,
    bench: &Bench,
) -> Result<Equipment, DemoError> {
    let cells = &row.cells;
    let written = cells.bought.map_or(BEGUN, on).max(BEGUN);
    Ok(Equipment {
        id: EquipmentId(id_at(
            written,
            row.rank(),
            &format!("equipment {} {}", folder.name, cells.name),
        )),
        trial: bench.trial.id,
        name: cells.name.clone(),
        tanks: tanks_named(row, &cells.tanks, bench)?,
        kind: cells.kind,
        price: cells.price_eur.map(euros),
        bought: cells.bought,
        life_months: cells.life_months,
        power_w: cells.power_w,
        hours_per_day: cells.hours_per_day,
        disclosure: cells.disclosure.clone(),
    })
}

/// Tanks by their names, apart by spaces.
pub(crate) fn tanks_named<T>(
    row: &Row<T>,
    names: &str,
    bench: &Bench,
) -> Result<Vec<TankId>, DemoError> {
    let tank = |name| Ok(row.known(bench.tank_named(name), "tank", name)?.id);
    names.split_whitespace().map(tank).collect()
}
