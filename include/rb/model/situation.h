/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <stdbool.h>

#include "rb/model/ids.h"
#include "rb/model/words.h"

/* Where and when a snap starts. Fields that are not known hold the value named. */
typedef struct {
    RbPhase phase;
    int quarter;       /* 1 to 4, 5 and on for overtime; 0 unknown */
    int clock_s;       /* seconds left in the quarter; -1 unknown */
    int down;          /* 1 to 4; 0 unknown, and on tries and free kicks */
    int distance;      /* yards to the line to gain, 1 to 99; 0 unknown */
    int yards_to_goal; /* to the goal line the offense attacks, 1 to 99; 0 unknown */
    RbHash hash;
    RbTeamId offense;  /* 0 unknown */
    int score_offense; /* before the snap; -1 unknown */
    int score_defense; /* -1 unknown */
} RbSituation;

/* Everything unknown. */
RbSituation rb_situation_unknown(void);

/* True when the line to gain is the goal line. Needs distance and yards_to_goal. */
bool rb_situation_is_goal_to_go(const RbSituation *situation);

/* Whether the game was still close: within 28, 24, 21 and 16 points in the first to the fourth
 * quarter, and on from there (Bill Connelly's college columns of about 2011, which leave other plays
 * out of success rates). Unknown without quarter or score. */
RbYesNo rb_situation_is_close(const RbSituation *situation);

/* "2nd & 8", "1st & goal", "Try", "Free kick", "Down unknown". Returns: (transfer full). */
char *rb_situation_down_text(const RbSituation *situation);
char *rb_situation_down_tell(const RbSituation *situation); /* told (rb/base/told.h) */
/* "2nd & 8, own 35, left hash". Returns: (transfer full). */
char *rb_situation_text(const RbSituation *situation);
