-- Rows of a logger's file that were not read in though they were above the limit of their place: before the rows that were, or
-- after them. The time between the two readings around such a moment was not measured.
CREATE TABLE left_out (
    entry_id   INTEGER NOT NULL REFERENCES reading_file (entry_id),
    -- The one that lies nearest to the rows that were read.
    at         INTEGER NOT NULL,
    readings   INTEGER NOT NULL CHECK (readings >= 1),
    warmest_mc INTEGER NOT NULL CHECK (warmest_mc BETWEEN -60000 AND 300000),
    PRIMARY KEY (entry_id, at)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER left_out_keeps BEFORE UPDATE ON left_out BEGIN SELECT RAISE(ABORT, 'entries are never changed'); END;
CREATE TRIGGER left_out_stays BEFORE DELETE ON left_out BEGIN SELECT RAISE(ABORT, 'entries are never deleted'); END;
