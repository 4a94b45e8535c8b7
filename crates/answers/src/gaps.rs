//! What the set-up lacks, and what each missing thing costs in certainty.
//!
//! Nothing here stops anybody from logging; it says what could be known if it were filled in.

#[cfg(test)]
mod tests;
mod things;

use jiff::civil::Date;
use text::t;
use trial::act::LivestockHappening;
use trial::describe;
use trial::finding::Subject;
use trial::types::{Measure, PhaseKind};
use trial::{Act, Bench, Entry, Finding, Record, Severity, Tank};

/// What the set-up of `bench` lacks on `today`, weightiest first.
///
/// `entries` may be any window: they only show that something is there after all (animals that came
/// later, a setting made with an entry, a meter used instead of a card).
pub fn gaps(bench: &Bench, entries: &[Entry], today: Date) -> Vec<Finding> {
    let mut gaps = Gaps {
        bench,
        entries,
        today,
        found: vec![],
    };
    gaps.question();
    gaps.arms();
    gaps.factors();
    gaps.lot();
    gaps.found.extend(withdrawn_after_lot(bench));
    gaps.welfare();
    gaps.phases();
    things::tanks(&mut gaps);
    things::plants(&mut gaps);
    things::water(&mut gaps);
    things::keeping(&mut gaps);
    // The order above is the order of weight among equals; the sort is stable.
    gaps.found.sort_by_key(|f| std::cmp::Reverse(f.severity));
    gaps.found
}

/// Tanks that were withdrawn after the lot had given them to an arm: which tanks are left is then no
/// longer by lot alone.
pub fn withdrawn_after_lot(bench: &Bench) -> Vec<Finding> {
    let Some(lot) = &bench.trial.lot else {
        return vec![];
    };
    let zone = crate::days::zone(bench);
    let gone = bench.withdrawn.iter().filter_map(|gone| {
        let Record::Tank(tank) = &gone.record else {
            return None;
        };
        let arm = tank.arm.as_ref()?;
        let day = gone.withdrawn.at.to_zoned_datetime(zone.clone()).date();
        let what = t!(
            "setup.gap_tank_withdrawn",
            tank = tank.name,
            arm = bench.trial.arm(arm).map_or(arm, |a| &a.name),
            day = day,
            why = gone.withdrawn.why
        );
        let remedy = t!("setup.gap_tank_withdrawn_do");
        let finding = Finding::new("gap_tank_withdrawn", Severity::Weakens, what, remedy);
        (day >= lot.drawn).then(|| finding.on(tank.id))
    });
    gone.collect()
}

/// Whether animals live in `tank`: at the start, or since by an arrival among `entries`.
pub fn has_livestock(tank: &Tank, entries: &[Entry]) -> bool {
    tank.livestock.iter().any(|l| l.count > 0)
        || crate::history::in_force(entries).iter().any(|e| {
            matches!(&e.act, Act::Livestock(l) if l.event == LivestockHappening::Arrival)
                && e.tanks.contains(&tank.id)
        })
}

struct Gaps<'a> {
    bench: &'a Bench,
    entries: &'a [Entry],
    today: Date,
    found: Vec<Finding>,
}

