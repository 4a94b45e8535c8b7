//! Plants by accepted scientific name, with the cautions that go with them.

use serde::Deserialize;
use std::sync::OnceLock;

const TABLE: &str = include_str!("../data/plants.csv");

/// A plant of the catalogue. Classes and heights are common practice, no source.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct Plant {
    /// Accepted scientific name.
    pub scientific_name: String,
    /// Common name.
    pub common_name: String,
    /// carpet, stem, rosette, bulb, rhizome/fern, moss or floating.
    pub form: String,
    /// slow, medium or fast.
    pub speed: String,
    /// low, medium or high.
    pub light_demand: String,
    /// low, medium or high.
    pub co2_demand: String,
    /// Usual height, from.
    pub height_cm_min: f64,
    /// Usual height, to.
    pub height_cm_max: f64,
    /// How it is multiplied.
    pub propagation: String,
    /// Notes, with regulation where a list names it.
    pub notes: String,
}

impl Plant {
    /// The caution when a list of regulated plants names it; lists change, so it always ends with
    /// the advice to check current law.
    pub fn regulation(&self) -> Option<String> {
        let listed = [
            "REGULATED",
            "listed by",
            "Union list",
            "restricted",
            "check local law",
        ];
        listed.iter().any(|w| self.notes.contains(w)).then(|| {
            let text = self.notes.split(" [classes").next().unwrap_or(&self.notes);
            let text = text
                .replace(" - SEEN", "")
                .replace(" - MEMORY", " (from memory)");
            format!("{text}. Lists change: check current law where you live.")
        })
    }
}

/// Every plant of the catalogue, as listed.
pub fn all() -> &'static [Plant] {
    static PLANTS: OnceLock<Vec<Plant>> = OnceLock::new();
    PLANTS.get_or_init(|| {
        csv::Reader::from_reader(TABLE.as_bytes())
            .deserialize()
            .filter_map(|row| row.ok())
            .collect()
    })
}

/// The plant of this scientific or common name, whatever the case.
pub fn find(name: &str) -> Option<&'static Plant> {
    let wanted = name.trim().to_lowercase();
    all().iter().find(|p| {
        p.scientific_name.to_lowercase() == wanted || p.common_name.to_lowercase() == wanted
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_is_read() {
        assert_eq!(all().len(), 79);
        assert_eq!(
            find("needle spikerush").unwrap().scientific_name,
            "Eleocharis acicularis"
        );
    }

    #[test]
    fn regulated_plants_say_so_and_others_do_not() {
        let caution = find("Salvinia molesta").unwrap().regulation().unwrap();
        assert!(caution.contains("7 CFR 360.200") && caution.contains("check current law"));
        assert!(
            find("Eleocharis acicularis")
                .unwrap()
                .regulation()
                .is_none()
        );
    }
}
