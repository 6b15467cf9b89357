-- What phones kept while they had no connection, and ticks of a job that somebody else had ticked already.

-- +goose Up
-- Nothing here is changed or taken out: an id that comes again is answered as the first time.
CREATE TABLE delivery (
    id          TEXT    PRIMARY KEY CHECK (length(id) = 32), -- made on the phone: 128 random bits in hexadecimal
    kind        TEXT    NOT NULL CHECK (kind <> ''),
    body        TEXT    NOT NULL,                            -- as the phone sent it
    who         TEXT    NOT NULL,                            -- may be empty
    at_ms       INTEGER NOT NULL,                            -- pressed, by the phone's clock
    sent_ms     INTEGER NOT NULL,                            -- by the phone's clock
    received_ms INTEGER NOT NULL,                            -- by the clock of the program
    pressed_ms  INTEGER NOT NULL CHECK (pressed_ms <= received_ms), -- what counts: the time it waited, taken from received
    state       TEXT    NOT NULL CHECK (state IN ('kept', 'already', 'refused')),
    words       TEXT    NOT NULL,                            -- what the phone was told
    serial      INTEGER NOT NULL UNIQUE                      -- the order in which they came
) STRICT, WITHOUT ROWID;

-- Two people tick one job: the tick that came first stands, and the other is kept here.
CREATE TABLE tick_also (
    id      INTEGER PRIMARY KEY AUTOINCREMENT,
    night   TEXT    NOT NULL CHECK (length(night) = 10),
    job     TEXT    NOT NULL CHECK (job <> ''),
    space   TEXT    NOT NULL,
    what    TEXT    NOT NULL,
    who     TEXT    NOT NULL,
    done_ms INTEGER NOT NULL
) STRICT;

CREATE INDEX tick_also_night ON tick_also (night);

-- +goose Down
DROP TABLE tick_also;
DROP TABLE delivery;
