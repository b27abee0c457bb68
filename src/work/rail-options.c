/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The ways to answer each question. What an answer brings with it follows from the rules of
 * the game or of the words themselves: a sack is not thrown; a ball caught is a completion. */
#include "config.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "rb/model/successor.h"
#include "rb/read/order.h"

#include "judging.h"
#include "rail-private.h"

RbOption *rb_option_new(const char *label)
{
    RbOption *option = g_new0(RbOption, 1);
    option->label = g_strdup(label);
    option->tags = g_ptr_array_new_with_free_func(g_free);
    return option;
}

const char *rb_option_value(const RbOption *option, const char *field)
{
    for (guint i = 0; i + 1 < option->tags->len; i += 2) {
        if (strcmp(option->tags->pdata[i], field) == 0) {
            return option->tags->pdata[i + 1];
        }
    }
    return NULL;
}

RbOption *rb_option_add(RbOption *option, const char *field, const char *value)
{
    if (rb_option_value(option, field) == NULL) {
        g_ptr_array_add(option->tags, g_strdup(field));
        g_ptr_array_add(option->tags, g_strdup(value));
    }
    return option;
}

static void free_option(void *data)
{
    RbOption *option = data;
    g_free(option->label);
    g_ptr_array_unref(option->tags);
    g_free(option);
}

static RbOption *add(GPtrArray *options, const char *label)
{
    RbOption *option = rb_option_new(label);
    g_ptr_array_add(options, option);
    return option;
}

static const RbTaggable *field_of(const char *token)
{
    return rb_taggable_parse(token, NULL);
}

/* Adds a consequence where nothing is tagged yet. */
static void follow(RbOption *option, const RbRailView *view, const char *field,
                   const char *value)
{
    g_autofree char *now =
        rb_taggable_get(field_of(field), view->names, view->snap, view->chart);
    if (*now == '\0') {
        rb_option_add(option, field, value);
    }
}

/* Plain lists: one option a value. */
static void add_answers(GPtrArray *options, const RbTaggable *field,
                        const RbRailView *view)
{
    g_autoptr(GPtrArray) answers = rb_taggable_answers(field, view->names, view->snap);
    for (guint i = 0; i < answers->len; i++) {
        const RbAnswer *answer = answers->pdata[i];
        rb_option_add(add(options, answer->label), field->token, answer->token);
    }
}

static char *lower(const char *text)
{
    char *copy = g_strdup(text);
    if (g_ascii_isupper(copy[0]) && !g_ascii_isdigit(copy[1])) {
        copy[0] = g_ascii_tolower(copy[0]);
    }
    return copy;
}

/* Two sides: the same on both by one key, else each combination by name. */
static void add_sides(GPtrArray *options, const RbLikelyFields *fields,
                      const RbRailView *view)
{
    g_autoptr(GPtrArray) answers =
        rb_taggable_answers(fields->fields[0], view->names, view->snap);
    for (guint i = 0; i < answers->len; i++) {
        const RbAnswer *left = answers->pdata[i];
        g_autofree char *label = g_strdup_printf(_("%s, both sides"), left->label);
        RbOption *option = add(options, label);
        for (int k = 0; k < fields->n; k++) {
            rb_option_add(option, fields->fields[k]->token, left->token);
        }
    }
    for (guint i = 0; i < answers->len; i++) {
        for (guint k = 0; k < answers->len; k++) {
            const RbAnswer *left = answers->pdata[i];
            const RbAnswer *right = answers->pdata[k];
            if (i == k) {
                continue;
            }
            g_autofree char *small = lower(right->label);
            g_autofree char *label =
                g_strdup_printf(_("%s left, %s right"), left->label, small);
            RbOption *option = add(options, label);
            rb_option_add(option, fields->fields[0]->token, left->token);
            rb_option_add(option, fields->fields[1]->token, right->token);
        }
    }
}

