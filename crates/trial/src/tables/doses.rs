//! Doses, with what they bring: one row for each tank.

use super::EntryTable;
use super::column::{Column, ColumnKind, RowCells, key_of, number};
use super::head::{Own, per_tank};
use super::line::{Line, RowProblem};
use crate::act::{Dose, DoseOf, Into};
use crate::nutrients::nutrients_mg;
use crate::{Act, Bench, Entry, Product, TankId};
use quantity::{Amount, Analyte, Unit, parse_amount};

pub(crate) const TABLE: EntryTable = EntryTable {
    name: "doses",
    about: "What was dosed in each tank, and the milligrams it brings where its composition is known",
    kinds: &["dose"],
    own: &OWN,
    also_read: &[],
    marks: &["what"],
    rows,
    act: Some(act),
};

const OWN: [Column; 22] = {
    let mut columns = [WHAT[0]; 22];
    let mut i = 0;
    while i < columns.len() {
        columns[i] = if i < WHAT.len() {
            WHAT[i]
        } else {
            NUTRIENT_COLUMNS[i - WHAT.len()]
        };
        i += 1;
    }
    columns
};

const WHAT: [Column; 5] = [
    Column::new(
        "what",
        ColumnKind::Text,
        "Name of the product, or formula of the salt",
    ),
    Column::new(
        "what_is",
        ColumnKind::Word,
        "product (see products.csv) or salt",
    ),
    Column::new("amount", ColumnKind::Number, "How much in this tank"),
    Column::new("unit", ColumnKind::Word, "Unit of amount"),
    Column::new("into", ColumnKind::Word, "water or substrate"),
];

/// The nutrients a dose or food may bring, each with the name of its column in milligrams.
pub(crate) const NUTRIENTS: [(Analyte, &str); 17] = [
    (Analyte::No3, "no3_mg"),
    (Analyte::No2, "no2_mg"),
    (Analyte::Nh4, "nh4_mg"),
    (Analyte::Po4, "po4_mg"),
    (Analyte::K, "k_mg"),
    (Analyte::Fe, "fe_mg"),
    (Analyte::Ca, "ca_mg"),
    (Analyte::Mg, "mg_mg"),
    (Analyte::Na, "na_mg"),
    (Analyte::Cl, "cl_mg"),
    (Analyte::So4, "so4_mg"),
    (Analyte::Sio2, "sio2_mg"),
    (Analyte::B, "b_mg"),
    (Analyte::Mn, "mn_mg"),
    (Analyte::Zn, "zn_mg"),
    (Analyte::Cu, "cu_mg"),
    (Analyte::S, "s_mg"),
];

const fn nutrient(i: usize) -> Column {
    Column::number(
        NUTRIENTS[i].1,
        "mg",
        "What it brings of this, as the ion; empty when not known",
    )
}

/// A column for each of [`NUTRIENTS`].
pub(crate) const NUTRIENT_COLUMNS: [Column; 17] = {
    let mut columns = [nutrient(0); 17];
    let mut i = 1;
    while i < columns.len() {
        columns[i] = nutrient(i);
        i += 1;
    }
    columns
};

/// The cells of what is brought, in mg.
pub(crate) fn nutrient_cells(brought: &[(Analyte, f64)]) -> RowCells {
    NUTRIENTS
        .iter()
        .filter_map(|(analyte, column)| {
            let found = brought.iter().find(|(a, _)| a == analyte)?;
            Some((*column, number(found.1)))
        })
        .collect()
}

fn rows(bench: &Bench, entry: &Entry) -> Vec<Own> {
    let Act::Dose(d) = &entry.act else {
        return vec![];
    };
    let (what, what_is) = match &d.of {
        DoseOf::Salt { formula } => (formula.clone(), "salt"),
        DoseOf::Product { product } => {
            let known = bench.product(*product);
            (
                known.map_or_else(|| product.to_string(), |p| p.name.clone()),
                "product",
            )
        }
    };
    let mut cells = vec![
        ("what", what),
        ("what_is", what_is.to_string()),
        ("amount", number(d.amount.value)),
        ("unit", d.amount.unit.symbol().to_string()),
        ("into", key_of(&d.into)),
    ];
    cells.extend(nutrient_cells(&nutrients_mg(d, bench)));
    per_tank(entry, cells)
}

fn act(line: &Line<'_>, _tanks: &[TankId]) -> Result<Act, RowProblem> {
    let (of, default) = what(line)?;
    let into = match &of {
        DoseOf::Product { product } => {
            let tablet = |p: &Product| p.kind == crate::supply::ProductKind::Tablet;
            match line.bench.product(*product).is_some_and(tablet) {
                true => Into::Substrate,
                false => Into::Water,
            }
        }
        DoseOf::Salt { .. } => Into::Water,
    };
    let into = line
        .key::<Into>("into", "water, substrate")?
        .unwrap_or(into);
    Ok(Act::Dose(Dose {
        of,
        amount: amount(line, default)?,
        into,
    }))
}

/// What is dosed, and the unit its amount is in when none is written.
fn what(line: &Line<'_>) -> Result<(DoseOf, Option<Unit>), RowProblem> {
    let word = line.word("what");
    let what_is = line.word("what_is").to_lowercase();
    if !matches!(what_is.as_str(), "" | "product" | "salt") {
        return Err(line.problem("what_is", "accepted is one of product, salt"));
    }
    let products = || line.bench.products.iter();
    if what_is != "salt"
        && let Some(p) = line.named("what", products(), |p| &p.name, "products")?
    {
        return Ok((DoseOf::Product { product: p.id }, Some(p.per)));
    }
    let salt = quantity::salt::find(word).filter(|_| what_is != "product");
    salt.map(|s| {
        (
            DoseOf::Salt {
                formula: s.formula.to_string(),
            },
            None,
        )
    })
    .ok_or_else(|| {
        let mut known: Vec<&str> = products().map(|p| p.name.as_str()).collect();
        known.push("or the formula of a salt such as KNO3");
        line.problem("what", format!("accepted is one of {}", known.join(", ")))
    })
}

/// The amount, with its unit in its own column or behind the number.
fn amount(line: &Line<'_>, default: Option<Unit>) -> Result<Amount, RowProblem> {
    let says = "accepted is a number with g, mg, ml or pieces here or in the column unit";
    let unit = match line.word("unit") {
        "" => default,
        word => Some(Unit::from_word(word).ok_or_else(|| {
            line.problem("unit", "accepted is one of g, mg, kg, oz, ml, l, pieces")
        })?),
    };
    parse_amount(line.word("amount"), unit)
        .map_err(|e| line.problem("amount", format!("{e}; {says}")))
}
