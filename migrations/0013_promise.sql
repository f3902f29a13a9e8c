-- The dry grain that an accepted plan counted on in what it promised: a promise follows it where the moisture of the
-- lot is known better since. Plans that were accepted before have no such row.
CREATE TABLE plan_dry (
    entry_id INTEGER NOT NULL REFERENCES plan (entry_id),
    bake_id  INTEGER NOT NULL REFERENCES bake (id),
    lot_id   INTEGER NOT NULL REFERENCES lot (id),
    state    TEXT    NOT NULL CHECK (state IN ('as-it-lies', 'thawed', 'dried')),
    dry_mg   INTEGER NOT NULL CHECK (dry_mg > 0),
    PRIMARY KEY (entry_id, bake_id, lot_id, state)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER plan_dry_keeps BEFORE UPDATE ON plan_dry BEGIN SELECT RAISE(ABORT, 'entries are never changed'); END;
CREATE TRIGGER plan_dry_stays BEFORE DELETE ON plan_dry BEGIN SELECT RAISE(ABORT, 'entries are never deleted'); END;
