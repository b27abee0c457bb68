/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "deck-private.h"

/* The second follows the first from snap mark to snap mark, as soon as both films tell when
 * those are; without marks, from start to start. */
void rb_deck_align_second(RbDeck *deck)
{
    if (deck->second == NULL || deck->projector == NULL) {
        return;
    }
    const int64_t here =
        rb_reel_get_frame_us(rb_projector_get_reel(deck->projector),
                             rb_deck_start_frame(rb_deck_clip_at(deck, deck->shown)));
    const int64_t there =
        rb_reel_get_frame_us(rb_projector_get_reel(deck->second),
                             rb_deck_start_frame(rb_deck_clip_at(deck, deck->beside)));
    if (here >= 0 && there >= 0) {
        rb_projector_follow(deck->second, deck->projector, there - here);
    }
}

static void on_second_news(RbDeck *deck)
{
    rb_deck_emit_frame(deck);
}

static void on_second_changed(RbDeck *deck)
{
    rb_deck_align_second(deck);
    rb_deck_emit_changed(deck);
}

void rb_deck_leave_second(RbDeck *deck)
{
    if (deck->second == NULL) {
        return;
    }
    for (int i = 0; i < 2; i++) {
        g_signal_handler_disconnect(deck->second, deck->second_handlers[i]);
    }
    RbProjector *second = deck->second;
    deck->second = NULL;
    deck->beside = -1;
    rb_projector_follow(second, NULL, 0);
    rb_projector_set_resting(second, true);
}

static int find_beside(const RbDeck *deck)
{
    const RbAngle shown = rb_deck_clip_at(deck, deck->shown)->angle;
    const int other =
        rb_deck_find_angle(deck, shown == RB_ANGLE_WIDE ? RB_ANGLE_TIGHT : RB_ANGLE_WIDE);
    const bool known = other >= 0 && *(const char *)deck->paths->pdata[other] != '\0';
    return known && other != deck->shown ? other : -1;
}

void rb_deck_enter_second(RbDeck *deck)
{
    deck->beside = deck->both && deck->projector != NULL ? find_beside(deck) : -1;
    if (deck->beside < 0) {
        return;
    }
    RbProjector *second = rb_deck_open_film(deck, deck->paths->pdata[deck->beside]);
    if (second == deck->projector) {
        deck->beside = -1; /* one film holds both angles one after the other */
        return;
    }
    deck->second = second;
    rb_projector_set_resting(second, false);
    deck->second_handlers[0] =
        g_signal_connect_swapped(second, "changed", G_CALLBACK(on_second_changed), deck);
    deck->second_handlers[1] =
        g_signal_connect_swapped(second, "frame", G_CALLBACK(on_second_news), deck);
    const RbClip *clip = rb_deck_clip_at(deck, deck->beside);
    rb_projector_set_limits(second, clip->first, clip->last);
    rb_projector_set_span(second, 0, -1);
    rb_projector_set_close(second, deck->close);
    rb_projector_show(second, rb_deck_start_frame(clip));
    rb_deck_align_second(deck);
}
