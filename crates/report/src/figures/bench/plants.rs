//! Quiet drawings of plants: by growth form, inside the zone marked on the pane.

use super::tank::{Place, outline};
use chart::{Group, Item, Mark, Paint, Role, Seg, Shape, Stroke};
use text::t;
use trial::{Planting, catalogue};

/// A planting in its zone.
pub(super) fn rooted(planting: &Planting, place: Place) -> Vec<Item> {
    let zone: Vec<(f64, f64)> = planting
        .zone_cm
        .iter()
        .map(|[x, y]| place.at(*x, *y))
        .collect();
    let form = catalogue::find(&planting.scientific_name).map(|p| p.form.as_str());
    let ground = Mark::filled(outline(&zone), Paint::faint(Role::Guide, 0.1));
    let stroke = Stroke::new(Paint::faint(Role::Guide, 0.62), 1.1).rounded();
    let segs = match form {
        Some("carpet") => carpet(&zone),
        Some("stem") => stems(&zone),
        Some("bulb") => ribbons(&zone),
        Some("moss") => tufts(&zone),
        Some(_) => rosette(&zone),
        None => vec![],
    };
    let leaves = if segs.is_empty() {
        let dashed = Stroke::new(Paint::faint(Role::Guide, 0.62), 1.0).dashed(&[3.0, 2.0]);
        Mark::outlined(outline(&zone), dashed)
    } else {
        Mark::outlined(Shape::Path(segs), stroke)
    };
    vec![
        Group::new(vec![ground.into(), leaves.into()])
            .with_tip(tip(planting))
            .into(),
    ]
}

/// Leaves on the surface, from pane to pane: how much of it they cover is in the readings of cover.
pub(super) fn floating(planting: &Planting, place: Place, length: f64, water: f64) -> Item {
    let span = planting
        .zone_cm
        .iter()
        .map(|p| p[0])
        .fold(None, |s: Option<(f64, f64)>, x| {
            Some(s.map_or((x, x), |(a, b)| (a.min(x), b.max(x))))
        });
    let (from, to) = span.unwrap_or((1.0, length - 1.0));
    let (mut x, y) = place.at(from, water);
    let end = place.at(to, water).0;
    let mut segs = Vec::new();
    let mut i = 0;
    while x + 7.0 <= end {
        // A flat leaf on the water, and every other one with a short root.
        segs.extend([
            Seg::Move(x, y),
            Seg::Cubic([(x + 1.0, y - 3.6), (x + 6.0, y - 3.6), (x + 7.0, y)]),
        ]);
        if i % 2 == 0 {
            segs.extend([Seg::Move(x + 3.5, y + 1.0), Seg::Line(x + 3.5, y + 5.0)]);
        }
        x += 9.5 + vary(i) * 2.0;
        i += 1;
    }
    let stroke = Stroke::new(Paint::faint(Role::Guide, 0.8), 1.3).rounded();
    let mut mark = Mark::outlined(Shape::Path(segs), stroke);
    mark.fill = Some(Paint::faint(Role::Guide, 0.18));
    mark.with_tip(tip(planting)).into()
}

fn tip(planting: &Planting) -> String {
    match planting.planted {
        Some(day) => t!("bench.tip_planted", plant = planting.title(), day = day),
        None => planting.title(),
    }
}

/// The same small variation in every drawing: from 0 to 1, looking irregular.
fn vary(i: usize) -> f64 {
    (i as f64 * 0.618_034 + 0.37).fract()
}

/// Top and bottom of the zone at `x`; none outside it.
fn column(zone: &[(f64, f64)], x: f64) -> Option<(f64, f64)> {
    let mut ends: Option<(f64, f64)> = None;
    for (i, a) in zone.iter().enumerate() {
        let b = zone[(i + 1) % zone.len()];
        let (low, high) = (a.0.min(b.0), a.0.max(b.0));
        if x < low || x > high || high - low < 1e-9 {
            continue;
        }
        let y = a.1 + (b.1 - a.1) * (x - a.0) / (b.0 - a.0);
        ends = Some(ends.map_or((y, y), |(t, e)| (t.min(y), e.max(y))));
    }
    ends
}

/// Places `step` px apart through the zone with its top and bottom there.
fn columns(zone: &[(f64, f64)], step: f64) -> Vec<(usize, f64, f64, f64)> {
    let left = zone.iter().map(|p| p.0).fold(f64::INFINITY, f64::min);
    let right = zone.iter().map(|p| p.0).fold(f64::NEG_INFINITY, f64::max);
    let n = ((right - left) / step).floor().clamp(1.0, 200.0) as usize;
    let rest = (right - left - (n as f64 - 1.0) * step) / 2.0;
    (0..n)
        .filter_map(|i| {
            let x = left + rest + i as f64 * step;
            column(zone, x).map(|(top, bottom)| (i, x, top, bottom))
        })
        .collect()
}

