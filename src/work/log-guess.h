/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "log-private.h"

/* log-guess.c goes by names, log-values.c by values, log-verify.c holds what was found
 * against what a series of plays must look like. */
typedef struct {
    RbLogReading *reading;
    const LogTeams *teams;
    const RbLogChoice *choice;
    int columns;
    double fit[RB_LOG_COLUMNS_MAX][RB_LOG_FIELDS]; /* -1: an empty column */
    LogName name[RB_LOG_COLUMNS_MAX][RB_LOG_FIELDS];
} Guess;

bool rb_log_is_blank(const char *text);
/* "" for a blank one. */
const char *rb_log_raw(const RbLogReading *reading, guint row, int column);

/* Columns that no name tells. */
void rb_log_take_by_values(Guess *guess);
/* How yard lines are written; asks when the plays do not say it. */
void rb_log_take_yards(Guess *guess);
/* Asks where what was found by name does not behave like it. */
void rb_log_verify(Guess *guess);

/* All plays as steps. Returns: (transfer full): as many as lines. */
LogStep *rb_log_steps_read(const RbLogReading *reading, const LogTeams *teams);

/* log-values.c, for both. */
/* tenths: share of steps that go to the next down or the first. */
bool rb_log_downs_count(const RbLogReading *reading, int column, int tenths);
bool rb_log_first_downs_have_ten(const RbLogReading *reading, int column, bool both);
int rb_log_count_kinds(const RbLogReading *reading, int column);
/* How many steps of a series the gains explain; needs the yard lines. */
LogEvidence rb_log_try_gains(Guess *guess);
/* A column that only its values tell is the gain. */
void rb_log_take_gain(Guess *guess);
