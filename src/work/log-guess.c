/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What each column holds: first what a person said, then names whose values fit, then values
 * that give themselves away. Two columns for one thing, or a name that its values deny, are
 * asked about. */
#include "config.h"

#include "log-guess.h"

#include <glib/gi18n-lib.h>
#include <stdarg.h>
#include <string.h>

/* clang-format off */
static const RbWord field_table[] = {
    [RB_LOG_NOTHING] = { "-", N_("Left out") },
    [RB_LOG_NUMBER] = { "number", N_("Number of the play") },
    [RB_LOG_QUARTER] = { "quarter", N_("Quarter") },
    [RB_LOG_CLOCK] = { "clock", N_("Clock") },
    [RB_LOG_DOWN] = { "down", N_("Down") },
    [RB_LOG_DISTANCE] = { "distance", N_("Distance") },
    [RB_LOG_DOWN_DISTANCE] = { "down-distance", N_("Down and distance") },
    [RB_LOG_SPOT] = { "spot", N_("Yard line") },
    [RB_LOG_HALF] = { "half", N_("Half of the field") },
    [RB_LOG_HASH] = { "hash", N_("Hash") },
    [RB_LOG_OFFENSE] = { "offense", N_("Team with the ball") },
    [RB_LOG_PLAY] = { "play", N_("Kind of play") },
    [RB_LOG_RESULT] = { "result", N_("Result") },
    [RB_LOG_GAIN] = { "gain", N_("Gain") },
    [RB_LOG_TEXT] = { "text", N_("Play in a sentence") },
    [RB_LOG_QUARTERBACK] = { "quarterback", N_("Quarterback") },
    [RB_LOG_PERSONNEL] = { "personnel", N_("Personnel") },
    [RB_LOG_FORMATION] = { "formation", N_("Formation") },
    [RB_LOG_MOTION] = { "motion", N_("Motion") },
};

static const RbWord yards_table[] = {
    [RB_YARDS_UNKNOWN] = { "-", N_("Not known") },
    [RB_YARDS_WORDS] = { "own-opp", N_("Own and opponent's half in words") },
    [RB_YARDS_TO_GOAL] = { "to-goal", N_("1 to 99, yards to the goal line attacked") },
    [RB_YARDS_FROM_OWN] = { "from-own", N_("1 to 99, yards from the own goal line") },
    [RB_YARDS_MINUS_OWN] = { "minus-own", N_("Minus is the own half") },
    [RB_YARDS_PLUS_OWN] = { "plus-own", N_("Minus is the opponent's half") },
    [RB_YARDS_MIDFIELD] = { "midfield", N_("Yards from midfield, minus in the own half") },
};
/* clang-format on */

const RbWords rb_log_field_words = { N_("column"), field_table,
                                     G_N_ELEMENTS(field_table) };
const RbWords rb_log_yards_words = { N_("yard lines"), yards_table,
                                     G_N_ELEMENTS(yards_table) };

int rb_log_find_column(const RbLogReading *reading, RbLogField field)
{
    for (guint i = 0; i < reading->table->heads->len; i++) {
        if (reading->fields[i] == field) {
            return (int)i;
        }
    }
    return -1;
}

bool rb_log_is_blank(const char *text)
{
    static const char *const blanks[] = { "", "-", "--", "n/a", "?", "\xe2\x80\x93" };
    for (size_t i = 0; i < G_N_ELEMENTS(blanks); i++) {
        if (strcmp(text, blanks[i]) == 0) {
            return true;
        }
    }
    return false;
}

const char *rb_log_raw(const RbLogReading *reading, guint row, int column)
{
    const RbLogLine *line = reading->table->lines->pdata[row];
    return rb_log_is_blank(line->cells[column]) ? "" : line->cells[column];
}

const char *rb_log_cell(const RbLogReading *reading, guint row, RbLogField field)
{
    const int column = rb_log_find_column(reading, field);
    return column < 0 ? "" : rb_log_raw(reading, row, column);
}

