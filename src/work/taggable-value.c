/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdio.h>
#include <string.h>

#include "rb/base/error.h"
#include "rb/model/yardline.h"
#include "rb/work/error.h"
#include "rb/work/tagging.h"

/* Numbers of both kinds and every enum of the model are ints to the table; ids are int64_t. */
static int *number_of(const RbTaggable *field, const RbSnap *snap, const RbChart *chart)
{
    char *base = field->is_fact ? (char *)snap : (char *)chart;
    return (int *)(void *)(base + field->offset);
}

static int64_t *id_of(const RbTaggable *field, const RbSnap *snap, const RbChart *chart)
{
    char *base = field->is_fact ? (char *)snap : (char *)chart;
    return (int64_t *)(void *)(base + field->offset);
}

static char **text_of(const RbTaggable *field, const RbSnap *snap, const RbChart *chart)
{
    char *base = field->is_fact ? (char *)snap : (char *)chart;
    return (char **)(void *)(base + field->offset);
}

void rb_answer_free(RbAnswer *answer)
{
    if (answer != NULL) {
        g_free(answer->token);
        g_free(answer->label);
        g_free(answer);
    }
}

static void add_answer(GPtrArray *answers, const char *token, const char *label)
{
    RbAnswer *answer = g_new0(RbAnswer, 1);
    answer->token = g_strdup(token);
    answer->label = g_strdup(label);
    g_ptr_array_add(answers, answer);
}

/* The jersey, or the id when two players of a team wear the same. */
static char *player_token(const RbNames *names, const RbPlayer *player)
{
    const GPtrArray *players = rb_names_players(names);
    for (guint i = 0; i < players->len; i++) {
        const RbPlayer *other = players->pdata[i];
        if (other != player && other->team.value == player->team.value &&
            strcmp(other->jersey, player->jersey) == 0) {
            return g_strdup_printf("%" G_GINT64_FORMAT, player->id.value);
        }
    }
    return g_strdup(player->jersey);
}

/* The team with the ball; ours when nobody said. */
static RbTeamId offense_of(const RbNames *names, const RbSnap *snap)
{
    const RbGame *game = rb_names_find_game(names, snap->game);
    if (snap->situation.offense.value == 0 && game != NULL) {
        return game->us;
    }
    return snap->situation.offense;
}

static void add_players(GPtrArray *answers, const RbNames *names, RbTeamId team)
{
    const GPtrArray *players = rb_names_players(names);
    for (guint i = 0; i < players->len; i++) {
        const RbPlayer *player = players->pdata[i];
        if (player->team.value == team.value) {
            g_autofree char *token = player_token(names, player);
            g_autofree char *label = rb_names_player_text(names, player->id);
            add_answer(answers, token, label);
        }
    }
}

static void add_teams(GPtrArray *answers, const RbNames *names, const RbSnap *snap)
{
    const RbGame *game = rb_names_find_game(names, snap->game);
    const RbTeamId both[] = { game != NULL ? game->us : (RbTeamId){ 0 },
                              game != NULL ? game->them : (RbTeamId){ 0 } };
    for (size_t i = 0; i < G_N_ELEMENTS(both); i++) {
        const RbTeam *team = rb_names_find_team(names, both[i]);
        if (team != NULL) {
            add_answer(answers, team->name, team->name);
        }
    }
}

static void add_balls(GPtrArray *answers)
{
    for (int i = 1; i <= RB_READS_MAX; i++) {
        g_autofree char *token = g_strdup_printf("read-%d", i);
        g_autofree char *label = g_strdup_printf("Read %d", i);
        add_answer(answers, token, label);
    }
    for (int i = RB_BALL_READ + 1; i < rb_ball_words.n; i++) {
        add_answer(answers, rb_words_token(&rb_ball_words, i),
                   rb_words_label(&rb_ball_words, i));
    }
}

