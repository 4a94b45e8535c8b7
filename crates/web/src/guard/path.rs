//! Addresses that no page of ours has are refused before anything looks at them.

use axum::http::Uri;

use crate::error::{ErrorKind, WebError};

/// Longest path and query, in bytes; a jot being typed travels in a query.
const LONGEST: usize = 4096;

pub(super) fn check(uri: &Uri) -> Result<(), WebError> {
    let length = uri.path_and_query().map_or(0, |both| both.as_str().len());
    if length > LONGEST {
        return Err(WebError::of(ErrorKind::TooLong));
    }
    let plain = decode(uri.path().as_bytes()).ok_or_else(|| {
        bad("The address has a % that is not followed by two hexadecimal digits.")
    })?;
    let text = std::str::from_utf8(&plain).map_err(|_| bad("The address is not UTF-8 text."))?;
    if text.chars().any(|c| c.is_control() || c == '\\') {
        return Err(bad(
            "The address holds a character no address of these pages has.",
        ));
    }
    // Decoded twice: `%252e` must not become a dot further down.
    let twice = decode(text.as_bytes()).unwrap_or_else(|| text.as_bytes().to_vec());
    let climbs = |path: &[u8]| {
        path.split(|&b| b == b'/')
            .any(|part| part == b".." || part == b".")
    };
    if climbs(text.as_bytes()) || climbs(&twice) {
        return Err(bad("The address climbs out of its folder."));
    }
    Ok(())
}

fn bad(sentence: &str) -> WebError {
    WebError::bad_input(sentence)
}

/// Percent-decoding; `None` for a broken escape.
fn decode(path: &[u8]) -> Option<Vec<u8>> {
    let mut plain = Vec::with_capacity(path.len());
    let mut rest = path.iter();
    while let Some(&byte) = rest.next() {
        if byte == b'%' {
            let high = char::from(*rest.next()?).to_digit(16)?;
            let low = char::from(*rest.next()?).to_digit(16)?;
            plain.push(u8::try_from(high * 16 + low).ok()?);
        } else {
            plain.push(byte);
        }
    }
    Some(plain)
}
