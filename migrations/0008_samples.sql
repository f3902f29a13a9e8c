-- A test whose samples were weighed on: it takes the place of the one that it continues.
CREATE TABLE sample_continued (
    entry_id INTEGER PRIMARY KEY REFERENCES moisture_test (entry_id),
    opened   INTEGER NOT NULL REFERENCES moisture_test (entry_id) CHECK (opened < entry_id)
) STRICT;

CREATE INDEX sample_opened ON sample_continued (opened);

CREATE TRIGGER sample_continued_keeps BEFORE UPDATE ON sample_continued BEGIN SELECT RAISE(ABORT, 'entries are never changed'); END;
CREATE TRIGGER sample_continued_stays BEFORE DELETE ON sample_continued BEGIN SELECT RAISE(ABORT, 'entries are never deleted'); END;

-- Of the water that the sheet said to hold back, the part for the grain's thirst; and how a bake came out.
ALTER TABLE bake_result ADD COLUMN said_thirst_mg INTEGER CHECK (said_thirst_mg >= 0);
ALTER TABLE bake_result ADD COLUMN came_out TEXT CHECK (came_out IN ('well', 'fair', 'poor'));
