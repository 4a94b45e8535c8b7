//! The zone of a planting: read from text, drawn on its pane.

use maud::{Markup, html};
use quantity::Format;
use text::t;
use trial::TankId;
use uuid::Uuid;

use super::kit::Ink;
use super::reader::Reader;

const FIELD: &str = "zone_cm";

/// `0 0; 20 0; 20 6.5` as typed and shown.
pub(super) fn text(corners: &[[f64; 2]]) -> String {
    let plain = |v| Format::default().plain(v).replace('\u{2212}', "-");
    let corner = |[x, y]: &[f64; 2]| format!("{} {}", plain(*x), plain(*y));
    corners.iter().map(corner).collect::<Vec<_>>().join("; ")
}

/// The corners typed, `None` when some part is not two numbers.
fn parse(typed: &str) -> Option<Vec<[f64; 2]>> {
    let parts = typed
        .split(';')
        .map(str::trim)
        .filter(|part| !part.is_empty());
    parts.map(corner).collect()
}

fn corner(part: &str) -> Option<[f64; 2]> {
    let part = part.replace('\u{2212}', "-").replace(',', ".");
    let mut numbers = part.split_whitespace().map(|n| {
        let plain = n.bytes().all(|b| b.is_ascii_digit() || b"+-.".contains(&b));
        n.parse::<f64>().ok().filter(|_| plain)
    });
    match (numbers.next(), numbers.next(), numbers.next()) {
        (Some(Some(x)), Some(Some(y)), None) => Some([x, y]),
        _ => None,
    }
}

/// Reads the corners of the form.
pub(super) fn read(from: &mut Reader<'_>) -> Vec<[f64; 2]> {
    let corners = parse(from.typed(FIELD));
    match corners.filter(|c| c.is_empty() || c.len() >= 3) {
        Some(corners) => corners,
        None => {
            from.refuse(FIELD, t!("setup.accept_zone"));
            Vec::new()
        }
    }
}

/// The typed zone on the front pane of its tank; nothing while it cannot be read.
pub(super) fn preview(ink: &Ink<'_>) -> Markup {
    let typed = ink.state.data.one(FIELD).unwrap_or_default();
    let Some(corners) = parse(typed).filter(|c| c.len() >= 3) else {
        return html! {};
    };
    let chosen = ink
        .state
        .data
        .one("tank")
        .or_else(|| ink.state.data.one("tanks"));
    let chosen = chosen.and_then(|id| Uuid::parse_str(id).ok()).map(TankId);
    let tank = chosen
        .and_then(|id| ink.bench.tank(id))
        .or(ink.bench.tanks.first());
    let far = |axis: usize| corners.iter().map(|c| c[axis]).fold(1.0, f64::max);
    let length = tank.and_then(|t| t.length_cm);
    let height = tank.and_then(|t| t.height_cm.or(t.water_depth_cm));
    let size = (length.unwrap_or(far(0)), height.unwrap_or(far(1)));
    let known = length.is_some() && height.is_some();
    html! {
        figure.figure.zone-figure {
            (drawing(&corners, size))
            figcaption {
                @match tank.filter(|_| known) {
                    Some(tank) => { (t!("setup.zone_caption", tank = tank.name)) }
                    None => { (t!("setup.zone_caption_unknown")) }
                }
            }
        }
    }
}

/// In centimetres, with the y axis turned: panes are measured from the floor up.
fn drawing(corners: &[[f64; 2]], (width, height): (f64, f64)) -> Markup {
    let low = |axis: usize| corners.iter().map(|c| c[axis]).fold(0.0, f64::min);
    let high = |axis: usize, pane: f64| corners.iter().map(|c| c[axis]).fold(pane, f64::max);
    let (left, right) = (low(0), high(0, width));
    let (bottom, top) = (low(1), high(1, height));
    let edge = (right - left).max(top - bottom) * 0.02;
    let frame = [
        left - edge,
        -top - edge,
        right - left + 2.0 * edge,
        top - bottom + 2.0 * edge,
    ];
    let frame = frame.map(|v| Format::default().fixed(v, 2).replace('\u{2212}', "-"));
    let points: Vec<String> = corners.iter().map(|[x, y]| format!("{x},{}", -y)).collect();
    html! {
        svg.zone preserveAspectRatio="xMinYMid" viewBox=(frame.join(" ")) role="img" aria-label=(t!("setup.zone_drawn", n = corners.len())) {
            rect.zone-pane x="0" y=(-height) width=(width) height=(height) {}
            polygon.zone-shape points=(points.join(" ")) {}
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn corners_are_read_as_typed_and_shown_again() {
        let corners = vec![[0.0, 0.5], [20.0, 0.5], [20.0, 6.25]];
        assert_eq!(parse("0 0,5; 20 0.5;20  6.25;"), Some(corners.clone()));
        assert_eq!(parse(&text(&corners)), Some(corners));
        assert_eq!(parse("  "), Some(vec![]));
        for wrong in ["1", "1 2 3", "a b", "1 2; x", "1e2 3", "nan 1"] {
            assert_eq!(parse(wrong), None, "{wrong}");
        }
    }
}
