//! A line taken apart: tanks, what and details, when; and what may trail the details.

use super::cursor::{Cursor, Span};
use super::error::JotError;
use super::lex::{Kind, is_quote};
use super::words::{self, Verb};
use super::{names, when};
use crate::{Bench, TankId};
use quantity::Unit;
use text::t;

/// Where the parts of a line stand, in characters.
pub(super) struct Parts<'a> {
    pub(super) line: &'a str,
    pub(super) chars: Vec<char>,
    /// The tanks named before the colon, with the place of their names.
    pub(super) tanks: Option<(names::Tanks, Span)>,
    /// What and details.
    pub(super) body: (usize, usize),
    /// What stands behind the `@`.
    pub(super) when: Option<(usize, usize)>,
}

impl<'a> Parts<'a> {
    pub(super) fn of(line: &'a str, bench: &Bench) -> Result<Self, JotError> {
        let chars: Vec<char> = line.chars().collect();
        let colon = tanks_colon(&chars, bench);
        let start = colon.map_or(0, |c| c + 1);
        let free_text = words::begins_with_note(&chars[start..]);
        let at = at_sign(&chars, start, free_text);
        let mut parts = Parts {
            line,
            body: (start, at.unwrap_or(chars.len())),
            when: at.map(|a| (a + 1, chars.len())),
            tanks: None,
            chars,
        };
        if let Some(colon) = colon {
            parts.tanks = Some(names::tanks(&parts, 0, colon, bench)?);
        }
        Ok(parts)
    }

    pub(super) fn text(&self, from: usize, to: usize) -> String {
        self.chars[from..to].iter().collect()
    }

    /// The place of `chars[from..to]` without the spaces around it.
    pub(super) fn trimmed(&self, from: usize, to: usize) -> Span {
        let blank = |i: &usize| self.chars[*i].is_whitespace();
        let first = (from..to).find(|i| !blank(i)).unwrap_or(from);
        let last = (first..to)
            .rev()
            .find(|i| !blank(i))
            .map_or(first, |i| i + 1);
        Span::new(first, last - first)
    }

    pub(super) fn error(
        &self,
        span: Span,
        understood: &[String],
        problem: String,
        nearest: Vec<String>,
    ) -> JotError {
        let column = span.at.min(self.chars.len());
        JotError {
            line: self.line.to_string(),
            column,
            width: span.width.min(self.chars.len() - column).max(1),
            understood: understood.join(", "),
            problem,
            nearest,
        }
    }
}

/// The colon behind the tanks: the first one, unless it stands in a time (`11:00`), in quotes,
/// behind the `@`, or behind a word for something done (`note: ...`).
fn tanks_colon(chars: &[char], bench: &Bench) -> Option<usize> {
    let digit = |i: usize| chars.get(i).is_some_and(char::is_ascii_digit);
    let in_time = |i: usize| i > 0 && digit(i - 1) && digit(i + 1);
    let mut quoted = false;
    for (i, c) in chars.iter().enumerate() {
        match c {
            c if is_quote(*c) => quoted = !quoted,
            '@' if !quoted => return None,
            ':' if quoted || in_time(i) => {}
            ':' => {
                let before: String = chars[..i].iter().collect();
                let word = before
                    .split_whitespace()
                    .next()
                    .unwrap_or("")
                    .to_lowercase();
                let verb = words::is_verb(&word) && bench.tank_named(&word).is_none();
                return (!verb).then_some(i);
            }
            _ => {}
        }
    }
    None
}

/// The `@` before the time: the last one outside quotes; in free text only one with a space before
/// it, so that an address can be noted.
fn at_sign(chars: &[char], from: usize, free_text: bool) -> Option<usize> {
    let mut quoted = false;
    let mut found = None;
    for i in from..chars.len() {
        let spaced = i == from || chars[i - 1].is_whitespace();
        match chars[i] {
            c if is_quote(c) && !free_text => quoted = !quoted,
            '@' if !quoted && (spaced || !free_text) => found = Some(i),
            _ => {}
        }
    }
    found
}

