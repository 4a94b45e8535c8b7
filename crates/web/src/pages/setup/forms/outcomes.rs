//! The outcomes of a trial: the first row is the one the question is decided on.

use maud::{Markup, html};
use text::t;
use trial::Trial;
use trial::types::{Better, Measure, Outcome};

use crate::pages::setup::choices::MEASURES;
use crate::pages::setup::kit::{AGAIN, Ink, nth, part};
use crate::pages::setup::reader::Reader;
use crate::parts::button::Button;
use crate::parts::fields::Pairs;
use crate::parts::form::row;

const OUTCOME: [&str; 5] = ["outcome", "measure", "plant", "better", "target"];

pub(in crate::pages::setup) fn fill(r: &Trial) -> Pairs {
    let mut to = Pairs::default();
    let primary = r.primary.iter().map(|o| (1, o));
    for (n, outcome) in primary.chain((2..).zip(&r.secondary)) {
        to.put(&nth("outcome", n), &outcome.name);
        to.put(&nth("measure", n), MEASURES.key(outcome.measure));
        to.put(
            &nth("plant", n),
            outcome.plant.as_deref().unwrap_or_default(),
        );
        let (better, target) = match outcome.better {
            Better::More => ("more", None),
            Better::Less => ("less", None),
            Better::Target { value } => ("target", Some(value)),
        };
        to.put(&nth("better", n), better);
        to.number(&nth("target", n), target);
    }
    to
}

pub(in crate::pages::setup) fn read(from: &mut Reader<'_>, base: &Trial) -> Trial {
    let (mut primary, mut secondary) = (None, Vec::new());
    for n in from.rows(&OUTCOME) {
        let outcome = read_one(from, n);
        if n == 1 {
            primary = outcome;
        } else {
            secondary.extend(outcome);
        }
    }
    Trial {
        primary,
        secondary,
        ..base.clone()
    }
}

fn read_one(from: &mut Reader<'_>, n: usize) -> Option<Outcome> {
    let name = from.text(&nth("outcome", n));
    if name.is_empty() {
        from.refuse(&nth("outcome", n), t!("setup.accept_outcome"));
    }
    let measure = from
        .choice(&nth("measure", n))
        .and_then(|k| MEASURES.value(&k));
    if measure.is_none() {
        from.refuse(&nth("measure", n), t!("setup.accept_measure"));
    }
    let plant = from.choice(&nth("plant", n));
    if measure == Some(Measure::Growth) && plant.is_none() {
        let accepted = match from.bench.plantings.is_empty() {
            true => t!("setup.accept_growth_first"),
            false => t!("setup.accept_growth_plant"),
        };
        from.refuse(&nth("plant", n), accepted);
    }
    let target = from.signed(&nth("target", n));
    let better = match (from.choice(&nth("better", n)).as_deref(), target) {
        (Some("more"), None) => Some(Better::More),
        (Some("less"), None) => Some(Better::Less),
        (Some("target"), Some(value)) => Some(Better::Target { value }),
        (Some("target"), None) => {
            from.refuse(&nth("target", n), t!("setup.accept_target"));
            None
        }
        (Some("more" | "less"), Some(_)) => {
            from.refuse(&nth("target", n), t!("setup.accept_no_target"));
            None
        }
        (_, _) => {
            from.refuse(&nth("better", n), t!("setup.accept_better"));
            None
        }
    };
    Some(Outcome {
        name,
        measure: measure.unwrap_or(Measure::Growth),
        plant,
        better: better?,
    })
}

pub(in crate::pages::setup) fn fields(ink: &Ink<'_>) -> Markup {
    let rows = ink.rows(&OUTCOME).max(2);
    html! {
        (part(t!("setup.part_primary"), &html! {
            p.muted { (t!("setup.primary_what")) }
            fieldset.setup-row {
                legend { (t!("setup.row_primary")) }
                (one(ink, 1))
            }
        }))
        (part(t!("setup.part_secondary"), &html! {
            @for n in 2..=rows {
                fieldset.setup-row {
                    legend { (t!("setup.row_outcome")) " " (n - 1) }
                    (one(ink, n))
                }
            }
            div.actions { (Button::new(t!("setup.more_rows")).quiet().sends(AGAIN, "1")) }
        }))
    }
}

fn one(ink: &Ink<'_>, n: usize) -> Markup {
    // A plant that is named but planted nowhere (any more) stays a choice.
    let name = nth("plant", n);
    let mut plants = crate::pages::setup::choices::choices("plant", ink.bench);
    let named = ink.state.data.one(&name).filter(|p| !p.is_empty());
    if let Some(named) = named.filter(|p| !plants.iter().any(|(value, _)| value == p)) {
        plants.push((named.to_owned(), named.to_owned()));
    }
    html! {
        (ink.text(&nth("outcome", n)))
        (row(&html! { (ink.select(&nth("measure", n))) (ink.field(&name).select(&plants)) }))
        (row(&html! { (ink.select(&nth("better", n))) (ink.number(&nth("target", n))) }))
    }
}
