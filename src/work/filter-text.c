/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/work/filter-text.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "rb/base/error.h"
#include "rb/base/ids.h"
#include "rb/work/error.h"
#include "rb/work/saved-filters.h"

/* What the values of a field are. */
typedef enum {
    KIND_RANGE,
    KIND_NUMBER,
    KIND_DATE,
    KIND_WORD,
    KIND_TERM,
    KIND_GAME,
    KIND_TEAM,
    KIND_PLAYER,
    KIND_CONCEPT,
} Kind;

typedef struct {
    Kind kind;
    const RbWords *words;
    RbTermKind terms;
    int low; /* numbers */
    int high;
} FieldKind;

static const FieldKind kinds[RB_FIELDS] = {
    [RB_FIELD_GAME] = { KIND_GAME },
    [RB_FIELD_OPPONENT] = { KIND_TEAM },
    [RB_FIELD_DATE] = { KIND_DATE },
    [RB_FIELD_DOWN] = { KIND_NUMBER, .low = 1, .high = 4 },
    [RB_FIELD_DISTANCE] = { KIND_RANGE },
    [RB_FIELD_YARDS_TO_GOAL] = { KIND_RANGE },
    [RB_FIELD_HASH] = { KIND_WORD, &rb_hash_words },
    [RB_FIELD_QUARTER] = { KIND_NUMBER, .low = 1, .high = 5 },
    [RB_FIELD_CLOSE] = { KIND_WORD, &rb_yes_no_words },
    [RB_FIELD_PERSONNEL] = { KIND_TERM, .terms = RB_TERM_PERSONNEL },
    [RB_FIELD_FORMATION] = { KIND_TERM, .terms = RB_TERM_FORMATION },
    [RB_FIELD_MOTION] = { KIND_TERM, .terms = RB_TERM_MOTION },
    [RB_FIELD_QUARTERBACK] = { KIND_PLAYER },
    [RB_FIELD_CALL] = { KIND_WORD, &rb_call_words },
    [RB_FIELD_CONCEPT] = { KIND_CONCEPT },
    [RB_FIELD_SIDE_WORKED] = { KIND_WORD, &rb_side_words },
    [RB_FIELD_SHELL] = { KIND_WORD, &rb_shell_words },
    [RB_FIELD_COVERAGE] = { KIND_TERM, .terms = RB_TERM_COVERAGE },
    [RB_FIELD_FAMILY] = { KIND_WORD, &rb_family_words },
    [RB_FIELD_TECHNIQUE] = { KIND_WORD, &rb_technique_words },
    [RB_FIELD_RUSHERS] = { KIND_RANGE },
    [RB_FIELD_PRESSURE] = { KIND_WORD, &rb_pressure_words },
    [RB_FIELD_RESULT] = { KIND_WORD, &rb_result_words },
    [RB_FIELD_VERDICT] = { KIND_WORD, &rb_verdict_words },
    [RB_FIELD_STAGE] = { KIND_WORD, &rb_stage_words },
    [RB_FIELD_READ] = { KIND_NUMBER, .low = 0, .high = RB_READS_MAX },
    [RB_FIELD_COUNTS] = { KIND_WORD, &rb_yes_no_words },
    [RB_FIELD_OWN_TAG] = { KIND_TERM, .terms = RB_TERM_OWN_TAG },
};

bool rb_field_is_range(RbField field)
{
    return kinds[field].kind == KIND_RANGE || kinds[field].kind == KIND_DATE;
}

static bool parse_word(const RbWords *words, const char *text, int64_t *value,
                       GError **error)
{
    for (int i = 0; i < words->n; i++) {
        if (g_ascii_strcasecmp(rb_words_token(words, i), text) == 0 ||
            g_ascii_strcasecmp(rb_words_label(words, i), text) == 0) {
            *value = i;
            return true;
        }
    }
    g_autofree char *list = rb_words_list(words);
    return rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE,
                        _("There is no %s \"%s\": give %s."), _(words->name), text, list);
}

static bool parse_number(RbField field, const char *text, int64_t *value, GError **error)
{
    const FieldKind *kind = &kinds[field];
    char *end = NULL;
    const int64_t parsed = g_ascii_strtoll(text, &end, 10);
    if (end == text || *end != '\0' || parsed < kind->low || parsed > kind->high) {
        return rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE,
                            _("%s \"%s\" is not a number from %d to %d."),
                            rb_words_label(&rb_field_words, (int)field), text, kind->low,
                            kind->high);
    }
    *value = parsed;
    return true;
}

