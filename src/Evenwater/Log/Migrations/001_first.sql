-- One append-only sequence of entries. A follower's place in it is one number. Cycles, nearly all of it, stand many to a row.

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

-- Every entry that is not a cycle. Its number is in no batch and no block; all three together are dense from 1, but for what space.dropped_to tells of.
CREATE TABLE entry (
  id INTEGER PRIMARY KEY,
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
CREATE INDEX entry_of_kind ON entry (kind);
CREATE INDEX entry_undated ON entry (boot_id) WHERE wall_ms IS NULL;

-- The cycles of one commit and one station. No index: each would cost the card one more page every few seconds.
CREATE TABLE batch (
  first_id INTEGER PRIMARY KEY,
  last_id INTEGER NOT NULL,
  count INTEGER NOT NULL,
  readings INTEGER NOT NULL,        -- samples of channels that are fitted
  boot_id INTEGER NOT NULL REFERENCES boot (id),
  configuration_id INTEGER NOT NULL REFERENCES configuration (id),
  run_id INTEGER,
  clock_quality INTEGER NOT NULL,
  first_mono_ns INTEGER NOT NULL,
  last_mono_ns INTEGER NOT NULL,
  first_wall_ms INTEGER,
  last_wall_ms INTEGER,
  columns BLOB NOT NULL             -- BlockCodec
) STRICT;

-- The cycles of up to an hour, made of batches.
CREATE TABLE block (
  first_id INTEGER PRIMARY KEY,
  last_id INTEGER NOT NULL,
  count INTEGER NOT NULL,
  readings INTEGER NOT NULL,
  boot_id INTEGER NOT NULL REFERENCES boot (id),
  configuration_id INTEGER NOT NULL REFERENCES configuration (id),
  run_id INTEGER,
  clock_quality INTEGER NOT NULL,
  first_mono_ns INTEGER NOT NULL,
  last_mono_ns INTEGER NOT NULL,
  first_wall_ms INTEGER,
  last_wall_ms INTEGER,
  columns BLOB NOT NULL
) STRICT;

CREATE INDEX block_of_run ON block (run_id) WHERE run_id IS NOT NULL;
CREATE INDEX block_by_wall ON block (first_wall_ms);

-- Minutes, quarter-hours and days of the blocks' values, many to a row; they outlive the blocks.
CREATE TABLE summary (
  id INTEGER PRIMARY KEY,
  station TEXT NOT NULL,
  channel INTEGER NOT NULL,         -- enum Channel
  grain INTEGER NOT NULL,           -- enum Grain
  start_ms INTEGER NOT NULL,        -- Unix milliseconds of the row's first bucket, a multiple of the row's length
  columns BLOB NOT NULL,            -- SummaryCodec
  UNIQUE (station, channel, grain, start_ms)
) STRICT;

-- How far blocks had to go for want of space. One row.
CREATE TABLE space (
  dropped_to INTEGER NOT NULL       -- cycles up to this number may be gone
) STRICT;

INSERT INTO space (dropped_to) VALUES (0);

CREATE TABLE cursor (
  follower TEXT PRIMARY KEY,
  entry_id INTEGER NOT NULL         -- the last entry that its peer has acknowledged
) STRICT, WITHOUT ROWID;
