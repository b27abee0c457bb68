-- SPDX-License-Identifier: GPL-3.0-or-later
--
-- Schema 1. A released script is never edited; changes go into the next one.
--
-- Shared tables are recorded in the history and exchanged between laptops. Their rows may
-- arrive in any order, field by field, so every column but the id may be NULL ("not known")
-- and they have no foreign keys: a snap can arrive before its game, and only a deferred check
-- at the end of all exchange could hold, which never comes. Dangling references are findings,
-- not errors. Rows are never deleted: `removed` is 1 for a row that is hidden, and also until
-- the field that makes it visible has arrived. No triggers, generated columns, cascades,
-- other UNIQUE constraints or checks over several columns. Words are kept as their tokens.

CREATE TABLE person (
    id INTEGER PRIMARY KEY,
    name TEXT,
    removed INTEGER NOT NULL DEFAULT 1 CHECK (removed IN (0, 1))
) STRICT;

CREATE TABLE team (
    id INTEGER PRIMARY KEY,
    name TEXT,
    ours INTEGER,
    removed INTEGER NOT NULL DEFAULT 1 CHECK (removed IN (0, 1))
) STRICT;

CREATE TABLE player (
    id INTEGER PRIMARY KEY,
    team INTEGER,
    jersey TEXT,
    name TEXT,
    removed INTEGER NOT NULL DEFAULT 1 CHECK (removed IN (0, 1))
) STRICT;
CREATE INDEX player_team ON player (team);

CREATE TABLE game (
    id INTEGER PRIMARY KEY,
    kind TEXT,
    rules TEXT,
    played_on TEXT, -- ISO 8601 date
    us INTEGER,
    them INTEGER,
    ours_only INTEGER,
    lead INTEGER, -- person
    title TEXT,
    removed INTEGER NOT NULL DEFAULT 1 CHECK (removed IN (0, 1))
) STRICT;

CREATE TABLE film (
    id INTEGER PRIMARY KEY, -- from the fingerprint
    title TEXT,
    fingerprint TEXT,
    bytes INTEGER,
    angle TEXT,
    game INTEGER,
    removed INTEGER NOT NULL DEFAULT 1 CHECK (removed IN (0, 1))
) STRICT;
CREATE INDEX film_game ON film (game);

CREATE TABLE snap (
    id INTEGER PRIMARY KEY,
    game INTEGER,
    number INTEGER,
    phase TEXT,
    quarter INTEGER,
    clock_s INTEGER,
    down INTEGER,
    distance INTEGER,
    yards_to_goal INTEGER,
    hash TEXT,
    offense INTEGER, -- team
    score_offense INTEGER,
    score_defense INTEGER,
    timeouts_offense INTEGER,
    timeouts_defense INTEGER,
    hurry TEXT,
    quarterback INTEGER, -- player
    personnel INTEGER, -- term, as the next two
    formation INTEGER,
    motion INTEGER,
    strong TEXT,
    width TEXT,
    play TEXT,
    result TEXT,
    ending TEXT,
    gain INTEGER, -- yards
    intended INTEGER, -- player
    note TEXT,
    removed INTEGER NOT NULL DEFAULT 1 CHECK (removed IN (0, 1))
) STRICT;
CREATE INDEX snap_game ON snap (game, number);

CREATE TABLE penalty (
    id INTEGER PRIMARY KEY,
    snap INTEGER,
    foul INTEGER, -- term
    side TEXT,
    ruling TEXT,
    enforced TEXT,
    yards INTEGER,
    spot INTEGER,
    down_counts TEXT,
    first_down TEXT,
    removed INTEGER NOT NULL DEFAULT 1 CHECK (removed IN (0, 1))
) STRICT;
CREATE INDEX penalty_snap ON penalty (snap);

