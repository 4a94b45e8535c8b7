//! One tank from the front.

use super::labels::Labels;
use super::{Look, plants};
use answers::bench::TankView;
use chart::marks::{bar, rule};
use chart::{Item, Mark, Paint, RichText, Role, Seg, Shape, Stroke};
use text::t;
use trial::Planting;

const DASH: chart::Dash = &[4.0, 3.0];

/// A length in cm, and whether it was entered.
#[derive(Debug, Clone, Copy)]
pub(super) struct Cm {
    pub(super) cm: f64,
    entered: bool,
}

impl Cm {
    fn or(entered: Option<f64>, otherwise: f64) -> Self {
        let good = entered.filter(|v| v.is_finite() && *v > 0.0);
        Self {
            cm: good.unwrap_or(otherwise),
            entered: good.is_some(),
        }
    }

    fn stroke(self, role: Role, width: f64) -> Stroke {
        let stroke = Stroke::new(role, width);
        if self.entered {
            stroke
        } else {
            stroke.dashed(DASH)
        }
    }
}

/// A tank with the lengths it is drawn with.
pub(super) struct Drawn<'v> {
    pub(super) view: &'v TankView,
    pub(super) length: Cm,
    height: Cm,
    water: Cm,
    lamps: Vec<(Cm, Cm)>,
    /// What was not entered, in words.
    pub(super) missing: Vec<String>,
    /// Plants without a zone, by name.
    pub(super) unplaced: Vec<String>,
}

/// Every tank; what is not known is borrowed from the others, else from a common size.
pub(super) fn all(views: &[TankView]) -> Vec<Drawn<'_>> {
    let mean = |pick: fn(&TankView) -> Option<f64>, otherwise: f64| {
        let known: Vec<f64> = views.iter().filter_map(pick).collect();
        if known.is_empty() {
            otherwise
        } else {
            known.iter().sum::<f64>() / known.len() as f64
        }
    };
    let length = mean(|v| v.tank.length_cm, 60.0);
    let height = mean(|v| v.tank.height_cm, 36.0);
    views.iter().map(|v| Drawn::of(v, length, height)).collect()
}

impl<'v> Drawn<'v> {
    fn of(view: &'v TankView, length: f64, height: f64) -> Self {
        let tank = &view.tank;
        let length = Cm::or(tank.length_cm, length);
        let height = Cm::or(
            tank.height_cm,
            tank.water_depth_cm.map_or(height, |w| w + 3.0),
        );
        let water = Cm::or(tank.water_depth_cm, height.cm * 0.9);
        let lamps: Vec<(Cm, Cm)> = tank
            .lamps
            .iter()
            .map(|l| {
                (
                    Cm::or(l.height_cm, 12.0),
                    Cm::or(l.length_cm, length.cm * 0.7),
                )
            })
            .collect();
        let lacking = [
            (!length.entered, t!("bench.lacks_length")),
            (!height.entered && !water.entered, t!("bench.lacks_height")),
            (!water.entered, t!("bench.lacks_water")),
            (tank.lamps.is_empty(), t!("bench.lacks_lamp")),
            (
                lamps.iter().any(|l| !l.0.entered),
                t!("bench.lacks_lamp_height"),
            ),
            (
                lamps.iter().any(|l| !l.1.entered),
                t!("bench.lacks_lamp_length"),
            ),
            (
                tank.substrate.iter().any(|l| l.depth_cm.is_none()),
                t!("bench.lacks_substrate"),
            ),
        ];
        Self {
            view,
            length,
            height,
            water,
            lamps,
            missing: lacking
                .into_iter()
                .filter(|(lacks, _)| *lacks)
                .map(|(_, words)| words.to_string())
                .collect(),
            unplaced: unplaced(&view.plantings),
        }
    }

    /// Height of the highest thing above the tank's floor.
    pub(super) fn top_cm(&self) -> f64 {
        let lamps = self.lamps.iter().map(|l| self.water.cm + l.0.cm + 2.0);
        lamps.fold(self.height.cm, f64::max)
    }
}

