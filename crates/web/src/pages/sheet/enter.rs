//! The page a sheet is typed in on: the rows of the paper as one form.

use answers::sheet::{Asked, Part, Row, Sheet, What, sheet};
use answers::walk::Scale;
use axum::extract::RawQuery;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use jiff::civil::Date;
use maud::{Markup, html};
use text::t;
use uuid::Uuid;

use super::fields::{ROW, label, name, title};
use super::{ask_form, asked_state, enter_path, nothing, query_of, read_asked, span_words, style};
use crate::form_data::{FormData, FormState};
use crate::pages::entry::ID_FIELD;
use crate::pages::words::{capital, said};
use crate::parts::button::{Button, actions, link_button};
use crate::parts::form::{error_summary, form, hidden};
use crate::parts::icon::Icon;
use crate::parts::series::tank_name;
use crate::parts::shell::NavItem;
use crate::{TrialPage, WebError};

/// `{trial}/sheet/enter`: the rows of the sheet asked for, to be typed in; after saving, what was
/// written.
///
/// # Errors
/// When the notebook cannot be read.
pub async fn enter(page: TrialPage, RawQuery(query): RawQuery) -> Result<Response, WebError> {
    let data = FormData::parse(query.clone().unwrap_or_default().as_bytes())?;
    if let Some(done) = super::save::summary(&page, &data)? {
        let title = t!("sheet.saved_title");
        let saved = page.page(NavItem::Sheet, title, None, done);
        return Ok(saved.into_response());
    }
    let mut asking = asked_state(&page, query.as_deref())?;
    let Some(asked) = read_asked(&page, &mut asking) else {
        let body = html! { (style()) (ask_form(&page, &asking)) };
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, framed(&page, body)).into_response());
    };
    let sheet = sheet(page.app.notebook(), &page.bench, &asked)?;
    let mut pairs = vec![
        (ID_FIELD.to_owned(), Uuid::now_v7().to_string()),
        (name(None, Part::Who), page.who()?),
    ];
    // Over several days no day is likelier than another: none is guessed.
    if sheet.from == sheet.to {
        pairs.push((name(None, Part::Day), sheet.from.to_string()));
    }
    let state = FormState::filled(FormData::from_pairs(pairs));
    let body = draw(&page, &asked, (sheet.from, sheet.to), &sheet.rows, &state);
    Ok(framed(&page, body_with_span(&sheet, body)).into_response())
}

fn body_with_span(sheet: &Sheet, body: Markup) -> Markup {
    html! { p.state { (span_words(sheet)) } (body) }
}

pub(super) fn framed(page: &TrialPage, body: Markup) -> Markup {
    let lead = Some(t!("sheet.enter_lead"));
    page.page(NavItem::Sheet, t!("sheet.enter_title"), lead, body)
}

/// The form, with what was typed and what is wrong with it.
pub(super) fn draw(
    page: &TrialPage,
    asked: &Asked,
    span: (Date, Date),
    rows: &[Row],
    state: &FormState,
) -> Markup {
    if page.bench.tanks.is_empty() {
        return nothing(page);
    }
    let kit = Kit { page, state, span };
    let print = format!("{}/sheet?{}", page.path(), query_of(asked));
    let of = |wanted: fn(&What) -> bool| -> Vec<(usize, &Row)> {
        let all = rows.iter().enumerate();
        all.filter(|(_, r)| wanted(&r.what)).collect()
    };
    let acts = of(|w| matches!(w, What::Act { .. }));
    let tests = of(|w| matches!(w, What::Reading { .. }));
    let looks = of(|w| matches!(w, What::Look { .. }));
    let lines = of(|w| matches!(w, What::Line));
    let fields = html! {
        (hidden(ID_FIELD, state.data.one(ID_FIELD).unwrap_or_default()))
        @for row in rows { (hidden(ROW, &row.key)) }
        (kit.head())
        (section(t!("sheet.acts"), &acts, |(n, row)| kit.act(*n, row)))
        (section(t!("sheet.readings"), &tests, |(n, row)| kit.reading(*n, row)))
        (section(t!("sheet.looks"), &looks, |(n, row)| kit.look(*n, row)))
        (section(t!("sheet.lines"), &lines, |(n, row)| kit.line(*n, row)))
        (actions(&html! {
            (Button::new(t!("sheet.save")).primary())
            (link_button(&print, t!("sheet.to_print")))
        }))
    };
    html! {
        (style())
        (error_summary(&state.errors))
        div.sheet-form { (form(&enter_path(page, asked), page.app.token(), &fields)) }
    }
}

fn section(title: &str, rows: &[(usize, &Row)], draw: impl Fn(&(usize, &Row)) -> Markup) -> Markup {
    html! {
        @if !rows.is_empty() {
            section.section { h2 { (title) } @for row in rows { (draw(row)) } }
        }
    }
}

/// Draws the fields of the form.
struct Kit<'a> {
    page: &'a TrialPage,
    state: &'a FormState,
    span: (Date, Date),
}

/// How a small field is typed.
#[derive(Clone, Copy)]
enum Typed {
    Text,
    Number,
    Day,
    Time,
}

