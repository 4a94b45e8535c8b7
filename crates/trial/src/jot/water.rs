//! Doses, water changes and top-ups.

use super::cursor::{Cursor, Span};
use super::error::JotError;
use super::lex::Kind;
use super::nearest::nearest;
use crate::act::{Change, Dose, DoseOf, Into, TopUp, WaterAmount};
use crate::supply::ProductKind;
use crate::{Act, Product, WaterId};
use quantity::{Amount, Dimension, Unit};
use text::t;

/// `dose kno3 1.2 g`, `dose 5 ml evening mix`, `dose root tab 2 pieces into sand`.
pub(super) fn dose(c: &mut Cursor) -> Result<Act, JotError> {
    c.take_all_if_unnamed();
    c.known = ["into", "substrate", "water"].map(String::from).to_vec();
    if c.peek().is_none() {
        return Err(c.missing(t!("act.jot_dose_what")));
    }
    let (amount, what) = if c.is_number() {
        let amount = dose_amount(c)?;
        c.take(&["of"]);
        let end = c.tokens[c.pos..]
            .iter()
            .position(|t| t.lower == "into" || t.lower == "in")
            .map_or(c.tokens.len(), |k| c.pos + k);
        (amount, dosed(c, end)?)
    } else {
        let end = amount_place(c).ok_or_else(|| {
            let end = Span::new(c.tokens.last().map_or(c.end, |t| t.end()), 1);
            c.error(end, t!("act.jot_dose_amount").to_string(), vec![])
        })?;
        let what = dosed(c, end)?;
        (dose_amount(c)?, what)
    };
    let amount = with_unit(c, amount, &what)?;
    let into = into(c)?.unwrap_or(match &what {
        Dosed::Product(p) if p.kind == ProductKind::Tablet => Into::Substrate,
        _ => Into::Water,
    });
    let of = match what {
        Dosed::Product(p) => DoseOf::Product { product: p.id },
        Dosed::Salt(formula) => DoseOf::Salt {
            formula: formula.to_string(),
        },
    };
    Ok(Act::Dose(Dose { of, amount, into }))
}

/// Where the amount stands: the last number with a unit behind it, or the last number.
fn amount_place(c: &Cursor) -> Option<usize> {
    let number = |k: &usize| c.tokens[*k].kind == Kind::Number;
    let with_unit = |k: &usize| {
        let next = c.tokens.get(k + 1);
        number(k) && next.is_some_and(|t| Unit::from_word(&t.lower).is_some())
    };
    let places = || (c.pos..c.tokens.len()).rev();
    places().find(with_unit).or_else(|| places().find(number))
}

enum Dosed<'a> {
    Product(&'a Product),
    Salt(&'static str),
}

/// What is dosed: the keeper's own products first, then the salt table.
fn dosed<'a>(c: &mut Cursor<'a>, end: usize) -> Result<Dosed<'a>, JotError> {
    let tokens = &c.tokens[c.pos..end];
    let (Some(first), Some(last)) = (tokens.first(), tokens.last()) else {
        return Err(c.missing(t!("act.jot_dose_what")));
    };
    let span = Span::of(first).through(Span::of(last));
    let text = match tokens {
        [one] => one.text.clone(),
        _ => c.raw(span.at, span.at + span.width),
    };
    c.mark("product", span);
    c.mark("salt", span);
    let bench = c.bench;
    let before = c.pos;
    let exact = bench
        .products
        .iter()
        .any(|p| p.name.to_lowercase() == text.to_lowercase());
    // A salt's full name goes before the beginning of a product's (`kno3` and `KNO3 stock`).
    if let Some(salt) = quantity::salt::find(&text).filter(|_| !exact) {
        c.pos = end;
        c.understood.push(salt.name.to_string());
        return Ok(Dosed::Salt(salt.formula));
    }
    let named = c.one_named(&bench.products, |p| p.name.clone(), |_| true)?;
    if let Some((product, _)) = named.filter(|_| c.pos == end) {
        c.understood.push(product.name.clone());
        return Ok(Dosed::Product(product));
    }
    c.pos = before;
    let products = bench.products.iter().map(|p| p.name.as_str());
    let salts = quantity::salt::all()
        .iter()
        .flat_map(|s| [s.formula, s.name]);
    let near = nearest(&text, products.chain(salts));
    Err(c.error(span, t!("act.jot_dose", word = text), near))
}

/// A number with the unit typed behind it, if any.
fn dose_amount(c: &mut Cursor) -> Result<(f64, Option<Unit>), JotError> {
    let (value, token) = c.number()?;
    let unit = c.unit();
    let last = Span::of(&c.tokens[c.pos - 1]);
    c.mark("amount", Span::of(&token).through(last));
    Ok((value, unit))
}

