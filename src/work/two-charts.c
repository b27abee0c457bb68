/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/work/two-charts.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "rb/base/error.h"
#include "rb/base/told.h"
#include "rb/stats/agreement.h"
#include "rb/store/snaps.h"
#include "rb/work/error.h"

#include "library-private.h"
#include "taggable-private.h"

/* A snap of which both people have a chart. */
typedef struct {
    RbSnap *snap; /* borrowed */
    RbChart *first;
    RbChart *second;
} Pair;

typedef struct {
    RbNames *names;    /* owned reference */
    GPtrArray *snaps;  /* owned */
    GPtrArray *first;  /* owned, of RbChart */
    GPtrArray *second; /* owned, of RbChart */
    GArray *pairs;     /* owned, of Pair */
} Both;

static void both_clear(Both *both)
{
    rb_names_unref(both->names);
    g_clear_pointer(&both->snaps, g_ptr_array_unref);
    g_clear_pointer(&both->first, g_ptr_array_unref);
    g_clear_pointer(&both->second, g_ptr_array_unref);
    g_clear_pointer(&both->pairs, g_array_unref);
}

G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC(Both, both_clear)

static GHashTable *by_snap(const GPtrArray *charts)
{
    GHashTable *index = g_hash_table_new(g_int64_hash, g_int64_equal);
    for (guint i = 0; i < charts->len; i++) {
        RbChart *chart = charts->pdata[i];
        g_hash_table_insert(index, &chart->snap.value, chart);
    }
    return index;
}

static bool both_load(Both *both, RbLibrary *library, RbGameId game, RbPersonId first,
                      RbPersonId second, GError **error)
{
    RbStore *store = rb_library_store(library);
    both->names = rb_library_load_names(library, error);
    both->snaps = both->names != NULL ? rb_store_list_snaps(store, game, error) : NULL;
    both->first =
        both->snaps != NULL ? rb_store_list_charts(store, game, first, error) : NULL;
    both->second =
        both->first != NULL ? rb_store_list_charts(store, game, second, error) : NULL;
    if (both->second == NULL) {
        return false;
    }
    both->pairs = g_array_new(FALSE, FALSE, sizeof(Pair));
    g_autoptr(GHashTable) of_first = by_snap(both->first);
    g_autoptr(GHashTable) of_second = by_snap(both->second);
    for (guint i = 0; i < both->snaps->len; i++) {
        RbSnap *snap = both->snaps->pdata[i];
        const Pair pair = { snap, g_hash_table_lookup(of_first, &snap->id.value),
                            g_hash_table_lookup(of_second, &snap->id.value) };
        if (pair.first != NULL && pair.second != NULL) {
            g_array_append_val(both->pairs, pair);
        }
    }
    return true;
}

void rb_difference_free(RbDifference *difference)
{
    if (difference != NULL) {
        g_free(difference->first);
        g_free(difference->second);
        g_free(difference->first_shown);
        g_free(difference->second_shown);
        g_free(difference);
    }
}

/* Notes are each person's own words. */
static bool is_compared(const RbTaggable *field)
{
    return !field->is_fact && field->kind != RB_VALUE_TEXT;
}

static void add_difference(GPtrArray *found, const Both *both, const Pair *pair,
                           const RbTaggable *field)
{
    g_autofree char *first = rb_taggable_get(field, both->names, pair->snap, pair->first);
    g_autofree char *second =
        rb_taggable_get(field, both->names, pair->snap, pair->second);
    if (*first == '\0' || *second == '\0' || strcmp(first, second) == 0) {
        return;
    }
    RbDifference *difference = g_new0(RbDifference, 1);
    difference->snap = pair->snap->id;
    difference->number = pair->snap->number;
    difference->field = field;
    difference->first = g_steal_pointer(&first);
    difference->second = g_steal_pointer(&second);
    difference->first_shown =
        rb_taggable_show(field, both->names, pair->snap, pair->first);
    difference->second_shown =
        rb_taggable_show(field, both->names, pair->snap, pair->second);
    g_ptr_array_add(found, difference);
}

GPtrArray *rb_library_list_differences(RbLibrary *library, RbGameId game,
                                       RbPersonId first, RbPersonId second,
                                       GError **error)
{
    g_auto(Both) both = { 0 };
    if (!both_load(&both, library, game, first, second, error)) {
        return NULL;
    }
    int n = 0;
    const RbTaggable *fields = rb_taggables(&n);
    GPtrArray *found = g_ptr_array_new_with_free_func((GDestroyNotify)rb_difference_free);
    for (guint i = 0; i < both.pairs->len; i++) {
        for (int j = 0; j < n; j++) {
            if (is_compared(&fields[j])) {
                add_difference(found, &both, &g_array_index(both.pairs, Pair, i),
                               &fields[j]);
            }
        }
    }
    return found;
}

/* Each person's chart with the value set; a snap is asked for only because setting takes one. */
static bool set_both(RbLibrary *library, const RbNames *names, RbSnap *snap,
                     RbChart *const charts[2], const RbTaggable *field, const char *value,
                     GError **error)
{
    for (int i = 0; i < 2; i++) {
        if (!rb_taggable_set(field, names, snap, charts[i], value, error) ||
            !rb_store_save_chart(rb_library_store(library), charts[i], error)) {
            return false;
        }
    }
    return true;
}

