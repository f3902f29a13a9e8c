-- What loggers measured of the air of places.

-- One row for each file that was read: the scale its figures were on, its name, and what came of it.
CREATE TABLE reading_file (
    entry_id          INTEGER PRIMARY KEY REFERENCES entry (id),
    temperature_scale TEXT    NOT NULL CHECK (temperature_scale IN ('C', 'F')),
    name              TEXT    NOT NULL CHECK (name <> ''),
    readings          INTEGER NOT NULL CHECK (readings >= 1),
    first_at          INTEGER NOT NULL,
    last_at           INTEGER NOT NULL CHECK (last_at >= first_at)
) STRICT;

-- Keyed by place and moment, and by the entry too: what is struck stays, and may be read in again.
CREATE TABLE air_reading (
    place_id       INTEGER NOT NULL REFERENCES place (id),
    at             INTEGER NOT NULL,
    entry_id       INTEGER NOT NULL REFERENCES reading_file (entry_id),
    temperature_mc INTEGER NOT NULL CHECK (temperature_mc BETWEEN -60000 AND 300000),
    PRIMARY KEY (place_id, at, entry_id)
) STRICT, WITHOUT ROWID;

CREATE INDEX entry_of_readings ON entry (place_id) WHERE kind = 'readings';

CREATE TRIGGER reading_file_keeps BEFORE UPDATE ON reading_file BEGIN SELECT RAISE(ABORT, 'entries are never changed'); END;
CREATE TRIGGER reading_file_stays BEFORE DELETE ON reading_file BEGIN SELECT RAISE(ABORT, 'entries are never deleted'); END;
CREATE TRIGGER air_reading_keeps BEFORE UPDATE ON air_reading BEGIN SELECT RAISE(ABORT, 'entries are never changed'); END;
CREATE TRIGGER air_reading_stays BEFORE DELETE ON air_reading BEGIN SELECT RAISE(ABORT, 'entries are never deleted'); END;
