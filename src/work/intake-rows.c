/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>
#include <stdlib.h>

#include "rb/work/clip-match.h"

#include "intake-private.h"

static const RbWord kind_table[] = {
    [RB_INTAKE_BOTH] = { "both", N_("Both angles") },
    [RB_INTAKE_WIDE_ONLY] = { "wide-only", N_("Tight missing") },
    [RB_INTAKE_TIGHT_ONLY] = { "tight-only", N_("Wide missing") },
    [RB_INTAKE_NO_FILM] = { "no-film", N_("No film") },
    [RB_INTAKE_EXTRA] = { "extra", N_("Extra clip") },
    [RB_INTAKE_DUPLICATE] = { "duplicate", N_("Duplicate") },
};
const RbWords rb_intake_kind_words = { N_("kind of row"), kind_table,
                                       G_N_ELEMENTS(kind_table) };

/* A clip of one angle alone that looks this unlike the others shows no snap. */
#define STRANGE 4.0

static RbIntakeClip *clip_at(const RbIntake *intake, int clip)
{
    return intake->clips->pdata[clip];
}

static RbIntakeRow *row_at(const RbIntake *intake, guint row)
{
    return &g_array_index(intake->rows, RbIntakeRow, row);
}

/* The clips of one angle that count: their places in intake->clips. */
static GArray *live_clips(const RbIntake *intake, bool wide, GArray *matches)
{
    GArray *live = g_array_new(FALSE, FALSE, sizeof(int));
    for (int i = 0; i < (int)intake->clips->len; i++) {
        const RbIntakeClip *clip = clip_at(intake, i);
        if (clip->same_as < 0 && !clip->out && (clip->angle != RB_ANGLE_TIGHT) == wide) {
            const RbMatchClip match = { clip->length_us, clip->number,
                                        intake->alternating ? i : -1 };
            g_array_append_val(live, i);
            g_array_append_val(matches, match);
        }
    }
    return live;
}

static int number_of(const RbIntake *intake, const RbIntakeRow *row)
{
    const int wide = row->wide >= 0 ? clip_at(intake, row->wide)->number : -1;
    return wide >= 0 || row->tight < 0 ? wide : clip_at(intake, row->tight)->number;
}

/* One camera alone numbers its snaps if nearly all its clips have numbers of their own. */
static bool one_camera_numbers(const RbMatchClip *clips, guint n)
{
    g_autoptr(GHashTable) seen = g_hash_table_new(g_direct_hash, g_direct_equal);
    for (guint i = 0; i < n; i++) {
        if (clips[i].number >= 0) {
            g_hash_table_add(seen, GINT_TO_POINTER(clips[i].number));
        }
    }
    return n > 0 && g_hash_table_size(seen) * 10 >= n * 9;
}

static void pair_up(RbIntake *intake)
{
    g_autoptr(GArray) wide_matches = g_array_new(FALSE, FALSE, sizeof(RbMatchClip));
    g_autoptr(GArray) tight_matches = g_array_new(FALSE, FALSE, sizeof(RbMatchClip));
    g_autoptr(GArray) wide = live_clips(intake, true, wide_matches);
    g_autoptr(GArray) tight = live_clips(intake, false, tight_matches);
    const RbMatchClip *a = (const RbMatchClip *)(void *)wide_matches->data;
    const RbMatchClip *b = (const RbMatchClip *)(void *)tight_matches->data;
    g_autoptr(GArray) steps = rb_match_clips(a, (int)wide->len, b, (int)tight->len);
    const bool single = wide->len == 0 || tight->len == 0;
    intake->by_number =
        single ? one_camera_numbers(wide->len > 0 ? a : b, MAX(wide->len, tight->len))
               : rb_match_numbers_hold(a, (int)wide->len, b, (int)tight->len);
    for (guint i = 0; i < steps->len; i++) {
        const RbMatchStep *step = &g_array_index(steps, RbMatchStep, i);
        RbIntakeRow row = { .sure = single ? 1 : step->sure };
        row.wide = step->wide >= 0 ? g_array_index(wide, int, step->wide) : -1;
        row.tight = step->tight >= 0 ? g_array_index(tight, int, step->tight) : -1;
        rb_intake_row_set_kind(&row);
        g_array_append_val(intake->rows, row);
    }
}

