//! The place in a jot's details, and what has been understood on the way.

use super::error::JotError;
use super::lex::{self, Kind, Token};
use super::nearest::nearest;
use super::parts::{self, Parts};
use crate::{Bench, TankId};
use quantity::{Amount, Unit};
use text::t;

/// A place in the line, in characters.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Span {
    pub(super) at: usize,
    pub(super) width: usize,
}

impl Span {
    pub(super) fn new(at: usize, width: usize) -> Self {
        Span { at, width }
    }

    pub(super) fn of(token: &Token) -> Self {
        Span::new(token.at, token.width)
    }

    /// From the start of this to the end of `other`.
    pub(super) fn through(self, other: Span) -> Self {
        Span::new(self.at, (other.at + other.width).saturating_sub(self.at))
    }
}

pub(super) struct Cursor<'a> {
    pub(super) parts: &'a Parts<'a>,
    pub(super) bench: &'a Bench,
    pub(super) tokens: Vec<Token>,
    pub(super) pos: usize,
    /// The end of the details, in characters.
    pub(super) end: usize,
    /// The word for what was done.
    pub(super) verb: Span,
    pub(super) tanks: Vec<TankId>,
    pub(super) all_tanks: bool,
    /// Whether tanks stand in the line.
    pub(super) named: bool,
    pub(super) understood: Vec<String>,
    pub(super) findings: Vec<String>,
    /// Words the grammar would take where it stopped.
    pub(super) known: Vec<String>,
    marks: Vec<(&'static str, Span)>,
}

impl<'a> Cursor<'a> {
    pub(super) fn new(parts: &'a Parts<'a>, bench: &'a Bench) -> Result<Self, JotError> {
        let (from, to) = parts.body;
        let tokens = lex::tokens(&parts.chars, from, to).map_err(|unclosed| {
            let span = Span::new(unclosed.0, to - unclosed.0);
            parts.error(span, &[], t!("act.jot_unclosed").to_string(), vec![])
        })?;
        let (tanks, all_tanks, named) = parts::resolved(parts);
        let mut understood = vec![];
        if named {
            understood.push(crate::describe::tanks_phrase(&tanks, all_tanks, bench));
        }
        Ok(Cursor {
            parts,
            bench,
            tokens,
            pos: 0,
            end: to,
            verb: parts.trimmed(from, to),
            tanks,
            all_tanks,
            named,
            understood,
            findings: vec![],
            known: vec![],
            marks: vec![],
        })
    }

    pub(super) fn peek(&self) -> Option<&Token> {
        self.tokens.get(self.pos)
    }

    pub(super) fn peek_at(&self, ahead: usize) -> Option<&Token> {
        self.tokens.get(self.pos + ahead)
    }

    pub(super) fn next(&mut self) -> Option<Token> {
        let token = self.tokens.get(self.pos).cloned();
        self.pos += usize::from(token.is_some());
        token
    }

    /// Drops the tokens from `from` on; the details end there.
    pub(super) fn cut(&mut self, from: usize) {
        if let Some(token) = self.tokens.get(from) {
            self.end = token.at;
        }
        self.tokens.truncate(from);
    }

    /// Commas and `and` between details mean nothing.
    pub(super) fn skip_joints(&mut self) {
        while self
            .peek()
            .is_some_and(|t| [",", ";", "and", "&"].contains(&t.lower.as_str()))
        {
            self.pos += 1;
        }
    }

    /// Takes the next token when it is one of these words or symbols.
    pub(super) fn take(&mut self, words: &[&str]) -> Option<Token> {
        let hit = self
            .peek()
            .is_some_and(|t| t.kind != Kind::Quoted && words.contains(&t.lower.as_str()));
        if hit { self.next() } else { None }
    }

    /// Takes these words one after the other, or nothing.
    pub(super) fn take_phrase(&mut self, words: &[&str]) -> Option<Span> {
        let hit = words
            .iter()
            .enumerate()
            .all(|(k, w)| self.peek_at(k).is_some_and(|t| t.lower == *w));
        if !hit || words.is_empty() {
            return None;
        }
        let first = Span::of(&self.tokens[self.pos]);
        let last = Span::of(&self.tokens[self.pos + words.len() - 1]);
        self.pos += words.len();
        Some(first.through(last))
    }

    pub(super) fn is_number(&self) -> bool {
        self.peek().is_some_and(|t| t.kind == Kind::Number)
    }

    /// The place of the next token, or just behind the details.
    pub(super) fn here(&self) -> Span {
        match self.peek() {
            Some(token) => Span::of(token),
            None => {
                let last = self.tokens.last().map_or(self.parts.body.0, Token::end);
                Span::new(last, 1)
            }
        }
    }

    /// The characters between two places, without the spaces around them.
    pub(super) fn raw(&self, from: usize, to: usize) -> String {
        let to = to.max(from);
        self.parts.text(from, to).trim().to_string()
    }

    pub(super) fn error(&self, span: Span, problem: String, nearest: Vec<String>) -> JotError {
        self.parts.error(span, &self.understood, problem, nearest)
    }

    /// Remembers where a field of the rules was typed.
    pub(super) fn mark(&mut self, field: &'static str, span: Span) {
        self.marks.push((field, span));
    }

