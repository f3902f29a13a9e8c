-- The book. Masses are whole milligrams, moments are seconds since 1970-01-01T00:00:00Z,
-- temperatures are thousandths of a degree Celsius, fractions are parts per million.

-- One row: what the book is.
CREATE TABLE book (
    id       INTEGER PRIMARY KEY CHECK (id = 1),
    name     TEXT    NOT NULL CHECK (name <> ''),
    zone     TEXT    NOT NULL CHECK (zone <> ''),
    rules    TEXT    NOT NULL CHECK (rules <> ''),
    made_at  INTEGER NOT NULL
) STRICT;

-- The text of every migration that made this book what it is.
CREATE TABLE migration (
    version    INTEGER PRIMARY KEY,
    name       TEXT    NOT NULL,
    sql        TEXT    NOT NULL,
    applied_at INTEGER NOT NULL
) STRICT;

CREATE TABLE source (
    id      INTEGER PRIMARY KEY,
    name    TEXT NOT NULL UNIQUE COLLATE NOCASE CHECK (name <> ''),
    letters TEXT NOT NULL UNIQUE CHECK (letters GLOB '[A-Z][A-Z][A-Z]')
) STRICT;

CREATE TABLE place (
    id   INTEGER PRIMARY KEY,
    name TEXT NOT NULL UNIQUE COLLATE NOCASE CHECK (name <> '')
) STRICT;

-- A lot as it came in, or as it was parted from another. Its code is made of the source's letters, the
-- brew date and the number.
CREATE TABLE lot (
    id          INTEGER PRIMARY KEY,
    source_id   INTEGER NOT NULL REFERENCES source (id),
    brewed_on   TEXT    NOT NULL CHECK (length(brewed_on) = 10),
    number      INTEGER NOT NULL CHECK (number BETWEEN 1 AND 999999),
    mash_out_at INTEGER,
    kind        TEXT    NOT NULL CHECK (kind IN ('mashed', 'steeped')),
    form        TEXT    NOT NULL CHECK (CASE form
                    WHEN 'whole' THEN TRUE WHEN 'pressed' THEN TRUE WHEN 'blended' THEN TRUE
                    WHEN 'dried' THEN TRUE WHEN 'milled' THEN TRUE ELSE FALSE END),
    grist       TEXT,
    parent_id   INTEGER REFERENCES lot (id),
    UNIQUE (source_id, brewed_on, number)
) STRICT;

