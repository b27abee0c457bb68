-- SPDX-License-Identifier: GPL-3.0-or-later
--
-- Schema 2: what is done with judged snaps. The rules of shared tables are in 0001.

-- An ordered list of snaps to watch or export.
CREATE TABLE cutup (
    id INTEGER PRIMARY KEY,
    name TEXT,
    kind TEXT,
    filter TEXT, -- of a live list: see rb_filter_to_text()
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
