/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>
#include <stdint.h>

#include "rb/base/cancel.h"
#include "rb/base/jobs.h"
#include "rb/film/scene-cuts.h"

#include "index.h"
#include "scene-look.h"

/* What the finder works on: an index and a way to small pictures; a test gives pictures that it
 * paints itself. */
typedef struct SceneSource SceneSource;
struct SceneSource {
    const RbIndex *index; /* borrowed */
    /* Fills view->pixels of frame view->frame; false with `error`. */
    bool (*get)(SceneSource *source, SceneView *view, GError **error);
    void *data;
    int64_t spent; /* packets decoded so far: get() counts */
    RbCancel *cancel;
    RbProgress *progress;
};

/* Frames between two keys that others are decoded from, the first key first; at most SCENE_GROUP,
 * evenly thinned. Returns how many. */
#define SCENE_GROUP 96
int rb_scene_group_frames(const RbIndex *index, int64_t from, int64_t to,
                          int64_t frames[SCENE_GROUP]);

/* How many packets must be decoded to have all of them. */
int64_t rb_scene_group_cost(const RbIndex *index, int64_t from, int64_t to);

/* Each frame's packet measured by those around it: 1 where all are alike, 0 for keys and for
 * frames that nothing is decoded from. What an encoder cannot predict makes a large packet, so
 * this says where something new is seen without decoding anything.
 * Returns: (transfer full): n_frames. */
float *rb_scene_spikes_new(const RbIndex *index);

bool rb_scene_search(SceneSource *source, GArray *cuts, RbSceneStats *stats,
                     GError **error);