GPtrArray *rb_taggable_answers(const RbTaggable *field, const RbNames *names,
                               const RbSnap *snap)
{
    GPtrArray *answers = g_ptr_array_new_with_free_func((GDestroyNotify)rb_answer_free);
    const GPtrArray *terms = rb_names_terms(names);
    const GPtrArray *concepts = rb_names_concepts(names);
    switch (field->kind) {
    case RB_VALUE_WORD:
        for (int i = field->always ? 0 : 1; i < field->words->n; i++) {
            add_answer(answers, rb_words_token(field->words, i),
                       rb_words_label(field->words, i));
        }
        break;
    case RB_VALUE_TERM:
        for (guint i = 0; i < terms->len; i++) {
            const RbTerm *term = terms->pdata[i];
            if (term->kind == field->terms && !term->hidden) {
                add_answer(answers, term->token, term->name);
            }
        }
        break;
    case RB_VALUE_CONCEPT:
        for (guint i = 0; i < concepts->len; i++) {
            const RbConcept *concept = concepts->pdata[i];
            if (!concept->hidden) {
                add_answer(answers, concept->token, concept->name);
            }
        }
        break;
    case RB_VALUE_PLAYER:
        add_players(answers, names, offense_of(names, snap));
        break;
    case RB_VALUE_TEAM:
        add_teams(answers, names, snap);
        break;
    case RB_VALUE_BALL:
        add_balls(answers);
        break;
    case RB_VALUE_NUMBER:
    case RB_VALUE_GAIN:
    case RB_VALUE_TENTHS:
    case RB_VALUE_SECONDS:
    case RB_VALUE_CLOCK:
    case RB_VALUE_YARDLINE:
    case RB_VALUE_TEXT:
        break;
    }
    return answers;
}

/* 2350 with 3 places is "2.35". Returns: (transfer full). */
static char *decimal_text(int value, int places)
{
    int unit = 1;
    for (int i = 0; i < places; i++) {
        unit *= 10;
    }
    char *text = g_strdup_printf("%d.%0*d", value / unit, places, value % unit);
    char *end = text + strlen(text) - 1;
    while (*end == '0') {
        *end-- = '\0';
    }
    if (*end == '.') {
        *end = '\0';
    }
    return text;
}

static bool is_unknown(const RbTaggable *field, const RbSnap *snap, const RbChart *chart)
{
    switch (field->kind) {
    case RB_VALUE_TERM:
    case RB_VALUE_CONCEPT:
    case RB_VALUE_PLAYER:
    case RB_VALUE_TEAM:
        return *id_of(field, snap, chart) == 0;
    case RB_VALUE_TEXT: {
        const char *text = *text_of(field, snap, chart);
        return text == NULL || *text == '\0';
    }
    case RB_VALUE_GAIN:
        return snap->has_gain != RB_YES;
    case RB_VALUE_WORD:
    case RB_VALUE_BALL:
        return !field->always && *number_of(field, snap, chart) == 0;
    case RB_VALUE_NUMBER:
    case RB_VALUE_TENTHS:
    case RB_VALUE_SECONDS:
    case RB_VALUE_CLOCK:
    case RB_VALUE_YARDLINE:
        break;
    }
    return *number_of(field, snap, chart) == field->unknown;
}

/* Tokens (or, for people, labels) of the kinds that hold an id. */
static char *id_text(const RbTaggable *field, const RbNames *names, int64_t id,
                     bool people)
{
    if (field->kind == RB_VALUE_TERM) {
        const RbTermId term = { id };
        return g_strdup(people ? rb_names_term(names, term)
                               : rb_names_term_token(names, term));
    }
    if (field->kind == RB_VALUE_CONCEPT) {
        const RbConceptId concept = { id };
        return g_strdup(people ? rb_names_concept(names, concept)
                               : rb_names_concept_token(names, concept));
    }
    if (field->kind == RB_VALUE_TEAM) {
        const RbTeam *team = rb_names_find_team(names, (RbTeamId){ id });
        return g_strdup(team != NULL ? team->name : "?");
    }
    const RbPlayer *player = rb_names_find_player(names, (RbPlayerId){ id });
    if (player == NULL || people) {
        return rb_names_player_text(names, (RbPlayerId){ id });
    }
    return player_token(names, player);
}

static char *ball_text(const RbChart *chart, bool people)
{
    if (chart->ball == RB_BALL_READ && chart->ball_read > 0) {
        return g_strdup_printf(people ? "Read %d" : "read-%d", chart->ball_read);
    }
    return g_strdup(people ? rb_words_label(&rb_ball_words, (int)chart->ball)
                           : rb_words_token(&rb_ball_words, (int)chart->ball));
}

