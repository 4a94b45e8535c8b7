//! Feedings: one row for each tank.

use super::EntryTable;
use super::column::{Column, ColumnKind, opt};
use super::head::{Own, per_tank};
use super::line::{Line, RowProblem};
use crate::act::Feed;
use crate::{Act, Bench, Entry, TankId};

pub(crate) const TABLE: EntryTable = EntryTable {
    name: "feeds",
    about: "What livestock was fed in each tank",
    kinds: &["feed"],
    own: &[
        Column::new("food", ColumnKind::Text, "The food, in words"),
        Column::new("product", ColumnKind::Text, "Its product, see products.csv"),
        Column::number("grams", "g", "How much"),
    ],
    also_read: &[],
    marks: &["food"],
    rows,
    act: Some(act),
};

fn rows(bench: &Bench, entry: &Entry) -> Vec<Own> {
    let Act::Feed(f) = &entry.act else {
        return vec![];
    };
    let product = f.product.map(|id| {
        bench
            .product(id)
            .map_or_else(|| id.to_string(), |p| p.name.clone())
    });
    let cells = vec![
        ("food", f.food.clone()),
        ("product", product.unwrap_or_default()),
        ("grams", opt(f.grams)),
    ];
    per_tank(entry, cells)
}

fn act(line: &Line<'_>, _tanks: &[TankId]) -> Result<Act, RowProblem> {
    let products = || line.bench.products.iter();
    let product = match line.has("product") {
        false => None,
        true => {
            let found = line.named("product", products(), |p| &p.name, "products")?;
            let known: Vec<&str> = products().map(|p| p.name.as_str()).collect();
            let says = format!("one of {}", known.join(", "));
            Some(
                found
                    .ok_or_else(|| line.problem("product", format!("accepted is {says}")))?
                    .id,
            )
        }
    };
    let food = line.text("food");
    if food.trim().is_empty() {
        return Err(line.problem("food", "is empty; accepted is the food in words"));
    }
    Ok(Act::Feed(Feed {
        food,
        product,
        grams: line.number("grams")?,
    }))
}
