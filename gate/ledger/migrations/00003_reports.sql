-- What a job took and what it handled, so that minutes per job can be learned; and what people say about the work
-- beside that it is done.

-- +goose Up
ALTER TABLE tick ADD COLUMN minutes REAL    NOT NULL DEFAULT 0 CHECK (minutes >= 0); -- 0: nobody said
ALTER TABLE tick ADD COLUMN people  INTEGER NOT NULL DEFAULT 0 CHECK (people >= 0);  -- 0: nobody said
ALTER TABLE tick ADD COLUMN handled TEXT    NOT NULL DEFAULT '';                     -- kind; empty: teaches nothing
ALTER TABLE tick ADD COLUMN amount  REAL    NOT NULL DEFAULT 0 CHECK (amount >= 0);
ALTER TABLE tick ADD COLUMN slow    INTEGER NOT NULL DEFAULT 0 CHECK (slow IN (0, 1));

-- Like a tick, a report that is taken back stays with the moment that ended it.
CREATE TABLE report (
    id       INTEGER PRIMARY KEY AUTOINCREMENT,
    night    TEXT    NOT NULL CHECK (length(night) = 10), -- local date of the evening, 2006-01-02
    kind     TEXT    NOT NULL CHECK (kind IN ('begun', 'skipped', 'late', 'torn', 'missing')),
    about    TEXT    NOT NULL CHECK (about <> ''),        -- the job's name in the plan, or the person's
    space    TEXT    NOT NULL,
    what     TEXT    NOT NULL,                            -- the work in words, as it was on the page
    item     TEXT    NOT NULL,                            -- what is torn, as the shed names it
    who      TEXT    NOT NULL,                            -- who says so; may be empty
    said_ms  INTEGER NOT NULL,
    until_ms INTEGER NOT NULL,                            -- of late: not before; else as said_ms
    ended_ms INTEGER CHECK (ended_ms IS NULL OR ended_ms >= said_ms) -- NULL: it stands
) STRICT;

-- A job of a night is late once: said again, the new hour counts. Torn pieces are counted.
CREATE UNIQUE INDEX report_standing ON report (night, kind, about, space) WHERE ended_ms IS NULL AND kind <> 'torn';

-- +goose Down
DROP TABLE report;
ALTER TABLE tick DROP COLUMN slow;
ALTER TABLE tick DROP COLUMN amount;
ALTER TABLE tick DROP COLUMN handled;
ALTER TABLE tick DROP COLUMN people;
ALTER TABLE tick DROP COLUMN minutes;
