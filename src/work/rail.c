/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/work/rail.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "rb/base/error.h"
#include "rb/stats/success.h"
#include "rb/work/error.h"

#include "judging.h"
#include "rail-private.h"

struct RbRail {
    char **required; /* owned: tokens */
    RbAskPass last;
    int64_t snap;       /* the one asked about; 0 none */
    GHashTable *passed; /* owned: tokens of steps skipped on this visit */
    GHashTable *apart;  /* owned: tokens of steps whose sides are asked one by one */
    GPtrArray *trail;   /* owned, of static char *: steps answered on this visit */
    const char *again;  /* static, nullable: the step that was gone back to */
};

void rb_question_free(RbQuestion *question)
{
    if (question != NULL) {
        g_free(question->label);
        g_ptr_array_unref(question->options);
        g_free(question);
    }
}

void rb_rail_set_required(RbRail *rail, const char *required)
{
    g_strfreev(rail->required);
    rail->required =
        g_strsplit(required != NULL ? required : rb_required_default, ",", -1);
    for (int i = 0; rail->required[i] != NULL; i++) {
        g_strstrip(rail->required[i]);
    }
}

RbRail *rb_rail_new(const char *required)
{
    RbRail *rail = g_new0(RbRail, 1);
    rail->last = RB_ASK_DECISION;
    rail->passed = g_hash_table_new(g_str_hash, g_str_equal);
    rail->apart = g_hash_table_new(g_str_hash, g_str_equal);
    rail->trail = g_ptr_array_new();
    rb_rail_set_required(rail, required);
    return rail;
}

void rb_rail_free(RbRail *rail)
{
    if (rail != NULL) {
        g_strfreev(rail->required);
        g_hash_table_unref(rail->passed);
        g_hash_table_unref(rail->apart);
        g_ptr_array_unref(rail->trail);
        g_free(rail);
    }
}

void rb_rail_set_pass(RbRail *rail, RbAskPass last)
{
    rail->last = last;
}

static void start_snap(RbRail *rail, RbSnapId snap)
{
    if (rail->snap != snap.value) {
        rail->snap = snap.value;
        rail->again = NULL;
        g_hash_table_remove_all(rail->passed);
        g_hash_table_remove_all(rail->apart);
        g_ptr_array_set_size(rail->trail, 0);
    }
}

/* What is still wanted of a snap. */
typedef struct {
    const RbRail *rail;
    const RbRailView *view;
    RbChart *chart; /* owned: as the engine sees it */
    RbTag open[RB_OPEN_TAGS_MAX];
    int n_open;
} Wants;

static bool is_required(const RbRail *rail, const char *token)
{
    for (int i = 0; rail->required[i] != NULL; i++) {
        if (strcmp(rail->required[i], token) == 0) {
            return true;
        }
    }
    return false;
}

static bool is_known(const Wants *wants, const RbTaggable *field)
{
    g_autofree char *value = rb_taggable_get(field, wants->view->names, wants->view->snap,
                                             field->is_fact ? NULL : wants->chart);
    return *value != '\0';
}

/* A cushion or split measured with the rule's limit inside its plus or minus: still to be told. */
static bool is_in_doubt(const Wants *wants, const RbTaggable *field)
{
    const RbPictureShown *shown = &wants->chart->shown;
    const struct {
        const char *token;
        int pm;
    } measured[] = { { "left-cushion", shown->left.cushion_pm_tenths },
                     { "right-cushion", shown->right.cushion_pm_tenths },
                     { "left-split", shown->left.split_pm_tenths },
                     { "right-split", shown->right.split_pm_tenths } };
    for (size_t i = 0; i < G_N_ELEMENTS(measured); i++) {
        if (strcmp(field->token, measured[i].token) == 0) {
            return measured[i].pm > 0;
        }
    }
    return false;
}

