/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One cell: numbers and what is written around them. */
#include <string.h>

#include "log-private.h"

/* A minus sign may be a dash of any kind. Returns: (transfer full). */
static char *plain_signs(const char *text)
{
    static const char *const dashes[] = { "\xe2\x88\x92", "\xe2\x80\x93", "\xe2\x80\x90",
                                          "\xe2\x80\x91" };
    GString *out = g_string_new(text);
    for (size_t i = 0; i < G_N_ELEMENTS(dashes); i++) {
        g_string_replace(out, dashes[i], "-", 0);
    }
    g_string_replace(out, "\xc2\xa0", " ", 0);
    return g_strstrip(g_string_free(out, FALSE));
}

/* At most three digits; `at` moves behind them. False without one. */
static bool digits(const char **at, int *value)
{
    int n = 0;
    *value = 0;
    for (; g_ascii_isdigit(**at) && n < 3; n++, (*at)++) {
        *value = *value * 10 + (**at - '0');
    }
    return n > 0 && !g_ascii_isdigit(**at);
}

static void skip_blanks(const char **at)
{
    while (**at == ' ') {
        (*at)++;
    }
}

static bool is_unit(const char *text)
{
    static const char *const units[] = { "",      "yd",    "yds",   "yard",
                                         "yards", "yarda", "yardas" };
    g_autofree char *plain = rb_log_plain(text);
    for (size_t i = 0; i < G_N_ELEMENTS(units); i++) {
        if (strcmp(plain, units[i]) == 0) {
            return strpbrk(text, "0123456789+-") == NULL;
        }
    }
    return false;
}

/* A whole number with a sign, as spreadsheets write it too: "7", "+7", "-7", "(7)", "7.0",
 * "7,00", "7 yards". A half yard is none. */
bool rb_log_cell_number(const char *text, int *value)
{
    g_autofree char *plain = plain_signs(text);
    const char *at = plain;
    const bool bracketed = *at == '(' && g_str_has_suffix(at, ")");
    const bool minus = bracketed || *at == '-';
    if (bracketed || *at == '-' || *at == '+') {
        at++;
    }
    skip_blanks(&at);
    int number = 0;
    if (!digits(&at, &number)) {
        return false;
    }
    if (*at == '.' || *at == ',') {
        at++;
        if (*at != '0') {
            return false;
        }
        while (*at == '0') {
            at++;
        }
    }
    g_autofree char *rest = g_strdup(at);
    if (bracketed && *rest != '\0') {
        rest[strlen(rest) - 1] = '\0';
    }
    if (!is_unit(rest)) {
        return false;
    }
    *value = minus ? -number : number;
    return true;
}

/* "1", "1st", "1.", "1er", "2e", "3º": the number of an ordinal. */
static bool ordinal(const char *text, int *value)
{
    static const char *const ends[] = {
        "",  "st",  "nd",  "rd", "th", "er", "ere", "re",
        "e", "eme", "nde", "o",  "a",  "do", "to",  "ro"
    };
    const char *at = text;
    if (!digits(&at, value)) {
        return false;
    }
    if (*at == '.' || *at == ',') { /* "1." is an ordinal, "1.0" a spreadsheet's 1 */
        at++;
        while (*at == '0') {
            at++;
        }
        return *at == '\0';
    }
    g_autofree char *plain = rb_log_plain(at);
    if (strpbrk(at, "+-/&:0123456789") != NULL) {
        return false;
    }
    for (size_t i = 0; i < G_N_ELEMENTS(ends); i++) {
        if (strcmp(plain, ends[i]) == 0) {
            return true;
        }
    }
    return false;
}

bool rb_log_cell_down(const char *text, int *down)
{
    g_autofree char *plain = plain_signs(text);
    return ordinal(plain, down) && *down >= 1 && *down <= 4;
}