/* "#123": the id itself, as rb_filter_print() writes it, whether or not its thing is there. */
static bool parse_mark(RbField field, const char *text, int64_t *value)
{
    return *text == '#' && kinds[field].kind >= KIND_TERM && rb_id_parse(text + 1, value);
}

static bool parse_value(const RbNames *names, RbField field, const char *text,
                        int64_t *value, GError **error)
{
    if (parse_mark(field, text, value)) {
        return true;
    }
    switch (kinds[field].kind) {
    case KIND_NUMBER:
        return parse_number(field, text, value, error);
    case KIND_WORD:
        return parse_word(kinds[field].words, text, value, error);
    case KIND_TERM: {
        const RbTerm *term = rb_names_parse_term(names, kinds[field].terms, text, error);
        *value = term != NULL ? term->id.value : 0;
        return term != NULL;
    }
    case KIND_GAME: {
        const RbGame *game = rb_names_parse_game(names, text, error);
        *value = game != NULL ? game->id.value : 0;
        return game != NULL;
    }
    case KIND_TEAM: {
        const RbTeam *team = rb_names_parse_team(names, text, error);
        *value = team != NULL ? team->id.value : 0;
        return team != NULL;
    }
    case KIND_PLAYER: {
        const RbPlayer *player =
            rb_names_parse_player(names, (RbTeamId){ 0 }, text, error);
        *value = player != NULL ? player->id.value : 0;
        return player != NULL;
    }
    case KIND_CONCEPT: {
        const RbConcept *concept = rb_names_parse_concept(names, text, error);
        *value = concept != NULL ? concept->id.value : 0;
        return concept != NULL;
    }
    case KIND_RANGE:
    case KIND_DATE:
        break;
    }
    g_assert_not_reached();
}

/* "2026-09-12" as 20260912. */
static bool parse_date(const char *text, int64_t *value)
{
    GDate date;
    int year = 0;
    int month = 0;
    int day = 0;
    for (int i = 0; i < 10; i++) {
        const bool dash = i == 4 || i == 7;
        if (dash ? text[i] != '-' : !g_ascii_isdigit(text[i])) {
            return false;
        }
        int *part = i < 4 ? &year : i < 7 ? &month : &day;
        *part = dash ? *part : *part * 10 + (text[i] - '0');
    }
    g_date_clear(&date, 1);
    if (text[10] != '\0' || year == 0 ||
        !g_date_valid_dmy((GDateDay)day, (GDateMonth)month, (GDateYear)year)) {
        return false;
    }
    *value = year * 10000 + month * 100 + day;
    return true;
}

/* One date, or two with ".." between. */
static bool parse_dates(const char *text, int64_t *low, int64_t *high, GError **error)
{
    g_auto(GStrv) ends = g_strsplit(text, "..", 2);
    const char *last = ends[0] != NULL && ends[1] != NULL ? ends[1] : ends[0];
    if (last == NULL || !parse_date(ends[0], low) || !parse_date(last, high) ||
        *low > *high) {
        return rb_error_set(
            error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE,
            _("Date \"%s\" is not a day such as 2026-09-12 or two such as "
              "2026-09-01..2026-09-30."),
            text);
    }
    return true;
}

bool rb_filter_add_text(RbFilter *filter, const RbNames *names, RbField field,
                        const char *text, GError **error)
{
    int64_t low = 0;
    int64_t high = 0;
    if (rb_field_is_range(field)) {
        const bool ok = kinds[field].kind == KIND_DATE
                            ? parse_dates(text, &low, &high, error)
                            : rb_filter_parse_range(text, &low, &high, error);
        if (ok) {
            rb_filter_set_range(filter, field, low, high);
        }
        return ok;
    }
    g_auto(GStrv) parts = g_strsplit(text, ",", -1);
    g_autoptr(GArray) values = g_array_new(FALSE, FALSE, sizeof(int64_t));
    for (char **part = parts; *part != NULL; part++) {
        int64_t value = 0;
        if (!parse_value(names, field, g_strstrip(*part), &value, error)) {
            return false;
        }
        g_array_append_val(values, value);
    }
    if (values->len == 0) {
        return rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE,
                            _("%s needs a value."),
                            rb_words_label(&rb_field_words, (int)field));
    }
    for (guint i = 0; i < values->len; i++) {
        rb_filter_add_value(filter, field, g_array_index(values, int64_t, i));
    }
    return true;
}

