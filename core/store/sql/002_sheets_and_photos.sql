-- Map sheets, rule sheets and photos, each under the hash of its bytes.
CREATE TABLE blobs (
    kind TEXT NOT NULL CHECK (kind IN ('map-sheet', 'rule-sheet', 'photo')),
    hash BLOB NOT NULL CHECK (length(hash) = 32),
    bytes BLOB NOT NULL,
    PRIMARY KEY (kind, hash)
) STRICT;

-- Which sheets a job is judged with. The hash a job is pinned to is of what a sheet says; the blob's
-- is of its bytes.
CREATE TABLE job_sheets (
    job TEXT NOT NULL REFERENCES jobs (job),
    kind TEXT NOT NULL CHECK (kind IN ('map-sheet', 'rule-sheet')),
    hash BLOB NOT NULL,
    PRIMARY KEY (job, kind),
    FOREIGN KEY (kind, hash) REFERENCES blobs (kind, hash)
) STRICT;