bool rb_log_cell_quarter(const char *text, int *quarter)
{
    static const LogWord words[] = {
        { "i", 1 },
        { "ii", 2 },
        { "iii", 3 },
        { "iv", 4 },
        { "ot", 5 },
        { "overtime", 5 },
        { "verlangerung", 5 },
        { "prolongation", 5 },
        { "prorroga", 5 },
    };
    g_autofree char *plain = rb_log_plain(text);
    for (size_t i = 0; i < G_N_ELEMENTS(words); i++) {
        if (strcmp(plain, words[i].word) == 0) {
            *quarter = words[i].value;
            return true;
        }
    }
    g_autofree char *signs = plain_signs(text);
    /* "Q1", "1. Viertel" */
    const char *at = g_ascii_tolower(*signs) == 'q' ? signs + 1 : signs;
    g_autofree char *head = g_strdup(at);
    char *blank = strchr(head, ' ');
    if (blank != NULL && rb_log_name_find(blank + 1, RB_LOG_QUARTER) == LOG_NAME_WHOLE) {
        *blank = '\0';
    }
    return ordinal(head, quarter) && *quarter >= 1 && *quarter <= 8;
}

/* "7:42". A spreadsheet adds zeros before or behind it; where it cannot be told which of three
 * parts are minutes and seconds, it is no clock. */
bool rb_log_cell_clock(const char *text, int *clock_s)
{
    int part[3] = { 0, 0, 0 };
    int n = 0;
    const char *at = text;
    do {
        if (n == 3 || !digits(&at, &part[n])) {
            return false;
        }
        n++;
    } while (*at == ':' && *++at != '\0');
    if (*at != '\0' || n < 2) {
        return false;
    }
    const bool first_zero = n == 3 && part[0] == 0;
    const bool last_zero = n == 3 && part[2] == 0;
    if (n == 3 && first_zero == last_zero) {
        return false;
    }
    const int *from = first_zero ? part + 1 : part;
    if (from[0] > 15 || from[1] > 59 || from[0] * 60 + from[1] > 900) {
        return false;
    }
    *clock_s = from[0] * 60 + from[1];
    return true;
}

bool rb_log_cell_distance(const char *text, int *distance)
{
    g_autofree char *plain = rb_log_plain(text);
    if (rb_log_word_goal(plain)) {
        *distance = 0;
        return true;
    }
    return rb_log_cell_number(text, distance) && *distance >= 1 && *distance <= 99;
}

bool rb_log_cell_down_distance(const char *text, int *down, int *distance)
{
    static const char *const joints[] = {
        "&", " and ", " und ", " et ", " y ", "/", "-"
    };
    g_autofree char *signs = plain_signs(text);
    g_autofree char *lower = g_utf8_strdown(signs, -1);
    for (size_t i = 0; i < G_N_ELEMENTS(joints); i++) {
        char *joint = strstr(lower, joints[i]);
        if (joint == NULL) {
            continue;
        }
        g_autofree char *left = g_strndup(lower, (gsize)(joint - lower));
        g_autofree char *right = g_strdup(joint + strlen(joints[i]));
        return rb_log_cell_down(g_strstrip(left), down) &&
               rb_log_cell_distance(g_strstrip(right), distance);
    }
    return false;
}

bool rb_log_cell_result(const char *text, RbLogSaid *said)
{
    g_autofree char *whole = rb_log_plain(text);
    if (rb_log_word_result(whole, said)) {
        return true;
    }
    g_auto(GStrv) parts = g_strsplit_set(text, ",;/+", -1);
    bool all = parts[0] != NULL && parts[1] != NULL;
    for (int i = 0; parts[i] != NULL; i++) {
        g_autofree char *plain = rb_log_plain(parts[i]);
        all = all && rb_log_word_result(plain, said);
    }
    return all;
}

