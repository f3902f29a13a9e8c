-- Handling: what a treatment did to the grain that went in, and what a count found.

-- What came out of it, water that was added, what of the product was left in the machine, and dry grain that
-- went off with the liquor; how long it took and how warm it was.
CREATE TABLE treatment (
    entry_id          INTEGER PRIMARY KEY REFERENCES entry (id),
    step              TEXT    NOT NULL CHECK (step IN ('press', 'blend', 'mill', 'dry', 'thaw-drain', 'soak')),
    out_mg            INTEGER NOT NULL CHECK (out_mg > 0),
    water_mg          INTEGER NOT NULL CHECK (water_mg >= 0),
    left_mg           INTEGER NOT NULL CHECK (left_mg >= 0),
    dry_loss_mg       INTEGER NOT NULL CHECK (dry_loss_mg >= 0),
    minutes           INTEGER CHECK (minutes BETWEEN 1 AND 20160),
    temperature_mc    INTEGER CHECK (temperature_mc BETWEEN -60000 AND 300000),
    temperature_scale TEXT    CHECK (temperature_scale IN ('C', 'F')),
    CHECK ((minutes IS NULL) = (temperature_mc IS NULL) AND (minutes IS NULL) = (temperature_scale IS NULL))
) STRICT;

-- What was found of a lot, and by how much that is less than the book said; more is below nothing.
CREATE TABLE stock_count (
    entry_id INTEGER PRIMARY KEY REFERENCES entry (id),
    found_mg INTEGER NOT NULL CHECK (found_mg >= 0),
    less_mg  INTEGER NOT NULL
) STRICT;

-- Grain that went into something which is no bake of the book is found by what was said of it.
CREATE INDEX entry_said ON entry (words) WHERE kind = 'use';

CREATE TRIGGER treatment_keeps BEFORE UPDATE ON treatment BEGIN SELECT RAISE(ABORT, 'entries are never changed'); END;
CREATE TRIGGER treatment_stays BEFORE DELETE ON treatment BEGIN SELECT RAISE(ABORT, 'entries are never deleted'); END;
CREATE TRIGGER stock_count_keeps BEFORE UPDATE ON stock_count BEGIN SELECT RAISE(ABORT, 'entries are never changed'); END;
CREATE TRIGGER stock_count_stays BEFORE DELETE ON stock_count BEGIN SELECT RAISE(ABORT, 'entries are never deleted'); END;
