/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/work/missing.h"

#include "rb/store/films.h"
#include "rb/store/snaps.h"
#include "rb/work/tagging.h"

#include "judging.h"
#include "library-private.h"

/* Marks tell when the ball left, so the judgment needs the clips of the snap. */
static GHashTable *clips_by_snap(const GPtrArray *clips)
{
    GHashTable *by_snap = g_hash_table_new_full(g_int64_hash, g_int64_equal, NULL,
                                                (GDestroyNotify)g_ptr_array_unref);
    for (guint i = 0; i < clips->len; i++) {
        RbClip *clip = clips->pdata[i];
        GPtrArray *list = g_hash_table_lookup(by_snap, &clip->snap.value);
        if (list == NULL) {
            list = g_ptr_array_new();
            g_hash_table_insert(by_snap, &clip->snap.value, list);
        }
        g_ptr_array_add(list, clip);
    }
    return by_snap;
}

static const RbSnap *find_snap(const GPtrArray *snaps, RbSnapId id)
{
    for (guint i = 0; i < snaps->len; i++) {
        const RbSnap *snap = snaps->pdata[i];
        if (snap->id.value == id.value) {
            return snap;
        }
    }
    return NULL;
}

/* Adds the snap when its verdict waits for a tag. */
static void add_waiting(GPtrArray *found, const RbNames *names, const RbSnap *snap,
                        const RbChart *chart, const GPtrArray *clips)
{
    if (!rb_play_is_pass(snap->play)) {
        return;
    }
    const RbReadSettings settings = rb_read_settings_default();
    const RbGame *game = rb_names_find_game(names, snap->game);
    g_autoptr(RbChart) seen = rb_chart_for_judging(chart, game, clips);
    RbJudged judged;
    rb_judge_snap(names, snap, seen, rb_success_profile_default(), &settings, &judged);
    if (judged.judgment.settle.kind == RB_TAG_NONE) {
        return;
    }
    const RbTaggable *field = rb_taggable_for(&judged.judgment.settle);
    g_autofree char *tag = rb_tag_text(&judged.judgment.settle);
    RbCheck *check = g_new0(RbCheck, 1);
    check->snap = snap->id;
    check->number = snap->number;
    check->field = field != NULL ? field->token : "chart";
    check->sentence = g_strdup_printf("Snap %d: the verdict waits for this tag: %s.",
                                      snap->number, tag);
    g_ptr_array_add(found, check);
}

static int compare(const void *a, const void *b)
{
    const RbCheck *one = *(const RbCheck *const *)a;
    const RbCheck *other = *(const RbCheck *const *)b;
    return (one->number > other->number) - (one->number < other->number);
}

GPtrArray *rb_library_find_open_ends(RbLibrary *library, RbGameId game, GError **error)
{
    RbStore *store = rb_library_store(library);
    g_autoptr(GPtrArray) found = rb_library_check_game(library, game, error);
    g_autoptr(RbNames) names =
        found != NULL ? rb_library_load_names(library, error) : NULL;
    g_autoptr(GPtrArray) snaps =
        names != NULL ? rb_store_list_snaps(store, game, error) : NULL;
    g_autoptr(GPtrArray) charts =
        snaps != NULL ? rb_store_list_counting_charts(store, game, error) : NULL;
    g_autoptr(GPtrArray) clips =
        charts != NULL ? rb_store_list_game_clips(store, game, error) : NULL;
    if (clips == NULL) {
        return NULL;
    }
    g_autoptr(GHashTable) by_snap = clips_by_snap(clips);
    for (guint i = 0; i < charts->len; i++) {
        const RbChart *chart = charts->pdata[i];
        const RbSnap *snap = find_snap(snaps, chart->snap);
        if (snap != NULL) {
            add_waiting(found, names, snap, chart,
                        g_hash_table_lookup(by_snap, &chart->snap.value));
        }
    }
    g_ptr_array_sort(found, compare);
    return g_steal_pointer(&found);
}