-- A time of film is ticks of num / den seconds.
CREATE TABLE clip (
    id INTEGER PRIMARY KEY,
    snap INTEGER,
    film INTEGER,
    angle TEXT,
    first INTEGER, -- frames, both ends included
    last INTEGER,
    first_ticks INTEGER,
    first_num INTEGER,
    first_den INTEGER,
    last_ticks INTEGER,
    last_num INTEGER,
    last_den INTEGER,
    cut_early TEXT,
    removed INTEGER NOT NULL DEFAULT 1 CHECK (removed IN (0, 1))
) STRICT;
CREATE INDEX clip_snap ON clip (snap);

CREATE TABLE mark (
    id INTEGER PRIMARY KEY,
    clip INTEGER,
    kind TEXT,
    frame INTEGER,
    ticks INTEGER,
    num INTEGER,
    den INTEGER,
    index_version INTEGER,
    removed INTEGER NOT NULL DEFAULT 1 CHECK (removed IN (0, 1))
) STRICT;
CREATE INDEX mark_clip ON mark (clip);

CREATE TABLE chart (
    id INTEGER PRIMARY KEY, -- from snap and author
    snap INTEGER,
    author INTEGER, -- person
    call_kind TEXT,
    call_first INTEGER, -- concept
    call_second INTEGER,
    call_first_side TEXT,
    side_worked TEXT,
    shell TEXT,
    rotation_shown TEXT,
    technique_shown_left TEXT,
    technique_shown_right TEXT,
    cushion_left INTEGER, -- tenths of a yard
    cushion_right INTEGER,
    leverage_left TEXT,
    leverage_right TEXT,
    coverage INTEGER, -- term
    rotation_played TEXT,
    technique_played_left TEXT,
    technique_played_right TEXT,
    safety_left TEXT,
    safety_right TEXT,
    rushers INTEGER,
    unblocked TEXT,
    unblocked_side TEXT,
    adjusted TEXT,
    adjustment INTEGER, -- term
    ball TEXT,
    ball_read INTEGER,
    release_ms INTEGER,
    release_pm_ms INTEGER,
    pressure TEXT,
    pressure_ms INTEGER,
    movement TEXT,
    contact TEXT,
    throw TEXT,
    catch TEXT,
    fault TEXT,
    fault_read INTEGER,
    note TEXT,
    removed INTEGER NOT NULL DEFAULT 1 CHECK (removed IN (0, 1))
) STRICT;
CREATE INDEX chart_snap ON chart (snap);

-- The state of one read of a chart.
CREATE TABLE look (
    id INTEGER PRIMARY KEY, -- from chart and slot
    chart INTEGER,
    slot INTEGER, -- place in the call's order, from 0
    state TEXT,
    removed INTEGER NOT NULL DEFAULT 1 CHECK (removed IN (0, 1))
) STRICT;
CREATE INDEX look_chart ON look (chart);

CREATE TABLE term (
    id INTEGER PRIMARY KEY,
    kind TEXT,
    token TEXT,
    name TEXT,
    family TEXT,
    deep INTEGER,
    sort INTEGER,
    hidden INTEGER,
    removed INTEGER NOT NULL DEFAULT 1 CHECK (removed IN (0, 1))
) STRICT;

CREATE TABLE concept (
    id INTEGER PRIMARY KEY,
    token TEXT,
    name TEXT,
    revision INTEGER, -- the current one
    removed INTEGER NOT NULL DEFAULT 1 CHECK (removed IN (0, 1))
) STRICT;

CREATE TABLE revision (
    id INTEGER PRIMARY KEY, -- from concept and document
    concept INTEGER,
    document TEXT, -- the concept, in the playbook file's format
    removed INTEGER NOT NULL DEFAULT 1 CHECK (removed IN (0, 1))
) STRICT;
CREATE INDEX revision_concept ON revision (concept);

CREATE TABLE setting (
    id INTEGER PRIMARY KEY, -- from the name
    name TEXT,
    value TEXT,
    removed INTEGER NOT NULL DEFAULT 1 CHECK (removed IN (0, 1))
) STRICT;

