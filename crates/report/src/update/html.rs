//! The few shapes the page is built from: tables, species names, days, figures.

use chart::{Scene, SvgOptions};
use jiff::civil::Date;
use maud::{Markup, PreEscaped, Render, html};
use quantity::{Estimate, EstimateKind, Format};
use text::t;
use trial::Bench;

/// A day as readers write it.
pub(crate) fn day(day: Date) -> String {
    day.strftime("%-d %B %Y").to_string()
}

/// A day where many stand in one column.
pub(super) fn short_day(day: Date) -> String {
    day.strftime("%-d %b %Y").to_string()
}

/// The last day of a span whose end is the day after.
pub(crate) fn last_day(to: Date) -> Date {
    to.yesterday().unwrap_or(to)
}

/// A word or sentence with a capital at its head.
pub(crate) fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |c| {
        c.to_uppercase().collect::<String>() + chars.as_str()
    })
}

/// The same words with per cent signs tied to their numbers.
pub(crate) fn tied(text: &str) -> String {
    text.replace(" %", "\u{a0}%")
}

/// A plant's name, in italics when it is a scientific one.
pub(super) fn plant(name: &str) -> Markup {
    if crate::figures::is_scientific(name) {
        html! { em lang="la" { (name) } }
    } else {
        html! { (name) }
    }
}

/// A text in parts, each with whether it is a scientific name of this bench.
pub(crate) fn species_parts<'t>(text: &'t str, bench: &Bench) -> Vec<(bool, &'t str)> {
    let names: Vec<&str> = bench
        .species()
        .into_iter()
        .filter(|n| crate::figures::is_scientific(n))
        .collect();
    let mut parts = Vec::new();
    let mut rest = text;
    while let Some((at, length)) = names
        .iter()
        .filter_map(|n| rest.find(n).map(|at| (at, n.len())))
        // The longer of two names that begin at one place: a variety after its species.
        .min_by_key(|(at, length)| (*at, std::cmp::Reverse(*length)))
    {
        parts.push((false, &rest[..at]));
        parts.push((true, &rest[at..at + length]));
        rest = &rest[at + length..];
    }
    parts.push((false, rest));
    parts
}

/// A sentence in which the scientific names of this bench stand in italics.
pub(super) fn with_species(text: &str, bench: &Bench) -> Markup {
    html! {
        @for (is_name, part) in species_parts(text, bench) {
            @if is_name { em lang="la" { (part) } } @else { (tied(part)) }
        }
    }
}

/// An estimate in a cell whose table says what its figures mean.
pub(super) fn cell(estimate: &Estimate, digits: usize) -> Markup {
    let format = Format::default();
    match &estimate.kind {
        EstimateKind::Refused { reason, .. } => {
            html! { span.faint title=(reason) { (t!("update.unknown")) } }
        }
        EstimateKind::ErrorNotStated => match estimate.value {
            Some(v) => html! { (format.significant(v, digits)) },
            None => html! { (t!("update.unknown")) },
        },
        _ => html! { (format.estimate(estimate, digits)) },
    }
}

/// A table with a caption, headed columns, and the first cell of each row as its heading.
pub(super) struct Table {
    caption: Markup,
    name: String,
    class: &'static str,
    columns: Vec<(String, bool)>,
    rows: Vec<Vec<Markup>>,
}

impl Table {
    pub(super) fn new(caption: impl Into<String>) -> Self {
        let name = caption.into();
        Self {
            caption: html! { (name) },
            name,
            class: "",
            columns: Vec::new(),
            rows: Vec::new(),
        }
    }

    /// A caption with more in it than text.
    pub(super) fn captioned(mut self, caption: Markup) -> Self {
        self.caption = caption;
        self
    }

    /// Rows as small lists on a narrow page, for few rows with long cells.
    pub(super) fn stacked(self) -> Self {
        self.class("stacked")
    }

    /// Small print, or another look by its class.
    pub(super) fn class(mut self, class: &'static str) -> Self {
        self.class = class;
        self
    }

    pub(super) fn words(mut self, label: impl Into<String>) -> Self {
        self.columns.push((label.into(), false));
        self
    }

    pub(super) fn numbers(mut self, label: impl Into<String>) -> Self {
        self.columns.push((label.into(), true));
        self
    }

    pub(super) fn row(&mut self, cells: impl IntoIterator<Item = Markup>) {
        let row: Vec<Markup> = cells.into_iter().collect();
        debug_assert_eq!(row.len(), self.columns.len(), "one cell per column");
        self.rows.push(row);
    }

    /// A column's label at each of its cells, where rows stand as lists.
    fn label(&self, at: usize) -> Option<&str> {
        let stacked = self.class == "stacked";
        let label = self.columns.get(at).map(|(label, _)| label.as_str());
        label.filter(|l| stacked && !l.is_empty())
    }

    pub(super) fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }
}

impl Render for Table {
    fn render(&self) -> Markup {
        let number = |at: usize| {
            let is = self.columns.get(at).is_some_and(|(_, number)| *number);
            is.then_some("number")
        };
        html! {
            // Reached by keyboard, since a wide table scrolls in its own box.
            div.table tabindex="0" role="group" aria-label=(self.name) {
                table class=[(!self.class.is_empty()).then_some(self.class)] {
                    caption { (self.caption) }
                    thead { tr {
                        @for (at, (label, _)) in self.columns.iter().enumerate() {
                            // The corner above the rows' headings heads nothing.
                            @if label.is_empty() { td {} }
                            @else { th scope="col" class=[number(at)] { (label) } }
                        }
                    } }
                    tbody {
                        @for row in &self.rows { tr {
                            @for (at, cell) in row.iter().enumerate() {
                                @if at == 0 { th scope="row" class=[number(at)] { (cell) } }
                                @else { td class=[number(at)] data-label=[self.label(at)] { (cell) } }
                            }
                        } }
                    }
                }
            }
        }
    }
}

/// Widths at which figures are drawn: for a phone and for a desk or paper.
const NARROW: f64 = 350.0;
const WIDE: f64 = 940.0;

/// A figure drawn twice, for a phone and for a desk; the style sheet shows one of them.
/// It is captioned by `caption`, or by the drawing's own title where that is empty.
pub(super) fn figure(id: &str, caption: &str, draw: impl Fn(f64) -> Scene) -> Markup {
    let svg = |scene: &Scene, id: &str| {
        let svg = scene.to_svg(&SvgOptions::page(id));
        // Inside HTML the name space is known; so the page names no address at all.
        PreEscaped(svg.replacen(" xmlns=\"http://www.w3.org/2000/svg\"", "", 1))
    };
    let wide = draw(WIDE);
    let caption = if caption.is_empty() {
        &wide.title
    } else {
        caption
    };
    html! {
        figure {
            figcaption { (capital(caption)) }
            div.wide { (svg(&wide, id)) }
            div.narrow { (svg(&draw(NARROW), &format!("{id}-narrow"))) }
        }
    }
}

/// A section with its heading.
pub(super) fn section(id: &str, title: &str, body: &Markup) -> Markup {
    html! { section id=(id) aria-labelledby={ (id) "-title" } { h2 id={ (id) "-title" } { (title) } (body) } }
}
