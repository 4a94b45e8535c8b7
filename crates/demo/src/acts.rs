//! Rows of the tables that take more than one line, as acts.

use crate::DemoError;
use crate::bench_setup::planting_of;
use crate::entries::{Made, Shared};
use crate::pictures;
use crate::table::{Folder, Row};
use crate::trial_setup::euros;
use jiff::civil::Date;
use quantity::{Analyte, Means};
use serde::Deserialize;
use serde::de::DeserializeOwned;
use sha2::{Digest, Sha256};
use trial::act::*;
use trial::tank::Livestock;
use trial::{Act, Bench, PlantingId, Seen};

/// A table of acts: its name, the columns all such tables share, and what a row says.
trait Told: DeserializeOwned {
    const TABLE: &'static str;
    fn shared(&self) -> Shared<'_>;
    fn act(row: &Row<Self>, bench: &Bench) -> Result<Act, DemoError>;
}

/// Every act of a trial that is not a line of its log.
pub(crate) fn acts(folder: Folder, bench: &Bench) -> Result<Vec<Made>, DemoError> {
    let mut made = Vec::new();
    told::<Test>(folder, bench, &mut made)?;
    told::<Look>(folder, bench, &mut made)?;
    told::<AlgaeRow>(folder, bench, &mut made)?;
    told::<Cut>(folder, bench, &mut made)?;
    told::<ReplantRow>(folder, bench, &mut made)?;
    told::<HarvestRow>(folder, bench, &mut made)?;
    told::<LivestockRow>(folder, bench, &mut made)?;
    told::<LossRow>(folder, bench, &mut made)?;
    told::<SettingRow>(folder, bench, &mut made)?;
    told::<SwapRow>(folder, bench, &mut made)?;
    told::<PictureRow>(folder, bench, &mut made)?;
    Ok(made)
}

fn told<T: Told>(folder: Folder, bench: &Bench, made: &mut Vec<Made>) -> Result<(), DemoError> {
    for row in folder.rows::<T>(T::TABLE)? {
        let act = T::act(&row, bench)?;
        made.push(Made::of(&row, row.cells.shared(), act, bench)?);
    }
    Ok(())
}

fn plant_in<T: Told>(
    row: &Row<T>,
    bench: &Bench,
    plant: &str,
    label: &str,
) -> Result<PlantingId, DemoError> {
    let shared = row.cells.shared();
    let tank = row
        .known(bench.tank_named(shared.tank), "tank", shared.tank)?
        .id;
    row.known(planting_of(bench, tank, plant, label), "plant", plant)
}

/// A row of a table of acts: its own columns between those that every such table begins and ends with.
macro_rules! told_row {
    ($name:ident { $($field:ident: $type:ty,)* }) => {
        #[derive(Deserialize)]
        #[serde(deny_unknown_fields)]
        struct $name {
            day: Date,
            time: String,
            tank: String,
            $($field: $type,)*
            who: String,
            #[serde(default)]
            minutes: Option<f64>,
            #[serde(default)]
            note: String,
            #[serde(default)]
            key: String,
        }

        impl $name {
            fn told(&self) -> Shared<'_> {
                Shared {
                    day: self.day,
                    time: &self.time,
                    tank: &self.tank,
                    who: &self.who,
                    minutes: self.minutes,
                    note: &self.note,
                    key: &self.key,
                }
            }
        }
    };
}

macro_rules! told_as {
    ($name:ident, $table:literal, $act:expr) => {
        impl Told for $name {
            const TABLE: &'static str = $table;
            fn shared(&self) -> Shared<'_> {
                self.told()
            }
            fn act(row: &Row<Self>, bench: &Bench) -> Result<Act, DemoError> {
                $act(row, bench)
            }
        }
    };
}

told_row!(Test {
    water: Option<String>,
    analyte: Analyte,
    card: Option<String>,
    seen: String,
    error: Option<f64>,
    means: Option<Means>,
    lot: String,
    opened: Option<Date>,
    expires: Option<Date>,
});
told_as!(Test, "tests", reading);

