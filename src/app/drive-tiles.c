/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n.h>

#include "rb/stats/success.h"

#include "drive-strip.h"

static void tile_free(void *pointer)
{
    RbTile *tile = pointer;
    g_free(tile->text);
    g_free(tile);
}

RbTileShape rb_tile_shape(const RbSnap *snap)
{
    if (snap->play == RB_PLAY_UNKNOWN && snap->result == RB_RESULT_UNKNOWN) {
        return RB_TILE_UNKNOWN;
    }
    if (!rb_play_is_pass(snap->play) || rb_snap_is_wiped_out(snap)) {
        return RB_TILE_OTHER;
    }
    if (snap->result == RB_RESULT_INTERCEPTED || snap->ending == RB_ENDING_FUMBLE_LOST ||
        snap->ending == RB_ENDING_TOUCHDOWN_AGAINST) {
        return RB_TILE_TURNOVER;
    }
    if (snap->result == RB_RESULT_SACK || snap->ending == RB_ENDING_SAFETY) {
        return RB_TILE_SACK;
    }
    bool known = false;
    if (rb_success_snap(rb_success_profile_default(), snap, &known) && known) {
        return RB_TILE_SUCCESS;
    }
    if (snap->result == RB_RESULT_UNKNOWN) {
        return RB_TILE_UNKNOWN;
    }
    return snap->has_gain == RB_YES && snap->gain > 0 ? RB_TILE_SHORT : RB_TILE_NOTHING;
}

/* A new drive starts when the ball changed hands, a half began, or a kick came between. */
static bool starts_drive(const RbSnap *before, const RbSnap *snap, RbRules rules)
{
    const RbSituation *a = &before->situation;
    const RbSituation *b = &snap->situation;
    if (a->offense.value != b->offense.value) {
        return true;
    }
    if (a->quarter > 0 && b->quarter > 0 && a->quarter != b->quarter &&
        (b->quarter == 3 || b->quarter > 4)) {
        return true;
    }
    switch (rb_next_situation(before, (RbTeamId){ 0 }, rules).kind) {
    case RB_NEXT_SAME_SERIES:
    case RB_NEXT_UNKNOWN:
    case RB_NEXT_TRY:
    case RB_NEXT_TRY_AGAINST:
        return before->situation.phase == RB_PHASE_TRY && b->phase != RB_PHASE_TRY;
    case RB_NEXT_TURNOVER:
    case RB_NEXT_KICKOFF:
    case RB_NEXT_SAFETY_KICK:
    case RB_NEXT_AFTER_KICK:
        return true;
    }
    return false;
}

static char *describe(const RbSnap *snap, bool filmed)
{
    g_autofree char *situation = rb_situation_text(&snap->situation);
    GString *text = g_string_new(NULL);
    g_string_append_printf(text, _("Snap %d, %s"), snap->number, situation);
    if (snap->result != RB_RESULT_UNKNOWN) {
        g_autofree char *result =
            g_utf8_strdown(rb_words_label(&rb_result_words, snap->result), -1);
        g_string_append_printf(text, ": %s", result);
    }
    if (snap->has_gain == RB_YES && snap->gain < 0) {
        g_string_append_printf(
            text, ngettext(", loss of %d yard", ", loss of %d yards", -snap->gain),
            -snap->gain);
    } else if (snap->has_gain == RB_YES && snap->gain > 0) {
        g_string_append_printf(
            text, ngettext(", gain of %d yard", ", gain of %d yards", snap->gain),
            snap->gain);
    }
    if (snap->ending != RB_ENDING_NONE) {
        g_autofree char *ending =
            g_utf8_strdown(rb_words_label(&rb_ending_words, snap->ending), -1);
        g_string_append_printf(text, ", %s", ending);
    }
    if (filmed) {
        g_string_append_printf(text, ", %s", _("with film"));
    }
    return g_string_free(text, FALSE);
}

/* True when some snaps have film and some have none: then a dot tells which. */
static bool is_partly_filmed(const GPtrArray *snaps, GHashTable *filmed)
{
    return filmed != NULL && g_hash_table_size(filmed) > 0 &&
           g_hash_table_size(filmed) < snaps->len;
}

GPtrArray *rb_tiles_build(const GPtrArray *snaps, GHashTable *filmed, RbRules rules)
{
    const bool partly = is_partly_filmed(snaps, filmed);
    GPtrArray *tiles = g_ptr_array_new_with_free_func(tile_free);
    int drive = 0;
    for (guint i = 0; i < snaps->len; i++) {
        const RbSnap *snap = snaps->pdata[i];
        if (i == 0 || starts_drive(snaps->pdata[i - 1], snap, rules)) {
            drive++;
        }
        RbTile *tile = g_new0(RbTile, 1);
        tile->snap = snap->id;
        tile->number = snap->number;
        tile->drive = drive;
        tile->shape = rb_tile_shape(snap);
        tile->filmed = partly && g_hash_table_contains(filmed, &snap->id.value);
        tile->text = describe(snap, tile->filmed);
        g_ptr_array_add(tiles, tile);
    }
    return tiles;
}
