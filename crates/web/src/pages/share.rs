//! The computer's side of sharing: the code on show, and the devices that were let in.

use std::time::Duration;

use axum::extract::{Path, RawQuery, State};
use axum::response::{IntoResponse, Redirect, Response};
use jiff::Timestamp;
use maud::{Markup, html};
use store::Device;
use text::t;
use trial::DeviceId;

use crate::app::App;
use crate::error::{ErrorKind, WebError};
use crate::form_data::FormData;
use crate::parts::button::Button;
use crate::parts::empty::empty;
use crate::parts::form::form;
use crate::parts::notice;
use crate::parts::qr::qr;
use crate::parts::shell::{PageHead, page};
use crate::share::{PAIR, Share};

const HERE: &str = "/share";
/// Seconds after which the page looks whether the phone is in.
const LOOK: u32 = 5;

/// `/share`.
///
/// # Errors
/// When the notebook cannot be read.
pub async fn show(State(app): State<App>, RawQuery(query): RawQuery) -> Result<Markup, WebError> {
    let asked = FormData::parse(query.unwrap_or_default().as_bytes())?;
    let devices = app.notebook().devices()?;
    let named = |key: &str| {
        let id: DeviceId = asked.one(key)?.parse().ok()?;
        devices.iter().find(|d| d.id == id)
    };
    let code = app.share().and_then(Share::on_show);
    let newest = devices.first().filter(|d| d.revoked.is_none());
    let body = html! {
        @if let Some(gone) = named("revoked").filter(|d| d.revoked.is_some()) {
            (notice::done(&t!("share.revoked", name = gone.name), None))
        }
        @if let Some(new) = newest.filter(|d| code.is_none() && is_new(d)) {
            (notice::done(&t!("share.let_in", name = new.name), None))
        }
        @match app.share() {
            None => (off()),
            Some(share) => (on(&app, share, code.as_ref())),
        }
        section.section {
            h2 { (t!("share.devices")) }
            (listed(&app, &devices))
        }
    };
    let head = PageHead {
        title: t!("share.title"),
        lead: Some(t!("share.lead")),
        again_in: code.is_some().then_some(LOOK),
        ..PageHead::default()
    };
    Ok(page(&head, body))
}

/// Whether a device came in just now.
fn is_new(device: &Device) -> bool {
    Timestamp::now().duration_since(device.paired).as_secs() < 60
}

fn warning() -> Markup {
    notice::caution(t!("share.warn_title"), &html! { p { (t!("share.warn")) } })
}

fn off() -> Markup {
    html! {
        p { (t!("share.off")) }
        pre { "fairtank open --share" }
        p { (t!("share.off_how")) }
        (warning())
    }
}

fn on(app: &App, share: &Share, code: Option<&(String, Duration)>) -> Markup {
    let address = format!("http://{}", share.address());
    html! {
        p { (t!("share.address")) " " strong { (address) } }
        section.section {
            h2 { (t!("share.step_code")) }
            p { (t!("share.step_how")) }
            @if let Some((digits, left)) = code { (shown(&address, digits, *left)) }
            div.actions {
                (form("/share/code", app.token(), &html! {
                    @if code.is_some() { (Button::new(t!("share.show_other"))) }
                    @else { (Button::new(t!("share.show")).primary()) }
                }))
                @if code.is_some() {
                    (form("/share/hide", app.token(), &html! { (Button::new(t!("share.hide")).quiet()) }))
                }
            }
        }
        (warning())
    }
}

fn shown(address: &str, digits: &str, left: Duration) -> Markup {
    let (first, second) = digits.split_at(digits.len() / 2);
    let with_code = format!("{address}{PAIR}?code={digits}");
    let left = left.as_secs();
    let time = format!("{}:{:02}", left / 60, left % 60);
    html! {
        div.pairing {
            div {
                p.pairing-code aria-label=(t!("share.code")) { (first) " " (second) }
                p { (t!("share.good_for", time = time)) }
                p.muted { (t!("share.scan")) " " (t!("share.waiting")) }
            }
            (qr(&with_code, t!("share.qr")))
        }
    }
}

fn listed(app: &App, devices: &[Device]) -> Markup {
    if devices.is_empty() {
        return empty(t!("share.none"), t!("share.step_how"), &html! {});
    }
    html! {
        ul.entries {
            @for device in devices {
                li.entry {
                    p {
                        strong { (device.name) } " "
                        span.muted {
                            @if device.who.is_empty() { (t!("share.nobody")) } @else { (device.who) }
                            ", "
                            @match device.revoked {
                                None => (t!("share.may_log")),
                                Some(since) => (t!("share.shut", day = day(since))),
                            }
                        }
                    }
                    p.muted.small {
                        (t!("share.paired")) " " (day(device.paired)) "; "
                        (t!("share.seen")) " " (day(device.seen)) "."
                    }
                    @if device.revoked.is_none() {
                        div.actions {
                            (form(&format!("/share/devices/{}/revoke", device.id), app.token(), &html! {
                                (Button::new(t!("share.revoke")))
                            }))
                        }
                    }
                }
            }
        }
    }
}

/// A moment as this computer's clock shows it.
fn day(at: Timestamp) -> String {
    let local = at.to_zoned_datetime(jiff::tz::TimeZone::system());
    local.strftime("%Y-%m-%d %H:%M").to_string()
}

/// Puts a code on show.
///
/// # Errors
/// When nothing is shared.
pub async fn code(State(app): State<App>) -> Result<Response, WebError> {
    sharing(&app)?.offer().map_err(|e| WebError::internal(&e))?;
    Ok(Redirect::to(HERE).into_response())
}

/// Takes the code from show.
///
/// # Errors
/// When nothing is shared.
pub async fn hide(State(app): State<App>) -> Result<Response, WebError> {
    sharing(&app)?.withdraw();
    Ok(Redirect::to(HERE).into_response())
}

fn sharing(app: &App) -> Result<&Share, WebError> {
    app.share().ok_or_else(|| WebError::of(ErrorKind::NotFound))
}

/// Shuts a device out.
///
/// # Errors
/// When there is no such device, or the notebook cannot be written.
pub async fn revoke(
    State(app): State<App>,
    Path(device): Path<String>,
) -> Result<Response, WebError> {
    let unknown = || WebError::not_found(t!("share.unknown_device")).back_to(HERE, t!("share.nav"));
    let id: DeviceId = device.parse().map_err(|_| unknown())?;
    let devices = app.notebook().devices()?;
    let known = devices.iter().any(|d| d.id == id);
    known.then_some(()).ok_or_else(unknown)?;
    app.notebook().revoke_device(id, Timestamp::now())?;
    Ok(Redirect::to(&format!("{HERE}?revoked={id}")).into_response())
}
