/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The ways to answer each question. What an answer brings with it follows from the rules of
 * the game or of the words themselves: a sack is not thrown; a ball caught is a completion. */
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
        g_autofree char *label = g_strdup_printf("%s, both sides", left->label);
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
                g_strdup_printf("%s left, %s right", left->label, small);
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
    const char *where = side == RB_SIDE_LEFT    ? ", left"
                        : side == RB_SIDE_RIGHT ? ", right"
                                                : "";
    g_autofree char *label = kind == RB_CALL_MIRRORED
                                 ? g_strdup_printf("%s, both sides", concept->name)
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
    rb_option_add(add(options, "None made"), "adjusted", "no");
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
    rb_option_add(add(options, "None"), "unblocked", "no");
    RbOption *left = rb_option_add(add(options, "From the left"), "unblocked", "yes");
    rb_option_add(left, "unblocked-side", "left");
    RbOption *right = rb_option_add(add(options, "From the right"), "unblocked", "yes");
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
                            slots[i].outlet ? ", the outlet" : "");
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
    g_autofree char *label = slot > 0 ? g_strdup_printf("%s, read %d", word, slot)
                                      : g_strdup_printf("%s, whole play", word);
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
    RbOption *nothing = add(options, contact ? "Neither" : "Nothing");
    if (contact) {
        rb_option_add(nothing, "contact", "none");
    }
    if (fault) {
        rb_option_add(nothing, "fault", "none");
    }
    if (contact) {
        RbOption *hit = add(options, "Hit during the throw");
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

static double share_of(const GPtrArray *values, const RbOption *option,
                       const RbLikelyFields *fields)
{
    double share = 0.0;
    for (guint i = 0; i < values->len; i++) {
        const RbLikelyValue *value = values->pdata[i];
        bool same = true;
        for (int k = 0; same && k < fields->n; k++) {
            const char *want = rb_option_value(option, fields->fields[k]->token);
            same = want == NULL || strcmp(want, value->values[k]) == 0;
        }
        share += same ? value->share : 0.0;
    }
    return share;
}

/* An even order stays that of the list. */
static int compare_options(const void *a, const void *b)
{
    const RbOption *x = *(RbOption *const *)a;
    const RbOption *y = *(RbOption *const *)b;
    return (x->share < y->share) - (x->share > y->share);
}

static void sort_options(GPtrArray *options)
{
    /* Insertion: stable, which qsort() is not, and the lists are short. */
    for (guint i = 1; i < options->len; i++) {
        void *moving = options->pdata[i];
        guint at = i;
        while (at > 0 && compare_options(&options->pdata[at - 1], &moving) > 0) {
            options->pdata[at] = options->pdata[at - 1];
            at--;
        }
        options->pdata[at] = moving;
    }
}

/* Fields an option leaves open (the side of a mirrored call, an adjustment not made) are not
 * counted against it. */
static RbLikelyFields fields_counted(const RbLikelyFields *fields)
{
    static const char *const open[] = { "concept-side", "adjustment", "unblocked-side",
                                        "fault-read" };
    RbLikelyFields counted = { 0 };
    for (int i = 0; i < fields->n; i++) {
        bool left_out = false;
        for (size_t k = 0; k < G_N_ELEMENTS(open); k++) {
            left_out = left_out || strcmp(fields->fields[i]->token, open[k]) == 0;
        }
        if (!left_out) {
            counted.fields[counted.n++] = fields->fields[i];
        }
    }
    return counted;
}

/* Of a single call the strong side is the usual one: a tie that counting cannot break well. */
static double side_share(const RbOption *option, const RbRailView *view)
{
    const char *side = rb_option_value(option, "concept-side");
    if (side == NULL) {
        return 1.0;
    }
    if (view->snap->strong != RB_STRONG_LEFT && view->snap->strong != RB_STRONG_RIGHT) {
        return 0.5;
    }
    const bool strong =
        strcmp(side, rb_words_token(&rb_strong_words, (int)view->snap->strong)) == 0;
    return strong ? 0.9 : 0.1;
}

void rb_rail_rank(GPtrArray *options, const RbRailView *view,
                  const RbLikelyFields *fields)
{
    if (view->likely == NULL || options->len < 2) {
        return;
    }
    const RbLikelyFields counted = fields_counted(fields);
    if (counted.n == 0) {
        return;
    }
    g_autoptr(GPtrArray) values = rb_likely_rank(view->likely, view->names, view->snap,
                                                 view->chart, view->last_chart, &counted);
    for (guint i = 0; i < options->len; i++) {
        RbOption *option = options->pdata[i];
        option->share = share_of(values, option, &counted) * side_share(option, view);
    }
    sort_options(options);
}

/* Keys that run the film stay with it: J, K and L, and the two that narrow and split. */
static bool is_key(gunichar key)
{
    return g_unichar_isalnum(key) && key < 128 && strchr("jkl", (int)key) == NULL;
}

static bool is_taken(const GPtrArray *options, gunichar key)
{
    for (guint i = 0; i < options->len; i++) {
        if (((const RbOption *)options->pdata[i])->key == key) {
            return true;
        }
    }
    return false;
}

/* A digit tells answers such as "Cover 3" apart better than their first letter. */
static gunichar key_in(const GPtrArray *options, const char *label, bool digits)
{
    for (const char *at = label; *at != '\0'; at = g_utf8_next_char(at)) {
        const gunichar c = g_unichar_tolower(g_utf8_get_char(at));
        const bool fits = digits ? g_unichar_isdigit(c) : g_unichar_isalpha(c);
        if (fits && is_key(c) && !is_taken(options, c)) {
            return c;
        }
    }
    return 0;
}

/* An earlier option of the same concept. */
static const RbOption *twin_of(const GPtrArray *options, guint index)
{
    const char *concept = rb_option_value(options->pdata[index], "concept");
    for (guint i = 0; concept != NULL && i < index; i++) {
        const char *other = rb_option_value(options->pdata[i], "concept");
        if (other != NULL && strcmp(other, concept) == 0) {
            return options->pdata[i];
        }
    }
    return NULL;
}

/* Sides that differ are named, not keyed. */
static bool is_mixed(const RbOption *option)
{
    const GPtrArray *tags = option->tags;
    return tags->len == 4 && g_str_has_prefix(tags->pdata[0], "left-") &&
           g_str_has_prefix(tags->pdata[2], "right-") &&
           strcmp(tags->pdata[1], tags->pdata[3]) != 0;
}

void rb_rail_share_keys(GPtrArray *options)
{
    g_autoptr(GHashTable) keys = g_hash_table_new(g_str_hash, g_str_equal);
    for (guint i = 0; i < options->len; i++) {
        const RbOption *option = options->pdata[i];
        const char *concept = rb_option_value(option, "concept");
        if (concept != NULL && option->key != 0) {
            g_hash_table_insert(keys, (char *)concept, GUINT_TO_POINTER(option->key));
        }
    }
    for (guint i = 0; i < options->len; i++) {
        RbOption *option = options->pdata[i];
        const char *concept = rb_option_value(option, "concept");
        if (concept == NULL) {
            continue;
        }
        const RbOption *twin = twin_of(options, i);
        const gunichar key = GPOINTER_TO_UINT(g_hash_table_lookup(keys, concept));
        const gunichar capital = g_unichar_toupper(key);
        option->key = twin == NULL                                    ? key
                      : capital != key && !is_taken(options, capital) ? capital
                                                                      : 0;
    }
}

void rb_rail_give_keys(GPtrArray *options)
{
    for (guint i = 0; i < options->len; i++) {
        RbOption *option = options->pdata[i];
        if (is_mixed(option) || twin_of(options, i) != NULL) {
            continue;
        }
        option->key = key_in(options, option->label, true);
        option->key =
            option->key != 0 ? option->key : key_in(options, option->label, false);
        for (gunichar c = 'a'; c <= 'z' && option->key == 0; c++) {
            option->key = is_key(c) && !is_taken(options, c) ? c : 0;
        }
    }
}
