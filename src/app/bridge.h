/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>
#include <stdbool.h>

#include "rb/base/jobs.h"
#include "rb/work/library.h"

/* The only crossing point between the main loop and the store thread. The library is opened,
 * used and closed on that one thread; the main loop hands over work and gets plain values back
 * from an idle callback. Main thread only. */
typedef struct RbBridge RbBridge;

/* What the store thread owns. */
typedef struct {
    RbLibrary *library; /* owned, nullable: none is open */
    int quiet;          /* watches since it changed */
} RbStoreSide;

/* On the store thread. Returns a value for `done`, or NULL with `error` set. */
typedef void *(*RbBridgeRun)(RbStoreSide *side, void *data, RbCancel *cancel,
                             RbProgress *progress, GError **error);
/* On the main thread. result: (transfer full) (nullable); error: (transfer none) (nullable). */
typedef void (*RbBridgeDone)(void *result, const GError *error, void *owner);
typedef void (*RbBridgeNews)(double fraction, const char *what, void *owner);

/* Reads of one channel replace one another: when a newer one is asked, the older one's answer
 * is dropped. RB_CHANNEL_CHANGE keeps every answer. */
typedef enum {
    RB_CHANNEL_CHANGE,
    RB_CHANNEL_OPEN,
    RB_CHANNEL_SNAPS,
    RB_CHANNEL_SHEET,
    RB_CHANNEL_SNAPSHOT,
    RB_CHANNEL_TABLE,
    RB_CHANNEL_LADDER,
    RB_CHANNEL_STUDY,
    RB_CHANNEL_QUARTERBACK,
    RB_CHANNEL_QUIZ,
    RB_CHANNEL_DRAWINGS,
    RB_CHANNEL_MEASURES,
    RB_CHANNEL_AHEAD,
    RB_CHANNEL_CUTUPS,
    RB_CHANNEL_WATCH,
    RB_CHANNEL_RAIL,
    RB_CHANNEL_REVIEW,
    RB_CHANNEL_LOG,
    RB_CHANNEL_FILM_LOG,
    RB_CHANNEL_SNAP_SEARCH,
    RB_CHANNEL_EXCHANGE,
    RB_CHANNEL_PLACE,
    RB_CHANNELS,
} RbChannel;

typedef struct {
    RbChannel channel;
    RbBridgeRun run;
    void *data;                 /* transfer full */
    GDestroyNotify free_data;   /* nullable */
    GDestroyNotify free_result; /* of an answer that is dropped */
    RbBridgeDone done;
    RbBridgeNews news; /* nullable: progress */
} RbBridgeCall;

/* owner: handed to `done` and `news`; borrowed. */
RbBridge *rb_bridge_new(void *owner);
/* Cancels what runs, closes the library on its thread and waits for that. No callback runs
 * any more. NULL is allowed. */
void rb_bridge_free(RbBridge *bridge);

void rb_bridge_call(RbBridge *bridge, const RbBridgeCall *call);
/* Cancels what runs and what waits in a channel; its `done` gets the cancellation. */
void rb_bridge_cancel(RbBridge *bridge, RbChannel channel);
/* True while a call of this channel has not been answered. */
bool rb_bridge_is_busy(const RbBridge *bridge, RbChannel channel);

/* A source of the main loop that another thread may set off at any time and that runs
 * `wake` once for any number of calls. Returns: (transfer full): destroy with
 * rb_waker_free(), after which it does not run. */
typedef struct RbWaker RbWaker;
RbWaker *rb_waker_new(void (*wake)(void *data), void *data);
void rb_waker_free(RbWaker *waker); /* NULL is allowed */
/* Any thread. waker: an RbWaker; the type suits RbJobWake and RbReelWake. */
void rb_waker_wake(void *waker);
