//! Which entries count as doing a routine: those of its kind, narrowed by what its words name.
//!
//! A routine holds only a kind of act. Two dose routines of one bench are told apart by the product or
//! salt that their words name, two reading routines by the analyte, two cleanings by the part.

use quantity::Analyte;
use text::t;
use trial::act::{DoseOf, Part};
use trial::supply::ProductKind;
use trial::{Act, Bench, Entry, Plan, ProductId};

/// What a routine counts.
#[derive(Debug, Default)]
pub(super) struct Counts {
    kind: String,
    products: Vec<ProductId>,
    salts: Vec<&'static str>,
    analytes: Vec<Analyte>,
    parts: Vec<Part>,
    /// What it was narrowed to, in words; empty when any entry of the kind counts.
    pub(super) names: Vec<String>,
}

const PARTS: [Part; 7] = [
    Part::Pane,
    Part::Filter,
    Part::Diffuser,
    Part::Cover,
    Part::Lamp,
    Part::Substrate,
    Part::Hardscape,
];

impl Counts {
    pub(super) fn of(bench: &Bench, plan: &Plan, kind: &str) -> Counts {
        let said = plan.what.to_lowercase();
        let mut counts = Counts {
            kind: kind.to_string(),
            ..Counts::default()
        };
        match kind {
            "dose" => counts.doses(bench, &said),
            "reading" => {
                for analyte in Analyte::all().filter(|a| has_word(&said, a.name())) {
                    counts.analytes.push(analyte);
                    counts.names.push(analyte.name().to_string());
                }
            }
            "clean" => {
                for part in PARTS
                    .into_iter()
                    .filter(|p| said.contains(singular(part_name(*p))))
                {
                    counts.parts.push(part);
                    counts.names.push(part_name(part).to_string());
                }
            }
            _ => {}
        }
        counts
    }

    fn doses(&mut self, bench: &Bench, said: &str) {
        for product in &bench.products {
            let tablet = product.kind == ProductKind::Tablet && said.contains("tablet");
            let name = product.name.trim().to_lowercase();
            if tablet || (!name.is_empty() && said.contains(&name)) {
                self.products.push(product.id);
                self.names.push(product.name.clone());
            }
        }
        for salt in quantity::salt::all() {
            if said.contains(salt.name) || has_word(said, &salt.formula.to_lowercase()) {
                self.salts.push(salt.formula);
                self.names.push(salt.name.to_string());
            }
        }
    }

    /// Whether `entry` counts.
    pub(super) fn has(&self, entry: &Entry) -> bool {
        if entry.act.kind() != self.kind {
            return false;
        }
        match &entry.act {
            _ if self.names.is_empty() => true,
            Act::Dose(dose) => match &dose.of {
                DoseOf::Product { product } => self.products.contains(product),
                DoseOf::Salt { formula } => {
                    let salt = quantity::salt::find(formula);
                    salt.is_some_and(|s| self.salts.contains(&s.formula))
                }
            },
            Act::Reading(reading) => self.analytes.contains(&reading.analyte),
            Act::Clean(clean) => self.parts.contains(&clean.part),
            _ => true,
        }
    }
}

fn part_name(part: Part) -> &'static str {
    match part {
        Part::Pane => t!("act.part_pane"),
        Part::Filter => t!("act.part_filter"),
        Part::Diffuser => t!("act.part_diffuser"),
        Part::Cover => t!("act.part_cover"),
        Part::Lamp => t!("act.part_lamp"),
        Part::Substrate => t!("act.part_substrate"),
        Part::Hardscape => t!("act.part_hardscape"),
    }
}

fn singular(name: &str) -> &str {
    name.strip_suffix('s').unwrap_or(name)
}

/// Whether `said` has `word` as a word of its own (`nitrite` is not in `nitrate`, nor `s` in `salt`).
fn has_word(said: &str, word: &str) -> bool {
    let bare = |c: char| !c.is_alphanumeric() && c != '.';
    let words: Vec<&str> = said.split(bare).map(|w| w.trim_matches('.')).collect();
    let wanted: Vec<&str> = word.split(bare).collect();
    words.windows(wanted.len()).any(|w| w == wanted)
}
