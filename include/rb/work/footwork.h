/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/work/library.h"

/* The staff's own footwork table: how long steps, hitches, fakes, boots and sprints take, so that a clock given as
 * footwork has a time. Each value is one shared setting, "footwork.centre-3", in ms; a value
 * that was never set, or is the default again, has none. So two laptops that change different
 * values do not meet, and undo takes back one change. Judging finds the table in the names. */

/* Times that make sense: for a drop, and for what is added to one, a hitch or a fake. */
enum {
    RB_FOOTWORK_MS_MIN = 300,
    RB_FOOTWORK_MS_MAX = 10000,
    RB_HITCH_MS_MIN = 100,
    RB_HITCH_MS_MAX = 2000,
};

/* One value of a table. */
typedef struct {
    char key[16]; /* "centre-3", "gun-5", "hitch", "boot" */
    RbBackfield backfield;
    int steps; /* or RB_FOOTWORK_HITCH and so on */
    int ms;
    int default_ms;     /* -1: there is no default for it */
    bool ours;          /* not the default: the staff's own */
    const char *source; /* static, nullable: where the default comes from */
} RbFootworkLine;

/* From centre, then from the gun, by steps; then hitch, fake, boot and sprint. Returns: (transfer full): of
 * RbFootworkLine. */
GArray *rb_footwork_lines(const RbFootwork *footwork);
/* What it is the time of: "3 steps from centre", "a hitch". Returns: (transfer full). */
char *rb_footwork_line_text(const RbFootworkLine *line);
/* "ours; the default is 1.50 s", or "default: about 1.5 s by common practice, no source".
 * Returns: (transfer full). */
char *rb_footwork_mark_text(const RbFootworkLine *line);

/* Changes one value: "gun-3=2.35" or "gun-3=default". Seconds are kept to the hundredth. False
 * with one sentence, and nothing changed. */
bool rb_footwork_assign(RbFootwork *footwork, const char *text, GError **error);
/* Whether more steps take more time; a sentence when they do not. */
bool rb_footwork_check(const RbFootwork *footwork, GError **error);

/* Writes what differs from the library's table, as one action; a value that has a default
 * cannot be taken out. words: (out) (transfer full)
 * (nullable): what changed, NULL for nothing. */
bool rb_library_set_footwork(RbLibrary *library, const RbFootwork *footwork, char **words,
                             GError **error);
