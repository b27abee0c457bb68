/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "measure-layer.h"
#include "measure-sight.h"

/* measure-layer.c is the widget and its mode, measure-hand.c what is done in it, by key or by button. */
struct _RbMeasureLayer {
    RbFilmLayer parent_instance;
    GtkLabel *sentence; /* says what to do */
    GtkLabel *keys;

    RbFieldwork *work;           /* owned, nullable: not measuring */
    RbMeasureSight *sight;       /* owned */
    GSimpleActionGroup *actions; /* owned */
    GSettings *settings;         /* borrowed */
    RbClipId clip;               /* that is measured on */
    RbSnapId snap;
    RbFilmId film;
    int width; /* of the film's upright picture, pixels */
    int height;
    int64_t at;           /* the frame that was looked at last */
    RbTime moment;        /* of it: of interlaced film of the field */
    RbClipId wanted;      /* to be gone to when it is shown; 0 none */
    int64_t wanted_frame; /* -1: any */
    RbPoint2 cursor; /* of the arrow keys where nothing was clicked, and of the pointer */
};

/* Says and draws what is now. */
void rb_measure_layer_show(RbMeasureLayer *layer);
/* The yard line that is likely in the picture. */
int rb_measure_hand_line(RbMeasureLayer *layer);

void rb_measure_hand_click(RbMeasureLayer *layer, RbPoint2 pixel);
/* Keeps what is measured; else clicks where the cursor is. */
void rb_measure_hand_enter(RbMeasureLayer *layer);
void rb_measure_hand_nudge(RbMeasureLayer *layer, int across, int down);
void rb_measure_hand_take_back(RbMeasureLayer *layer);
void rb_measure_hand_begin_anew(RbMeasureLayer *layer);
void rb_measure_hand_add_actions(RbMeasureLayer *layer);
