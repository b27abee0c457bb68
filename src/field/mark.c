/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Marks by name, and which one is likely clicked next. */
#include <math.h>
#include <string.h>

#include "rb/field/calibration.h"

static const char *const line_tokens[] = {
    [RB_FIELD_LINE_SIDELINE] = "sideline",
    [RB_FIELD_LINE_HASH] = "hash",
    [RB_FIELD_LINE_NUMBER_TOP] = "top",
    [RB_FIELD_LINE_NUMBER_BOTTOM] = "bottom",
};

/* "line-l35", "line-rg"; "line-near-hash". */
static char *line_token(RbFieldLine line)
{
    if (line.kind != RB_FIELD_LINE_YARD) {
        return g_strdup_printf("line-%s-%s", line.far ? "far" : "near",
                               line_tokens[line.kind]);
    }
    g_autofree char *point =
        rb_landmark_token((RbLandmark){ RB_LANDMARK_SIDELINE, line.line, false });
    return g_strconcat("line-", point + strlen("near-sideline-"), NULL);
}

char *rb_field_mark_token(const RbFieldMark *mark)
{
    return mark->is_line ? line_token(mark->line) : rb_landmark_token(mark->landmark);
}

char *rb_field_mark_name(const RbFieldMark *mark)
{
    return mark->is_line ? rb_field_line_name(mark->line)
                         : rb_landmark_name(mark->landmark);
}

bool rb_field_mark_parse(RbFieldCode code, const char *token, RbFieldMark *mark)
{
    if (token == NULL || !g_str_has_prefix(token, "line-")) {
        mark->is_line = false;
        return rb_landmark_parse(code, token, &mark->landmark);
    }
    g_autoptr(GArray) lines = rb_field_line_all(code);
    for (guint i = 0; i < lines->len; i++) {
        const RbFieldLine line = g_array_index(lines, RbFieldLine, i);
        g_autofree char *name = line_token(line);
        if (strcmp(name, token) == 0) {
            mark->is_line = true;
            mark->line = line;
            return true;
        }
    }
    return false;
}

bool rb_pixel_parse(const char *text, RbPoint2 *pixel)
{
    static const double farthest = 1e5; /* ten times the widest film there is */
    char *end = NULL;
    const double x = g_ascii_strtod(text, &end);
    if (end == text || *end != ',') {
        return false;
    }
    const char *second = end + 1;
    const double y = g_ascii_strtod(second, &end);
    if (end == second || *end != '\0' || !(fabs(x) <= farthest) ||
        !(fabs(y) <= farthest)) {
        return false;
    }
    *pixel = (RbPoint2){ x, y };
    return true;
}

static bool is_among(const RbFieldMark *marks, int n, RbLandmark landmark)
{
    for (int i = 0; i < n; i++) {
        const RbLandmark had = marks[i].landmark;
        if (!marks[i].is_line && had.kind == landmark.kind && had.line == landmark.line &&
            had.far == landmark.far) {
            return true;
        }
    }
    return false;
}

static bool can_be_next(RbFieldCode code, const RbFieldMark *marks, int n,
                        RbLandmark landmark, RbFieldMark *next)
{
    RbPoint2 place;
    if (is_among(marks, n, landmark) || !rb_landmark_point(code, landmark, &place)) {
        return false;
    }
    *next = (RbFieldMark){ .landmark = landmark };
    return true;
}

/* Before there is a view: across the field on the same yard line, then the same on another one,
 * so that four make a box. */
static bool next_of_box(RbFieldCode code, const RbFieldMark *marks, int n,
                        RbFieldMark *next)
{
    static const int steps[] = { 0, 10, -10, 5, -5, 15, -15, 20, -20 };
    for (int i = n - 1; i >= 0; i--) {
        if (marks[i].is_line) {
            continue;
        }
        RbLandmark other = marks[i].landmark;
        other.far = !other.far;
        if (can_be_next(code, marks, n, other, next)) {
            return true;
        }
    }
    for (size_t s = 0; s < G_N_ELEMENTS(steps) && n > 0; s++) {
        for (int far = 1; far >= 0; far--) {
            RbLandmark there = marks[0].landmark;
            there.line += steps[s];
            there.far = marks[n - 1].landmark.far == (far != 0);
            if (can_be_next(code, marks, n, there, next)) {
                return true;
            }
        }
    }
    return false;
}

/* The distance of a pixel to the nearest mark. */
static double apart(const RbFieldMark *marks, int n, RbPoint2 at)
{
    double nearest = HUGE_VAL;
    for (int i = 0; i < n; i++) {
        nearest = fmin(nearest, hypot(at.x - marks[i].pixel.x, at.y - marks[i].pixel.y));
    }
    return nearest;
}

/* With a view: what lies in the picture, farthest from the marks there are. */
static bool next_in_view(RbFieldCode code, const RbFieldMark *marks, int n,
                         const RbCalibration *view, RbFieldMark *next)
{
    static const double margin = 8.0;
    g_autoptr(GArray) all = rb_landmark_all(code);
    double farthest = 0.0;
    for (guint i = 0; i < all->len; i++) {
        const RbLandmark landmark = g_array_index(all, RbLandmark, i);
        RbFieldMark candidate;
        RbPoint2 place;
        RbPoint2 at;
        if (landmark.kind == RB_LANDMARK_SHORT_MARK ||
            !can_be_next(code, marks, n, landmark, &candidate) ||
            !rb_landmark_point(code, landmark, &place) ||
            !rb_calibration_show(view, place, &at) || at.x < margin || at.y < margin ||
            at.x > 2.0 * view->centre.x - margin ||
            at.y > 2.0 * view->centre.y - margin) {
            continue;
        }
        const double away = apart(marks, n, at);
        if (away > farthest) {
            farthest = away;
            *next = candidate;
            next->pixel = at;
        }
    }
    return farthest > 0.0;
}

bool rb_field_mark_propose(RbFieldCode code, const RbFieldMark *marks, int n,
                           const RbCalibration *view, RbFieldMark *next)
{
    return view != NULL ? next_in_view(code, marks, n, view, next)
                        : next_of_box(code, marks, n, next);
}
