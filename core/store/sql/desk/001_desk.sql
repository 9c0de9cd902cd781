-- The seed of the desk's own signing key.
CREATE TABLE own (
    only_one INTEGER PRIMARY KEY CHECK (only_one = 1),
    seed BLOB NOT NULL CHECK (length(seed) = 32)
) STRICT;

-- People who sign in, with what their password leaves: an Argon2id hash and how it was made.
CREATE TABLE dispatchers (
    person TEXT PRIMARY KEY,
    salt BLOB NOT NULL,
    hash BLOB NOT NULL,
    memory_kib INTEGER NOT NULL,
    passes INTEGER NOT NULL,
    since_ms INTEGER NOT NULL
) STRICT;

-- Sessions by the hash of their cookie.
CREATE TABLE sessions (
    hash BLOB PRIMARY KEY CHECK (length(hash) = 32),
    person TEXT NOT NULL REFERENCES dispatchers (person),
    until_ms INTEGER NOT NULL,
    seen_ms INTEGER NOT NULL
) STRICT;

-- One-time codes by their hash: for a device and who carries it, or
-- without a device for a dispatcher; without a person for the first of them.
CREATE TABLE codes (
    hash BLOB PRIMARY KEY CHECK (length(hash) = 32),
    device TEXT,
    person TEXT,
    until_ms INTEGER NOT NULL,
    used_by BLOB
) STRICT;

-- Enrolled devices; `number` is the highest message number that was taken.
CREATE TABLE devices (
    device TEXT PRIMARY KEY,
    person TEXT NOT NULL,
    public_key BLOB NOT NULL CHECK (length(public_key) = 32),
    number INTEGER NOT NULL,
    since_ms INTEGER NOT NULL,
    heard_ms INTEGER NOT NULL,
    revoked_ms INTEGER
) STRICT;

-- Links by the hash of their token.
CREATE TABLE links (
    hash BLOB PRIMARY KEY CHECK (length(hash) = 32),
    job TEXT NOT NULL,
    clearance TEXT NOT NULL,
    person TEXT NOT NULL,
    until_ms INTEGER NOT NULL,
    ended INTEGER NOT NULL DEFAULT 0
) STRICT;

-- Sheets that jobs can be prepared with; their bytes lie with the jobs.
CREATE TABLE sheets (
    kind TEXT NOT NULL CHECK (kind IN ('map-sheet', 'rule-sheet')),
    hash BLOB NOT NULL CHECK (length(hash) = 32),
    name TEXT NOT NULL,
    edition TEXT NOT NULL,
    since_ms INTEGER NOT NULL,
    PRIMARY KEY (kind, hash)
) STRICT;