-- One line of the book. Never changed, never deleted; struck by a later entry.
CREATE TABLE entry (
    id                 INTEGER PRIMARY KEY,
    kind               TEXT    NOT NULL,
    lot_id             INTEGER REFERENCES lot (id),
    at                 INTEGER NOT NULL,
    recorded_at        INTEGER NOT NULL,
    recorded_by        TEXT,
    wet_mg             INTEGER CHECK (wet_mg > 0),
    new_lot_id         INTEGER REFERENCES lot (id),
    place_id           INTEGER REFERENCES place (id),
    temperature_mc     INTEGER CHECK (temperature_mc BETWEEN -60000 AND 300000),
    temperature_scale  TEXT    CHECK (temperature_scale IN ('C', 'F')),
    activity_ppm       INTEGER CHECK (activity_ppm BETWEEN 0 AND 1000000),
    words              TEXT,
    struck_entry_id    INTEGER REFERENCES entry (id),
    CHECK (at <= recorded_at),
    -- What each kind holds and what it leaves empty. As one CASE with the commonest kinds first, since it
    -- is gone through for every row; IN with more than two values would fill a table of its own each time.
    CHECK (CASE kind
        WHEN 'pickup' THEN lot_id NOT NULL AND wet_mg NOT NULL AND place_id NOT NULL
            AND coalesce(new_lot_id, temperature_mc, temperature_scale, activity_ppm, struck_entry_id) IS NULL
        WHEN 'reading' THEN lot_id NOT NULL AND temperature_mc NOT NULL AND temperature_scale NOT NULL
            AND coalesce(wet_mg, new_lot_id, place_id, activity_ppm, struck_entry_id) IS NULL
        WHEN 'use' THEN lot_id NOT NULL AND wet_mg NOT NULL AND words NOT NULL
            AND coalesce(new_lot_id, place_id, temperature_mc, temperature_scale, activity_ppm, struck_entry_id) IS NULL
        WHEN 'move' THEN lot_id NOT NULL AND place_id NOT NULL
            AND coalesce(wet_mg, new_lot_id, temperature_mc, temperature_scale, activity_ppm, struck_entry_id) IS NULL
        WHEN 'moisture' THEN lot_id NOT NULL
            AND coalesce(wet_mg, new_lot_id, place_id, temperature_mc, temperature_scale, activity_ppm, struck_entry_id) IS NULL
        WHEN 'cooled' THEN lot_id NOT NULL
            AND coalesce(wet_mg, new_lot_id, place_id, temperature_mc, temperature_scale, activity_ppm, struck_entry_id) IS NULL
        WHEN 'discard' THEN lot_id NOT NULL AND wet_mg NOT NULL AND words NOT NULL
            AND coalesce(new_lot_id, place_id, temperature_mc, temperature_scale, activity_ppm, struck_entry_id) IS NULL
        WHEN 'part' THEN lot_id NOT NULL AND wet_mg NOT NULL AND new_lot_id NOT NULL AND place_id NOT NULL
            AND coalesce(temperature_mc, temperature_scale, activity_ppm, struck_entry_id) IS NULL
        WHEN 'activity' THEN lot_id NOT NULL AND activity_ppm NOT NULL
            AND coalesce(wet_mg, new_lot_id, place_id, temperature_mc, temperature_scale, struck_entry_id) IS NULL
        WHEN 'spoiled' THEN lot_id NOT NULL AND words NOT NULL
            AND coalesce(wet_mg, new_lot_id, place_id, temperature_mc, temperature_scale, activity_ppm, struck_entry_id) IS NULL
        WHEN 'place' THEN place_id NOT NULL
            AND coalesce(wet_mg, new_lot_id, temperature_mc, temperature_scale, activity_ppm, struck_entry_id) IS NULL
        WHEN 'strike' THEN struck_entry_id NOT NULL AND words NOT NULL
            AND coalesce(wet_mg, new_lot_id, place_id, temperature_mc, temperature_scale, activity_ppm) IS NULL
        ELSE FALSE END)
) STRICT;

CREATE INDEX entry_of_lot ON entry (lot_id);
CREATE INDEX entry_taken ON entry (at) WHERE kind IN ('use', 'discard');
CREATE UNIQUE INDEX entry_parting_off ON entry (new_lot_id) WHERE new_lot_id IS NOT NULL;
CREATE UNIQUE INDEX entry_struck ON entry (struck_entry_id) WHERE struck_entry_id IS NOT NULL;
CREATE INDEX entry_of_place ON entry (place_id) WHERE kind = 'place';

-- What a place is stated to be, from the moment of its entry on; the first one holds from the beginning.
CREATE TABLE place_setting (
    entry_id    INTEGER PRIMARY KEY REFERENCES entry (id),
    kind        TEXT    NOT NULL CHECK (kind IN ('hot-hold', 'ambient', 'fridge', 'freezer', 'dry-store')),
    stated_mc   INTEGER NOT NULL CHECK (stated_mc BETWEEN -60000 AND 300000),
    capacity_mg INTEGER CHECK (capacity_mg > 0)
) STRICT;

CREATE TABLE moisture_test (
    entry_id          INTEGER PRIMARY KEY REFERENCES entry (id),
    method            TEXT    NOT NULL CHECK (method IN ('oven', 'microwave', 'air-fryer', 'lab')),
    readability_mg    INTEGER CHECK (readability_mg > 0),
    laboratory_ppm    INTEGER CHECK (laboratory_ppm BETWEEN 1 AND 999999),
    laboratory_sd_ppm INTEGER CHECK (laboratory_sd_ppm BETWEEN 0 AND 200000),
    CHECK ((laboratory_ppm IS NULL) = (laboratory_sd_ppm IS NULL)),
    CHECK ((laboratory_ppm IS NULL) = (readability_mg IS NOT NULL))
) STRICT;

