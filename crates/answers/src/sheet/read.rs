//! A sheet typed in: every row as it was typed becomes drafts, or what is wrong is named field by
//! field. Nothing is guessed: a row with a day but no value is refused rather than dropped.

mod value;

use super::{Row, What};
use crate::days;
use jiff::ZonedDateTime;
use jiff::civil::{Date, Time};
use text::t;
use trial::{Act, Bench, Draft, TankId};

/// The longest name of somebody, in characters.
const NAME: usize = 120;

/// What stands at the head of a sheet, as typed: it holds for every row without its own.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Head {
    /// The day, `2026-05-18`.
    pub day: String,
    /// The time of day, `18:30`; noon when empty.
    pub time: String,
    /// Who filled it in.
    pub who: String,
}

/// A row as typed.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct TypedRow {
    /// Its own day.
    pub day: String,
    /// Its own time of day.
    pub time: String,
    /// Its own initials.
    pub who: String,
    /// Minutes of work.
    pub minutes: String,
    /// Whether "as usual" is ticked.
    pub usual: bool,
    /// Another amount.
    pub amount: String,
    /// One value for each box; of a free line its text.
    pub values: Vec<String>,
}

/// A field of the head or of a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    /// The day.
    Day,
    /// The time of day.
    Time,
    /// Who.
    Who,
    /// Minutes of work.
    Minutes,
    /// The tick box "as usual".
    Usual,
    /// Another amount.
    Amount,
    /// The value of a box, or a free line's text.
    Value(usize),
}

/// A field that cannot stand.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Wrong {
    /// The row, from 0; none for the head of the sheet.
    pub row: Option<usize>,
    /// Which field of it.
    pub part: Part,
    /// What was typed.
    pub value: String,
    /// What is accepted, as the end of a sentence.
    pub accepted: String,
}

/// An entry to be written.
#[derive(Debug, Clone, PartialEq)]
pub struct Made {
    /// The row it comes from.
    pub row: usize,
    /// The box of the row; 0 for acts and lines.
    pub place: usize,
    /// What will be written.
    pub draft: Draft,
    /// The line of a jot, as typed.
    pub line: Option<String>,
}

/// The drafts of a sheet as typed: rows left blank make none. `span` is its first and last day: what
/// happened on another day is a slip of the pen or belongs on another sheet.
///
/// # Errors
/// Everything that is wrong, in the order of the sheet.
pub fn read(
    bench: &Bench,
    span: (Date, Date),
    rows: &[Row],
    typed: (&Head, &[TypedRow]),
    now: &ZonedDateTime,
) -> Result<Vec<Made>, Vec<Wrong>> {
    let (head, typed) = typed;
    let mut reader = Reader {
        bench,
        span,
        head,
        now,
        wrong: vec![],
    };
    let mut made = Vec::new();
    for (n, (row, typed)) in rows.iter().zip(typed).enumerate() {
        if !typed.is_blank() {
            made.extend(reader.row(n, row, typed));
        }
    }
    if made.is_empty() && reader.wrong.is_empty() {
        reader.refuse(None, Part::Day, "", t!("sheet.accept_some"));
    }
    match reader.wrong.is_empty() {
        true => Ok(made),
        false => Err(reader.wrong),
    }
}

impl TypedRow {
    /// Whether nothing was typed.
    pub fn is_blank(&self) -> bool {
        let texts = [
            &self.day,
            &self.time,
            &self.who,
            &self.minutes,
            &self.amount,
        ];
        let mut all = texts.into_iter().chain(&self.values);
        !self.usual && all.all(|t| t.trim().is_empty())
    }
}

struct Reader<'a> {
    bench: &'a Bench,
    span: (Date, Date),
    head: &'a Head,
    now: &'a ZonedDateTime,
    wrong: Vec<Wrong>,
}

/// What all entries of a row share.
struct Shared {
    at: ZonedDateTime,
    who: String,
    minutes: Option<f64>,
}

