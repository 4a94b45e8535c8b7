//! Exit codes: 0 done, 2 unusable input, 1 anything else.

use answers::AnswerError;
use store::StoreError;
use store::export::PackageError;
use store::import::ImportFailed;

/// Unusable input.
pub(crate) const UNUSABLE: u8 = 2;
/// Anything else.
const OTHER: u8 = 1;

/// Input that cannot be used; its text names what is accepted.
#[derive(Debug, thiserror::Error)]
#[error("{0}")]
pub(crate) struct Unusable(pub(crate) String);

/// The exit code of an error.
pub(crate) fn code(error: &anyhow::Error) -> u8 {
    let unusable = error.is::<Unusable>()
        || error
            .downcast_ref::<StoreError>()
            .is_some_and(StoreError::is_input)
        || error.downcast_ref::<PackageError>().is_some_and(package)
        || error
            .downcast_ref::<ImportFailed>()
            .is_some_and(|e| match e {
                ImportFailed::Table(_) => true,
                ImportFailed::Store(e) => e.is_input(),
                ImportFailed::Cancelled(_) => false,
            })
        || error
            .downcast_ref::<AnswerError>()
            .is_some_and(|e| match e {
                AnswerError::Store(e) => e.is_input(),
                _ => true,
            });
    if unusable { UNUSABLE } else { OTHER }
}

fn package(error: &PackageError) -> bool {
    match error {
        PackageError::Store(e) => e.is_input(),
        PackageError::Write(_) | PackageError::Cancelled(_) => false,
        _ => true,
    }
}