/// Pieces need no unit; masses and volumes do.
fn with_unit(
    c: &Cursor,
    (value, unit): (f64, Option<Unit>),
    what: &Dosed,
) -> Result<Amount, JotError> {
    let dimension = match what {
        Dosed::Product(p) => p.per.dimension(),
        Dosed::Salt(_) => Dimension::Mass,
    };
    match (unit, dimension) {
        (Some(unit), _) => Ok(Amount::new(value, unit)),
        (None, Dimension::Count) => Ok(Amount::new(value, Unit::Piece)),
        (None, other) => {
            let unit = if other == Dimension::Volume {
                "ml"
            } else {
                "g"
            };
            let example = format!("{value} {unit}");
            let problem = t!("act.jot_unit", number = value, example = example);
            Err(c.error(c.marked("amount"), problem, vec![]))
        }
    }
}

fn into(c: &mut Cursor) -> Result<Option<Into>, JotError> {
    if c.take(&["into", "in"]).is_none() {
        return Ok(None);
    }
    c.take(&["the"]);
    const SUBSTRATE: &[&str] = &["substrate", "sand", "soil", "gravel", "ground"];
    const WATER: &[&str] = &["water", "column"];
    if c.take(SUBSTRATE).is_some() {
        return Ok(Some(Into::Substrate));
    }
    if c.take(WATER).is_some() {
        return Ok(Some(Into::Water));
    }
    let known: Vec<&str> = SUBSTRATE.iter().chain(WATER).copied().collect();
    Err(c.unknown(t!("act.jot_into").to_string(), &known))
}

/// `change 40%`, `change 20 l with rain`.
pub(super) fn change(c: &mut Cursor) -> Result<Act, JotError> {
    c.take_all_if_unnamed();
    c.known = ["with", "%", "l"].map(String::from).to_vec();
    let (value, token) = c.number()?;
    let unit = c.unit();
    let span = Span::of(&token).through(Span::of(&c.tokens[c.pos - 1]));
    c.mark("share", span);
    c.mark("litres", span);
    let litres = |u: Unit| Amount::new(value, u).to(Unit::Litre).ok();
    let amount = match unit {
        Some(Unit::Percent) => WaterAmount::Share {
            share: value / 100.0,
        },
        Some(u) if litres(u).is_some() => WaterAmount::Litres {
            litres: litres(u).unwrap_or(value),
        },
        _ => {
            let problem = t!("act.jot_change_unit", number = token.text);
            return Err(c.error(span, problem, vec!["%".into(), "l".into()]));
        }
    };
    Ok(Act::Change(Change {
        amount,
        source: source(c)?,
    }))
}

/// `topup 2 l rain`, `top up 2 l level 1.5 cm`.
pub(super) fn top_up(c: &mut Cursor) -> Result<Act, JotError> {
    c.take_all_if_unnamed();
    c.known = ["with", "level", "below"].map(String::from).to_vec();
    let litres = c.in_unit("litres", Unit::Litre, false)?;
    let (mut from, mut level_below_cm) = (None, None);
    loop {
        c.skip_joints();
        if c.take(&["level", "below"]).is_some() {
            level_below_cm = Some(c.in_unit("level_below_cm", Unit::Centimetre, false)?);
            c.take(&["below", "low"]);
        } else if from.is_none() && c.peek().is_some() {
            from = source(c)?;
        } else {
            break;
        }
    }
    Ok(Act::TopUp(TopUp {
        litres,
        source: from,
        level_below_cm,
    }))
}

/// The water used, with or without `with`.
fn source(c: &mut Cursor) -> Result<Option<WaterId>, JotError> {
    c.skip_joints();
    let introduced = c.take(&["with", "from", "using", "of"]).is_some();
    if c.peek().is_none() && !introduced {
        return Ok(None);
    }
    let bench = c.bench;
    if let Some((water, span)) = c.one_named(&bench.waters, |w| w.name.clone(), |_| true)? {
        c.mark("source", span);
        c.take(&["water"]);
        return Ok(Some(water.id));
    }
    let word = c.peek().map_or(String::new(), |t| t.text.clone());
    let names: Vec<&str> = bench.waters.iter().map(|w| w.name.as_str()).collect();
    let known = match names.as_slice() {
        [] => t!("act.jot_no_waters").to_string(),
        names => names.join(", "),
    };
    Err(c.unknown(t!("act.jot_water", word = word, known = known), &names))
}
