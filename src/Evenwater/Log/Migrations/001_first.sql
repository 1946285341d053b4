-- One append-only sequence of entries. A follower's place in it is one number.

CREATE TABLE log (
  identity TEXT NOT NULL            -- a UUID; tells this log from every other, and names the source of its events
) STRICT;

-- One monotonic clock's life: the computer from one start of the program to the next, or one simulated clock.
CREATE TABLE boot (
  id INTEGER PRIMARY KEY,
  token TEXT NOT NULL UNIQUE,       -- a UUID, for those who read more than one log
  version TEXT NOT NULL,            -- of the program
  simulated INTEGER NOT NULL,
  created_ms INTEGER NOT NULL       -- wall time, a label only
) STRICT;

-- The station as it was configured and calibrated when entries were made: what turns raw integers into values again.
CREATE TABLE configuration (
  id INTEGER PRIMARY KEY,
  station TEXT NOT NULL,
  json TEXT NOT NULL,
  created_ms INTEGER NOT NULL,
  UNIQUE (station, json)
) STRICT;

CREATE TABLE entry (
  id INTEGER PRIMARY KEY,           -- dense from 1: a missing number is a missing entry
  boot_id INTEGER NOT NULL REFERENCES boot (id),
  configuration_id INTEGER NOT NULL REFERENCES configuration (id),
  run_id INTEGER,
  mono_ns INTEGER NOT NULL,         -- on the boot's monotonic clock
  wall_ms INTEGER,                  -- Unix milliseconds; null while the clock has never been set
  clock_quality INTEGER NOT NULL,   -- enum ClockQuality
  kind INTEGER NOT NULL,            -- enum EntryKind
  body TEXT                         -- JSON
) STRICT;

CREATE INDEX entry_of_run ON entry (run_id) WHERE run_id IS NOT NULL;
CREATE INDEX entry_not_cycle ON entry (kind) WHERE kind <> 1;

-- Raw device integers of a cycle. A channel that is not fitted has no row.
CREATE TABLE reading (
  entry_id INTEGER NOT NULL REFERENCES entry (id),
  channel INTEGER NOT NULL,         -- enum Channel
  code INTEGER NOT NULL,            -- the device's integer
  reason INTEGER NOT NULL,          -- enum Reason; 0 when the code may be used
  age_ns INTEGER NOT NULL,          -- how long before the entry the device was read
  PRIMARY KEY (entry_id, channel)
) STRICT, WITHOUT ROWID;

CREATE TABLE cursor (
  follower TEXT PRIMARY KEY,
  entry_id INTEGER NOT NULL         -- the last entry that its peer has acknowledged
) STRICT, WITHOUT ROWID;
