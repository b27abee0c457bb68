-- SPDX-License-Identifier: GPL-3.0-or-later
--
-- Schema 3: what the desks keep. Libraries of schema 2 made while it was still growing have some
-- of these tables already.

-- Local: the judged dropbacks as columns, as a program last made them; see rb/store/columns.h.
CREATE TABLE IF NOT EXISTS judged (
    id INTEGER PRIMARY KEY CHECK (id = 1),
    made_by TEXT NOT NULL, -- program and options: others make them anew
    seen BLOB NOT NULL,    -- how far each laptop's history is in them
    columns BLOB NOT NULL
) STRICT;

-- Counted each time that something may have changed.
CREATE INDEX IF NOT EXISTS action_forget ON action (laptop) WHERE type = 'forget';

-- A line, arrow, circle or text drawn over the film of a snap.
CREATE TABLE IF NOT EXISTS drawing (
    id INTEGER PRIMARY KEY,
    clip INTEGER,
    kind TEXT,
    x1 INTEGER, -- ten-thousandths of the upright picture, from its left and top
    y1 INTEGER,
    x2 INTEGER,
    y2 INTEGER,
    first INTEGER, -- frames of the film on which it is seen, both ends included
    last INTEGER,
    words TEXT, -- of a text
    removed INTEGER NOT NULL DEFAULT 1 CHECK (removed IN (0, 1))
) STRICT;
CREATE INDEX IF NOT EXISTS drawing_clip ON drawing (clip, first);

-- A filter kept under a name.
CREATE TABLE IF NOT EXISTS saved_filter (
    id INTEGER PRIMARY KEY, -- from the name
    name TEXT,
    filter TEXT, -- see rb_filter_to_text()
    removed INTEGER NOT NULL DEFAULT 1 CHECK (removed IN (0, 1))
) STRICT;

-- One of the staff's own tags on a snap. The tag itself is a term of kind own-tag.
CREATE TABLE IF NOT EXISTS snap_tag (
    id INTEGER PRIMARY KEY, -- from snap and term
    snap INTEGER,
    term INTEGER,
    removed INTEGER NOT NULL DEFAULT 1 CHECK (removed IN (0, 1))
) STRICT;
CREATE INDEX IF NOT EXISTS snap_tag_snap ON snap_tag (snap);
