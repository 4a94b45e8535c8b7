//! A form as it was sent: names and values in order, and getters that say what they accept.

use std::fmt;
use std::ops::RangeInclusive;

use axum::body::Bytes;
use axum::extract::{FromRequest, Request};
use jiff::civil::{Date, DateTime};

use crate::error::{ErrorKind, WebError};
use crate::guard::TOKEN_FIELD;

/// Fields in one form; more are refused rather than cut off.
const MOST_FIELDS: usize = 4000;
/// Longest part of a value repeated in an error text, in characters.
const QUOTED: usize = 60;

/// The fields of a form, repeated names and order kept.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct FormData {
    pairs: Vec<(String, String)>,
}

/// Which tanks a form meant.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Chosen {
    /// Every tank of the trial.
    Every,
    /// These, in the order of the form.
    Only(Vec<String>),
}

impl FormData {
    /// The value that means "every tank" in a group of tanks.
    pub const EVERY: &'static str = "*";

    /// Reads `application/x-www-form-urlencoded` text.
    ///
    /// # Errors
    /// Bad input for more than 4000 fields.
    pub fn parse(body: &[u8]) -> Result<Self, WebError> {
        let mut pairs = Vec::new();
        for (name, value) in form_urlencoded::parse(body) {
            if pairs.len() == MOST_FIELDS {
                return Err(WebError::bad_input(format!(
                    "The form has more than {MOST_FIELDS} fields, so nothing was saved."
                )));
            }
            // Browsers send line ends as CR LF; records keep LF.
            pairs.push((name.into_owned(), value.replace("\r\n", "\n")));
        }
        Ok(Self { pairs })
    }

    /// A form filled by the program, for showing what is already recorded.
    pub fn from_pairs<N: Into<String>, V: Into<String>>(
        pairs: impl IntoIterator<Item = (N, V)>,
    ) -> Self {
        Self {
            pairs: pairs
                .into_iter()
                .map(|(n, v)| (n.into(), v.into()))
                .collect(),
        }
    }

    /// The first value of a field as typed; `None` when the form did not have it.
    #[must_use]
    pub fn one(&self, name: &str) -> Option<&str> {
        self.iter().find(|(n, _)| *n == name).map(|(_, v)| v)
    }

    /// Every value of a field, in order.
    pub fn all<'a>(&'a self, name: &'a str) -> impl Iterator<Item = &'a str> {
        self.iter().filter(move |(n, _)| *n == name).map(|(_, v)| v)
    }

    /// Whether the form had the field at all (a ticked box, the button pressed).
    #[must_use]
    pub fn has(&self, name: &str) -> bool {
        self.one(name).is_some()
    }

    /// Every field in order, without the form token.
    pub fn iter(&self) -> impl Iterator<Item = (&str, &str)> {
        self.pairs
            .iter()
            .filter(|(name, _)| name != TOKEN_FIELD)
            .map(|(name, value)| (name.as_str(), value.as_str()))
    }

    fn trimmed(&self, name: &str) -> &str {
        self.one(name).unwrap_or_default().trim()
    }

    /// Text of 1 to `longest` characters, ends trimmed.
    ///
    /// # Errors
    /// Empty, too long, or with control characters other than line ends and tabs.
    pub fn text(&self, name: &str, label: &str, longest: usize) -> Result<String, FieldError> {
        let accepted = format!("give a text of 1 to {longest} characters");
        self.text_or_empty(name, label, longest).and_then(|text| {
            if text.is_empty() {
                Err(FieldError::new(name, label, "", accepted))
            } else {
                Ok(text)
            }
        })
    }

    /// Text of up to `longest` characters, ends trimmed; empty when nothing was typed.
    ///
    /// # Errors
    /// Too long, or with control characters other than line ends and tabs.
    pub fn text_or_empty(
        &self,
        name: &str,
        label: &str,
        longest: usize,
    ) -> Result<String, FieldError> {
        let text = self.trimmed(name);
        let refuse = |accepted| Err(FieldError::new(name, label, text, accepted));
        let count = text.chars().count();
        if count > longest {
            return refuse(format!(
                "give at most {longest} characters; this has {count}"
            ));
        }
        if text
            .chars()
            .any(|c| c.is_control() && c != '\n' && c != '\t')
        {
            return refuse("give letters, digits and signs without control characters".to_owned());
        }
        Ok(text.to_owned())
    }

    /// A number in `range`, with a decimal point or comma.
    ///
    /// # Errors
    /// Empty, not a plain number, or out of range.
    pub fn number(
        &self,
        name: &str,
        label: &str,
        range: RangeInclusive<f64>,
    ) -> Result<f64, FieldError> {
        let typed = self.trimmed(name);
        let (low, high) = (*range.start(), *range.end());
        plain_number(typed)
            .filter(|number| range.contains(number))
            .ok_or_else(|| {
                let accepted =
                    format!("give a number from {low} to {high}, with a point or a comma");
                FieldError::new(name, label, typed, accepted)
            })
    }

