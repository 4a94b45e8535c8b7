//! Doses.

use maud::{Markup, html};
use quantity::{Amount, Unit};
use text::t;
use trial::Bench;
use trial::act::{Dose, DoseOf, Into};

use super::super::kit::{Kit, NAME};
use super::super::reader::Reader;
use crate::parts::fields::{Pairs, Pick, picks, short_row, typed};

const UNITS: [(&str, &str); 5] = [
    ("ml", "ml"),
    ("g", "g"),
    ("mg", "mg"),
    ("l", "l"),
    ("piece", "pieces"),
];

fn into() -> Vec<Pick> {
    picks(&[
        ("water", t!("log.into_water")),
        ("substrate", t!("log.into_substrate")),
    ])
}

/// Products by name, salts by formula.
fn known(bench: &Bench) -> Vec<Pick> {
    let products = bench
        .products
        .iter()
        .map(|p| (p.name.clone(), String::new()));
    let salts = quantity::salt::all()
        .iter()
        .map(|s| (s.formula.to_owned(), s.name.to_owned()));
    products.chain(salts).collect()
}

pub(super) fn draw(kit: Kit<'_>) -> Markup {
    let amount =
        html! { (kit.must("amount").number("")) (kit.must("unit").select(&picks(&UNITS))) };
    html! {
        (kit.suggested("of", &known(kit.bench)))
        (short_row(&amount))
        (kit.must("into").radio(&into()))
    }
}

pub(super) fn read(r: &mut Reader<'_>) -> Option<Dose> {
    let what = r.words("of", NAME);
    let of = what.and_then(|what| of(r, &what));
    let value = r.number("amount");
    let unit = r.choice("unit", &picks(&UNITS));
    let into = r.choice("into", &into());
    Some(Dose {
        of: of?,
        amount: Amount::new(value?, Unit::from_word(&unit?)?),
        into: match into?.as_str() {
            "substrate" => Into::Substrate,
            _ => Into::Water,
        },
    })
}

fn of(r: &mut Reader<'_>, what: &str) -> Option<DoseOf> {
    let wanted = what.to_lowercase();
    let product = r
        .bench
        .products
        .iter()
        .find(|p| p.name.trim().to_lowercase() == wanted || p.id.to_string() == wanted);
    if let Some(product) = product {
        return Some(DoseOf::Product {
            product: product.id,
        });
    }
    if let Some(salt) = quantity::salt::find(what) {
        return Some(DoseOf::Salt {
            formula: salt.formula.to_owned(),
        });
    }
    let names: Vec<&str> = r.bench.products.iter().map(|p| p.name.as_str()).collect();
    r.refuse("of", t!("log.accept_dosed", known = names.join(", ")));
    None
}

pub(super) fn fill(p: &mut Pairs, dose: &Dose, bench: &Bench) {
    match &dose.of {
        DoseOf::Salt { formula } => p.put("of", formula),
        DoseOf::Product { product } => {
            let known = bench.product(*product).map(|p| p.name.clone());
            p.put("of", known.unwrap_or_else(|| product.to_string()));
        }
    }
    // Recorded in a unit the form does not offer (an ounce), the amount is shown in grams.
    let offered = UNITS
        .iter()
        .find(|(word, _)| Unit::from_word(word) == Some(dose.amount.unit));
    match (offered, dose.amount.to(Unit::Gram)) {
        (Some((word, _)), _) => {
            p.put("amount", typed(dose.amount.value));
            p.put("unit", word);
        }
        (None, Ok(grams)) => {
            p.put("amount", typed(grams));
            p.put("unit", "g");
        }
        (None, Err(_)) => {
            let ml = dose
                .amount
                .to(Unit::Millilitre)
                .unwrap_or(dose.amount.value);
            p.put("amount", typed(ml));
            p.put("unit", "ml");
        }
    }
    p.put(
        "into",
        match dose.into {
            Into::Water => "water",
            Into::Substrate => "substrate",
        },
    );
}