static const RbSnap *find_snap(const RbIntake *intake, int number)
{
    for (guint i = 0; i < intake->snaps->len; i++) {
        const RbSnap *snap = intake->snaps->pdata[i];
        if (snap->number == number) {
            return snap;
        }
    }
    return NULL;
}

/* Numbers in names are those of the log if most of them are in it. */
static bool numbers_are_the_logs(const RbIntake *intake)
{
    int in_log = 0;
    int numbered = 0;
    for (guint i = 0; i < intake->rows->len; i++) {
        const int number = number_of(intake, row_at(intake, i));
        numbered += number >= 0;
        in_log += number >= 0 && find_snap(intake, number) != NULL;
    }
    return intake->by_number && numbered > 0 && in_log * 10 >= numbered * 8;
}

static bool is_alone(const RbIntakeRow *row)
{
    return row->kind == RB_INTAKE_WIDE_ONLY || row->kind == RB_INTAKE_TIGHT_ONLY;
}

/* True if a better row has this number already. */
static bool number_is_taken(const RbIntake *intake, guint row, int number)
{
    for (guint i = 0; i < intake->rows->len; i++) {
        const RbIntakeRow *other = row_at(intake, i);
        if (i == row || other->kind == RB_INTAKE_EXTRA ||
            number_of(intake, other) != number) {
            continue;
        }
        if (other->kind == RB_INTAKE_BOTH || i < row) {
            return true;
        }
    }
    return false;
}

static void place_by_number(RbIntake *intake)
{
    const bool has_log = intake->snaps->len > 0;
    for (guint i = 0; i < intake->rows->len; i++) {
        RbIntakeRow *row = row_at(intake, i);
        const int number = number_of(intake, row);
        const RbSnap *snap = find_snap(intake, number);
        if (number < 0 || (has_log && snap == NULL) ||
            (is_alone(row) && number_is_taken(intake, i, number))) {
            row->kind = RB_INTAKE_EXTRA;
            continue;
        }
        row->number = number;
        row->snap = snap != NULL ? snap->id : (RbSnapId){ 0 };
    }
}

static double row_strangeness(const RbIntake *intake, const RbIntakeRow *row)
{
    return rb_intake_strangeness(intake, row->wide >= 0 ? row->wide : row->tight);
}

/* The stranger of the lone clips are no snaps: `n` of them, or with -1 those that look like
 * nothing else. */
static void drop_strange(RbIntake *intake, int n)
{
    for (int left = n; left != 0; left--) {
        RbIntakeRow *strangest = NULL;
        double most = n < 0 ? STRANGE : -1;
        for (guint i = 0; i < intake->rows->len; i++) {
            RbIntakeRow *row = row_at(intake, i);
            const double own = is_alone(row) ? row_strangeness(intake, row) : -1;
            if (own > most) {
                most = own;
                strangest = row;
            }
        }
        if (strangest == NULL) {
            return;
        }
        strangest->kind = RB_INTAKE_EXTRA;
    }
}

static int count_played(const RbIntake *intake)
{
    int n = 0;
    for (guint i = 0; i < intake->rows->len; i++) {
        n += row_at(intake, i)->kind != RB_INTAKE_EXTRA;
    }
    return n;
}

/* Nothing but the order ties clips to the log: it holds when both are as long. Where they are
 * not, no row is sure, and the person who knows says so. */
static void place_by_order(RbIntake *intake)
{
    const int snaps = (int)intake->snaps->len;
    const bool one_camera = rb_intake_count(intake, RB_INTAKE_BOTH) == 0;
    if (!one_camera) {
        drop_strange(intake, snaps > 0 ? MAX(count_played(intake) - snaps, 0) : -1);
    }
    const bool as_long = snaps == 0 || count_played(intake) == snaps;
    int at = 0;
    for (guint i = 0; i < intake->rows->len; i++) {
        RbIntakeRow *row = row_at(intake, i);
        if (row->kind == RB_INTAKE_EXTRA) {
            continue;
        }
        if (snaps > 0 && at >= snaps) {
            row->kind = RB_INTAKE_EXTRA;
            row->sure = 0.5;
            continue;
        }
        const RbSnap *snap = snaps > 0 ? intake->snaps->pdata[at] : NULL;
        at++;
        row->number = snap != NULL ? snap->number : at;
        row->snap = snap != NULL ? snap->id : (RbSnapId){ 0 };
        row->sure = as_long ? row->sure : MIN(row->sure, 0.5);
    }
}

