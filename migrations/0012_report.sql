-- What a report looks for by time, so that a month costs what a month holds.

CREATE INDEX entry_reported ON entry (at)
WHERE kind IN ('pickup', 'move', 'moisture', 'baked', 'drop');