static const char *person_name(const RbNames *names, RbPersonId id)
{
    const RbPerson *person = rb_names_find_person(names, id);
    return person != NULL ? person->name : "?";
}

/* "coverage of snap 34 settled on Cover 3 (Ana: Cover 3, Ben: Quarters; Week 3)". */
static char *settled_text(const RbNames *names, const RbSnap *snap,
                          const RbChart *const charts[2], const RbTaggable *field,
                          const char *value, GError **error)
{
    g_autoptr(RbSnap) probe_snap = rb_snap_copy(snap);
    g_autoptr(RbChart) probe = rb_chart_copy(charts[0]);
    if (!rb_taggable_set(field, names, probe_snap, probe, value, error)) {
        return NULL;
    }
    g_autofree char *label = rb_taggable_tell_label(field);
    g_autofree char *settled = rb_taggable_tell(field, names, snap, probe);
    g_autofree char *first = rb_taggable_tell(field, names, snap, charts[0]);
    g_autofree char *second = rb_taggable_tell(field, names, snap, charts[1]);
    return rb_told("%s of snap %d settled on %s (%s: %s, %s: %s; %s)", label,
                   snap->number, settled, person_name(names, charts[0]->author), first,
                   person_name(names, charts[1]->author), second,
                   rb_names_game(names, snap->game));
}

bool rb_library_settle_difference(RbLibrary *library, RbSnapId snap_id, RbPersonId first,
                                  RbPersonId second, const RbTagChange *value,
                                  char **words, GError **error)
{
    RbStore *store = rb_library_store(library);
    const RbTaggable *field = rb_taggable_parse(value->field, error);
    if (field == NULL) {
        return false;
    }
    if (!is_compared(field)) {
        return rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE,
                            _("\"%s\" is not a tag on which two charts can differ."),
                            field->label);
    }
    g_autoptr(RbNames) names = rb_library_load_names(library, error);
    g_autoptr(RbSnap) snap =
        names != NULL ? rb_library_load_snap(library, snap_id, error) : NULL;
    g_autoptr(RbChart) one =
        snap != NULL ? rb_store_find_chart(store, snap_id, first, error) : NULL;
    g_autoptr(RbChart) other =
        one != NULL ? rb_store_find_chart(store, snap_id, second, error) : NULL;
    if (other == NULL) {
        return false;
    }
    RbChart *const charts[2] = { one, other };
    g_autofree char *text = settled_text(names, snap, (const RbChart *const *)charts,
                                         field, value->value, error);
    if (text == NULL || !rb_library_begin(library, text, error)) {
        return false;
    }
    if (!set_both(library, names, snap, charts, field, value->value, error)) {
        rb_library_rollback(library);
        return false;
    }
    if (!rb_library_commit(library, false, error)) {
        return false;
    }
    if (words != NULL) {
        *words = rb_told_show(text);
    }
    return true;
}

/* The place of a value among those seen so far; a new one is put at the end. */
static int place_of(GPtrArray *values, char *value)
{
    guint at = 0;
    if (g_ptr_array_find_with_equal_func(values, value, g_str_equal, &at)) {
        g_free(value);
        return (int)at;
    }
    g_ptr_array_add(values, value);
    return (int)values->len - 1;
}

static void measure(RbTagAgreement *agreement, const Both *both)
{
    const RbTaggable *field = agreement->field;
    g_autoptr(GPtrArray) values = g_ptr_array_new_with_free_func(g_free);
    g_autoptr(GArray) said = g_array_new(FALSE, FALSE, sizeof(int)); /* two a snap */
    for (guint i = 0; i < both->pairs->len; i++) {
        const Pair *pair = &g_array_index(both->pairs, Pair, i);
        char *first = rb_taggable_get(field, both->names, pair->snap, pair->first);
        char *second = rb_taggable_get(field, both->names, pair->snap, pair->second);
        if (*first == '\0' || *second == '\0') {
            g_free(first);
            g_free(second);
            continue;
        }
        const int two[2] = { place_of(values, first), place_of(values, second) };
        g_array_append_vals(said, two, 2);
        agreement->both++;
        agreement->same += two[0] == two[1];
    }
    const int n = (int)values->len;
    if (n == 0) {
        return;
    }
    g_autofree int *counts = g_new0(int, (size_t)n *(size_t)n);
    for (guint i = 0; i + 1 < said->len; i += 2) {
        counts[g_array_index(said, int, i) * n + g_array_index(said, int, i + 1)]++;
    }
    RbKappa kappa = { 0 };
    agreement->has_kappa = rb_kappa_find(counts, n, NULL, &kappa);
    agreement->kappa = kappa.kappa;
    agreement->error = kappa.error;
}

GArray *rb_library_measure_agreement(RbLibrary *library, RbGameId game, RbPersonId first,
                                     RbPersonId second, GError **error)
{
    g_auto(Both) both = { 0 };
    if (!both_load(&both, library, game, first, second, error)) {
        return NULL;
    }
    int n = 0;
    const RbTaggable *fields = rb_taggables(&n);
    GArray *found = g_array_new(FALSE, FALSE, sizeof(RbTagAgreement));
    for (int i = 0; i < n; i++) {
        RbTagAgreement agreement = { .field = &fields[i] };
        if (is_compared(&fields[i])) {
            measure(&agreement, &both);
        }
        if (agreement.both > 0) {
            g_array_append_val(found, agreement);
        }
    }
    return found;
}
