-- Photos of entries, under the SHA-256 of what is in them. They stand in the
-- farm's one file, so that a copy of it has them.
CREATE TABLE photo (
  name   TEXT PRIMARY KEY,
  width  INTEGER NOT NULL,
  height INTEGER NOT NULL,
  kept   TEXT NOT NULL,                -- RFC 3339, UTC, milliseconds
  data   BLOB NOT NULL
) STRICT;