fn reading(row: &Row<Test>, bench: &Bench) -> Result<Act, DemoError> {
    let cells = &row.cells;
    let card = match &cells.card {
        None => None,
        Some(name) => {
            Some(row.known(bench.cards.iter().find(|c| c.name == *name), "card", name)?)
        }
    };
    let water = match &cells.water {
        None => None,
        Some(name) => Some(
            row.known(bench.waters.iter().find(|w| w.name == *name), "water", name)?
                .id,
        ),
    };
    let seen = seen(row, card.is_some())?;
    let interval = card.map_or_else(|| seen.interval(), |c| c.interval(seen));
    Ok(Act::Reading(Reading {
        analyte: cells.analyte,
        seen,
        card: card.map(|c| c.id),
        means: cells.means.unwrap_or(card.map_or(Means::Ion, |c| c.means)),
        interval: interval.map_err(|e| row.problem(e.to_string()))?,
        water,
        dilution: None,
        of: ReadingOf::Sample,
        lot: cells.lot.clone(),
        opened: cells.opened,
        expires: cells.expires,
        waited_min: None,
        viewing_light: String::new(),
    }))
}

/// `6` on a card is a step, else a meter's value; `6-12` and `at least 3` are what they say.
fn seen(row: &Row<Test>, on_card: bool) -> Result<Seen, DemoError> {
    let word = row.cells.seen.as_str();
    let number = |text: &str| row.known(quantity::parse_number(text).ok(), "seen", text);
    if let Some(value) = word.strip_prefix("at least ") {
        return Ok(Seen::AtLeast {
            value: number(value)?,
        });
    }
    if let Some((low, high)) = word.split_once('-') {
        return Ok(Seen::Between {
            low: number(low)?,
            high: number(high)?,
        });
    }
    let value = number(word)?;
    if on_card {
        return Ok(Seen::Step { step: value });
    }
    let decimals = u8::try_from(quantity::parse::decimals(word)).unwrap_or(0);
    Ok(Seen::Meter {
        value,
        error: row.cells.error,
        decimals,
    })
}

told_row!(Look {
    plant: String,
    label: String,
    vigour: Option<f64>,
    new_leaf: Option<f64>,
    density: Option<f64>,
    colour: Option<f64>,
    height_cm: Option<f64>,
    spread_cm: Option<f64>,
    node_cm: Option<f64>,
    cover_pct: Option<f64>,
    signs: String,
});
told_as!(Look, "observations", |row: &Row<Look>, bench| {
    let cells = &row.cells;
    let signs = cells
        .signs
        .split(';')
        .map(|s| s.trim().to_string())
        .filter(|s| !s.is_empty());
    Ok(Act::Observation(Observation {
        plantings: vec![plant_in(row, bench, &cells.plant, &cells.label)?],
        vigour: cells.vigour,
        new_leaf: cells.new_leaf,
        density: cells.density,
        colour: cells.colour,
        height_cm: cells.height_cm,
        spread_cm: cells.spread_cm,
        node_cm: cells.node_cm,
        cover_pct: cells.cover_pct,
        signs: signs.collect(),
        ..Observation::default()
    }))
});

told_row!(AlgaeRow {
    film_pane: Option<f64>,
    film_plants: Option<f64>,
    film_substrate: Option<f64>,
    thread_plants: Option<f64>,
});
told_as!(AlgaeRow, "algae", |row: &Row<AlgaeRow>, _: &Bench| {
    let cells = &row.cells;
    Ok(Act::Algae(Algae {
        film: Surfaces {
            pane: cells.film_pane,
            plants: cells.film_plants,
            substrate: cells.film_substrate,
            hardscape: None,
        },
        thread: Surfaces {
            plants: cells.thread_plants,
            ..Surfaces::default()
        },
        on_walk: None,
    }))
});

#[derive(Deserialize)]
#[serde(rename_all = "snake_case")]
enum CutKind {
    Trim,
    Thin,
}

told_row!(Cut {
    act: CutKind,
    plant: String,
    kept_share: Option<f64>,
    out_fresh_g: Option<f64>,
    dried_fresh_g: Option<f64>,
    dried_dry_g: Option<f64>,
});
told_as!(Cut, "cuts", |row: &Row<Cut>, bench| {
    let cells = &row.cells;
    let plantings = vec![plant_in(row, bench, &cells.plant, "")?];
    let (kept_share, out_fresh_g) = (cells.kept_share, cells.out_fresh_g);
    let dried = cells
        .dried_fresh_g
        .zip(cells.dried_dry_g)
        .map(|(fresh_g, dry_g)| DriedSample { fresh_g, dry_g });
    Ok(match cells.act {
        CutKind::Thin => Act::Thin(Thin {
            plantings,
            kept_share,
            out_fresh_g,
        }),
        CutKind::Trim => Act::Trim(Trim {
            plantings,
            kept_share,
            out_fresh_g,
            dried,
            left_out: vec![],
        }),
    })
});

