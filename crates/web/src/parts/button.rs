//! Buttons, and links that look like one.

use maud::{Markup, Render, html};

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Look {
    Plain,
    Primary,
    Quiet,
    Danger,
}

impl Look {
    fn class(self) -> &'static str {
        match self {
            Self::Plain => "button",
            Self::Primary => "button button-primary",
            Self::Quiet => "button button-quiet",
            Self::Danger => "button button-danger",
        }
    }
}

/// A button that sends its form: `Button::new("Save the reading").primary()`.
#[derive(Debug, Clone, Copy)]
pub struct Button<'a> {
    label: &'a str,
    look: Look,
    sends: Option<(&'a str, &'a str)>,
    confirm: Option<&'a str>,
}

impl<'a> Button<'a> {
    /// A plain button.
    #[must_use]
    pub fn new(label: &'a str) -> Self {
        Self {
            label,
            look: Look::Plain,
            sends: None,
            confirm: None,
        }
    }

    /// The one main action of a form.
    #[must_use]
    pub fn primary(self) -> Self {
        Self {
            look: Look::Primary,
            ..self
        }
    }

    /// An action that should not draw the eye.
    #[must_use]
    pub fn quiet(self) -> Self {
        Self {
            look: Look::Quiet,
            ..self
        }
    }

    /// An action that cannot be taken back easily.
    #[must_use]
    pub fn danger(self) -> Self {
        Self {
            look: Look::Danger,
            ..self
        }
    }

    /// Sent with the form when this button was the one pressed.
    #[must_use]
    pub fn sends(self, name: &'a str, value: &'a str) -> Self {
        Self {
            sends: Some((name, value)),
            ..self
        }
    }

    /// A question asked first where scripts run; the page must not rely on it.
    #[must_use]
    pub fn confirm(self, question: &'a str) -> Self {
        Self {
            confirm: Some(question),
            ..self
        }
    }
}

impl Render for Button<'_> {
    fn render(&self) -> Markup {
        let name = self.sends.map(|(name, _)| name);
        let value = self.sends.map(|(_, value)| value);
        html! {
            button class=(self.look.class()) type="submit" name=[name] value=[value]
                data-confirm=[self.confirm] { (self.label) }
        }
    }
}

/// A link drawn as a plain button.
pub fn link_button(href: &str, label: &str) -> Markup {
    html! { a class=(Look::Plain.class()) href=(href) { (label) } }
}

/// A link drawn as the main action.
pub fn primary_link(href: &str, label: &str) -> Markup {
    html! { a class=(Look::Primary.class()) href=(href) { (label) } }
}

/// A row of buttons.
pub fn actions(buttons: &Markup) -> Markup {
    html! { div.actions { (buttons) } }
}
