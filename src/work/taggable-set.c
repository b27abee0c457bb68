/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A tag from text, or the sentence that says why not. */
#include "config.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "rb/base/error.h"
#include "rb/model/yardline.h"
#include "rb/work/error.h"

#include "own-tags.h"
#include "taggable-private.h"

static bool refuse(GError **error, const RbTaggable *field, const char *text,
                   const char *wants)
{
    return rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE,
                        _("%s cannot be \"%s\": give %s."), _(field->label), text, wants);
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
            g_strdup_printf(_("a whole number from %d to %d"), field->low, field->high);
        return refuse(error, field, text, wants);
    }
    *value = (int)parsed;
    return true;
}

/* Yards with one decimal, seconds with three. */
static bool parse_places(const RbTaggable *field, const char *text, int places,
                         int *value, GError **error)
{
    const int64_t parsed = parse_decimal(text, places);
    if (parsed < 0 || !in_range(field, parsed)) {
        g_autofree char *low = rb_decimal_text(field->low, places);
        g_autofree char *high = rb_decimal_text(field->high, places);
        g_autofree char *wants =
            places == 1
                ? g_strdup_printf(_("yards from %s to %s with at most 1 decimal"), low,
                                  high)
                : g_strdup_printf(_("seconds from %s to %s with at most %d decimals"),
                                  low, high, places);
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
        return refuse(error, field, text, _("minutes and seconds such as 7:42"));
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
            g_strdup_printf(_("read-1 to read-%d, %s"), RB_READS_MAX, list);
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
            return refuse(error, field, text, _("one of the two teams of this game"));
        }
    } else {
        const RbPlayer *player =
            rb_names_parse_player(names, rb_taggable_offense(names, snap), text, error);
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
        return parse_places(field, text, 1, value, error);
    case RB_VALUE_SECONDS:
        return parse_places(field, text, 3, value, error);
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
    case RB_VALUE_OWN_TAGS:
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
        *rb_taggable_id(field, snap, chart) = 0;
        return;
    case RB_VALUE_TEXT:
        g_clear_pointer(rb_taggable_string(field, snap, chart), g_free);
        return;
    case RB_VALUE_BALL:
        chart->ball = RB_BALL_UNKNOWN;
        chart->ball_read = 0;
        return;
    case RB_VALUE_OWN_TAGS:
        g_array_set_size(snap->own_tags, 0);
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
    *rb_taggable_number(field, snap, chart) =
        field->kind == RB_VALUE_WORD ? 0 : field->unknown;
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
        *rb_taggable_id(field, snap, chart) = id;
        return true;
    }
    case RB_VALUE_TEXT: {
        if (!g_utf8_validate(text, -1, NULL)) {
            return refuse(error, field, "?", _("text in UTF-8"));
        }
        char **held = rb_taggable_string(field, snap, chart);
        char *copy = g_strdup(text);
        g_free(*held);
        *held = copy;
        return true;
    }
    case RB_VALUE_BALL:
        return parse_ball(field, text, chart, error);
    case RB_VALUE_OWN_TAGS:
        return rb_own_tags_set(names, snap, text, error);
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
    *rb_taggable_number(field, snap, chart) = value;
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
