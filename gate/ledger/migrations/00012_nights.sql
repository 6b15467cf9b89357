-- Which nights each plan speaks of, so that the nights past are listed without reading every plan.

-- +goose Up
CREATE TABLE plan_night (
    night   TEXT    NOT NULL CHECK (length(night) = 10), -- local date of the evening, 2006-01-02
    plan_id INTEGER NOT NULL REFERENCES plan (id) ON DELETE CASCADE,
    PRIMARY KEY (night, plan_id)
) STRICT, WITHOUT ROWID;

-- Plans that are there already.
INSERT OR IGNORE INTO plan_night (night, plan_id)
SELECT json_extract(n.value, '$.date'), plan.id FROM plan, json_each(plan.body, '$.nights') n
WHERE n.type = 'object' AND json_type(n.value, '$.date') = 'text' AND length(json_extract(n.value, '$.date')) = 10;

-- +goose StatementBegin
CREATE TRIGGER plan_nights AFTER INSERT ON plan BEGIN
    INSERT OR IGNORE INTO plan_night (night, plan_id)
    SELECT json_extract(n.value, '$.date'), NEW.id FROM json_each(NEW.body, '$.nights') n
    WHERE n.type = 'object' AND json_type(n.value, '$.date') = 'text' AND length(json_extract(n.value, '$.date')) = 10;
END;
-- +goose StatementEnd

-- +goose Down
DROP TRIGGER plan_nights;
DROP TABLE plan_night;