/* A known value, without its unit. */
static char *value_text(const RbTaggable *field, const RbNames *names, const RbSnap *snap,
                        const RbChart *chart, bool people)
{
    switch (field->kind) {
    case RB_VALUE_TERM:
    case RB_VALUE_CONCEPT:
    case RB_VALUE_PLAYER:
    case RB_VALUE_TEAM:
        return id_text(field, names, *id_of(field, snap, chart), people);
    case RB_VALUE_TEXT:
        return g_strdup(*text_of(field, snap, chart));
    case RB_VALUE_BALL:
        return ball_text(chart, people);
    case RB_VALUE_WORD:
    case RB_VALUE_NUMBER:
    case RB_VALUE_GAIN:
    case RB_VALUE_TENTHS:
    case RB_VALUE_SECONDS:
    case RB_VALUE_CLOCK:
    case RB_VALUE_YARDLINE:
        break;
    }
    const int number = *number_of(field, snap, chart);
    if (field->kind == RB_VALUE_WORD) {
        return g_strdup(people ? rb_words_label(field->words, number)
                               : rb_words_token(field->words, number));
    }
    if (field->kind == RB_VALUE_TENTHS) {
        return decimal_text(number, 1);
    }
    if (field->kind == RB_VALUE_SECONDS) {
        return decimal_text(number, 3);
    }
    if (field->kind == RB_VALUE_CLOCK) {
        return g_strdup_printf("%d:%02d", number / 60, number % 60);
    }
    if (field->kind == RB_VALUE_YARDLINE) {
        return rb_yardline_text(number);
    }
    return g_strdup_printf("%d", number);
}

char *rb_taggable_get(const RbTaggable *field, const RbNames *names, const RbSnap *snap,
                      const RbChart *chart)
{
    return is_unknown(field, snap, chart) ? g_strdup("")
                                          : value_text(field, names, snap, chart, false);
}

char *rb_taggable_show(const RbTaggable *field, const RbNames *names, const RbSnap *snap,
                       const RbChart *chart)
{
    if (is_unknown(field, snap, chart)) {
        return g_strdup("unknown");
    }
    char *text = value_text(field, names, snap, chart, true);
    const char *unit = field->kind == RB_VALUE_TENTHS    ? " yd"
                       : field->kind == RB_VALUE_SECONDS ? " s"
                                                         : NULL;
    if (unit != NULL) {
        char *with_unit = g_strconcat(text, unit, NULL);
        g_free(text);
        return with_unit;
    }
    return text;
}

static bool refuse(GError **error, const RbTaggable *field, const char *text,
                   const char *wants)
{
    return rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE,
                        "%s cannot be \"%s\": give %s.", field->label, text, wants);
}

/* Digits with at most `places` decimals, no sign; -1 if `text` is something else. */
static int64_t parse_decimal(const char *text, int places)
{
    int64_t value = 0;
    int decimals = -1; /* until a point was read */
    int digits = 0;
    for (const char *c = text; *c != '\0'; c++) {
        if (*c == '.' && decimals < 0 && places > 0) {
            decimals = 0;
            continue;
        }
        if (!g_ascii_isdigit(*c) || decimals >= places || digits > 9) {
            return -1;
        }
        value = value * 10 + (*c - '0');
        digits++;
        decimals += decimals >= 0 ? 1 : 0;
    }
    for (int i = MAX(decimals, 0); i < places; i++) {
        value *= 10;
    }
    return digits > 0 ? value : -1;
}

static bool in_range(const RbTaggable *field, int64_t value)
{
    return value >= field->low && value <= field->high;
}

static bool parse_whole(const RbTaggable *field, const char *text, int *value,
                        GError **error)
{
    const bool minus = field->kind == RB_VALUE_GAIN && *text == '-';
    const bool plus = field->kind == RB_VALUE_GAIN && *text == '+';
    int64_t parsed = parse_decimal(text + (minus || plus ? 1 : 0), 0);
    const bool ok = parsed >= 0;
    parsed = minus ? -parsed : parsed;
    if (!ok || !in_range(field, parsed)) {
        g_autofree char *wants =
            g_strdup_printf("a whole number from %d to %d", field->low, field->high);
        return refuse(error, field, text, wants);
    }
    *value = (int)parsed;
    return true;
}

