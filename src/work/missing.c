/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/work/missing.h"

#include <glib/gi18n-lib.h>

#include "rb/store/films.h"
#include "rb/store/snaps.h"
#include "rb/work/rail.h"
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

static GHashTable *charts_by_snap(const GPtrArray *charts)
{
    GHashTable *by_snap = g_hash_table_new(g_int64_hash, g_int64_equal);
    for (guint i = 0; i < charts->len; i++) {
        RbChart *chart = charts->pdata[i];
        g_hash_table_insert(by_snap, &chart->snap.value, chart);
    }
    return by_snap;
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
    check->repairs = g_ptr_array_new();
    check->sentence = g_strdup_printf(_("Snap %d: the verdict waits for this tag: %s."),
                                      snap->number, tag);
    g_ptr_array_add(found, check);
}

/* "Snap 3: not tagged yet: Coverage, Ball and 4 more." Returns: (transfer full). */
static char *missing_text(const RbSnap *snap, const GPtrArray *missing)
{
    enum { NAMED = 4 };
    g_autoptr(GString) text = g_string_new(NULL);
    g_string_append_printf(text, _("Snap %d: not tagged yet: "), snap->number);
    for (guint i = 0; i < MIN(missing->len, NAMED); i++) {
        const RbTaggable *field = missing->pdata[i];
        g_string_append_printf(text, "%s%s", i > 0 ? ", " : "", _(field->label));
    }
    if (missing->len > NAMED) {
        g_string_append_printf(text, _(" and %u more"), missing->len - NAMED);
    }
    g_string_append_c(text, '.');
    return g_string_free(g_steal_pointer(&text), FALSE);
}

/* Adds the dropback when it lacks tags that the staff requires. chart: (nullable): nobody charted
 * it. Returns whether it did. */
static bool add_missing(GPtrArray *found, const RbRail *rail, const RbNames *names,
                        const RbSnap *snap, const RbChart *chart, const GPtrArray *clips)
{
    if (!rb_snap_is_dropback(snap)) {
        return false;
    }
    g_autoptr(RbChart) empty = rb_chart_new(snap->id, (RbPersonId){ 0 });
    const RbRailView view = { .names = names,
                              .snap = snap,
                              .chart = chart != NULL ? chart : empty,
                              .clips = clips };
    g_autoptr(GPtrArray) missing = rb_rail_missing(rail, &view);
    if (missing->len == 0) {
        return false;
    }
    RbCheck *check = g_new0(RbCheck, 1);
    check->snap = snap->id;
    check->number = snap->number;
    check->field = ((const RbTaggable *)missing->pdata[0])->token;
    check->sentence = missing_text(snap, missing);
    check->repairs = g_ptr_array_new();
    g_ptr_array_add(found, check);
    return true;
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
    g_autofree char *required = rb_library_get_required(library, error);
    if (required == NULL) {
        return NULL;
    }
    g_autoptr(RbRail) rail = rb_rail_new(required);
    g_autoptr(GHashTable) clips_of = clips_by_snap(clips);
    g_autoptr(GHashTable) chart_of = charts_by_snap(charts);
    for (guint i = 0; i < snaps->len; i++) {
        const RbSnap *snap = snaps->pdata[i];
        const RbChart *chart = g_hash_table_lookup(chart_of, &snap->id.value);
        const GPtrArray *its = g_hash_table_lookup(clips_of, &snap->id.value);
        if (!add_missing(found, rail, names, snap, chart, its) && chart != NULL) {
            add_waiting(found, names, snap, chart, its);
        }
    }
    g_ptr_array_sort(found, compare);
    return g_steal_pointer(&found);
}