/// Short blades close together.
fn carpet(zone: &[(f64, f64)]) -> Vec<Seg> {
    columns(zone, 3.2)
        .into_iter()
        .flat_map(|(i, x, top, bottom)| {
            let tip = bottom - (bottom - top) * (0.6 + 0.4 * vary(i));
            let lean = (vary(i + 7) - 0.5) * 4.0;
            [
                Seg::Move(x, bottom),
                Seg::Cubic([(x, tip + 2.0), (x + lean * 0.4, tip + 1.0), (x + lean, tip)]),
            ]
        })
        .collect()
}

/// Upright stems with leaves in pairs.
fn stems(zone: &[(f64, f64)]) -> Vec<Seg> {
    let mut segs = Vec::new();
    for (i, x, top, bottom) in columns(zone, 10.0) {
        let tip = bottom - (bottom - top) * (0.82 + 0.18 * vary(i));
        segs.extend([Seg::Move(x, bottom), Seg::Line(x, tip)]);
        let mut y = tip + 1.0;
        while y < bottom - 3.0 {
            let reach = 4.2;
            segs.extend([
                Seg::Move(x - reach, y - 2.4),
                Seg::Cubic([(x - reach * 0.5, y - 2.6), (x - 0.6, y - 0.8), (x, y)]),
                Seg::Cubic([
                    (x + 0.6, y - 0.8),
                    (x + reach * 0.5, y - 2.6),
                    (x + reach, y - 2.4),
                ]),
            ]);
            y += 6.5;
        }
    }
    segs
}

/// Long leaves from one root, arching out to the zone's edge.
fn rosette(zone: &[(f64, f64)]) -> Vec<Seg> {
    fan(zone, 11, 0.55)
}

/// Narrow leaves that rise almost straight.
fn ribbons(zone: &[(f64, f64)]) -> Vec<Seg> {
    fan(zone, 9, 0.12)
}

/// `n` leaves from the middle of the zone's bottom; `droop` is how far the outer ones fall.
fn fan(zone: &[(f64, f64)], n: usize, droop: f64) -> Vec<Seg> {
    let left = zone.iter().map(|p| p.0).fold(f64::INFINITY, f64::min);
    let right = zone.iter().map(|p| p.0).fold(f64::NEG_INFINITY, f64::max);
    let root = f64::midpoint(left, right);
    let Some((_, bottom)) = column(zone, root) else {
        return vec![];
    };
    (0..n)
        .flat_map(|i| {
            let part = i as f64 / (n as f64 - 1.0);
            let x = left + 1.0 + (right - left - 2.0) * part;
            let (top, _) = column(zone, x).unwrap_or((bottom, bottom));
            let out = (2.0 * part - 1.0).powi(2);
            let high = bottom - (bottom - top) * (1.0 - 0.15 * vary(i));
            let tip = high + (bottom - high) * droop * out;
            let (near, far) = (bottom - (bottom - high) * 0.5, high);
            [
                Seg::Move(root, bottom),
                Seg::Cubic([
                    (root + (x - root) * 0.1, near),
                    (root + (x - root) * 0.6, far),
                    (x, tip),
                ]),
            ]
        })
        .collect()
}

/// Small arcs over the whole zone.
fn tufts(zone: &[(f64, f64)]) -> Vec<Seg> {
    let mut segs = Vec::new();
    for (i, x, top, bottom) in columns(zone, 5.5) {
        let mut y = bottom - 2.0 * vary(i);
        let mut k = i;
        while y > top + 2.0 {
            let side = if k % 2 == 0 { 2.6 } else { -2.6 };
            segs.extend([
                Seg::Move(x, y),
                Seg::Cubic([
                    (x + side, y - 0.5),
                    (x + side, y - 3.0),
                    (x + side * 0.4, y - 3.6),
                ]),
            ]);
            y -= 5.5;
            k += 1;
        }
    }
    segs
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_column_is_cut_by_the_zone() {
        // A triangle with its base at y 10 and its tip at (5, 0): at x 2.5 its top is half-way.
        let zone = [(0.0, 10.0), (10.0, 10.0), (5.0, 0.0)];
        assert_eq!(column(&zone, 2.5), Some((5.0, 10.0)));
        assert_eq!(column(&zone, 11.0), None);
    }

    #[test]
    fn leaves_stay_in_their_zone() {
        let zone = [(10.0, 80.0), (60.0, 80.0), (60.0, 20.0), (10.0, 20.0)];
        for draw in [carpet, stems, rosette, ribbons, tufts] {
            let segs = draw(&zone);
            assert!(segs.len() > 8);
            for seg in segs {
                if let Seg::Move(x, y) | Seg::Line(x, y) = seg {
                    // Leaves may reach a little over the edge, as leaves do.
                    assert!((4.0..=66.0).contains(&x) && (14.0..=82.0).contains(&y));
                }
            }
        }
    }
}
