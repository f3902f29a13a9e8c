-- What one act wrote beside an entry and what stands and falls with it: readings and words that were corrected with a pickup, and
-- the strikes of them. Which entries those are is no guess from their numbers and times.
CREATE TABLE goes_with (
    entry_id  INTEGER PRIMARY KEY REFERENCES entry (id),
    leader_id INTEGER NOT NULL REFERENCES entry (id) CHECK (leader_id <> entry_id)
) STRICT;

CREATE INDEX goes_with_leader ON goes_with (leader_id);

CREATE TRIGGER goes_with_keeps BEFORE UPDATE ON goes_with BEGIN SELECT RAISE(ABORT, 'entries are never changed'); END;
CREATE TRIGGER goes_with_stays BEFORE DELETE ON goes_with BEGIN SELECT RAISE(ABORT, 'entries are never deleted'); END;
