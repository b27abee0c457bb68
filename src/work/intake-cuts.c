/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "intake-private.h"

static RbIntakeClip *clip_at(const RbIntake *intake, int clip)
{
    return clip >= 0 && clip < (int)intake->clips->len ? intake->clips->pdata[clip]
                                                       : NULL;
}

int rb_intake_clip_before(const RbIntake *intake, int at)
{
    const RbIntakeClip *clip = clip_at(intake, at);
    for (int i = 0; clip != NULL && i < (int)intake->clips->len; i++) {
        const RbIntakeClip *other = clip_at(intake, i);
        if (other->file == clip->file && other->last + 1 == clip->first) {
            return i;
        }
    }
    return -1;
}

int rb_intake_find_cut(const RbIntake *intake, const RbIntakeRow *row, double sure)
{
    const int sides[] = { row->wide, row->tight };
    int found = -1;
    for (int k = 0; k < 2; k++) {
        const RbIntakeClip *clip = clip_at(intake, sides[k]);
        if (clip != NULL && clip->cut_sure < sure) {
            sure = clip->cut_sure;
            found = sides[k];
        }
    }
    return found;
}

int rb_intake_count_cuts(const RbIntake *intake)
{
    int n = 0;
    for (guint i = 0; i < intake->clips->len; i++) {
        n += clip_at(intake, (int)i)->cut_sure < RB_INTAKE_SURE;
    }
    return n;
}

bool rb_intake_keep_cut(RbIntake *intake, int at)
{
    RbIntakeClip *clip = clip_at(intake, at);
    if (clip == NULL || clip->cut_sure >= 1) {
        return false;
    }
    clip->cut_sure = 1;
    return true;
}

/* Places in the list after one was taken out. What showed the same as it, shows it no more. */
static void forget_clip(RbIntake *intake, int gone)
{
    g_ptr_array_remove_index(intake->clips, (guint)gone);
    for (int i = 0; i < (int)intake->clips->len; i++) {
        RbIntakeClip *clip = clip_at(intake, i);
        clip->same_as = clip->same_as == gone  ? -1
                        : clip->same_as > gone ? clip->same_as - 1
                                               : clip->same_as;
    }
}

bool rb_intake_join_cut(RbIntake *intake, int at)
{
    const int before = rb_intake_clip_before(intake, at);
    RbIntakeClip *to = clip_at(intake, before);
    const RbIntakeClip *from = clip_at(intake, at);
    if (to == NULL) {
        return false;
    }
    to->last = from->last;
    to->last_time = from->last_time;
    to->length_us += from->length_us;
    to->goes_on = from->goes_on;
    to->same_as = -1;
    memcpy(to->pictures[1], from->pictures[0], sizeof to->pictures[1]);
    memcpy(to->pictures[2], from->pictures[2], sizeof to->pictures[2]);
    forget_clip(intake, at);
    rb_intake_match(intake, intake->game, NULL);
    return true;
}