    /// Like [`FormData::number`], `None` when nothing was typed.
    ///
    /// # Errors
    /// Not a plain number, or out of range.
    pub fn number_if_any(
        &self,
        name: &str,
        label: &str,
        range: RangeInclusive<f64>,
    ) -> Result<Option<f64>, FieldError> {
        if self.trimmed(name).is_empty() {
            return Ok(None);
        }
        self.number(name, label, range).map(Some)
    }

    /// A whole number in `range`.
    ///
    /// # Errors
    /// Empty, not a whole number, or out of range.
    pub fn whole(
        &self,
        name: &str,
        label: &str,
        range: RangeInclusive<u32>,
    ) -> Result<u32, FieldError> {
        let typed = self.trimmed(name);
        let digits = !typed.is_empty() && typed.bytes().all(|b| b.is_ascii_digit());
        let number = if digits { typed.parse().ok() } else { None };
        number
            .filter(|number| range.contains(number))
            .ok_or_else(|| {
                let (low, high) = (range.start(), range.end());
                let accepted = format!("give a whole number from {low} to {high}");
                FieldError::new(name, label, typed, accepted)
            })
    }

    /// One of the `(value, label)` choices offered; gives the value.
    ///
    /// # Errors
    /// Nothing chosen, or something that was not offered.
    pub fn choice<'c>(
        &self,
        name: &str,
        label: &str,
        offered: &[(&'c str, &str)],
    ) -> Result<&'c str, FieldError> {
        let typed = self.trimmed(name);
        offered
            .iter()
            .map(|(value, _)| *value)
            .find(|value| *value == typed)
            .ok_or_else(|| {
                let labels: Vec<&str> = offered.iter().map(|(_, label)| *label).collect();
                FieldError::new(
                    name,
                    label,
                    typed,
                    format!("choose one of: {}", labels.join(", ")),
                )
            })
    }

    /// A day as `2026-03-01`.
    ///
    /// # Errors
    /// Empty or not a day of the calendar.
    pub fn date(&self, name: &str, label: &str) -> Result<Date, FieldError> {
        let typed = self.trimmed(name);
        typed.parse().map_err(|_| {
            FieldError::new(
                name,
                label,
                typed,
                "give a day like 2026-03-01 (year, month, day)",
            )
        })
    }

    /// A day and time of day as `2026-03-01T18:30`, as browsers send it; a space may stand for T.
    ///
    /// # Errors
    /// Empty, or not a day with a time.
    pub fn moment(&self, name: &str, label: &str) -> Result<DateTime, FieldError> {
        let typed = self.trimmed(name);
        let has_time = typed.contains(':');
        typed.parse().ok().filter(|_| has_time).ok_or_else(|| {
            FieldError::new(
                name,
                label,
                typed,
                "give a day and time like 2026-03-01 18:30",
            )
        })
    }

    /// The tanks ticked, among the `(value, label)` tanks offered.
    ///
    /// # Errors
    /// None ticked, one that was not offered, or "every tank" together with single ones: which was
    /// meant is not guessed, because a dose in the wrong tanks spoils a trial.
    pub fn tanks(
        &self,
        name: &str,
        label: &str,
        offered: &[(&str, &str)],
    ) -> Result<Chosen, FieldError> {
        let ticked: Vec<&str> = self.all(name).collect();
        let every = ticked.contains(&Self::EVERY);
        let single: Vec<&str> = ticked.into_iter().filter(|v| *v != Self::EVERY).collect();
        let known = |value: &&str| offered.iter().any(|(v, _)| v == value);
        let refuse = |value: &str, what: &str| Err(FieldError::new(name, label, value, what));
        if let Some(stranger) = single.iter().find(|value| !known(value)) {
            return refuse(stranger, "tick tanks of this trial");
        }
        match (every, single.is_empty()) {
            (true, true) => Ok(Chosen::Every),
            (false, false) => Ok(Chosen::Only(
                single.into_iter().map(str::to_owned).collect(),
            )),
            (false, true) => refuse("", "tick every tank, or the ones you mean"),
            (true, false) => {
                let named = offered.iter().filter(|(value, _)| single.contains(value));
                let ticked = named.fold("every tank".to_owned(), |all, (_, label)| {
                    all + ", " + label
                });
                refuse(&ticked, "tick either every tank or only the ones you mean")
            }
        }
    }
}

impl<S: Send + Sync> FromRequest<S> for FormData {
    type Rejection = WebError;

