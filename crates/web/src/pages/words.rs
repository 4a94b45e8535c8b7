//! Sentences of entries as pages show them.

use std::path::Path;

use jiff::civil::Date;
use maud::{Markup, html};
use quantity::Format;
use text::t;
use trial::Bench;

/// A sentence with a capital first letter; `pH` keeps its own.
#[must_use]
pub fn capital(text: &str) -> String {
    if text.starts_with("pH") {
        return text.to_owned();
    }
    let mut chars = text.chars();
    chars
        .next()
        .map(|c| c.to_uppercase().chain(chars).collect())
        .unwrap_or_default()
}

/// Text with the scientific names of this bench's plants and animals set in italics.
#[must_use]
pub fn said(text: &str, bench: &Bench) -> Markup {
    let plants = bench.species().into_iter();
    let animals = bench.tanks.iter().flat_map(|t| &t.livestock);
    let animals = animals.map(|l| l.species.as_str());
    // The longest first: a name may begin another.
    let mut names: Vec<&str> = plants.chain(animals).filter(|n| is_binomial(n)).collect();
    names.sort_by_key(|n| std::cmp::Reverse(n.len()));
    let mut pieces: Vec<(bool, &str)> = Vec::new();
    let mut rest = text;
    while let Some((at, name)) = names
        .iter()
        .filter_map(|name| rest.find(*name).map(|at| (at, *name)))
        .min_by_key(|(at, name)| (*at, std::cmp::Reverse(name.len())))
    {
        pieces.push((false, &rest[..at]));
        pieces.push((true, name));
        rest = &rest[at + name.len()..];
    }
    pieces.push((false, rest));
    html! {
        @for (is_name, piece) in pieces {
            @if is_name { i lang="la" { (piece) } } @else { (piece) }
        }
    }
}

/// Whether a name looks like a genus with something behind it: a keeper's own word stays upright.
fn is_binomial(name: &str) -> bool {
    let mut words = name.split_whitespace();
    let genus = words.next().is_some_and(|w| {
        w.len() > 2
            && w.chars().next().is_some_and(char::is_uppercase)
            && w.chars().skip(1).all(char::is_lowercase)
    });
    genus
        && words
            .next()
            .is_some_and(|w| w.chars().all(|c| c.is_lowercase() || c == '-' || c == '.'))
}

/// A day as headings show it: `Sunday 1 March 2026`.
#[must_use]
pub fn day_heading(day: Date) -> String {
    day.strftime("%A %-d %B %Y").to_string()
}

/// A day in a sentence: `1 March 2026`, never broken over two lines.
#[must_use]
pub fn day(day: Date) -> String {
    day.strftime("%-d\u{a0}%B\u{a0}%Y").to_string()
}

/// A file's size in words; nothing when it cannot be told.
#[must_use]
pub fn size(file: &Path) -> String {
    let Ok(about) = std::fs::metadata(file) else {
        return String::new();
    };
    let (kb, format) = (about.len() as f64 / 1000.0, Format::default());
    if kb < 1000.0 {
        t!("files.size_kb", n = format.significant(kb, 2))
    } else {
        t!("files.size_mb", n = format.significant(kb / 1000.0, 2))
    }
}
