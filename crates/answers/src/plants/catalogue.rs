//! The catalogue of plants, searched, with the cautions that go with each.

use serde::Serialize;
use trial::catalogue::{self, Listing, Plant};
use trial::{Bench, TankId};

/// Which plants are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Show {
    /// All.
    #[default]
    All,
    /// Those that some list names.
    Listed,
    /// Those of this trial.
    Here,
}

/// The catalogue as asked for.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CatalogueView {
    /// The plants that fit, by scientific name.
    pub plants: Vec<Entry>,
    /// Plants in the whole catalogue.
    pub all: usize,
    /// Plants of this trial that the catalogue does not have: nothing is known here of their
    /// regulation.
    pub unchecked: Vec<Unchecked>,
}

/// One plant of the catalogue. Classes and heights are common practice, no source.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Entry {
    /// Accepted scientific name.
    pub scientific_name: String,
    /// Common name.
    pub common_name: String,
    /// carpet, stem, rosette, bulb, rhizome/fern, moss or floating.
    pub form: String,
    /// How fast it grows: slow, medium or fast.
    pub speed: String,
    /// low, medium or high.
    pub light: String,
    /// low, medium or high.
    pub co2: String,
    /// Usual height, centimetres: from, to.
    pub height_cm: (f64, f64),
    /// How it is multiplied.
    pub propagation: String,
    /// The lists that name it; empty does not mean that no list anywhere does.
    pub listings: Vec<Listing>,
    /// Other names, how it is trimmed, plants it must not be taken for.
    pub remarks: Vec<String>,
    /// The tanks of this trial it was planted in, from the left.
    pub tanks: Vec<TankId>,
}

/// A plant of the trial that the catalogue does not have.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Unchecked {
    /// What the keeper calls it.
    pub name: String,
    /// The tanks it was planted in, from the left.
    pub tanks: Vec<TankId>,
}

/// The plants that hold every word of `asked` in their names or remarks, whatever the case, and are
/// among those to `show`.
pub fn catalogue(bench: &Bench, asked: &str, show: Show) -> CatalogueView {
    let asked = asked.to_lowercase();
    let words: Vec<&str> = asked.split_whitespace().collect();
    let mut plants: Vec<Entry> = catalogue::all()
        .iter()
        .map(|plant| Entry::new(plant, bench))
        .filter(|entry| match show {
            Show::All => true,
            Show::Listed => !entry.listings.is_empty(),
            Show::Here => !entry.tanks.is_empty(),
        })
        .filter(|entry| entry.holds(&words))
        .collect();
    plants.sort_by(|a, b| a.scientific_name.cmp(&b.scientific_name));
    let unchecked = bench.species().into_iter();
    let unchecked = unchecked.filter(|name| catalogue::find(name).is_none());
    CatalogueView {
        plants,
        all: catalogue::all().len(),
        unchecked: unchecked
            .map(|name| Unchecked {
                name: name.to_string(),
                tanks: tanks(bench, |planted| planted == name),
            })
            .collect(),
    }
}

impl Entry {
    pub(super) fn new(plant: &Plant, bench: &Bench) -> Self {
        let same = |name: &str| name.eq_ignore_ascii_case(&plant.scientific_name);
        Entry {
            scientific_name: plant.scientific_name.clone(),
            common_name: plant.common_name.clone(),
            form: plant.form.clone(),
            speed: plant.speed.clone(),
            light: plant.light_demand.clone(),
            co2: plant.co2_demand.clone(),
            height_cm: (plant.height_cm_min, plant.height_cm_max),
            propagation: plant.propagation.clone(),
            listings: plant.listings(),
            remarks: plant.remarks(),
            tanks: tanks(bench, same),
        }
    }

    fn holds(&self, words: &[&str]) -> bool {
        let names = [&self.scientific_name, &self.common_name, &self.form];
        let text: Vec<String> = names
            .into_iter()
            .chain(&self.remarks)
            .map(|t| t.to_lowercase())
            .collect();
        words.iter().all(|w| text.iter().any(|t| t.contains(w)))
    }
}

/// The tanks with a planting of such a name, each once, from the left.
fn tanks(bench: &Bench, is_it: impl Fn(&str) -> bool) -> Vec<TankId> {
    let planted = |tank: TankId| {
        let mut here = bench.plantings_in(tank);
        here.any(|p| is_it(&p.scientific_name))
    };
    let all = bench.tank_ids().into_iter();
    all.filter(|tank| planted(*tank)).collect()
}
