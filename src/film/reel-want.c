/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/base/error.h"
#include "rb/film/error.h"

#include "reel-private.h"

/* Lists of wanted frames: the reel's thread asks for them in order, a few at a time. */

bool rb_want_must_wait(const RbReel *reel, int64_t ordinal)
{
    return !reel->whole && ordinal >= reel->own_index->n_frames;
}

GError *rb_want_refusal(RbReel *reel, int64_t ordinal)
{
    GError *error = NULL;
    const long long number = ordinal;
    if (ordinal < 0 || (reel->whole && ordinal >= reel->own_index->n_frames)) {
        rb_error_set(&error, RB_FILM_ERROR, RB_FILM_ERROR_RANGE,
                     "There is no frame %lld in \"%s\", which has frames 0 to %lld.",
                     number, reel->name, (long long)reel->own_index->n_frames - 1);
    } else if (g_hash_table_contains(reel->bad_frames, &ordinal)) {
        rb_error_set(
            &error, RB_FILM_ERROR, RB_FILM_ERROR_DAMAGED,
            "Frame %lld of \"%s\" cannot be shown: it stops the program that reads "
            "films; the frames around it can be used.",
            number, reel->name);
    }
    return error;
}

void rb_want_take(RbReel *reel, const Asking *asking, RbPicture *picture, GError *error)
{
    const int64_t number = rb_asking_number(asking);
    Want *want = &reel->current;
    for (int i = 0; want->kind == WANT_LIST && i < want->n_list; i++) {
        if (rb_reel_is_listed_ask(asking, want, want->list[i])) {
            want->answered |= 1U << i;
        }
    }
    RbReelEvent event = { .kind = picture != NULL ? RB_REEL_FRAME : RB_REEL_ERROR,
                          .ordinal = number,
                          .picture = picture,
                          .error = error };
    rb_reel_add_event(reel, &event);
}

static void refuse(RbReel *reel, int i, GError *error)
{
    reel->current.answered |= 1U << i;
    RbReelEvent event = { .kind = RB_REEL_ERROR,
                          .ordinal = reel->current.list[i],
                          .error = error };
    rb_reel_add_event(reel, &event);
}

static bool is_asked(const RbReel *reel, int64_t number)
{
    for (int i = 0; i < reel->n_asking; i++) {
        if (rb_reel_is_listed_ask(&reel->asking[i], &reel->current, number)) {
            return true;
        }
    }
    return false;
}

void rb_want_serve(RbReel *reel)
{
    const Want *want = &reel->current;
    for (int i = 0; i < want->n_list; i++) {
        const int64_t number = want->list[i];
        if ((want->answered & 1U << i) != 0 || is_asked(reel, number) ||
            rb_want_must_wait(reel, rb_want_frame(number, &want->options))) {
            continue;
        }
        GError *error = rb_want_refusal(reel, rb_want_frame(number, &want->options));
        if (error != NULL) {
            refuse(reel, i, error);
        } else if (!rb_reel_ask(reel, 0, number, &want->options)) {
            return; /* an answer or a free slot wakes the thread */
        } else if (reel->n_asking > 0) {
            reel->asking[reel->n_asking - 1].listed = true;
        } else {
            return; /* the helper died while it was asked */
        }
    }
}
