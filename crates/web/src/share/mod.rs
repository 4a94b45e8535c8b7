//! Sharing on the home network: a phone logs, and does nothing else.
//!
//! Two sets of pages are served: the notebook's own on the loopback interface, and on the home
//! network's address only those a phone may use ([`crate::router::shared`]); what is not in that
//! map cannot be reached from outside, whatever a request says. A phone is let in by a code shown
//! on the computer, good once and for five minutes; from then on it is known by a cookie, until it
//! is shut out on the computer.

pub mod limit;
pub mod pairing;
pub(crate) mod session;

use std::net::{IpAddr, SocketAddr, UdpSocket};
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

use axum::extract::{Request, State};
use axum::http::{HeaderValue, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use text::t;

use self::limit::{CODES, Limiter, PAGES};
use self::pairing::{NotTaken, Pairing};
use crate::app::App;
use crate::error::{ErrorKind, WebError};

pub use session::PAIR;

/// What both sets of pages know of the sharing.
#[derive(Debug)]
pub struct Share {
    address: SocketAddr,
    pairing: Mutex<Pairing>,
    pages: Mutex<Limiter>,
    codes: Mutex<Limiter>,
}

impl Share {
    /// Sharing at this address; nobody is let in yet.
    #[must_use]
    pub fn at(address: SocketAddr) -> Self {
        Self {
            address,
            pairing: Mutex::new(Pairing::default()),
            pages: Mutex::new(Limiter::new(PAGES)),
            codes: Mutex::new(Limiter::new(CODES)),
        }
    }

    /// Where phones find the pages.
    #[must_use]
    pub fn address(&self) -> SocketAddr {
        self.address
    }

    /// Puts a new code on show.
    ///
    /// # Errors
    /// When the operating system has no random bytes to give.
    pub fn offer(&self) -> Result<(), getrandom::Error> {
        let digits = pairing::draw_digits()?;
        locked(&self.pairing).offer(digits, Instant::now());
        Ok(())
    }

    /// Takes the code from show.
    pub fn withdraw(&self) {
        locked(&self.pairing).withdraw();
    }

    /// The code on show, and how long it is still good for.
    #[must_use]
    pub fn on_show(&self) -> Option<(String, Duration)> {
        let pairing = locked(&self.pairing);
        let (code, left) = pairing.on_show(Instant::now())?;
        Some((code.to_owned(), left))
    }

    /// Uses up the code on show.
    ///
    /// # Errors
    /// When it is another one, or this address has tried too often.
    pub fn take(&self, from: IpAddr, code: &str) -> Result<(), Refusal> {
        let now = Instant::now();
        locked(&self.codes).take(from, now).map_err(Refusal::Wait)?;
        let taken = locked(&self.pairing).take(code, now);
        taken.map_err(Refusal::NotTaken)
    }
}

/// Why a device was not let in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Refusal {
    /// The code was not taken.
    NotTaken(NotTaken),
    /// Too many tries; the next one may come after this time.
    Wait(Duration),
}

/// A panic elsewhere leaves counters and codes usable.
fn locked<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

/// The address a request came from, put there by the server.
#[derive(Debug, Clone, Copy)]
pub struct Remote(pub IpAddr);

impl Remote {
    /// Of a request that came over the network; in tests that call pages directly it is nowhere.
    pub(crate) fn of(extensions: &axum::http::Extensions) -> IpAddr {
        let nowhere = IpAddr::from([0, 0, 0, 0]);
        extensions
            .get::<Remote>()
            .map_or(nowhere, |remote| remote.0)
    }
}

/// Holds back an address that asks too often.
pub(crate) async fn hold_back(
    State(app): State<App>,
    request: Request,
    next: Next,
) -> Result<Response, WebError> {
    if let Some(share) = app.share() {
        let from = Remote::of(request.extensions());
        let taken = locked(&share.pages).take(from, Instant::now());
        if let Err(wait) = taken {
            return Ok(too_often(wait));
        }
    }
    Ok(next.run(request).await)
}

/// 429 with the time to wait.
pub(crate) fn too_often(wait: Duration) -> Response {
    let seconds = wait.as_secs() + 1;
    let error = WebError::new(ErrorKind::TooOften, t!("share.too_often", n = seconds));
    let mut response = error.into_response();
    debug_assert_eq!(response.status(), StatusCode::TOO_MANY_REQUESTS);
    let after = HeaderValue::from(seconds);
    response.headers_mut().insert(header::RETRY_AFTER, after);
    response
}

/// The address under which other devices at home reach this computer: the one it would send from.
/// Asking for it sends nothing.
#[must_use]
pub fn home_address() -> Option<IpAddr> {
    // RFC 5737: an address that is nobody's.
    let nobody = SocketAddr::from(([192, 0, 2, 1], 9));
    let socket = UdpSocket::bind(("0.0.0.0", 0)).ok()?;
    socket.connect(nobody).ok()?;
    let address = socket.local_addr().ok()?.ip();
    (!address.is_loopback() && !address.is_unspecified()).then_some(address)
}
