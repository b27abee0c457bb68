/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/work/tagging.h"

#include <inttypes.h>
#include <string.h>

#include "rb/base/error.h"
#include "rb/base/told.h"
#include "rb/store/films.h"
#include "rb/store/playbook.h"
#include "rb/store/snaps.h"
#include "rb/work/error.h"

#include "judging.h"
#include "library-private.h"
#include "own-tags.h"
#include "taggable-private.h"
#include "tagging-private.h"

/* What is being changed, before and after. */
typedef struct {
    RbNames *names;     /* owned reference */
    RbSnap *old_snap;   /* owned */
    RbChart *old_chart; /* owned */
    RbSnap *snap;       /* owned */
    RbChart *chart;     /* owned */
    GPtrArray *words;   /* owned, nullable, of RbTerm: new words of the staff */
    bool saved;         /* the person has a chart of this snap already */
    bool snap_differs;
    bool chart_differs;
} Edit;

static void edit_clear(Edit *edit)
{
    rb_names_unref(edit->names);
    rb_snap_free(edit->old_snap);
    rb_chart_free(edit->old_chart);
    rb_snap_free(edit->snap);
    rb_chart_free(edit->chart);
    g_clear_pointer(&edit->words, g_ptr_array_unref);
}

static bool edit_start(Edit *edit, RbLibrary *library, RbSnapId snap, GError **error)
{
    bool own = false;
    edit->names = rb_library_load_names(library, error);
    if (edit->names == NULL) {
        return false;
    }
    edit->old_snap = rb_library_load_snap(library, snap, error);
    if (edit->old_snap == NULL) {
        return false;
    }
    edit->old_chart =
        rb_library_own_chart(library, edit->names, edit->old_snap, &own, NULL, error);
    if (edit->old_chart == NULL) {
        return false;
    }
    edit->snap = rb_snap_copy(edit->old_snap);
    edit->chart = rb_chart_copy(edit->old_chart);
    return true;
}

/* Every field is looked at: setting one may have moved another that keeps step with it. */
static void find_differences(Edit *edit)
{
    int n = 0;
    const RbTaggable *fields = rb_taggables(&n);
    for (int i = 0; i < n; i++) {
        g_autofree char *old =
            rb_taggable_get(&fields[i], edit->names, edit->old_snap, edit->old_chart);
        g_autofree char *new =
            rb_taggable_get(&fields[i], edit->names, edit->snap, edit->chart);
        if (strcmp(old, new) != 0) {
            *(fields[i].is_fact ? &edit->snap_differs : &edit->chart_differs) = true;
        }
    }
}

/* "coverage of snap 34 changed from Cover 3 to Quarters", "set to …", "cleared (was …)".
 * Returns: told (transfer full). */
static char *one_change_text(const Edit *edit, const RbTaggable *field)
{
    g_autofree char *old =
        rb_taggable_tell(field, edit->names, edit->old_snap, edit->old_chart);
    g_autofree char *new = rb_taggable_tell(field, edit->names, edit->snap, edit->chart);
    g_autofree char *had =
        rb_taggable_get(field, edit->names, edit->old_snap, edit->old_chart);
    g_autofree char *has = rb_taggable_get(field, edit->names, edit->snap, edit->chart);
    g_autofree char *label = rb_taggable_tell_label(field);
    const int number = edit->snap->number;
    if (*had == '\0') {
        return rb_told("%s of snap %d set to %s", label, number, new);
    }
    if (*has == '\0') {
        return rb_told("%s of snap %d cleared (was %s)", label, number, old);
    }
    return rb_told("%s of snap %d changed from %s to %s", label, number, old, new);
}

static char *many_changes_text(const Edit *edit, const RbTagChange *changes, int n)
{
    g_autofree char *head = rb_told_many(
        "%d tag of snap %d: ", "%d tags of snap %d: ", (gulong)n, n, edit->snap->number);
    g_autoptr(GString) list = g_string_new(NULL);
    for (int i = 0; i < n; i++) {
        const RbTaggable *field = rb_taggable_parse(changes[i].field, NULL);
        g_autofree char *label = rb_taggable_tell_label(field);
        g_autofree char *new =
            rb_taggable_tell(field, edit->names, edit->snap, edit->chart);
        g_autofree char *both = g_strdup_printf("%s %s", label, new);
        rb_told_list(list, both);
    }
    return g_strconcat(head, list->str, NULL);
}

