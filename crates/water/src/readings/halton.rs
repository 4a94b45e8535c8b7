//! Halton 1960, Numerische Mathematik 2:84-90: points that fill a box evenly without chance.

const PRIMES: [u32; 10] = [2, 3, 5, 7, 11, 13, 17, 19, 23, 29];

/// Most dimensions a box may have.
pub const MOST_DIMENSIONS: usize = PRIMES.len();

/// Point number `i` (from 1) of the sequence in `N` dimensions, each in 0 to 1.
#[must_use]
pub fn point<const N: usize>(i: u32) -> [f64; N] {
    const { assert!(N <= MOST_DIMENSIONS) };
    std::array::from_fn(|d| radical_inverse(i, PRIMES[d]))
}

fn radical_inverse(mut i: u32, base: u32) -> f64 {
    let mut value = 0.0;
    let mut place = 1.0;
    while i > 0 {
        place /= f64::from(base);
        value += place * f64::from(i % base);
        i /= base;
    }
    value
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn first_points_as_published() {
        // van der Corput in base 2 and 3: 1/2, 1/4, 3/4; 1/3, 2/3, 1/9.
        for (i, x, y) in [
            (1, 0.5, 1.0 / 3.0),
            (2, 0.25, 2.0 / 3.0),
            (3, 0.75, 1.0 / 9.0),
        ] {
            let [a, b] = point::<2>(i);
            assert!((a - x).abs() < 1e-15 && (b - y).abs() < 1e-15);
        }
    }

    #[test]
    fn a_thousand_points_average_a_half() {
        let mut sum = [0.0; 8];
        for i in 1..=1000 {
            for (s, x) in sum.iter_mut().zip(point::<8>(i)) {
                *s += x / 1000.0;
            }
        }
        assert!(sum.iter().all(|s| (s - 0.5).abs() < 0.01), "{sum:?}");
    }
}