static Wants wants_new(const RbRail *rail, const RbRailView *view)
{
    Wants wants = { .rail = rail, .view = view };
    const RbGame *game = rb_names_find_game(view->names, view->snap->game);
    wants.chart = rb_chart_for_judging(view->chart, game, view->clips);
    if (rb_snap_is_dropback(view->snap)) {
        const RbReadContext context =
            rb_context_for(view->names, view->snap, wants.chart);
        const RbReadSettings settings = rb_read_settings_default();
        bool known = false;
        const bool success =
            rb_success_snap(rb_success_profile_default(), view->snap, &known) && known;
        wants.n_open =
            rb_judge_open_tags(&context, wants.chart, success, &settings, wants.open);
    }
    return wants;
}

/* A tag the verdict hangs on. An unknown with parts names its first one: the parts that are
 * missing are wanted with it. */
static bool is_open(const Wants *wants, const RbTaggable *field)
{
    const RbChart *chart = wants->chart;
    const char *asked = strcmp(field->token, "pressure-time") == 0    ? "pressure"
                        : strcmp(field->token, "unblocked-side") == 0 ? "unblocked"
                        : strcmp(field->token, "adjustment") == 0     ? "adjusted"
                                                                      : field->token;
    if ((asked != field->token && strcmp(asked, "pressure") == 0 &&
         chart->pressure != RB_PRESSURE_CAME) ||
        (strcmp(field->token, "adjustment") == 0 && chart->adjusted == RB_NO) ||
        (strcmp(field->token, "unblocked-side") == 0 &&
         chart->played.unblocked == RB_NO)) {
        return false;
    }
    for (int i = 0; i < wants->n_open; i++) {
        const RbTaggable *open = rb_taggable_for(&wants->open[i]);
        if (open != NULL && strcmp(open->token, asked) == 0) {
            return true;
        }
    }
    return false;
}

/* What the words themselves rule out: a side where the call has but one, the catch of a ball
 * that nobody threw. */
static bool applies(const Wants *wants, const RbTaggable *field)
{
    const RbChart *chart = wants->chart;
    if (field->is_fact) {
        /* Blown dead before or wiped out: nothing was played that could be told. */
        return wants->view->snap->result != RB_RESULT_NO_PLAY;
    }
    if (!rb_snap_is_dropback(wants->view->snap)) {
        return false;
    }
    if (strcmp(field->token, "side-worked") == 0) {
        return chart->call.kind == RB_CALL_MIRRORED || chart->call.kind == RB_CALL_SPLIT;
    }
    if (strcmp(field->token, "catch") == 0) {
        return chart->throw_ != RB_THROW_NONE;
    }
    return true;
}

static bool is_wanted(const Wants *wants, const RbTaggable *field)
{
    const bool required = is_required(wants->rail, field->token);
    if (is_known(wants, field)) {
        return is_in_doubt(wants, field) && is_open(wants, field);
    }
    return (required && applies(wants, field)) || is_open(wants, field);
}

static bool is_wanted_call(const Wants *wants)
{
    return rb_snap_is_dropback(wants->view->snap) && wants->chart->call.first.value == 0;
}

/* Fields of a step that are wanted. */
static RbLikelyFields wanted_fields(const Wants *wants, const RbStep *step)
{
    RbLikelyFields fields = { 0 };
    for (int i = 0; i < RB_LIKELY_FIELDS_MAX && step->fields[i] != NULL; i++) {
        const RbTaggable *field = rb_taggable_parse(step->fields[i], NULL);
        if (is_wanted(wants, field)) {
            fields.fields[fields.n++] = field;
        }
    }
    return fields;
}

static RbLikelyFields unknown_fields(const Wants *wants, const RbStep *step)
{
    RbLikelyFields fields = { 0 };
    for (int i = 0; i < RB_LIKELY_FIELDS_MAX && step->fields[i] != NULL; i++) {
        const RbTaggable *field = rb_taggable_parse(step->fields[i], NULL);
        if (!is_known(wants, field)) {
            fields.fields[fields.n++] = field;
        }
    }
    return fields;
}

static RbLikelyFields all_fields(const RbStep *step)
{
    RbLikelyFields fields = { 0 };
    for (int i = 0; i < RB_LIKELY_FIELDS_MAX && step->fields[i] != NULL; i++) {
        fields.fields[fields.n++] = rb_taggable_parse(step->fields[i], NULL);
    }
    return fields;
}

