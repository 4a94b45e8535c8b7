//! Water tests: first the card, then its steps as large buttons; or a meter or an interval without a
//! card.

use maud::{Markup, html};
use quantity::{Analyte, Format, Interval, Means};
use text::t;
use trial::act::{Reading, ReadingOf};
use trial::{Bench, Card, CardId, Seen};

use super::super::kit::{Kit, NAME};
use super::super::reader::Reader;
use super::printed;
use crate::FormData;
use crate::parts::button::{Button, link_button};
use crate::parts::fields::{Pairs, Pick, Words, borrowed, picks, short_row, typed, water_picks};
use crate::parts::form::{Field, hidden, query_form};
use crate::parts::icon::Icon;

/// Chosen when none of the card's buttons fits.
const OTHER: &str = "other";
const RARE: [&str; 7] = [
    "dilution",
    "standard",
    "lot",
    "opened",
    "expires",
    "waited_min",
    "viewing_light",
];

fn analytes() -> Vec<Pick> {
    Analyte::all()
        .map(|a| (a.key().to_owned(), a.name().to_owned()))
        .collect()
}

const MEANS: Words<Means> = Words(
    "log.means",
    &[(Means::Ion, "ion"), (Means::Element, "element")],
);

fn kinds() -> Vec<Pick> {
    picks(&[
        ("sample", t!("log.of_sample")),
        ("blank", t!("log.of_blank")),
        ("standard", t!("log.of_standard")),
    ])
}

fn cards(bench: &Bench) -> Vec<Pick> {
    let cards = bench.cards.iter();
    cards.map(|c| (c.id.to_string(), c.name.clone())).collect()
}

fn card_of<'b>(data: &FormData, bench: &'b Bench) -> Option<&'b Card> {
    let id: CardId = data.one("card")?.parse().ok()?;
    bench.card(id)
}

/// Whether the form knows what is tested; otherwise [`chooser`] asks first.
pub(in super::super) fn prepare(data: &FormData, bench: &Bench) -> bool {
    card_of(data, bench).is_some()
        || data
            .one("analyte")
            .is_some_and(|a| Analyte::from_word(a).is_some())
}

/// What is tested: one of the cards, or something without a card. `action` is the form's address.
pub(in super::super) fn chooser(bench: &Bench, action: &str) -> Markup {
    let analytes = analytes();
    html! {
        @if !bench.cards.is_empty() {
            section.section {
                h2 { (t!("log.which_card")) }
                ul.pick-list {
                    @for card in &bench.cards {
                        li {
                            a.pick href={ (action) "?card=" (card.id) } {
                                strong { (card.name) }
                                span.muted {
                                    (card.analyte.symbol(card.means)) ": " (card.steps_text()) " "
                                    (card.analyte.unit())
                                }
                            }
                        }
                    }
                }
            }
        }
        section.section {
            h2 { (t!("log.without_card")) }
            (query_form(action, &html! {
                (Field::select("analyte", t!("log.f_analyte"), &borrowed(&analytes)))
                (Button::new(t!("log.go_on")))
            }))
        }
    }
}

/// One button: its value in the form and what it says.
fn steps(card: &Card) -> Vec<(String, Seen)> {
    let mut all = Vec::new();
    for (i, step) in card.steps.iter().enumerate() {
        all.push((format!("step:{step}"), Seen::Step { step: *step }));
        all.push(match card.steps.get(i + 1) {
            Some(next) => (
                format!("between:{step}:{next}"),
                Seen::Between {
                    low: *step,
                    high: *next,
                },
            ),
            None => (format!("at_least:{step}"), Seen::AtLeast { value: *step }),
        });
    }
    all
}

fn step_label(card: &Card, seen: Seen) -> (String, String) {
    let says = card
        .interval(seen)
        .map(|i| Format::default().interval(&i, 6));
    match seen {
        Seen::Step { step } => (
            printed(step),
            t!("log.says", what = says.unwrap_or_default()),
        ),
        Seen::Between { low, high } => (
            t!("log.saw_between", low = printed(low), high = printed(high)),
            String::new(),
        ),
        Seen::AtLeast { value } => (
            t!("log.saw_at_least", value = printed(value)),
            String::new(),
        ),
        _ => (t!("log.saw_other").to_owned(), String::new()),
    }
}