/* Where a row belongs among the others: by the number of its snap, else as filmed. */
static int compare_rows(const void *a, const void *b)
{
    const RbIntakeRow *x = a;
    const RbIntakeRow *y = b;
    if (x->number != y->number) {
        return x->number == 0 ? 1 : y->number == 0 ? -1 : x->number - y->number;
    }
    const int i = x->wide >= 0 ? x->wide : x->tight;
    const int j = y->wide >= 0 ? y->wide : y->tight;
    return x->kind != y->kind ? (int)x->kind - (int)y->kind : i - j;
}

static bool has_row(const RbIntake *intake, int number)
{
    for (guint i = 0; i < intake->rows->len; i++) {
        if (row_at(intake, i)->number == number) {
            return true;
        }
    }
    return false;
}

static void add_unfilmed(RbIntake *intake, int number, RbSnapId snap)
{
    if (!has_row(intake, number)) {
        const RbIntakeRow row = { .kind = RB_INTAKE_NO_FILM,
                                  .wide = -1,
                                  .tight = -1,
                                  .number = number,
                                  .snap = snap,
                                  .sure = 1 };
        g_array_append_val(intake->rows, row);
    }
}

/* Snaps of the log, or numbers left out in the names, that no clip shows. */
static void list_unfilmed(RbIntake *intake)
{
    for (guint i = 0; i < intake->snaps->len; i++) {
        const RbSnap *snap = intake->snaps->pdata[i];
        add_unfilmed(intake, snap->number, snap->id);
    }
    int highest = 0;
    int lowest = G_MAXINT;
    const int filmed = count_played(intake);
    for (guint i = 0; i < intake->rows->len; i++) {
        const int number = row_at(intake, i)->number;
        highest = MAX(highest, number);
        lowest = number > 0 ? MIN(lowest, number) : lowest;
    }
    /* With more gaps than clips the numbers count something else. */
    if (intake->snaps->len == 0 && highest - lowest < 2 * filmed) {
        for (int number = lowest; number < highest; number++) {
            add_unfilmed(intake, number, (RbSnapId){ 0 });
        }
    }
}

/* Duplicates, and what a person took out. */
static void list_left_out(RbIntake *intake)
{
    for (int i = 0; i < (int)intake->clips->len; i++) {
        const RbIntakeClip *clip = clip_at(intake, i);
        if (clip->same_as >= 0 || clip->out) {
            const bool wide = clip->angle != RB_ANGLE_TIGHT;
            const RbIntakeRow row = { .kind = clip->same_as >= 0 ? RB_INTAKE_DUPLICATE
                                                                 : RB_INTAKE_EXTRA,
                                      .wide = wide ? i : -1,
                                      .tight = wide ? -1 : i,
                                      .sure = 1 };
            g_array_append_val(intake->rows, row);
        }
    }
}

void rb_intake_sort_rows(RbIntake *intake)
{
    g_array_sort(intake->rows, compare_rows);
}

void rb_intake_match(RbIntake *intake, RbGameId game, GPtrArray *snaps)
{
    intake->game = game;
    intake->by_hand = false;
    if (snaps != NULL) {
        g_ptr_array_unref(intake->snaps);
        intake->snaps = snaps;
    }
    g_array_set_size(intake->rows, 0);
    pair_up(intake);
    if (intake->snaps->len > 0 ? numbers_are_the_logs(intake) : intake->by_number) {
        place_by_number(intake);
    } else {
        place_by_order(intake);
    }
    list_unfilmed(intake);
    list_left_out(intake);
    rb_intake_sort_rows(intake);
}

int rb_intake_count(const RbIntake *intake, RbIntakeKind kind)
{
    int n = 0;
    for (guint i = 0; i < intake->rows->len; i++) {
        n += row_at(intake, i)->kind == kind;
    }
    return n;
}
