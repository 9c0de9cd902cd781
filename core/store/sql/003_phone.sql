-- What a device keeps for itself alone. One row: who it is, which desk it knows, and the number of
-- its next message. Until the desk has answered, it knows no desk's key and no person.
CREATE TABLE own (
    one INTEGER PRIMARY KEY CHECK (one = 1),
    device TEXT NOT NULL,
    public_key BLOB NOT NULL CHECK (length(public_key) = 32),
    desk_url TEXT NOT NULL,
    desk_device TEXT,
    desk_key BLOB CHECK (desk_key IS NULL OR length(desk_key) = 32),
    person TEXT,
    next_number INTEGER NOT NULL CHECK (next_number > 0)
) STRICT;

-- What drafts left on this device: the code of a switching run, say.
CREATE TABLE secrets (
    job TEXT NOT NULL,
    name TEXT NOT NULL,
    text TEXT NOT NULL,
    PRIMARY KEY (job, name)
) STRICT;

-- How many entries of each chain the desk had when it answered last.
CREATE TABLE acknowledged (
    job TEXT NOT NULL,
    device TEXT NOT NULL,
    seq INTEGER NOT NULL CHECK (seq > 0),
    PRIMARY KEY (job, device)
) STRICT;
