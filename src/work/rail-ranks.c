/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "rail-private.h"

/* Which option of a question comes first, and which key is whose. */

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
