/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>
#include <stdbool.h>

#include "rb/model/snap.h"
#include "rb/model/successor.h"

/* How a snap ended, told by the shape of its tile and not by colour alone. */
typedef enum {
    RB_TILE_UNKNOWN,  /* nothing is tagged yet: a hollow square */
    RB_TILE_SUCCESS,  /* a tall bar */
    RB_TILE_SHORT,    /* a gain short of success: half a bar */
    RB_TILE_NOTHING,  /* incomplete or no gain: a foot */
    RB_TILE_SACK,     /* a bar below the line */
    RB_TILE_TURNOVER, /* a bar below the line, with a gap */
    RB_TILE_OTHER,    /* not a dropback: a thin tick */
} RbTileShape;

typedef struct {
    RbSnapId snap;
    int number;
    int drive; /* 1 and up, in order */
    RbTileShape shape;
    bool filmed; /* a dot under the tile, where some of the game has no film */
    char *text;  /* owned: "Snap 34, 2nd & 8, own 35: complete, gain of 9" */
} RbTile;

/* The tiles of one game. snaps: of RbSnap in order. filmed: (nullable): set of ids (int64_t *).
 * Returns: (transfer full): of RbTile. */
GPtrArray *rb_tiles_build(const GPtrArray *snaps, GHashTable *filmed, RbRules rules);
RbTileShape rb_tile_shape(const RbSnap *snap);

/* The drives of a game as rows of small tiles, one a snap; Left and Right choose.
 * Signal "chosen" (gint64 snap). */
#define RB_TYPE_DRIVE_STRIP (rb_drive_strip_get_type())
G_DECLARE_FINAL_TYPE(RbDriveStrip, rb_drive_strip, RB, DRIVE_STRIP, GtkWidget)

/* tiles: (transfer none) (nullable): a reference is taken. */
void rb_drive_strip_set_tiles(RbDriveStrip *strip, GPtrArray *tiles);
/* Shows which snap is chosen, without a signal. */
void rb_drive_strip_set_chosen(RbDriveStrip *strip, RbSnapId snap);
/* The snap `step` tiles away from the chosen one, clamped; 0 when there is none. */
RbSnapId rb_drive_strip_get_neighbour(RbDriveStrip *strip, int step);
