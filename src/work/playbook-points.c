/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Routes drawn freely. */
#include "config.h"

#include <glib/gi18n-lib.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "rb/base/error.h"
#include "rb/work/error.h"
#include "rb/work/playbook-edit.h"

enum { REACH_TENTHS = 999 };

static const double first_stem_yd = 10.0;

static void add_yards(GString *text, int tenths)
{
    g_string_append_printf(text, "%s%d", tenths < 0 ? "-" : "", abs(tenths) / 10);
    if (tenths % 10 != 0) {
        g_string_append_printf(text, ".%d", abs(tenths) % 10);
    }
}

char *rb_read_points_text(const RbRead *read)
{
    g_autoptr(GString) text = g_string_new(NULL);
    for (int i = 0; i < read->n_points; i++) {
        g_string_append(text, i > 0 ? "; " : "");
        add_yards(text, read->points[i].deep_tenths);
        g_string_append_c(text, ' ');
        add_yards(text, read->points[i].out_tenths);
    }
    return g_strdup(text->str);
}

static bool parse_yards(const char *text, int *tenths)
{
    char *end = NULL;
    const double yards = g_ascii_strtod(text, &end);
    if (end == text || *end != '\0' || !(fabs(yards) * 10.0 <= REACH_TENTHS)) {
        return false;
    }
    *tenths = (int)lround(yards * 10.0);
    return true;
}

static bool parse_point(const char *text, RbDrawnPoint *point)
{
    int found = 0;
    int values[2] = { 0, 0 };
    g_auto(GStrv) words = g_strsplit_set(text, " \t,", -1);
    for (int i = 0; words[i] != NULL; i++) {
        if (*words[i] == '\0') {
            continue;
        }
        if (found == 2 || !parse_yards(words[i], &values[found])) {
            return false;
        }
        found++;
    }
    *point = (RbDrawnPoint){ values[0], values[1] };
    return found == 2;
}

bool rb_read_set_points(RbRead *read, const char *text, GError **error)
{
    RbDrawnPoint points[RB_POINTS_MAX] = { { 0, 0 } };
    int n = 0;
    g_auto(GStrv) parts = g_strsplit(text, ";", -1);
    for (int i = 0; parts[i] != NULL; i++) {
        if (*g_strstrip(parts[i]) == '\0') {
            continue;
        }
        if (n == RB_POINTS_MAX) {
            return rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE,
                                _("A drawn route has at most %d points."), RB_POINTS_MAX);
        }
        if (!parse_point(parts[i], &points[n])) {
            return rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE,
                                _("\"%s\" is no point: give yards downfield and yards "
                                  "toward the sideline, such as 6 -2.5, and a semicolon "
                                  "between points."),
                                parts[i]);
        }
        n++;
    }
    memcpy(read->points, points, sizeof points);
    read->n_points = n;
    return true;
}

static bool is_in_reach(double yards)
{
    return fabs(yards) * 10.0 <= REACH_TENTHS;
}

bool rb_read_move_point(RbRead *read, int index, double deep_yd, double out_yd)
{
    if (index < 0 || index >= read->n_points || !is_in_reach(deep_yd) ||
        !is_in_reach(out_yd)) {
        return false;
    }
    read->points[index] =
        (RbDrawnPoint){ (int)lround(deep_yd * 10.0), (int)lround(out_yd * 10.0) };
    return true;
}

bool rb_read_add_point(RbRead *read, double deep_yd, double out_yd)
{
    if (read->n_points == RB_POINTS_MAX || !is_in_reach(deep_yd) ||
        !is_in_reach(out_yd)) {
        return false;
    }
    read->n_points++;
    return rb_read_move_point(read, read->n_points - 1, deep_yd, out_yd);
}

int rb_read_find_point(const RbRead *read, double deep_yd, double out_yd, double reach_yd)
{
    int found = -1;
    double nearest = reach_yd;
    for (int i = 0; i < read->n_points; i++) {
        const double away = hypot(read->points[i].deep_tenths / 10.0 - deep_yd,
                                  read->points[i].out_tenths / 10.0 - out_yd);
        if (away <= nearest) {
            nearest = away;
            found = i;
        }
    }
    return found;
}

bool rb_read_remove_point(RbRead *read, int index)
{
    if (index < 0 || index >= read->n_points || read->n_points < 2) {
        return false;
    }
    for (int i = index + 1; i < read->n_points; i++) {
        read->points[i - 1] = read->points[i];
    }
    read->points[--read->n_points] = (RbDrawnPoint){ 0, 0 };
    return true;
}

void rb_read_set_route(RbRead *read, RbRoute route)
{
    read->route = route;
    if (route != RB_ROUTE_DRAWN) {
        read->n_points = 0;
        memset(read->points, 0, sizeof read->points);
    } else if (read->n_points == 0) {
        rb_read_add_point(read, read->depth_yd > 0 ? read->depth_yd : first_stem_yd, 0.0);
    }
}
