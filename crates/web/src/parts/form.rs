//! The form kit: labelled fields that keep what was typed and say what is wrong beside it.
//!
//! ```
//! use web::parts::{button::Button, form::{Field, error_summary, form}};
//! use web::FormState;
//! use maud::html;
//!
//! let state = FormState::default();
//! let page = html! {
//!     (error_summary(&state.errors))
//!     (form("/trials/1/light", "token of the app", &html! {
//!         (Field::number("hours", "Hours of light").unit("h").hint("Per day.").fill(&state))
//!         (Button::new("Save").primary())
//!     }))
//! };
//! assert!(page.into_string().contains("inputmode=\"decimal\""));
//! ```

use maud::{Markup, Render, html};

use super::icon::Icon;
use crate::form_data::{FieldErrors, FormData, FormState};
use crate::guard::TOKEN_FIELD;

/// A choice: the value sent and the label shown.
pub type Choice<'a> = (&'a str, &'a str);

#[derive(Debug, Clone, Copy)]
enum Kind<'a> {
    Text,
    Number { unit: &'a str },
    Area { rows: u8 },
    Moment,
    Date,
    File { accept: &'a str, many: bool },
    Select(&'a [Choice<'a>]),
    Radio(&'a [Choice<'a>]),
    Checks(&'a [Choice<'a>]),
    Tanks(&'a [Choice<'a>]),
}

/// One field: made with the constructor of its kind, refined, then put into markup.
#[derive(Debug, Clone)]
pub struct Field<'a> {
    name: &'a str,
    label: &'a str,
    kind: Kind<'a>,
    hint: Option<&'a str>,
    error: Option<String>,
    values: Vec<&'a str>,
    optional: bool,
    suggest: Option<&'a str>,
}

impl<'a> Field<'a> {
    fn new(name: &'a str, label: &'a str, kind: Kind<'a>) -> Self {
        Self {
            name,
            label,
            kind,
            hint: None,
            error: None,
            values: Vec::new(),
            optional: false,
            suggest: None,
        }
    }

    /// One line of text.
    #[must_use]
    pub fn text(name: &'a str, label: &'a str) -> Self {
        Self::new(name, label, Kind::Text)
    }

    /// A number; read it with [`FormData::number`]. A text field to the browser, because its own
    /// number field drops what it cannot read, a decimal comma for one.
    #[must_use]
    pub fn number(name: &'a str, label: &'a str) -> Self {
        Self::new(name, label, Kind::Number { unit: "" })
    }

    /// Several lines of text.
    #[must_use]
    pub fn area(name: &'a str, label: &'a str, rows: u8) -> Self {
        Self::new(name, label, Kind::Area { rows })
    }

    /// A day with a time; values as `2026-03-01T18:30`.
    #[must_use]
    pub fn moment(name: &'a str, label: &'a str) -> Self {
        Self::new(name, label, Kind::Moment)
    }

    /// A day; values as `2026-03-01`.
    #[must_use]
    pub fn date(name: &'a str, label: &'a str) -> Self {
        Self::new(name, label, Kind::Date)
    }

    /// A file, in a form made with [`file_form`]; `accept` as in HTML, such as `image/*`.
    #[must_use]
    pub fn file(name: &'a str, label: &'a str, accept: &'a str) -> Self {
        Self::new(
            name,
            label,
            Kind::File {
                accept,
                many: false,
            },
        )
    }

    /// Any number of files; see [`Field::file`].
    #[must_use]
    pub fn files(name: &'a str, label: &'a str, accept: &'a str) -> Self {
        Self::new(name, label, Kind::File { accept, many: true })
    }

