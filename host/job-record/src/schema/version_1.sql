-- Times are milliseconds since 1970-01-01 00:00 UTC by this computer's clock; lengths are counts of 1/16,256 in (1/640 mm).

CREATE TABLE level (
    id INTEGER PRIMARY KEY,
    name TEXT NOT NULL,
    demo INTEGER NOT NULL,        -- 1: the level that the program brings along; it has a file's name and is no file's
    begun INTEGER NOT NULL,
    put_away INTEGER              -- when it was begun anew; null: in use
) STRICT;
CREATE UNIQUE INDEX level_in_use ON level (name, demo) WHERE put_away IS NULL;

CREATE TABLE revision (
    id INTEGER PRIMARY KEY,
    level INTEGER NOT NULL REFERENCES level (id),
    digest INTEGER NOT NULL,
    file TEXT NOT NULL,           -- the file's name as it was given
    text TEXT NOT NULL,           -- what stood in it
    list BLOB NOT NULL,           -- the saw list: head and pieces as the link carries them
    link_version INTEGER NOT NULL,  -- the version of the link that tells how
    kept INTEGER NOT NULL,
    UNIQUE (level, digest)
) STRICT;

CREATE TABLE piece (
    level INTEGER NOT NULL REFERENCES level (id),
    id INTEGER NOT NULL,
    room TEXT NOT NULL,
    wall INTEGER NOT NULL,        -- 0: the list names none
    part INTEGER NOT NULL,
    parts INTEGER NOT NULL,
    moulding TEXT NOT NULL,
    length INTEGER NOT NULL,
    left_end TEXT NOT NULL,       -- as installed: the joint and its angle in degrees
    right_end TEXT NOT NULL,
    first_seen INTEGER NOT NULL,
    PRIMARY KEY (level, id)
) STRICT, WITHOUT ROWID;

CREATE TABLE station (
    id TEXT PRIMARY KEY,          -- sixteen hex digits
    name TEXT NOT NULL,           -- what it says it runs on
    link TEXT NOT NULL,           -- where it was last found
    last_seen INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE start (
    station TEXT NOT NULL REFERENCES station (id),
    boot INTEGER NOT NULL,
    began INTEGER NOT NULL,       -- as the last reading of its clock has it
    PRIMARY KEY (station, boot)
) STRICT, WITHOUT ROWID;

CREATE TABLE loading (
    id INTEGER PRIMARY KEY,
    station TEXT NOT NULL REFERENCES station (id),
    revision INTEGER NOT NULL REFERENCES revision (id),
    epoch INTEGER NOT NULL,
    made_with INTEGER NOT NULL,   -- the last event that was known when the list was loaded
    at INTEGER NOT NULL
) STRICT;
CREATE INDEX loading_of_station ON loading (station);

CREATE TABLE log (
    id INTEGER PRIMARY KEY,       -- a later epoch of a station has a larger one
    station TEXT NOT NULL REFERENCES station (id),
    epoch INTEGER NOT NULL,
    held INTEGER NOT NULL,        -- every event up to this one is here, or the station has said that it has lost it
    confirmed INTEGER NOT NULL,   -- up to this one the station knows it
    UNIQUE (station, epoch)
) STRICT;

CREATE TABLE event (
    log INTEGER NOT NULL REFERENCES log (id),
    sequence INTEGER NOT NULL,
    boot INTEGER NOT NULL,
    milliseconds INTEGER NOT NULL,
    kind TEXT NOT NULL,
    piece INTEGER,
    list INTEGER,
    stick INTEGER,
    reason TEXT,
    list_in_use INTEGER,          -- the list that the station had when the event was taken
    level INTEGER REFERENCES level (id),  -- null: of a list that this record does not know
    at INTEGER NOT NULL,
    exact INTEGER NOT NULL,       -- 0: at this moment at the latest
    taken INTEGER NOT NULL,
    PRIMARY KEY (log, sequence)
) STRICT, WITHOUT ROWID;
CREATE INDEX event_of_level ON event (level);

CREATE TABLE disputed (           -- another event came under the number of one that is kept: it counts for nothing
    log INTEGER NOT NULL REFERENCES log (id),
    sequence INTEGER NOT NULL,
    boot INTEGER NOT NULL,
    milliseconds INTEGER NOT NULL,
    kind TEXT NOT NULL,
    piece INTEGER,
    list INTEGER,
    stick INTEGER,
    reason TEXT,
    taken INTEGER NOT NULL
) STRICT;

CREATE TABLE lost (               -- the station says that it does not have these events
    log INTEGER NOT NULL REFERENCES log (id),
    first INTEGER NOT NULL,
    last INTEGER NOT NULL,
    told INTEGER NOT NULL,
    PRIMARY KEY (log, first)
) STRICT, WITHOUT ROWID;
