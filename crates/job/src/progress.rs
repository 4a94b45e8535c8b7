//! Progress as the work tells it and as others see it.

use std::fmt;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering::Relaxed};
use std::sync::{Arc, Mutex, PoisonError};

/// The whole, in the parts that positions are kept in.
const WHOLE: u64 = 1_000_000;

/// The work was stopped as asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Cancelled;

impl fmt::Display for Cancelled {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("stopped as asked")
    }
}

impl std::error::Error for Cancelled {}

/// How far some work is. Cheap to clone; clones tell and see the same.
///
/// The work reports steps; a part of it (see [`Progress::part`]) reports its own steps, which fill
/// its share of the whole. The whole never goes back.
#[derive(Clone)]
pub struct Progress {
    shared: Option<Arc<Shared>>,
    /// Where the steps told here begin and end in the whole.
    from: u64,
    to: u64,
}

type Watch = Box<dyn Fn(&Seen) + Send + Sync>;

#[derive(Default)]
struct Shared {
    cancel: AtomicBool,
    place: AtomicU64,
    done: AtomicU64,
    of: AtomicU64,
    doing: Mutex<String>,
    watch: Option<Watch>,
}

/// A look at some progress.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Seen {
    /// How much of the whole is done, in thousandths.
    pub permille: u32,
    /// Steps done of the part that told last.
    pub done: u64,
    /// Steps of that part in all; 0 before anything was told.
    pub of: u64,
    /// What is being done now; empty when nothing was said.
    pub doing: String,
}

impl Default for Progress {
    fn default() -> Self {
        Self::new()
    }
}

impl fmt::Debug for Progress {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.seen().fmt(f)
    }
}

impl Progress {
    /// For callers that neither look nor stop.
    pub const fn none() -> Self {
        Self {
            shared: None,
            from: 0,
            to: WHOLE,
        }
    }

    /// Progress that can be looked at and stopped.
    pub fn new() -> Self {
        Self::over(Shared::default())
    }

    /// Progress that calls `watch`, on the thread of the work, whenever what is seen changes.
    pub fn watched(watch: impl Fn(&Seen) + Send + Sync + 'static) -> Self {
        Self::over(Shared {
            watch: Some(Box::new(watch)),
            ..Shared::default()
        })
    }

    fn over(shared: Shared) -> Self {
        Self {
            shared: Some(Arc::new(shared)),
            ..Self::none()
        }
    }

    /// A part of this work that takes it from `from` to `to` per cent.
    #[must_use]
    pub fn part(&self, from: u32, to: u32) -> Self {
        let at =
            |percent: u32| self.from + (self.to - self.from) * u64::from(percent.min(100)) / 100;
        Self {
            shared: self.shared.clone(),
            from: at(from),
            to: at(to.max(from)),
        }
    }

    /// Tells that `done` of `of` steps are done; no steps at all count as done.
    ///
    /// # Errors
    /// [`Cancelled`] when the work is to stop; nothing is told then.
    pub fn at(&self, done: u64, of: u64) -> Result<(), Cancelled> {
        self.check()?;
        let Some(shared) = &self.shared else {
            return Ok(());
        };
        let (steps, all) = (u128::from(done.min(of)), u128::from(of));
        let share = (u128::from(self.to - self.from) * steps).checked_div(all);
        let share = share.and_then(|s| u64::try_from(s).ok());
        let place = self.from + share.unwrap_or(self.to - self.from);
        let before = shared.place.fetch_max(place, Relaxed);
        shared.done.store(done.min(of), Relaxed);
        shared.of.store(of, Relaxed);
        if place / (WHOLE / 1000) != before / (WHOLE / 1000) {
            self.tell();
        }
        Ok(())
    }

    /// Says what is being done from now on.
    pub fn doing(&self, what: impl Into<String>) {
        if let Some(shared) = &self.shared {
            *shared.doing.lock().unwrap_or_else(PoisonError::into_inner) = what.into();
            shared.done.store(0, Relaxed);
            shared.of.store(0, Relaxed);
            self.tell();
        }
    }

    fn tell(&self) {
        if let Some(watch) = self.shared.as_ref().and_then(|s| s.watch.as_ref()) {
            watch(&self.seen());
        }
    }

    /// Asks the work to stop at its next step.
    pub fn cancel(&self) {
        if let Some(shared) = &self.shared {
            shared.cancel.store(true, Relaxed);
        }
    }

    /// Whether the work was asked to stop.
    pub fn is_cancelled(&self) -> bool {
        self.shared
            .as_ref()
            .is_some_and(|shared| shared.cancel.load(Relaxed))
    }

    /// Goes on, or stops when asked to.
    ///
    /// # Errors
    /// [`Cancelled`] when the work is to stop.
    pub fn check(&self) -> Result<(), Cancelled> {
        if self.is_cancelled() {
            Err(Cancelled)
        } else {
            Ok(())
        }
    }

    /// What there is to see now.
    pub fn seen(&self) -> Seen {
        let Some(shared) = &self.shared else {
            return Seen::default();
        };
        let doing = shared.doing.lock().unwrap_or_else(PoisonError::into_inner);
        let permille = shared.place.load(Relaxed) / (WHOLE / 1000);
        Seen {
            permille: u32::try_from(permille).unwrap_or(1000),
            done: shared.done.load(Relaxed),
            of: shared.of.load(Relaxed),
            doing: doing.clone(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_fill_their_share_and_never_go_back() {
        let whole = Progress::new();
        let first = whole.part(0, 20);
        first.at(1, 2).unwrap();
        assert_eq!(whole.seen().permille, 100);
        let half = whole.part(20, 100).part(0, 50);
        half.at(3, 4).unwrap();
        assert_eq!(
            (whole.seen().permille, whole.seen().done, whole.seen().of),
            (500, 3, 4)
        );
        first.at(0, 9).unwrap();
        assert_eq!(whole.seen().permille, 500);
        // No steps at all are all done, and more than all are all.
        whole.part(50, 60).at(0, 0).unwrap();
        assert_eq!(whole.seen().permille, 600);
        whole.at(u64::MAX, u64::MAX - 1).unwrap();
        assert_eq!(whole.seen().permille, 1000);
    }

    #[test]
    fn a_cancelled_one_stops_in_every_part_and_tells_nothing_more() {
        let whole = Progress::new();
        whole.doing("pictures");
        whole.part(0, 50).at(1, 2).unwrap();
        whole.clone().cancel();
        assert_eq!(whole.part(50, 100).at(1, 1), Err(Cancelled));
        assert!(whole.check().is_err() && whole.is_cancelled());
        assert_eq!(whole.seen().permille, 250);
        assert_eq!(whole.seen().doing, "pictures");
    }

    #[test]
    fn none_never_stops_and_shows_nothing() {
        let none = Progress::none();
        none.cancel();
        none.doing("x");
        assert_eq!(none.at(1, 2), Ok(()));
        assert_eq!(none.seen(), Seen::default());
    }

    #[test]
    fn a_watch_hears_of_every_change_once() {
        let heard = Arc::new(Mutex::new(Vec::new()));
        let ears = Arc::clone(&heard);
        let progress = Progress::watched(move |seen| {
            ears.lock()
                .unwrap()
                .push((seen.permille, seen.doing.clone()));
        });
        progress.doing("rows");
        for n in 0..=4000 {
            progress.at(n, 4000).unwrap();
        }
        let heard = heard.lock().unwrap();
        assert_eq!(heard.len(), 1001);
        assert_eq!(heard[0], (0, "rows".to_owned()));
        assert_eq!(heard[1000], (1000, "rows".to_owned()));
    }
}
