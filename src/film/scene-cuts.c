/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/film/scene-cuts.h"

#include <string.h>

#include "rb/film/frames.h"

#include "reel-private.h"
#include "scene-source.h"

/* Enough for the frames of a group of 4K film; small pictures cost nothing beside it. */
#define CACHE_BYTES (INT64_C(768) << 20)

typedef struct {
    RbReel *reel;
    int64_t before; /* packets decoded before the search */
} FromReel;

static bool get_from_reel(SceneSource *source, SceneView *view, GError **error)
{
    const RbFrameOptions small = { .pixels = RB_PIXELS_GRAY,
                                   .max_width = SCENE_WIDTH,
                                   .max_height = SCENE_HEIGHT,
                                   .stretch = true,
                                   .as_coded = true,
                                   .alone = true };
    const FromReel *from = source->data;
    GError *failure = NULL;
    g_autoptr(RbPicture) picture =
        rb_reel_wait_frame(from->reel, view->frame, &small, source->cancel, 0, &failure);
    if (picture == NULL && rb_cancel_check(source->cancel, NULL)) {
        /* A frame that cannot be decoded is grey; the film goes on behind it. */
        g_clear_error(&failure);
        memset(view->pixels, 128, sizeof view->pixels);
        return rb_reel_get_frame_count(from->reel) > 0;
    }
    if (picture == NULL) {
        g_propagate_error(error, failure);
        return false;
    }
    RbReelStatus status;
    rb_reel_get_status(from->reel, &status);
    source->spent = status.decoded - from->before;
    size_t stride = 0;
    const uint8_t *plane = rb_picture_get_plane(picture, 0, &stride);
    for (int y = 0; y < SCENE_HEIGHT; y++) {
        memcpy(view->pixels + y * SCENE_WIDTH, plane + (size_t)y * stride, SCENE_WIDTH);
    }
    return true;
}

bool rb_scene_find_cuts(RbReel *reel, GArray **cuts, RbSceneStats *stats,
                        RbCancel *cancel, RbProgress *progress, GError **error)
{
    RbSceneStats own = { 0 };
    RbReelStatus before;
    RbReelStatus after;
    rb_reel_get_status(reel, &before);
    FromReel from = { reel, before.decoded };
    rb_mutex_lock(&reel->lock);
    SceneSource source = { .index = reel->index,
                           .get = get_from_reel,
                           .data = &from,
                           .cancel = cancel,
                           .progress = progress };
    rb_mutex_unlock(&reel->lock);
    g_assert(source.index != NULL); /* the caller waited for it */
    const RbReelKeep keep = { .first = 0, .last = -1, .budget = CACHE_BYTES };
    rb_reel_keep(reel, &keep);
    g_autoptr(GArray) found = g_array_new(FALSE, FALSE, sizeof(RbSceneCut));
    const bool ok = rb_scene_search(&source, found, &own, error);
    rb_reel_get_status(reel, &after);
    own.decoded = after.decoded - before.decoded;
    if (stats != NULL) {
        *stats = own;
    }
    *cuts = ok ? g_steal_pointer(&found) : NULL;
    return ok;
}