/* "25", "-25", "own 25", "25 own", "Falls 40", "O25". */
bool rb_log_cell_spot(const char *text, LogSpot *spot)
{
    *spot = (LogSpot){ 0 };
    if (rb_log_cell_number(text, &spot->number)) {
        spot->has_sign = *text == '+' || spot->number < 0;
        return spot->number >= -99 && spot->number <= 99;
    }
    g_autofree char *plain = rb_log_plain(text);
    if (strpbrk(text, ":.;&") != NULL || *plain == '\0') {
        return false;
    }
    g_auto(GStrv) words = g_strsplit(plain, " ", -1);
    const guint n = g_strv_length(words);
    const bool first = g_ascii_isdigit(*words[0]);
    const char *number = first ? words[0] : words[n - 1];
    const char *end = number;
    if (n < 2 || !digits(&end, &spot->number) || *end != '\0' || spot->number > 50 ||
        spot->number < 1) {
        return false;
    }
    g_autoptr(GString) word = g_string_new(NULL);
    for (guint i = first ? 1 : 0; i < (first ? n : n - 1); i++) {
        if (g_ascii_isdigit(*words[i])) {
            return false;
        }
        g_string_append_printf(word, "%s%s", word->len > 0 ? " " : "", words[i]);
    }
    return g_strlcpy(spot->word, word->str, sizeof spot->word) < sizeof spot->word;
}

static int own_or_not(int number, bool own)
{
    return own ? 100 - number : number;
}

int rb_log_spot_to_goal(const LogSpot *spot, RbLogYards yards, const bool *own)
{
    const int number = spot->number;
    const int size = ABS(number);
    int to_goal = 0;
    if (own != NULL && yards != RB_YARDS_WORDS) {
        return 0; /* a half was written for a reason */
    }
    switch (yards) {
    case RB_YARDS_UNKNOWN:
        return 0;
    case RB_YARDS_WORDS:
        if (number < 1 || number > 50 || (own == NULL && number != 50)) {
            return 0;
        }
        to_goal = number == 50 ? 50 : own_or_not(number, *own);
        break;
    case RB_YARDS_TO_GOAL:
        to_goal = number;
        break;
    case RB_YARDS_FROM_OWN:
        to_goal = 100 - number;
        break;
    case RB_YARDS_MINUS_OWN:
    case RB_YARDS_PLUS_OWN:
        if (size < 1 || size > 50) {
            return 0;
        }
        to_goal = own_or_not(size, (number < 0) == (yards == RB_YARDS_MINUS_OWN));
        break;
    case RB_YARDS_MIDFIELD:
        to_goal = 50 - number;
        break;
    }
    return to_goal >= 1 && to_goal <= 99 ? to_goal : 0;
}

/* True when `name` starts with the code, or its words' first letters are the code. */
static bool abbreviates(const char *code, const char *name)
{
    g_autofree char *plain = rb_log_plain(name);
    if (strlen(code) >= 2 && g_str_has_prefix(plain, code)) {
        return true;
    }
    g_auto(GStrv) words = g_strsplit(plain, " ", -1);
    GString *initials = g_string_new(NULL);
    bool holds = false;
    for (int i = 0; words[i] != NULL; i++) {
        g_string_append_c(initials, *words[i]);
        holds = holds || strcmp(words[i], code) == 0;
    }
    const bool same = initials->len >= 2 && strcmp(initials->str, code) == 0;
    g_string_free(initials, TRUE);
    return same || holds;
}

int rb_log_team_find(const LogTeams *teams, const char *text)
{
    g_autofree char *plain = rb_log_plain(text);
    bool us = false;
    if (*plain == '\0') {
        return 0;
    }
    if (teams->us != NULL) {
        g_autofree char *ours = rb_log_plain(teams->us);
        return strcmp(plain, ours) == 0 ? 1 : 2;
    }
    if (rb_log_word_us(plain, &us)) {
        return us ? 1 : 2;
    }
    if (teams->names == NULL) {
        return 0;
    }
    const RbTeam *one = rb_names_find_team(teams->names, teams->game->us);
    const RbTeam *other = rb_names_find_team(teams->names, teams->game->them);
    const bool ours = one != NULL && abbreviates(plain, one->name);
    const bool theirs = other != NULL && abbreviates(plain, other->name);
    return ours == theirs ? 0 : ours ? 1 : 2;
}
