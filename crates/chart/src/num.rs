//! Printing numbers: fixed decimals for SVG text, and plain labels for people.

/// Prints a coordinate with at most two decimals and no trailing zeros, never `-0`.
///
/// The text is the same on every machine, which is what makes golden files possible.
/// A value that is not finite prints as `0`; the SVG writer drops such marks before.
#[must_use]
pub fn coord(v: f64) -> String {
    if !v.is_finite() {
        return "0".to_owned();
    }
    // Most marks stand on whole or half px, which need no rounding.
    let doubled = v * 2.0;
    if doubled.fract() == 0.0 && doubled.abs() < 1e9 {
        let halves = doubled as i64;
        let sign = if halves == -1 { "-" } else { "" };
        return match halves % 2 {
            0 => (halves / 2).to_string(),
            _ => format!("{sign}{}.5", halves / 2),
        };
    }
    trim_zeros(format!("{v:.2}"))
}

fn trim_zeros(mut text: String) -> String {
    if text.contains('.') {
        let kept = text.trim_end_matches('0').trim_end_matches('.').len();
        text.truncate(kept);
    }
    if text == "-0" { "0".to_owned() } else { text }
}

/// Prints a number for people with `decimals` digits after the point and a true minus sign.
#[must_use]
pub fn fixed(v: f64, decimals: usize) -> String {
    if !v.is_finite() {
        return "\u{2013}".to_owned();
    }
    let text = format!("{v:.decimals$}");
    let is_zero = text.chars().all(|c| matches!(c, '-' | '0' | '.'));
    match text.strip_prefix('-') {
        Some(rest) if is_zero => rest.to_owned(),
        Some(rest) => format!("\u{2212}{rest}"),
        None => text,
    }
}

/// Prints a number for people with up to `digits` significant digits, without trailing zeros.
#[must_use]
pub fn significant(v: f64, digits: usize) -> String {
    if v == 0.0 {
        return "0".to_owned();
    }
    if !v.is_finite() {
        return "\u{2013}".to_owned();
    }
    let magnitude = v.abs().log10().floor();
    if !(-6.0..15.0).contains(&magnitude) {
        return power_of_ten(v);
    }
    let decimals = (digits as f64 - 1.0 - magnitude).max(0.0) as usize;
    trim_zeros(fixed(v, decimals))
}

/// Prints a very large or very small number as `1.2×10⁻⁷`.
fn power_of_ten(v: f64) -> String {
    let exponent = v.abs().log10().floor() as i32;
    let front = v / 10f64.powi(exponent);
    let raised = superscript(exponent);
    let front = trim_zeros(fixed(front, 1));
    if front == "1" {
        format!("10{raised}")
    } else {
        format!("{front}\u{d7}10{raised}")
    }
}

fn superscript(n: i32) -> String {
    const DIGITS: [char; 10] = ['⁰', '¹', '²', '³', '⁴', '⁵', '⁶', '⁷', '⁸', '⁹'];
    n.to_string()
        .chars()
        .map(|c| c.to_digit(10).map_or('⁻', |d| DIGITS[d as usize]))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn coordinates_are_short_and_never_minus_zero() {
        assert_eq!(coord(1.0), "1");
        assert_eq!(coord(1.50), "1.5");
        assert_eq!(coord(-0.001), "0");
        assert_eq!(coord(100.0), "100");
        assert_eq!(coord(2.345_678), "2.35");
        assert_eq!(coord(f64::NAN), "0");
    }

    #[test]
    fn labels_use_a_true_minus_and_few_digits() {
        assert_eq!(fixed(-1.5, 1), "\u{2212}1.5");
        assert_eq!(fixed(-0.01, 1), "0.0");
        assert_eq!(significant(0.300_000_001, 3), "0.3");
        assert_eq!(significant(1234.0, 3), "1234");
        assert_eq!(significant(1e-7, 3), "10⁻⁷");
        assert_eq!(significant(2.5e20, 3), "2.5×10²⁰");
    }
}
