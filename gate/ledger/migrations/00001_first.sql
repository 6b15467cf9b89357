-- The ledger's first shape: what the site file said, what the sky was said to bring, what was planned.
-- Times are whole milliseconds since 1970-01-01 00:00 UTC, in columns that end in _ms.

-- +goose Up

-- Marks the file as ours ("CNLG"), so that another program's database is refused instead of changed.
PRAGMA application_id = 1129204807;

-- One row per different text: going back to an old text does not store it twice.
CREATE TABLE site_text (
    hash TEXT PRIMARY KEY CHECK (length(hash) = 64), -- SHA-256 of text, hex
    text TEXT NOT NULL
) STRICT;

-- One row each time the site file changed, a return to an old text included.
CREATE TABLE site_version (
    id       INTEGER PRIMARY KEY AUTOINCREMENT,
    hash     TEXT    NOT NULL REFERENCES site_text (hash),
    saved_ms INTEGER NOT NULL
) STRICT;

CREATE TABLE forecast (
    id           INTEGER PRIMARY KEY AUTOINCREMENT,
    source       TEXT    NOT NULL CHECK (source <> ''),
    issued_ms    INTEGER NOT NULL, -- when the source says it was made
    fetched_ms   INTEGER NOT NULL, -- when these bytes first reached us
    confirmed_ms INTEGER NOT NULL, -- when the source last said the same
    etag         TEXT    NOT NULL,
    hash         TEXT    NOT NULL CHECK (length(hash) = 64), -- SHA-256 of the bytes as they came, hex
    raw_bytes    INTEGER NOT NULL CHECK (raw_bytes >= 0),
    raw_gzip     BLOB    NOT NULL,
    UNIQUE (source, issued_ms, hash)
) STRICT;

CREATE INDEX forecast_newest ON forecast (source, issued_ms, id);

CREATE TABLE plan (
    id          INTEGER PRIMARY KEY AUTOINCREMENT,
    issued_ms   INTEGER NOT NULL, -- when the plan was made
    now_ms      INTEGER NOT NULL, -- the moment it was made for
    site_hash   TEXT    NOT NULL REFERENCES site_text (hash),
    forecast_id INTEGER REFERENCES forecast (id), -- NULL: the weather came from a file
    body        TEXT    NOT NULL CHECK (json_valid(body))
) STRICT;

CREATE INDEX plan_newest ON plan (issued_ms, id);

-- +goose Down
DROP TABLE plan;
DROP TABLE forecast;
DROP TABLE site_version;
DROP TABLE site_text;
