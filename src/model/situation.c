/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/model/situation.h"

#include <glib.h>
#include <glib/gi18n-lib.h>

#include "rb/base/told.h"
#include "rb/model/yardline.h"

RbSituation rb_situation_unknown(void)
{
    return (RbSituation){
        .phase = RB_PHASE_SCRIMMAGE,
        .clock_s = -1,
        .score_offense = -1,
        .score_defense = -1,
    };
}

bool rb_situation_is_goal_to_go(const RbSituation *situation)
{
    return situation->phase == RB_PHASE_SCRIMMAGE && situation->distance > 0 &&
           situation->yards_to_goal > 0 &&
           situation->distance >= situation->yards_to_goal;
}

RbYesNo rb_situation_is_close(const RbSituation *situation)
{
    static const int margins[] = { 28, 24, 21, 16 };
    if (situation->quarter < 1 || situation->score_offense < 0 ||
        situation->score_defense < 0) {
        return RB_YES_NO_UNKNOWN;
    }
    const int margin = margins[MIN(situation->quarter, (int)G_N_ELEMENTS(margins)) - 1];
    return ABS(situation->score_offense - situation->score_defense) <= margin ? RB_YES
                                                                              : RB_NO;
}

char *rb_situation_down_tell(const RbSituation *situation)
{
    static const char *const ordinals[] = { N_("1st"), N_("2nd"), N_("3rd"), N_("4th") };
    switch (situation->phase) {
    case RB_PHASE_TRY:
        return rb_told("Try");
    case RB_PHASE_FREE_KICK:
        return rb_told("Free kick");
    case RB_PHASE_SCRIMMAGE:
        break;
    }
    if (situation->down < 1 || situation->down > 4) {
        return rb_told("Down unknown");
    }
    g_autofree char *ordinal = rb_told_word(ordinals[situation->down - 1]);
    if (rb_situation_is_goal_to_go(situation)) {
        return rb_told("%s & goal", ordinal);
    }
    if (situation->distance <= 0) {
        return rb_told("%s down", ordinal);
    }
    return rb_told("%s & %d", ordinal, situation->distance);
}

char *rb_situation_down_text(const RbSituation *situation)
{
    g_autofree char *told = rb_situation_down_tell(situation);
    return rb_told_show(told);
}

char *rb_situation_text(const RbSituation *situation)
{
    g_autofree char *down = rb_situation_down_text(situation);
    GString *text = g_string_new(down);
    if (situation->yards_to_goal >= 1 && situation->yards_to_goal <= 99) {
        g_autofree char *spot = rb_yardline_label(situation->yards_to_goal);
        g_string_append_printf(text, ", %s", spot);
    }
    switch (situation->hash) {
    case RB_HASH_LEFT:
        g_string_append(text, _(", left hash"));
        break;
    case RB_HASH_MIDDLE:
        g_string_append(text, _(", middle"));
        break;
    case RB_HASH_RIGHT:
        g_string_append(text, _(", right hash"));
        break;
    case RB_HASH_UNKNOWN:
        break;
    }
    return g_string_free(text, FALSE);
}
