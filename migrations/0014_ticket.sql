-- What the newest ticket of a lot says, so that Today can name a ticket that is not true any more: when it was printed, its
-- date, and whether the grain might be used. Paper on a tub is no part of what happened to the grain, so these are no entries.
CREATE TABLE ticket (
    lot_id     INTEGER PRIMARY KEY REFERENCES lot (id),
    printed_at INTEGER NOT NULL,
    keep_until INTEGER,
    usable     INTEGER NOT NULL CHECK (usable IN (0, 1))
) STRICT;