impl Gaps<'_> {
    fn add(
        &mut self,
        code: &'static str,
        severity: Severity,
        what: impl Into<String>,
        remedy: &str,
    ) {
        self.found
            .push(Finding::new(code, severity, what, remedy).on(self.bench.trial.id));
    }

    /// One finding for all tanks that lack something; `what` gets their names and number.
    fn add_tanks(
        &mut self,
        code: &'static str,
        severity: Severity,
        lacks: impl Fn(&Tank) -> bool,
        what: impl Fn(String, usize) -> String,
        remedy: &str,
    ) {
        let lacking: Vec<&Tank> = self.bench.tanks.iter().filter(|t| lacks(t)).collect();
        let names: Vec<String> = lacking.iter().map(|t| t.name.clone()).collect();
        if names.is_empty() {
            return;
        }
        let what = what(describe::list(&names), names.len());
        let finding = Finding::new(code, severity, what, remedy);
        let finding = finding.about(lacking.iter().map(|t| Subject::Tank(t.id)));
        self.found.push(match lacking.as_slice() {
            [one] => finding.on(one.id),
            _ => finding.on(self.bench.trial.id),
        });
    }

    fn started(&self) -> bool {
        self.bench.trial.start.is_some_and(|s| s <= self.today)
    }

    fn measures(&self) -> impl Iterator<Item = Measure> {
        let trial = &self.bench.trial;
        trial
            .primary
            .iter()
            .chain(&trial.secondary)
            .map(|o| o.measure)
    }

    fn question(&mut self) {
        use Severity::*;
        let bench = self.bench;
        let trial = &bench.trial;
        if trial.question.trim().is_empty() {
            self.add(
                "gap_question",
                Serious,
                t!("setup.gap_question"),
                t!("setup.gap_question_do"),
            );
        }
        let Some(primary) = &trial.primary else {
            let remedy = if self.started() {
                t!("setup.gap_primary_do_late")
            } else {
                t!("setup.gap_primary_do")
            };
            self.add("gap_primary", Serious, t!("setup.gap_primary"), remedy);
            return;
        };
        if let Some(plant) = &primary.plant {
            self.add_tanks(
                "gap_primary_plant",
                Serious,
                |t| {
                    !bench
                        .plantings_in(t.id)
                        .any(|p| p.scientific_name == *plant)
                },
                |tanks, n| {
                    t!(
                        "setup.gap_primary_plant",
                        plant = plant,
                        tanks = tanks,
                        n = n
                    )
                },
                t!("setup.gap_primary_plant_do"),
            );
        }
    }

    fn arms(&mut self) {
        use Severity::*;
        if self.bench.tanks.is_empty() {
            self.add(
                "gap_tanks",
                Serious,
                t!("setup.gap_tanks"),
                t!("setup.gap_tanks_do"),
            );
            return;
        }
        if self.bench.trial.arms.len() < 2 {
            self.add(
                "gap_arms",
                Serious,
                t!("setup.gap_arms"),
                t!("setup.gap_arms_do"),
            );
            return;
        }
        let trial = &self.bench.trial;
        let lone: Vec<String> = trial
            .arms
            .iter()
            .filter(|a| self.bench.tanks_of_arm(&a.key).count() < 2)
            .map(|a| a.name.clone())
            .collect();
        if !lone.is_empty() {
            let what = t!(
                "setup.gap_arm_small",
                arms = describe::list(&lone),
                n = lone.len()
            );
            self.add("gap_arm_small", Serious, what, t!("setup.gap_arm_small_do"));
        }
        self.add_tanks(
            "gap_tank_arm",
            Weakens,
            |t| t.arm.as_deref().is_none_or(|a| trial.arm(a).is_none()),
            |tanks, n| t!("setup.gap_tank_arm", tanks = tanks, n = n),
            t!("setup.gap_tank_arm_do"),
        );
        if !trial.arms.iter().any(|a| a.control) {
            self.add(
                "gap_control",
                Note,
                t!("setup.gap_control"),
                t!("setup.gap_control_do"),
            );
        }
    }

    fn factors(&mut self) {
        use Severity::*;
        let trial = &self.bench.trial;
        if trial.arms.len() < 2 {
            return;
        }
        match trial.differ.as_slice() {
            [] => self.add(
                "gap_differ",
                Serious,
                t!("setup.gap_differ"),
                t!("setup.gap_differ_do"),
            ),
            [_] => {}
            many => {
                let names: Vec<String> = many.iter().map(|f| f.name.clone()).collect();
                let what = t!("setup.gap_differ_many", factors = describe::list(&names));
                self.add(
                    "gap_differ_many",
                    Weakens,
                    what,
                    t!("setup.gap_differ_many_do"),
                );
            }
        }
        let unsaid: Vec<String> = trial
            .differ
            .iter()
            .filter(|f| {
                let said = |key: &str| f.levels.iter().any(|l| l.arm == key && !l.value.is_empty());
                !trial.arms.iter().all(|a| said(&a.key))
            })
            .map(|f| f.name.clone())
            .collect();
        if !unsaid.is_empty() {
            let what = t!(
                "setup.gap_levels",
                factors = describe::list(&unsaid),
                n = unsaid.len()
            );
            self.add("gap_levels", Weakens, what, t!("setup.gap_levels_do"));
        }
        if trial.equal.is_empty() {
            self.add(
                "gap_equal",
                Weakens,
                t!("setup.gap_equal"),
                t!("setup.gap_equal_do"),
            );
        }
    }

    fn lot(&mut self) {
        let trial = &self.bench.trial;
        match (&trial.lot, trial.start) {
            (None, _) if trial.arms.len() >= 2 => {
                let remedy = if self.started() {
                    t!("setup.gap_lot_do_late")
                } else {
                    t!("setup.gap_lot_do")
                };
                self.add("gap_lot", Severity::Weakens, t!("setup.gap_lot"), remedy);
            }
            (Some(lot), Some(start)) if lot.drawn > start => {
                let what = t!("setup.gap_lot_after", drawn = lot.drawn, start = start);
                self.add(
                    "gap_lot_after",
                    Severity::Weakens,
                    what,
                    t!("setup.gap_lot_after_do"),
                );
            }
            _ => {}
        }
    }

    fn welfare(&mut self) {
        use Severity::*;
        let animals = self
            .bench
            .tanks
            .iter()
            .any(|t| has_livestock(t, self.entries));
        if self
            .bench
            .trial
            .stop_rule
            .as_ref()
            .is_none_or(|r| r.trim().is_empty())
        {
            let (severity, what) = if animals {
                (Serious, t!("setup.gap_stop_rule_animals"))
            } else {
                (Weakens, t!("setup.gap_stop_rule"))
            };
            self.add(
                "gap_stop_rule",
                severity,
                what,
                t!("setup.gap_stop_rule_do"),
            );
        }
        if !animals && !self.bench.tanks.is_empty() {
            let what = t!("setup.gap_livestock");
            self.add("gap_livestock", Note, what, t!("setup.gap_livestock_do"));
        }
    }

    fn phases(&mut self) {
        use Severity::*;
        let trial = &self.bench.trial;
        if trial.start.is_none() {
            self.add(
                "gap_start",
                Weakens,
                t!("setup.gap_start"),
                t!("setup.gap_start_do"),
            );
        }
        let has = |kind| trial.phases.iter().any(|p| p.kind == kind);
        let (baseline, treatment) = (has(PhaseKind::Baseline), has(PhaseKind::Treatment));
        if trial.phases.is_empty() {
            self.add(
                "gap_phases",
                Weakens,
                t!("setup.gap_phases"),
                t!("setup.gap_phases_do"),
            );
            return;
        }
        if !treatment {
            let what = t!("setup.gap_treatment");
            self.add("gap_treatment", Weakens, what, t!("setup.gap_treatment_do"));
        }
        if !baseline {
            let what = t!("setup.gap_baseline");
            self.add("gap_baseline", Weakens, what, t!("setup.gap_baseline_do"));
        }
    }
}
