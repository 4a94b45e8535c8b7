-- Devices that were let in to log from the home network. Who may come in is a matter of this
-- computer, not of the trial: exports leave this table out. Of a device's secret only the hash is
-- kept, so that a copy of the file lets nobody in.
CREATE TABLE device (
  id      TEXT NOT NULL PRIMARY KEY,            -- UUIDv7
  name    TEXT NOT NULL,
  who     TEXT NOT NULL,                        -- who logs with it
  secret  BLOB NOT NULL UNIQUE CHECK (length(secret) = 32), -- SHA-256
  paired  TEXT NOT NULL,                        -- RFC 3339, UTC
  seen    TEXT NOT NULL,                        -- the same, to within some minutes
  revoked TEXT                                  -- since when it is shut out
) STRICT;
