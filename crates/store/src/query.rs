//! Which entries to read, and the SQL that walks one index for them.

use jiff::Timestamp;
use quantity::Analyte;
use trial::{PlantingId, TankId, TrialId};

/// A window on the entries of one trial.
#[derive(Debug, Clone, PartialEq)]
pub struct EntryQuery {
    /// The trial.
    pub trial: TrialId,
    /// Only entries that name this tank.
    pub tank: Option<TankId>,
    /// Only entries about this planting.
    pub planting: Option<PlantingId>,
    /// Only these kinds ([`trial::Act::KINDS`]); empty means every kind.
    pub kinds: Vec<&'static str>,
    /// Only readings of this analyte, blanks and standards included.
    pub analyte: Option<Analyte>,
    /// From this instant on, to the millisecond.
    pub from: Option<Timestamp>,
    /// Before this instant, to the millisecond.
    pub to: Option<Timestamp>,
    /// Newest first instead of oldest first.
    pub newest_first: bool,
    /// At most this many.
    pub limit: Option<u32>,
    /// Also entries that were superseded, and undos. Otherwise only what stands.
    pub superseded: bool,
}

impl EntryQuery {
    /// Everything that stands in this trial, oldest first.
    pub fn of(trial: TrialId) -> Self {
        EntryQuery {
            trial,
            tank: None,
            planting: None,
            kinds: Vec::new(),
            analyte: None,
            from: None,
            to: None,
            newest_first: false,
            limit: None,
            superseded: false,
        }
    }

    /// Only this tank's.
    pub fn tank(mut self, tank: TankId) -> Self {
        self.tank = Some(tank);
        self
    }

    /// Only this planting's.
    pub fn planting(mut self, planting: PlantingId) -> Self {
        self.planting = Some(planting);
        self
    }

    /// Only these kinds.
    pub fn kinds(mut self, kinds: &[&'static str]) -> Self {
        self.kinds = kinds.to_vec();
        self
    }

    /// Only readings of this analyte.
    pub fn analyte(mut self, analyte: Analyte) -> Self {
        self.analyte = Some(analyte);
        self
    }

    /// From this instant on.
    pub fn from(mut self, from: Timestamp) -> Self {
        self.from = Some(from);
        self
    }

    /// Before this instant.
    pub fn to(mut self, to: Timestamp) -> Self {
        self.to = Some(to);
        self
    }

    /// The newest first, at most so many.
    pub fn newest(mut self, limit: u32) -> Self {
        self.newest_first = true;
        self.limit = Some(limit);
        self
    }

    /// At most so many.
    pub fn limit(mut self, limit: u32) -> Self {
        self.limit = Some(limit);
        self
    }

    /// Superseded entries and undos too.
    pub fn with_superseded(mut self) -> Self {
        self.superseded = true;
        self
    }

    /// The kinds that can match, each once; `None` when nothing can.
    fn wanted_kinds(&self) -> Option<Vec<&'static str>> {
        let mut kinds = self.kinds.clone();
        kinds.sort_unstable();
        kinds.dedup();
        match self.analyte {
            None => Some(kinds),
            Some(_) if kinds.is_empty() || kinds.contains(&"reading") => Some(vec!["reading"]),
            Some(_) => None,
        }
    }

    /// SQL giving `at_ms, entry` in order; `None` when nothing can match. Parameters: `:trial`,
    /// `:tank`, `:planting` (numbers), `:analyte`, `:from`, `:to` (ms), `:limit`; those unused are
    /// not in the text. Every arm walks one index in the order asked for; several arms are merged.
    pub(crate) fn sql(&self) -> Option<String> {
        let kinds = self.wanted_kinds()?;
        let arms = self.arms(&kinds);
        let order = if self.newest_first { "DESC" } else { "ASC" };
        let mut sql = arms.join(" UNION ALL ");
        sql.push_str(&format!(" ORDER BY at_ms {order}, entry {order}"));
        if self.limit.is_some() {
            sql.push_str(" LIMIT :limit");
        }
        Some(sql)
    }

