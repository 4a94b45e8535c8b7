//! Whether a request was meant for this machine and came from one of our own pages.

use axum::extract::Request;
use axum::http::header;

use crate::error::{ErrorKind, WebError};

/// The value of a header that occurs once and is plain text.
pub(super) fn header_text<'a>(request: &'a Request, name: &str) -> Option<&'a str> {
    let mut all = request.headers().get_all(name).iter();
    match (all.next(), all.next()) {
        (Some(value), None) => value.to_str().ok(),
        _ => None,
    }
}

/// Host names of the loopback interface; any other name that resolves to this machine could be a
/// foreign page reaching in through its own name (DNS rebinding).
fn is_ours(authority: &str, port: u16) -> bool {
    let (name, given) = match authority.rsplit_once(':') {
        Some((name, digits)) if !digits.ends_with(']') => (name, digits.parse().ok()),
        // Browsers leave out the port only when it is the usual one.
        _ => (authority, Some(80)),
    };
    given == Some(port)
        && (name == "127.0.0.1" || name == "[::1]" || name.eq_ignore_ascii_case("localhost"))
}

pub(super) fn check_host(request: &Request, port: u16) -> Result<(), WebError> {
    if !request.headers().contains_key(header::HOST) {
        return Err(WebError::bad_input(
            "The request names no host; open these pages under 127.0.0.1, localhost or [::1].",
        ));
    }
    let host_ok = header_text(request, "host").is_some_and(|host| is_ours(host, port));
    // A request line may carry a whole address, which then counts over the header.
    let line_ok = request
        .uri()
        .authority()
        .is_none_or(|given| is_ours(given.as_str(), port));
    if host_ok && line_ok {
        Ok(())
    } else {
        Err(WebError::of(ErrorKind::WrongHost))
    }
}

/// Another site may link to a page, but not load one into itself as picture, script or frame.
pub(super) fn check_read(request: &Request) -> Result<(), WebError> {
    let from = header_text(request, "sec-fetch-site").unwrap_or("none");
    if matches!(from, "none" | "same-origin") {
        return Ok(());
    }
    let opens_page = header_text(request, "sec-fetch-mode") == Some("navigate")
        && header_text(request, "sec-fetch-dest") == Some("document");
    if opens_page {
        Ok(())
    } else {
        Err(refused("This was asked for by another site."))
    }
}

/// Other ports of this machine are "same-site" to a browser, yet not ours.
pub(super) fn check_write(request: &Request, port: u16) -> Result<(), WebError> {
    let from = header_text(request, "sec-fetch-site");
    if request.headers().contains_key("sec-fetch-site")
        && !matches!(from, Some("none" | "same-origin"))
    {
        return Err(refused(
            "This form was sent by another site, so nothing was saved.",
        ));
    }
    if !request.headers().contains_key(header::ORIGIN) {
        return Ok(());
    }
    let ours = header_text(request, "origin")
        .and_then(|origin| origin.strip_prefix("http://"))
        .is_some_and(|authority| is_ours(authority, port));
    if ours {
        Ok(())
    } else {
        Err(refused(
            "This form was sent from another address, so nothing was saved.",
        ))
    }
}

fn refused(sentence: &str) -> WebError {
    WebError::new(ErrorKind::Refused, sentence)
}

#[cfg(test)]
mod tests {
    use super::is_ours;

    #[test]
    fn only_loopback_names_with_our_port() {
        for good in [
            "127.0.0.1:8080",
            "localhost:8080",
            "LOCALHOST:8080",
            "[::1]:8080",
        ] {
            assert!(is_ours(good, 8080), "{good}");
        }
        for bad in [
            "",
            "localhost",
            "127.0.0.1",
            "[::1]",
            "localhost:8081",
            "localhost:80800",
            "localhost:",
            "evil.example:8080",
            "127.0.0.1.evil.example:8080",
            "127.0.0.2:8080",
            "localhost.:8080",
            "0.0.0.0:8080",
            "::1:8080",
            "[::1]x:8080",
            "user@localhost:8080",
            " localhost:8080",
            "localhost:8080 ",
            "localhost:8080:8080",
        ] {
            assert!(!is_ours(bad, 8080), "{bad}");
        }
        assert!(is_ours("localhost", 80) && is_ours("[::1]", 80));
    }
}
