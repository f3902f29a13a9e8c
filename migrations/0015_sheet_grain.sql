-- The grain for which the sheet of a bake said its water: what was poured is compared with that only while it is also the
-- grain that is written down. Bakes that were written down before have no such row.
CREATE TABLE sheet_grain (
    entry_id INTEGER NOT NULL REFERENCES bake_result (entry_id),
    lot_id   INTEGER NOT NULL REFERENCES lot (id),
    wet_mg   INTEGER NOT NULL CHECK (wet_mg >= 0),
    PRIMARY KEY (entry_id, lot_id)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER sheet_grain_keeps BEFORE UPDATE ON sheet_grain BEGIN SELECT RAISE(ABORT, 'entries are never changed'); END;
CREATE TRIGGER sheet_grain_stays BEFORE DELETE ON sheet_grain BEGIN SELECT RAISE(ABORT, 'entries are never deleted'); END;