char *rb_filter_value_text(const RbNames *names, RbField field, int64_t value)
{
    switch (kinds[field].kind) {
    case KIND_WORD:
        return g_strdup(rb_words_label(kinds[field].words, (int)value));
    case KIND_TERM:
        return g_strdup(rb_names_term(names, (RbTermId){ value }));
    case KIND_GAME:
        return g_strdup(rb_names_game(names, (RbGameId){ value }));
    case KIND_TEAM: {
        const RbTeam *team = rb_names_find_team(names, (RbTeamId){ value });
        return g_strdup(team != NULL ? team->name : "?");
    }
    case KIND_PLAYER:
        return rb_names_player_text(names, (RbPlayerId){ value });
    case KIND_CONCEPT:
        return g_strdup(rb_names_concept(names, (RbConceptId){ value }));
    case KIND_DATE:
        return g_strdup_printf("%04d-%02d-%02d", (int)(value / 10000),
                               (int)(value / 100 % 100), (int)(value % 100));
    case KIND_RANGE:
    case KIND_NUMBER:
        break;
    }
    if (field == RB_FIELD_READ && value == 0) {
        return g_strdup(C_("in a sentence", "none"));
    }
    return g_strdup_printf("%" G_GINT64_FORMAT, value);
}

/* The open end of "11+". */
#define NO_LIMIT 1000

char *rb_clause_text(const RbNames *names, const RbClause *clause)
{
    g_autoptr(GString) text =
        g_string_new(rb_words_label(&rb_field_words, (int)clause->field));
    g_string_append(text, ": ");
    if (clause->is_range) {
        g_autofree char *low = rb_filter_value_text(names, clause->field, clause->low);
        g_autofree char *high = rb_filter_value_text(names, clause->field, clause->high);
        if (clause->high >= NO_LIMIT && kinds[clause->field].kind != KIND_DATE) {
            g_string_append_printf(text, _("%s or more"), low);
        } else if (clause->high != clause->low) {
            g_string_append_printf(text, _("%s to %s"), low, high);
        } else {
            g_string_append(text, low);
        }
    }
    for (guint i = 0; !clause->is_range && i < clause->values->len; i++) {
        const int64_t value = g_array_index(clause->values, int64_t, i);
        g_autofree char *one = rb_filter_value_text(names, clause->field, value);
        g_string_append_printf(text, "%s%s", i == 0 ? "" : ", ", one);
    }
    return g_string_free(g_steal_pointer(&text), FALSE);
}

char *rb_filter_text(const RbNames *names, const RbFilter *filter)
{
    if (filter == NULL || filter->clauses->len == 0) {
        return g_strdup(_("All dropbacks"));
    }
    GString *text = g_string_new(NULL);
    for (guint i = 0; i < filter->clauses->len; i++) {
        g_autofree char *one = rb_clause_text(names, filter->clauses->pdata[i]);
        g_string_append_printf(text, "%s%s", i == 0 ? "" : "; ", one);
    }
    return g_string_free(text, FALSE);
}

/* A value as rb_filter_add_text() reads it back. Returns: (transfer full). */
static char *value_token(RbField field, int64_t value)
{
    if (kinds[field].kind == KIND_WORD) {
        return g_strdup(rb_words_token(kinds[field].words, (int)value));
    }
    if (kinds[field].kind == KIND_DATE) {
        return rb_filter_value_text(NULL, field, value);
    }
    return g_strdup_printf("%s%" G_GINT64_FORMAT,
                           kinds[field].kind >= KIND_TERM ? "#" : "", value);
}

static void print_clause(GString *text, const RbClause *clause)
{
    const RbField field = clause->field;
    g_string_append_printf(text, "%s%s=", text->len > 0 ? "; " : "",
                           rb_words_token(&rb_field_words, (int)field));
    for (guint i = 0; !clause->is_range && i < clause->values->len; i++) {
        g_autofree char *value =
            value_token(field, g_array_index(clause->values, int64_t, i));
        g_string_append_printf(text, "%s%s", i > 0 ? "," : "", value);
    }
    if (clause->is_range) {
        const bool date = kinds[field].kind == KIND_DATE;
        g_autofree char *low = value_token(field, clause->low);
        g_autofree char *high = value_token(field, clause->high);
        g_string_append(text, low);
        if (!date && clause->high == INT64_MAX) {
            g_string_append_c(text, '+');
        } else {
            g_string_append_printf(text, "%s%s", date ? ".." : "-", high);
        }
    }
}

