/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "scene-source.h"

/* A run of small pictures around a place where the camera may have been stopped, and what it
 * says. */

#define SCENE_DISTURBED_US 800000 /* a flash or a post is over within this */

typedef struct {
    SceneSource *source; /* borrowed */
    SceneView *views;    /* owned */
    double *steps;       /* owned: rest from each to the next; only between neighbours */
    SceneMatch *moves;   /* owned: and the shift that left it */
    const float *spikes; /* borrowed, nullable: of each frame's packet */
    int n;               /* those of the group, then the samples after it */
    int near;            /* the first ones, each the neighbour of the one before */
    SceneView before[2]; /* samples before the first view, the nearer first */
    int n_before;
    bool ended_early; /* the key behind the neighbours came before its time */
} SceneStrip;

/* Fetches and measures a picture. */
bool rb_scene_get_view(SceneSource *source, int64_t frame, SceneView *view,
                       GError **error);

/* Fills it with the frames from samples[at] up to, and with, frame `last` that others are
 * decoded from, and with the samples behind. strip: (out): to be cleared even on failure. */
bool rb_scene_strip_load(SceneStrip *strip, SceneSource *source, const GArray *samples,
                         int at, int64_t last, GError **error);
void rb_scene_strip_clear(SceneStrip *strip);

/* The step at which another shot begins: views[*at] and views[*at + 1]; -1 if there is none.
 * Returns: how sure that is, 0 if there is none. */
double rb_scene_strip_find(const SceneStrip *strip, int *at);

/* The view in the middle of a fade through black; -1 if it is none. */
int rb_scene_strip_find_fade(const SceneStrip *strip);
