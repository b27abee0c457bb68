-- SPDX-License-Identifier: GPL-3.0-or-later
--
-- Schema 2: what is done with judged snaps. The rules of shared tables are in 0001.

-- Local: the judged dropbacks as columns, as a program last made them; see rb/store/columns.h.
CREATE TABLE judged (
    id INTEGER PRIMARY KEY CHECK (id = 1),
    made_by TEXT NOT NULL, -- program and options: others make them anew
    seen BLOB NOT NULL,    -- how far each laptop's history is in them
    columns BLOB NOT NULL
) STRICT;

-- Counted each time that something may have changed.
CREATE INDEX action_forget ON action (laptop) WHERE type = 'forget';

-- An ordered list of snaps to watch or export.
CREATE TABLE cutup (
    id INTEGER PRIMARY KEY,
    name TEXT,
    kind TEXT,
    filter TEXT, -- followed, or what a fixed list was made with: see rb_filter_to_text()
    view TEXT,   -- what the clips start with, as the next four
    start TEXT,
    stop TEXT,
    speed INTEGER, -- percent
    card TEXT,     -- words on the title card, apart by commas; NULL: no card
    note TEXT,
    removed INTEGER NOT NULL DEFAULT 1 CHECK (removed IN (0, 1))
) STRICT;

-- A clip of a fixed list; in a live list what was chosen for one of its snaps.
CREATE TABLE cutup_entry (
    id INTEGER PRIMARY KEY,
    cutup INTEGER,
    snap INTEGER,
    place INTEGER, -- order; ties by id
    view TEXT,
    start TEXT,
    stop TEXT,
    speed INTEGER,
    loops INTEGER, -- times shown, 1 and up
    freeze TEXT,
    freeze_ms INTEGER,
    card TEXT,
    note TEXT,
    removed INTEGER NOT NULL DEFAULT 1 CHECK (removed IN (0, 1))
) STRICT;
CREATE INDEX cutup_entry_cutup ON cutup_entry (cutup, place);

-- One question of the quiz, answered: what a player named on the film of a snap.
CREATE TABLE quiz_answer (
    id INTEGER PRIMARY KEY,
    snap INTEGER,
    person INTEGER, -- who answered
    asked_on TEXT,  -- ISO 8601 date
    shell TEXT,
    side TEXT,
    first_read INTEGER,
    read INTEGER, -- that he would throw; 0 none of them
    shell_right TEXT,
    first_right TEXT, -- the side, or where none is to be picked, the first read
    read_right TEXT,
    thinking_ms INTEGER,
    removed INTEGER NOT NULL DEFAULT 1 CHECK (removed IN (0, 1))
) STRICT;
CREATE INDEX quiz_answer_person ON quiz_answer (person, snap);

-- A line, arrow, circle or text drawn over the film of a snap.
CREATE TABLE drawing (
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
CREATE INDEX drawing_clip ON drawing (clip, first);

-- A filter kept under a name.
CREATE TABLE saved_filter (
    id INTEGER PRIMARY KEY, -- from the name
    name TEXT,
    filter TEXT, -- see rb_filter_to_text()
    removed INTEGER NOT NULL DEFAULT 1 CHECK (removed IN (0, 1))
) STRICT;

-- One of the staff's own tags on a snap. The tag itself is a term of kind own-tag.
CREATE TABLE snap_tag (
    id INTEGER PRIMARY KEY, -- from snap and term
    snap INTEGER,
    term INTEGER,
    removed INTEGER NOT NULL DEFAULT 1 CHECK (removed IN (0, 1))
) STRICT;
CREATE INDEX snap_tag_snap ON snap_tag (snap);
