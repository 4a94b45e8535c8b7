-- The notebook. Nothing in it is ever changed or deleted: records get new revisions, entries are
-- superseded by later entries. Ids are UUIDs as text so that any SQLite tool can read the file;
-- `n` and `seq` are the short numbers the indexes use.

-- One row per set-up record, whatever its kind; what it says is in its newest revision.
CREATE TABLE record (
  n     INTEGER PRIMARY KEY,
  id    TEXT NOT NULL UNIQUE,
  kind  TEXT NOT NULL,
  trial INTEGER REFERENCES record (n)          -- a trial's own row points to itself
) STRICT;
CREATE INDEX record_of_trial ON record (trial, kind);
CREATE INDEX record_of_kind ON record (kind);

CREATE TABLE revision (
  seq     INTEGER PRIMARY KEY,                 -- order of writing over all records
  record  INTEGER NOT NULL REFERENCES record (n),
  written TEXT NOT NULL,                       -- RFC 3339, UTC
  who     TEXT NOT NULL,
  payload TEXT NOT NULL CHECK (json_valid(payload)),
  digest  BLOB NOT NULL                        -- SHA-256 over the row's texts
) STRICT;
CREATE UNIQUE INDEX revision_of_record ON revision (record, seq);

CREATE TABLE entry (
  seq        INTEGER PRIMARY KEY,              -- order of writing over all trials
  id         TEXT NOT NULL UNIQUE,
  trial      INTEGER NOT NULL REFERENCES record (n),
  nth        INTEGER NOT NULL,                 -- 1, 2, 3, ... within its trial, without gaps
  at         TEXT NOT NULL,                    -- RFC 9557, exactly as given
  at_ms      INTEGER NOT NULL,                 -- the same instant, milliseconds since 1970 UTC
  written    TEXT NOT NULL,                    -- RFC 3339, UTC
  tanks      TEXT NOT NULL CHECK (json_valid(tanks)),
  all_tanks  INTEGER NOT NULL CHECK (all_tanks IN (0, 1)),
  who        TEXT NOT NULL,
  minutes    REAL,
  note       TEXT NOT NULL,
  origin     TEXT NOT NULL CHECK (json_valid(origin)),
  supersedes INTEGER REFERENCES entry (seq),
  kind       TEXT NOT NULL,
  analyte    TEXT,                             -- of readings only
  payload    TEXT NOT NULL CHECK (json_valid(payload)),
  digest     BLOB NOT NULL                     -- SHA-256 over the row's texts
) STRICT;
CREATE UNIQUE INDEX entry_count ON entry (trial, nth);
CREATE UNIQUE INDEX entry_superseded ON entry (supersedes) WHERE supersedes IS NOT NULL;
CREATE INDEX entry_by_time ON entry (trial, at_ms);
CREATE INDEX entry_by_kind ON entry (trial, kind, at_ms);
CREATE INDEX entry_by_analyte ON entry (trial, analyte, at_ms) WHERE analyte IS NOT NULL;

-- What follows is derived from entry, for look-ups by tank and planting.

CREATE TABLE entry_tank (
  tank  INTEGER NOT NULL REFERENCES record (n),
  kind  TEXT NOT NULL,
  at_ms INTEGER NOT NULL,
  entry INTEGER NOT NULL REFERENCES entry (seq),
  PRIMARY KEY (tank, kind, at_ms, entry)
) STRICT, WITHOUT ROWID;
CREATE INDEX entry_tank_by_time ON entry_tank (tank, at_ms, entry);

CREATE TABLE tank_reading (
  tank    INTEGER NOT NULL REFERENCES record (n),
  analyte TEXT NOT NULL,
  sample  INTEGER NOT NULL CHECK (sample IN (0, 1)), -- 0: a blank, a standard or a source water
  at_ms   INTEGER NOT NULL,
  entry   INTEGER NOT NULL REFERENCES entry (seq),
  PRIMARY KEY (tank, analyte, sample, at_ms, entry)
) STRICT, WITHOUT ROWID;

CREATE TABLE entry_planting (
  planting INTEGER NOT NULL REFERENCES record (n),
  at_ms    INTEGER NOT NULL,
  entry    INTEGER NOT NULL REFERENCES entry (seq),
  PRIMARY KEY (planting, at_ms, entry)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER record_kept BEFORE UPDATE ON record
BEGIN SELECT RAISE(ABORT, 'records are never changed: write a new revision'); END;
CREATE TRIGGER record_stays BEFORE DELETE ON record
BEGIN SELECT RAISE(ABORT, 'records are never deleted'); END;
CREATE TRIGGER revision_kept BEFORE UPDATE ON revision
BEGIN SELECT RAISE(ABORT, 'revisions are never changed: write a new one'); END;
CREATE TRIGGER revision_stays BEFORE DELETE ON revision
BEGIN SELECT RAISE(ABORT, 'revisions are never deleted'); END;
CREATE TRIGGER entry_kept BEFORE UPDATE ON entry
BEGIN SELECT RAISE(ABORT, 'entries are never changed: write one that supersedes it'); END;
CREATE TRIGGER entry_stays BEFORE DELETE ON entry
BEGIN SELECT RAISE(ABORT, 'entries are never deleted: write one that supersedes it'); END;
CREATE TRIGGER entry_tank_kept BEFORE UPDATE ON entry_tank
BEGIN SELECT RAISE(ABORT, 'entries are never changed'); END;
CREATE TRIGGER entry_tank_stays BEFORE DELETE ON entry_tank
BEGIN SELECT RAISE(ABORT, 'entries are never deleted'); END;
CREATE TRIGGER tank_reading_kept BEFORE UPDATE ON tank_reading
BEGIN SELECT RAISE(ABORT, 'entries are never changed'); END;
CREATE TRIGGER tank_reading_stays BEFORE DELETE ON tank_reading
BEGIN SELECT RAISE(ABORT, 'entries are never deleted'); END;
CREATE TRIGGER entry_planting_kept BEFORE UPDATE ON entry_planting
BEGIN SELECT RAISE(ABORT, 'entries are never changed'); END;
CREATE TRIGGER entry_planting_stays BEFORE DELETE ON entry_planting
BEGIN SELECT RAISE(ABORT, 'entries are never deleted'); END;
