//! Cards, source waters and products: what belongs to the notebook and serves every trial in it.

use maud::{Markup, html};
use quantity::{Analyte, Unit};
use text::t;
use trial::supply::{Brings, MixPart, ProductKind, RecipePart, WaterKind};
use trial::{Card, Product, RecordKind, SourceWater, WaterId};

use crate::pages::setup::cautions;
use crate::pages::setup::choices::{MEANS, PER, PRODUCT, WATER};
use crate::pages::setup::kit::{Ink, nth, part};
use crate::pages::setup::reader::Reader;
use crate::parts::fields::{Pairs, suggestions};
use crate::parts::form::row;

const PARTS: [&str; 2] = ["part_water", "share_pct"];
const BRINGS: [&str; 2] = ["brings_analyte", "brings_mg"];
const RECIPE: [&str; 2] = ["formula", "grams"];
const SALTS: &str = "salts-known";
const DISINFECTANTS: &str = "disinfectants-known";

pub(in crate::pages::setup) fn fill_card(r: &Card) -> Pairs {
    let mut to = Pairs::default();
    to.put("name", &r.name);
    to.put("analyte", r.analyte.key());
    to.put("means", MEANS.key(r.means));
    to.put("steps", r.steps_text());
    to
}

pub(in crate::pages::setup) fn read_card(from: &mut Reader<'_>, base: &Card) -> Card {
    let analyte = from.choice("analyte").and_then(|k| Analyte::from_word(&k));
    if analyte.is_none() && from.typed("analyte").is_empty() {
        from.refuse("analyte", t!("setup.accept_analyte"));
    }
    Card {
        name: from.text("name"),
        analyte: analyte.unwrap_or(base.analyte),
        means: from
            .choice("means")
            .and_then(|k| MEANS.value(&k))
            .unwrap_or_default(),
        steps: read_steps(from),
        ..base.clone()
    }
}

/// `0, 3, 6, 12`: commas part the steps when a space or nothing follows them, so decimal signs are
/// points; with semicolons between the steps, decimal commas are read too.
fn read_steps(from: &mut Reader<'_>) -> Vec<f64> {
    let typed = from.typed("steps");
    let parts: Vec<String> = match typed.contains(';') {
        true => typed
            .split(';')
            .map(|p| p.trim().replace(',', "."))
            .collect(),
        false => typed
            .split([',', ' '])
            .map(|p| p.trim().to_owned())
            .collect(),
    };
    let parts: Vec<&String> = parts.iter().filter(|p| !p.is_empty()).collect();
    let plain = |p: &&String| p.bytes().all(|b| b.is_ascii_digit() || b"+-.".contains(&b));
    let steps: Vec<f64> = parts
        .iter()
        .filter(|p| plain(p))
        .filter_map(|p| p.parse().ok())
        .collect();
    let rising = steps.windows(2).all(|pair| pair[0] < pair[1]);
    if steps.len() != parts.len() || steps.len() < 2 || !rising {
        from.refuse("steps", t!("setup.accept_steps"));
        return Vec::new();
    }
    steps
}

pub(in crate::pages::setup) fn card_fields(ink: &Ink<'_>) -> Markup {
    html! {
        (row(&html! { (ink.text("name")) (ink.select("analyte")) }))
        (ink.select("means"))
        (ink.text("steps"))
        (cautions::of_form(RecordKind::Card, "reagents"))
        (cautions::of_form(RecordKind::Card, "children_lone_work"))
    }
}

pub(in crate::pages::setup) fn fill_water(r: &SourceWater) -> Pairs {
    let mut to = Pairs::default();
    to.put("name", &r.name);
    to.put("water_kind", WATER.key(r.kind));
    for (n, part) in (1..).zip(&r.parts) {
        to.put(&nth("part_water", n), part.water);
        to.number(&nth("share_pct", n), Some(as_percent(part.share)));
    }
    to.put("disinfectant", &r.disinfectant);
    to.put("neutraliser", &r.neutraliser);
    to.put("note", &r.note);
    to
}

/// The percentage that reads back to the share; `0.3` is 30, not 30.000000000000004.
fn as_percent(share: f64) -> f64 {
    let plain = format!("{:.9}", share * 100.0)
        .parse()
        .unwrap_or(share * 100.0);
    if plain / 100.0 == share {
        plain
    } else {
        share * 100.0
    }
}

pub(in crate::pages::setup) fn read_water(
    from: &mut Reader<'_>,
    base: &SourceWater,
) -> SourceWater {
    let kind = from.choice("water_kind").and_then(|k| WATER.value(&k));
    let mut parts = Vec::new();
    for n in from.rows(&PARTS) {
        let (water, share) = (
            from.id(&nth("part_water", n)),
            from.number(&nth("share_pct", n)),
        );
        if water.is_none() && from.typed(&nth("part_water", n)).is_empty() {
            from.refuse(&nth("part_water", n), t!("setup.accept_water"));
        }
        if share.is_none() && from.typed(&nth("share_pct", n)).is_empty() {
            from.refuse(&nth("share_pct", n), t!("setup.accept_share"));
        }
        if let (Some(water), Some(share)) = (water, share) {
            parts.push(MixPart {
                water: WaterId(water),
                share: share / 100.0,
            });
        }
    }
    SourceWater {
        name: from.text("name"),
        kind: kind.unwrap_or(WaterKind::Tap),
        parts,
        disinfectant: from.text("disinfectant"),
        neutraliser: from.text("neutraliser"),
        note: from.page("note"),
        ..base.clone()
    }
}

