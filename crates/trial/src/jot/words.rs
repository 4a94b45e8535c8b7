//! The words for what was done or seen.

use super::cursor::{Cursor, Span};
use super::error::JotError;
use super::lex::{self, Kind};
use super::nearest::nearest;
use crate::act::LivestockHappening;
use text::t;

/// What a jot is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Verb {
    Dose,
    Change,
    TopUp,
    Feed,
    Clean,
    Light,
    Set,
    Swap,
    Trim,
    Replant,
    Thin,
    Loss,
    Plantlets,
    Move,
    Harvest,
    Score,
    Algae,
    Read,
    Note,
    Picture,
    Undo,
    Happened(LivestockHappening),
}

/// Words that only say what is done.
const VERBS: &[(&str, Verb)] = &[
    ("dose", Verb::Dose),
    ("dosed", Verb::Dose),
    ("change", Verb::Change),
    ("changed", Verb::Change),
    ("topup", Verb::TopUp),
    ("top-up", Verb::TopUp),
    ("feed", Verb::Feed),
    ("fed", Verb::Feed),
    ("clean", Verb::Clean),
    ("cleaned", Verb::Clean),
    ("wipe", Verb::Clean),
    ("wiped", Verb::Clean),
    ("light", Verb::Light),
    ("lights", Verb::Light),
    ("lamp", Verb::Light),
    ("set", Verb::Set),
    ("setting", Verb::Set),
    ("swap", Verb::Swap),
    ("swapped", Verb::Swap),
    ("replace", Verb::Swap),
    ("replaced", Verb::Swap),
    ("trim", Verb::Trim),
    ("trimmed", Verb::Trim),
    ("cut", Verb::Trim),
    ("replant", Verb::Replant),
    ("replanted", Verb::Replant),
    ("thin", Verb::Thin),
    ("thinned", Verb::Thin),
    ("lost", Verb::Loss),
    ("loss", Verb::Loss),
    ("plantlets", Verb::Plantlets),
    ("plantlet", Verb::Plantlets),
    ("move", Verb::Move),
    ("moved", Verb::Move),
    ("harvest", Verb::Harvest),
    ("harvested", Verb::Harvest),
    ("score", Verb::Score),
    ("scored", Verb::Score),
    ("observe", Verb::Score),
    ("observed", Verb::Score),
    ("algae", Verb::Algae),
    ("read", Verb::Read),
    ("reading", Verb::Read),
    ("test", Verb::Read),
    ("tested", Verb::Read),
    ("note", Verb::Note),
    ("noted", Verb::Note),
    ("picture", Verb::Picture),
    ("photo", Verb::Picture),
    ("undo", Verb::Undo),
    ("arrived", Verb::Happened(LivestockHappening::Arrival)),
    ("arrival", Verb::Happened(LivestockHappening::Arrival)),
    ("died", Verb::Happened(LivestockHappening::Death)),
    ("death", Verb::Happened(LivestockHappening::Death)),
    ("missing", Verb::Happened(LivestockHappening::Missing)),
    ("ill", Verb::Happened(LivestockHappening::Illness)),
    ("sick", Verb::Happened(LivestockHappening::Illness)),
    ("left", Verb::Happened(LivestockHappening::Departure)),
    ("rehomed", Verb::Happened(LivestockHappening::Departure)),
];

/// Words that are a detail as well, so they are left for the grammar to read.
const DETAILS: &[(&str, Verb)] = &[
    ("gas", Verb::Set),
    ("flow", Verb::Set),
    ("heater", Verb::Set),
    ("surface", Verb::Set),
    ("photoperiod", Verb::Set),
    ("dimming", Verb::Set),
    ("film", Verb::Algae),
    ("thread", Verb::Algae),
    ("threads", Verb::Algae),
    ("vigour", Verb::Score),
    ("vigor", Verb::Score),
    ("leaf", Verb::Score),
    ("leaves", Verb::Score),
    ("density", Verb::Score),
    ("colour", Verb::Score),
    ("color", Verb::Score),
    ("height", Verb::Score),
    ("spread", Verb::Score),
    ("node", Verb::Score),
    ("nodes", Verb::Score),
    ("cover", Verb::Score),
    ("weigh", Verb::Score),
    ("weighed", Verb::Score),
];

/// Two words for one.
const PAIRS: &[([&str; 2], Verb)] = &[
    (["top", "up"], Verb::TopUp),
    (["topped", "up"], Verb::TopUp),
    (["water", "change"], Verb::Change),
];

/// Words of the grammar that no tank may be called.
const RESERVED: &[&str] = &[
    "all",
    "every",
    "everywhere",
    "and",
    "to",
    "out",
    "by",
    "at",
    "water",
    "top",
    "topped",
];

/// Words that join details.
const JOINTS: &[&str] = &[
    "with", "for", "from", "into", "in", "on", "off", "of", "between", "least", "most",
];

/// Whether a word of the grammar, which is never a name by itself.
pub(super) fn is_grammar(word: &str) -> bool {
    is_jot_word(word) || JOINTS.contains(&word)
}

