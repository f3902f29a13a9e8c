-- Accepted plans: which grain was promised to which bake, and what was to be done by when. The last one in
-- force holds; one that was struck leaves the one before it.

CREATE TABLE plan (
    entry_id INTEGER PRIMARY KEY REFERENCES entry (id),
    until_at INTEGER NOT NULL
) STRICT;

-- Wet grain of a lot, as the lot was then, for a bake, and in which state it goes into the dough.
CREATE TABLE plan_draw (
    entry_id INTEGER NOT NULL REFERENCES plan (entry_id),
    bake_id  INTEGER NOT NULL REFERENCES bake (id),
    lot_id   INTEGER NOT NULL REFERENCES lot (id),
    wet_mg   INTEGER NOT NULL CHECK (wet_mg > 0),
    state    TEXT    NOT NULL CHECK (state IN ('as-it-lies', 'thawed', 'dried')),
    PRIMARY KEY (entry_id, bake_id, lot_id, state)
) STRICT, WITHOUT ROWID;

-- What is to be done with a lot by a moment; thawing is for a bake.
CREATE TABLE plan_task (
    entry_id INTEGER NOT NULL REFERENCES plan (entry_id),
    position INTEGER NOT NULL,
    work     TEXT    NOT NULL CHECK (work IN ('freeze', 'dry', 'thaw')),
    lot_id   INTEGER NOT NULL REFERENCES lot (id),
    wet_mg   INTEGER NOT NULL CHECK (wet_mg > 0),
    by_at    INTEGER NOT NULL,
    bake_id  INTEGER REFERENCES bake (id),
    PRIMARY KEY (entry_id, position),
    CHECK ((work = 'thaw') = (bake_id IS NOT NULL))
) STRICT, WITHOUT ROWID;

CREATE INDEX entry_of_plan ON entry (id) WHERE kind = 'plan';

CREATE TRIGGER plan_keeps BEFORE UPDATE ON plan BEGIN SELECT RAISE(ABORT, 'entries are never changed'); END;
CREATE TRIGGER plan_stays BEFORE DELETE ON plan BEGIN SELECT RAISE(ABORT, 'entries are never deleted'); END;
CREATE TRIGGER plan_draw_keeps BEFORE UPDATE ON plan_draw BEGIN SELECT RAISE(ABORT, 'entries are never changed'); END;
CREATE TRIGGER plan_draw_stays BEFORE DELETE ON plan_draw BEGIN SELECT RAISE(ABORT, 'entries are never deleted'); END;
CREATE TRIGGER plan_task_keeps BEFORE UPDATE ON plan_task BEGIN SELECT RAISE(ABORT, 'entries are never changed'); END;
CREATE TRIGGER plan_task_stays BEFORE DELETE ON plan_task BEGIN SELECT RAISE(ABORT, 'entries are never deleted'); END;
