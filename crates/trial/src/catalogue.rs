//! Plants by accepted scientific name, with the cautions that go with them.

use serde::{Deserialize, Serialize};
use std::sync::OnceLock;
use text::t;

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

/// A list that names a plant, as the catalogue notes it. Lists change: it is no legal advice.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Listing {
    /// Whose list, and which: `United States: federal noxious weed, 7 CFR 360.200`.
    pub list: String,
    /// The year of the list; none when it was not noted.
    pub year: Option<u16>,
    /// How it is known.
    pub known: Known,
}

/// How it is known that a list names a plant.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(tag = "is", rename_all = "snake_case")]
pub enum Known {
    /// The list was seen.
    Seen {
        /// What of it, and in which copy; may be empty.
        how: String,
    },
    /// From memory: nobody checked.
    Memory,
    /// Not noted.
    NotNoted,
    /// No list is noted, only that there may be law.
    NoList,
}

impl Plant {
    /// The clauses of its notes, without where classes and heights come from.
    fn clauses(&self) -> impl Iterator<Item = &str> {
        let notes = self.notes.split(" [classes").next().unwrap_or_default();
        notes.split("; ").map(str::trim).filter(|c| !c.is_empty())
    }

    /// Every list that is noted to name it, in the order of the notes; empty for most plants, which
    /// does not mean that no list anywhere names them.
    pub fn listings(&self) -> Vec<Listing> {
        self.clauses().filter_map(listing).collect()
    }

    /// What else is noted: names it is sold under, how it is trimmed, plants it must not be taken
    /// for.
    pub fn remarks(&self) -> Vec<String> {
        let others = self.clauses().filter(|c| listing(c).is_none());
        others
            .map(|c| c.replace(" - SEEN", " (that list was seen)"))
            .collect()
    }

    /// The caution when a list of regulated plants names it; lists change, so it always ends with
    /// the advice to check current law.
    pub fn regulation(&self) -> Option<String> {
        let all: Vec<String> = self.listings().iter().map(Listing::sentence).collect();
        (!all.is_empty()).then(|| format!("{} {}", all.join(" "), t!("plants.check_law")))
    }
}

impl Listing {
    /// The list, its year and how it is known, in words.
    pub fn sentence(&self) -> String {
        let known = match &self.known {
            Known::Seen { how } if how.is_empty() => t!("plants.list_seen").to_string(),
            Known::Seen { how } => t!("plants.list_seen_how", how = how),
            Known::Memory => t!("plants.list_memory").to_string(),
            Known::NotNoted => t!("plants.list_not_noted").to_string(),
            Known::NoList => return format!("{}.", self.list),
        };
        match (self.year, &self.known) {
            (Some(_), _) => format!("{}: {known}.", self.list),
            (None, Known::NotNoted) => t!("plants.list_bare", list = self.list),
            (None, _) => t!("plants.list_no_year", list = self.list, known = known),
        }
    }
}

/// The listing that one clause of the notes tells of.
fn listing(clause: &str) -> Option<Listing> {
    let starts = [
        ("REGULATED USA: ", "United States: "),
        ("REGULATED EU: ", "European Union: "),
        ("EU Union list", "European Union: Union list"),
        ("also listed by", "Listed by"),
        ("listed by", "Listed by"),
        ("restricted in", "Restricted in"),
    ];
    if clause == "check local law" {
        return Some(Listing {
            list: t!("plants.list_local").to_string(),
            year: None,
            known: Known::NoList,
        });
    }
    let (start, name) = starts.iter().find(|(s, _)| clause.starts_with(s))?;
    let rest = &clause[start.len()..];
    // What is known stands behind a dash, or alone in brackets.
    let (list, known) = match rest.split_once(" - ") {
        Some((list, known)) if !list.contains('(') || list.contains(')') => (list, known),
        _ => match rest.strip_suffix(" (MEMORY)") {
            Some(list) => (list, "MEMORY"),
            None => (rest, ""),
        },
    };
    let known = match known.strip_prefix("SEEN") {
        Some(how) => Known::Seen {
            how: how.trim().trim_matches(['(', ')']).to_string(),
        },
        None if known.starts_with("MEMORY") => Known::Memory,
        None => Known::NotNoted,
    };
    let list = format!("{name}{}", list.replace(" - SEEN", ", that list was seen"));
    Some(Listing {
        year: year(&list),
        list,
        known,
    })
}

/// The first year of this century in the text.
fn year(text: &str) -> Option<u16> {
    text.split(|c: char| !c.is_ascii_digit())
        .filter(|digits| digits.len() == 4 && digits.starts_with("20"))
        .find_map(|digits| digits.parse().ok())
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

    /// Against the lists: plants of 7 CFR 360.200 and of Implementing Regulations (EU) 2016/1141 and
    /// 2017/1263 (the last from memory) that stand in the catalogue under their present names. State
    /// and national lists are not checked.
    #[test]
    fn plants_of_the_two_lists_are_named_with_them() {
        let listed = |name: &str, list: &str| {
            let all = find(name).unwrap().listings();
            all.iter().any(|l| l.list.contains(list))
        };
        for name in [
            "Hydrilla verticillata",
            "Hygrophila polysperma",
            "Lagarosiphon major",
            "Limnophila sessiliflora",
            "Salvinia molesta",
        ] {
            assert!(listed(name, "7 CFR 360.200"), "{name}");
        }
        for name in [
            "Cabomba caroliniana",
            "Lagarosiphon major",
            "Myriophyllum aquaticum",
            "Pontederia crassipes",
        ] {
            assert!(listed(name, "Union list 2016"), "{name}");
        }
        assert!(listed("Elodea nuttallii", "2017"));
        // The names of plants they are taken for are no listing.
        for name in ["Ludwigia repens", "Salvinia natans", "Azolla filiculoides"] {
            assert_eq!(find(name).unwrap().listings(), vec![], "{name}");
        }
    }

    #[test]
    fn a_listing_says_its_year_and_how_it_is_known() {
        let of = |name: &str| find(name).unwrap().listings();
        let cabomba = of("Cabomba caroliniana");
        assert_eq!(cabomba[0].year, Some(2016));
        assert_eq!(
            cabomba[0].known,
            Known::Seen {
                how: "in a 2016 copy of the list".into()
            }
        );
        assert_eq!(cabomba[1].list, "Listed by some US states");
        assert_eq!(
            (cabomba[1].year, &cabomba[1].known),
            (None, &Known::NotNoted)
        );
        let pistia = of("Pistia stratiotes");
        assert_eq!(
            (pistia[0].year, &pistia[0].known),
            (Some(2022), &Known::Memory)
        );
        assert_eq!(pistia[1].known, Known::Memory);
        let hydrilla = find("Hydrilla verticillata").unwrap();
        assert_eq!(hydrilla.remarks(), ["bicarbonate user"]);
        let all = all().iter().flat_map(Plant::listings);
        for sentence in all.map(|l| l.sentence()) {
            let raw = ["SEEN", "MEMORY", "REGULATED", "plants."];
            assert!(!raw.iter().any(|w| sentence.contains(w)), "{sentence}");
        }
    }
}
