-- Acts by the id that whoever sent them gave them: sending one again books nothing twice. Which entry came of an
-- act first; nothing where it wrote none, such as a version of a formula.
CREATE TABLE act_once (
    act_id   TEXT    NOT NULL PRIMARY KEY CHECK (length(act_id) BETWEEN 8 AND 64),
    request  BLOB    NOT NULL CHECK (length(request) = 32),
    entry_id INTEGER REFERENCES entry (id)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER act_once_keeps BEFORE UPDATE ON act_once BEGIN SELECT RAISE(ABORT, 'act ids are never changed'); END;
CREATE TRIGGER act_once_stays BEFORE DELETE ON act_once BEGIN SELECT RAISE(ABORT, 'act ids are never deleted'); END;

-- Phones and computers that were paired with the page. Of the secret in a device's cookie only its SHA-256 is here.
CREATE TABLE device (
    id        INTEGER PRIMARY KEY,
    secret    BLOB    NOT NULL UNIQUE CHECK (length(secret) = 32),
    whose     TEXT    NOT NULL,
    bench     TEXT    NOT NULL,
    writes    INTEGER NOT NULL CHECK (writes IN (0, 1)),
    paired_at INTEGER NOT NULL,
    paired_by TEXT,
    seen_at   INTEGER NOT NULL,
    ended_at  INTEGER
) STRICT;

CREATE TRIGGER device_stays BEFORE DELETE ON device BEGIN SELECT RAISE(ABORT, 'devices are ended and never deleted'); END;