/* The situation that the last snap leads to. */
static void add_successor(GPtrArray *options, const RbRailView *view)
{
    if (view->last_snap == NULL) {
        return;
    }
    const RbGame *game = rb_names_find_game(view->names, view->snap->game);
    const RbTeamId defense = game != NULL ? game->them : (RbTeamId){ 0 };
    const RbNext next = rb_next_situation(view->last_snap, defense,
                                          game != NULL ? game->rules : RB_RULES_COLLEGE);
    if (next.kind != RB_NEXT_SAME_SERIES || !next.spot_known) {
        return;
    }
    g_autofree char *label = rb_situation_text(&next.situation);
    g_autofree char *down = g_strdup_printf("%d", next.situation.down);
    g_autofree char *distance = g_strdup_printf("%d", next.situation.distance);
    g_autoptr(RbSnap) moved = rb_snap_copy(view->snap);
    moved->situation = next.situation;
    g_autofree char *spot =
        rb_taggable_get(field_of("spot"), view->names, moved, view->chart);
    RbOption *option = add(options, label);
    rb_option_add(option, "down", down);
    rb_option_add(option, "distance", distance);
    rb_option_add(option, "spot", spot);
}

/* Concept, kind of call and side in one answer. */
static RbOption *add_call(GPtrArray *options, const RbConcept *concept, RbCallKind kind,
                          RbSide side)
{
    const char *where = side == RB_SIDE_LEFT    ? _(", left")
                        : side == RB_SIDE_RIGHT ? _(", right")
                                                : "";
    g_autofree char *label = kind == RB_CALL_MIRRORED
                                 ? g_strdup_printf(_("%s, both sides"), concept->name)
                                 : g_strconcat(concept->name, where, NULL);
    RbOption *option = add(options, label);
    rb_option_add(option, "concept", concept->token);
    rb_option_add(option, "call", rb_words_token(&rb_call_words, (int)kind));
    if (side != RB_SIDE_UNKNOWN) {
        rb_option_add(option, "concept-side", rb_words_token(&rb_side_words, (int)side));
        rb_option_add(option, "side-worked", rb_words_token(&rb_side_words, (int)side));
    }
    return option;
}

static void add_calls(GPtrArray *options, const RbRailView *view)
{
    const GPtrArray *concepts = rb_names_concepts(view->names);
    for (guint i = 0; i < concepts->len; i++) {
        const RbConcept *concept = concepts->pdata[i];
        if (!concept->hidden) {
            add_call(options, concept, RB_CALL_MIRRORED, RB_SIDE_UNKNOWN);
            add_call(options, concept, RB_CALL_SINGLE, RB_SIDE_LEFT);
            add_call(options, concept, RB_CALL_SINGLE, RB_SIDE_RIGHT);
        }
    }
}

static void add_adjusted(GPtrArray *options, const RbRailView *view)
{
    rb_option_add(add(options, _("None made")), "adjusted", "no");
    g_autoptr(GPtrArray) answers =
        rb_taggable_answers(field_of("adjustment"), view->names, view->snap);
    for (guint i = 0; i < answers->len; i++) {
        const RbAnswer *answer = answers->pdata[i];
        RbOption *option = add(options, answer->label);
        rb_option_add(option, "adjusted", "yes");
        rb_option_add(option, "adjustment", answer->token);
    }
}

static void add_unblocked(GPtrArray *options)
{
    rb_option_add(add(options, C_("of rushers", "None")), "unblocked", "no");
    RbOption *left = rb_option_add(add(options, _("From the left")), "unblocked", "yes");
    rb_option_add(left, "unblocked-side", "left");
    RbOption *right =
        rb_option_add(add(options, _("From the right")), "unblocked", "yes");
    rb_option_add(right, "unblocked-side", "right");
}

/* What a result leaves possible. */
static bool fits_result(RbBall ball, RbResult result)
{
    switch (result) {
    case RB_RESULT_SACK:
        return ball == RB_BALL_SACK;
    case RB_RESULT_SCRAMBLE:
        return ball == RB_BALL_SCRAMBLE;
    case RB_RESULT_THROWN_AWAY:
        return ball == RB_BALL_THROWN_AWAY;
    case RB_RESULT_COMPLETE:
    case RB_RESULT_INCOMPLETE:
    case RB_RESULT_INTERCEPTED:
        return ball == RB_BALL_READ || ball == RB_BALL_HOT || ball == RB_BALL_OFF_SCRIPT;
    case RB_RESULT_UNKNOWN:
    case RB_RESULT_RUN:
    case RB_RESULT_KICK_GOOD:
    case RB_RESULT_KICK_MISSED:
    case RB_RESULT_KICKED:
    case RB_RESULT_NO_PLAY:
        break;
    }
    return true;
}

