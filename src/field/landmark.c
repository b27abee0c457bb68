/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>

#include "rb/base/text.h"
#include "rb/field/field.h"

static bool landmark_exists(RbLandmark landmark)
{
    const int x = landmark.line;
    switch (landmark.kind) {
    case RB_LANDMARK_SIDELINE:
        return x == -10 || x == 110 || (x >= 0 && x <= 100 && x % 5 == 0);
    case RB_LANDMARK_HASH:
        return x >= 5 && x <= 95 && x % 5 == 0;
    case RB_LANDMARK_NUMBER_TOP:
    case RB_LANDMARK_NUMBER_BOTTOM:
        return rb_field_number_at(x) != 0;
    case RB_LANDMARK_SHORT_MARK:
        return x >= 1 && x <= 99 && x % 5 != 0;
    }
    return false;
}

/* Distance of a landmark from the sideline on its half. */
static double landmark_inset(const RbFieldDimensions *d, RbLandmarkKind kind)
{
    switch (kind) {
    case RB_LANDMARK_SIDELINE:
        return 0.0;
    case RB_LANDMARK_HASH:
        return d->hash_yd;
    case RB_LANDMARK_NUMBER_TOP:
        return d->number_top_yd;
    case RB_LANDMARK_NUMBER_BOTTOM:
        return d->number_bottom_yd;
    case RB_LANDMARK_SHORT_MARK:
        return d->short_mark_gap_yd + d->short_mark_yd;
    }
    g_assert_not_reached();
}

bool rb_landmark_point(RbFieldCode code, RbLandmark landmark, RbPoint2 *point)
{
    if (!landmark_exists(landmark)) {
        return false;
    }
    const double inset = landmark_inset(rb_field_dimensions(code), landmark.kind);
    *point =
        (RbPoint2){ landmark.line, landmark.far ? RB_FIELD_WIDTH_YD - inset : inset };
    return true;
}

GArray *rb_landmark_all(RbFieldCode code)
{
    g_assert(code >= 0 && code < RB_FIELD_CODES);
    GArray *landmarks = g_array_new(FALSE, FALSE, sizeof(RbLandmark));
    for (int kind = 0; kind < RB_LANDMARK_KINDS; kind++) {
        for (int x = -10; x <= 110; x++) {
            for (int far = 0; far < 2; far++) {
                const RbLandmark landmark = { (RbLandmarkKind)kind, x, far != 0 };
                if (landmark_exists(landmark)) {
                    g_array_append_val(landmarks, landmark);
                }
            }
        }
    }
    return landmarks;
}

static const char *const kind_tokens[RB_LANDMARK_KINDS] = {
    [RB_LANDMARK_SIDELINE] = "sideline", [RB_LANDMARK_HASH] = "hash",
    [RB_LANDMARK_NUMBER_TOP] = "top",    [RB_LANDMARK_NUMBER_BOTTOM] = "bottom",
    [RB_LANDMARK_SHORT_MARK] = "mark",
};

static int yards_of(int x)
{
    return x <= 50 ? x : 100 - x;
}

/* left, right: what a line is called there, with its number as {yards}. Returns: (transfer full). */
static char *line_name(int x, const char *left, const char *right)
{
    g_autofree char *yards = g_strdup_printf("%d", yards_of(x));
    return rb_text_fill(x < 50 ? left : right, "yards", yards, NULL);
}

/* "left 35", "50", "right goal line". Returns: (transfer full). */
static char *place_name(int x)
{
    if (x == 50) {
        return g_strdup("50");
    }
    if (yards_of(x) == 0) {
        return g_strdup(x < 50 ? _("left goal line") : _("right goal line"));
    }
    if (yards_of(x) < 0) {
        return g_strdup(x < 50 ? _("left end line") : _("right end line"));
    }
    return line_name(x, _("left {yards}"), _("right {yards}"));
}

char *rb_landmark_name(RbLandmark landmark)
{
    static const char *const names[RB_LANDMARK_KINDS][2] = {
        [RB_LANDMARK_SIDELINE] = { N_("near sideline at the {line}"),
                                   N_("far sideline at the {line}") },
        [RB_LANDMARK_HASH] = { N_("near hash at the {line}"),
                               N_("far hash at the {line}") },
        [RB_LANDMARK_NUMBER_TOP] = { N_("near top of the numbers at the {line}"),
                                     N_("far top of the numbers at the {line}") },
        [RB_LANDMARK_NUMBER_BOTTOM] = { N_("near bottom of the numbers at the {line}"),
                                        N_("far bottom of the numbers at the {line}") },
        [RB_LANDMARK_SHORT_MARK] = { N_("near sideline mark at the {line}"),
                                     N_("far sideline mark at the {line}") },
    };
    g_autofree char *line = place_name(landmark.line);
    return rb_text_fill(_(names[landmark.kind][landmark.far ? 1 : 0]), "line", line,
                        NULL);
}

