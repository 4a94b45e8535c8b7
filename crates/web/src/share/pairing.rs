//! The code that lets one device in, once.

use std::time::{Duration, Instant};

/// How long a code is good for.
pub const GOOD_FOR: Duration = Duration::from_secs(300);
/// Wrong tries after which a code is void. With eight digits, a guesser who is let try five times
/// is right with one chance in twenty million.
pub const TRIES: u8 = 5;
/// Digits of a code.
pub const DIGITS: usize = 8;

/// Why a code was not taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NotTaken {
    /// No code is on show, or its time is over.
    NoCode,
    /// It is another one; so many tries are left before it is void.
    Wrong {
        /// Tries left.
        left: u8,
    },
}

#[derive(Debug)]
struct Code {
    digits: String,
    until: Instant,
    left: u8,
}

/// The one code on show.
#[derive(Debug, Default)]
pub struct Pairing {
    code: Option<Code>,
}

impl Pairing {
    /// Puts a new code on show; an earlier one is void.
    pub fn offer(&mut self, digits: String, now: Instant) {
        self.code = Some(Code {
            digits,
            until: now + GOOD_FOR,
            left: TRIES,
        });
    }

    /// Takes the code from show.
    pub fn withdraw(&mut self) {
        self.code = None;
    }

    /// The code on show and how long it is still good for.
    pub fn on_show(&self, now: Instant) -> Option<(&str, Duration)> {
        let code = self.code.as_ref().filter(|code| now < code.until)?;
        Some((&code.digits, code.until - now))
    }

    /// Uses up the code if it is the one given; spaces in it do not matter.
    ///
    /// # Errors
    /// When it is another one, void, or none is on show.
    pub fn take(&mut self, given: &str, now: Instant) -> Result<(), NotTaken> {
        let given: String = given.chars().filter(|c| !c.is_whitespace()).collect();
        let code = self.code.as_mut().filter(|code| now < code.until);
        let code = code.ok_or(NotTaken::NoCode)?;
        if crate::guard::same(&given, &code.digits) {
            self.code = None;
            return Ok(());
        }
        code.left -= 1;
        let left = code.left;
        if left == 0 {
            self.code = None;
        }
        Err(NotTaken::Wrong { left })
    }
}

/// Fresh digits, each as likely as the others.
///
/// # Errors
/// When the operating system has no random bytes to give.
pub fn draw_digits() -> Result<String, getrandom::Error> {
    let mut digits = String::with_capacity(DIGITS);
    while digits.len() < DIGITS {
        let mut byte = [0u8];
        getrandom::fill(&mut byte)?;
        // 250 is the largest multiple of ten a byte holds: above it the low digits would be likelier.
        if byte[0] < 250 {
            digits.push(char::from(b'0' + byte[0] % 10));
        }
    }
    Ok(digits)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_code_is_good_once_and_for_a_while() {
        let start = Instant::now();
        let mut pairing = Pairing::default();
        assert_eq!(pairing.take("12345678", start), Err(NotTaken::NoCode));
        pairing.offer("12345678".to_owned(), start);
        assert_eq!(pairing.take("1234 5678", start), Ok(()));
        assert_eq!(pairing.take("12345678", start), Err(NotTaken::NoCode));
        pairing.offer("12345678".to_owned(), start);
        assert_eq!(
            pairing.take("12345678", start + GOOD_FOR),
            Err(NotTaken::NoCode)
        );
        assert_eq!(pairing.on_show(start + GOOD_FOR), None);
    }

    #[test]
    fn five_wrong_tries_void_it() {
        let start = Instant::now();
        let mut pairing = Pairing::default();
        pairing.offer("12345678".to_owned(), start);
        for left in [4, 3, 2, 1, 0] {
            assert_eq!(
                pairing.take("87654321", start),
                Err(NotTaken::Wrong { left })
            );
        }
        assert_eq!(pairing.take("12345678", start), Err(NotTaken::NoCode));
    }

    #[test]
    fn a_new_code_voids_the_one_before() {
        let start = Instant::now();
        let mut pairing = Pairing::default();
        pairing.offer("11111111".to_owned(), start);
        pairing.offer("22222222".to_owned(), start);
        assert_eq!(
            pairing.take("11111111", start),
            Err(NotTaken::Wrong { left: 4 })
        );
        assert_eq!(pairing.take("22222222", start), Ok(()));
    }

    #[test]
    fn digits_are_digits_and_differ() {
        let (a, b) = (draw_digits().unwrap(), draw_digits().unwrap());
        for code in [&a, &b] {
            assert!(code.len() == DIGITS && code.bytes().all(|b| b.is_ascii_digit()));
        }
        assert_ne!(a, b, "once in a hundred million runs they may be the same");
    }
}