/// Plants of which no lot has a zone.
fn unplaced(plantings: &[Planting]) -> Vec<String> {
    let placed = |name: &str| {
        let mut lots = plantings.iter().filter(|p| p.scientific_name == name);
        lots.any(|p| p.floating || p.zone_cm.len() > 2)
    };
    let mut names: Vec<String> = Vec::new();
    for planting in plantings {
        let name = &planting.scientific_name;
        if !placed(name) && !names.contains(name) {
            names.push(name.clone());
        }
    }
    names
}

/// Where centimetres stand.
#[derive(Clone, Copy)]
pub(super) struct Place {
    pub(super) left: f64,
    pub(super) floor: f64,
    pub(super) scale: f64,
}

impl Place {
    pub(super) fn at(self, x_cm: f64, y_cm: f64) -> (f64, f64) {
        (
            self.left + x_cm * self.scale,
            self.floor - y_cm * self.scale,
        )
    }
}

/// Draws the tank with its lower left inner corner at `corner`.
pub(super) fn scene(drawn: &Drawn<'_>, corner: (f64, f64), scale: f64, look: Look) -> Vec<Item> {
    let place = Place {
        left: corner.0,
        floor: corner.1,
        scale,
    };
    let mut items = water(drawn, place);
    items.extend(substrate(drawn, place));
    let mut labels = Labels::new(
        (
            place.left + 2.0,
            place.at(0.0, drawn.water.cm).1,
            place.left + drawn.length.cm * scale - 2.0,
            place.floor,
        ),
        look.small,
    );
    let lots = |floating: bool| {
        let mine = drawn.view.plantings.iter();
        mine.filter(move |p| p.floating == floating)
    };
    for planting in lots(false).filter(|p| p.zone_cm.len() > 2) {
        items.extend(plants::rooted(planting, place));
    }
    for planting in lots(true) {
        items.push(plants::floating(
            planting,
            place,
            drawn.length.cm,
            drawn.water.cm,
        ));
    }
    items.extend(glass(drawn, place));
    items.extend(lamps(drawn, place));
    name_plants(drawn, place, &mut labels);
    items.extend(labels.items);
    items
}

fn water(drawn: &Drawn<'_>, place: Place) -> Vec<Item> {
    let (left, top) = place.at(0.0, drawn.water.cm);
    let right = place.at(drawn.length.cm, 0.0).0;
    let fill = bar((left, top), (right, place.floor), Role::Kept);
    let surface = rule(
        (left, top),
        (right, top),
        drawn.water.stroke(Role::Guide, 1.2),
    );
    vec![fill.into(), surface]
}

fn substrate(drawn: &Drawn<'_>, place: Place) -> Vec<Item> {
    let right = place.at(drawn.length.cm, 0.0).0;
    let mut from = 0.0;
    let mut items: Vec<Item> = Vec::new();
    for (i, layer) in drawn.view.tank.substrate.iter().enumerate() {
        let Some(depth) = layer.depth_cm else {
            continue;
        };
        let (left, base) = place.at(0.0, from);
        let top = place.at(0.0, from + depth).1;
        let opacity = if i % 2 == 0 { 0.42 } else { 0.22 };
        let tint = bar(
            (left, top),
            (right, base),
            Paint::faint(Role::Muted, opacity),
        );
        let tip = t!("bench.tip_layer", material = layer.material, cm = depth);
        items.push(tint.with_tip(tip).into());
        from += depth;
    }
    items.extend(sand_behind(drawn, place, from));
    items
}

/// Through the pane the sand rises towards the back: it reaches up to the feet of the plants there.
fn sand_behind(drawn: &Drawn<'_>, place: Place, front: f64) -> Option<Item> {
    let feet = drawn.view.plantings.iter().filter(|p| !p.floating);
    let foot = |p: &Planting| p.zone_cm.iter().map(|c| c[1]).reduce(f64::min);
    let highest = feet.filter_map(foot).fold(front, f64::max);
    let reach = highest.min(drawn.water.cm * 0.6);
    (front > 0.0 && reach > front).then(|| {
        let (left, base) = place.at(0.0, front);
        let (right, top) = place.at(drawn.length.cm, reach);
        bar((left, top), (right, base), Paint::faint(Role::Muted, 0.1)).into()
    })
}