void rb_log_ask(RbLogReading *reading, RbLogField field, const char *format, ...)
{
    va_list args;
    RbLogQuestion *question = g_new0(RbLogQuestion, 1);
    va_start(args, format);
    question->sentence = g_strdup_vprintf(g_dgettext(GETTEXT_PACKAGE, format), args);
    va_end(args);
    char *end = strchr(question->sentence, '\n');
    question->asked =
        end != NULL ? g_strndup(question->sentence, (size_t)(end - question->sentence))
                    : g_strdup(question->sentence);
    if (end != NULL) {
        *end = ' ';
    }
    question->field = field;
    g_ptr_array_add(reading->questions, question);
}

static bool readable(RbLogField field, const char *text)
{
    int a = 0;
    int b = 0;
    bool own = false;
    RbHash hash = RB_HASH_UNKNOWN;
    RbPlay play = RB_PLAY_UNKNOWN;
    RbPhase phase = RB_PHASE_SCRIMMAGE;
    RbLogSaid said = { 0 };
    LogSpot spot;
    const bool in_words =
        field == RB_LOG_HALF || field == RB_LOG_HASH || field == RB_LOG_PLAY;
    g_autofree char *plain = in_words ? rb_log_plain(text) : NULL;
    switch (field) {
    case RB_LOG_NOTHING:
        return false;
    case RB_LOG_NUMBER:
        return rb_log_cell_number(text, &a) && a > 0;
    case RB_LOG_QUARTER:
        return rb_log_cell_quarter(text, &a);
    case RB_LOG_CLOCK:
        return rb_log_cell_clock(text, &a);
    case RB_LOG_DOWN:
        return rb_log_cell_down(text, &a) || strcmp(text, "0") == 0;
    case RB_LOG_DISTANCE:
        return rb_log_cell_distance(text, &a) || strcmp(text, "0") == 0;
    case RB_LOG_DOWN_DISTANCE:
        return rb_log_cell_down_distance(text, &a, &b);
    case RB_LOG_SPOT:
        return rb_log_cell_spot(text, &spot);
    case RB_LOG_HALF:
        return rb_log_word_half(plain, &own) || strcmp(text, "+") == 0;
    case RB_LOG_HASH:
        return rb_log_word_hash(plain, &hash);
    case RB_LOG_PLAY:
        return rb_log_word_play(plain, &play, &phase);
    case RB_LOG_RESULT:
        return rb_log_cell_result(text, &said);
    case RB_LOG_GAIN:
        return rb_log_cell_number(text, &a) && ABS(a) <= 99;
    case RB_LOG_TEXT:
        return strchr(text, ' ') != NULL && rb_log_text_parse(text, &said);
    case RB_LOG_OFFENSE:
    case RB_LOG_QUARTERBACK:
    case RB_LOG_PERSONNEL:
    case RB_LOG_FORMATION:
    case RB_LOG_MOTION:
        break;
    }
    return *text != '\0';
}

/* Share of the filled cells that can be read as the field; -1 for an empty column. */
static double find_fit(const RbLogReading *reading, int column, RbLogField field)
{
    int filled = 0;
    int fits = 0;
    for (guint row = 0; row < reading->table->lines->len; row++) {
        const char *text = rb_log_raw(reading, row, column);
        filled += *text != '\0';
        fits += *text != '\0' && readable(field, text);
    }
    return filled == 0 ? -1.0 : (double)fits / filled;
}

static const char *head_of(const Guess *guess, int column)
{
    return guess->reading->table->heads->pdata[column];
}

static double needed(RbLogField field)
{
    return field == RB_LOG_TEXT ? 0.5 : 0.8;
}

static bool is_free(const Guess *guess, int column)
{
    return guess->reading->fields[column] == RB_LOG_NOTHING &&
           !guess->choice->said[column];
}

static void take_choices(Guess *guess)
{
    for (int i = 0; i < guess->columns; i++) {
        if (guess->choice->said[i]) {
            guess->reading->fields[i] = guess->choice->fields[i];
        }
    }
}

/* The column's best field by name and values; nothing when no name fits. */
static RbLogField named_field(const Guess *guess, int column, LogName *how)
{
    RbLogField best = RB_LOG_NOTHING;
    *how = LOG_NAME_NONE;
    for (int field = RB_LOG_NUMBER; field < RB_LOG_FIELDS; field++) {
        const LogName name = guess->name[column][field];
        const double fit = guess->fit[column][field];
        const bool better = name > *how || (name == *how && best != RB_LOG_NOTHING &&
                                            fit > guess->fit[column][best]);
        if (name != LOG_NAME_NONE && fit >= needed((RbLogField)field) && better) {
            best = (RbLogField)field;
            *how = name;
        }
    }
    return best;
}

