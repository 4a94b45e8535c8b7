//! Why a question has no answer at all; everything weaker is a finding.

use store::StoreError;

/// A question that cannot be answered.
#[derive(Debug, thiserror::Error)]
pub enum AnswerError {
    /// The notebook could not be read or written.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// Nothing of that kind and id.
    #[error("there is no {what} {id} in this notebook")]
    NotFound {
        /// What was looked for.
        what: &'static str,
        /// As it was asked for.
        id: String,
    },
    /// The entry or record breaks the rules; each problem names its field.
    #[error("{}", problems.iter().map(ToString::to_string).collect::<Vec<_>>().join(" "))]
    Refused {
        /// What is wrong, field by field.
        problems: Vec<trial::rules::Problem>,
    },
    /// A jot that was not understood.
    #[error(transparent)]
    Jot(#[from] Box<trial::jot::JotError>),
}