impl Reader<'_> {
    fn refuse(&mut self, row: Option<usize>, part: Part, value: &str, accepted: &str) {
        // One fault at the head of the sheet is said once, not for every row that leans on it.
        if self.wrong.iter().any(|w| w.row == row && w.part == part) {
            return;
        }
        self.wrong.push(Wrong {
            row,
            part,
            value: value.trim().to_string(),
            accepted: accepted.to_string(),
        });
    }

    fn row(&mut self, n: usize, row: &Row, typed: &TypedRow) -> Vec<Made> {
        let shared = self.shared(n, typed);
        match &row.what {
            What::Act { .. } => self.act(n, row, typed, shared),
            What::Line => self.line(n, typed, shared),
            What::Reading { .. } | What::Look { .. } => self.boxes(n, row, typed, shared),
        }
    }

    /// The day, time, who and minutes of a row: its own or the sheet's.
    fn shared(&mut self, n: usize, typed: &TypedRow) -> Option<Shared> {
        let at = self.at(n, typed);
        let (at_row, who) = own(n, &typed.who, &self.head.who);
        let who = who.trim();
        let too_long = who.chars().count() > NAME || who.chars().any(char::is_control);
        if too_long {
            self.refuse(at_row, Part::Who, who, &t!("sheet.accept_who", n = NAME));
        }
        let minutes = match typed.minutes.trim() {
            "" => Some(None),
            said => match quantity::parse::parse_number(said) {
                Ok(minutes) => Some(Some(minutes)),
                Err(_) => {
                    self.refuse(Some(n), Part::Minutes, said, t!("sheet.accept_minutes"));
                    None
                }
            },
        };
        Some(Shared {
            at: at?,
            who: who.to_string(),
            minutes: minutes?,
        })
        .filter(|_| !too_long)
    }

    fn at(&mut self, n: usize, typed: &TypedRow) -> Option<ZonedDateTime> {
        let (day_row, day_said) = own(n, &typed.day, &self.head.day);
        let (first, last) = self.span;
        let day = day_said.trim().parse::<Date>().ok();
        let day = day.filter(|d| (first..=last).contains(d));
        if day.is_none() {
            // Without a day at the head, the row is where it is missing.
            let row = if day_said.trim().is_empty() {
                Some(n)
            } else {
                day_row
            };
            let accepted = t!("sheet.accept_day", first = first, last = last);
            self.refuse(row, Part::Day, day_said, &accepted);
        }
        let (time_row, time_said) = own(n, &typed.time, &self.head.time);
        let time = match time_said.trim() {
            "" => Some(Time::constant(12, 0, 0, 0)),
            said if said.contains(':') => said.parse().ok(),
            _ => None,
        };
        if time.is_none() {
            self.refuse(time_row, Part::Time, time_said, t!("sheet.accept_time"));
        }
        let moment = day?.to_datetime(time?);
        let at = moment.to_zoned_datetime(days::zone(self.bench)).ok()?;
        // Noon of today, when nobody said a time, may be still to come.
        if at > *self.now && time_said.trim().is_empty() && at.date() == self.now.date() {
            return Some(self.now.clone());
        }
        if at > *self.now {
            let row = if time_row.is_some() {
                time_row
            } else {
                day_row
            };
            let part = if time_row == row && !time_said.trim().is_empty() {
                Part::Time
            } else {
                Part::Day
            };
            let said = at.strftime("%Y-%m-%d %H:%M").to_string();
            let now = self.now.strftime("%Y-%m-%d %H:%M").to_string();
            self.refuse(row, part, &said, &t!("sheet.accept_past", now = now));
            return None;
        }
        Some(at)
    }

    fn act(&mut self, n: usize, row: &Row, typed: &TypedRow, shared: Option<Shared>) -> Vec<Made> {
        let What::Act {
            act,
            tanks,
            all_tanks,
            unit,
            ..
        } = &row.what
        else {
            return vec![];
        };
        let amount = typed.amount.trim();
        let act = match (typed.usual, amount) {
            (true, "") => Some(act.as_ref().clone()),
            (true, _) => {
                self.refuse(Some(n), Part::Amount, amount, t!("sheet.accept_one"));
                None
            }
            (false, "") => {
                self.refuse(Some(n), Part::Usual, "", t!("sheet.accept_tick"));
                None
            }
            (false, _) => {
                let unit = unit.as_deref().unwrap_or_default();
                let other = value::other_amount(act, amount);
                if other.is_none() {
                    let accepted = t!("sheet.accept_amount", unit = unit);
                    self.refuse(Some(n), Part::Amount, amount, &accepted);
                }
                other
            }
        };
        let (Some(act), Some(shared)) = (act, shared) else {
            return vec![];
        };
        let part = if typed.usual {
            Part::Usual
        } else {
            Part::Amount
        };
        let draft = draft(act, tanks.clone(), *all_tanks, &shared, shared.minutes);
        let said = if typed.usual { &row.title } else { amount };
        self.ruled(n, (0, part), draft, None, said)
            .into_iter()
            .collect()
    }

    /// One entry for each box with a value; the minutes are shared equally.
    fn boxes(
        &mut self,
        n: usize,
        row: &Row,
        typed: &TypedRow,
        shared: Option<Shared>,
    ) -> Vec<Made> {
        let boxes = row.boxes();
        let given: Vec<(usize, &str)> = (typed.values.iter().enumerate())
            .map(|(at, v)| (at, v.trim()))
            .filter(|(at, v)| *at < boxes.len() && !v.is_empty())
            .collect();
        if given.is_empty() {
            self.refuse(Some(n), Part::Value(0), "", t!("sheet.accept_value"));
        }
        let each = |minutes: f64| minutes / given.len() as f64;
        let mut made = Vec::new();
        for (at, said) in &given {
            let act = match value::of_box(self.bench, row, &boxes[*at], said, self.now) {
                Ok(act) => act,
                Err(accepted) => {
                    self.refuse(Some(n), Part::Value(*at), said, &accepted);
                    continue;
                }
            };
            let Some(shared) = &shared else { continue };
            let minutes = shared.minutes.map(each);
            let draft = draft(act, vec![boxes[*at].tank], false, shared, minutes);
            made.extend(self.ruled(n, (*at, Part::Value(*at)), draft, None, said));
        }
        made
    }

    /// A jot, read as if it were typed at the row's time, or, when it says its own time, at the end
    /// of its day.
    fn line(&mut self, n: usize, typed: &TypedRow, shared: Option<Shared>) -> Vec<Made> {
        let said = typed.values.first().map_or("", |v| v.trim());
        if said.is_empty() {
            self.refuse(Some(n), Part::Value(0), "", t!("sheet.accept_line"));
            return vec![];
        }
        let Some(shared) = shared else { return vec![] };
        let end = shared.at.end_of_day().unwrap_or_else(|_| shared.at.clone());
        let then = match said.contains('@') {
            true => end.min(self.now.clone()),
            false => shared.at.clone(),
        };
        let mut draft = match trial::jot::read(said, self.bench, &then) {
            Ok(read) => read.draft,
            Err(error) => {
                let near = error.nearest.join(", ");
                let accepted = match near.as_str() {
                    "" => t!("sheet.accept_jot", why = error.problem),
                    near => t!("sheet.accept_jot_near", why = error.problem, near = near),
                };
                self.refuse(Some(n), Part::Value(0), said, &accepted);
                return vec![];
            }
        };
        if draft.who.is_empty() {
            draft.who.clone_from(&shared.who);
        }
        draft.minutes = draft.minutes.or(shared.minutes);
        let line = Some(said.to_string());
        self.ruled(n, (0, Part::Value(0)), draft, line, said)
            .into_iter()
            .collect()
    }

    /// The draft when the rules let it stand.
    fn ruled(
        &mut self,
        row: usize,
        (place, part): (usize, Part),
        draft: Draft,
        line: Option<String>,
        said: &str,
    ) -> Option<Made> {
        let problems = trial::rules::check_draft(&draft, self.bench);
        for problem in &problems {
            let (part, value) = match problem.field {
                "minutes" => (Part::Minutes, problem.value.as_str()),
                "at" => (Part::Day, problem.value.as_str()),
                _ => (part, said),
            };
            let accepted = t!("log.accept_rule", what = problem.accepted);
            self.refuse(Some(row), part, value, &accepted);
        }
        problems.is_empty().then_some(Made {
            row,
            place,
            draft,
            line,
        })
    }
}

/// A row's own text, with its row, or the head's.
fn own<'t>(n: usize, row: &'t str, head: &'t str) -> (Option<usize>, &'t str) {
    match row.trim() {
        "" => (None, head),
        _ => (Some(n), row),
    }
}

fn draft(
    act: Act,
    tanks: Vec<TankId>,
    all_tanks: bool,
    shared: &Shared,
    minutes: Option<f64>,
) -> Draft {
    Draft {
        at: shared.at.clone(),
        tanks,
        all_tanks,
        who: shared.who.clone(),
        minutes,
        note: String::new(),
        act,
    }
}
