-- The journal. An entry stands either in entry or, if it came in bulk from a
-- probe, in reading; seq is one numbering over both. A link of the chain is a
-- row of entry, or a block of readings.
CREATE TABLE entry (
  seq       INTEGER PRIMARY KEY,
  id        TEXT NOT NULL UNIQUE,
  kind      TEXT NOT NULL,
  at        TEXT NOT NULL,             -- RFC 3339, UTC, milliseconds
  recorded  TEXT NOT NULL,
  who       TEXT NOT NULL,
  device    TEXT NOT NULL,
  body      TEXT NOT NULL,             -- canonical JSON
  strikes   TEXT,                      -- id of the entry struck or replaced
  photo     TEXT,
  confirmed TEXT,                      -- JSON list of fields
  hash      BLOB NOT NULL
) STRICT;

CREATE TABLE block (
  first    INTEGER PRIMARY KEY,        -- seq of the first reading
  last     INTEGER NOT NULL,
  recorded TEXT NOT NULL,
  who      TEXT NOT NULL,
  device   TEXT NOT NULL,
  hash     BLOB NOT NULL
) STRICT;

CREATE TABLE reading (
  seq            INTEGER PRIMARY KEY,
  id             TEXT NOT NULL UNIQUE,
  at             TEXT NOT NULL,
  bin            TEXT,
  barn           TEXT,
  temp_c         REAL,
  water_frac_wet REAL,
  oxygen_frac    REAL,
  ammonia_ppm    REAL,
  ec_ds_m        REAL,
  ph             REAL,
  depth_m        REAL,
  probe          TEXT,
  probe_id       TEXT,
  note           TEXT,
  confirmed      TEXT
) STRICT;

-- The last link, so that entries lost from the end are noticed.
CREATE TABLE head (
  one  INTEGER PRIMARY KEY CHECK (one = 1),
  seq  INTEGER NOT NULL,
  hash BLOB NOT NULL
) STRICT;
INSERT INTO head VALUES (1, 0, zeroblob(32));

-- Computed things that may be thrown away.
CREATE TABLE snapshot (
  key     TEXT PRIMARY KEY,
  hash    TEXT NOT NULL,               -- link of the journal it was computed at
  version TEXT NOT NULL,               -- of the parameters and the program
  made_at TEXT NOT NULL,
  data    BLOB NOT NULL
) STRICT;

CREATE TABLE result (
  kind    TEXT NOT NULL,
  subject TEXT NOT NULL,
  day     TEXT NOT NULL,
  made_at TEXT NOT NULL,
  fault   TEXT NOT NULL DEFAULT '',    -- why it failed, in words
  data    TEXT NOT NULL,
  PRIMARY KEY (kind, subject, day)
) STRICT, WITHOUT ROWID;