    fn arms(&self, kinds: &[&'static str]) -> Vec<String> {
        let of_kind = |source: &str, start: &str| -> Vec<String> {
            kinds
                .iter()
                .map(|kind| self.arm(source, &format!("{start} AND k.kind = '{kind}'"), kind))
                .collect()
        };
        if self.planting.is_some() {
            let mut start = "k.planting = :planting".to_string();
            if !kinds.is_empty() {
                start.push_str(&format!(
                    " AND EXISTS (SELECT 1 FROM entry e WHERE e.seq = k.entry AND e.kind IN ('{}'))",
                    kinds.join("', '")
                ));
            }
            if self.tank.is_some() {
                start.push_str(
                    " AND EXISTS (SELECT 1 FROM entry_tank t INDEXED BY entry_tank_by_time
                       WHERE t.tank = :tank AND t.at_ms = k.at_ms AND t.entry = k.entry)",
                );
            }
            // An analyte is asked for, and no reading is about a planting.
            if self.analyte.is_some() {
                start.push_str(" AND :analyte IS NULL");
            }
            return vec![self.arm("entry AS entry FROM entry_planting k", &start, "planting")];
        }
        match (self.tank.is_some(), self.analyte.is_some()) {
            (true, true) => [0, 1]
                .iter()
                .map(|sample| {
                    let start =
                        format!("k.tank = :tank AND k.analyte = :analyte AND k.sample = {sample}");
                    self.arm("entry AS entry FROM tank_reading k", &start, "reading")
                })
                .collect(),
            (false, true) => vec![self.arm(
                "seq AS entry FROM entry k INDEXED BY entry_by_analyte",
                "k.trial = :trial AND k.analyte = :analyte",
                "reading",
            )],
            (true, false) if kinds.is_empty() => vec![self.arm(
                "entry AS entry FROM entry_tank k INDEXED BY entry_tank_by_time",
                "k.tank = :tank",
                "",
            )],
            (true, false) => of_kind("entry AS entry FROM entry_tank k", "k.tank = :tank"),
            (false, false) if kinds.is_empty() => vec![self.arm(
                "seq AS entry FROM entry k INDEXED BY entry_by_time",
                "k.trial = :trial",
                "",
            )],
            (false, false) => of_kind(
                "seq AS entry FROM entry k INDEXED BY entry_by_kind",
                "k.trial = :trial",
            ),
        }
    }

    /// One select over one index. `kind` is the one kind it gives, empty when it gives any.
    fn arm(&self, source: &str, start: &str, kind: &str) -> String {
        let mut sql = format!("SELECT k.at_ms AS at_ms, k.{source} WHERE {start}");
        if self.from.is_some() {
            sql.push_str(" AND k.at_ms >= :from");
        }
        if self.to.is_some() {
            sql.push_str(" AND k.at_ms < :to");
        }
        if !self.superseded {
            let column = if source.starts_with("seq") {
                "seq"
            } else {
                "entry"
            };
            if kind.is_empty() || kind == "undo" {
                sql.push_str(" AND k.kind <> 'undo'");
            }
            sql.push_str(&format!(
                " AND NOT EXISTS (SELECT 1 FROM entry s INDEXED BY entry_superseded
                   WHERE s.supersedes = k.{column})"
            ));
        }
        sql
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Notebook, StoreError};
    use uuid::Uuid;

    /// Every shape of window: with or without each restriction.
    fn shapes() -> Vec<EntryQuery> {
        let mut shapes = Vec::new();
        for bits in 0u32..512 {
            let has = |bit: u32| bits & (1 << bit) != 0;
            let mut query = EntryQuery::of(TrialId(Uuid::nil()));
            query.tank = has(0).then_some(TankId(Uuid::nil()));
            query.planting = has(1).then_some(PlantingId(Uuid::nil()));
            query.analyte = has(2).then_some(Analyte::No3);
            query.from = has(3).then_some(Timestamp::UNIX_EPOCH);
            query.to = has(4).then_some(Timestamp::UNIX_EPOCH);
            query.newest_first = has(5);
            query.limit = has(6).then_some(50);
            query.superseded = has(7);
            query.kinds = if has(8) {
                vec!["dose", "reading", "undo"]
            } else {
                vec![]
            };
            shapes.push(query);
        }
        shapes
    }

    #[test]
    fn every_window_walks_an_index_in_its_order() {
        let folder = tempfile::tempdir().unwrap();
        let notebook = Notebook::create(folder.path()).unwrap();
        for query in shapes() {
            let sql = query.sql().unwrap();
            let plan: Vec<String> = notebook
                .read(|db| {
                    let mut explained = db.prepare(&format!("EXPLAIN QUERY PLAN {sql}"))?;
                    let mut rows = explained.raw_query();
                    let mut steps = Vec::new();
                    while let Some(row) = rows.next()? {
                        steps.push(row.get(3)?);
                    }
                    Ok::<_, StoreError>(steps)
                })
                .unwrap();
            let slow = |step: &String| step.starts_with("SCAN") || step.contains("TEMP B-TREE");
            assert!(!plan.iter().any(slow), "{query:?}\n{sql}\n{plan:#?}");
        }
    }

    #[test]
    fn an_analyte_and_kinds_without_readings_match_nothing() {
        let query = EntryQuery::of(TrialId(Uuid::nil())).analyte(Analyte::No3);
        assert_eq!(query.kinds(&["dose"]).sql(), None);
    }
}
