//! How often one address may ask.

use std::collections::HashMap;
use std::net::IpAddr;
use std::time::{Duration, Instant};

/// Addresses remembered at once; a home has fewer.
const REMEMBERED: usize = 512;

/// So many requests at once, refilled evenly over a time.
#[derive(Debug, Clone, Copy)]
pub struct Allowance {
    /// Requests that may come in one burst.
    pub burst: f64,
    /// The time in which a whole burst is refilled.
    pub refilled_in: Duration,
}

/// Requests of a page and its parts, and a keeper who taps fast.
pub const PAGES: Allowance = Allowance {
    burst: 120.0,
    refilled_in: Duration::from_secs(30),
};
/// Pairing codes tried.
pub const CODES: Allowance = Allowance {
    burst: 10.0,
    refilled_in: Duration::from_secs(600),
};

/// What each address has left.
#[derive(Debug)]
pub struct Limiter {
    allowance: Allowance,
    left: HashMap<IpAddr, (f64, Instant)>,
}

impl Limiter {
    /// Nobody has asked yet.
    #[must_use]
    pub fn new(allowance: Allowance) -> Self {
        Self {
            allowance,
            left: HashMap::new(),
        }
    }

    /// Counts a request of `address`.
    ///
    /// # Errors
    /// When it has none left: the time after which it has one again.
    pub fn take(&mut self, address: IpAddr, now: Instant) -> Result<(), Duration> {
        let Allowance { burst, refilled_in } = self.allowance;
        let per_second = burst / refilled_in.as_secs_f64();
        if self.left.len() >= REMEMBERED && !self.left.contains_key(&address) {
            // Whoever has waited long enough has its whole burst again and need not be remembered.
            self.left
                .retain(|_, (_, since)| now.duration_since(*since) < refilled_in);
            if self.left.len() >= REMEMBERED {
                return Err(refilled_in);
            }
        }
        let (left, since) = self.left.entry(address).or_insert((burst, now));
        let waited = now.saturating_duration_since(*since).as_secs_f64();
        *left = (*left + waited * per_second).min(burst);
        *since = now;
        if *left >= 1.0 {
            *left -= 1.0;
            Ok(())
        } else {
            Err(Duration::from_secs_f64((1.0 - *left) / per_second))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn address(last: u8) -> IpAddr {
        IpAddr::from([192, 0, 2, last])
    }

    #[test]
    fn a_burst_then_a_wait_each_for_itself() {
        let start = Instant::now();
        let mut limiter = Limiter::new(CODES);
        for _ in 0..10 {
            assert_eq!(limiter.take(address(1), start), Ok(()));
        }
        let wait = limiter.take(address(1), start).unwrap_err();
        assert_eq!(wait.as_secs(), 60, "ten in ten minutes");
        assert_eq!(limiter.take(address(2), start), Ok(()));
        let later = start + wait + Duration::from_millis(1);
        assert_eq!(limiter.take(address(1), later), Ok(()));
        assert!(limiter.take(address(1), later).is_err());
    }

    #[test]
    fn many_addresses_do_not_fill_the_memory() {
        let start = Instant::now();
        let mut limiter = Limiter::new(PAGES);
        for n in 0..2000u32 {
            let _ = limiter.take(IpAddr::from(n.to_be_bytes()), start);
        }
        assert!(limiter.left.len() <= REMEMBERED);
        let later = start + PAGES.refilled_in;
        assert_eq!(limiter.take(address(7), later), Ok(()));
        assert_eq!(limiter.left.len(), 1, "those that waited are forgotten");
    }
}
