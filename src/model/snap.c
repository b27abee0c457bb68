/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/model/snap.h"

RbSnap *rb_snap_new(RbSnapId id, RbGameId game, int number)
{
    RbSnap *snap = g_new0(RbSnap, 1);
    snap->id = id;
    snap->game = game;
    snap->number = number;
    snap->situation = rb_situation_unknown();
    snap->timeouts_offense = -1;
    snap->timeouts_defense = -1;
    snap->penalties = g_array_new(FALSE, FALSE, sizeof(RbPenalty));
    snap->own_tags = g_array_new(FALSE, FALSE, sizeof(RbTermId));
    return snap;
}

RbSnap *rb_snap_copy(const RbSnap *snap)
{
    RbSnap *copy = g_memdup2(snap, sizeof *snap);
    copy->penalties = g_array_copy(snap->penalties);
    copy->own_tags = g_array_copy(snap->own_tags);
    copy->note = g_strdup(snap->note);
    return copy;
}

void rb_snap_free(RbSnap *snap)
{
    if (snap == NULL) {
        return;
    }
    g_array_unref(snap->penalties);
    g_array_unref(snap->own_tags);
    g_free(snap->note);
    g_free(snap);
}

/* Where a tag is, or belongs. */
static guint tag_place(const RbSnap *snap, RbTermId tag)
{
    guint at = 0;
    while (at < snap->own_tags->len &&
           g_array_index(snap->own_tags, RbTermId, at).value < tag.value) {
        at++;
    }
    return at;
}

bool rb_snap_has_tag(const RbSnap *snap, RbTermId tag)
{
    const guint at = tag_place(snap, tag);
    return at < snap->own_tags->len &&
           g_array_index(snap->own_tags, RbTermId, at).value == tag.value;
}

void rb_snap_set_tag(RbSnap *snap, RbTermId tag, bool on)
{
    const guint at = tag_place(snap, tag);
    const bool has = rb_snap_has_tag(snap, tag);
    if (on && !has) {
        g_array_insert_val(snap->own_tags, at, tag);
    } else if (!on && has) {
        g_array_remove_index(snap->own_tags, at);
    }
}

bool rb_snap_is_wiped_out(const RbSnap *snap)
{
    if (snap->result == RB_RESULT_NO_PLAY) {
        return true;
    }
    for (guint i = 0; i < snap->penalties->len; i++) {
        const RbPenalty *penalty = &g_array_index(snap->penalties, RbPenalty, i);
        if (penalty->ruling != RB_RULING_DECLINED && penalty->down_counts == RB_NO) {
            return true;
        }
    }
    return false;
}

bool rb_snap_is_dropback(const RbSnap *snap)
{
    return snap->situation.phase == RB_PHASE_SCRIMMAGE &&
           rb_play_is_in_ladder(snap->play) && !rb_snap_is_wiped_out(snap);
}