/// The card's steps and the gaps between them, two to a line: each what it says.
fn step_buttons(kit: Kit<'_>, card: &Card) -> Markup {
    let chosen = kit.state.data.one("saw").unwrap_or_default();
    let error = kit.state.errors.of("saw").map(ToString::to_string);
    let other = (OTHER.to_owned(), Seen::AtMost { value: 0.0 });
    let all = steps(card).into_iter().chain([other]);
    html! {
        fieldset.field.field-wrong[error.is_some()] {
            legend { (card.name) }
            p.hint {
                (t!("log.h_saw", what = card.analyte.symbol(card.means), unit = card.analyte.unit()))
            }
            @if let Some(error) = &error { p.error { (Icon::Caution) span { (error) } } }
            div.choices.steps {
                @for (at, (value, seen)) in all.enumerate() {
                    @let (what, says) = step_label(card, seen);
                    @let id = if at == 0 { "f-saw".to_owned() } else { format!("f-saw-{at}") };
                    div.choice {
                        input type="radio" id=(id) name="saw" value=(value) checked[value == chosen];
                        label for=(id) {
                            span { span.step { (what) } @if !says.is_empty() { " " span.muted.small { (says) } } }
                        }
                    }
                }
            }
        }
    }
}

fn typed_fields(kit: Kit<'_>, unit: &str) -> Markup {
    html! {
        (short_row(&html! { (kit.may("value").number(unit)) (kit.may("error").number(unit)) }))
        (short_row(&html! { (kit.may("low").number(unit)) (kit.may("high").number(unit)) }))
    }
}

pub(super) fn draw(kit: Kit<'_>) -> Markup {
    let card = card_of(&kit.state.data, kit.bench);
    let analyte = kit.state.data.one("analyte").and_then(Analyte::from_word);
    let unit = analyte.map_or("", Analyte::unit);
    html! {
        @if let Some(card) = card {
            (hidden("card", &card.id.to_string()))
            (step_buttons(kit, card))
            (kit.more(t!("log.more_saw"), &["value", "error", "low", "high"],
                &typed_fields(kit, card.analyte.unit())))
        } @else {
            (kit.select("analyte", &analytes()))
            @if analyte.is_none_or(|a| a.symbol(Means::Element) != a.symbol(Means::Ion)) {
                (kit.must("means").radio(&MEANS.picks()))
            } @else {
                (hidden("means", "ion"))
            }
            (typed_fields(kit, unit))
        }
        (kit.more(t!("log.more_reading"), &RARE, &rare(kit, card.map_or(unit, |c| c.analyte.unit()))))
    }
}

fn rare(kit: Kit<'_>, unit: &str) -> Markup {
    html! {
        (kit.must("reading_of").radio(&kinds()))
        (short_row(&html! { (kit.may("standard").number(unit)) (kit.may("dilution").number("")) }))
        (kit.maybe_select("water", &water_picks(kit.bench)))
        (short_row(&html! { (kit.may("lot").text()) (kit.may("waited_min").number("min")) }))
        (short_row(&html! { (kit.may("opened").date()) (kit.may("expires").date()) }))
        (kit.may("viewing_light").text())
    }
}

/// What was seen: a button of the card, or else a meter's value, or else ends.
fn seen(r: &mut Reader<'_>, card: Option<&Card>) -> Option<Seen> {
    let saw = r.typed("saw").to_owned();
    let button = card.and_then(|c| steps(c).into_iter().find(|(value, _)| *value == saw));
    let ends = (r.maybe("low"), r.maybe("high"));
    let value = r.maybe("value");
    let error = r.maybe("error");
    if let Some((_, seen)) = button {
        if value.is_some() || ends != (None, None) {
            r.refuse("saw", t!("log.accept_one_way"));
            return None;
        }
        return Some(seen);
    }
    match (value, ends) {
        (Some(value), (None, None)) => Some(Seen::Meter {
            value,
            error,
            decimals: u8::try_from(quantity::parse::decimals(r.typed("value"))).unwrap_or(u8::MAX),
        }),
        (None, (Some(low), Some(high))) => Some(Seen::Between { low, high }),
        (None, (Some(value), None)) => Some(Seen::AtLeast { value }),
        (None, (None, Some(value))) => Some(Seen::AtMost { value }),
        (Some(_), _) => {
            r.refuse("value", t!("log.accept_one_way"));
            None
        }
        (None, (None, None)) => {
            let field = if card.is_some() { "saw" } else { "value" };
            if r.errors.is_empty() {
                r.refuse(field, t!("log.accept_seen"));
            }
            None
        }
    }
}

