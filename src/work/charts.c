/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Whose chart of a snap: one's own, another's, the one that counts. */
#include "rb/store/snaps.h"
#include "rb/store/staff.h"

#include "library-private.h"

GPtrArray *rb_library_load_charts(RbLibrary *library, RbSnapId snap, GError **error)
{
    RbStore *store = rb_library_store(library);
    g_autoptr(RbSnap) found = rb_library_load_snap(library, snap, error);
    if (found == NULL) {
        return NULL;
    }
    g_autoptr(GPtrArray) people = rb_store_list_people(store, error);
    if (people == NULL) {
        return NULL;
    }
    GPtrArray *charts = g_ptr_array_new_with_free_func((GDestroyNotify)rb_chart_free);
    for (guint i = 0; i < people->len; i++) {
        const RbPerson *person = people->pdata[i];
        g_autoptr(GError) failure = NULL;
        RbChart *chart = rb_store_find_chart(store, snap, person->id, &failure);
        if (chart != NULL) {
            g_ptr_array_add(charts, chart);
        } else if (!g_error_matches(failure, RB_STORE_ERROR, RB_STORE_ERROR_UNKNOWN)) {
            g_propagate_error(error, g_steal_pointer(&failure));
            g_ptr_array_unref(charts);
            return NULL;
        }
    }
    return charts;
}

const RbChart *rb_chart_that_counts(const GPtrArray *charts, RbPersonId lead)
{
    const RbChart *newest = NULL;
    for (guint i = 0; i < charts->len; i++) {
        const RbChart *chart = charts->pdata[i];
        if (lead.value != 0 && chart->author.value == lead.value) {
            return chart;
        }
        if (newest == NULL || chart->stamp_us > newest->stamp_us) {
            newest = chart;
        }
    }
    return newest;
}

static const RbChart *chart_of(const GPtrArray *charts, RbPersonId author)
{
    for (guint i = 0; i < charts->len; i++) {
        const RbChart *chart = charts->pdata[i];
        if (chart->author.value == author.value) {
            return chart;
        }
    }
    return NULL;
}

RbChart *rb_library_own_chart(RbLibrary *library, const RbNames *names,
                              const RbSnap *snap, bool *own, RbChart **counts,
                              GError **error)
{
    g_autoptr(GPtrArray) charts = rb_library_load_charts(library, snap->id, error);
    if (charts == NULL) {
        return NULL;
    }
    const RbGame *game = rb_names_find_game(names, snap->game);
    const RbPersonId lead = game != NULL ? game->lead : (RbPersonId){ 0 };
    const RbChart *counting =
        rb_library_is_blind(library) ? NULL : rb_chart_that_counts(charts, lead);
    const RbChart *mine = chart_of(charts, rb_library_get_person(library));
    *own = mine != NULL;
    if (counts != NULL && counting != NULL && counting != mine) {
        *counts = rb_chart_copy(counting);
    }
    if (mine != NULL) {
        return rb_chart_copy(mine);
    }
    if (counting == NULL) {
        return rb_chart_new(snap->id, rb_library_get_person(library));
    }
    RbChart *start = rb_chart_copy(counting);
    start->id = rb_chart_id(snap->id, rb_library_get_person(library));
    start->author = rb_library_get_person(library);
    start->stamp_us = 0;
    return start;
}
