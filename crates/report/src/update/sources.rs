//! Where the figures of the page come from, collected once and numbered in the order of use.

use super::html::capital;
use maud::{Markup, html};
use quantity::Basis;
use text::t;

/// The numbered list of methods behind the figures.
#[derive(Debug, Default)]
pub(super) struct Sources {
    listed: Vec<(Vec<String>, Vec<String>)>,
}

impl Sources {
    /// The number of a basis, counted from 1; none when it names neither formula nor source.
    pub(super) fn number(&mut self, basis: &Basis) -> Option<usize> {
        if basis.formulas.is_empty() && basis.sources.is_empty() {
            return None;
        }
        let key = (basis.formulas.clone(), basis.sources.clone());
        let found = self.listed.iter().position(|l| *l == key);
        Some(found.map_or_else(
            || {
                self.listed.push(key);
                self.listed.len()
            },
            |at| at + 1,
        ))
    }

    /// The numbers of several bases as links to the list, each once.
    pub(super) fn cite<'b>(&mut self, bases: impl IntoIterator<Item = &'b Basis>) -> Markup {
        let mut numbers: Vec<usize> = bases.into_iter().filter_map(|b| self.number(b)).collect();
        numbers.sort_unstable();
        numbers.dedup();
        html! {
            @for n in numbers {
                " " a.cite href={ "#method-" (n) } { "[" (n) "]" }
            }
        }
    }

    /// The list itself.
    pub(super) fn list(&self) -> Markup {
        html! {
            ol.sources {
                @for (at, (formulas, sources)) in self.listed.iter().enumerate() {
                    li id={ "method-" (at + 1) } {
                        (sentence(&formulas.join("; ")))
                        @if !sources.is_empty() {
                            " " (t!("update.method_source", source = sources.join("; ")))
                        }
                    }
                }
            }
        }
    }
}

/// Words as a sentence: a capital and a full stop.
fn sentence(words: &str) -> String {
    let words = words.trim().trim_end_matches('.');
    if words.is_empty() {
        String::new()
    } else {
        format!("{}.", capital(words))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_same_method_has_one_number() {
        let mut sources = Sources::default();
        let (a, b) = (Basis::of("x + y", "Book"), Basis::of("x - y", "Book"));
        assert_eq!(sources.number(&a), Some(1));
        assert_eq!(sources.number(&b), Some(2));
        assert_eq!(
            sources.number(&a.clone().with_records(["r".into()])),
            Some(1)
        );
        assert_eq!(sources.number(&Basis::default()), None);
        let list = sources.list().into_string();
        assert!(list.contains("X + y. Source: Book."), "{list}");
    }
}
