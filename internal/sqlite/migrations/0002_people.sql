-- Who may come in. Passwords and PINs stand here as Argon2id, tokens as SHA-256.
CREATE TABLE account (
  id       TEXT PRIMARY KEY,
  name     TEXT NOT NULL,
  folded   TEXT NOT NULL UNIQUE,        -- as names are compared
  role     TEXT NOT NULL CHECK (role IN ('owner','crew','reader')),
  password TEXT NOT NULL,
  pin      TEXT NOT NULL,
  shut     INTEGER NOT NULL CHECK (shut IN (0, 1)),
  made     TEXT NOT NULL                -- RFC 3339, UTC, milliseconds
) STRICT;

CREATE TABLE device (
  hash TEXT PRIMARY KEY,
  name TEXT NOT NULL,
  made TEXT NOT NULL
) STRICT;

-- Who signed in with the password on a device.
CREATE TABLE familiar (
  device  TEXT NOT NULL REFERENCES device,
  account TEXT NOT NULL REFERENCES account,
  tries   INTEGER NOT NULL,             -- wrong PINs in a row
  at      TEXT NOT NULL,
  PRIMARY KEY (device, account)
) STRICT, WITHOUT ROWID;

CREATE TABLE session (
  hash    TEXT PRIMARY KEY,
  account TEXT NOT NULL REFERENCES account,
  device  TEXT NOT NULL REFERENCES device,
  by_pin  INTEGER NOT NULL CHECK (by_pin IN (0, 1)),
  made    TEXT NOT NULL,
  seen    TEXT NOT NULL
) STRICT;

CREATE TABLE invite (
  hash    TEXT PRIMARY KEY,
  name    TEXT NOT NULL,
  role    TEXT NOT NULL CHECK (role IN ('owner','crew','reader')),
  account TEXT REFERENCES account,      -- whose password it replaces
  by      TEXT NOT NULL,
  made    TEXT NOT NULL,
  ends    TEXT NOT NULL
) STRICT;
