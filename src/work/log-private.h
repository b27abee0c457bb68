/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/work/log.h"

/* The reading of a play log in pieces: log-table.c cuts the text, log-words.c knows the words of
 * four languages, log-cell.c reads one cell, log-text.c a sentence, log-steps.c tries ways to
 * write yard lines, log-guess.c says what each column holds, log-rows.c makes the plays. */

/* The text without white space around it, in place. */
char *rb_log_trim(char *text);
/* Lower case without accents, one blank between words and numbers, no other signs.
 * Returns: (transfer full). */
char *rb_log_plain(const char *text);

/* log-words.c */

/* How surely a column's name says what it holds. */
typedef enum { LOG_NAME_NONE, LOG_NAME_PART, LOG_NAME_WHOLE } LogName;
/* For each field. */
void rb_log_name_find_all(const char *head, LogName found[RB_LOG_FIELDS]);
LogName rb_log_name_find(const char *head, RbLogField field);
bool rb_log_name_is_known(const char *head);

/* Words of a cell, after rb_log_plain(). False when it is none of them. */
typedef struct {
    const char *word;
    int value;
} LogWord;
bool rb_log_word_hash(const char *plain, RbHash *hash);
bool rb_log_word_play(const char *plain, RbPlay *play, RbPhase *phase);
/* Adds to what is said: "complete, touchdown" is two words. */
bool rb_log_word_result(const char *plain, RbLogSaid *said);
/* own: true for the half of the team with the ball. */
bool rb_log_word_half(const char *plain, bool *own);
bool rb_log_word_goal(const char *plain);
bool rb_log_word_us(const char *plain, bool *us);

/* log-cell.c: each false when the cell is not one. */
bool rb_log_cell_number(const char *text, int *value);
bool rb_log_cell_down(const char *text, int *down);
bool rb_log_cell_quarter(const char *text, int *quarter);
bool rb_log_cell_clock(const char *text, int *clock_s);
/* 0: to the goal line. */
bool rb_log_cell_distance(const char *text, int *distance);
bool rb_log_cell_down_distance(const char *text, int *down, int *distance);
bool rb_log_cell_result(const char *text, RbLogSaid *said);

/* A yard line before it is known how it is written. */
typedef struct {
    int number; /* with its sign */
    bool has_sign;
    char word[32]; /* plain: "own", "falls"; "" none */
} LogSpot;
bool rb_log_cell_spot(const char *text, LogSpot *spot);
/* Yards to goal; 0 when it cannot be this way of writing. own: (nullable): what the word or the
 * half column says. */
int rb_log_spot_to_goal(const LogSpot *spot, RbLogYards yards, const bool *own);

/* Who the log means. */
typedef struct {
    const RbNames *names; /* nullable */
    const RbGame *game;
    const char *us; /* nullable: said by a person */
} LogTeams;
/* 1 ours, 2 theirs, 0 neither can be told. */
int rb_log_team_find(const LogTeams *teams, const char *text);

/* log-steps.c: a play as far as it is needed to follow a series. */
typedef struct {
    int down;     /* 0 unknown */
    int distance; /* 0 unknown or goal */
    bool has_spot;
    LogSpot spot;
    bool has_half;
    bool own;
    int team; /* 0 unknown */
    bool has_gain;
    int gain;
    bool has_to_goal;
    int to_goal;
} LogStep;

typedef struct {
    int agree;
    int all;
    int invalid; /* spots that cannot be written so */
    int spots;
} LogEvidence;

LogEvidence rb_log_steps_try(const LogStep *steps, int n, RbLogYards yards);
/* The way that alone fits; unknown when none or several do. best: (out): its evidence. */
RbLogYards rb_log_steps_find(const LogStep *steps, int n, LogEvidence *best);

/* log-guess.c. Fills fields, by_values, yards, steps, questions. */
void rb_log_guess(RbLogReading *reading, const LogTeams *teams,
                  const RbLogChoice *choice);
int rb_log_find_column(const RbLogReading *reading, RbLogField field); /* -1: none */
const char *rb_log_cell(const RbLogReading *reading, guint row,
                        RbLogField field); /* "" */
void rb_log_step_read(const RbLogReading *reading, guint row, const LogTeams *teams,
                      LogStep *step);
void rb_log_ask(RbLogReading *reading, RbLogField field, const char *format, ...)
    G_GNUC_PRINTF(3, 4);

/* log-rows.c */
void rb_log_make_rows(RbLogReading *reading, const LogTeams *teams);
