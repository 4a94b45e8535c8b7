//! Root of an increasing function of a positive number.

/// Most halvings and steps; far more than double precision needs.
const STEPS: usize = 200;

/// Finds `x >= 0` with `f(x) = 0` for a function that increases through zero.
///
/// The bracket is doubled from `guess` until it holds the root, then narrowed by Ridders' method
/// (Ridders 1979, IEEE Transactions on Circuits and Systems 26:979-980, from memory), which
/// never leaves the bracket. Returns nothing when no sign change is found below `largest`.
pub(crate) fn increasing(guess: f64, largest: f64, f: impl Fn(f64) -> f64) -> Option<f64> {
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