static void add_ball(GPtrArray *options, const RbRailView *view, RbBall ball,
                     const char *label, const char *token)
{
    if (!fits_result(ball, view->snap->result)) {
        return;
    }
    RbOption *option = rb_option_add(add(options, label), "ball", token);
    if (ball == RB_BALL_SACK || ball == RB_BALL_SCRAMBLE || ball == RB_BALL_THROWN_AWAY) {
        follow(option, view, "throw", "none");
        follow(option, view, "catch", "none");
        follow(option, view, "result", token);
    }
    if (ball == RB_BALL_SACK) {
        follow(option, view, "contact", "sacked");
    }
}

static void add_balls(GPtrArray *options, const RbRailView *view)
{
    RbRung slots[RB_READS_MAX];
    const RbReadContext context = rb_context_for(view->names, view->snap, view->chart);
    const int n = rb_order_slots(&context, view->chart, slots);
    for (int i = 0; i < n; i++) {
        if (slots[i].read->clear_out) {
            continue;
        }
        g_autofree char *token = g_strdup_printf("read-%d", slots[i].slot);
        g_autofree char *label =
            g_strdup_printf("%d  %s%s", slots[i].slot,
                            rb_words_label(&rb_route_words, (int)slots[i].route),
                            slots[i].outlet ? _(", the outlet") : "");
        add_ball(options, view, RB_BALL_READ, label, token);
    }
    for (int ball = RB_BALL_HOT; ball < rb_ball_words.n; ball++) {
        add_ball(options, view, (RbBall)ball, rb_words_label(&rb_ball_words, ball),
                 rb_words_token(&rb_ball_words, ball));
    }
}

static void add_throws(GPtrArray *options, const RbRailView *view)
{
    const RbResult result = view->snap->result;
    for (int throw = RB_THROW_ON_TARGET; throw < rb_throw_words.n; throw ++) {
        const bool catchable = throw == RB_THROW_ON_TARGET || throw == RB_THROW_CATCHABLE;
        if (result == RB_RESULT_COMPLETE && !catchable) {
            continue;
        }
        RbOption *option = add(options, rb_words_label(&rb_throw_words, throw));
        rb_option_add(option, "throw", rb_words_token(&rb_throw_words, throw));
        if (result == RB_RESULT_COMPLETE) {
            follow(option, view, "catch", "caught");
        } else if (result == RB_RESULT_INTERCEPTED) {
            follow(option, view, "catch", "intercepted");
        } else if (!catchable && result == RB_RESULT_INCOMPLETE) {
            follow(option, view, "catch", "none");
        }
    }
}

/* Thrown balls only: what was not thrown got its answer with the ball. */
static void add_catches(GPtrArray *options, const RbRailView *view)
{
    const RbResult result = view->snap->result;
    for (int caught = RB_CATCH_NONE; caught < rb_catch_words.n; caught++) {
        const RbResult leads = caught == RB_CATCH_CAUGHT        ? RB_RESULT_COMPLETE
                               : caught == RB_CATCH_INTERCEPTED ? RB_RESULT_INTERCEPTED
                                                                : RB_RESULT_INCOMPLETE;
        if (result != RB_RESULT_UNKNOWN && result != leads &&
            result != RB_RESULT_NO_PLAY) {
            continue;
        }
        RbOption *option = add(options, rb_words_label(&rb_catch_words, caught));
        rb_option_add(option, "catch", rb_words_token(&rb_catch_words, caught));
        follow(option, view, "result", rb_words_token(&rb_result_words, (int)leads));
        if (leads == RB_RESULT_INCOMPLETE) {
            follow(option, view, "gain", "0");
        }
    }
}

static bool asks(const RbLikelyFields *fields, const char *token)
{
    for (int i = 0; i < fields->n; i++) {
        if (strcmp(fields->fields[i]->token, token) == 0) {
            return true;
        }
    }
    return false;
}

