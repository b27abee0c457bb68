/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rail-errands.h"

#include "session-private.h"

typedef struct {
    RbSnapId snap;
    GPtrArray *tags; /* owned, of char *: field, value, … */
} TagsAsk;

void *rb_tags_ask_new(RbSnapId snap, const GPtrArray *tags)
{
    TagsAsk *ask = g_new0(TagsAsk, 1);
    ask->snap = snap;
    ask->tags = g_ptr_array_new_with_free_func(g_free);
    for (guint i = 0; i < tags->len; i++) {
        g_ptr_array_add(ask->tags, g_strdup(tags->pdata[i]));
    }
    return ask;
}

void rb_tags_ask_free(void *pointer)
{
    TagsAsk *ask = pointer;
    g_ptr_array_unref(ask->tags);
    g_free(ask);
}

void *rb_errand_tags(RbStoreSide *side, void *data, RbCancel *cancel,
                     RbProgress *progress, GError **error)
{
    (void)cancel;
    (void)progress;
    const TagsAsk *ask = data;
    const int n = (int)ask->tags->len / 2;
    g_autofree RbTagChange *changes = g_new0(RbTagChange, MAX(n, 1));
    for (int i = 0; i < n; i++) {
        changes[i] =
            (RbTagChange){ ask->tags->pdata[2 * i], ask->tags->pdata[2 * i + 1] };
    }
    RbWordsAnswer *answer = g_new0(RbWordsAnswer, 1);
    if (!rb_store_side_has_library(side, error) ||
        !rb_library_tag(side->library, ask->snap, changes, n, &answer->words, error)) {
        rb_words_answer_free(answer);
        return NULL;
    }
    rb_library_has_changed(side->library); /* the window reads again anyway */
    return answer;
}

void rb_rail_seed_free(void *pointer)
{
    RbRailSeed *seed = pointer;
    rb_likely_free(seed->likely);
    g_free(seed->required);
    g_free(seed);
}

void *rb_errand_rail_seed(RbStoreSide *side, void *data, RbCancel *cancel,
                          RbProgress *progress, GError **error)
{
    (void)data;
    (void)cancel;
    (void)progress;
    if (!rb_store_side_has_library(side, error)) {
        return NULL;
    }
    g_autoptr(RbLikely) likely = rb_library_load_likely(side->library, error);
    char *required =
        likely != NULL ? rb_library_get_required(side->library, error) : NULL;
    if (required == NULL) {
        return NULL;
    }
    RbRailSeed *seed = g_new0(RbRailSeed, 1);
    seed->likely = g_steal_pointer(&likely);
    seed->required = required;
    return seed;
}

static void on_seed(void *result, const GError *error, void *owner)
{
    if (rb_session_went_well(owner, result, error)) {
        g_signal_emit_by_name(owner, "rail-seed", result);
        rb_rail_seed_free(result);
    }
}

void rb_session_ask_rail_seed(RbSession *session)
{
    rb_session_call(session, RB_CHANNEL_RAIL, rb_errand_rail_seed, NULL, NULL,
                    rb_rail_seed_free, on_seed);
}
