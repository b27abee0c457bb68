/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How yard lines are written, and whether what was found behaves like it. */
#include "config.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "log-guess.h"

enum { ENOUGH = 8 };

static int count_spots(const LogStep *steps, guint n, bool halves)
{
    int count = 0;
    for (guint i = 0; i < n; i++) {
        count += steps[i].has_spot &&
                 (!halves || steps[i].has_half || ABS(steps[i].spot.number) == 50);
    }
    return count;
}

static const char *first_word(const LogStep *steps, guint n)
{
    for (guint i = 0; i < n; i++) {
        if (steps[i].has_spot && *steps[i].spot.word != '\0' && !steps[i].has_half) {
            return steps[i].spot.word;
        }
    }
    return NULL;
}

/* The ways that the numbers alone allow. Returns: (transfer full). */
static char *list_ways(const LogStep *steps, int n)
{
    GString *list = g_string_new(NULL);
    for (int yards = RB_YARDS_TO_GOAL; yards < RB_LOG_YARDS; yards++) {
        const LogEvidence evidence = rb_log_steps_try(steps, n, (RbLogYards)yards);
        if (evidence.spots > 0 && evidence.invalid * 20 <= evidence.spots) {
            g_string_append_printf(list, "%s%s", list->len > 0 ? ", " : "",
                                   rb_words_token(&rb_log_yards_words, yards));
        }
    }
    return g_string_free(list, FALSE);
}

static void ask_way(RbLogReading *reading, const LogStep *steps, int n)
{
    g_autofree char *ways = list_ways(steps, n);
    const int column = rb_log_find_column(reading, RB_LOG_SPOT);
    const char *head = reading->table->heads->pdata[column];
    if (*ways == '\0') {
        rb_log_ask(reading, RB_LOG_SPOT,
                   _("The yard lines in \"%s\" do not say which half of the field they "
                     "are in.\n"
                     "Name the column that does: --map \"COLUMN=half\"; or leave them "
                     "out: --map \"%s=-\"."),
                   head, head);
        return;
    }
    rb_log_ask(reading, RB_LOG_SPOT,
               _("The yard lines in \"%s\" can be meant in several ways, and the "
                 "plays do not say which.\n"
                 "Say --yard-lines with one of %s; or name the column with the half "
                 "of the field: --map \"COLUMN=half\"."),
               head, ways);
}

static void find_words(Guess *guess, const LogStep *steps, int n)
{
    RbLogReading *reading = guess->reading;
    const LogEvidence evidence = rb_log_steps_try(steps, n, RB_YARDS_WORDS);
    reading->yards = RB_YARDS_WORDS;
    reading->steps = evidence.all;
    reading->steps_agree = evidence.agree;
    if (evidence.all >= ENOUGH && evidence.agree * 10 < evidence.all * 8) {
        rb_log_ask(reading, RB_LOG_SPOT,
                   _("Read as own and opponent's half, the yard lines do not follow from "
                     "one another (%d of %d steps within a series do).\n"
                     "Say --yard-lines own-opp to take them so all the same, or --map "
                     "\"%s=-\" to leave them out."),
                   evidence.agree, evidence.all,
                   (const char *)reading->table->heads
                       ->pdata[rb_log_find_column(reading, RB_LOG_SPOT)]);
    }
}

static void find_way(Guess *guess, const LogStep *steps, int n)
{
    RbLogReading *reading = guess->reading;
    const int spots = count_spots(steps, (guint)n, false);
    const char *word = first_word(steps, (guint)n);
    LogEvidence best;
    if (count_spots(steps, (guint)n, true) * 10 >= spots * 8) {
        find_words(guess, steps, n);
    } else if (word != NULL) {
        rb_log_ask(reading, RB_LOG_SPOT,
                   _("It cannot be told whose half \"%s\" in the yard lines is.\n"
                     "Say what the log calls our team (--us \"%s\"), and name the column "
                     "of the team with the ball (--map \"COLUMN=offense\")."),
                   word, word);
    } else {
        reading->yards = rb_log_steps_find(steps, n, &best);
        reading->steps = best.all;
        reading->steps_agree = best.agree;
        if (reading->yards == RB_YARDS_UNKNOWN) {
            ask_way(reading, steps, n);
        }
    }
}

/* What a person said holds; what was kept from another file, unless the plays say otherwise. */
static void take_said(Guess *guess, const LogStep *steps, int n)
{
    RbLogReading *reading = guess->reading;
    LogEvidence best;
    const RbLogYards said = guess->choice->yards;
    const LogEvidence evidence = rb_log_steps_try(steps, n, said);
    const RbLogYards found = rb_log_steps_find(steps, n, &best);
    reading->yards = said;
    reading->steps = evidence.all;
    reading->steps_agree = evidence.agree;
    if (guess->choice->kept && found != RB_YARDS_UNKNOWN && found != said &&
        evidence.agree * 10 < evidence.all * 8) {
        rb_log_ask(reading, RB_LOG_SPOT,
                   _("Earlier files of this layout wrote yard lines as %s, but this one "
                     "follows %s.\n"
                     "Say --yard-lines %s or --yard-lines %s."),
                   rb_words_token(&rb_log_yards_words, (int)said),
                   rb_words_token(&rb_log_yards_words, (int)found),
                   rb_words_token(&rb_log_yards_words, (int)found),
                   rb_words_token(&rb_log_yards_words, (int)said));
    }
}

