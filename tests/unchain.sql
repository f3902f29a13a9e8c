-- Takes a book back to the last schema without a chain: the program chains it anew when it opens it.
DROP TABLE chain_link;
DROP TABLE book_identity;
DROP INDEX entry_made;
DROP INDEX entry_reported;
DROP INDEX entry_made_once;
DROP INDEX entry_making;
CREATE UNIQUE INDEX entry_making ON entry (new_lot_id, lot_id) WHERE new_lot_id IS NOT NULL;
DROP TABLE plan_dry;
DROP TABLE sheet_grain;
DROP TABLE plan_moisture;
DROP TABLE goes_with;
DROP TABLE left_out;
DROP TABLE act_once;
DROP TABLE device;
DROP TABLE ticket;
DELETE FROM migration WHERE version >= 10;
PRAGMA user_version = 9;
