/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <jansson.h>

#include "rb/work/films.h"
#include "rb/work/snapshot.h"
#include "rb/work/tagging.h"

/* What the command line prints with --json. Ids are strings of digits; concepts, coverages and
 * other words are tokens; a read of 0 is none; keys may be added, none is renamed or dropped.
 * Each returns: (transfer full). */

/* {"filter", "pairings": [{"concept", "coverage", "dropbacks", "successes", "points", …}],
 *  "all": {…}, "untagged"} */
json_t *rb_json_pairings(const RbSelection *selection);

/* {"filter", "dropbacks", "points", "cells": [{"read", "stage", "dropbacks", "points"}],
 *  "break": {"read", "stage", "points", "excess", "certainty", …} or null}. Cells that are
 * empty are left out. */
json_t *rb_json_ladder(const RbSelection *selection);

/* {"first": {"filter", "dropbacks", …, "cells"}, "second": {…}, "shared", "measures":
 * [{"measure", "first", "first_x", "first_n", "second", …, "difference", "low_80", "high_80",
 * "low_95", "high_95"}]}; null where there is none. */
json_t *rb_json_compared(const RbSelection *first, const RbSelection *second);

/* {"filter", "items": [{"concept", "coverage", "dropbacks", "worth", "break": {…},
 *  "sentence"}]}. items: of RbWorkItem, from rb_worklist(). */
json_t *rb_json_worklist(const RbSelection *selection, const GPtrArray *items);

/* {"filter", "verdicts": [{"snap", "game", "number", "verdict", "stage", "stage_read",
 *  "right_read", "ball", "ball_read", "reasons": […], "settle": […]}]}. "ball" is as a tag:
 * "read-2", "hot"; "settle" holds tags. */
json_t *rb_json_verdicts(const RbSelection *selection);

/* {"filter", "dropbacks", "judged", "right", "low", "high", "verdicts": {token: n},
 *  "decisions": {"right_good", "right_bad", "wrong_good", "wrong_bad"}, "throws": [{"snap", "read",
 *  "route", "release_ms", "due_ms", "tolerance_ms", "late"}], "games": [{"game", "title",
 *  "date", "judged", "right", "low", "high"}], "habits": [{"sentence", "verdict", "read",
 *  "shell", "technique", "times", "of", "cost", "snaps"}], "groups": {field: [{"value",
 *  "judged", "right", "low", "high"}]}, "passing": {…, "rating_pro", "rating_college"}} */
json_t *rb_json_quarterback(const RbSelection *selection);

/* One snap: {"snap", "game", "number", "situation", "tags": {field: value}}; fields that are
 * unknown are left out. chart: (nullable). */
json_t *rb_json_snap(const RbNames *names, const RbSnap *snap, const RbChart *chart);

/* The same with "clips": [{"film", "path", "angle", "first", "last", "marks": {kind: frame}}],
 * and with "verdict", "stage", "reasons", "settle", "points" when it was judged. */
json_t *rb_json_sheet(const RbSheet *sheet);

/* {"path", "film", "fingerprint", "width", …, "remarks": […]} */
json_t *rb_json_film_look(const RbFilmLook *look);

/* The playbook in its file's format, or one concept of it (nullable). */
json_t *rb_json_playbook(const RbNames *names, const RbConcept *concept, GError **error);

/* Text that may hold any bytes, such as the name of a file: what is not UTF-8 is replaced; null
 * for NULL. */
json_t *rb_json_text(const char *text);

/* An id, or null for 0. */
json_t *rb_json_id(int64_t id);
