-- Instruments that a phone keeps over jobs, as they were entered last.
CREATE TABLE instruments (
    instrument TEXT PRIMARY KEY,
    text TEXT NOT NULL
) STRICT;
