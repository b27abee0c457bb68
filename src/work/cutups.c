/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/work/cutups.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "rb/base/error.h"
#include "rb/base/told.h"
#include "rb/store/cutups.h"
#include "rb/work/error.h"
#include "rb/work/snapshot.h"

#include "cutups-private.h"
#include "library-private.h"

#define NAME_MAX_BYTES 200

static void free_entry(void *entry)
{
    rb_cutup_entry_free(entry);
}

GPtrArray *rb_library_load_cutups(RbLibrary *library, GError **error)
{
    return rb_store_list_cutups(rb_library_store(library), error);
}

RbCutup *rb_cutup_load(RbLibrary *library, RbCutupId id, GError **error)
{
    GError *failure = NULL;
    RbCutup *cutup = rb_store_load_cutup(rb_library_store(library), id, &failure);
    if (cutup == NULL) {
        rb_library_not_found(error, failure,
                             _("There is no such cut-up any more; choose another."));
    }
    return cutup;
}

RbCutup *rb_library_find_cutup(RbLibrary *library, const char *text, GError **error)
{
    g_autoptr(GPtrArray) all = rb_library_load_cutups(library, error);
    if (all == NULL) {
        return NULL;
    }
    int64_t id = 0;
    const bool is_id = rb_id_parse(text, &id);
    g_autofree char *wanted = g_utf8_casefold(text, -1);
    g_autoptr(GString) list = g_string_new(NULL);
    for (guint i = 0; i < all->len; i++) {
        const RbCutup *cutup = all->pdata[i];
        g_autofree char *name = g_utf8_casefold(cutup->name, -1);
        if (strcmp(name, wanted) == 0 || (is_id && cutup->id.value == id)) {
            return rb_cutup_copy(cutup);
        }
        g_string_append_printf(list, "%s\"%s\"", i > 0 ? ", " : "", cutup->name);
    }
    const char *held = all->len > 0 ? list->str : _("none yet");
    if (all->len == 1) {
        rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_NOT_FOUND,
                     _("There is no cut-up \"%s\"; there is %s."), text, held);
    } else {
        rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_NOT_FOUND,
                     _("There is no cut-up \"%s\"; there are %s."), text, held);
    }
    return NULL;
}

/* ---- live lists */

static RbCutupEntry *entry_of_snap(const GPtrArray *stored, const RbCutup *cutup,
                                   RbSnapId snap)
{
    for (guint i = 0; i < stored->len; i++) {
        const RbCutupEntry *entry = stored->pdata[i];
        if (entry->snap.value == snap.value) {
            return rb_cutup_entry_copy(entry);
        }
    }
    RbCutupEntry *entry =
        rb_cutup_entry_new(rb_cutup_entry_id(cutup->id, snap), cutup->id, snap);
    rb_cut_clear(&entry->cut);
    entry->cut = rb_cut_copy(&cutup->cut);
    entry->cut.loops = 1;
    return entry;
}

static int by_place(const void *a, const void *b)
{
    const RbCutupEntry *const *one = a;
    const RbCutupEntry *const *two = b;
    if ((*one)->place != (*two)->place) {
        return (*one)->place < (*two)->place ? -1 : 1;
    }
    return (*one)->id.value < (*two)->id.value ? -1 : (*one)->id.value > (*two)->id.value;
}

/* Snaps that nobody moved stand where the order of the games puts them. */
static GPtrArray *live_entries(const RbCutup *cutup, const GPtrArray *stored,
                               const RbSelection *selection)
{
    GPtrArray *entries = g_ptr_array_new_with_free_func(free_entry);
    int n = 0;
    const RbDropback *rows = rb_selection_get_rows(selection, &n);
    for (int i = 0; i < n; i++) {
        RbCutupEntry *entry = entry_of_snap(stored, cutup, rows[i].snap);
        if (entry->place == 0) {
            entry->place = (int64_t)(i + 1) * RB_PLACE_STEP;
        }
        g_ptr_array_add(entries, entry);
    }
    g_ptr_array_sort(entries, by_place);
    return entries;
}

GPtrArray *rb_library_load_cutup_entries(RbLibrary *library, const RbCutup *cutup,
                                         GError **error)
{
    g_autoptr(GPtrArray) stored =
        rb_store_list_cutup_entries(rb_library_store(library), cutup->id, error);
    if (stored == NULL || cutup->kind == RB_CUTUP_FIXED) {
        return g_steal_pointer(&stored);
    }
    g_autoptr(RbFilter) filter =
        rb_filter_from_text(cutup->filter != NULL ? cutup->filter : "", error);
    g_autoptr(RbSnapshot) snapshot =
        filter != NULL ? rb_snapshot_take(library, NULL, NULL, error) : NULL;
    if (snapshot == NULL) {
        return NULL;
    }
    g_autoptr(RbSelection) selection = rb_selection_new(snapshot, filter);
    return live_entries(cutup, stored, selection);
}

/* ---- changes */

bool rb_cutup_end(RbLibrary *library, bool done, GError **error)
{
    if (!done) {
        rb_library_rollback(library);
        return false;
    }
    return rb_library_commit(library, false, error);
}

bool rb_cutup_name_is_taken(const GPtrArray *all, const char *name, RbCutupId but)
{
    g_autofree char *wanted = g_utf8_casefold(name, -1);
    for (guint i = 0; i < all->len; i++) {
        const RbCutup *cutup = all->pdata[i];
        g_autofree char *have = g_utf8_casefold(cutup->name, -1);
        if (cutup->id.value != but.value && strcmp(have, wanted) == 0) {
            return true;
        }
    }
    return false;
}