impl Kit<'_> {
    fn typed(&self, field: &str) -> &str {
        self.state.data.one(field).unwrap_or_default()
    }

    fn head(&self) -> Markup {
        html! {
            fieldset.sheet-row {
                legend { (t!("sheet.head")) }
                p.hint { (t!("sheet.head_how")) " " (t!("sheet.h_time")) }
                div.sheet-cells { (self.own(None)) }
            }
        }
    }

    /// Day, time and who, of a row or of the head.
    fn own(&self, row: Option<usize>) -> Markup {
        html! {
            (self.field(row, Part::Day, &html! { (t!("sheet.f_day")) }, Typed::Day, ""))
            (self.field(row, Part::Time, &html! { (t!("sheet.f_time")) }, Typed::Time, ""))
            (self.field(row, Part::Who, &html! { (t!("sheet.f_who")) }, Typed::Text, ""))
        }
    }

    fn field(
        &self,
        row: Option<usize>,
        part: Part,
        label: &Markup,
        how: Typed,
        unit: &str,
    ) -> Markup {
        let field = name(row, part);
        let id = format!("f-{field}");
        let error = self.state.errors.of(&field).map(ToString::to_string);
        let described = error.is_some().then(|| format!("{id}-error"));
        let (kind, mode) = match how {
            Typed::Text => ("text", None),
            Typed::Number => ("text", Some("decimal")),
            Typed::Day => ("date", None),
            Typed::Time => ("time", None),
        };
        let limits = matches!(how, Typed::Day).then_some(self.span);
        html! {
            div.field.field-wrong[error.is_some()] {
                label for=(id) { (label) }
                @if let Some(error) = &error {
                    p.error id={ (id) "-error" } { (Icon::Caution) span { (error) } }
                }
                div.with-unit {
                    input id=(id) name=(field) type=(kind) inputmode=[mode] value=(self.typed(&field))
                        min=[limits.map(|(from, _)| from)] max=[limits.map(|(_, to)| to)]
                        autocomplete="off" aria-describedby=[described]
                        aria-invalid=[error.is_some().then_some("true")];
                    @if !unit.is_empty() { span.unit { (unit) } }
                }
            }
        }
    }

    fn tick(&self, row: usize) -> Markup {
        let field = name(Some(row), Part::Usual);
        let id = format!("f-{field}");
        let error = self.state.errors.of(&field).map(ToString::to_string);
        let described = error.is_some().then(|| format!("{id}-error"));
        html! {
            div.field.field-wrong[error.is_some()] {
                @if let Some(error) = &error {
                    p.error id={ (id) "-error" } { (Icon::Caution) span { (error) } }
                }
                div.choice {
                    input id=(id) type="checkbox" name=(field) value="1"
                        checked[self.state.data.has(&field)] aria-describedby=[described]
                        aria-invalid=[error.is_some().then_some("true")];
                    label for=(id) { (t!("sheet.f_usual")) }
                }
            }
        }
    }

    fn legend(&self, row: &Row) -> Markup {
        html! { legend { (said(&title(row), &self.page.bench)) } }
    }

    fn act(&self, n: usize, row: &Row) -> Markup {
        let What::Act { unit, .. } = &row.what else {
            return html! {};
        };
        let at = Some(n);
        html! {
            fieldset.sheet-row {
                (self.legend(row))
                div.sheet-cells {
                    (self.tick(n))
                    @if let Some(unit) = unit {
                        (self.field(at, Part::Amount, &html! { (t!("sheet.f_other")) }, Typed::Text, unit))
                    }
                    (self.own(at))
                    (self.field(at, Part::Minutes, &html! { (t!("sheet.f_minutes")) }, Typed::Number, "min"))
                }
            }
        }
    }

    fn boxes(&self, n: usize, row: &Row, how: Typed) -> Markup {
        let bench = &self.page.bench;
        html! {
            div.sheet-cells.sheet-tanks {
                @for (at, one) in row.boxes().iter().enumerate() {
                    @let part = Part::Value(at);
                    @let place = bench.tank(one.tank).map_or(0, |t| t.place);
                    @let label = tank_name(place, &label(bench, row, part));
                    (self.field(Some(n), part, &label, how, ""))
                }
            }
        }
    }

    fn reading(&self, n: usize, row: &Row) -> Markup {
        let What::Reading { analyte, steps, .. } = &row.what else {
            return html! {};
        };
        let hint = match steps.is_empty() {
            true => t!("sheet.h_meter", unit = analyte.unit()),
            false => t!(
                "sheet.h_steps",
                steps = steps.join(", "),
                unit = analyte.unit()
            ),
        };
        html! {
            fieldset.sheet-row {
                (self.legend(row))
                p.hint { (capital(&hint)) }
                (self.boxes(n, row, Typed::Text))
                div.sheet-cells {
                    (self.own(Some(n)))
                    (self.field(Some(n), Part::Minutes, &html! { (t!("sheet.f_minutes")) }, Typed::Number, "min"))
                }
            }
        }
    }

    fn look(&self, n: usize, row: &Row) -> Markup {
        let What::Look { scale, .. } = &row.what else {
            return html! {};
        };
        let hint = match scale {
            Scale::Score { most, .. } => t!("sheet.h_score", most = most),
            Scale::Number { unit } => t!("sheet.h_length", unit = unit),
        };
        let parts = [Part::Day, Part::Time, Part::Who].map(|p| name(Some(n), p));
        let open = parts
            .iter()
            .any(|f| !self.typed(f).is_empty() || self.state.errors.of(f).is_some());
        html! {
            fieldset.sheet-row {
                (self.legend(row))
                p.hint { (hint) }
                (self.boxes(n, row, Typed::Number))
                details.disclosure open[open] {
                    summary { (t!("sheet.own_day")) }
                    div.disclosure-body { div.sheet-cells { (self.own(Some(n))) } }
                }
            }
        }
    }

    fn line(&self, n: usize, row: &Row) -> Markup {
        let part = Part::Value(0);
        let label = label(&self.page.bench, row, part);
        html! {
            div.sheet-row role="group" aria-label=(label) {
                (self.field(Some(n), part, &html! { (label) }, Typed::Text, ""))
                div.sheet-cells {
                    (self.own(Some(n)))
                    (self.field(Some(n), Part::Minutes, &html! { (t!("sheet.f_minutes")) }, Typed::Number, "min"))
                }
            }
        }
    }
}
