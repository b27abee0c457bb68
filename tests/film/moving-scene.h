/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <stdbool.h>
#include <stdint.h>

#include "film/index.h"
#include "film/scene-source.h"

/* Recordings of invented grounds, painted frame by frame as small grey pictures, with an index
 * such as an encoder makes: a key every 60 frames, every second frame one that nothing else is
 * decoded from, packets as large as what changed. Nothing is encoded, so a minute of film costs
 * a moment; what encoding does to a picture is tested with real films. */
typedef enum {
    MOVING_PLAIN,   /* a still camera, men who move */
    MOVING_FLASHES, /* bright frames now and then */
    MOVING_PANS,    /* fast sweeps to both sides */
    MOVING_ZOOMS,
    MOVING_FADES,  /* through black, half a second each way */
    MOVING_FENCE,  /* posts of a fence pass close before the lens while the camera pans */
    MOVING_STILL,  /* a camera on a tripod, no cut at all, one stop of its clock */
    MOVING_ALIKE,  /* each shot frames nearly what the one before did */
    MOVING_JOINED, /* each shot starts with a key of its own */
    MOVING_ALL,    /* a bit of everything */
    MOVING_KINDS,
    MOVING_NEARER =
        MOVING_KINDS, /* a zoom while the camera is stopped, and the shot starts with
                                     a key that would have come anyway */
    MOVING_TRIPOD, /* stands on one spot for all shots; each starts with a key of its own */
} MovingKind;

typedef struct {
    MovingKind kind;
    uint64_t seed;
    int shots;
    int64_t starts[32]; /* first frame of each shot */
    int64_t frames;
    RbIndex *index; /* owned */
    int64_t asked;  /* pictures handed out */
    int64_t group;  /* the key of the group last decoded into */
    bool *held;     /* owned: its frames that were decoded */
} MovingScene;

void moving_scene_init(MovingScene *scene, MovingKind kind, uint64_t seed);
void moving_scene_clear(MovingScene *scene);
/* A SceneSource over it; counts what a decoder would have to decode. */
SceneSource moving_scene_source(MovingScene *scene);