    /// Where a field was typed; the tanks or the verb when it was not.
    pub(super) fn marked(&self, field: &str) -> Span {
        let mark = self.marks.iter().rev().find(|(f, _)| *f == field);
        match (mark, field, &self.parts.tanks) {
            (Some((_, span)), _, _) => *span,
            (None, "tanks", Some((_, span))) => *span,
            _ => self.verb,
        }
    }

    /// The next token is none of the words that could stand here.
    pub(super) fn unknown(&self, problem: String, known: &[&str]) -> JotError {
        let word = self.peek().map_or("", |t| t.text.as_str());
        self.error(self.here(), problem, nearest(word, known))
    }

    /// Something is missing at this place.
    pub(super) fn missing(&self, problem: &str) -> JotError {
        self.error(self.here(), problem.to_string(), vec![])
    }

    /// Refuses what is left over.
    pub(super) fn expect_end(&mut self) -> Result<(), JotError> {
        self.skip_joints();
        match self.peek() {
            None => Ok(()),
            Some(token) => {
                let problem = t!("act.jot_left_over", word = token.text);
                let known: Vec<&str> = self.known.iter().map(String::as_str).collect();
                Err(self.unknown(problem, &known))
            }
        }
    }

    /// A number, with its token.
    pub(super) fn number(&mut self) -> Result<(f64, Token), JotError> {
        let Some(token) = self.peek().filter(|t| t.kind == Kind::Number).cloned() else {
            return Err(self.missing(t!("act.jot_number_missing")));
        };
        let value = quantity::parse_number(&token.text.replace('\u{2212}', "-"))
            .map_err(|e| self.error(Span::of(&token), sentence(&e.to_string()), vec![]))?;
        self.pos += 1;
        Ok((value, token))
    }

    /// A whole number of things.
    pub(super) fn count(&mut self, field: &'static str) -> Result<u32, JotError> {
        let (value, token) = self.number()?;
        let span = Span::of(&token);
        self.mark(field, span);
        if value < 0.0 || value.fract() != 0.0 || value > f64::from(u32::MAX) {
            let problem = t!("act.jot_whole", number = token.text);
            return Err(self.error(span, problem, vec![]));
        }
        Ok(value as u32)
    }

    /// Takes a unit when one stands here.
    pub(super) fn unit(&mut self) -> Option<Unit> {
        let unit = self
            .peek()
            .filter(|t| t.kind != Kind::Quoted)
            .and_then(|t| Unit::from_word(&t.lower))?;
        self.pos += 1;
        Some(unit)
    }

    /// A number with its unit, in `unit`; `bare` says whether the unit may be left out.
    pub(super) fn in_unit(
        &mut self,
        field: &'static str,
        unit: Unit,
        bare: bool,
    ) -> Result<f64, JotError> {
        let (value, token) = self.number()?;
        let symbol = Amount::new(value, unit);
        let wanted = || {
            quantity::Format::default()
                .amount(symbol)
                .replace('\u{a0}', " ")
        };
        let before = self.pos;
        let found = match self.unit() {
            None if bare => Some(value),
            None => None,
            Some(typed) => Amount::new(value, typed).to(unit).ok(),
        };
        let last = if self.pos > before {
            Span::of(&self.tokens[before])
        } else {
            Span::of(&token)
        };
        let span = Span::of(&token).through(last);
        self.mark(field, span);
        found.ok_or_else(|| {
            let problem = t!("act.jot_unit", number = token.text, example = wanted());
            self.error(span, problem, vec![])
        })
    }

    /// Puts a value where none stands yet; a second one is refused.
    pub(super) fn once<T>(
        &self,
        slot: &mut Option<T>,
        value: T,
        span: Span,
    ) -> Result<(), JotError> {
        if slot.is_some() {
            return Err(self.error(span, t!("act.jot_twice").to_string(), vec![]));
        }
        *slot = Some(value);
        Ok(())
    }

    /// For what goes to every tank when none is named.
    pub(super) fn take_all_if_unnamed(&mut self) {
        if !self.named {
            self.tanks = self.bench.tank_ids();
            self.all_tanks = !self.tanks.is_empty();
        }
    }

    /// For what needs exactly one named tank; `kind` is the act's key.
    pub(super) fn need_one_tank(&self, kind: &str) -> Result<TankId, JotError> {
        match (self.named && !self.all_tanks, self.tanks.as_slice()) {
            (true, [one]) => Ok(*one),
            _ => {
                let what = crate::describe::kind_name(kind);
                let span = if self.named {
                    self.marked("tanks")
                } else {
                    self.verb
                };
                let names = self.bench.tanks.iter().map(|t| t.name.clone());
                let problem = t!("act.jot_one_tank", what = what);
                Err(self.error(span, problem, names.collect()))
            }
        }
    }

    /// For what needs at least one named tank.
    pub(super) fn need_tanks(&self, kind: &str) -> Result<(), JotError> {
        if self.named {
            return Ok(());
        }
        let what = crate::describe::kind_name(kind);
        let names = self.bench.tanks.iter().map(|t| t.name.clone());
        let problem = t!("act.jot_some_tank", what = what);
        Err(self.error(self.verb, problem, names.collect()))
    }
}

/// First letter large, full stop at the end.
pub(super) fn sentence(text: &str) -> String {
    let text = super::capital(text);
    if text.ends_with('.') {
        text
    } else {
        format!("{text}.")
    }
}
