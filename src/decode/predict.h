/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "packet-rules.h"

/* Which frames come out of a film and in what order, said from its packets alone: by their
 * times where these are whole; by the times of each recording where several were joined and the
 * clock began anew; else by what the coded pictures say of their own order. */

#define PREDICTION_JOINTS_MAX 24

typedef struct {
    bool sure;                             /* if not, the film must be decoded */
    bool by_order;                         /* not by times: worth checking in mid film */
    int64_t jumps;                         /* of the container's clock */
    int64_t joints[PREDICTION_JOINTS_MAX]; /* packets at which another recording begins */
    int n_joints;
} Prediction;

/* frames: (out): room for `n`. reorders: the codec may show pictures in another order than
 * stored. Returns how many frames there are. */
int64_t predict(const RbIndexPacket *packets, const PacketOrder *orders, int64_t n,
                bool reorders, RbIndexFrame *frames, Prediction *prediction);
