/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Columns told by their values alone: downs count up and start again, first downs have ten to
 * go, a clock runs down, and of several columns of numbers only one makes the drives hang
 * together as yard lines, and one as gains. */
#include "config.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "log-guess.h"

enum { ENOUGH = 8 };

static bool step_down(const RbLogReading *reading, guint row, int *down, int *distance)
{
    const char *both = rb_log_cell(reading, row, RB_LOG_DOWN_DISTANCE);
    *distance = 0;
    if (*both != '\0') {
        return rb_log_cell_down_distance(both, down, distance);
    }
    const char *text = rb_log_cell(reading, row, RB_LOG_DISTANCE);
    if (*text != '\0' && !rb_log_cell_distance(text, distance)) {
        *distance = 0;
    }
    return rb_log_cell_down(rb_log_cell(reading, row, RB_LOG_DOWN), down);
}

void rb_log_step_read(const RbLogReading *reading, guint row, const LogTeams *teams,
                      LogStep *step)
{
    *step = (LogStep){ 0 };
    if (!step_down(reading, row, &step->down, &step->distance)) {
        step->down = 0;
    }
    const bool has_column = rb_log_find_column(reading, RB_LOG_OFFENSE) >= 0;
    step->team = has_column
                     ? rb_log_team_find(teams, rb_log_cell(reading, row, RB_LOG_OFFENSE))
                 : teams->game->ours_only ? 1
                                          : 0;
    step->has_gain =
        rb_log_cell_number(rb_log_cell(reading, row, RB_LOG_GAIN), &step->gain);
    step->has_spot =
        rb_log_cell_spot(rb_log_cell(reading, row, RB_LOG_SPOT), &step->spot);
    const char *half = step->spot.word[0] != '\0'
                           ? step->spot.word
                           : rb_log_cell(reading, row, RB_LOG_HALF);
    g_autofree char *plain = rb_log_plain(half);
    if (rb_log_word_half(plain, &step->own)) {
        step->has_half = true;
    } else if (*plain != '\0') {
        const int side = rb_log_team_find(teams, plain);
        step->has_half = side != 0 && step->team != 0;
        step->own = side == step->team;
    }
}

LogStep *rb_log_steps_read(const RbLogReading *reading, const LogTeams *teams)
{
    LogStep *steps = g_new0(LogStep, reading->table->lines->len + 1);
    for (guint row = 0; row < reading->table->lines->len; row++) {
        rb_log_step_read(reading, row, teams, &steps[row]);
    }
    return steps;
}

bool rb_log_downs_count(const RbLogReading *reading, int column, int tenths)
{
    int last = 0;
    int steps = 0;
    int good = 0;
    bool seen[5] = { false };
    for (guint row = 0; row < reading->table->lines->len; row++) {
        int down = 0;
        if (!rb_log_cell_down(rb_log_raw(reading, row, column), &down)) {
            continue;
        }
        seen[down] = true;
        steps += last > 0;
        good += last > 0 && (down == last + 1 || down == 1);
        last = down;
    }
    return seen[1] && seen[2] && seen[3] && steps >= ENOUGH &&
           good * 10 >= steps * tenths;
}

/* Quarters go up by one, and the clock starts again with each. */
static bool quarters_count(const RbLogReading *reading, int column)
{
    const int clock = rb_log_find_column(reading, RB_LOG_CLOCK);
    int last = 0;
    int last_clock = 0;
    bool changed = false;
    for (guint row = 0; row < reading->table->lines->len && clock >= 0; row++) {
        int quarter = 0;
        int now = 0;
        if (!rb_log_cell_quarter(rb_log_raw(reading, row, column), &quarter) ||
            quarter > 5 || !rb_log_cell_clock(rb_log_raw(reading, row, clock), &now)) {
            continue;
        }
        if (last > 0 && (quarter < last || quarter > last + 1 ||
                         (quarter > last) != (now > last_clock))) {
            return false;
        }
        changed = changed || (last > 0 && quarter > last);
        last = quarter;
        last_clock = now;
    }
    return changed;
}