told_row!(ReplantRow {
    plant: String,
    into_label: String,
    count: Option<u32>,
    fresh_g: Option<f64>,
});
told_as!(ReplantRow, "replants", |row: &Row<ReplantRow>, bench| {
    let cells = &row.cells;
    Ok(Act::Replant(Replant {
        from: plant_in(row, bench, &cells.plant, "")?,
        into: plant_in(row, bench, &cells.plant, &cells.into_label)?,
        count: cells.count,
        fresh_g: cells.fresh_g,
    }))
});

told_row!(HarvestRow {
    plant: String,
    label: String,
    fresh_g: Option<f64>,
    dry_g: Option<f64>,
    fate: Fate,
});
told_as!(HarvestRow, "harvests", |row: &Row<HarvestRow>, bench| {
    let cells = &row.cells;
    Ok(Act::Harvest(Harvest {
        planting: plant_in(row, bench, &cells.plant, &cells.label)?,
        fresh_g: cells.fresh_g,
        dry_g: cells.dry_g,
        fate: cells.fate,
    }))
});

told_row!(LivestockRow {
    event: LivestockHappening,
    species: String,
    count: u32,
});
told_as!(
    LivestockRow,
    "livestock",
    |row: &Row<LivestockRow>, _: &Bench| {
        let cells = &row.cells;
        let who = Livestock {
            species: cells.species.clone(),
            count: cells.count,
        };
        Ok(Act::Livestock(LivestockEvent {
            event: cells.event,
            who,
        }))
    }
);

told_row!(LossRow {
    plant: String,
    whole: bool,
    stems: Option<u32>,
});
told_as!(LossRow, "losses", |row: &Row<LossRow>, bench| {
    let planting = plant_in(row, bench, &row.cells.plant, "")?;
    Ok(Act::Loss(Loss {
        planting,
        whole: row.cells.whole,
        stems: row.cells.stems,
    }))
});

told_row!(SettingRow {
    temperature_c: Option<f64>,
    light_h: Option<f64>,
    dimming_pct: Option<f64>,
});
told_as!(
    SettingRow,
    "settings",
    |row: &Row<SettingRow>, _: &Bench| {
        Ok(Act::Setting(Setting {
            temperature_c: row.cells.temperature_c,
            photoperiod_h: row.cells.light_h,
            dimming_pct: row.cells.dimming_pct,
            ..Setting::default()
        }))
    }
);

told_row!(SwapRow {
    left: String,
    came: String,
    price_eur: Option<f64>,
    equipment: Option<String>,
});
told_as!(SwapRow, "swaps", |row: &Row<SwapRow>, bench: &Bench| {
    let cells = &row.cells;
    let equipment = match &cells.equipment {
        None => None,
        Some(name) => {
            let found = bench.equipment.iter().find(|e| e.name == *name);
            Some(row.known(found, "equipment", name)?.id)
        }
    };
    Ok(Act::Swap(Swap {
        left: cells.left.clone(),
        came: cells.came.clone(),
        price: cells.price_eur.map(euros),
        equipment,
    }))
});

told_row!(PictureRow {
    file: String,
    width_px: u32,
    height_px: u32,
});
told_as!(
    PictureRow,
    "pictures",
    |row: &Row<PictureRow>, _: &Bench| {
        let cells = &row.cells;
        let picture = row.known(pictures::find(&cells.file), "file", &cells.file)?;
        let sha256 = Sha256::digest(picture.bytes)
            .iter()
            .map(|b| format!("{b:02x}"))
            .collect();
        Ok(Act::Picture(trial::act::Picture {
            sha256,
            media_type: "image/jpeg".to_string(),
            width_px: cells.width_px,
            height_px: cells.height_px,
            view: View::Front,
            planting: None,
        }))
    }
);