/* Which fields a step would ask for now; n is 0 for none. */
static RbLikelyFields due_fields(const Wants *wants, const RbStep *step)
{
    const RbRail *rail = wants->rail;
    if (rail->again == step->token) {
        return all_fields(step);
    }
    if (step->pass > rail->last || g_hash_table_contains(rail->passed, step->token)) {
        return (RbLikelyFields){ 0 };
    }
    if (strcmp(step->token, "call") == 0) {
        return is_wanted_call(wants) ? all_fields(step) : (RbLikelyFields){ 0 };
    }
    if (!step->fact && !rb_snap_is_dropback(wants->view->snap)) {
        return (RbLikelyFields){ 0 };
    }
    RbLikelyFields fields = wanted_fields(wants, step);
    if (fields.n > 0 && strcmp(step->token, "usual") == 0) {
        return unknown_fields(wants, step); /* one answer for both, now */
    }
    const bool whole = strcmp(step->token, "unblocked") == 0 ||
                       strcmp(step->token, "adjusted") == 0 ||
                       strcmp(step->token, "situation") == 0;
    return fields.n > 0 && whole ? all_fields(step) : fields;
}

static const char *value_now(const RbOption *option, const RbRailView *view,
                             const RbTaggable *field, char **text)
{
    *text = rb_taggable_get(field, view->names, view->snap, view->chart);
    return rb_option_value(option, field->token);
}

/* What is tagged already comes first when a question is asked again. */
static void put_now_first(GPtrArray *options, const RbRailView *view,
                          const RbLikelyFields *fields)
{
    for (guint i = 0; i < options->len; i++) {
        RbOption *option = options->pdata[i];
        bool same = true;
        for (int k = 0; same && k < fields->n; k++) {
            g_autofree char *text = NULL;
            const char *value = value_now(option, view, fields->fields[k], &text);
            same = value == NULL ? *text == '\0' : strcmp(value, text) == 0;
        }
        if (same) {
            option->now = true;
            memmove(options->pdata + 1, options->pdata, i * sizeof options->pdata[0]);
            options->pdata[0] = option;
            return;
        }
    }
}

static bool is_typed(const RbTaggable *field)
{
    switch (field->kind) {
    case RB_VALUE_NUMBER:
    case RB_VALUE_GAIN:
    case RB_VALUE_TENTHS:
    case RB_VALUE_SECONDS:
    case RB_VALUE_CLOCK:
    case RB_VALUE_YARDLINE:
        return true;
    case RB_VALUE_WORD:
    case RB_VALUE_TERM:
    case RB_VALUE_CONCEPT:
    case RB_VALUE_PLAYER:
    case RB_VALUE_TEAM:
    case RB_VALUE_BALL:
    case RB_VALUE_OWN_TAGS:
    case RB_VALUE_TEXT:
        break;
    }
    return false;
}

/* "Read 2: pivot". Returns: (transfer full). */
static char *label_of(const RbStep *step, const RbRailView *view,
                      const RbLikelyFields *fields)
{
    const RbTaggable *field = fields->fields[0];
    if (fields->n == 1 && step->sides) {
        return g_strdup(_(field->label));
    }
    if (field->slot == 0) {
        return g_strdup(_(step->label));
    }
    RbRung slots[RB_READS_MAX];
    const RbReadContext context = rb_context_for(view->names, view->snap, view->chart);
    const int n = rb_order_slots(&context, view->chart, slots);
    for (int i = 0; i < n; i++) {
        if (slots[i].slot == field->slot) {
            return g_strdup_printf("%s: %s", _(field->label),
                                   rb_words_label(&rb_route_words, (int)slots[i].route));
        }
    }
    return g_strdup(_(field->label));
}