static bool parse_places(const RbTaggable *field, const char *text, int places,
                         const char *unit, int *value, GError **error)
{
    const int64_t parsed = parse_decimal(text, places);
    if (parsed < 0 || !in_range(field, parsed)) {
        g_autofree char *low = decimal_text(field->low, places);
        g_autofree char *high = decimal_text(field->high, places);
        g_autofree char *wants =
            g_strdup_printf("%s from %s to %s with at most %d decimal%s", unit, low, high,
                            places, places == 1 ? "" : "s");
        return refuse(error, field, text, wants);
    }
    *value = (int)parsed;
    return true;
}

static bool parse_clock(const RbTaggable *field, const char *text, int *value,
                        GError **error)
{
    g_auto(GStrv) halves = g_strsplit(text, ":", 3);
    const bool two = g_strv_length(halves) == 2;
    const int64_t minutes = two ? parse_decimal(halves[0], 0) : -1;
    const int64_t seconds = two ? parse_decimal(halves[1], 0) : -1;
    if (minutes < 0 || seconds < 0 || seconds > 59 || strlen(halves[1]) != 2 ||
        !in_range(field, minutes * 60 + seconds)) {
        return refuse(error, field, text, "minutes and seconds such as 7:42");
    }
    *value = (int)(minutes * 60 + seconds);
    return true;
}

static bool parse_word(const RbTaggable *field, const char *text, int *value,
                       GError **error)
{
    if (rb_words_parse(field->words, text, value)) {
        return true;
    }
    for (int i = 0; i < field->words->n; i++) {
        if (g_ascii_strcasecmp(rb_words_label(field->words, i), text) == 0) {
            *value = i;
            return true;
        }
    }
    g_autofree char *wants = rb_words_list(field->words);
    return refuse(error, field, text, wants);
}

/* "read-2", "read 2" or "2" names the read; else a word of its own. */
static bool parse_ball(const RbTaggable *field, const char *text, RbChart *chart,
                       GError **error)
{
    const char *number = g_str_has_prefix(text, "read") ? text + 4 : text;
    number += *number == '-' || *number == ' ' ? 1 : 0;
    const int64_t read = parse_decimal(number, 0);
    if (read >= 1 && read <= RB_READS_MAX) {
        chart->ball = RB_BALL_READ;
        chart->ball_read = (int)read;
        return true;
    }
    int value = 0;
    if (!rb_words_parse(&rb_ball_words, text, &value)) {
        g_autofree char *list = rb_words_list(&rb_ball_words);
        g_autofree char *wants =
            g_strdup_printf("read-1 to read-%d, %s", RB_READS_MAX, list);
        return refuse(error, field, text, wants);
    }
    chart->ball = (RbBall)value;
    chart->ball_read = 0;
    return true;
}

static bool parse_id(const RbTaggable *field, const RbNames *names, const RbSnap *snap,
                     const char *text, int64_t *id, GError **error)
{
    if (field->kind == RB_VALUE_TERM) {
        const RbTerm *term = rb_names_parse_term(names, field->terms, text, error);
        *id = term != NULL ? term->id.value : 0;
    } else if (field->kind == RB_VALUE_CONCEPT) {
        const RbConcept *concept = rb_names_parse_concept(names, text, error);
        *id = concept != NULL ? concept->id.value : 0;
    } else if (field->kind == RB_VALUE_TEAM) {
        const RbTeam *team = rb_names_parse_team(names, text, error);
        const RbGame *game = rb_names_find_game(names, snap->game);
        *id = team != NULL ? team->id.value : 0;
        if (team != NULL && game != NULL && team->id.value != game->us.value &&
            team->id.value != game->them.value) {
            return refuse(error, field, text, "one of the two teams of this game");
        }
    } else {
        const RbPlayer *player =
            rb_names_parse_player(names, offense_of(names, snap), text, error);
        *id = player != NULL ? player->id.value : 0;
    }
    return *id != 0;
}

