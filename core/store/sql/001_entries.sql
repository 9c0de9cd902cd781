-- Jobs, the devices that may write on them, and their entries.
CREATE TABLE jobs (
    job TEXT PRIMARY KEY
) STRICT;

CREATE TABLE devices (
    job TEXT NOT NULL REFERENCES jobs (job),
    device TEXT NOT NULL,
    public_key BLOB NOT NULL CHECK (length(public_key) = 32),
    PRIMARY KEY (job, device)
) STRICT;

-- Entries as their canonical bytes. `arrival` keeps the order in which they were taken, which is
-- causal: no entry stands before one that its writer had seen.
CREATE TABLE entries (
    arrival INTEGER PRIMARY KEY AUTOINCREMENT,
    job TEXT NOT NULL,
    device TEXT NOT NULL,
    seq INTEGER NOT NULL CHECK (seq > 0),
    hash BLOB NOT NULL CHECK (length(hash) = 32),
    bytes BLOB NOT NULL,
    UNIQUE (job, device, seq),
    UNIQUE (job, hash),
    FOREIGN KEY (job, device) REFERENCES devices (job, device)
) STRICT;
