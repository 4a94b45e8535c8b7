//! Differences between numbers that people typed as decimals.

/// Each value minus the first, without the rounding of the values' own binary form.
///
/// A reading is typed as a decimal, and the shortest decimal that names its double is that
/// decimal (up to 15 digits). Subtracting in decimal therefore keeps the digits that
/// `1000000000000.4 - 1000000000000.3` loses in binary. Values too far apart for 38 digits are
/// subtracted in binary, where nothing is lost that matters.
pub(crate) fn offsets(values: &[f64]) -> Vec<f64> {
    exact(values).unwrap_or_else(|| {
        let first = values.first().copied().unwrap_or(0.0);
        values.iter().map(|v| v - first).collect()
    })
}

fn exact(values: &[f64]) -> Option<Vec<f64>> {
    let parts: Vec<(i128, i32)> = values.iter().map(|v| digits(*v)).collect::<Option<_>>()?;
    let lowest = parts.iter().map(|(_, exponent)| *exponent).min()?;
    let whole: Vec<i128> = parts
        .iter()
        .map(|(digits, exponent)| {
            let shift = u32::try_from(exponent - lowest).ok()?;
            digits.checked_mul(10_i128.checked_pow(shift)?)
        })
        .collect::<Option<_>>()?;
    let first = *whole.first()?;
    whole
        .iter()
        .map(|w| {
            let difference = w.checked_sub(first)?;
            format!("{difference}e{lowest}").parse().ok()
        })
        .collect()
}

/// Digits and power of ten of the shortest decimal that names the double.
fn digits(value: f64) -> Option<(i128, i32)> {
    if value == 0.0 {
        return Some((0, 0));
    }
    let text = format!("{value:e}");
    let (mantissa, exponent) = text.split_once('e')?;
    let exponent: i32 = exponent.parse().ok()?;
    let (whole, fraction) = mantissa.split_once('.').unwrap_or((mantissa, ""));
    let digits: i128 = format!("{whole}{fraction}").parse().ok()?;
    Some((digits, exponent - i32::try_from(fraction.len()).ok()?))
}

#[cfg(test)]
mod tests {
    use super::offsets;

    #[test]
    fn typed_digits_survive() {
        let close = offsets(&[
            1_000_000_000_000.4,
            1_000_000_000_000.3,
            1_000_000_000_000.5,
        ]);
        assert_eq!(close, [0.0, -0.1, 0.1]);
        assert_eq!(offsets(&[-2.5, 0.0, 3.25]), [0.0, 2.5, 5.75]);
    }

    #[test]
    fn far_apart_values_are_subtracted_in_binary() {
        assert_eq!(offsets(&[1e-80, 1e80]), [0.0, 1e80]);
        assert!(offsets(&[]).is_empty());
    }
}