static RbQuestion *question_new(const RbRail *rail, const RbStep *step,
                                const RbRailView *view, const RbLikelyFields *all)
{
    RbLikelyFields fields = *all;
    const bool split = g_hash_table_contains(rail->apart, step->token);
    fields.n = step->sides && split ? 1 : fields.n;
    RbQuestion *question = g_new0(RbQuestion, 1);
    question->token = step->token;
    question->label = label_of(step, view, &fields);
    question->pass = step->pass;
    question->options = rb_rail_options(step, view, &fields);
    rb_rail_give_keys(question->options);
    rb_rail_rank(question->options, view, &fields);
    rb_rail_share_keys(question->options);
    question->typed =
        fields.n == 1 && is_typed(fields.fields[0]) ? fields.fields[0] : NULL;
    question->from_film =
        question->typed != NULL && question->typed->kind == RB_VALUE_SECONDS;
    question->follows = question->options->len == 1 && question->typed == NULL;
    question->can_split = step->sides && fields.n == 2;
    if (rail->again == step->token) {
        put_now_first(question->options, view, &fields);
    }
    return question;
}

RbQuestion *rb_rail_ask(RbRail *rail, const RbRailView *view)
{
    start_snap(rail, view->snap->id);
    Wants wants = wants_new(rail, view);
    RbQuestion *question = NULL;
    int n = 0;
    const RbStep *steps = rb_rail_steps(&n);
    for (int i = 0; i < n && question == NULL; i++) {
        if (rail->again != NULL && rail->again != steps[i].token) {
            continue;
        }
        const RbLikelyFields fields = due_fields(&wants, &steps[i]);
        if (fields.n > 0) {
            question = question_new(rail, &steps[i], view, &fields);
        }
        if (question != NULL && question->options->len == 0 && question->typed == NULL) {
            g_clear_pointer(&question, rb_question_free);
        }
    }
    rb_chart_free(wants.chart);
    return question;
}

void rb_rail_answered(RbRail *rail, const RbQuestion *question)
{
    rail->again = NULL;
    g_ptr_array_add(rail->trail, (void *)question->token);
}

void rb_rail_skip(RbRail *rail, const RbQuestion *question)
{
    rail->again = NULL;
    g_hash_table_add(rail->passed, (void *)question->token);
    g_ptr_array_add(rail->trail, (void *)question->token);
}

void rb_rail_split(RbRail *rail, const RbQuestion *question)
{
    if (question->can_split) {
        g_hash_table_add(rail->apart, (void *)question->token);
    }
}

bool rb_rail_back(RbRail *rail)
{
    if (rail->trail->len == 0) {
        return false;
    }
    rail->again = rail->trail->pdata[rail->trail->len - 1];
    g_hash_table_remove(rail->passed, rail->again);
    g_hash_table_remove(rail->apart, rail->again);
    g_ptr_array_set_size(rail->trail, (int)rail->trail->len - 1);
    return true;
}

const RbOption *rb_question_find_key(const RbQuestion *question, gunichar key)
{
    for (guint i = 0; key != 0 && i < question->options->len; i++) {
        const RbOption *option = question->options->pdata[i];
        if (option->key == key) {
            return option;
        }
    }
    return NULL;
}

GPtrArray *rb_question_narrow(const RbQuestion *question, const char *text)
{
    GPtrArray *found = g_ptr_array_new();
    g_autofree char *wanted = g_utf8_casefold(text, -1);
    for (int pass = 0; pass < 2; pass++) {
        for (guint i = 0; i < question->options->len; i++) {
            RbOption *option = question->options->pdata[i];
            g_autofree char *label = g_utf8_casefold(option->label, -1);
            const bool begins = g_str_has_prefix(label, wanted);
            const bool holds = strstr(label, wanted) != NULL;
            if (pass == 0 ? begins : holds && !begins) {
                g_ptr_array_add(found, option);
            }
        }
    }
    return found;
}

GPtrArray *rb_rail_missing(const RbRail *rail, const RbRailView *view)
{
    GPtrArray *missing = g_ptr_array_new();
    Wants wants = wants_new(rail, view);
    int n = 0;
    const RbTaggable *fields = rb_taggables(&n);
    for (int i = 0; i < n; i++) {
        if (is_required(rail, fields[i].token) && applies(&wants, &fields[i]) &&
            !is_known(&wants, &fields[i])) {
            g_ptr_array_add(missing, (void *)&fields[i]);
        }
    }
    rb_chart_free(wants.chart);
    return missing;
}