static void ask_denied(Guess *guess, int column)
{
    for (int field = RB_LOG_NUMBER; field < RB_LOG_FIELDS; field++) {
        const double fit = guess->fit[column][field];
        const bool matters = field == RB_LOG_DOWN || field == RB_LOG_DISTANCE ||
                             field == RB_LOG_SPOT || field == RB_LOG_GAIN ||
                             field == RB_LOG_RESULT || field == RB_LOG_QUARTER ||
                             field == RB_LOG_CLOCK || field == RB_LOG_DOWN_DISTANCE;
        if (guess->name[column][field] == LOG_NAME_WHOLE && matters && fit >= 0.0) {
            const char *token = rb_words_token(&rb_log_field_words, field);
            rb_log_ask(
                guess->reading, (RbLogField)field,
                _("The column \"%s\" is named like the %s, but only %.0f %% of its "
                  "values can be one.\n"
                  "Say --map \"%s=%s\" to take them so, or --map \"%s=-\" to leave the "
                  "column out."),
                head_of(guess, column), token, fit * 100.0, head_of(guess, column), token,
                head_of(guess, column));
            return;
        }
    }
}

/* Columns with equal right to a field are asked about, unless they say the same. */
static bool same_cells(const RbLogReading *reading, int a, int b)
{
    for (guint row = 0; row < reading->table->lines->len; row++) {
        if (strcmp(rb_log_raw(reading, row, a), rb_log_raw(reading, row, b)) != 0) {
            return false;
        }
    }
    return true;
}

static void ask_which(Guess *guess, RbLogField field, int a, int b)
{
    const char *token = rb_words_token(&rb_log_field_words, (int)field);
    rb_log_ask(guess->reading, field,
               _("The columns \"%s\" and \"%s\" could both be the %s.\n"
                 "Say which: --map \"%s=%s\" or --map \"%s=%s\"."),
               head_of(guess, a), head_of(guess, b), token, head_of(guess, a), token,
               head_of(guess, b), token);
}

static void take_named(Guess *guess)
{
    LogName how[RB_LOG_COLUMNS_MAX];
    RbLogField wants[RB_LOG_COLUMNS_MAX];
    for (int i = 0; i < guess->columns; i++) {
        wants[i] = is_free(guess, i) ? named_field(guess, i, &how[i]) : RB_LOG_NOTHING;
        if (is_free(guess, i) && wants[i] == RB_LOG_NOTHING) {
            ask_denied(guess, i);
        }
    }
    for (int field = RB_LOG_NUMBER; field < RB_LOG_FIELDS; field++) {
        int best = -1;
        if (rb_log_find_column(guess->reading, (RbLogField)field) >= 0) {
            continue;
        }
        for (int i = 0; i < guess->columns; i++) {
            if (wants[i] != (RbLogField)field) {
                continue;
            }
            if (best < 0 || how[i] > how[best]) {
                best = i;
            } else if (how[i] == how[best] && !same_cells(guess->reading, i, best)) {
                ask_which(guess, (RbLogField)field, best, i);
            }
        }
        if (best >= 0) {
            guess->reading->fields[best] = (RbLogField)field;
        }
    }
}

static Guess *guess_new(RbLogReading *reading, const LogTeams *teams,
                        const RbLogChoice *choice)
{
    Guess *guess = g_new0(Guess, 1);
    guess->reading = reading;
    guess->teams = teams;
    guess->choice = choice;
    guess->columns = (int)reading->table->heads->len;
    for (int i = 0; i < guess->columns; i++) {
        rb_log_name_find_all(head_of(guess, i), guess->name[i]);
        for (int field = RB_LOG_NUMBER; field < RB_LOG_FIELDS; field++) {
            guess->fit[i][field] = find_fit(reading, i, (RbLogField)field);
        }
    }
    return guess;
}

void rb_log_guess(RbLogReading *reading, const LogTeams *teams, const RbLogChoice *choice)
{
    Guess *guess = guess_new(reading, teams, choice);
    take_choices(guess);
    take_named(guess);
    rb_log_take_by_values(guess);
    rb_log_take_yards(guess);
    rb_log_verify(guess);
    g_free(guess);
}