bool rb_cutup_check_name(const char *name, GError **error)
{
    if (name[0] == '\0') {
        return rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE,
                            _("A cut-up needs a name: type one."));
    }
    return (strlen(name) <= NAME_MAX_BYTES && g_utf8_validate(name, -1, NULL)) ||
           rb_error_set(
               error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE,
               _("The name of the cut-up is too long: %d letters are room enough."),
               NAME_MAX_BYTES / 4);
}

static char *free_name(RbLibrary *library, const char *name, GError **error)
{
    g_autofree char *clean = g_strstrip(g_strdup(name));
    g_autoptr(GPtrArray) all =
        rb_cutup_check_name(clean, error) ? rb_library_load_cutups(library, error) : NULL;
    if (all == NULL) {
        return NULL;
    }
    char *found = g_strdup(clean);
    for (int i = 2; rb_cutup_name_is_taken(all, found, (RbCutupId){ 0 }); i++) {
        g_free(found);
        found = g_strdup_printf("%s %d", clean, i);
    }
    return found;
}

static bool save_new_entries(RbStore *store, const RbCutup *cutup, const RbSnapId *snaps,
                             int n, int64_t place, GError **error)
{
    for (int i = 0; i < n; i++) {
        g_autoptr(RbCutupEntry) entry =
            rb_cutup_entry_new((RbCutupEntryId){ rb_id_random() }, cutup->id, snaps[i]);
        rb_cut_clear(&entry->cut);
        entry->cut = rb_cut_copy(&cutup->cut);
        entry->cut.loops = 1;
        entry->place = place + (int64_t)(i + 1) * RB_PLACE_STEP;
        if (!rb_store_save_cutup_entry(store, entry, error)) {
            return false;
        }
    }
    return true;
}

static bool make(RbLibrary *library, RbCutup *cutup, const RbCut *cut,
                 const RbSnapId *snaps, int n, RbCutupId *id, GError **error)
{
    if (cut != NULL) {
        if (!rb_cut_check(cut, error)) {
            return false;
        }
        rb_cut_clear(&cutup->cut);
        cutup->cut = rb_cut_copy(cut);
        cutup->cut.loops = 1;
        cutup->cut.freeze = RB_POINT_NONE;
        cutup->cut.freeze_ms = rb_cut_default().freeze_ms;
    }
    RbStore *store = rb_library_store(library);
    g_autofree char *words =
        cutup->kind == RB_CUTUP_LIVE
            ? rb_told("cut-up \"%s\" made, it follows its filter", cutup->name)
            : rb_told_many("cut-up \"%s\" made of %d snap",
                           "cut-up \"%s\" made of %d snaps", (gulong)n, cutup->name, n);
    if (!rb_library_begin(library, words, error)) {
        return false;
    }
    const bool done = rb_store_save_cutup(store, cutup, error) &&
                      (cutup->kind == RB_CUTUP_LIVE ||
                       save_new_entries(store, cutup, snaps, n, 0, error));
    if (id != NULL) {
        *id = cutup->id;
    }
    return rb_cutup_end(library, done, error);
}

static RbCutupId new_id(const RbCutupId *wanted)
{
    return wanted != NULL && wanted->value != 0 ? *wanted : (RbCutupId){ rb_id_random() };
}

bool rb_library_make_cutup(RbLibrary *library, const char *name, const RbCut *cut,
                           const RbFilter *filter, const RbSnapId *snaps, int n,
                           RbCutupId *id, GError **error)
{
    g_autofree char *own = free_name(library, name, error);
    if (own == NULL) {
        return false;
    }
    g_autoptr(RbCutup) cutup = rb_cutup_new(new_id(id), own, RB_CUTUP_FIXED);
    cutup->filter = filter != NULL ? rb_filter_to_text(filter) : NULL;
    return make(library, cutup, cut, snaps, n, id, error);
}

bool rb_library_make_live_cutup(RbLibrary *library, const char *name, const RbCut *cut,
                                const RbFilter *filter, RbCutupId *id, GError **error)
{
    g_autofree char *own = free_name(library, name, error);
    if (own == NULL) {
        return false;
    }
    g_autoptr(RbCutup) cutup = rb_cutup_new(new_id(id), own, RB_CUTUP_LIVE);
    cutup->filter = rb_filter_to_text(filter);
    return make(library, cutup, cut, NULL, 0, id, error);
}

bool rb_cutup_must_be_fixed(const RbCutup *cutup, GError **error)
{
    return cutup->kind == RB_CUTUP_FIXED ||
           rb_error_set(
               error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE,
               _("\"%s\" follows its filter, so its snaps are not chosen by hand; "
                 "fix the list first."),
               cutup->name);
}

bool rb_library_add_to_cutup(RbLibrary *library, RbCutupId id, const RbSnapId *snaps,
                             int n, GError **error)
{
    RbStore *store = rb_library_store(library);
    g_autoptr(RbCutup) cutup = rb_cutup_load(library, id, error);
    if (cutup == NULL || !rb_cutup_must_be_fixed(cutup, error)) {
        return false;
    }
    g_autoptr(GPtrArray) entries = rb_store_list_cutup_entries(store, id, error);
    if (entries == NULL) {
        return false;
    }
    const int64_t last =
        entries->len > 0 ? ((RbCutupEntry *)entries->pdata[entries->len - 1])->place : 0;
    g_autofree char *words =
        rb_told_many("%d snap added to cut-up \"%s\"", "%d snaps added to cut-up \"%s\"",
                     (gulong)n, n, cutup->name);
    return rb_library_begin(library, words, error) &&
           rb_cutup_end(library, save_new_entries(store, cutup, snaps, n, last, error),
                        error);
}