bool rb_log_first_downs_have_ten(const RbLogReading *reading, int column, bool both)
{
    int firsts = 0;
    int tens = 0;
    for (guint row = 0; row < reading->table->lines->len; row++) {
        int down = 0;
        int distance = -1;
        const char *text = rb_log_raw(reading, row, column);
        const bool read =
            both ? rb_log_cell_down_distance(text, &down, &distance)
                 : rb_log_cell_distance(text, &distance) &&
                       rb_log_cell_down(rb_log_cell(reading, row, RB_LOG_DOWN), &down);
        firsts += read && down == 1;
        tens += read && down == 1 && (distance == 10 || distance == 0);
    }
    return firsts >= 4 && tens * 10 >= firsts * 7;
}

int rb_log_count_kinds(const RbLogReading *reading, int column)
{
    g_autoptr(GHashTable) seen = g_hash_table_new(g_str_hash, g_str_equal);
    for (guint row = 0; row < reading->table->lines->len; row++) {
        const char *text = rb_log_raw(reading, row, column);
        if (*text != '\0') {
            g_hash_table_add(seen, (void *)text);
        }
    }
    return (int)g_hash_table_size(seen);
}

static bool names_both_teams(const Guess *guess, int column)
{
    bool seen[3] = { false };
    for (guint row = 0; row < guess->reading->table->lines->len; row++) {
        const char *text = rb_log_raw(guess->reading, row, column);
        if (*text != '\0') {
            seen[rb_log_team_find(guess->teams, text)] = true;
        }
    }
    return seen[1] && seen[2] && !seen[0];
}

static bool is_worded_spot(const RbLogReading *reading, int column)
{
    int words = 0;
    for (guint row = 0; row < reading->table->lines->len; row++) {
        LogSpot spot;
        words += rb_log_cell_spot(rb_log_raw(reading, row, column), &spot) &&
                 *spot.word != '\0';
    }
    return words * 5 >= (int)reading->table->lines->len * 3;
}

static bool is_long_text(const RbLogReading *reading, int column)
{
    size_t all = 0;
    for (guint row = 0; row < reading->table->lines->len; row++) {
        all += strlen(rb_log_raw(reading, row, column));
    }
    return all >= 18 * (size_t)reading->table->lines->len;
}

/* True when the values give the field away. */
static bool has_shape(const Guess *guess, int column, RbLogField field)
{
    const RbLogReading *reading = guess->reading;
    const bool has_down = rb_log_find_column(reading, RB_LOG_DOWN) >= 0 ||
                          rb_log_find_column(reading, RB_LOG_DOWN_DISTANCE) >= 0;
    if (guess->fit[column][field] < (field == RB_LOG_TEXT ? 0.6 : 0.95)) {
        return false;
    }
    switch (field) {
    case RB_LOG_CLOCK:
        return rb_log_count_kinds(reading, column) >= ENOUGH;
    case RB_LOG_QUARTER:
        return quarters_count(reading, column);
    case RB_LOG_DOWN_DISTANCE:
        return !has_down && rb_log_first_downs_have_ten(reading, column, true);
    case RB_LOG_DOWN:
        return !has_down && rb_log_downs_count(reading, column, 8);
    case RB_LOG_DISTANCE:
        return rb_log_find_column(reading, RB_LOG_DOWN) >= 0 &&
               rb_log_first_downs_have_ten(reading, column, false);
    case RB_LOG_SPOT:
        return is_worded_spot(reading, column);
    case RB_LOG_HASH:
        return rb_log_count_kinds(reading, column) == 3;
    case RB_LOG_PLAY:
    case RB_LOG_RESULT:
        return rb_log_count_kinds(reading, column) >= 3 &&
               guess->fit[column][RB_LOG_PLAY] != guess->fit[column][RB_LOG_RESULT];
    case RB_LOG_OFFENSE:
        return names_both_teams(guess, column);
    case RB_LOG_TEXT:
        return is_long_text(reading, column);
    case RB_LOG_NOTHING:
    case RB_LOG_NUMBER:
    case RB_LOG_HALF:
    case RB_LOG_GAIN:
    case RB_LOG_QUARTERBACK:
    case RB_LOG_PERSONNEL:
    case RB_LOG_FORMATION:
    case RB_LOG_MOTION:
        break;
    }
    return false;
}

static bool can_take(const Guess *guess, int column)
{
    return guess->reading->fields[column] == RB_LOG_NOTHING &&
           !guess->choice->said[column];
}

