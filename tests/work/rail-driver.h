/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/work/rail.h"
#include "rb/work/season.h"

/* Answers the rail's questions from what is true, and counts the keys a person would press. */
typedef struct {
    int answer_keys; /* every key that answers, Enter and Tab included */
    int enters;
    int film_keys; /* keys that show the frame an answer is taken from */
    int shifts;
    int questions;
    int skipped; /* what the truth does not tell */
} DriverKeys;

/* Names of a season, as a library would give them. */
RbNames *driver_names_new(const RbSeason *season);

/* What a snap looks like when only its imported facts are known. */
RbChart *driver_empty_chart(const RbSeasonSnap *truth);

/* Asks and answers until nothing is left. view->chart and view->snap are changed. log:
 * (nullable): gets a line a question. */
void driver_tag(RbRail *rail, RbRailView *view, RbSnap *snap, RbChart *chart,
                const RbSeasonSnap *truth, DriverKeys *keys, GString *log);