char *rb_filter_print(const RbFilter *filter)
{
    GString *text = g_string_new(NULL);
    for (guint i = 0; i < filter->clauses->len; i++) {
        print_clause(text, filter->clauses->pdata[i]);
    }
    return g_string_free(text, FALSE);
}

/* "down=3"; "filter=NAME" takes in one that was saved. clause: is changed. */
static bool parse_clause(RbFilter *filter, const RbNames *names, char *clause,
                         GError **error)
{
    char *name = g_strstrip(clause);
    char *equals = strchr(name, '=');
    int field = 0;
    if (*name == '\0') {
        return true;
    }
    if (equals == NULL) {
        return rb_error_set(
            error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE,
            _("\"%s\" is no part of a filter: write \"down=3\", with \"; \" "
              "between parts."),
            name);
    }
    *equals = '\0';
    g_strchomp(name);
    if (g_ascii_strcasecmp(name, "filter") == 0) {
        g_autoptr(RbFilter) saved =
            rb_names_parse_filter(names, g_strstrip(equals + 1), error);
        if (saved != NULL) {
            rb_filter_merge(filter, saved);
        }
        return saved != NULL;
    }
    if (!rb_words_parse(&rb_field_words, name, &field)) {
        g_autofree char *list = rb_words_list(&rb_field_words);
        return rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE,
                            _("There is no field \"%s\" to filter by: give %s."), name,
                            list);
    }
    return rb_filter_add_text(filter, names, (RbField)field, g_strstrip(equals + 1),
                              error);
}

RbFilter *rb_filter_parse_text(const RbNames *names, const char *text, GError **error)
{
    g_autoptr(RbFilter) filter = rb_filter_new();
    g_auto(GStrv) clauses = g_strsplit(text, ";", -1);
    for (char **clause = clauses; *clause != NULL; clause++) {
        if (!parse_clause(filter, names, *clause, error)) {
            return NULL;
        }
    }
    return g_steal_pointer(&filter);
}

static void add_ids(GArray *choices, const GPtrArray *list)
{
    for (guint i = 0; i < list->len; i++) {
        const int64_t *id = list->pdata[i]; /* each starts with its id */
        g_array_append_val(choices, *id);
    }
}

static void add_numbers(GArray *choices, int64_t low, int64_t high)
{
    for (int64_t i = low; i <= high; i++) {
        g_array_append_val(choices, i);
    }
}

static void add_own_players(GArray *choices, const RbNames *names)
{
    const GPtrArray *players = rb_names_players(names);
    for (guint i = 0; i < players->len; i++) {
        const RbPlayer *player = players->pdata[i];
        const RbTeam *team = rb_names_find_team(names, player->team);
        if (team != NULL && team->ours) {
            g_array_append_val(choices, player->id.value);
        }
    }
}

GArray *rb_filter_choices(const RbNames *names, RbField field)
{
    GArray *choices = g_array_new(FALSE, FALSE, sizeof(int64_t));
    const FieldKind *kind = &kinds[field];
    switch (kind->kind) {
    case KIND_RANGE:
    case KIND_DATE:
        break;
    case KIND_NUMBER:
        add_numbers(choices, kind->low, kind->high);
        break;
    case KIND_WORD: {
        const bool zero_counts = field == RB_FIELD_VERDICT || field == RB_FIELD_STAGE;
        add_numbers(choices, zero_counts ? 0 : 1, kind->words->n - 1);
        break;
    }
    case KIND_TERM:
        for (guint i = 0; i < rb_names_terms(names)->len; i++) {
            const RbTerm *term = rb_names_terms(names)->pdata[i];
            if (term->kind == kind->terms && !term->hidden) {
                g_array_append_val(choices, term->id.value);
            }
        }
        break;
    case KIND_GAME:
        add_ids(choices, rb_names_games(names));
        break;
    case KIND_TEAM:
        add_ids(choices, rb_names_teams(names));
        break;
    case KIND_PLAYER:
        add_own_players(choices, names);
        break;
    case KIND_CONCEPT:
        add_ids(choices, rb_names_concepts(names));
        break;
    }
    return choices;
}