/// What may trail the details of any jot.
#[derive(Default)]
pub(super) struct Trailing {
    pub(super) who: String,
    pub(super) minutes: Option<f64>,
    pub(super) note: String,
}

/// Takes `by NAME`, `(5 min)` and `note TEXT` off the end of the details.
pub(super) fn trailing(cursor: &mut Cursor, verb: Verb) -> Trailing {
    let mut trailing = Trailing::default();
    let rest = &cursor.tokens[cursor.pos.min(cursor.tokens.len())..];
    let note = rest
        .iter()
        .position(|t| t.kind == Kind::Word && t.lower == "note")
        .map(|k| cursor.pos + k);
    if let Some(k) = note {
        trailing.note = cursor.raw(cursor.tokens[k].end(), cursor.end);
        cursor.cut(k);
    }
    trailing.minutes = take_minutes(cursor);
    if verb != Verb::Swap {
        trailing.who = take_who(cursor);
    }
    trailing
}

/// A note's own text, with its minutes of work taken off the end.
pub(super) fn note_text(cursor: &mut Cursor) -> Trailing {
    let from = cursor.verb.at + cursor.verb.width;
    let minutes = take_minutes(cursor);
    let text = cursor.raw(from, cursor.end);
    let note = text.trim_start_matches([':', ' ']).to_string();
    cursor.mark("note", Span::new(from, 1));
    cursor.cut(cursor.pos);
    Trailing {
        note,
        minutes,
        who: String::new(),
    }
}

/// `(5 min)` at the end.
fn take_minutes(cursor: &mut Cursor) -> Option<f64> {
    let from = cursor
        .tokens
        .len()
        .checked_sub(4)
        .filter(|k| *k >= cursor.pos)?;
    let [open, number, unit, close] = &cursor.tokens[from..] else {
        return None;
    };
    if open.text != "(" || close.text != ")" {
        return None;
    }
    let value = quantity::parse_number(&number.text).ok()?;
    let unit = Unit::from_word(&unit.lower)?;
    let minutes = quantity::Amount::new(value, unit).to(Unit::Minute).ok()?;
    let span = Span::new(open.at, close.end() - open.at);
    cursor.mark("minutes", span);
    cursor.cut(from);
    Some(minutes)
}

/// `by NAME` at the end: the keeper, or one or two words with capitals, since `by half` and
/// `by snails` name nobody.
fn take_who(cursor: &mut Cursor) -> String {
    let rest = &cursor.tokens[cursor.pos..];
    let Some(by) = rest.iter().rposition(|t| t.lower == "by") else {
        return String::new();
    };
    let name = &rest[by + 1..];
    let who: Vec<&str> = name.iter().map(|t| t.text.as_str()).collect();
    let who = who.join(" ");
    let keeper = cursor.bench.trial.keeper.as_deref();
    let is_keeper = keeper.is_some_and(|k| k.to_lowercase() == who.to_lowercase());
    let capitals = (1..=2).contains(&name.len())
        && name
            .iter()
            .all(|t| t.kind == Kind::Word && t.text.chars().next().is_some_and(char::is_uppercase));
    if !is_keeper && !capitals {
        return String::new();
    }
    cursor.cut(cursor.pos + by);
    who
}

/// The tanks an entry goes to, with whether all were meant.
pub(super) fn resolved(parts: &Parts) -> (Vec<TankId>, bool, bool) {
    match &parts.tanks {
        Some((tanks, _)) => (tanks.ids.clone(), tanks.all, true),
        None => (vec![], false, false),
    }
}

/// The zone problem of a trial, said at the start of the line.
pub(super) fn zone_error(parts: &Parts, zone: &str) -> JotError {
    let problem = t!("act.jot_zone", zone = zone);
    parts.error(Span::new(0, 1), &[], problem, when::forms())
}
