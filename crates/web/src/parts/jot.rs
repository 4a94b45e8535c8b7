//! The box for one-line entries.

use maud::{Markup, html};

use super::button::Button;
use super::form::form;

/// A jot box.
#[derive(Debug, Clone, Copy)]
pub struct Jot<'a> {
    /// Where the line is sent (POST, field `line`).
    pub action: &'a str,
    /// Where the line is read back as plain text while typing (GET, query `line`).
    pub read_url: &'a str,
    /// The form token.
    pub token: &'a str,
    /// The line as typed so far.
    pub line: &'a str,
    /// What was understood or refused, as plain lines; the caret sits under its word.
    pub reading: &'a str,
    /// Whether `reading` is a refusal.
    pub refused: bool,
}

/// Draws the box. Without scripts the line is read when it is sent.
pub fn jot(jot: &Jot<'_>) -> Markup {
    let field = html! {
        div.field.field-wrong[jot.refused] {
            label for="f-line" { "Jot" }
            p.hint id="f-line-hint" { "One line, one entry; without a tank it goes to every tank. " i { "Such as: change 40%" } }
            div.jot-row {
                input.jot-line id="f-line" name="line" type="text" value=(jot.line) maxlength="400"
                    autocomplete="off" autocapitalize="off" spellcheck="false" enterkeyhint="send"
                    aria-describedby="f-line-hint f-line-reading"
                    aria-invalid=[jot.refused.then_some("true")]
                    data-jot data-jot-url=(jot.read_url) data-jot-out="f-line-reading";
                (Button::new("Log").primary())
            }
            pre.jot-reading id="f-line-reading" role="status" { (jot.reading) }
        }
    };
    form(jot.action, jot.token, &field)
}