static bool parse_number(const RbTaggable *field, const char *text, int *value,
                         GError **error)
{
    switch (field->kind) {
    case RB_VALUE_WORD:
        return parse_word(field, text, value, error);
    case RB_VALUE_TENTHS:
        return parse_places(field, text, 1, "yards", value, error);
    case RB_VALUE_SECONDS:
        return parse_places(field, text, 3, "seconds", value, error);
    case RB_VALUE_CLOCK:
        return parse_clock(field, text, value, error);
    case RB_VALUE_YARDLINE:
        return rb_yardline_parse(text, value, error);
    case RB_VALUE_NUMBER:
    case RB_VALUE_GAIN:
        return parse_whole(field, text, value, error);
    case RB_VALUE_TERM:
    case RB_VALUE_CONCEPT:
    case RB_VALUE_PLAYER:
    case RB_VALUE_TEAM:
    case RB_VALUE_BALL:
    case RB_VALUE_TEXT:
        break;
    }
    g_assert_not_reached();
}

static void clear(const RbTaggable *field, RbSnap *snap, RbChart *chart)
{
    switch (field->kind) {
    case RB_VALUE_TERM:
    case RB_VALUE_CONCEPT:
    case RB_VALUE_PLAYER:
    case RB_VALUE_TEAM:
        *id_of(field, snap, chart) = 0;
        return;
    case RB_VALUE_TEXT:
        g_clear_pointer(text_of(field, snap, chart), g_free);
        return;
    case RB_VALUE_BALL:
        chart->ball = RB_BALL_UNKNOWN;
        chart->ball_read = 0;
        return;
    case RB_VALUE_GAIN:
        snap->has_gain = RB_YES_NO_UNKNOWN;
        snap->gain = 0;
        return;
    case RB_VALUE_WORD:
    case RB_VALUE_NUMBER:
    case RB_VALUE_TENTHS:
    case RB_VALUE_SECONDS:
    case RB_VALUE_CLOCK:
    case RB_VALUE_YARDLINE:
        break;
    }
    *number_of(field, snap, chart) = field->kind == RB_VALUE_WORD ? 0 : field->unknown;
}

static bool set_known(const RbTaggable *field, const RbNames *names, RbSnap *snap,
                      RbChart *chart, const char *text, GError **error)
{
    switch (field->kind) {
    case RB_VALUE_TERM:
    case RB_VALUE_CONCEPT:
    case RB_VALUE_PLAYER:
    case RB_VALUE_TEAM: {
        int64_t id = 0;
        if (!parse_id(field, names, snap, text, &id, error)) {
            return false;
        }
        *id_of(field, snap, chart) = id;
        return true;
    }
    case RB_VALUE_TEXT: {
        if (!g_utf8_validate(text, -1, NULL)) {
            return refuse(error, field, "?", "text in UTF-8");
        }
        char **held = text_of(field, snap, chart);
        char *copy = g_strdup(text);
        g_free(*held);
        *held = copy;
        return true;
    }
    case RB_VALUE_BALL:
        return parse_ball(field, text, chart, error);
    case RB_VALUE_WORD:
    case RB_VALUE_NUMBER:
    case RB_VALUE_GAIN:
    case RB_VALUE_TENTHS:
    case RB_VALUE_SECONDS:
    case RB_VALUE_CLOCK:
    case RB_VALUE_YARDLINE:
        break;
    }
    int value = 0;
    if (!parse_number(field, text, &value, error)) {
        return false;
    }
    *number_of(field, snap, chart) = value;
    if (field->kind == RB_VALUE_GAIN) {
        snap->has_gain = RB_YES;
    }
    return true;
}

bool rb_taggable_set(const RbTaggable *field, const RbNames *names, RbSnap *snap,
                     RbChart *chart, const char *text, GError **error)
{
    g_autofree char *stripped = g_strstrip(g_strdup(text));
    const bool unknown = *stripped == '\0' || strcmp(stripped, "-") == 0;
    if (unknown && field->always) {
        g_autofree char *wants = rb_words_list(field->words);
        return refuse(error, field, text, wants);
    }
    if (unknown) {
        clear(field, snap, chart);
    } else if (!set_known(field, names, snap, chart, stripped, error)) {
        return false;
    }
    if (field->after != NULL) {
        field->after(snap, chart);
    }
    return true;
}
