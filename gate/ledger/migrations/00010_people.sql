-- Who may see and do what, by which invitation they came, on which phones they are, and what they did.

-- +goose Up
CREATE TABLE person (
    id        INTEGER PRIMARY KEY AUTOINCREMENT,
    name      TEXT    NOT NULL CHECK (name <> ''),
    role      TEXT    NOT NULL CHECK (role IN ('owner', 'crew', 'look')),
    hash      TEXT    NOT NULL,                              -- of the password (argon2id); '' for one who came by invitation and set none
    joined_ms INTEGER NOT NULL,
    left_ms   INTEGER CHECK (left_ms IS NULL OR left_ms >= joined_ms)
) STRICT;

CREATE UNIQUE INDEX person_name ON person (lower(name)) WHERE left_ms IS NULL;

CREATE TABLE invitation (
    id       INTEGER PRIMARY KEY AUTOINCREMENT,
    hash     BLOB    NOT NULL UNIQUE CHECK (length(hash) = 32), -- SHA-256 of what the QR code carries
    name     TEXT    NOT NULL CHECK (name <> ''),
    role     TEXT    NOT NULL CHECK (role IN ('owner', 'crew', 'look')),
    made_by  INTEGER NOT NULL REFERENCES person (id),
    made_ms  INTEGER NOT NULL,
    until_ms INTEGER NOT NULL CHECK (until_ms > made_ms),
    used_ms  INTEGER,
    used_by  INTEGER REFERENCES person (id)
) STRICT;

-- A signed-in phone or computer. The name of a session is the hash of what the browser holds.
CREATE TABLE session (
    token    TEXT    PRIMARY KEY,
    data     BLOB    NOT NULL,
    until_ms INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

-- What people did. Nothing here is ever changed or taken out by the program.
CREATE TABLE deed (
    id    INTEGER PRIMARY KEY AUTOINCREMENT,
    at_ms INTEGER NOT NULL,
    who   TEXT    NOT NULL, -- the name; '' for somebody who has not joined
    what  TEXT    NOT NULL CHECK (what <> ''),
    about TEXT    NOT NULL
) STRICT;

-- +goose StatementBegin
CREATE TRIGGER deed_stays_as_it_is BEFORE UPDATE ON deed BEGIN SELECT raise(ABORT, 'what was done stays as it was written'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER deed_stays BEFORE DELETE ON deed BEGIN SELECT raise(ABORT, 'what was done stays written'); END;
-- +goose StatementEnd

-- +goose Down
DROP TABLE deed;
DROP TABLE session;
DROP TABLE invitation;
DROP TABLE person;
