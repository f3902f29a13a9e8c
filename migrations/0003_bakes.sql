-- Bakes, the book's own settings, and wider kinds of entries: handled, joined and counted grain, a logger's
-- readings, accepted plans. A table's CHECK cannot be widened, so the table of entries is made anew and
-- every row carried over as it is; the tables that only some kinds fill come with what uses them.

CREATE TABLE bake (
    id         INTEGER PRIMARY KEY,
    formula_id INTEGER NOT NULL REFERENCES formula (id)
) STRICT;

CREATE TABLE wider_entry (
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
    bake_id            INTEGER REFERENCES bake (id),
    ending             TEXT    CHECK (ending IN ('feed', 'compost', 'waste')),
    CHECK (at <= recorded_at),
    -- What each kind holds and what it leaves empty; a use and a discard are the only kinds with a choice.
    -- As one CASE with the commonest kinds first, since it is gone through for every row.
    CHECK (CASE kind
        WHEN 'pickup' THEN lot_id NOT NULL AND wet_mg NOT NULL AND place_id NOT NULL
            AND coalesce(new_lot_id, temperature_mc, temperature_scale, activity_ppm, struck_entry_id, bake_id, ending) IS NULL
        WHEN 'reading' THEN lot_id NOT NULL AND temperature_mc NOT NULL AND temperature_scale NOT NULL
            AND coalesce(wet_mg, new_lot_id, place_id, activity_ppm, struck_entry_id, bake_id, ending) IS NULL
        WHEN 'use' THEN lot_id NOT NULL AND wet_mg NOT NULL AND words NOT NULL
            AND coalesce(new_lot_id, place_id, temperature_mc, temperature_scale, activity_ppm, struck_entry_id, ending) IS NULL
        WHEN 'move' THEN lot_id NOT NULL AND place_id NOT NULL
            AND coalesce(wet_mg, new_lot_id, temperature_mc, temperature_scale, activity_ppm, struck_entry_id, bake_id, ending) IS NULL
        WHEN 'moisture' THEN lot_id NOT NULL
            AND coalesce(wet_mg, new_lot_id, place_id, temperature_mc, temperature_scale, activity_ppm, struck_entry_id, bake_id, ending) IS NULL
        WHEN 'cooled' THEN lot_id NOT NULL
            AND coalesce(wet_mg, new_lot_id, place_id, temperature_mc, temperature_scale, activity_ppm, struck_entry_id, bake_id, ending) IS NULL
        WHEN 'discard' THEN lot_id NOT NULL AND wet_mg NOT NULL AND words NOT NULL
            AND coalesce(new_lot_id, place_id, temperature_mc, temperature_scale, activity_ppm, struck_entry_id, bake_id) IS NULL
        WHEN 'part' THEN lot_id NOT NULL AND wet_mg NOT NULL AND new_lot_id NOT NULL AND place_id NOT NULL
            AND coalesce(temperature_mc, temperature_scale, activity_ppm, struck_entry_id, bake_id, ending) IS NULL
        -- Of so much wet grain another lot was made, by pressing or the like; what came out stands beside it.
        WHEN 'treat' THEN lot_id NOT NULL AND wet_mg NOT NULL AND new_lot_id NOT NULL AND place_id NOT NULL
            AND coalesce(temperature_mc, temperature_scale, activity_ppm, struck_entry_id, bake_id, ending) IS NULL
        -- So much of a lot went into a lot made of several; one entry for each of them.
        WHEN 'join' THEN lot_id NOT NULL AND wet_mg NOT NULL AND new_lot_id NOT NULL AND place_id NOT NULL
            AND coalesce(temperature_mc, temperature_scale, activity_ppm, struck_entry_id, bake_id, ending) IS NULL
        -- A lot was weighed; what was found and what was booked stands beside it.
        WHEN 'count' THEN lot_id NOT NULL
            AND coalesce(wet_mg, new_lot_id, place_id, temperature_mc, temperature_scale, activity_ppm, struck_entry_id, bake_id, ending) IS NULL
        WHEN 'activity' THEN lot_id NOT NULL AND activity_ppm NOT NULL
            AND coalesce(wet_mg, new_lot_id, place_id, temperature_mc, temperature_scale, struck_entry_id, bake_id, ending) IS NULL
        WHEN 'spoiled' THEN lot_id NOT NULL AND words NOT NULL
            AND coalesce(wet_mg, new_lot_id, place_id, temperature_mc, temperature_scale, activity_ppm, struck_entry_id, bake_id, ending) IS NULL
        WHEN 'place' THEN place_id NOT NULL
            AND coalesce(lot_id, wet_mg, new_lot_id, temperature_mc, temperature_scale, activity_ppm, struck_entry_id, bake_id, ending) IS NULL
        -- A logger's file was read; its readings stand beside it.
        WHEN 'readings' THEN place_id NOT NULL
            AND coalesce(lot_id, wet_mg, new_lot_id, temperature_mc, temperature_scale, activity_ppm, struck_entry_id, bake_id, ending) IS NULL
        -- What a bake is to be, from here on; what it came to; that it is not baked after all.
        WHEN 'bake' THEN bake_id NOT NULL
            AND coalesce(lot_id, wet_mg, new_lot_id, place_id, temperature_mc, temperature_scale, activity_ppm, struck_entry_id, ending) IS NULL
        WHEN 'baked' THEN bake_id NOT NULL
            AND coalesce(lot_id, wet_mg, new_lot_id, place_id, temperature_mc, temperature_scale, activity_ppm, struck_entry_id, ending) IS NULL
        WHEN 'drop' THEN bake_id NOT NULL
            AND coalesce(lot_id, wet_mg, new_lot_id, place_id, temperature_mc, temperature_scale, activity_ppm, struck_entry_id, ending) IS NULL
        WHEN 'setting' THEN words NOT NULL
            AND coalesce(lot_id, wet_mg, new_lot_id, place_id, temperature_mc, temperature_scale, activity_ppm, struck_entry_id, bake_id, ending) IS NULL
        WHEN 'plan' THEN coalesce(lot_id, wet_mg, new_lot_id, place_id, temperature_mc, temperature_scale, activity_ppm, struck_entry_id, bake_id, ending) IS NULL
        WHEN 'strike' THEN struck_entry_id NOT NULL AND words NOT NULL
            AND coalesce(wet_mg, new_lot_id, place_id, temperature_mc, temperature_scale, activity_ppm, ending) IS NULL
        ELSE FALSE END)
) STRICT;

