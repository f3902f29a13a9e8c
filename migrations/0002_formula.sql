-- Formulas: a dough in baker's percentages, as the text that the baker wrote. A change is a new version;
-- what was baked by an old one keeps it.
CREATE TABLE formula (
    id   INTEGER PRIMARY KEY,
    name TEXT NOT NULL UNIQUE COLLATE NOCASE CHECK (name <> '')
) STRICT;

CREATE TABLE formula_version (
    id         INTEGER PRIMARY KEY,
    formula_id INTEGER NOT NULL REFERENCES formula (id),
    number     INTEGER NOT NULL CHECK (number >= 1),
    text       TEXT    NOT NULL CHECK (text <> ''),
    added_at   INTEGER NOT NULL,
    added_by   TEXT,
    UNIQUE (formula_id, number)
) STRICT;

CREATE TRIGGER formula_version_keeps BEFORE UPDATE ON formula_version BEGIN SELECT RAISE(ABORT, 'versions of a formula are never changed'); END;
CREATE TRIGGER formula_version_stays BEFORE DELETE ON formula_version BEGIN SELECT RAISE(ABORT, 'versions of a formula are never deleted'); END;
