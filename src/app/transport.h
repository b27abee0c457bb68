/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "deck.h"
#include "mark-track.h"

/* The line under the film: play, the film clock, the time since the snap, speed, angle, and
 * the track with the marks. */
#define RB_TYPE_TRANSPORT (rb_transport_get_type())
G_DECLARE_FINAL_TYPE(RbTransport, rb_transport, RB, TRANSPORT, GtkWidget)

void rb_transport_set_deck(RbTransport *transport, RbDeck *deck);
/* Of a whole film: the clips that are logged on it. n 0: none. */
void rb_transport_set_spans(RbTransport *transport, const RbTrackSpan *spans, int n);