static char *changes_text(const Edit *edit, const RbTagChange *changes, int n)
{
    g_autofree char *what =
        n == 1 ? one_change_text(edit, rb_taggable_parse(changes[0].field, NULL))
               : many_changes_text(edit, changes, n);
    return rb_told("%s (%s)", what, rb_names_game(edit->names, edit->snap->game));
}

/* Inside an open action. */
static bool edit_write(const Edit *edit, RbLibrary *library, GError **error)
{
    RbStore *store = rb_library_store(library);
    for (guint i = 0; edit->words != NULL && i < edit->words->len; i++) {
        if (!rb_store_save_term(store, edit->words->pdata[i], error)) {
            return false;
        }
    }
    return (!edit->snap_differs || rb_store_save_snap(store, edit->snap, error)) &&
           (!edit->chart_differs || rb_store_save_chart(store, edit->chart, error));
}

static bool edit_save(const Edit *edit, RbLibrary *library, const char *words,
                      GError **error)
{
    if (!rb_library_begin(library, words, error)) {
        return false;
    }
    if (!edit_write(edit, library, error)) {
        rb_library_rollback(library);
        return false;
    }
    return rb_library_commit(library, false, error);
}

/* Words that nobody used before become the staff's with the tag that uses them. */
static void take_new_words(Edit *edit, const char *text)
{
    g_autoptr(GPtrArray) fresh = rb_own_tags_new(edit->names, text);
    if (fresh->len == 0) {
        return;
    }
    RbNames *more = rb_names_with_terms(edit->names, fresh);
    rb_names_unref(edit->names);
    edit->names = more;
    if (edit->words == NULL) {
        edit->words = g_steal_pointer(&fresh);
    } else {
        g_ptr_array_extend_and_steal(edit->words, g_steal_pointer(&fresh));
    }
}

static bool apply(Edit *edit, const RbTagChange *changes, int n, GError **error)
{
    for (int i = 0; i < n; i++) {
        const RbTaggable *field = rb_taggable_parse(changes[i].field, error);
        if (field == NULL || !rb_taggable_set(field, edit->names, edit->snap, edit->chart,
                                              changes[i].value, error)) {
            return false;
        }
        if (field->kind == RB_VALUE_OWN_TAGS) {
            take_new_words(edit, changes[i].value);
        }
    }
    find_differences(edit);
    return true;
}

bool rb_library_tag(RbLibrary *library, RbSnapId snap, const RbTagChange *changes, int n,
                    char **words, GError **error)
{
    Edit edit = { 0 };
    g_autofree char *text = NULL;
    bool ok = edit_start(&edit, library, snap, error) && apply(&edit, changes, n, error);
    if (ok && (edit.snap_differs || edit.chart_differs)) {
        text = changes_text(&edit, changes, n);
        ok = edit_save(&edit, library, text, error);
    }
    edit_clear(&edit);
    if (ok && words != NULL) {
        *words = text != NULL ? rb_told_show(text) : NULL;
    }
    return ok;
}

bool rb_library_tag_with(RbLibrary *library, RbSnapId snap, const RbTagChange *changes,
                         int n, const char *words, RbTagAlong along, void *data,
                         GError **error)
{
    Edit edit = { 0 };
    bool ok = edit_start(&edit, library, snap, error) &&
              apply(&edit, changes, n, error) && rb_library_begin(library, words, error);
    if (ok) {
        ok = edit_write(&edit, library, error) &&
             along(rb_library_store(library), data, error);
        if (ok) {
            ok = rb_library_commit(library, false, error);
        } else {
            rb_library_rollback(library);
        }
    }
    edit_clear(&edit);
    return ok;
}

/* How many numbers of snaps the history names before it only counts. */
enum { NUMBERS_NAMED = 8 };

/* "3, 5 and 9". Returns: told (transfer full). */
static char *numbers_text(const GArray *edits)
{
    GString *text = g_string_new(NULL);
    for (guint i = 0; i < edits->len && i < NUMBERS_NAMED; i++) {
        const Edit *edit = &g_array_index(edits, Edit, i);
        const bool last = i + 1 == edits->len;
        g_autofree char *between = last ? rb_told(" and ") : g_strdup(", ");
        g_string_append(text, i == 0 ? "" : between);
        g_string_append_printf(text, "%d", edit->snap->number);
    }
    if (edits->len > NUMBERS_NAMED) {
        g_autofree char *more = rb_told(" and %u more", edits->len - NUMBERS_NAMED);
        g_string_append(text, more);
    }
    return g_string_free(text, FALSE);
}

