/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "rb/film/frames.h"

#include "intake-private.h"

bool rb_intake_read_seam(const char *path, int64_t first, int64_t at, int64_t last,
                         RbIntakeSeam *seam, RbCancel *cancel, GError **error)
{
    g_assert(first < at && at <= last);
    g_autoptr(RbReel) reel = rb_reel_open_wait(path, cancel, 0, NULL, error);
    if (reel == NULL) {
        return false;
    }
    *seam = (RbIntakeSeam){ .first = first, .at = at, .last = last };
    rb_reel_get_frame_time(reel, at - 1, &seam->before_time);
    rb_reel_get_frame_time(reel, at, &seam->at_time);
    seam->before_us =
        rb_reel_get_frame_us(reel, at - 1) - rb_reel_get_frame_us(reel, first);
    seam->after_us = rb_reel_get_frame_us(reel, last) - rb_reel_get_frame_us(reel, at);
    const int64_t frames[RB_SEAM_PICTURES] = { first + (at - 1 - first) / 2, at - 1, at,
                                               at + (last - at) / 2 };
    for (int i = 0; i < RB_SEAM_PICTURES; i++) {
        rb_intake_take_picture(reel, frames[i], seam->pictures[i], cancel);
    }
    return rb_cancel_check(cancel, error);
}

static void end_at(RbIntakeClip *clip, const RbIntakeSeam *seam)
{
    clip->last = seam->at - 1;
    clip->last_time = seam->before_time;
    clip->length_us = seam->before_us;
    clip->goes_on = false;
    memcpy(clip->pictures[1], seam->pictures[0], sizeof clip->pictures[1]);
    memcpy(clip->pictures[2], seam->pictures[1], sizeof clip->pictures[2]);
}

static void start_at(RbIntakeClip *clip, const RbIntakeSeam *seam)
{
    clip->first = seam->at;
    clip->first_time = seam->at_time;
    clip->length_us = seam->after_us;
    clip->cut_sure = 1;
    memcpy(clip->pictures[0], seam->pictures[2], sizeof clip->pictures[0]);
    memcpy(clip->pictures[1], seam->pictures[3], sizeof clip->pictures[1]);
}

/* Cut in two, or cut elsewhere, a clip shows nothing that another one shows. */
static void show_no_other(RbIntake *intake, int at)
{
    RbIntakeClip *self = intake->clips->pdata[at];
    self->same_as = -1;
    for (guint i = 0; i < intake->clips->len; i++) {
        RbIntakeClip *clip = intake->clips->pdata[i];
        clip->same_as = clip->same_as == at ? -1 : clip->same_as;
    }
}

bool rb_intake_add_cut(RbIntake *intake, int at, const RbIntakeSeam *seam)
{
    RbIntakeClip *clip =
        at >= 0 && at < (int)intake->clips->len ? intake->clips->pdata[at] : NULL;
    if (clip == NULL || seam->first != clip->first || seam->last != clip->last) {
        return false;
    }
    show_no_other(intake, at);
    for (guint i = 0; i < intake->clips->len; i++) {
        RbIntakeClip *other = intake->clips->pdata[i];
        other->same_as += other->same_as > at;
    }
    RbIntakeClip *second = g_memdup2(clip, sizeof *clip);
    start_at(second, seam);
    end_at(clip, seam);
    /* Who cuts a clip in two says that there is something to see. */
    second->out = clip->out = false;
    g_ptr_array_insert(intake->clips, at + 1, second);
    rb_intake_match(intake, intake->game, NULL);
    return true;
}

bool rb_intake_move_cut(RbIntake *intake, int at, const RbIntakeSeam *seam)
{
    const int before = rb_intake_clip_before(intake, at);
    if (before < 0) {
        return false;
    }
    RbIntakeClip *one = intake->clips->pdata[before];
    RbIntakeClip *other = intake->clips->pdata[at];
    if (seam->first != one->first || seam->last != other->last) {
        return false;
    }
    show_no_other(intake, before);
    show_no_other(intake, at);
    start_at(other, seam);
    end_at(one, seam);
    rb_intake_match(intake, intake->game, NULL);
    return true;
}
