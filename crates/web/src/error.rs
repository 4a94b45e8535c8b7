//! What a page says when it cannot do what was asked: one sentence and a way back.

use std::error::Error;

use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use maud::{Markup, html};

use crate::parts::button::link_button;
use crate::parts::shell::{PageHead, page};

/// The kinds of refusal; each has its own heading and status.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ErrorKind {
    /// Nothing is kept under this address.
    NotFound,
    /// What was sent cannot be used as it is.
    BadInput,
    /// It fits no longer with what the notebook holds by now.
    Conflict,
    /// The request did not come from one of our own pages.
    Refused,
    /// The request was meant for another machine or name.
    WrongHost,
    /// The page does not take this kind of request.
    NotAllowed,
    /// More bytes than this page takes.
    TooLarge,
    /// An address longer than we read.
    TooLong,
    /// A body in a form this page does not read.
    WrongType,
    /// The time for this request ran out.
    TooSlow,
    /// More requests than an address may send.
    TooOften,
    /// A fault of ours.
    Internal,
}

impl ErrorKind {
    /// The status the answer carries.
    #[must_use]
    pub fn status(self) -> StatusCode {
        match self {
            Self::NotFound => StatusCode::NOT_FOUND,
            Self::BadInput => StatusCode::BAD_REQUEST,
            Self::Conflict => StatusCode::CONFLICT,
            Self::Refused => StatusCode::FORBIDDEN,
            Self::WrongHost => StatusCode::MISDIRECTED_REQUEST,
            Self::NotAllowed => StatusCode::METHOD_NOT_ALLOWED,
            Self::TooLarge => StatusCode::PAYLOAD_TOO_LARGE,
            Self::TooLong => StatusCode::URI_TOO_LONG,
            Self::WrongType => StatusCode::UNSUPPORTED_MEDIA_TYPE,
            Self::TooSlow => StatusCode::REQUEST_TIMEOUT,
            Self::TooOften => StatusCode::TOO_MANY_REQUESTS,
            Self::Internal => StatusCode::INTERNAL_SERVER_ERROR,
        }
    }

    fn of_status(status: StatusCode) -> Self {
        match status.as_u16() {
            403 => Self::Refused,
            404 => Self::NotFound,
            405 => Self::NotAllowed,
            408 => Self::TooSlow,
            409 => Self::Conflict,
            413 => Self::TooLarge,
            414 => Self::TooLong,
            415 => Self::WrongType,
            421 => Self::WrongHost,
            429 => Self::TooOften,
            400..500 => Self::BadInput,
            _ => Self::Internal,
        }
    }

    fn heading(self) -> &'static str {
        match self {
            Self::NotFound => "Nothing here",
            Self::BadInput => "That could not be read",
            Self::Conflict => "This has changed meanwhile",
            Self::Refused => "Not accepted",
            Self::WrongHost => "Not the right address",
            Self::NotAllowed => "This page cannot do that",
            Self::TooLarge => "Too large",
            Self::TooLong => "Too long an address",
            Self::WrongType => "Not a form this page reads",
            Self::TooSlow => "That took too long",
            Self::TooOften => "Too often",
            Self::Internal => "Something went wrong here",
        }
    }

    fn usual_sentence(self) -> &'static str {
        match self {
            Self::NotFound => "No page of this notebook has that address.",
            Self::BadInput => "The request is not in a shape this page can use.",
            Self::Conflict => "The notebook has moved on since this page was opened.",
            Self::Refused => "Only forms opened from these pages are accepted.",
            Self::WrongHost => {
                "These pages are served to this machine only, under 127.0.0.1, localhost or [::1]."
            }
            Self::NotAllowed => "Pages are read with GET and forms are sent with POST.",
            Self::TooLarge => "More was sent than this page accepts, so nothing was saved.",
            Self::TooLong => "The address is longer than any address of these pages.",
            Self::WrongType => "This page reads web forms, and pictures where it asks for them.",
            Self::TooSlow => "The request was not finished in time and was given up.",
            Self::TooOften => {
                "More was asked for than one device may ask at a time; wait a little."
            }
            Self::Internal => {
                "Fairtank could not finish this; the window it was started from says more."
            }
        }
    }
}

/// An error that becomes a calm page.
///
/// Made with [`WebError::not_found`], [`WebError::bad_input`], [`WebError::conflict`],
/// [`WebError::internal`] or, with the usual sentence of its kind, [`WebError::of`].
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{sentence}")]
pub struct WebError {
    /// Decides status and heading.
    pub kind: ErrorKind,
    /// The one sentence that is shown.
    pub sentence: String,
    back: Option<(String, String)>,
}

impl WebError {
    /// An error of a kind with that kind's usual sentence.
    #[must_use]
    pub fn of(kind: ErrorKind) -> Self {
        Self::new(kind, kind.usual_sentence())
    }

    /// An error of a kind with a sentence of its own.
    #[must_use]
    pub fn new(kind: ErrorKind, sentence: impl Into<String>) -> Self {
        Self {
            kind,
            sentence: sentence.into(),
            back: None,
        }
    }

    /// 404: `sentence` says what was looked for.
    #[must_use]
    pub fn not_found(sentence: impl Into<String>) -> Self {
        Self::new(ErrorKind::NotFound, sentence)
    }

    /// 400: `sentence` names the field, its value and what is accepted.
    #[must_use]
    pub fn bad_input(sentence: impl Into<String>) -> Self {
        Self::new(ErrorKind::BadInput, sentence)
    }

    /// 409: `sentence` says what changed meanwhile.
    #[must_use]
    pub fn conflict(sentence: impl Into<String>) -> Self {
        Self::new(ErrorKind::Conflict, sentence)
    }

    /// 500: the cause goes to standard error and never into the page.
    #[must_use]
    pub fn internal(cause: &(dyn Error + 'static)) -> Self {
        let mut text = format!("internal error: {cause}");
        let mut next = cause.source();
        while let Some(inner) = next {
            text.push_str(&format!(": {inner}"));
            next = inner.source();
        }
        eprintln!("{text}");
        Self::of(ErrorKind::Internal)
    }

    /// The page to offer instead of the notebook's first page.
    #[must_use]
    pub fn back_to(mut self, href: impl Into<String>, label: impl Into<String>) -> Self {
        self.back = Some((href.into(), label.into()));
        self
    }

    pub(crate) fn of_status(status: StatusCode) -> Self {
        Self::of(ErrorKind::of_status(status))
    }

    fn markup(&self) -> Markup {
        let (href, label) = match &self.back {
            Some((href, label)) => (href.as_str(), label.as_str()),
            None => ("/", text::t!("shell.to_notebook")),
        };
        let title = self.kind.heading();
        page(
            &PageHead {
                title,
                lead: Some(&self.sentence),
                ..PageHead::default()
            },
            html! { p { (link_button(href, label)) } },
        )
    }
}

impl IntoResponse for WebError {
    fn into_response(self) -> Response {
        (self.kind.status(), self.markup()).into_response()
    }
}

impl From<store::StoreError> for WebError {
    fn from(error: store::StoreError) -> Self {
        if error.is_input() {
            Self::bad_input(error.to_string())
        } else {
            Self::internal(&error)
        }
    }
}

impl From<answers::AnswerError> for WebError {
    fn from(error: answers::AnswerError) -> Self {
        match error {
            answers::AnswerError::Store(error) => error.into(),
            answers::AnswerError::NotFound { .. } => Self::not_found(error.to_string()),
            answers::AnswerError::Refused { .. } | answers::AnswerError::Jot(_) => {
                Self::bad_input(error.to_string())
            }
        }
    }
}
