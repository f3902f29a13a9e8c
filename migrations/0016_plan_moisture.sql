-- At which moisture an accepted plan counted its lots: what it promised follows that where more is known of a lot since.
-- Plans that count by the estimate have no such row.
CREATE TABLE plan_moisture (
    entry_id INTEGER PRIMARY KEY REFERENCES plan (entry_id),
    taken    TEXT NOT NULL CHECK (taken = 'wet-end')
) STRICT;

CREATE TRIGGER plan_moisture_keeps BEFORE UPDATE ON plan_moisture BEGIN SELECT RAISE(ABORT, 'entries are never changed'); END;
CREATE TRIGGER plan_moisture_stays BEFORE DELETE ON plan_moisture BEGIN SELECT RAISE(ABORT, 'entries are never deleted'); END;
