/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "game-log.h"

#include <string.h>

#include "rb/model/yardline.h"

#include "suite.h"

enum {
    NUMBER,
    QUARTER,
    CLOCK,
    TEAM,
    PHASE,
    DOWN,
    DISTANCE,
    SPOT,
    PLAY,
    RESULT,
    GAIN,
    ENDING,
    SCORE_OFFENSE,
    SCORE_DEFENSE,
    PENALTY,
    COLUMNS,
};

static void free_snap(void *snap)
{
    rb_snap_free(snap);
}

GPtrArray *log_new(void)
{
    return g_ptr_array_new_with_free_func(free_snap);
}

static int word(const RbWords *words, const char *token)
{
    int value = 0;
    ck_assert_msg(rb_words_parse(words, token, &value), "%s: %s", words->name, token);
    return value;
}

static int number(const char *text)
{
    return (int)g_ascii_strtoll(text, NULL, 10);
}

static void read_penalty(RbSnap *snap, const char *text)
{
    g_auto(GStrv) parts = g_strsplit(text, ":", -1);
    ck_assert_uint_eq(g_strv_length(parts), 8);
    RbPenalty penalty = { .id = { snap->number }, .snap = snap->id };
    penalty.side = (RbFoulSide)word(&rb_foul_side_words, parts[1]);
    penalty.ruling = (RbRuling)word(&rb_ruling_words, parts[2]);
    penalty.enforced = (RbEnforced)word(&rb_enforced_words, parts[3]);
    penalty.yards = number(parts[4]);
    penalty.spot = number(parts[5]);
    penalty.down_counts = (RbYesNo)word(&rb_yes_no_words, parts[6]);
    penalty.first_down = (RbYesNo)word(&rb_yes_no_words, parts[7]);
    g_array_append_val(snap->penalties, penalty);
}

static RbSnap *read_row(char **cells)
{
    const int n = number(cells[NUMBER]);
    RbSnap *snap = rb_snap_new((RbSnapId){ 1000 + n }, (RbGameId){ 5 }, n);
    RbSituation *s = &snap->situation;
    s->quarter = number(cells[QUARTER]);
    s->clock_s = number(cells[CLOCK]);
    s->offense.value = strcmp(cells[TEAM], "H") == 0 ? 1 : 2;
    s->phase = (RbPhase)word(&rb_phase_words, cells[PHASE]);
    s->down = number(cells[DOWN]);
    s->distance = number(cells[DISTANCE]);
    ck_assert(rb_yardline_parse(cells[SPOT], &s->yards_to_goal, NULL));
    s->score_offense = number(cells[SCORE_OFFENSE]);
    s->score_defense = number(cells[SCORE_DEFENSE]);
    snap->play = (RbPlay)word(&rb_play_words, cells[PLAY]);
    snap->result = (RbResult)word(&rb_result_words, cells[RESULT]);
    snap->ending = (RbEnding)word(&rb_ending_words, cells[ENDING]);
    snap->has_gain = cells[GAIN][0] != '\0' ? RB_YES : RB_YES_NO_UNKNOWN;
    snap->gain = number(cells[GAIN]);
    if (cells[PENALTY][0] != '\0') {
        read_penalty(snap, cells[PENALTY]);
    }
    return snap;
}

GPtrArray *log_read(const char *fixture)
{
    g_autofree char *path = rb_test_fixture(fixture);
    g_autofree char *text = NULL;
    GError *error = NULL;
    g_file_get_contents(path, &text, NULL, &error);
    rb_assert_no_error(error);
    g_auto(GStrv) lines = g_strsplit(text, "\n", -1);
    GPtrArray *log = log_new();
    for (char **line = lines; *line != NULL; line++) {
        if (!g_ascii_isdigit((*line)[0])) {
            continue; /* comments, the heading, the end */
        }
        g_auto(GStrv) cells = g_strsplit(*line, "\t", -1);
        ck_assert_uint_eq(g_strv_length(cells), COLUMNS);
        g_ptr_array_add(log, read_row(cells));
    }
    return log;
}

GPtrArray *log_copy(const GPtrArray *log)
{
    GPtrArray *copy = log_new();
    for (guint i = 0; i < log->len; i++) {
        g_ptr_array_add(copy, rb_snap_copy(g_ptr_array_index(log, i)));
    }
    return copy;
}

GPtrArray *log_of_team(const GPtrArray *log, int64_t team)
{
    GPtrArray *copy = log_new();
    for (guint i = 0; i < log->len; i++) {
        const RbSnap *snap = g_ptr_array_index(log, i);
        if (snap->situation.offense.value == team &&
            snap->situation.phase != RB_PHASE_FREE_KICK) {
            g_ptr_array_add(copy, rb_snap_copy(snap));
        }
    }
    return copy;
}

RbSnap *log_snap(const GPtrArray *log, int number_wanted)
{
    for (guint i = 0; i < log->len; i++) {
        RbSnap *snap = g_ptr_array_index(log, i);
        if (snap->number == number_wanted) {
            return snap;
        }
    }
    ck_abort_msg("no snap %d", number_wanted);
    return NULL;
}