-- Local tables: the history itself, and what only this computer needs. Never recorded.

-- Each identity under which actions were done. `mine`: this very file had it.
CREATE TABLE laptop (
    id INTEGER PRIMARY KEY,
    mine INTEGER NOT NULL CHECK (mine IN (0, 1))
) STRICT;

-- One row. A copied or restored file must not go on numbering as the laptop it was copied
-- from: `place` tells that it lies somewhere else than before.
CREATE TABLE here (
    one INTEGER PRIMARY KEY CHECK (one = 1),
    laptop INTEGER NOT NULL REFERENCES laptop (id),
    place TEXT NOT NULL,
    stamp INTEGER NOT NULL -- the greatest hybrid clock seen: microseconds, never going back
) STRICT;

CREATE TABLE action (
    laptop INTEGER NOT NULL REFERENCES laptop (id),
    number INTEGER NOT NULL, -- 1 and up on each laptop
    stamp INTEGER NOT NULL,
    person INTEGER,
    type TEXT NOT NULL,
    words TEXT NOT NULL,
    target_laptop INTEGER, -- undo and redo: the action meant
    target_number INTEGER,
    forget_table TEXT, -- forget: whose name
    forget_row INTEGER,
    first_seq INTEGER NOT NULL, -- its ops are numbered from here
    changes INTEGER NOT NULL,   -- and so many
    state TEXT NOT NULL, -- done, undone, or passed: undone and then something else was done
    PRIMARY KEY (laptop, number)
) STRICT, WITHOUT ROWID;
CREATE INDEX action_stamp ON action (stamp);
CREATE INDEX action_state ON action (state, stamp) WHERE type = 'do';
CREATE INDEX action_target ON action (target_laptop, target_number)
    WHERE target_number IS NOT NULL;

CREATE TABLE field (
    id INTEGER PRIMARY KEY,
    table_name TEXT NOT NULL,
    column_name TEXT NOT NULL,
    UNIQUE (table_name, column_name)
) STRICT;

-- One field set by one action. `base`: the ops it replaced, "laptop:seq laptop:seq". `of`:
-- for an undo or redo, the op whose value it brings back, so that a whole row of undos finds
-- each field as its action left it; NULL when there was no value before.
CREATE TABLE op (
    author INTEGER NOT NULL, -- laptop
    seq INTEGER NOT NULL,    -- 1 and up on each laptop
    action INTEGER NOT NULL,
    stamp INTEGER NOT NULL,
    field INTEGER NOT NULL REFERENCES field (id),
    row_id INTEGER NOT NULL,
    old ANY,
    new ANY,
    base TEXT,
    of_author INTEGER,
    of_seq INTEGER,
    PRIMARY KEY (author, seq),
    FOREIGN KEY (author, action) REFERENCES action (laptop, number)
) STRICT, WITHOUT ROWID;

-- Ops that no other op has replaced. The greatest by (stamp, author) is the value shown.
CREATE TABLE head (
    row_id INTEGER NOT NULL,
    field INTEGER NOT NULL,
    author INTEGER NOT NULL,
    seq INTEGER NOT NULL,
    stamp INTEGER NOT NULL,
    PRIMARY KEY (row_id, field, author, seq)
) STRICT, WITHOUT ROWID;

-- When a chart or one of its looks was last changed, from the ops.
CREATE TABLE chart_change (
    chart INTEGER PRIMARY KEY,
    stamp INTEGER NOT NULL
) STRICT;

CREATE TABLE film_path (
    film INTEGER NOT NULL,
    path BLOB NOT NULL, -- as the file system gives it
    seen INTEGER NOT NULL, -- greater is later
    PRIMARY KEY (film, path)
) STRICT, WITHOUT ROWID;

CREATE TABLE state (
    name TEXT PRIMARY KEY,
    value TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE migration (
    version INTEGER PRIMARY KEY,
    at INTEGER NOT NULL, -- Unix time, microseconds
    program TEXT NOT NULL
) STRICT;
