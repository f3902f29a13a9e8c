-- The chain: a link for the book, for each version of a formula and for each entry, in the order in which they were
-- written. Each holds the SHA-256 of the rows that were written and of the link before, see docs/formats.md. What it
-- is of may be missing in a damaged book: then `check` says what is missing, and not that a link points to nothing.
CREATE TABLE chain_link (
    id                 INTEGER PRIMARY KEY,
    version            INTEGER NOT NULL CHECK (version = 1),
    entry_id           INTEGER,
    formula_version_id INTEGER,
    digest             BLOB    NOT NULL CHECK (length(digest) = 32),
    CHECK (entry_id IS NULL OR formula_version_id IS NULL)
) STRICT;

-- Which book this is, and which line of it: a copy that is brought back is a line of its own. Random, and no part of
-- the chain.
CREATE TABLE book_identity (
    id    INTEGER PRIMARY KEY CHECK (id = 1),
    house TEXT    NOT NULL CHECK (length(house) = 32),
    line  TEXT    NOT NULL CHECK (length(line) = 32)
) STRICT;

INSERT INTO book_identity (id, house, line) VALUES (1, lower(hex(randomblob(16))), lower(hex(randomblob(16))));

CREATE TRIGGER chain_link_keeps BEFORE UPDATE ON chain_link BEGIN SELECT RAISE(ABORT, 'links are never changed'); END;
CREATE TRIGGER chain_link_stays BEFORE DELETE ON chain_link BEGIN SELECT RAISE(ABORT, 'links are never deleted'); END;

-- What lots were made of others after a moment, so that the readings of some days need not look at all lots.
CREATE INDEX entry_made ON entry (at) WHERE new_lot_id IS NOT NULL;
