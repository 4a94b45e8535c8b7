//! What was written down in advance, by the revisions of the trial's record.
//!
//! An outcome named after the results were seen decides nothing, and a stop rule written after the
//! start was not there to be followed: the notebook keeps every revision with its time, so it can
//! tell.

use crate::days;
use jiff::civil::Date;
use serde::Serialize;
use store::Revision;
use trial::{Bench, Record, Trial};

/// Since when the trial says what it says now.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize)]
pub struct InAdvance {
    /// The day from which results count: the treatment's first, else the trial's.
    pub begins: Option<Date>,
    /// Since when the primary outcome is the one it is now.
    pub primary_since: Option<Date>,
    /// Since when the stop rule reads as it does now.
    pub stop_rule_since: Option<Date>,
    /// The day the lot was drawn.
    pub lot_drawn: Option<Date>,
}

impl InAdvance {
    /// The day the primary outcome was named or changed, when that was after the beginning.
    pub fn primary_late(&self) -> Option<Date> {
        late(self.primary_since, self.begins)
    }

    /// The day the stop rule was written or changed, when that was after the beginning.
    pub fn stop_rule_late(&self) -> Option<Date> {
        late(self.stop_rule_since, self.begins)
    }

    /// The day of the lot, when that was after the beginning.
    pub fn lot_late(&self) -> Option<Date> {
        late(self.lot_drawn, self.begins)
    }
}

fn late(day: Option<Date>, begins: Option<Date>) -> Option<Date> {
    day.filter(|d| begins.is_some_and(|b| *d > b))
}

/// The day from which results count.
pub fn begins(bench: &Bench) -> Option<Date> {
    bench
        .trial
        .treatment()
        .map(|p| p.from)
        .or(bench.trial.start)
}

/// What `revisions` of the trial's record, oldest first, say of now.
pub fn in_advance(bench: &Bench, revisions: &[Revision]) -> InAdvance {
    let zone = days::zone(bench);
    let trials: Vec<(&Trial, Date)> = revisions
        .iter()
        .filter_map(|r| match &r.record {
            Record::Trial(t) => Some((t, r.written.to_zoned_datetime(zone.clone()).date())),
            _ => None,
        })
        .collect();
    // The start of the unbroken run of revisions, up to the newest, that say the same.
    let since = |same: &dyn Fn(&Trial) -> bool| {
        trials
            .iter()
            .rev()
            .take_while(|(t, _)| same(t))
            .last()
            .map(|(_, day)| *day)
    };
    let outcome = |t: &Trial| t.primary.as_ref().map(|o| (o.measure, o.plant.clone()));
    InAdvance {
        begins: begins(bench),
        primary_since: outcome(&bench.trial)
            .and_then(|now| since(&|t| outcome(t).as_ref() == Some(&now))),
        stop_rule_since: bench
            .trial
            .stop_rule
            .as_ref()
            .and_then(|now| since(&|t| t.stop_rule.as_ref() == Some(now))),
        lot_drawn: bench.trial.lot.as_ref().map(|l| l.drawn),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;
    use jiff::tz::TimeZone;
    use trial::TrialId;
    use trial::types::{Better, Measure, Outcome, Phase, PhaseKind};
    use uuid::Uuid;

    fn revision(seq: i64, day: Date, trial: &Trial) -> Revision {
        Revision {
            seq,
            written: day.to_zoned_datetime(TimeZone::UTC).unwrap().timestamp(),
            who: String::new(),
            record: Record::Trial(trial.clone()),
            withdrawn: None,
        }
    }

    #[test]
    fn an_outcome_changed_after_the_start_was_not_named_in_advance() {
        let mut trial = Trial::new(TrialId(Uuid::nil()), "t", "UTC");
        trial.phases = vec![Phase {
            kind: PhaseKind::Treatment,
            from: date(2026, 3, 1),
            to: None,
            note: String::new(),
        }];
        let outcome = |measure| {
            Some(Outcome {
                name: "o".into(),
                measure,
                plant: None,
                better: Better::More,
            })
        };
        trial.primary = outcome(Measure::Height);
        let first = revision(1, date(2026, 2, 1), &trial);
        trial.title = "another title".into();
        let second = revision(2, date(2026, 4, 1), &trial);
        let kept = in_advance(&Bench::new(trial.clone()), &[first.clone(), second.clone()]);
        assert_eq!(kept.primary_since, Some(date(2026, 2, 1)));
        assert_eq!(kept.primary_late(), None);
        trial.primary = outcome(Measure::Vigour);
        let third = revision(3, date(2026, 5, 1), &trial);
        let changed = in_advance(&Bench::new(trial), &[first, second, third]);
        assert_eq!(changed.primary_late(), Some(date(2026, 5, 1)));
    }
}