static void add_fault(GPtrArray *options, const RbLikelyFields *fields, int fault,
                      int slot)
{
    const char *word = rb_words_label(&rb_fault_words, fault);
    g_autofree char *label = slot > 0 ? g_strdup_printf(_("%s, read %d"), word, slot)
                                      : g_strdup_printf(_("%s, whole play"), word);
    RbOption *option = add(options, label);
    rb_option_add(option, "fault", rb_words_token(&rb_fault_words, fault));
    if (slot > 0) {
        g_autofree char *number = g_strdup_printf("%d", slot);
        rb_option_add(option, "fault-read", number);
    }
    if (asks(fields, "contact")) {
        rb_option_add(option, "contact", "none");
    }
}

/* Most snaps have nothing of the kind: one answer says so. */
static void add_usual(GPtrArray *options, const RbRailView *view,
                      const RbLikelyFields *fields)
{
    const bool contact = asks(fields, "contact");
    const bool fault = asks(fields, "fault");
    RbOption *nothing = add(options, contact ? _("Neither") : _("Nothing"));
    if (contact) {
        rb_option_add(nothing, "contact", "none");
    }
    if (fault) {
        rb_option_add(nothing, "fault", "none");
    }
    if (contact) {
        RbOption *hit = add(options, _("Hit during the throw"));
        rb_option_add(hit, "contact", "hit");
        if (fault) {
            rb_option_add(hit, "fault", "none");
        }
    }
    for (int kind = RB_FAULT_NONE + 1; fault && kind < rb_fault_words.n; kind++) {
        if (view->chart->ball_read > 0) {
            add_fault(options, fields, kind, view->chart->ball_read);
        }
        add_fault(options, fields, kind, 0);
    }
    for (int slot = 1; fault && slot <= RB_READS_MAX; slot++) {
        for (int kind = RB_FAULT_NONE + 1; kind < rb_fault_words.n; kind++) {
            if (slot != view->chart->ball_read) {
                add_fault(options, fields, kind, slot);
            }
        }
    }
}

static int compare_numbers(const void *a, const void *b)
{
    const RbOption *x = *(RbOption *const *)a;
    const RbOption *y = *(RbOption *const *)b;
    const double left = g_ascii_strtod(x->tags->pdata[1], NULL);
    const double right = g_ascii_strtod(y->tags->pdata[1], NULL);
    return (left > right) - (left < right);
}

/* Numbers met before, by size, so that their keys keep their places. */
static void add_numbers(GPtrArray *options, const RbRailView *view,
                        const RbLikelyFields *fields)
{
    if (view->likely == NULL) {
        return;
    }
    g_autoptr(GPtrArray) values = rb_likely_rank(view->likely, view->names, view->snap,
                                                 view->chart, view->last_chart, fields);
    const RbTaggable *field = fields->fields[0];
    for (guint i = 0; i < values->len; i++) {
        const RbLikelyValue *value = values->pdata[i];
        g_autofree char *label = field->kind == RB_VALUE_TENTHS
                                     ? g_strconcat(value->values[0], " yd", NULL)
                                     : g_strdup(value->values[0]);
        rb_option_add(add(options, label), field->token, value->values[0]);
    }
    g_ptr_array_sort(options, compare_numbers);
}

GPtrArray *rb_rail_options(const RbStep *step, const RbRailView *view,
                           const RbLikelyFields *fields)
{
    GPtrArray *options = g_ptr_array_new_with_free_func(free_option);
    const RbTaggable *first = fields->fields[0];
    if (strcmp(step->token, "situation") == 0) {
        add_successor(options, view);
    } else if (strcmp(step->token, "call") == 0) {
        add_calls(options, view);
    } else if (strcmp(step->token, "adjusted") == 0) {
        add_adjusted(options, view);
    } else if (strcmp(step->token, "unblocked") == 0) {
        add_unblocked(options);
    } else if (strcmp(step->token, "ball") == 0) {
        add_balls(options, view);
    } else if (strcmp(step->token, "throw") == 0) {
        add_throws(options, view);
    } else if (strcmp(step->token, "catch") == 0) {
        add_catches(options, view);
    } else if (strcmp(step->token, "usual") == 0) {
        add_usual(options, view, fields);
    } else if (step->sides && fields->n == 2) {
        add_sides(options, fields, view);
    } else if (first->kind == RB_VALUE_TENTHS || strcmp(step->token, "rushers") == 0) {
        add_numbers(options, view, fields);
    } else {
        add_answers(options, first, view);
    }
    return options;
}
