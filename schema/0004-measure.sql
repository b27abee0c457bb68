-- SPDX-License-Identifier: GPL-3.0-or-later
--
-- Schema 4: what is measured on the film. The rules of shared tables are in 0001.

-- Plus or minus of a cushion that was measured, tenths of a yard; NULL: told by a person.
ALTER TABLE chart ADD COLUMN cushion_left_pm INTEGER;
ALTER TABLE chart ADD COLUMN cushion_right_pm INTEGER;

-- What one frame of a film shows of the field, by the marks that were clicked on it.
CREATE TABLE field_view (
    id INTEGER PRIMARY KEY, -- from film and frame
    film INTEGER,
    frame INTEGER,
    ticks INTEGER, -- its time: ticks of num / den seconds
    num INTEGER,
    den INTEGER,
    rules TEXT, -- whose field
    width INTEGER, -- of the upright picture, pixels
    height INTEGER,
    removed INTEGER NOT NULL DEFAULT 1 CHECK (removed IN (0, 1))
) STRICT;
CREATE INDEX field_view_film ON field_view (film, frame);

-- One such mark.
CREATE TABLE field_sight (
    id INTEGER PRIMARY KEY,
    view INTEGER, -- field_view
    name TEXT,    -- of the point or line of the field: see rb_field_mark_parse()
    x INTEGER,    -- hundredths of a pixel of the upright picture
    y INTEGER,
    removed INTEGER NOT NULL DEFAULT 1 CHECK (removed IN (0, 1))
) STRICT;
CREATE INDEX field_sight_view ON field_sight (view);

-- A length or speed measured on the film of a snap.
CREATE TABLE measure (
    id INTEGER PRIMARY KEY,
    snap INTEGER,
    clip INTEGER,
    kind TEXT,
    side TEXT,
    name TEXT,      -- of the point or line of the field that was measured to
    frame_1 INTEGER,
    x1 INTEGER,     -- hundredths of a pixel, as the others
    y1 INTEGER,
    frame_2 INTEGER,
    x2 INTEGER,
    y2 INTEGER,
    value INTEGER,  -- thousandths of a yard, or of a yard a second
    sd INTEGER,     -- standard deviation, likewise
    removed INTEGER NOT NULL DEFAULT 1 CHECK (removed IN (0, 1))
) STRICT;
CREATE INDEX measure_snap ON measure (snap);
