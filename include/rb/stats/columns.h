/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdint.h>

#include "rb/model/ids.h"
#include "rb/model/words.h"

/* One dropback as the figures see it: plain values, no strings. Made by work's column
 * snapshot, or by a test. */
typedef struct {
    RbSnapId snap;
    RbGameId game;
    int number; /* of the snap in its game; 0 unknown */
    RbPlayerId quarterback;
    RbConceptId concept; /* 0: not tagged */
    RbTermId coverage;   /* 0: not tagged */
    RbVerdict verdict;
    RbStage stage;
    int stage_read; /* slot; 0 none */
    int right_read;
    int ball_read;
    uint8_t opened; /* bit i: read i + 1 was seen open */
    RbResult result;
    RbEnding ending;
    int gain; /* 0 when has_gain is false */
    bool has_gain;
    bool success;
    bool has_points;
    double points; /* expected points added; 0 when has_points is false */
    bool pressured;
    int release_ms; /* -1 unknown */
    bool in_ladder; /* counts: not wiped out, not a screen or run-pass option */
} RbDropback;

/* A list of dropbacks; the functions of this part take pointers and counts. */
typedef struct {
    RbDropback *rows; /* owned */
    int n;
} RbDropbacks;

void rb_dropbacks_clear(RbDropbacks *dropbacks);