    /// One of many, in a list that opens.
    #[must_use]
    pub fn select(name: &'a str, label: &'a str, choices: &'a [Choice<'a>]) -> Self {
        Self::new(name, label, Kind::Select(choices))
    }

    /// One of a few, as large buttons.
    #[must_use]
    pub fn radio(name: &'a str, label: &'a str, choices: &'a [Choice<'a>]) -> Self {
        Self::new(name, label, Kind::Radio(choices))
    }

    /// Any of a few.
    #[must_use]
    pub fn checks(name: &'a str, label: &'a str, choices: &'a [Choice<'a>]) -> Self {
        Self::new(name, label, Kind::Checks(choices))
    }

    /// Tanks, with "Every tank" first and ticked unless filled otherwise; read it with
    /// [`FormData::tanks`].
    #[must_use]
    pub fn tanks(name: &'a str, label: &'a str, tanks: &'a [Choice<'a>]) -> Self {
        Self::new(name, label, Kind::Tanks(tanks)).value(FormData::EVERY)
    }

    /// A unit behind a number field; of no effect on other kinds.
    #[must_use]
    pub fn unit(self, unit: &'a str) -> Self {
        match self.kind {
            Kind::Number { .. } => Self {
                kind: Kind::Number { unit },
                ..self
            },
            _ => self,
        }
    }

    /// A line of help between label and field.
    #[must_use]
    pub fn hint(self, hint: &'a str) -> Self {
        Self {
            hint: Some(hint),
            ..self
        }
    }

    /// Names offered while typing, by the id of their `datalist`; of effect on texts only.
    #[must_use]
    pub fn suggest(self, list: &'a str) -> Self {
        Self {
            suggest: Some(list),
            ..self
        }
    }

    /// Marks the field as one that may stay empty.
    #[must_use]
    pub fn optional(self) -> Self {
        Self {
            optional: true,
            ..self
        }
    }

    /// The value shown until the form has been sent.
    #[must_use]
    pub fn value(self, value: &'a str) -> Self {
        Self {
            values: vec![value],
            ..self
        }
    }

    /// What was typed (once the form has content) and what was wrong with it.
    #[must_use]
    pub fn fill(mut self, state: &'a FormState) -> Self {
        if state.data.iter().next().is_some() {
            self.values = state
                .data
                .iter()
                .filter(|(name, _)| *name == self.name)
                .map(|(_, value)| value)
                .collect();
        }
        self.error = state.errors.of(self.name).map(ToString::to_string);
        self
    }

    fn id(&self) -> String {
        field_id(self.name)
    }

    fn typed(&self) -> &str {
        self.values.first().copied().unwrap_or_default()
    }

    fn invalid(&self) -> Option<&'static str> {
        self.error.as_ref().map(|_| "true")
    }

    fn required(&self) -> Option<&'static str> {
        (!self.optional).then_some("true")
    }

    fn described_by(&self) -> Option<String> {
        let id = self.id();
        let mut ids = Vec::new();
        if self.hint.is_some() {
            ids.push(format!("{id}-hint"));
        }
        if self.error.is_some() {
            ids.push(format!("{id}-error"));
        }
        if matches!(self.kind, Kind::Number { unit } if !unit.is_empty()) {
            ids.push(format!("{id}-unit"));
        }
        (!ids.is_empty()).then(|| ids.join(" "))
    }

    fn label_text(&self) -> Markup {
        html! { (self.label) @if self.optional { " " span.optional { "(optional)" } } }
    }

    fn help(&self) -> Markup {
        let id = self.id();
        html! {
            @if let Some(hint) = self.hint { p.hint id={ (id) "-hint" } { (hint) } }
            @if let Some(error) = &self.error {
                p.error id={ (id) "-error" } { (Icon::Caution) span { (error) } }
            }
        }
    }

    fn input(&self, kind: &str, mode: Option<&str>) -> Markup {
        html! {
            input id=(self.id()) name=(self.name) type=(kind) inputmode=[mode] value=(self.typed())
                autocomplete="off" list=[self.suggest] aria-describedby=[self.described_by()]
                aria-invalid=[self.invalid()] aria-required=[self.required()];
        }
    }

    fn single(&self, control: &Markup) -> Markup {
        html! {
            div.field.field-wrong[self.error.is_some()] {
                label for=(self.id()) { (self.label_text()) }
                (self.help())
                (control)
            }
        }
    }

    fn number_control(&self, unit: &str) -> Markup {
        html! {
            div.with-unit {
                (self.input("text", Some("decimal")))
                @if !unit.is_empty() { span.unit id={ (self.id()) "-unit" } { (unit) } }
            }
        }
    }

    fn area_control(&self, rows: u8) -> Markup {
        // A line end straight after the tag is dropped by HTML: one is added so that none is lost.
        html! {
            textarea id=(self.id()) name=(self.name) rows=(rows)
                aria-describedby=[self.described_by()] aria-invalid=[self.invalid()]
                aria-required=[self.required()] { "\n" (self.typed()) }
        }
    }

    fn file_control(&self, accept: &str, many: bool) -> Markup {
        html! {
            input id=(self.id()) name=(self.name) type="file" accept=(accept) multiple[many]
                aria-describedby=[self.described_by()] aria-invalid=[self.invalid()]
                aria-required=[self.required()];
        }
    }

    fn select_control(&self, choices: &[Choice<'_>]) -> Markup {
        html! {
            select id=(self.id()) name=(self.name) aria-describedby=[self.described_by()]
                aria-invalid=[self.invalid()] aria-required=[self.required()] {
                @for (value, label) in choices {
                    option value=(value) selected[*value == self.typed()] { (label) }
                }
            }
        }
    }

    fn group(&self, kind: &str, choices: &[Choice<'_>], every: bool) -> Markup {
        let all = every.then_some((FormData::EVERY, "Every tank")).into_iter();
        let id_at = |at: usize| {
            if at == 0 {
                self.id()
            } else {
                format!("{}-{at}", self.id())
            }
        };
        html! {
            fieldset.field.field-wrong[self.error.is_some()] aria-describedby=[self.described_by()]
                data-every[every] {
                legend { (self.label_text()) }
                (self.help())
                div.choices {
                    @for (at, (value, label)) in all.chain(choices.iter().copied()).enumerate() {
                        div.choice {
                            input id=(id_at(at)) type=(kind) name=(self.name) value=(value)
                                checked[self.values.contains(&value)] aria-invalid=[self.invalid()];
                            label for=(id_at(at)) { (label) }
                        }
                    }
                }
            }
        }
    }
}

impl Render for Field<'_> {
    fn render(&self) -> Markup {
        match self.kind {
            Kind::Text => self.single(&self.input("text", None)),
            Kind::Number { unit } => self.single(&self.number_control(unit)),
            Kind::Area { rows } => self.single(&self.area_control(rows)),
            Kind::Moment => self.single(&self.input("datetime-local", None)),
            Kind::Date => self.single(&self.input("date", None)),
            Kind::File { accept, many } => self.single(&self.file_control(accept, many)),
            Kind::Select(choices) => self.single(&self.select_control(choices)),
            Kind::Radio(choices) => self.group("radio", choices, false),
            Kind::Checks(choices) => self.group("checkbox", choices, false),
            Kind::Tanks(tanks) => self.group("checkbox", tanks, true),
        }
    }
}