fn find(table: &[(&str, Verb)], word: &str) -> Option<Verb> {
    table.iter().find(|(w, _)| *w == word).map(|(_, v)| *v)
}

/// Whether a word in lower case says what was done.
pub(super) fn is_verb(word: &str) -> bool {
    find(VERBS, word).is_some() || find(DETAILS, word).is_some()
}

/// Whether jots understand `word` otherwise, so that no tank may be called so.
pub fn is_jot_word(word: &str) -> bool {
    let lower = word.trim().to_lowercase();
    is_verb(&lower) || RESERVED.contains(&lower.as_str())
}

/// Whether free text begins here.
pub(super) fn begins_with_note(chars: &[char]) -> bool {
    let word: String = chars
        .iter()
        .skip_while(|c| c.is_whitespace())
        .take_while(|c| c.is_alphabetic())
        .collect();
    find(VERBS, &word.to_lowercase()) == Some(Verb::Note)
}

fn known() -> impl Iterator<Item = &'static str> {
    let singles = VERBS.iter().chain(DETAILS).map(|(w, _)| *w);
    singles.chain(["top up", "water change"])
}

/// Takes the word for what was done; a planting's name alone is a score of it.
pub(super) fn take_verb(cursor: &mut Cursor) -> Result<Verb, JotError> {
    split_joined(cursor);
    for (pair, verb) in PAIRS {
        if let Some(span) = cursor.take_phrase(pair) {
            return Ok(understood(cursor, *verb, span));
        }
    }
    let Some(token) = cursor.peek().cloned() else {
        return Err(cursor.missing(t!("act.jot_empty")));
    };
    let span = Span::of(&token);
    if token.kind == Kind::Word {
        if let Some(verb) = find(VERBS, &token.lower) {
            cursor.pos += 1;
            cursor.take(&[":"]);
            return Ok(understood(cursor, verb, span));
        }
        if let Some(verb) = find(DETAILS, &token.lower) {
            return Ok(understood(cursor, verb, span));
        }
    }
    if cursor.named && cursor.plant_stands_here() {
        return Ok(understood(cursor, Verb::Score, span));
    }
    let problem = match cursor.bench.tank_named(&token.lower) {
        Some(tank) => t!("act.jot_colon", tank = tank.name.to_lowercase()),
        None => t!("act.jot_verb", word = token.text),
    };
    // `temp 24` is a setting without its verb.
    let nearest = match super::care::is_setting(&token.lower) {
        true => vec![format!("set {}", token.lower)],
        false => nearest(&token.lower, known()),
    };
    Err(cursor.error(span, problem, nearest))
}

fn understood(cursor: &mut Cursor, verb: Verb, span: Span) -> Verb {
    cursor.verb = span;
    cursor.understood.push(verb.name().to_string());
    verb
}

/// Spaces are free: `change40%` is `change 40%`.
fn split_joined(cursor: &mut Cursor) {
    let Some(token) = cursor.peek().filter(|t| t.kind == Kind::Word) else {
        return;
    };
    let letters = token
        .lower
        .chars()
        .take_while(|c| c.is_alphabetic())
        .count();
    let verb: String = token.lower.chars().take(letters).collect();
    let digit_follows = token
        .lower
        .chars()
        .nth(letters)
        .is_some_and(|c| c.is_ascii_digit());
    if !digit_follows || !is_verb(&verb) || letters >= token.width {
        return;
    }
    let at = token.at;
    let chars = &cursor.parts.chars;
    let (Ok(mut head), Ok(rest)) = (
        lex::tokens(chars, at, at + letters),
        lex::tokens(chars, at + letters, cursor.end),
    ) else {
        return;
    };
    head.extend(rest);
    cursor.tokens = head;
}

impl Verb {
    /// The name of the kind of entry it makes.
    fn name(self) -> &'static str {
        match self {
            Verb::Dose => t!("act.kind_dose"),
            Verb::Change => t!("act.kind_change"),
            Verb::TopUp => t!("act.kind_top_up"),
            Verb::Feed => t!("act.kind_feed"),
            Verb::Clean => t!("act.kind_clean"),
            Verb::Light | Verb::Set => t!("act.kind_setting"),
            Verb::Swap => t!("act.kind_swap"),
            Verb::Trim => t!("act.kind_trim"),
            Verb::Replant => t!("act.kind_replant"),
            Verb::Thin => t!("act.kind_thin"),
            Verb::Loss => t!("act.kind_loss"),
            Verb::Plantlets => t!("act.kind_plantlets"),
            Verb::Move => t!("act.kind_move"),
            Verb::Harvest => t!("act.kind_harvest"),
            Verb::Score => t!("act.kind_observation"),
            Verb::Algae => t!("act.kind_algae"),
            Verb::Read => t!("act.kind_reading"),
            Verb::Note => t!("act.kind_note"),
            Verb::Picture => t!("act.kind_picture"),
            Verb::Undo => t!("act.kind_undo"),
            Verb::Happened(_) => t!("act.kind_livestock"),
        }
    }
}