/* "coverage of snaps 3, 5 and 9 set to Cover 3 (Game 1)". edits: of those that differ.
 * Returns: told (transfer full). */
static char *many_snaps_text(const GArray *edits, const RbTaggable *field)
{
    const Edit *first = &g_array_index(edits, Edit, 0);
    g_autofree char *label = rb_taggable_tell_label(field);
    g_autofree char *has =
        rb_taggable_get(field, first->names, first->snap, first->chart);
    g_autofree char *new =
        rb_taggable_tell(field, first->names, first->snap, first->chart);
    g_autofree char *numbers = numbers_text(edits);
    const char *game = rb_names_game(first->names, first->snap->game);
    if (*has == '\0') {
        return rb_told_many("%s of snap %s cleared (%s)", "%s of snaps %s cleared (%s)",
                            edits->len, label, numbers, game);
    }
    return rb_told_many("%s of snap %s set to %s (%s)", "%s of snaps %s set to %s (%s)",
                        edits->len, label, numbers, new, game);
}

static bool edits_save(const GArray *edits, RbLibrary *library, const char *words,
                       GError **error)
{
    if (!rb_library_begin(library, words, error)) {
        return false;
    }
    for (guint i = 0; i < edits->len; i++) {
        if (!edit_write(&g_array_index(edits, Edit, i), library, error)) {
            rb_library_rollback(library);
            return false;
        }
    }
    return rb_library_commit(library, false, error);
}

static void clear_edit(void *edit)
{
    edit_clear(edit);
}

bool rb_library_tag_snaps(RbLibrary *library, const GArray *snaps, RbTagChange change,
                          char **words, GError **error)
{
    const RbTaggable *field = rb_taggable_parse(change.field, error);
    if (field == NULL) {
        return false;
    }
    g_autoptr(GArray) edits = g_array_new(FALSE, FALSE, sizeof(Edit));
    g_array_set_clear_func(edits, clear_edit);
    for (guint i = 0; i < snaps->len; i++) {
        Edit edit = { 0 };
        if (!edit_start(&edit, library, g_array_index(snaps, RbSnapId, i), error) ||
            !apply(&edit, &change, 1, error)) {
            edit_clear(&edit);
            return false;
        }
        if (edit.snap_differs || edit.chart_differs) {
            g_array_append_val(edits, edit);
        } else {
            edit_clear(&edit);
        }
    }
    if (edits->len == 0) {
        return true;
    }
    g_autofree char *text = many_snaps_text(edits, field);
    if (!edits_save(edits, library, text, error)) {
        return false;
    }
    if (words != NULL) {
        *words = rb_told_show(text);
    }
    return true;
}

/* Puts the mark among the clip's own, in place of one of its kind. */
static void put_mark(RbClip *clip, const RbMark *mark)
{
    for (guint i = 0; i < clip->marks->len; i++) {
        RbMark *old = &g_array_index(clip->marks, RbMark, i);
        if (old->kind == mark->kind) {
            const RbMarkId id = old->id;
            *old = *mark;
            old->id = id;
            return;
        }
    }
    g_array_append_vals(clip->marks, mark, 1);
}

bool rb_library_set_mark(RbLibrary *library, RbClipId clip_id, RbMarkKind kind,
                         int64_t frame, RbTime time, int index_version, GError **error)
{
    RbStore *store = rb_library_store(library);
    g_autoptr(RbClip) clip = rb_store_load_clip(store, clip_id, error);
    g_autoptr(RbSnap) snap =
        clip != NULL ? rb_library_load_snap(library, clip->snap, error) : NULL;
    g_autoptr(RbNames) names =
        snap != NULL ? rb_library_load_names(library, error) : NULL;
    if (names == NULL) {
        return false;
    }
    const RbMark mark = {
        .clip = clip_id,
        .kind = kind,
        .frame = frame,
        .time = time,
        .index_version = index_version,
    };
    put_mark(clip, &mark);
    g_autofree char *label = rb_words_tell(&rb_mark_words, (int)kind);
    g_autofree char *kind_name = rb_told_lower(label);
    g_autofree char *words =
        rb_told("mark \"%s\" of snap %d set at frame %" PRId64 " (%s)", kind_name,
                snap->number, frame, rb_names_game(names, snap->game));
    if (!rb_library_begin(library, words, error)) {
        return false;
    }
    if (!rb_store_save_clip(store, clip, error)) {
        rb_library_rollback(library);
        return false;
    }
    return rb_library_commit(library, false, error);
}