void rb_log_take_yards(Guess *guess)
{
    RbLogReading *reading = guess->reading;
    const int n = (int)reading->table->lines->len;
    if (rb_log_find_column(reading, RB_LOG_SPOT) < 0) {
        return;
    }
    g_autofree LogStep *steps = rb_log_steps_read(reading, guess->teams);
    if (guess->choice->yards != RB_YARDS_UNKNOWN) {
        take_said(guess, steps, n);
    } else {
        find_way(guess, steps, n);
    }
    if (reading->yards != RB_YARDS_UNKNOWN) {
        rb_log_take_gain(guess);
    }
}

char *rb_log_yards_text(const RbLogReading *reading)
{
    if (reading->yards == RB_YARDS_UNKNOWN) {
        return NULL;
    }
    const char *label = rb_words_label(&rb_log_yards_words, (int)reading->yards);
    if (reading->steps == 0) {
        return g_strdup_printf(_("Yard lines: %s."), label);
    }
    return g_strdup_printf(_("Yard lines: %s; %d of %d steps within a series agree."),
                           label, reading->steps_agree, reading->steps);
}

/* What is wrong with a field that was found by name; "" nothing. */
static const char *doubt(Guess *guess, RbLogField field, int column)
{
    const RbLogReading *reading = guess->reading;
    LogEvidence evidence = { 0 };
    switch (field) {
    case RB_LOG_DOWN:
        return rb_log_count_kinds(reading, column) >= 3 &&
                       !rb_log_downs_count(reading, column, 6) &&
                       reading->table->lines->len >= 2 * ENOUGH
                   ? _("its values do not count like downs")
                   : "";
    case RB_LOG_DISTANCE:
        return rb_log_find_column(reading, RB_LOG_DOWN) >= 0 &&
                       reading->table->lines->len >= 2 * ENOUGH &&
                       !rb_log_first_downs_have_ten(reading, column, false)
                   ? _("first downs do not have ten to go")
                   : "";
    case RB_LOG_GAIN:
        if (reading->yards != RB_YARDS_UNKNOWN) {
            evidence = rb_log_try_gains(guess);
        }
        return evidence.all >= ENOUGH && evidence.agree * 10 < evidence.all * 7
                   ? _("the ball does not move by it from play to play")
                   : "";
    case RB_LOG_NOTHING:
    case RB_LOG_NUMBER:
    case RB_LOG_QUARTER:
    case RB_LOG_CLOCK:
    case RB_LOG_DOWN_DISTANCE:
    case RB_LOG_SPOT:
    case RB_LOG_HALF:
    case RB_LOG_HASH:
    case RB_LOG_OFFENSE:
    case RB_LOG_PLAY:
    case RB_LOG_RESULT:
    case RB_LOG_TEXT:
    case RB_LOG_QUARTERBACK:
    case RB_LOG_PERSONNEL:
    case RB_LOG_FORMATION:
    case RB_LOG_MOTION:
        break;
    }
    return "";
}

static void verify_teams(Guess *guess)
{
    const int column = rb_log_find_column(guess->reading, RB_LOG_OFFENSE);
    for (guint row = 0; column >= 0 && row < guess->reading->table->lines->len; row++) {
        const char *text = rb_log_raw(guess->reading, row, column);
        if (*text != '\0' && rb_log_team_find(guess->teams, text) == 0) {
            rb_log_ask(guess->reading, RB_LOG_OFFENSE,
                       _("It cannot be told which team \"%s\" is.\n"
                         "Say what the log calls our team: --us \"%s\"."),
                       text, text);
            return;
        }
    }
}

void rb_log_verify(Guess *guess)
{
    verify_teams(guess);
    for (int i = 0; i < guess->columns; i++) {
        const RbLogField field = guess->reading->fields[i];
        const char *why = guess->choice->said[i] ? "" : doubt(guess, field, i);
        if (*why != '\0') {
            const char *head = guess->reading->table->heads->pdata[i];
            const char *token = rb_words_token(&rb_log_field_words, (int)field);
            rb_log_ask(
                guess->reading, field,
                _("The column \"%s\" looks like the %s, but %s.\n"
                  "Say --map \"%s=%s\" to take it so, or --map \"%s=-\" to leave it "
                  "out."),
                head, token, why, head, token, head);
        }
    }
}
