-- What people said they had done. A tick that is taken back stays, with the moment that ended it: who cut the
-- opening, and when somebody said it was not there after all, may matter in the morning.

-- +goose Up
CREATE TABLE tick (
    id        INTEGER PRIMARY KEY AUTOINCREMENT,
    night     TEXT    NOT NULL CHECK (length(night) = 10), -- local date of the evening, 2006-01-02
    job       TEXT    NOT NULL CHECK (job <> ''),          -- the plan's name for it
    space     TEXT    NOT NULL,
    what      TEXT    NOT NULL,                            -- the work in words, as it was on the page
    who       TEXT    NOT NULL,                            -- may be empty
    done_ms   INTEGER NOT NULL,
    undone_ms INTEGER CHECK (undone_ms IS NULL OR undone_ms >= done_ms) -- NULL: it stands
) STRICT;

-- A job of a night is ticked once or not at all.
CREATE UNIQUE INDEX tick_standing ON tick (night, job) WHERE undone_ms IS NULL;

-- +goose Down
DROP TABLE tick;
