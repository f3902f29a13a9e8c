-- What one act wrote beside an entry and what stands and falls with it: readings and words that were corrected with a pickup, and
-- the strikes of them. Which entries those are is no guess from their numbers and times.
CREATE TABLE goes_with (
    entry_id  INTEGER PRIMARY KEY REFERENCES entry (id),
    leader_id INTEGER NOT NULL REFERENCES entry (id) CHECK (leader_id <> entry_id)
) STRICT;

CREATE INDEX goes_with_leader ON goes_with (leader_id);

CREATE TRIGGER goes_with_keeps BEFORE UPDATE ON goes_with BEGIN SELECT RAISE(ABORT, 'entries are never changed'); END;
CREATE TRIGGER goes_with_stays BEFORE DELETE ON goes_with BEGIN SELECT RAISE(ABORT, 'entries are never deleted'); END;

-- Among entries of one moment a correction stands where the entry stood that it takes the place of. Where grain lay was kept by
-- the order in which they were written.
UPDATE stock SET place_id = (
    SELECT entry.place_id FROM entry
    WHERE ((entry.lot_id = stock.lot_id AND entry.kind IN ('pickup', 'move')) OR entry.new_lot_id = stock.lot_id)
      AND NOT EXISTS (SELECT 1 FROM out_of_force AS gone WHERE gone.entry_id = entry.id)
    ORDER BY entry.at DESC, (
        WITH RECURSIVE older(id, amends) AS (
            SELECT entry.id, entry.amends_entry_id
            UNION ALL SELECT was.id, was.amends_entry_id FROM older JOIN entry AS was ON was.id = older.amends)
        SELECT min(id) FROM older) DESC
    LIMIT 1)
WHERE EXISTS (SELECT 1 FROM entry WHERE entry.lot_id = stock.lot_id AND entry.amends_entry_id IS NOT NULL);
