CREATE TABLE finished (           -- pieces that were cut when the list was made, and that it leaves out for that
    revision INTEGER NOT NULL REFERENCES revision (id),
    piece INTEGER NOT NULL,
    PRIMARY KEY (revision, piece)
) STRICT, WITHOUT ROWID;
