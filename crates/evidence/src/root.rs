//! Root of an increasing function of a positive number.

/// Most halvings and steps; far more than double precision needs.
const STEPS: usize = 200;

/// Finds `x >= 0` with `f(x) = 0` for a function that increases through zero.
///
/// The bracket is doubled from `guess` until it holds the root, then narrowed by Ridders' method
/// (Ridders 1979, IEEE Transactions on Circuits and Systems 26:979-980, from memory), which
/// never leaves the bracket. Returns nothing when no sign change is found below `largest`, or
/// when the function is not a number.
pub(crate) fn increasing(guess: f64, largest: f64, f: impl Fn(f64) -> f64) -> Option<f64> {
    if !(guess > 0.0 && guess <= largest) {
        return None;
    }
    let (mut low, mut f_low) = (0.0_f64, f(0.0));
    if f_low >= 0.0 {
        return Some(0.0);
    }
    let mut high = guess;
    let mut f_high = f(high);
    while f_high < 0.0 {
        (low, f_low) = (high, f_high);
        high *= 2.0;
        if high > largest {
            return None;
        }
        f_high = f(high);
    }
    if f_low.is_nan() || f_high.is_nan() {
        return None;
    }
    for _ in 0..STEPS {
        let middle = f64::midpoint(low, high);
        if high - low <= 4.0 * f64::EPSILON * middle {
            break;
        }
        let f_middle = f(middle);
        let root = (f_middle * f_middle - f_low * f_high).sqrt();
        // Zero only when the products underflow: the middle itself is then the best step.
        let step = if root > 0.0 {
            (middle - low) * f_middle / root
        } else {
            0.0
        };
        let next = (middle - step).clamp(low, high);
        let f_next = f(next);
        for (x, fx) in [(middle, f_middle), (next, f_next)] {
            if fx == 0.0 {
                return Some(x);
            }
            if fx < 0.0 && x > low {
                (low, f_low) = (x, fx);
            } else if fx > 0.0 && x < high {
                (high, f_high) = (x, fx);
            }
        }
    }
    (f_high.is_finite()).then(|| f64::midpoint(low, high))
}

#[cfg(test)]
mod tests {
    use super::increasing;

    #[test]
    fn roots_near_and_far() {
        for root in [1e-8, 0.3, 2.0, 1e7] {
            let found = increasing(1.0, 1e9, |x| x * x * x - root * root * root).unwrap_or(0.0);
            assert!((found / root - 1.0).abs() < 1e-9, "{found} for {root}");
        }
        assert_eq!(increasing(1.0, 10.0, |x| x + 1.0), Some(0.0));
    }

    #[test]
    fn no_root_is_nothing() {
        assert_eq!(increasing(1.0, 1e3, |x| x - 1e9), None);
        assert_eq!(increasing(f64::NAN, 1e3, |x| x - 1.0), None);
        assert_eq!(increasing(1.0, 1e3, |_| f64::NAN), None);
    }
}
