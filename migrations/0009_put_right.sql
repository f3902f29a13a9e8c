-- Putting right: entries that amend others, strikes that are struck, grain that is given away, sources that are
-- one, places that are closed. A table's CHECK cannot be widened, so the table of entries is made anew and every
-- row carried over as it is.

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
    struck_entry_id    INTEGER REFERENCES entry (id) CHECK (struck_entry_id < id),
    bake_id            INTEGER REFERENCES bake (id),
    ending             TEXT    CHECK (ending IN ('feed', 'compost', 'waste')),
    -- The entry that this one takes the place of, and why.
    amends_entry_id    INTEGER REFERENCES entry (id) CHECK (amends_entry_id < id),
    reason             TEXT,
    CHECK (at <= recorded_at),
    CHECK ((amends_entry_id IS NULL) = (reason IS NULL)),
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
        -- Grain went to somebody as food; the words name who.
        WHEN 'give' THEN lot_id NOT NULL AND wet_mg NOT NULL AND words NOT NULL
            AND coalesce(new_lot_id, place_id, temperature_mc, temperature_scale, activity_ppm, struck_entry_id, bake_id, ending) IS NULL
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
        -- A source is called otherwise, or is one with another, from here on; how stands beside it.
        WHEN 'source' THEN coalesce(lot_id, wet_mg, new_lot_id, place_id, temperature_mc, temperature_scale, activity_ppm, struck_entry_id, bake_id, ending) IS NULL
        WHEN 'strike' THEN struck_entry_id NOT NULL AND words NOT NULL
            AND coalesce(wet_mg, new_lot_id, place_id, temperature_mc, temperature_scale, activity_ppm, ending, amends_entry_id) IS NULL
        ELSE FALSE END)
) STRICT;

INSERT INTO wider_entry (id, kind, lot_id, at, recorded_at, recorded_by, wet_mg, new_lot_id, place_id, temperature_mc,
                         temperature_scale, activity_ppm, words, struck_entry_id, bake_id, ending)
SELECT id, kind, lot_id, at, recorded_at, recorded_by, wet_mg, new_lot_id, place_id, temperature_mc,
       temperature_scale, activity_ppm, words, struck_entry_id, bake_id, ending
FROM entry ORDER BY id;

DROP TABLE entry;
ALTER TABLE wider_entry RENAME TO entry;

CREATE INDEX entry_of_lot ON entry (lot_id);
CREATE INDEX entry_taken ON entry (at) WHERE kind IN ('use', 'discard', 'give', 'treat', 'count');
-- A lot is made by one entry, or joined by one entry for each lot that went into it.
CREATE UNIQUE INDEX entry_making ON entry (new_lot_id, lot_id) WHERE new_lot_id IS NOT NULL;
CREATE INDEX entry_struck ON entry (struck_entry_id) WHERE struck_entry_id IS NOT NULL;
CREATE INDEX entry_amended ON entry (amends_entry_id) WHERE amends_entry_id IS NOT NULL;
CREATE INDEX entry_of_place ON entry (place_id) WHERE kind = 'place';
CREATE INDEX entry_of_bake ON entry (bake_id) WHERE bake_id IS NOT NULL;
CREATE INDEX entry_said ON entry (words) WHERE kind = 'use';
CREATE INDEX entry_of_readings ON entry (place_id) WHERE kind = 'readings';
CREATE INDEX entry_of_plan ON entry (id) WHERE kind = 'plan';

CREATE TRIGGER entry_keeps BEFORE UPDATE ON entry BEGIN SELECT RAISE(ABORT, 'entries are never changed'); END;
CREATE TRIGGER entry_stays BEFORE DELETE ON entry BEGIN SELECT RAISE(ABORT, 'entries are never deleted'); END;

-- Kept state: entries that do not count, each with the strike in force, or else the amending entry, that takes it out.
CREATE TABLE out_of_force (
    entry_id    INTEGER PRIMARY KEY REFERENCES entry (id),
    by_entry_id INTEGER NOT NULL REFERENCES entry (id)
) STRICT;

INSERT INTO out_of_force (entry_id, by_entry_id)
SELECT struck_entry_id, id FROM entry WHERE struck_entry_id IS NOT NULL;

-- The facts of a lot that came in, as an amending pickup states them. The last one in force holds.
CREATE TABLE lot_fact (
    entry_id    INTEGER PRIMARY KEY REFERENCES entry (id),
    source_id   INTEGER NOT NULL REFERENCES source (id),
    mash_out_at INTEGER,
    kind        TEXT    NOT NULL CHECK (kind IN ('mashed', 'steeped')),
    form        TEXT    NOT NULL CHECK (form IN ('whole', 'pressed', 'blended', 'dried', 'milled')),
    grist       TEXT
) STRICT;

-- Kept state: the facts of lots that are others than they were first given, and of what was made of them.
CREATE TABLE lot_now (
    lot_id      INTEGER PRIMARY KEY REFERENCES lot (id),
    source_id   INTEGER NOT NULL REFERENCES source (id),
    mash_out_at INTEGER,
    kind        TEXT    NOT NULL,
    form        TEXT    NOT NULL,
    grist       TEXT
) STRICT;

-- A source is called otherwise from here on, or is the same as another one.
CREATE TABLE source_change (
    entry_id  INTEGER PRIMARY KEY REFERENCES entry (id),
    source_id INTEGER NOT NULL REFERENCES source (id),
    name      TEXT    CHECK (name <> ''),
    into_id   INTEGER REFERENCES source (id) CHECK (into_id <> source_id),
    CHECK ((name IS NULL) = (into_id IS NOT NULL))
) STRICT;

-- Kept state: sources that are called otherwise than they were first, or are the same as another one.
CREATE TABLE source_now (
    source_id INTEGER PRIMARY KEY REFERENCES source (id),
    same_as   INTEGER NOT NULL REFERENCES source (id),
    name      TEXT    NOT NULL CHECK (name <> '')
) STRICT;

-- A closed place takes no grain; to state it anew opens it.
ALTER TABLE place_setting ADD COLUMN closed INTEGER CHECK (closed = 1);

CREATE TRIGGER lot_fact_keeps BEFORE UPDATE ON lot_fact BEGIN SELECT RAISE(ABORT, 'entries are never changed'); END;
CREATE TRIGGER lot_fact_stays BEFORE DELETE ON lot_fact BEGIN SELECT RAISE(ABORT, 'entries are never deleted'); END;
CREATE TRIGGER source_change_keeps BEFORE UPDATE ON source_change BEGIN SELECT RAISE(ABORT, 'entries are never changed'); END;
CREATE TRIGGER source_change_stays BEFORE DELETE ON source_change BEGIN SELECT RAISE(ABORT, 'entries are never deleted'); END;
