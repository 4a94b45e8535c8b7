//! Rows out, with eight significant digits per result.

use std::io::{self, Write};

use csv::ByteRecord;

/// Significant digits of results: more than any constant bears, few enough to read.
const DIGITS: i32 = 8;
/// Powers of ten, exact in this range up to 22.
const POWERS: [f64; 19] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16,
    1e17, 1e18,
];
/// Bytes gathered before they are written.
const GATHERED: usize = 1 << 16;

/// A writer of rows.
pub(super) struct Out<W: Write> {
    to: W,
    gathered: Vec<u8>,
}

impl<W: Write> Out<W> {
    pub(super) fn new(to: W) -> Self {
        Out {
            to,
            gathered: Vec::with_capacity(GATHERED + 4096),
        }
    }

    pub(super) fn header(&mut self, header: &ByteRecord, results: &[&str]) -> io::Result<()> {
        self.cells(header, header.len());
        for name in results.iter().chain(&["problem"]) {
            self.cell(name.as_bytes());
        }
        self.gathered.pop();
        self.end()
    }

    /// A row with its results and an empty `problem`.
    pub(super) fn row(
        &mut self,
        row: &ByteRecord,
        width: usize,
        results: &[f64],
    ) -> io::Result<()> {
        self.cells(row, width);
        for value in results {
            push_number(&mut self.gathered, *value);
            self.gathered.push(b',');
        }
        self.end()
    }

    /// A row with empty results and a reason.
    pub(super) fn problem(
        &mut self,
        row: &ByteRecord,
        width: usize,
        results: usize,
        why: &str,
    ) -> io::Result<()> {
        self.cells(row, width.max(row.len()));
        self.gathered.resize(self.gathered.len() + results, b',');
        self.cell(why.as_bytes());
        self.gathered.pop();
        self.end()
    }

    pub(super) fn flush(&mut self) -> io::Result<()> {
        self.to.write_all(&self.gathered)?;
        self.gathered.clear();
        self.to.flush()
    }

    /// The cells of `row`, made up to `width` with empty ones, each with a comma behind.
    fn cells(&mut self, row: &ByteRecord, width: usize) {
        // Most rows hold nothing to quote; one look at all of it tells.
        if row.len() >= width && !needs_quotes(row.as_slice()) {
            for cell in row {
                self.gathered.extend_from_slice(cell);
                self.gathered.push(b',');
            }
            return;
        }
        for i in 0..width {
            self.cell(row.get(i).unwrap_or_default());
        }
    }

    /// A cell, quoted where it must be, and a comma.
    fn cell(&mut self, cell: &[u8]) {
        if needs_quotes(cell) {
            self.gathered.push(b'"');
            for b in cell {
                if *b == b'"' {
                    self.gathered.push(b'"');
                }
                self.gathered.push(*b);
            }
            self.gathered.push(b'"');
        } else {
            self.gathered.extend_from_slice(cell);
        }
        self.gathered.push(b',');
    }

    /// Ends a row. A comma at its end makes an empty last cell; others take theirs back first.
    fn end(&mut self) -> io::Result<()> {
        self.gathered.push(b'\n');
        if self.gathered.len() >= GATHERED {
            self.to.write_all(&self.gathered)?;
            self.gathered.clear();
        }
        Ok(())
    }
}

/// Whether the bytes hold a comma, a quote or the end of a line. (A fold, not a search: without a
/// way out early the compiler looks at many at once.)
fn needs_quotes(bytes: &[u8]) -> bool {
    bytes.iter().fold(false, |found, b| {
        found | (*b == b',') | (*b == b'"') | (*b == b'\n') | (*b == b'\r')
    })
}

/// `value` with eight significant digits, no exponent, no trailing zeros; nothing when it is not
/// finite (an index without calcium has no value).
fn push_number(to: &mut Vec<u8>, value: f64) {
    if !value.is_finite() {
        return;
    }
    if value == 0.0 {
        to.push(b'0');
        return;
    }
    let size = value.abs();
    // Digits before the point, from the binary exponent and one comparison with a power of ten.
    let binary = ((size.to_bits() >> 52) as i32) - 1023;
    let guess = (binary * 1233) >> 12;
    let reached = if guess < -1 {
        // A power of ten below one is not exact; its inverse is.
        POWERS
            .get(guess.unsigned_abs() as usize - 1)
            .is_some_and(|inverse| size * inverse >= 1.0)
    } else {
        POWERS
            .get((guess + 1).unsigned_abs() as usize)
            .is_some_and(|next| size >= *next)
    };
    let magnitude = guess + i32::from(reached);
    let decimals = DIGITS - 1 - magnitude;
    // Scaled to an integer: exact to well beyond eight digits for all sizes met here.
    if !(1..=18).contains(&decimals) {
        // Very large or very small: the library's own way.
        let _ = write!(to, "{value:e}");
        return;
    }
    if value < 0.0 {
        to.push(b'-');
    }
    // Eight digits; where rounding made a whole power of ten, one place further left.
    let mut left = (size * POWERS[decimals as usize] + 0.5) as u32;
    let mut whole = DIGITS - decimals;
    if left >= 100_000_000 {
        left /= 10;
        whole += 1;
    }
    let mut digits = [b'0'; DIGITS as usize];
    for digit in digits.iter_mut().rev() {
        *digit += (left % 10) as u8;
        left /= 10;
    }
    let said = digits
        .iter()
        .rposition(|digit| *digit != b'0')
        .map_or(0, |last| last + 1);
    match usize::try_from(whole) {
        Ok(whole) if whole > 0 => {
            to.extend_from_slice(&digits[..whole]);
            if said > whole {
                to.push(b'.');
                to.extend_from_slice(&digits[whole..said]);
            }
        }
        _ => {
            to.extend_from_slice(&b"0.000000000000"[..2 + whole.unsigned_abs() as usize]);
            to.extend_from_slice(&digits[..said]);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn text(value: f64) -> String {
        let mut out = Vec::new();
        push_number(&mut out, value);
        String::from_utf8(out).unwrap()
    }

    #[test]
    fn numbers_as_people_write_them() {
        for (value, written) in [
            (0.0, "0"),
            (1.0, "1"),
            (10.0, "10"),
            (45.818, "45.818"),
            (-1.8158, "-1.8158"),
            (0.00478909, "0.00478909"),
            (1234567.8, "1234567.8"),
            (9.999999999, "10"),
            (0.0999999999, "0.1"),
            (f64::NEG_INFINITY, ""),
            (f64::NAN, ""),
        ] {
            assert_eq!(text(value), written);
        }
    }

    proptest! {
        #[test]
        fn read_back_to_eight_digits(mantissa in -10.0..10.0f64, power in -14i32..9) {
            let value = mantissa * 10f64.powi(power);
            let back: f64 = text(value).parse().unwrap();
            prop_assert!((back - value).abs() <= 6e-8 * value.abs(), "{} {}", value, text(value));
        }
    }
}