/// Two side panes and the floor; the top is open.
fn glass(drawn: &Drawn<'_>, place: Place) -> Vec<Item> {
    let (left, top) = place.at(0.0, drawn.height.cm);
    let right = place.at(drawn.length.cm, 0.0).0;
    let line = |from, to, of: Cm| rule(from, to, of.stroke(Role::Muted, 1.8).rounded());
    vec![
        line((left, top), (left, place.floor), drawn.height),
        line((right, top), (right, place.floor), drawn.height),
        line((left, place.floor), (right, place.floor), drawn.length),
    ]
}

fn lamps(drawn: &Drawn<'_>, place: Place) -> Vec<Item> {
    let n = drawn.lamps.len() as f64;
    let lamps = drawn.view.tank.lamps.iter().zip(&drawn.lamps).enumerate();
    lamps
        .map(|(i, (lamp, (height, length)))| {
            let middle = drawn.length.cm * (i as f64 + 0.5) / n;
            let (x, y) = place.at(middle - length.cm / 2.0, drawn.water.cm + height.cm);
            let shape = Shape::Rect {
                x,
                y: y - 5.0,
                w: length.cm * place.scale,
                h: 5.0,
                r: 2.0,
            };
            let entered = height.entered && length.entered;
            let mark = if entered {
                Mark::filled(shape, Role::Muted)
            } else {
                Mark::outlined(shape, Stroke::new(Role::Muted, 1.2).dashed(DASH))
            };
            mark.with_tip(lamp.name.clone()).into()
        })
        .collect()
}

/// Writes each plant's name once, at its largest zone.
fn name_plants(drawn: &Drawn<'_>, place: Place, labels: &mut Labels) {
    let mut named: Vec<&str> = Vec::new();
    // Tall plants first: low ones have the sand below them to fall back on.
    let mut lots: Vec<&Planting> = drawn.view.plantings.iter().collect();
    lots.sort_by(|a, b| top(b).total_cmp(&top(a)).then(area(b).total_cmp(&area(a))));
    for planting in lots {
        let name = planting.scientific_name.as_str();
        if named.contains(&name) {
            continue;
        }
        let words = short_name(name, &drawn.view.plantings);
        let found = if planting.floating {
            labels.along_surface(words);
            true
        } else if planting.zone_cm.len() > 2 {
            let px: Vec<(f64, f64)> = planting
                .zone_cm
                .iter()
                .map(|[x, y]| place.at(*x, *y))
                .collect();
            labels.in_zone(words, &px);
            true
        } else {
            false
        };
        if found {
            named.push(name);
        }
    }
}

fn top(planting: &Planting) -> f64 {
    planting
        .zone_cm
        .iter()
        .map(|p| p[1])
        .fold(f64::NEG_INFINITY, f64::max)
}

/// Area of a zone by the shoelace formula, cm2.
fn area(planting: &Planting) -> f64 {
    let zone = &planting.zone_cm;
    let next = |i: usize| zone[(i + 1) % zone.len()];
    let twice: f64 = zone
        .iter()
        .enumerate()
        .map(|(i, a)| a[0] * next(i)[1] - next(i)[0] * a[1])
        .sum();
    (twice / 2.0).abs()
}

/// The genus; with the epithet's start where two plants of one genus stand in the tank.
fn short_name(name: &str, all: &[Planting]) -> RichText {
    if !crate::figures::is_scientific(name) {
        return RichText::from(name);
    }
    let genus = name.split(' ').next().unwrap_or(name);
    let shared = all
        .iter()
        .any(|p| p.scientific_name != name && p.scientific_name.starts_with(genus));
    if shared {
        let epithet = name.split(' ').nth(1).unwrap_or_default();
        let initial: String = genus.chars().take(1).collect();
        RichText::default().italic(format!("{initial}. {epithet}"))
    } else {
        RichText::default().italic(genus)
    }
}

/// A closed outline through points.
pub(super) fn outline(points: &[(f64, f64)]) -> Shape {
    let mut segs: Vec<Seg> = points
        .iter()
        .enumerate()
        .map(|(i, p)| {
            if i == 0 {
                Seg::Move(p.0, p.1)
            } else {
                Seg::Line(p.0, p.1)
            }
        })
        .collect();
    segs.push(Seg::Close);
    Shape::Path(segs)
}