INSERT INTO wider_entry (id, kind, lot_id, at, recorded_at, recorded_by, wet_mg, new_lot_id, place_id,
                         temperature_mc, temperature_scale, activity_ppm, words, struck_entry_id)
SELECT id, kind, lot_id, at, recorded_at, recorded_by, wet_mg, new_lot_id, place_id,
       temperature_mc, temperature_scale, activity_ppm, words, struck_entry_id
FROM entry ORDER BY id;

DROP TABLE entry;
ALTER TABLE wider_entry RENAME TO entry;

CREATE INDEX entry_of_lot ON entry (lot_id);
CREATE INDEX entry_taken ON entry (at) WHERE kind IN ('use', 'discard', 'treat', 'count');
-- A lot is made by one entry, or joined by one entry for each lot that went into it.
CREATE UNIQUE INDEX entry_making ON entry (new_lot_id, lot_id) WHERE new_lot_id IS NOT NULL;
CREATE UNIQUE INDEX entry_struck ON entry (struck_entry_id) WHERE struck_entry_id IS NOT NULL;
CREATE INDEX entry_of_place ON entry (place_id) WHERE kind = 'place';
CREATE INDEX entry_of_bake ON entry (bake_id) WHERE bake_id IS NOT NULL;

CREATE TRIGGER entry_keeps BEFORE UPDATE ON entry BEGIN SELECT RAISE(ABORT, 'entries are never changed'); END;
CREATE TRIGGER entry_stays BEFORE DELETE ON entry BEGIN SELECT RAISE(ABORT, 'entries are never deleted'); END;

