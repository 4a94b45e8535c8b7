//! How far a scale reaches: what is firm decides; what is in doubt or open may not stretch it.

use super::Known;
use crate::scale::{Scale, Spacing, extent};

/// By which part of the firm values' span a value in doubt or with an open end may widen a scale; what
/// lies further out is drawn as an arrow at the edge.
const LOOSE_REACH: f64 = 0.25;

/// What a scale has to hold.
#[derive(Debug, Clone, Default)]
pub(super) struct Holds {
    pub(super) spacing: Spacing,
    /// The values, each with whether it is in doubt.
    pub(super) seen: Vec<(Known, bool)>,
    /// Values that are always inside: a range kept, a reference, a course.
    pub(super) also: Vec<f64>,
    /// Smallest difference between the ends, so that trifles do not look large; 0 for none.
    pub(super) least_span: f64,
    /// Amounts: read from zero unless that would flatten them.
    pub(super) from_zero: bool,
    /// Some air beyond the ends.
    pub(super) air: bool,
}

impl Holds {
    /// The lowest and the highest value of the scale.
    pub(super) fn domain(&self) -> (f64, f64) {
        let log = self.spacing == Spacing::Log;
        let (low, high) = self.wide_enough(self.reach());
        let from_zero = self.from_zero && !log && low >= 0.0 && low < high * 0.5;
        let (low, high) = match (from_zero, self.air) {
            (true, air) => (0.0, if air { high * 1.04 } else { high }),
            (false, true) if log => (low / 1.15, high * 1.15),
            (false, true) => (low - (high - low) * 0.06, high + (high - low) * 0.06),
            (false, false) => (low, high),
        };
        self.room_for_arrows((low, high))
    }

    fn reach(&self) -> (f64, f64) {
        let log = self.spacing == Spacing::Log;
        let fits = |v: &f64| !log || *v > 0.0;
        let all = || self.seen.iter();
        let firm = all().filter(|(k, doubtful)| is_firm(*k, *doubtful));
        let firm: Vec<f64> = firm.flat_map(|(k, _)| k.values()).filter(fits).collect();
        let loose = all().filter(|(k, doubtful)| !is_firm(*k, *doubtful));
        let loose: Vec<f64> = loose.flat_map(|(k, _)| k.values()).filter(fits).collect();
        let also = self.also.iter().copied().filter(fits);
        let whole = extent(firm.iter().chain(&loose).copied().chain(also.clone()));
        let Some((low, high)) =
            extent(firm.iter().copied().chain(also)).filter(|_| !firm.is_empty())
        else {
            // Nothing firm was seen: then all of it is what there is to show.
            return whole.unwrap_or((0.0, 1.0));
        };
        let along = Scale::new(self.spacing, (low, high), (0.0, 1.0));
        let (from, to) = (along.back(-LOOSE_REACH), along.back(1.0 + LOOSE_REACH));
        let near = loose.into_iter().filter(|v| from <= *v && *v <= to);
        extent(near.chain([low, high])).unwrap_or((low, high))
    }

    fn wide_enough(&self, (low, high): (f64, f64)) -> (f64, f64) {
        let lack = self.least_span - (high - low);
        if lack > 0.0 && self.spacing == Spacing::Linear {
            let below = if low >= 0.0 {
                (lack / 2.0).min(low)
            } else {
                lack / 2.0
            };
            (low - below, high + lack - below)
        } else {
            (low, high)
        }
    }

    /// With room for the arrows of values that are open near its ends.
    fn room_for_arrows(&self, (low, high): (f64, f64)) -> (f64, f64) {
        let along = Scale::new(self.spacing, (low, high), (0.0, 1.0));
        let (mut from, mut to) = (0.0, 1.0);
        for (value, _) in &self.seen {
            // One that lies outside has its own arrow at the edge.
            match (value.low, value.high) {
                (Some(end), None) if (0.88..=1.0).contains(&along.at(end)) => to = 1.12,
                (None, Some(end)) if (0.0..0.12).contains(&along.at(end)) => from = -0.12,
                _ => {}
            }
        }
        // An amount that starts at zero has nothing below it to make room for.
        let from = if self.spacing == Spacing::Linear && low == 0.0 {
            0.0
        } else {
            from
        };
        (along.back(from), along.back(to))
    }
}

fn is_firm(value: Known, doubtful: bool) -> bool {
    !doubtful && (value.mid.is_some() || (value.low.is_some() && value.high.is_some()))
}

/// Where a value lies that a scale does not hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Beyond {
    Below,
    Above,
}

/// What of a value can be drawn between `low` and `high`: an end outside becomes an open end, and of a
/// value that lies outside altogether only the side is left.
pub(super) fn inside(value: Known, (low, high): (f64, f64)) -> Result<Known, Beyond> {
    let near = (high - low).abs() * 1e-9;
    let (low, high) = (low - near, high + near);
    let known = || value.values().filter(|v| v.is_finite());
    if known().count() > 0 && known().all(|v| v > high) {
        return Err(Beyond::Above);
    }
    if known().count() > 0 && known().all(|v| v < low) {
        return Err(Beyond::Below);
    }
    let held = |v: Option<f64>| v.filter(|v| low <= *v && *v <= high);
    Ok(Known {
        mid: held(value.mid),
        low: held(value.low),
        high: held(value.high),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn holds(seen: &[(Known, bool)]) -> Holds {
        Holds {
            seen: seen.to_vec(),
            ..Holds::default()
        }
    }

    #[test]
    fn what_is_in_doubt_or_open_does_not_stretch_a_scale() {
        let firm = [
            (Known::between(3.0, 6.0), false),
            (Known::between(4.5, 9.0), false),
        ];
        assert_eq!(holds(&firm).domain(), (3.0, 9.0));
        for far in [
            (Known::at_least(80.0), false),
            (Known::between(60.0, 90.0), true),
        ] {
            assert_eq!(holds(&[&firm[..], &[far]].concat()).domain(), (3.0, 9.0));
        }
        // A quarter of 6 beyond 9 is 10.5: a value in doubt at 10 is held.
        let near = (Known::between(7.0, 10.0), true);
        assert_eq!(holds(&[&firm[..], &[near]].concat()).domain(), (3.0, 10.0));
        // Alone they are all there is.
        assert_eq!(
            holds(&[(Known::between(60.0, 90.0), true)]).domain(),
            (60.0, 90.0)
        );
    }

    #[test]
    fn a_single_value_has_a_span_around_it() {
        let mut one = holds(&[(Known::exactly(24.0), false)]);
        one.least_span = 6.0;
        assert_eq!(one.domain(), (21.0, 27.0));
        // Not below nothing: from 0 to 6.
        one.seen = vec![(Known::exactly(1.0), false)];
        assert_eq!(one.domain(), (0.0, 6.0));
    }

    #[test]
    fn an_end_outside_is_open_and_a_value_outside_is_a_side() {
        let scale = (0.0, 10.0);
        assert_eq!(
            inside(Known::between(5.0, 40.0), scale),
            Ok(Known::at_least(5.0))
        );
        assert_eq!(
            inside(Known::between(20.0, 40.0), scale),
            Err(Beyond::Above)
        );
        assert_eq!(inside(Known::at_most(-1.0), scale), Err(Beyond::Below));
        assert_eq!(
            inside(Known::between(2.0, 4.0), scale),
            Ok(Known::between(2.0, 4.0))
        );
    }
}
