//! Whether a request was meant for this machine and came from one of our own pages.

use std::net::{IpAddr, SocketAddr};

use axum::extract::Request;
use axum::http::header;

use crate::app::{Config, Reach};
use crate::error::{ErrorKind, WebError};

/// The value of a header that occurs once and is plain text.
pub(super) fn header_text<'a>(request: &'a Request, name: &str) -> Option<&'a str> {
    let mut all = request.headers().get_all(name).iter();
    match (all.next(), all.next()) {
        (Some(value), None) => value.to_str().ok(),
        _ => None,
    }
}

/// The loopback interface's names, or the one address that is shared at home; any other name that
/// resolves to this machine could be a foreign page reaching in through its own name (DNS
/// rebinding).
fn is_ours(authority: &str, port: u16, reach: Reach) -> bool {
    let (name, given) = match authority.rsplit_once(':') {
        Some((name, digits)) if !digits.ends_with(']') => (name, digits.parse().ok()),
        // Browsers leave out the port only when it is the usual one.
        _ => (authority, Some(80)),
    };
    given == Some(port)
        && match reach {
            Reach::ThisMachine => {
                name == "127.0.0.1" || name == "[::1]" || name.eq_ignore_ascii_case("localhost")
            }
            Reach::Home(IpAddr::V4(address)) => name.parse() == Ok(address),
            Reach::Home(IpAddr::V6(address)) => name
                .strip_prefix('[')
                .and_then(|rest| rest.strip_suffix(']'))
                .is_some_and(|inner| inner.parse() == Ok(address)),
        }
}

pub(super) fn check_host(request: &Request, config: &Config) -> Result<(), WebError> {
    let ours = |authority: &str| is_ours(authority, config.port, config.reach);
    if !request.headers().contains_key(header::HOST) {
        return Err(WebError::bad_input(
            "The request names no host; open these pages under the address Fairtank printed.",
        ));
    }
    let host_ok = header_text(request, "host").is_some_and(ours);
    // A request line may carry a whole address, which then counts over the header.
    let line_ok = request
        .uri()
        .authority()
        .is_none_or(|given| ours(given.as_str()));
    match (host_ok && line_ok, config.reach) {
        (true, _) => Ok(()),
        (false, Reach::ThisMachine) => Err(WebError::of(ErrorKind::WrongHost)),
        (false, Reach::Home(address)) => {
            let address = SocketAddr::new(address, config.port);
            let said = text::t!("share.wrong_host", address = address);
            Err(WebError::new(ErrorKind::WrongHost, said))
        }
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
pub(super) fn check_write(request: &Request, config: &Config) -> Result<(), WebError> {
    let from = header_text(request, "sec-fetch-site");
    if request.headers().contains_key("sec-fetch-site")
        && !matches!(from, Some("none" | "same-origin"))
    {
        return Err(refused(
            "This form was sent by another site, so nothing was saved.",
        ));
    }
    if !request.headers().contains_key(header::ORIGIN) {
        // Programs on this machine send none; on the home network only browsers are expected,
        // and those always say where a form stood.
        return match config.reach {
            Reach::ThisMachine => Ok(()),
            Reach::Home(_) => Err(refused(
                "The form did not say which page it stood on, so nothing was saved.",
            )),
        };
    }
    let ours = header_text(request, "origin")
        .and_then(|origin| origin.strip_prefix("http://"))
        .is_some_and(|authority| is_ours(authority, config.port, config.reach));
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
    use crate::app::Reach;
    use std::net::IpAddr;

    #[test]
    fn only_loopback_names_with_our_port() {
        for good in [
            "127.0.0.1:8080",
            "localhost:8080",
            "LOCALHOST:8080",
            "[::1]:8080",
        ] {
            assert!(is_ours(good, 8080, Reach::ThisMachine), "{good}");
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
            assert!(!is_ours(bad, 8080, Reach::ThisMachine), "{bad}");
        }
        let bare = |name| is_ours(name, 80, Reach::ThisMachine);
        assert!(bare("localhost") && bare("[::1]"));
    }

    #[test]
    fn at_home_only_the_shared_address() {
        let four = Reach::Home(IpAddr::from([192, 0, 2, 7]));
        assert!(is_ours("192.0.2.7:7441", 7441, four));
        for bad in [
            "192.0.2.7",
            "192.0.2.8:7441",
            "192.0.2.7:7440",
            "192.0.2.07:7441",
            "127.0.0.1:7441",
            "localhost:7441",
            "tank.example:7441",
            "192.0.2.7.example:7441",
        ] {
            assert!(!is_ours(bad, 7441, four), "{bad}");
        }
        let six = Reach::Home("2001:db8::7".parse().unwrap());
        assert!(is_ours("[2001:db8::7]:7441", 7441, six));
        assert!(!is_ours("[2001:db8::8]:7441", 7441, six));
        assert!(!is_ours("2001:db8::7:7441", 7441, six));
    }
}
