//! An entry before it is written: what jots, forms and imports all make.

use crate::{Act, Entry, EntryId, Origin, TankId, TrialId};
use jiff::{Timestamp, ZonedDateTime};

/// All of an entry but its identity, its writing time and its origin, which the edge adds.
#[derive(Debug, Clone, PartialEq)]
pub struct Draft {
    /// When it happened.
    pub at: ZonedDateTime,
    /// The tanks, resolved.
    pub tanks: Vec<TankId>,
    /// Whether every tank was meant.
    pub all_tanks: bool,
    /// Who did it.
    pub who: String,
    /// Minutes of work.
    pub minutes: Option<f64>,
    /// Free text.
    pub note: String,
    /// What was done or seen.
    pub act: Act,
}

impl Draft {
    /// The entry, once the edge has made its id and read the clock.
    pub fn into_entry(
        self,
        id: EntryId,
        trial: TrialId,
        written: Timestamp,
        origin: Origin,
        supersedes: Option<EntryId>,
    ) -> Entry {
        Entry {
            id,
            trial,
            at: self.at,
            written,
            tanks: self.tanks,
            all_tanks: self.all_tanks,
            who: self.who,
            minutes: self.minutes,
            note: self.note,
            origin,
            supersedes,
            act: self.act,
        }
    }
}
