/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n.h>
#include <stdlib.h>

#include "deck-private.h"

/* Where in the clip: the frame at hand, marks, the span that is played, and the clock. */

int64_t rb_deck_get_frame_at_hand(RbDeck *deck)
{
    g_return_val_if_fail(RB_IS_DECK(deck), -1);
    if (deck->projector == NULL) {
        return -1;
    }
    return rb_deck_get_speed(deck) != 0 ? rb_projector_get_frame(deck->projector)
                                        : rb_projector_get_wanted(deck->projector);
}

bool rb_deck_since_snap(RbDeck *deck, int64_t frame, int64_t *us)
{
    const RbClip *clip = rb_deck_get_clip(deck);
    const RbMark *snap = clip != NULL ? rb_clip_find_mark(clip, RB_MARK_SNAP) : NULL;
    if (snap == NULL || deck->projector == NULL || frame < 0) {
        return false;
    }
    RbReel *reel = rb_projector_get_reel(deck->projector);
    const int64_t snap_us = rb_reel_get_frame_us(reel, snap->frame);
    const int64_t frame_us = rb_reel_get_frame_us(reel, frame);
    *us = frame_us - snap_us;
    return snap_us >= 0 && frame_us >= 0;
}

void rb_deck_set_loop(RbDeck *deck, bool loop)
{
    g_return_if_fail(RB_IS_DECK(deck));
    deck->loop = loop;
    if (deck->projector != NULL) {
        rb_projector_set_loop(deck->projector, loop);
    }
    rb_deck_emit_changed(deck);
}

bool rb_deck_get_loop(RbDeck *deck)
{
    return deck->loop;
}

static void use_span(RbDeck *deck, int64_t first, int64_t last)
{
    deck->span_first = first;
    deck->span_last = last;
    if (deck->projector != NULL) {
        rb_projector_set_span(deck->projector, first, last);
    }
    rb_deck_emit_changed(deck);
}

bool rb_deck_get_span(RbDeck *deck, int64_t *first, int64_t *last)
{
    const RbClip *clip = rb_deck_get_clip(deck);
    const bool set = deck->span_first <= deck->span_last;
    *first = set ? deck->span_first : clip != NULL ? clip->first : 0;
    *last = set ? deck->span_last : clip != NULL ? clip->last : -1;
    return set;
}

void rb_deck_set_span_end(RbDeck *deck, int end)
{
    g_return_if_fail(RB_IS_DECK(deck));
    const int64_t frame = rb_deck_get_frame_at_hand(deck);
    const RbClip *clip = rb_deck_get_clip(deck);
    if (frame < 0 || clip == NULL) {
        return;
    }
    int64_t first = 0;
    int64_t last = 0;
    rb_deck_get_span(deck, &first, &last);
    if (end == 0) {
        first = frame;
        last = last < first ? clip->last : last;
    } else {
        last = frame;
        first = first > last ? clip->first : first;
    }
    use_span(deck, first, last);
}

void rb_deck_clear_span(RbDeck *deck)
{
    g_return_if_fail(RB_IS_DECK(deck));
    use_span(deck, 0, -1);
}

void rb_deck_jump(RbDeck *deck, int direction)
{
    const RbClip *clip = rb_deck_get_clip(deck);
    const int64_t now = rb_deck_get_frame(deck);
    if (clip == NULL || now < 0) {
        return;
    }
    int64_t best = direction < 0 ? clip->first : clip->last;
    for (guint i = 0; i < clip->marks->len; i++) {
        const int64_t frame = g_array_index(clip->marks, RbMark, i).frame;
        if ((direction < 0 && frame < now && frame > best) ||
            (direction > 0 && frame > now && frame < best)) {
            best = frame;
        }
    }
    rb_deck_show(deck, best);
}

void rb_deck_jump_to(RbDeck *deck, RbMarkKind kind)
{
    const RbClip *clip = rb_deck_get_clip(deck);
    const RbMark *mark = clip != NULL ? rb_clip_find_mark(clip, kind) : NULL;
    if (mark != NULL) {
        rb_deck_show(deck, mark->frame);
    }
}

char *rb_deck_clock_text(RbDeck *deck)
{
    const int64_t frame = rb_deck_get_frame(deck);
    if (frame < 0) {
        return g_strdup("");
    }
    const int64_t us =
        rb_reel_get_frame_us(rb_projector_get_reel(deck->projector), frame);
    return us >= 0 ? rb_time_text(us) : g_strdup("");
}

char *rb_deck_since_snap_text(RbDeck *deck)
{
    int64_t us = 0;
    if (!rb_deck_since_snap(deck, rb_deck_get_frame(deck), &us)) {
        return g_strdup("");
    }
    /* Hundredths, truncated toward the snap as the film clock is. */
    const long long hundredths = llabs(us) / 10000;
    return g_strdup_printf(_("snap %s%lld.%02lld s"), us < 0 ? "−" : "+",
                           hundredths / 100, hundredths % 100);
}

bool rb_deck_get_moment(RbDeck *deck, int64_t frame, bool by_field, RbTime *time)
{
    RbProjector *projector = rb_deck_get_projector(deck);
    if (projector == NULL || frame < 0) {
        return false;
    }
    RbReel *reel = rb_projector_get_reel(projector);
    const bool second = rb_projector_get_wanted(projector) == frame &&
                        rb_projector_get_wanted_half(projector) == 1;
    return by_field ? rb_reel_get_field_time(reel, 2 * frame + (second ? 1 : 0), time)
                    : rb_reel_get_frame_time(reel, frame, time);
}

bool rb_deck_find_moment(RbDeck *deck, int64_t us, int64_t *frame, RbTime *time)
{
    static const RbTime zero = { 0, { 1, 1 } };
    enum { NEAR_US = 500 }; /* stamps are rounded */
    RbProjector *projector = rb_deck_get_projector(deck);
    RbReel *reel = projector != NULL ? rb_projector_get_reel(projector) : NULL;
    RbTime moment = zero;
    *frame = -1;
    if (reel == NULL || !rb_reel_get_frame_time(reel, 0, &moment)) {
        return false;
    }
    /* Frames are found from the first one on. */
    const int64_t after = MAX(us - rb_time_diff_us(moment, zero), 0) + NEAR_US;
    *frame = rb_reel_find_frame_at(reel, after);
    if (*frame < 0 || time == NULL) {
        return *frame >= 0;
    }
    const bool second = rb_reel_get_field_time(reel, 2 * *frame + 1, &moment) &&
                        rb_time_diff_us(moment, zero) <= us + NEAR_US;
    return rb_reel_get_field_time(reel, 2 * *frame + (second ? 1 : 0), time);
}

char *rb_deck_dup_seconds(RbDeck *deck)
{
    const RbClip *clip = rb_deck_get_clip(deck);
    const RbMark *snap = clip != NULL ? rb_clip_find_mark(clip, RB_MARK_SNAP) : NULL;
    const int64_t frame = rb_deck_get_frame_at_hand(deck);
    RbTime time;
    if (snap == NULL || frame < snap->frame ||
        !rb_deck_get_moment(deck, frame, true, &time)) {
        return NULL;
    }
    const int64_t ms = rb_time_diff_ms(time, snap->time);
    return g_strdup_printf("%d.%03d", (int)(ms / 1000), (int)(ms % 1000));
}