char *rb_landmark_token(RbLandmark landmark)
{
    const char *half = landmark.far ? "far" : "near";
    const char *kind = kind_tokens[landmark.kind];
    const int x = landmark.line;
    if (x == 50) {
        return g_strdup_printf("%s-%s-50", half, kind);
    }
    const char side = x < 50 ? 'l' : 'r';
    const int yards = x < 50 ? x : 100 - x;
    if (yards <= 0) {
        return g_strdup_printf("%s-%s-%c%c", half, kind, side, yards == 0 ? 'g' : 'e');
    }
    return g_strdup_printf("%s-%s-%c%d", half, kind, side, yards);
}

bool rb_landmark_parse(RbFieldCode code, const char *token, RbLandmark *landmark)
{
    g_autoptr(GArray) landmarks = rb_landmark_all(code);
    for (guint i = 0; token != NULL && i < landmarks->len; i++) {
        const RbLandmark candidate = g_array_index(landmarks, RbLandmark, i);
        g_autofree char *name = rb_landmark_token(candidate);
        if (g_str_equal(name, token)) {
            *landmark = candidate;
            return true;
        }
    }
    return false;
}

static double line_inset(const RbFieldDimensions *d, RbFieldLineKind kind)
{
    switch (kind) {
    case RB_FIELD_LINE_YARD:
    case RB_FIELD_LINE_SIDELINE:
        return 0.0;
    case RB_FIELD_LINE_HASH:
        return d->hash_yd;
    case RB_FIELD_LINE_NUMBER_TOP:
        return d->number_top_yd;
    case RB_FIELD_LINE_NUMBER_BOTTOM:
        return d->number_bottom_yd;
    }
    g_assert_not_reached();
}

bool rb_field_line_ends(RbFieldCode code, RbFieldLine line, RbPoint2 *from, RbPoint2 *to)
{
    if (line.kind == RB_FIELD_LINE_YARD) {
        const RbLandmark crossing = { RB_LANDMARK_SIDELINE, line.line, false };
        *from = (RbPoint2){ line.line, 0.0 };
        *to = (RbPoint2){ line.line, RB_FIELD_WIDTH_YD };
        return landmark_exists(crossing);
    }
    const double inset = line_inset(rb_field_dimensions(code), line.kind);
    const double y = line.far ? RB_FIELD_WIDTH_YD - inset : inset;
    /* Sidelines run past the goal lines; hashes and numbers end at them. */
    const double past = line.kind == RB_FIELD_LINE_SIDELINE ? RB_FIELD_END_ZONE_YD : 0.0;
    *from = (RbPoint2){ -past, y };
    *to = (RbPoint2){ RB_FIELD_LENGTH_YD + past, y };
    return true;
}

GArray *rb_field_line_all(RbFieldCode code)
{
    GArray *lines = g_array_new(FALSE, FALSE, sizeof(RbFieldLine));
    RbPoint2 from;
    RbPoint2 to;
    for (int x = -10; x <= 110; x += 5) {
        const RbFieldLine line = { RB_FIELD_LINE_YARD, x, false };
        if (rb_field_line_ends(code, line, &from, &to)) {
            g_array_append_val(lines, line);
        }
    }
    for (int kind = RB_FIELD_LINE_SIDELINE; kind <= RB_FIELD_LINE_NUMBER_BOTTOM; kind++) {
        for (int far = 0; far < 2; far++) {
            const RbFieldLine line = { (RbFieldLineKind)kind, 0, far != 0 };
            g_array_append_val(lines, line);
        }
    }
    return lines;
}

char *rb_field_line_name(RbFieldLine line)
{
    static const char *const names[][2] = {
        [RB_FIELD_LINE_SIDELINE] = { N_("near sideline"), N_("far sideline") },
        [RB_FIELD_LINE_HASH] = { N_("near hash line"), N_("far hash line") },
        [RB_FIELD_LINE_NUMBER_TOP] = { N_("near tops of the numbers"),
                                       N_("far tops of the numbers") },
        [RB_FIELD_LINE_NUMBER_BOTTOM] = { N_("near bottoms of the numbers"),
                                          N_("far bottoms of the numbers") },
    };
    if (line.kind != RB_FIELD_LINE_YARD) {
        return g_strdup(_(names[line.kind][line.far ? 1 : 0]));
    }
    if (line.line == 50) {
        return g_strdup(_("50-yard line"));
    }
    return yards_of(line.line) > 0 ? line_name(line.line, _("left {yards}-yard line"),
                                               _("right {yards}-yard line"))
                                   : place_name(line.line);
}
