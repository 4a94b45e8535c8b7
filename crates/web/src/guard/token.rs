//! The form token: a cookie and a form field that only our own pages can put together.
//!
//! Both are drawn at start-up. The cookie is `SameSite=Strict`, so a foreign page's form comes
//! without it; the field is in our pages, which a foreign page cannot read. One pair serves the
//! whole run, so forms open in several windows stay good.

use axum::body::{Body, Bytes, to_bytes};
use axum::extract::Request;
use axum::http::{HeaderMap, HeaderValue, header};
use axum::response::Response;

use super::origin::header_text;
use super::stale;
use crate::error::{ErrorKind, WebError};

/// Name of the hidden field, and of the query parameter on forms that send files.
pub const TOKEN_FIELD: &str = "form_token";
/// Name of the header a script may use instead.
pub const TOKEN_HEADER: &str = "x-form-token";

const URLENCODED: &str = "application/x-www-form-urlencoded";
const MULTIPART: &str = "multipart/form-data";

/// What this process draws at start-up.
pub struct Secrets {
    cookie_name: String,
    cookie: String,
    set_cookie: HeaderValue,
    token: String,
}

impl std::fmt::Debug for Secrets {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Secrets")
    }
}

impl Secrets {
    pub(crate) fn draw(port: u16) -> Result<Self, getrandom::Error> {
        // Cookies do not know ports: two notebooks open at once need two names.
        let cookie_name = format!("fairtank_{port}");
        let cookie = random_hex()?;
        let text = format!("{cookie_name}={cookie}; Path=/; HttpOnly; SameSite=Strict");
        #[allow(clippy::expect_used)] // letters, digits, spaces and "=;/_" only
        let set_cookie = HeaderValue::from_str(&text).expect("a cookie of plain characters");
        Ok(Self {
            cookie_name,
            cookie,
            set_cookie,
            token: random_hex()?,
        })
    }

    pub(crate) fn token(&self) -> &str {
        &self.token
    }

    pub(super) fn set_cookie(&self) -> &HeaderValue {
        &self.set_cookie
    }

    fn has_cookie(&self, request: &Request) -> bool {
        cookies(request.headers(), &self.cookie_name).any(|value| same(value, &self.cookie))
    }
}

/// The values sent for a cookie: a browser may hold several of one name, for several paths.
fn cookies<'a>(headers: &'a HeaderMap, name: &'a str) -> impl Iterator<Item = &'a str> {
    headers
        .get_all(header::COOKIE)
        .iter()
        .filter_map(|line| line.to_str().ok())
        .flat_map(|line| line.split(';'))
        .filter_map(|pair| pair.trim().split_once('='))
        .filter_map(move |(sent, value)| (sent == name).then_some(value))
}

/// The first value sent for a cookie.
pub(crate) fn cookie_in<'a>(headers: &'a HeaderMap, name: &'a str) -> Option<&'a str> {
    cookies(headers, name).next()
}

pub(crate) fn random_hex() -> Result<String, getrandom::Error> {
    let mut bytes = [0u8; 32];
    getrandom::fill(&mut bytes)?;
    Ok(bytes.iter().map(|byte| format!("{byte:02x}")).collect())
}

/// Equality whose time does not tell where two texts part.
pub(crate) fn same(a: &str, b: &str) -> bool {
    a.len() == b.len()
        && a.bytes()
            .zip(b.bytes())
            .fold(0, |acc, (x, y)| acc | (x ^ y))
            == 0
}

/// What came of the check.
pub(super) enum Checked {
    /// A form of this run: the request with its body as it was.
    Ours(Request),
    /// A form of another run: the page that gives back what was typed.
    Stale(Response),
}

/// Looks for the token in the header, in the query, then in the form itself.
pub(super) async fn check(
    request: Request,
    secrets: &Secrets,
    form_limit: usize,
) -> Result<Checked, WebError> {
    let has_cookie = secrets.has_cookie(&request);
    let kind = header_text(&request, "content-type")
        .unwrap_or_default()
        .to_ascii_lowercase();
    let kind = kind.split(';').next().unwrap_or_default().trim().to_owned();
    let early = header_text(&request, TOKEN_HEADER)
        .map(str::to_owned)
        .or_else(|| first(request.uri().query().unwrap_or_default().as_bytes()));
    let ours = |token: Option<String>| {
        has_cookie && token.is_some_and(|token| same(&token, &secrets.token))
    };
    if kind == URLENCODED {
        let (head, body) = request.into_parts();
        let body: Bytes = to_bytes(body, form_limit)
            .await
            .map_err(|_| WebError::of(ErrorKind::TooLarge))?;
        if ours(early.or_else(|| first(&body))) {
            return Ok(Checked::Ours(Request::from_parts(head, Body::from(body))));
        }
        let page = stale::page_of(&head.uri, &head.headers, &body, &secrets.token);
        return Ok(Checked::Stale(page));
    }
    if kind == MULTIPART {
        // Read by the page itself, part by part: its token must come ahead of the body.
        return if ours(early) {
            Ok(Checked::Ours(request))
        } else {
            Err(stale::refusal())
        };
    }
    if has_cookie {
        Err(WebError::of(ErrorKind::WrongType))
    } else {
        Err(stale::refusal())
    }
}

fn first(encoded: &[u8]) -> Option<String> {
    form_urlencoded::parse(encoded)
        .find(|(name, _)| name == TOKEN_FIELD)
        .map(|(_, value)| value.into_owned())
}
