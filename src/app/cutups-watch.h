/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/work/cutups.h"

#include "deck.h"

/* Runs the clips of a cut-up one behind the other through a deck, each at its speed, as often as
 * it is to be shown, its title card before it, and standing where it is to stand. No widgets. */
typedef struct RbCutupsWatch RbCutupsWatch;

/* moved: another clip is shown. */
typedef void (*RbCutupsMoved)(int clip, void *data);
/* clip: (nullable): whose card is to be seen now; NULL: the film. */
typedef void (*RbCutupsCard)(const RbCutupClip *clip, void *data);
RbCutupsWatch *rb_cutups_watch_new(RbDeck *deck, RbCutupsMoved moved, RbCutupsCard card,
                                   void *data);
void rb_cutups_watch_free(RbCutupsWatch *watch);

/* plan: (nullable), borrowed until the next call. */
void rb_cutups_watch_set_plan(RbCutupsWatch *watch, const RbCutupPlan *plan);
/* Shows the first frame of a clip; stops. */
void rb_cutups_watch_show(RbCutupsWatch *watch, int clip);
void rb_cutups_watch_toggle(RbCutupsWatch *watch);
bool rb_cutups_watch_is_running(const RbCutupsWatch *watch);
