/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rail-driver.h"

#include <string.h>

#include "suite.h"

RbNames *driver_names_new(const RbSeason *season)
{
    GPtrArray *games = g_ptr_array_new();
    for (guint i = 0; i < season->games->len; i++) {
        g_ptr_array_add(games, ((RbSeasonGame *)season->games->pdata[i])->game);
    }
    GPtrArray *people = g_ptr_array_new();
    g_ptr_array_add(people, season->charter);
    return rb_names_new(g_ptr_array_ref(season->terms), g_ptr_array_ref(season->concepts),
                        games, g_ptr_array_ref(season->teams),
                        g_ptr_array_ref(season->players), people);
}

RbChart *driver_empty_chart(const RbSeasonSnap *truth)
{
    return rb_chart_new(truth->snap->id, truth->chart->author);
}

static char *true_value(const RbRailView *view, const RbSeasonSnap *truth,
                        const char *field)
{
    return rb_taggable_get(rb_taggable_parse(field, NULL), view->names, truth->snap,
                           truth->chart);
}

static bool is_true(const RbOption *option, const RbRailView *view,
                    const RbSeasonSnap *truth)
{
    for (guint i = 0; i + 1 < option->tags->len; i += 2) {
        g_autofree char *value = true_value(view, truth, option->tags->pdata[i]);
        if (strcmp(value, option->tags->pdata[i + 1]) != 0) {
            return false;
        }
    }
    return true;
}

static void set(const RbRailView *view, RbSnap *snap, RbChart *chart, const char *field,
                const char *value)
{
    GError *error = NULL;
    rb_taggable_set(rb_taggable_parse(field, NULL), view->names, snap, chart, value,
                    &error);
    rb_assert_no_error(error);
}

/* Letters until the wanted option is the first. */
static int letters_for(const RbQuestion *question, const RbOption *option)
{
    for (glong n = 1; n <= g_utf8_strlen(option->label, -1); n++) {
        g_autofree char *part = g_utf8_substring(option->label, 0, n);
        g_autoptr(GPtrArray) found = rb_question_narrow(question, part);
        if (found->len > 0 && found->pdata[0] == option) {
            return (int)n;
        }
    }
    return 99;
}

static void press(const RbQuestion *question, const RbOption *option, DriverKeys *keys)
{
    if (question->options->pdata[0] == option) {
        keys->answer_keys++;
        keys->enters++;
    } else if (option->key != 0) {
        keys->answer_keys++;
        keys->shifts += g_unichar_isupper(option->key) ? 1 : 0;
    } else {
        keys->answer_keys += 2 + letters_for(question, option); /* "/" … Enter */
        keys->enters++;
    }
}

static const RbOption *find_true(const RbQuestion *question, const RbRailView *view,
                                 const RbSeasonSnap *truth)
{
    for (guint i = 0; i < question->options->len; i++) {
        if (is_true(question->options->pdata[i], view, truth)) {
            return question->options->pdata[i];
        }
    }
    return NULL;
}

static bool answer(RbRail *rail, const RbQuestion *question, RbRailView *view,
                   RbSnap *snap, RbChart *chart, const RbSeasonSnap *truth,
                   DriverKeys *keys)
{
    const RbOption *option = find_true(question, view, truth);
    if (option != NULL && option->key == 0 && question->can_split &&
        question->options->pdata[0] != option) {
        rb_rail_split(rail, question);
        keys->answer_keys++;
        return true;
    }
    if (option != NULL) {
        press(question, option, keys);
        for (guint i = 0; i + 1 < option->tags->len; i += 2) {
            set(view, snap, chart, option->tags->pdata[i], option->tags->pdata[i + 1]);
        }
        rb_rail_answered(rail, question);
        return true;
    }
    if (question->typed == NULL) {
        return false;
    }
    g_autofree char *value = true_value(view, truth, question->typed->token);
    if (*value == '\0') {
        return false;
    }
    keys->film_keys += question->from_film ? 1 : 0;
    keys->answer_keys += question->from_film ? 1 : (int)strlen(value) + 1;
    keys->enters++;
    set(view, snap, chart, question->typed->token, value);
    rb_rail_answered(rail, question);
    return true;
}

void driver_tag(RbRail *rail, RbRailView *view, RbSnap *snap, RbChart *chart,
                const RbSeasonSnap *truth, DriverKeys *keys, GString *log)
{
    view->snap = snap;
    view->chart = chart;
    for (int i = 0; i < 60; i++) {
        g_autoptr(RbQuestion) question = rb_rail_ask(rail, view);
        if (question == NULL) {
            return;
        }
        const int before = keys->answer_keys;
        keys->questions++;
        if (!answer(rail, question, view, snap, chart, truth, keys)) {
            rb_rail_skip(rail, question);
            keys->answer_keys++;
            keys->skipped++;
        }
        if (log != NULL) {
            g_string_append_printf(log, " %s:%d", question->token,
                                   keys->answer_keys - before);
        }
    }
    ck_abort_msg("the rail never ends on snap %d", snap->number);
}