pub(in crate::pages::setup) fn water_fields(ink: &Ink<'_>) -> Markup {
    let stated = ["none", "chlorine", "chloramine"].map(|word| (word, ""));
    html! {
        (suggestions(DISINFECTANTS, stated.into_iter()))
        (row(&html! { (ink.text("name")) (ink.select("water_kind")) }))
        (row(&html! { (ink.field("disinfectant").suggested(DISINFECTANTS)) (ink.text("neutraliser")) }))
        (part(t!("setup.part_mix"), &html! {
            p.muted { (t!("setup.mix_only")) }
            (ink.repeated(t!("setup.row_part"), &PARTS, |n| row(&html! {
                (ink.select(&nth("part_water", n))) (ink.number(&nth("share_pct", n)))
            })))
        }))
        (ink.field("note").area(3))
    }
}

pub(in crate::pages::setup) fn fill_product(r: &Product) -> Pairs {
    let mut to = Pairs::default();
    to.put("name", &r.name);
    to.put("product_kind", PRODUCT.key(r.kind));
    to.put("per", PER.key(r.per));
    for (n, brings) in (1..).zip(&r.brings) {
        to.put(&nth("brings_analyte", n), brings.analyte.key());
        to.number(&nth("brings_mg", n), Some(brings.mg));
    }
    for (n, part) in (1..).zip(&r.recipe) {
        to.put(&nth("formula", n), &part.formula);
        to.number(&nth("grams", n), Some(part.grams));
    }
    to.number("made_up_to_ml", r.made_up_to_ml);
    to.put("note", &r.note);
    to
}

pub(in crate::pages::setup) fn read_product(from: &mut Reader<'_>, base: &Product) -> Product {
    let kind = from.choice("product_kind").and_then(|k| PRODUCT.value(&k));
    let per = from.choice("per").and_then(|k| PER.value(&k));
    let mut brings = Vec::new();
    for n in from.rows(&BRINGS) {
        let analyte = from
            .choice(&nth("brings_analyte", n))
            .and_then(|k| Analyte::from_word(&k));
        if analyte.is_none() {
            from.refuse(&nth("brings_analyte", n), t!("setup.accept_analyte"));
        }
        let mg = needed_number(from, &nth("brings_mg", n));
        brings.extend(analyte.zip(mg).map(|(analyte, mg)| Brings { analyte, mg }));
    }
    let mut recipe = Vec::new();
    for n in from.rows(&RECIPE) {
        let formula = from.text(&nth("formula", n));
        // The table's own spelling, so that every recipe of a salt reads the same.
        let known = quantity::salt::find(&formula).map(|salt| salt.formula.to_owned());
        let grams = needed_number(from, &nth("grams", n));
        let formula = known.unwrap_or(formula);
        recipe.extend(grams.map(|grams| RecipePart { formula, grams }));
    }
    Product {
        name: from.text("name"),
        kind: kind.unwrap_or(ProductKind::Fertiliser),
        brings,
        per: per.unwrap_or(Unit::Millilitre),
        recipe,
        made_up_to_ml: from.number("made_up_to_ml"),
        note: from.page("note"),
        ..base.clone()
    }
}

/// A number that must be there; the error is noted when it is not.
fn needed_number(from: &mut Reader<'_>, name: &str) -> Option<f64> {
    let number = from.number(name);
    if number.is_none() && from.typed(name).is_empty() {
        from.refuse(name, t!("setup.accept_number"));
    }
    number
}

pub(in crate::pages::setup) fn product_fields(ink: &Ink<'_>) -> Markup {
    let salts = quantity::salt::all().iter().map(|s| (s.formula, s.name));
    html! {
        (suggestions(SALTS, salts))
        (row(&html! { (ink.text("name")) (ink.select("product_kind")) (ink.select("per")) }))
        (part(t!("setup.part_brings"), &html! {
            p.muted { (t!("setup.brings_what")) }
            (ink.repeated(t!("setup.row_brings"), &BRINGS, |n| row(&html! {
                (ink.select(&nth("brings_analyte", n))) (ink.number(&nth("brings_mg", n)))
            })))
        }))
        (part(t!("setup.part_recipe"), &html! {
            (cautions::of_form(RecordKind::Product, "oxidiser_salts"))
            (cautions::of_form(RecordKind::Product, "children_lone_work"))
            p.muted { (t!("setup.recipe_what")) }
            (ink.repeated(t!("setup.row_salt"), &RECIPE, |n| row(&html! {
                (ink.field(&nth("formula", n)).suggested(SALTS)) (ink.number(&nth("grams", n)))
            })))
            (ink.number("made_up_to_ml"))
        }))
        (ink.field("note").area(3))
    }
}
