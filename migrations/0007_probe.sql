-- What the probe of a place's logger measures, and how thick grain lies there. A place of an older book that was
-- never told has neither: its readings count as they were measured.
ALTER TABLE place_setting ADD COLUMN probe TEXT CHECK (probe IN ('air', 'buffered', 'grain'));
ALTER TABLE place_setting ADD COLUMN depth_um INTEGER CHECK (depth_um BETWEEN 1000 AND 2000000);

-- How thick a lot lies, as stated when it was parted off.
CREATE TABLE lot_depth (
    entry_id INTEGER PRIMARY KEY REFERENCES entry (id),
    depth_um INTEGER NOT NULL CHECK (depth_um BETWEEN 1000 AND 2000000)
) STRICT;

CREATE TRIGGER lot_depth_keeps BEFORE UPDATE ON lot_depth BEGIN SELECT RAISE(ABORT, 'entries are never changed'); END;
CREATE TRIGGER lot_depth_stays BEFORE DELETE ON lot_depth BEGIN SELECT RAISE(ABORT, 'entries are never deleted'); END;