fn field_id(name: &str) -> String {
    format!("f-{name}")
}

/// A form that is sent with POST and carries the token; `token` is [`crate::App::token`].
pub fn form(action: &str, token: &str, fields: &Markup) -> Markup {
    html! {
        form.form method="post" action=(action) novalidate {
            (hidden(TOKEN_FIELD, token))
            (fields)
        }
    }
}

/// A form that sends files. The token travels in the address, where it is checked before the
/// (large) body is read; `action` must not have a query of its own.
pub fn file_form(action: &str, token: &str, fields: &Markup) -> Markup {
    debug_assert!(
        !action.contains('?'),
        "the action of a file form has no query"
    );
    html! {
        form.form method="post" action={ (action) "?" (TOKEN_FIELD) "=" (token) }
            enctype="multipart/form-data" novalidate { (fields) }
    }
}

/// A form that only asks (GET): filters and dates of a page; carries no token.
pub fn query_form(action: &str, fields: &Markup) -> Markup {
    html! { form.form.form-row method="get" action=(action) { (fields) } }
}

/// A value sent along unseen.
pub fn hidden(name: &str, value: &str) -> Markup {
    html! { input type="hidden" name=(name) value=(value); }
}

/// Fields beside each other where there is room.
pub fn row(fields: &Markup) -> Markup {
    html! { div.field-row { (fields) } }
}

/// The box above a form that was not accepted: every error, linked to its field. Nothing when all
/// is well.
pub fn error_summary(errors: &FieldErrors) -> Markup {
    html! {
        @if !errors.is_empty() {
            div.notice.notice-error role="alert" tabindex="-1" {
                (Icon::Caution)
                div.notice-body {
                    p.notice-title { "Nothing was saved yet" }
                    ul {
                        @for error in errors.iter() {
                            li { a href={ "#" (field_id(&error.field)) } { (error) } }
                        }
                    }
                }
            }
        }
    }
}