    async fn from_request(request: Request, state: &S) -> Result<Self, WebError> {
        let body = Bytes::from_request(request, state)
            .await
            .map_err(|_| WebError::of(ErrorKind::TooLarge))?;
        Self::parse(&body)
    }
}

/// Digits with at most one sign in front and one point or comma inside. Nothing else: "1e3", "inf"
/// and "1.200,5" are not what a keeper means to type.
fn plain_number(typed: &str) -> Option<f64> {
    let text = typed.replace('\u{2212}', "-").replace(',', ".");
    let digits = text.strip_prefix(['-', '+']).unwrap_or(&text);
    let plain = digits.bytes().all(|b| b.is_ascii_digit() || b == b'.')
        && digits.bytes().filter(|b| *b == b'.').count() <= 1
        && digits.bytes().any(|b| b.is_ascii_digit())
        && digits.len() <= 24;
    if plain { text.parse().ok() } else { None }
}

/// What is wrong with one field: its name, what was typed, what is accepted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FieldError {
    /// The field's name in the form.
    pub field: String,
    /// Its label on the page.
    pub label: String,
    /// What was typed; empty when nothing was.
    pub value: String,
    /// What to give instead, as "give ..." or "choose ...".
    pub accepted: String,
}

impl FieldError {
    /// `accepted` continues the sentence: "Light: "x" is not accepted; give hours from 0 to 24."
    pub fn new(field: &str, label: &str, value: &str, accepted: impl Into<String>) -> Self {
        Self {
            field: field.to_owned(),
            label: label.to_owned(),
            value: value.to_owned(),
            accepted: accepted.into(),
        }
    }
}

impl fmt::Display for FieldError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self {
            label,
            value,
            accepted,
            ..
        } = self;
        if value.is_empty() {
            return write!(f, "{label} is empty; {accepted}.");
        }
        let mut quoted: String = value.chars().take(QUOTED).collect();
        if quoted.len() < value.len() {
            quoted.push('…');
        }
        write!(
            f,
            "{label}: \u{201c}{quoted}\u{201d} is not accepted; {accepted}."
        )
    }
}

impl std::error::Error for FieldError {}

/// Everything wrong with one form, in the order it was found.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct FieldErrors {
    list: Vec<FieldError>,
}

impl FieldErrors {
    /// Notes an error.
    pub fn add(&mut self, error: FieldError) {
        self.list.push(error);
    }

    /// Keeps the value, or notes the error and gives `None`; so one pass finds every error.
    pub fn take<T>(&mut self, result: Result<T, FieldError>) -> Option<T> {
        result.map_err(|error| self.add(error)).ok()
    }

    /// The first error of a field.
    #[must_use]
    pub fn of(&self, field: &str) -> Option<&FieldError> {
        self.list.iter().find(|error| error.field == field)
    }

    /// Whether nothing is wrong.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.list.is_empty()
    }

    /// All errors in order.
    pub fn iter(&self) -> impl Iterator<Item = &FieldError> {
        self.list.iter()
    }
}

/// A form to show (again): what is in it and what is wrong with it.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct FormState {
    /// Values to fill in, as typed.
    pub data: FormData,
    /// What to say at which field.
    pub errors: FieldErrors,
}

