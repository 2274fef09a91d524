-- Forecasts held against what was read afterwards, kept for ever: a row is put
-- down once and never changed. Numbers are in the measure in which the twins take
-- the reading in: Celsius, shares, metres, kilograms, of worms the natural log of
-- kilograms or numbers on a square metre.
CREATE TABLE score (
  bin          TEXT NOT NULL,
  entry        TEXT NOT NULL,             -- of the reading
  kind         TEXT NOT NULL,             -- temperature, moisture, height, ...
  horizon_days INTEGER NOT NULL,
  hour         INTEGER NOT NULL,          -- of the reading, since 1970-01-01T00Z
  issue        INTEGER NOT NULL,          -- hour of the forecast
  depth        REAL NOT NULL,             -- below the surface [m], 0 where it has none
  told         REAL NOT NULL,             -- what was read
  sd           REAL NOT NULL,             -- its error
  p05          REAL NOT NULL,             -- the forecast of the reading
  p25          REAL NOT NULL,
  p50          REAL NOT NULL,
  p75          REAL NOT NULL,
  p95          REAL NOT NULL,
  below        REAL NOT NULL,             -- chance that it gave to less than was read
  crps         REAL NOT NULL,
  last_crps    REAL,                      -- of the last reading kept, NULL where there was none
  season_crps  REAL,                      -- of what is usual at the time of the year
  make         TEXT NOT NULL,             -- of the twins
  made         INTEGER NOT NULL,          -- hour at which it was scored
  PRIMARY KEY (entry, bin, kind, horizon_days)
) STRICT, WITHOUT ROWID;

-- Readings that were looked at, whether or not there was a forecast of them.
CREATE TABLE scored (
  entry TEXT PRIMARY KEY
) STRICT, WITHOUT ROWID;