-- Pan and pan + wet grain of one drying; a second stage dries a part of what the first left.
CREATE TABLE weighing (
    entry_id INTEGER NOT NULL REFERENCES moisture_test (entry_id),
    sample   INTEGER NOT NULL CHECK (sample >= 1),
    stage    INTEGER NOT NULL CHECK (stage IN (1, 2)),
    pan_mg   INTEGER NOT NULL CHECK (pan_mg >= 0),
    wet_mg   INTEGER NOT NULL CHECK (wet_mg > pan_mg),
    PRIMARY KEY (entry_id, sample, stage)
) STRICT, WITHOUT ROWID;

-- Pan + dried grain, one row for each time the pan was weighed while it dried.
CREATE TABLE drying (
    entry_id INTEGER NOT NULL,
    sample   INTEGER NOT NULL,
    stage    INTEGER NOT NULL,
    step     INTEGER NOT NULL CHECK (step >= 1),
    dry_mg   INTEGER NOT NULL CHECK (dry_mg > 0),
    PRIMARY KEY (entry_id, sample, stage, step),
    FOREIGN KEY (entry_id, sample, stage) REFERENCES weighing (entry_id, sample, stage)
) STRICT, WITHOUT ROWID;

-- Kept state, written in the transaction that writes the entries it follows from. `draff check` folds
-- the entries again and compares.

-- What is on hand. A lot that is used up or struck has no row.
CREATE TABLE stock (
    lot_id   INTEGER PRIMARY KEY REFERENCES lot (id),
    wet_mg   INTEGER NOT NULL CHECK (wet_mg > 0),
    place_id INTEGER NOT NULL REFERENCES place (id)
) STRICT;

-- Lots with a moisture test in force, so that earlier lots of a source are found without reading all.
CREATE TABLE tested (
    source_id INTEGER NOT NULL REFERENCES source (id),
    kind      TEXT    NOT NULL,
    form      TEXT    NOT NULL,
    brewed_on TEXT    NOT NULL,
    lot_id    INTEGER NOT NULL REFERENCES lot (id),
    PRIMARY KEY (source_id, kind, form, brewed_on, lot_id)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER entry_keeps BEFORE UPDATE ON entry BEGIN SELECT RAISE(ABORT, 'entries are never changed'); END;
CREATE TRIGGER entry_stays BEFORE DELETE ON entry BEGIN SELECT RAISE(ABORT, 'entries are never deleted'); END;
CREATE TRIGGER lot_keeps BEFORE UPDATE ON lot BEGIN SELECT RAISE(ABORT, 'lots are never changed'); END;
CREATE TRIGGER lot_stays BEFORE DELETE ON lot BEGIN SELECT RAISE(ABORT, 'lots are never deleted'); END;
CREATE TRIGGER place_setting_keeps BEFORE UPDATE ON place_setting BEGIN SELECT RAISE(ABORT, 'entries are never changed'); END;
CREATE TRIGGER place_setting_stays BEFORE DELETE ON place_setting BEGIN SELECT RAISE(ABORT, 'entries are never deleted'); END;
CREATE TRIGGER moisture_test_keeps BEFORE UPDATE ON moisture_test BEGIN SELECT RAISE(ABORT, 'entries are never changed'); END;
CREATE TRIGGER moisture_test_stays BEFORE DELETE ON moisture_test BEGIN SELECT RAISE(ABORT, 'entries are never deleted'); END;
CREATE TRIGGER weighing_keeps BEFORE UPDATE ON weighing BEGIN SELECT RAISE(ABORT, 'entries are never changed'); END;
CREATE TRIGGER weighing_stays BEFORE DELETE ON weighing BEGIN SELECT RAISE(ABORT, 'entries are never deleted'); END;
CREATE TRIGGER drying_keeps BEFORE UPDATE ON drying BEGIN SELECT RAISE(ABORT, 'entries are never changed'); END;
CREATE TRIGGER drying_stays BEFORE DELETE ON drying BEGIN SELECT RAISE(ABORT, 'entries are never deleted'); END;
