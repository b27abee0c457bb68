/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "intake-private.h"

static RbIntakeRow *find_row(RbIntake *intake, guint row)
{
    return row < intake->rows->len ? &g_array_index(intake->rows, RbIntakeRow, row)
                                   : NULL;
}

void rb_intake_row_set_kind(RbIntakeRow *row)
{
    row->kind = row->wide >= 0 && row->tight >= 0 ? RB_INTAKE_BOTH
                : row->wide >= 0                  ? RB_INTAKE_WIDE_ONLY
                : row->tight >= 0                 ? RB_INTAKE_TIGHT_ONLY
                                                  : RB_INTAKE_NO_FILM;
}

bool rb_intake_row_is_snap(const RbIntakeRow *row)
{
    return row->kind != RB_INTAKE_EXTRA && row->kind != RB_INTAKE_DUPLICATE;
}

static void set_out(RbIntake *intake, const RbIntakeRow *row, bool out)
{
    const int sides[] = { row->wide, row->tight };
    for (int k = 0; k < 2; k++) {
        if (sides[k] >= 0) {
            ((RbIntakeClip *)intake->clips->pdata[sides[k]])->out = out;
        }
    }
}

/* The snap stays as one without film; the clips go to the end as extra ones. */
static void take_out(RbIntake *intake, guint at)
{
    RbIntakeRow extra = *find_row(intake, at);
    RbIntakeRow *left = find_row(intake, at);
    left->wide = left->tight = -1;
    left->sure = 1;
    rb_intake_row_set_kind(left);
    if (intake->snaps->len == 0) {
        g_array_remove_index(intake->rows, at);
    }
    extra.kind = RB_INTAKE_EXTRA;
    extra.number = 0;
    extra.snap = (RbSnapId){ 0 };
    extra.sure = 1;
    set_out(intake, &extra, true);
    g_array_append_val(intake->rows, extra);
}

/* Into the first snap without film for these angles that was filmed after the clips before it. */
static bool put_back(RbIntake *intake, guint at)
{
    const RbIntakeRow extra = *find_row(intake, at);
    guint to = intake->rows->len;
    for (guint i = 0; i < intake->rows->len; i++) {
        const RbIntakeRow *row = find_row(intake, i);
        const bool room = rb_intake_row_is_snap(row) &&
                          (extra.wide < 0 || row->wide < 0) &&
                          (extra.tight < 0 || row->tight < 0);
        const bool before =
            (extra.wide >= 0 && row->wide >= 0 && row->wide < extra.wide) ||
            (extra.tight >= 0 && row->tight >= 0 && row->tight < extra.tight);
        if (rb_intake_row_is_snap(row) && before) {
            to = intake->rows->len; /* what was found lies before a clip filmed earlier */
        } else if (room && to == intake->rows->len) {
            to = i;
        }
    }
    RbIntakeRow *row = find_row(intake, to);
    if (row == NULL) {
        return false;
    }
    row->wide = extra.wide >= 0 ? extra.wide : row->wide;
    row->tight = extra.tight >= 0 ? extra.tight : row->tight;
    row->sure = 1;
    rb_intake_row_set_kind(row);
    set_out(intake, &extra, false);
    g_array_remove_index(intake->rows, at);
    return true;
}

bool rb_intake_set_extra(RbIntake *intake, guint at, bool extra)
{
    const RbIntakeRow *row = find_row(intake, at);
    if (row == NULL || row->kind == RB_INTAKE_DUPLICATE ||
        row->kind == RB_INTAKE_NO_FILM || (row->kind == RB_INTAKE_EXTRA) == extra) {
        return false;
    }
    if (!extra && !put_back(intake, at)) {
        return false;
    }
    if (extra) {
        take_out(intake, at);
    }
    intake->by_hand = true;
    return true;
}

static int *side_of(RbIntakeRow *row, RbAngle angle)
{
    return angle == RB_ANGLE_TIGHT ? &row->tight : &row->wide;
}

/* The snaps from `at` in the direction `by`, as far as there are any. */
static GArray *snaps_from(RbIntake *intake, guint at, int by)
{
    GArray *places = g_array_new(FALSE, FALSE, sizeof(guint));
    for (gint64 i = at; i >= 0 && i < (gint64)intake->rows->len; i += by) {
        const guint place = (guint)i;
        if (rb_intake_row_is_snap(find_row(intake, place))) {
            g_array_append_val(places, place);
        }
    }
    return places;
}

bool rb_intake_shift(RbIntake *intake, guint at, RbAngle angle, int by)
{
    if (find_row(intake, at) == NULL || !rb_intake_row_is_snap(find_row(intake, at)) ||
        (by != 1 && by != -1)) {
        return false;
    }
    g_autoptr(GArray) places = snaps_from(intake, at, by);
    /* They move up to the first place that is free; without one the last becomes extra. */
    guint free_at = 1;
    while (free_at < places->len &&
           *side_of(find_row(intake, g_array_index(places, guint, free_at)), angle) >=
               0) {
        free_at++;
    }
    RbIntakeRow over = { .kind = RB_INTAKE_EXTRA, .wide = -1, .tight = -1, .sure = 1 };
    for (guint i = MIN(free_at, places->len - 1) + 1; i-- > 0;) {
        RbIntakeRow *row = find_row(intake, g_array_index(places, guint, i));
        int *side = side_of(row, angle);
        if (i == places->len - 1 && free_at == places->len) {
            *side_of(&over, angle) = *side;
        }
        *side =
            i > 0 ? *side_of(find_row(intake, g_array_index(places, guint, i - 1)), angle)
                  : -1;
        row->sure = 1;
        rb_intake_row_set_kind(row);
    }
    if (over.wide >= 0 || over.tight >= 0) {
        g_array_append_val(intake->rows, over);
    }
    intake->by_hand = true;
    return true;
}
