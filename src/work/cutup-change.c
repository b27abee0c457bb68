/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>

#include "rb/base/error.h"
#include "rb/base/told.h"
#include "rb/store/cutups.h"
#include "rb/work/cutups.h"
#include "rb/work/error.h"

#include "cutups-private.h"
#include "library-private.h"

/* What is done to a cut-up that is there. */

bool rb_library_save_cutup(RbLibrary *library, const RbCutup *cutup, GError **error)
{
    g_autoptr(GPtrArray) all =
        rb_cutup_check_name(cutup->name, error) && rb_cut_check(&cutup->cut, error)
            ? rb_library_load_cutups(library, error)
            : NULL;
    if (all == NULL) {
        return false;
    }
    if (rb_cutup_name_is_taken(all, cutup->name, cutup->id)) {
        return rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE,
                            _("There is a cut-up \"%s\" already: give another name."),
                            cutup->name);
    }
    g_autofree char *words = rb_told("cut-up \"%s\" changed", cutup->name);
    return rb_library_begin(library, words, error) &&
           rb_cutup_end(library,
                        rb_store_save_cutup(rb_library_store(library), cutup, error),
                        error);
}

bool rb_library_remove_cutup(RbLibrary *library, RbCutupId id, GError **error)
{
    g_autoptr(RbCutup) cutup = rb_cutup_load(library, id, error);
    if (cutup == NULL) {
        return false;
    }
    g_autofree char *words = rb_told("cut-up \"%s\" removed", cutup->name);
    return rb_library_begin(library, words, error) &&
           rb_cutup_end(library,
                        rb_store_remove_cutup(rb_library_store(library), id, error),
                        error);
}

/* Where the clip stands in the list is not the caller's to say: it may have been moved since it
 * was read, and in a live list a clip that nobody moved has no place of its own. */
static bool save_in_place(RbStore *store, const RbCutupEntry *entry, GError **error)
{
    g_autoptr(GError) failure = NULL;
    g_autoptr(RbCutupEntry) saved = rb_cutup_entry_copy(entry);
    g_autoptr(RbCutupEntry) stored =
        rb_store_load_cutup_entry(store, entry->id, &failure);
    saved->place = stored != NULL ? stored->place : 0;
    return rb_store_save_cutup_entry(store, saved, error);
}

bool rb_library_save_cutup_entry(RbLibrary *library, const RbCutupEntry *entry,
                                 GError **error)
{
    g_autoptr(RbCutup) cutup = rb_cut_check(&entry->cut, error)
                                   ? rb_cutup_load(library, entry->cutup, error)
                                   : NULL;
    if (cutup == NULL) {
        return false;
    }
    g_autofree char *words = rb_told("a clip of cut-up \"%s\" changed", cutup->name);
    return rb_library_begin(library, words, error) &&
           rb_cutup_end(library, save_in_place(rb_library_store(library), entry, error),
                        error);
}

bool rb_library_set_all_cuts(RbLibrary *library, RbCutupId id, const RbCut *cut,
                             GError **error)
{
    RbStore *store = rb_library_store(library);
    g_autoptr(RbCutup) cutup =
        rb_cut_check(cut, error) ? rb_cutup_load(library, id, error) : NULL;
    g_autoptr(GPtrArray) entries =
        cutup != NULL ? rb_library_load_cutup_entries(library, cutup, error) : NULL;
    if (entries == NULL) {
        return false;
    }
    g_autofree char *words =
        rb_told("all clips of cut-up \"%s\" shown alike", cutup->name);
    if (!rb_library_begin(library, words, error)) {
        return false;
    }
    rb_cut_clear(&cutup->cut);
    cutup->cut = rb_cut_copy(cut);
    bool done = rb_store_save_cutup(store, cutup, error);
    for (guint i = 0; done && i < entries->len; i++) {
        RbCutupEntry *entry = entries->pdata[i];
        rb_cut_clear(&entry->cut);
        entry->cut = rb_cut_copy(cut);
        done = save_in_place(store, entry, error);
    }
    return rb_cutup_end(library, done, error);
}

bool rb_library_remove_cutup_entry(RbLibrary *library, RbCutupEntryId id, GError **error)
{
    RbStore *store = rb_library_store(library);
    GError *failure = NULL;
    g_autoptr(RbCutupEntry) entry = rb_store_load_cutup_entry(store, id, &failure);
    if (entry == NULL) {
        return rb_library_not_found(error, failure, _("This clip is gone already."));
    }
    g_autoptr(RbCutup) cutup = rb_cutup_load(library, entry->cutup, error);
    if (cutup == NULL || !rb_cutup_must_be_fixed(cutup, error)) {
        return false;
    }
    g_autofree char *words = rb_told("a clip taken out of cut-up \"%s\"", cutup->name);
    return rb_library_begin(library, words, error) &&
           rb_cutup_end(library, rb_store_remove_cutup_entry(store, id, error), error);
}