static void take(Guess *guess, RbLogField field, int column, int rivals)
{
    if (column >= 0 && rivals == 1) {
        guess->reading->fields[column] = field;
        guess->reading->by_values[column] = true;
    } else if (rivals > 1) {
        const char *token = rb_words_token(&rb_log_field_words, (int)field);
        rb_log_ask(guess->reading, field,
                   _("By their values %d columns could be the %s, and none is named so.\n"
                     "Say which: --map \"COLUMN=%s\"."),
                   rivals, token, token);
    }
}

static void take_shaped(Guess *guess, RbLogField field)
{
    int found = -1;
    int rivals = 0;
    if (rb_log_find_column(guess->reading, field) >= 0) {
        return;
    }
    for (int i = 0; i < guess->columns; i++) {
        if (can_take(guess, i) && has_shape(guess, i, field)) {
            found = i;
            rivals++;
        }
    }
    take(guess, field, found, rivals);
}

/* The distance once more moves like a yard line without being one. */
static bool repeats_distance(const RbLogReading *reading, int column)
{
    int same = 0;
    int all = 0;
    for (guint row = 0; row < reading->table->lines->len; row++) {
        int down = 0;
        int distance = 0;
        int number = 0;
        if (step_down(reading, row, &down, &distance) &&
            rb_log_cell_number(rb_log_raw(reading, row, column), &number)) {
            all++;
            same += number == distance;
        }
    }
    return same * 2 > all;
}

/* Each free column of numbers is tried as the yard line. */
static void take_numeric_spot(Guess *guess)
{
    RbLogReading *reading = guess->reading;
    int found = -1;
    int rivals = 0;
    if (rb_log_find_column(reading, RB_LOG_SPOT) >= 0) {
        return;
    }
    for (int i = 0; i < guess->columns; i++) {
        if (!can_take(guess, i) || guess->fit[i][RB_LOG_SPOT] < 0.95 ||
            repeats_distance(reading, i)) {
            continue;
        }
        reading->fields[i] = RB_LOG_SPOT;
        g_autofree LogStep *steps = rb_log_steps_read(reading, guess->teams);
        LogEvidence best;
        if (rb_log_steps_find(steps, (int)reading->table->lines->len, &best) !=
                RB_YARDS_UNKNOWN &&
            best.all >= ENOUGH) {
            found = i;
            rivals++;
        }
        reading->fields[i] = RB_LOG_NOTHING;
    }
    take(guess, RB_LOG_SPOT, found, rivals);
}

/* How many steps of a series the gains explain; needs the yard lines. */
LogEvidence rb_log_try_gains(Guess *guess)
{
    const RbLogReading *reading = guess->reading;
    g_autofree LogStep *steps = rb_log_steps_read(reading, guess->teams);
    for (guint i = 0; i < reading->table->lines->len; i++) {
        steps[i].distance = 0; /* or they would speak for the spots */
    }
    return rb_log_steps_try(steps, (int)reading->table->lines->len, reading->yards);
}

void rb_log_take_gain(Guess *guess)
{
    RbLogReading *reading = guess->reading;
    int found = -1;
    int rivals = 0;
    if (rb_log_find_column(reading, RB_LOG_GAIN) >= 0) {
        return;
    }
    for (int i = 0; i < guess->columns; i++) {
        if (!can_take(guess, i) || guess->fit[i][RB_LOG_GAIN] < 0.95) {
            continue;
        }
        reading->fields[i] = RB_LOG_GAIN;
        const LogEvidence evidence = rb_log_try_gains(guess);
        if (evidence.all >= ENOUGH && evidence.agree * 10 >= evidence.all * 9) {
            found = i;
            rivals++;
        }
        reading->fields[i] = RB_LOG_NOTHING;
    }
    take(guess, RB_LOG_GAIN, found, rivals);
}

void rb_log_take_by_values(Guess *guess)
{
    static const RbLogField order[] = {
        RB_LOG_CLOCK,    RB_LOG_QUARTER, RB_LOG_DOWN_DISTANCE, RB_LOG_DOWN,
        RB_LOG_DISTANCE, RB_LOG_OFFENSE, RB_LOG_SPOT,          RB_LOG_HASH,
        RB_LOG_RESULT,   RB_LOG_PLAY,    RB_LOG_TEXT,
    };
    for (size_t i = 0; i < G_N_ELEMENTS(order); i++) {
        take_shaped(guess, order[i]);
    }
    take_numeric_spot(guess);
}