fn interval(
    r: &mut Reader<'_>,
    card: Option<&Card>,
    seen: Seen,
    dilution: Option<f64>,
) -> Option<Interval> {
    let said = match card {
        Some(card) => card.interval(seen),
        None => seen.interval(),
    };
    match said {
        Ok(interval) => {
            let factor = dilution.unwrap_or(1.0);
            // A dilution that makes no sense is refused by the rules, which name it.
            Some(
                interval
                    .map_increasing(|v| v * factor)
                    .unwrap_or(Interval::UNBOUNDED),
            )
        }
        Err(error) => {
            let field = if r.typed("low").is_empty() {
                "value"
            } else {
                "low"
            };
            r.refuse(field, t!("log.accept_card", why = error));
            None
        }
    }
}

pub(super) fn read(r: &mut Reader<'_>) -> Option<Reading> {
    let card_id: Option<CardId> = r.maybe_id("card", &cards(r.bench));
    let card = card_id.and_then(|id| r.bench.card(id));
    let (analyte, means) = match card {
        Some(card) => (Some(card.analyte), Some(card.means)),
        None => {
            let analyte = r.choice("analyte", &analytes());
            let means = r.choice("means", &MEANS.picks())?;
            (
                analyte.and_then(|a| Analyte::from_word(&a)),
                MEANS.value(&means),
            )
        }
    };
    let dilution = r.maybe("dilution");
    let seen = seen(r, card);
    let interval = seen.and_then(|seen| interval(r, card, seen, dilution));
    let of = reading_of(r);
    let reading = Reading {
        analyte: analyte?,
        seen: seen?,
        card: card_id,
        means: means?,
        interval: interval?,
        water: r.maybe_id("water", &water_picks(r.bench)),
        dilution,
        of: of?,
        lot: r.maybe_words("lot", NAME),
        opened: r.maybe_date("opened"),
        expires: r.maybe_date("expires"),
        waited_min: r.maybe("waited_min"),
        viewing_light: r.maybe_words("viewing_light", NAME),
    };
    Some(reading)
}

fn reading_of(r: &mut Reader<'_>) -> Option<ReadingOf> {
    match r.choice("reading_of", &kinds())?.as_str() {
        "blank" => Some(ReadingOf::Blank),
        "standard" => r
            .number("standard")
            .map(|value| ReadingOf::Standard { value }),
        _ => Some(ReadingOf::Sample),
    }
}

pub(super) fn fill(p: &mut Pairs, reading: &Reading, bench: &Bench) {
    p.maybe("card", reading.card);
    p.put("analyte", reading.analyte.key());
    p.put("means", MEANS.key(reading.means));
    let card = reading.card.and_then(|id| bench.card(id));
    let button = card.and_then(|c| steps(c).into_iter().find(|(_, seen)| *seen == reading.seen));
    p.put("saw", button.as_ref().map_or(OTHER, |(value, _)| value));
    if button.is_none() {
        fill_typed(p, reading.seen);
    }
    match reading.of {
        ReadingOf::Sample => p.put("reading_of", "sample"),
        ReadingOf::Blank => p.put("reading_of", "blank"),
        ReadingOf::Standard { value } => {
            p.put("reading_of", "standard");
            p.put("standard", typed(value));
        }
    }
    p.number("dilution", reading.dilution);
    p.maybe("water", reading.water);
    p.put("lot", &reading.lot);
    p.maybe("opened", reading.opened);
    p.maybe("expires", reading.expires);
    p.number("waited_min", reading.waited_min);
    p.put("viewing_light", &reading.viewing_light);
}

fn fill_typed(p: &mut Pairs, seen: Seen) {
    match seen {
        Seen::Meter {
            value,
            error,
            decimals,
        } => {
            // With all its digits: they are what the interval of a bare meter comes from.
            p.put(
                "value",
                format!("{value:.*}", usize::from(decimals.min(12))),
            );
            p.number("error", error);
        }
        Seen::Between { low, high } => {
            p.put("low", typed(low));
            p.put("high", typed(high));
        }
        Seen::AtLeast { value } => p.put("low", typed(value)),
        Seen::AtMost { value } => p.put("high", typed(value)),
        // A step that is no longer on its card: shown as it was read.
        Seen::Step { step } => p.put("low", typed(step)),
    }
}

/// A link to read with another card.
pub(in super::super) fn other_card(action: &str) -> Markup {
    link_button(action, t!("log.other_card"))
}