/* Writes the order anew, with room everywhere. */
static bool number_all(RbStore *store, const GPtrArray *entries, GError **error)
{
    for (guint i = 0; i < entries->len; i++) {
        RbCutupEntry *entry = entries->pdata[i];
        entry->place = (int64_t)(i + 1) * RB_PLACE_STEP;
        if (!rb_store_save_cutup_entry(store, entry, error)) {
            return false;
        }
    }
    return true;
}

static bool save_order(RbStore *store, const GPtrArray *entries, int at, bool all,
                       GError **error)
{
    const int n = (int)entries->len;
    RbCutupEntry *moved = entries->pdata[at];
    const RbCutupEntry *before = at > 0 ? entries->pdata[at - 1] : NULL;
    const RbCutupEntry *after = at + 1 < n ? entries->pdata[at + 1] : NULL;
    if (all || !rb_place_between(before != NULL ? &before->place : NULL,
                                 after != NULL ? &after->place : NULL, &moved->place)) {
        return number_all(store, entries, error);
    }
    return rb_store_save_cutup_entry(store, moved, error);
}

bool rb_library_move_cutup_entry(RbLibrary *library, RbCutupId id, int from, int to,
                                 GError **error)
{
    g_autoptr(RbCutup) cutup = rb_cutup_load(library, id, error);
    g_autoptr(GPtrArray) entries =
        cutup != NULL ? rb_library_load_cutup_entries(library, cutup, error) : NULL;
    if (entries == NULL) {
        return false;
    }
    const int n = (int)entries->len;
    if (from < 0 || from >= n || to < 0 || to >= n) {
        return rb_error_set(
            error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE,
            _("The cut-up \"%s\" has %d clips: give places from 1 to %d."), cutup->name,
            n, n);
    }
    if (from == to) {
        return true;
    }
    RbCutupEntry *moved = g_ptr_array_steal_index(entries, (guint)from);
    g_ptr_array_insert(entries, to, moved);
    g_autofree char *words = rb_told("clip %d of cut-up \"%s\" moved to place %d",
                                     from + 1, cutup->name, to + 1);
    /* In a live list places that nobody stored would move when a snap joins: store all. */
    return rb_library_begin(library, words, error) &&
           rb_cutup_end(library,
                        save_order(rb_library_store(library), entries, to,
                                   cutup->kind == RB_CUTUP_LIVE, error),
                        error);
}

bool rb_library_fix_cutup(RbLibrary *library, RbCutupId id, GError **error)
{
    RbStore *store = rb_library_store(library);
    g_autoptr(RbCutup) cutup = rb_cutup_load(library, id, error);
    g_autoptr(GPtrArray) entries =
        cutup != NULL ? rb_library_load_cutup_entries(library, cutup, error) : NULL;
    g_autoptr(GPtrArray) stored =
        entries != NULL ? rb_store_list_cutup_entries(store, id, error) : NULL;
    if (stored == NULL || cutup->kind == RB_CUTUP_FIXED) {
        return stored != NULL;
    }
    g_autofree char *words = rb_told_many("cut-up \"%s\" keeps its %u snap",
                                          "cut-up \"%s\" keeps its %u snaps",
                                          entries->len, cutup->name, entries->len);
    if (!rb_library_begin(library, words, error)) {
        return false;
    }
    bool done = true;
    for (guint i = 0; done && i < stored->len; i++) {
        done = rb_store_remove_cutup_entry(store, ((RbCutupEntry *)stored->pdata[i])->id,
                                           error);
    }
    cutup->kind = RB_CUTUP_FIXED;
    done = done && rb_store_save_cutup(store, cutup, error) &&
           number_all(store, entries, error);
    return rb_cutup_end(library, done, error);
}

bool rb_library_follow_cutup(RbLibrary *library, RbCutupId id, GError **error)
{
    g_autoptr(RbCutup) cutup = rb_cutup_load(library, id, error);
    if (cutup == NULL || cutup->kind == RB_CUTUP_LIVE) {
        return cutup != NULL;
    }
    if (cutup->filter == NULL) {
        return rb_error_set(
            error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE,
            _("\"%s\" was made of chosen snaps, not with a filter, so there "
              "is none to follow; make a new cut-up from a filter."),
            cutup->name);
    }
    RbStore *store = rb_library_store(library);
    g_autoptr(GPtrArray) entries = rb_store_list_cutup_entries(store, id, error);
    cutup->kind = RB_CUTUP_LIVE;
    g_autofree char *words = rb_told("cut-up \"%s\" follows its filter", cutup->name);
    /* Numbered anew: a place of 0, which a live list takes for none, can come from a move. */
    return entries != NULL && rb_library_begin(library, words, error) &&
           rb_cutup_end(library,
                        rb_store_save_cutup(store, cutup, error) &&
                            number_all(store, entries, error),
                        error);
}
