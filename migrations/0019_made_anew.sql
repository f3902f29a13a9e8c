-- An entry that made a lot can be corrected: the one that takes its place is about the same two lots. A lot is made once of
-- another all the same, and what takes the place of that is counted apart.
DROP INDEX entry_making;
CREATE INDEX entry_making ON entry (new_lot_id, lot_id) WHERE new_lot_id IS NOT NULL;
CREATE UNIQUE INDEX entry_made_once ON entry (new_lot_id, lot_id) WHERE new_lot_id IS NOT NULL AND amends_entry_id IS NULL;