impl FormState {
    /// A form filled with recorded or usual values, nothing wrong.
    #[must_use]
    pub fn filled(data: FormData) -> Self {
        Self {
            data,
            errors: FieldErrors::default(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn data(body: &str) -> FormData {
        FormData::parse(body.as_bytes()).unwrap()
    }

    // Encoding examples: the URL standard, section 5.1 (application/x-www-form-urlencoded parsing):
    // "+" is a space, "%XX" a byte, a name without "=" has an empty value.
    #[test]
    fn keeps_order_and_repeats() {
        let form = data("tank=ash&what=a+b%26c&tank=elm&bare&tank=ash");
        assert_eq!(form.all("tank").collect::<Vec<_>>(), ["ash", "elm", "ash"]);
        assert_eq!(form.one("what"), Some("a b&c"));
        assert_eq!(form.one("bare"), Some(""));
        assert_eq!(form.one("gone"), None);
        assert_eq!(form.iter().count(), 5);
    }

    #[test]
    fn hides_the_token_and_mends_line_ends() {
        let form = data("form_token=abc&note=one%0D%0Atwo");
        assert!(!form.has("form_token"));
        assert_eq!(form.text("note", "Note", 10).unwrap(), "one\ntwo");
    }

    #[test]
    fn numbers_take_a_point_or_a_comma() {
        for (typed, meant) in [
            ("7.5", 7.5),
            ("7,5", 7.5),
            (" 7 ", 7.0),
            ("-0,25", -0.25),
            ("+3", 3.0),
            ("−2", -2.0),
            (".5", 0.5),
        ] {
            let form = FormData::from_pairs([("x", typed)]);
            assert_eq!(form.number("x", "X", -10.0..=10.0), Ok(meant), "{typed}");
        }
        for typed in [
            "", "x", "1e1", "inf", "NaN", "1.2,3", "1,2,3", "--1", "5 ml", ".", "11", "1 0",
        ] {
            let form = FormData::from_pairs([("x", typed)]);
            assert!(form.number("x", "X", -10.0..=10.0).is_err(), "{typed}");
        }
        assert_eq!(data("x=").number_if_any("x", "X", 0.0..=1.0), Ok(None));
        assert!(data("x=2").number_if_any("x", "X", 0.0..=1.0).is_err());
    }

    #[test]
    fn errors_name_field_value_and_what_is_accepted() {
        let form = data("hours=abc&kind=green&many=-1&day=2026-02-30&at=2026-03-01");
        let text = |result: Result<(), FieldError>| result.unwrap_err().to_string();
        assert_eq!(
            text(form.number("hours", "Hours of light", 0.0..=24.0).map(drop)),
            "Hours of light: “abc” is not accepted; give a number from 0 to 24, with a point or a comma."
        );
        assert_eq!(
            text(
                form.choice("kind", "Kind", &[("a", "Dose"), ("b", "Trim")])
                    .map(drop)
            ),
            "Kind: “green” is not accepted; choose one of: Dose, Trim."
        );
        assert_eq!(
            text(form.whole("many", "Weeks", 1..=52).map(drop)),
            "Weeks: “-1” is not accepted; give a whole number from 1 to 52."
        );
        assert_eq!(
            text(form.date("day", "Day").map(drop)),
            "Day: “2026-02-30” is not accepted; give a day like 2026-03-01 (year, month, day)."
        );
        assert_eq!(
            text(form.moment("at", "When").map(drop)),
            "When: “2026-03-01” is not accepted; give a day and time like 2026-03-01 18:30."
        );
        assert_eq!(
            text(form.text("title", "Title", 80).map(drop)),
            "Title is empty; give a text of 1 to 80 characters."
        );
        let long = FormData::from_pairs([("t", "y".repeat(90))]);
        let said = text(long.text("t", "Title", 80).map(drop));
        assert!(
            said.contains("…”") && said.ends_with("at most 80 characters; this has 90."),
            "{said}"
        );
        let odd = FormData::from_pairs([("t", "a\0b")]);
        assert!(odd.text("t", "Title", 80).is_err());
    }

    #[test]
    fn moments_and_days_are_read() {
        let form = data("at=2026-03-01T18:30&day=2028-02-29");
        assert_eq!(
            form.moment("at", "When").unwrap(),
            jiff::civil::datetime(2026, 3, 1, 18, 30, 0, 0)
        );
        assert_eq!(
            form.date("day", "Day").unwrap(),
            jiff::civil::date(2028, 2, 29)
        );
    }

    #[test]
    fn tanks_are_never_guessed() {
        let offered = [("a", "Ash"), ("e", "Elm")];
        let read = |body: &str| data(body).tanks("tank", "Tanks", &offered);
        assert_eq!(read("tank=*"), Ok(Chosen::Every));
        assert_eq!(
            read("tank=e&tank=a"),
            Ok(Chosen::Only(vec!["e".into(), "a".into()]))
        );
        for body in ["", "tank=*&tank=a", "tank=x", "tank=a&tank=x"] {
            assert!(read(body).is_err(), "{body}");
        }
        assert_eq!(
            read("tank=*&tank=a").unwrap_err().to_string(),
            "Tanks: “every tank, Ash” is not accepted; tick either every tank or only the ones you mean."
        );
    }

    #[test]
    fn too_many_fields_are_refused() {
        let body = "a=1&".repeat(MOST_FIELDS + 1);
        assert_eq!(
            FormData::parse(body.as_bytes()).unwrap_err().kind,
            ErrorKind::BadInput
        );
        assert!(FormData::parse("a=1&".repeat(MOST_FIELDS).as_bytes()).is_ok());
    }

    #[test]
    fn all_errors_are_collected_in_order() {
        let form = data("a=x&b=y&c=1");
        let mut errors = FieldErrors::default();
        assert_eq!(errors.take(form.number("a", "A", 0.0..=1.0)), None);
        assert_eq!(errors.take(form.number("c", "C", 0.0..=1.0)), Some(1.0));
        assert_eq!(errors.take(form.number("b", "B", 0.0..=1.0)), None);
        assert_eq!(
            errors.iter().map(|e| e.field.as_str()).collect::<Vec<_>>(),
            ["a", "b"]
        );
        assert!(errors.of("b").is_some() && errors.of("c").is_none());
    }
}