-- What a bake is to be. The mixing time follows from the formula's steps and is not kept.
CREATE TABLE bake_setting (
    entry_id   INTEGER PRIMARY KEY REFERENCES entry (id),
    version_id INTEGER NOT NULL REFERENCES formula_version (id),
    point      TEXT    NOT NULL CHECK (point IN ('mix', 'in-oven', 'ready')),
    point_at   INTEGER NOT NULL,
    pieces     INTEGER NOT NULL CHECK (pieces BETWEEN 1 AND 100000),
    piece_mg   INTEGER NOT NULL CHECK (piece_mg > 0),
    share_ppm  INTEGER CHECK (share_ppm BETWEEN 0 AND 1000000),
    firm       INTEGER NOT NULL CHECK (firm IN (0, 1)),
    most_lots  INTEGER CHECK (most_lots >= 1),
    free_of    TEXT    CHECK (free_of <> '')
) STRICT;

-- The lots it is to be made of, in the order in which they are used up.
CREATE TABLE bake_lot (
    entry_id INTEGER NOT NULL REFERENCES bake_setting (entry_id),
    position INTEGER NOT NULL CHECK (position >= 1),
    lot_id   INTEGER NOT NULL REFERENCES lot (id),
    PRIMARY KEY (entry_id, position)
) STRICT, WITHOUT ROWID;

-- What a bake came to, beside what the sheet said: water to pour first and to hold back in the stage of the
-- grain. By how much mixing warmed the dough follows from all temperatures measured at that time.
CREATE TABLE bake_result (
    entry_id      INTEGER PRIMARY KEY REFERENCES entry (id),
    setting_id    INTEGER NOT NULL REFERENCES bake_setting (entry_id),
    said_pour_mg  INTEGER NOT NULL CHECK (said_pour_mg >= 0),
    said_hold_mg  INTEGER NOT NULL CHECK (said_hold_mg >= 0),
    water_mg      INTEGER CHECK (water_mg >= 0),
    pieces        INTEGER CHECK (pieces BETWEEN 0 AND 100000),
    baked_mg      INTEGER CHECK (baked_mg > 0),
    dough_mc      INTEGER CHECK (dough_mc BETWEEN -60000 AND 300000),
    mixing_mk     INTEGER CHECK (mixing_mk BETWEEN 0 AND 40000),
    rating        INTEGER CHECK (rating BETWEEN 1 AND 5)
) STRICT;

-- What the book is told of the house it is for; the last one of a name holds.
CREATE TABLE book_setting (
    entry_id INTEGER PRIMARY KEY REFERENCES entry (id),
    name     TEXT    NOT NULL CHECK (name <> ''),
    value    TEXT    NOT NULL CHECK (value <> '')
) STRICT;

-- Kept state, like that of lots: bakes that are neither done nor dropped, and what they are to be.
CREATE TABLE open_bake (
    bake_id  INTEGER PRIMARY KEY REFERENCES bake (id),
    entry_id INTEGER NOT NULL REFERENCES bake_setting (entry_id)
) STRICT;

CREATE TRIGGER bake_keeps BEFORE UPDATE ON bake BEGIN SELECT RAISE(ABORT, 'bakes are never renamed'); END;
CREATE TRIGGER bake_stays BEFORE DELETE ON bake BEGIN SELECT RAISE(ABORT, 'bakes are never deleted'); END;
CREATE TRIGGER bake_setting_keeps BEFORE UPDATE ON bake_setting BEGIN SELECT RAISE(ABORT, 'entries are never changed'); END;
CREATE TRIGGER bake_setting_stays BEFORE DELETE ON bake_setting BEGIN SELECT RAISE(ABORT, 'entries are never deleted'); END;
CREATE TRIGGER bake_lot_keeps BEFORE UPDATE ON bake_lot BEGIN SELECT RAISE(ABORT, 'entries are never changed'); END;
CREATE TRIGGER bake_lot_stays BEFORE DELETE ON bake_lot BEGIN SELECT RAISE(ABORT, 'entries are never deleted'); END;
CREATE TRIGGER bake_result_keeps BEFORE UPDATE ON bake_result BEGIN SELECT RAISE(ABORT, 'entries are never changed'); END;
CREATE TRIGGER bake_result_stays BEFORE DELETE ON bake_result BEGIN SELECT RAISE(ABORT, 'entries are never deleted'); END;
CREATE TRIGGER book_setting_keeps BEFORE UPDATE ON book_setting BEGIN SELECT RAISE(ABORT, 'entries are never changed'); END;
CREATE TRIGGER book_setting_stays BEFORE DELETE ON book_setting BEGIN SELECT RAISE(ABORT, 'entries are never deleted'); END;
