/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "errands.h"

#include <glib/gi18n.h>
#include <glib/gstdio.h>

#include "rb/base/error.h"
#include "rb/work/demo.h"
#include "rb/work/error.h"
#include "rb/work/films.h"
#include "rb/work/footwork.h"
#include "rb/work/open-data.h"
#include "rb/work/playbook-edit.h"

bool rb_store_side_has_library(const RbStoreSide *side, GError **error)
{
    return side->library != NULL ||
           rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_FAILED,
                        _("No library is open: open one first."));
}

void rb_open_ask_free(void *pointer)
{
    RbOpenAsk *ask = pointer;
    g_free(ask->path);
    g_free(ask->places);
    g_free(ask);
}

void rb_open_answer_free(void *pointer)
{
    RbOpenAnswer *answer = pointer;
    rb_names_unref(answer->names);
    g_free(answer->path);
    g_free(answer->person);
    rb_bookmark_free(answer->place);
    g_free(answer);
}

static bool make_demo(const char *path, RbCancel *cancel, RbProgress *progress,
                      GError **error)
{
    g_autofree char *folder = g_path_get_dirname(path);
    if (g_mkdir_with_parents(folder, 0700) != 0) {
        return rb_error_errno(error, RB_WORK_ERROR, RB_WORK_ERROR_FAILED, errno,
                              _("The folder %s for the demo season cannot be made"),
                              folder);
    }
    const RbDemoOptions options = rb_demo_options_default();
    return rb_demo_make(path, &options, cancel, progress, error);
}

static RbGameId first_game(const RbNames *names, const GPtrArray *films)
{
    const GPtrArray *games = rb_names_games(names);
    for (guint i = games->len; i-- > 0;) {
        const RbGame *game = games->pdata[i];
        for (guint j = 0; j < films->len; j++) {
            if (((const RbFilm *)films->pdata[j])->game.value == game->id.value) {
                return game->id;
            }
        }
    }
    return games->len > 0 ? ((const RbGame *)games->pdata[games->len - 1])->id
                          : (RbGameId){ 0 };
}

/* Libraries are kept apart by their whole path. Returns: (transfer full) (nullable). */
static RbBookmark *find_place(const RbOpenAsk *ask)
{
    g_autofree char *path = g_canonicalize_filename(ask->path, NULL);
    return ask->places != NULL ? rb_bookmark_load(ask->places, path) : NULL;
}

void *rb_errand_open(RbStoreSide *side, void *data, RbCancel *cancel,
                     RbProgress *progress, GError **error)
{
    const RbOpenAsk *ask = data;
    if (ask->make_demo && !g_file_test(ask->path, G_FILE_TEST_EXISTS) &&
        !make_demo(ask->path, cancel, progress, error)) {
        return NULL;
    }
    if (ask->make_new) {
        RbLibrary *made = rb_library_create(ask->path, NULL, error);
        if (made == NULL) {
            return NULL;
        }
        rb_library_close(made);
    }
    g_autoptr(RbBookmark) place = find_place(ask);
    g_autoptr(RbLibrary) library =
        rb_library_open_or_read(ask->path, place != NULL ? place->person : NULL, error);
    if (library == NULL) {
        return NULL;
    }
    rb_library_set_blind(library, place != NULL && place->blind);
    g_autoptr(RbNames) names = rb_library_load_names(library, error);
    g_autoptr(GPtrArray) films =
        names != NULL ? rb_library_load_films(library, error) : NULL;
    if (films == NULL) {
        return NULL;
    }
    RbOpenAnswer *answer = g_new0(RbOpenAnswer, 1);
    answer->game = place != NULL && rb_names_find_game(names, place->game) != NULL
                       ? place->game
                       : first_game(names, films);
    answer->place = g_steal_pointer(&place);
    answer->names = g_steal_pointer(&names);
    answer->path = g_strdup(rb_library_get_path(library));
    answer->person = g_strdup(rb_library_get_person_name(library));
    rb_library_close(side->library);
    side->library = g_steal_pointer(&library);
    return answer;
}

void rb_snaps_answer_free(void *pointer)
{
    RbSnapsAnswer *answer = pointer;
    rb_names_unref(answer->names);
    g_ptr_array_unref(answer->snaps);
    g_hash_table_unref(answer->filmed);
    g_free(answer);
}

/* snaps: of RbSnap. Returns: (transfer full) (nullable): a set of int64_t. */
static GHashTable *filmed_snaps(RbLibrary *library, const GPtrArray *snaps,
                                GError **error)
{
    g_autoptr(GArray) ids = g_array_new(FALSE, FALSE, sizeof(RbSnapId));
    for (guint i = 0; i < snaps->len; i++) {
        g_array_append_val(ids, ((const RbSnap *)snaps->pdata[i])->id);
    }
    return rb_library_find_filmed(library, ids, error);
}

/* No list is looked through for film beyond this. */
#define FILMED_MOST 5000

GHashTable *rb_errand_filmed(RbStoreSide *side, const RbSelection *selection)
{
    g_autoptr(GArray) snaps =
        rb_selection_snaps(selection, RB_ANY_CONCEPT, RB_ANY_COVERAGE, -1, -1);
    return side->library != NULL && snaps->len <= FILMED_MOST
               ? rb_library_find_filmed(side->library, snaps, NULL)
               : NULL;
}

static RbSnapId first_snap(const GPtrArray *snaps, GHashTable *filmed)
{
    RbSnapId first = { 0 };
    for (guint i = 0; i < snaps->len; i++) {
        const RbSnap *snap = snaps->pdata[i];
        if (!rb_snap_is_dropback(snap)) {
            continue;
        }
        if (g_hash_table_contains(filmed, &snap->id.value)) {
            return snap->id;
        }
        first = first.value == 0 ? snap->id : first;
    }
    return first.value == 0 && snaps->len > 0 ? ((const RbSnap *)snaps->pdata[0])->id
                                              : first;
}

void *rb_errand_snaps(RbStoreSide *side, void *data, RbCancel *cancel,
                      RbProgress *progress, GError **error)
{
    (void)cancel;
    (void)progress;
    const RbGameId *game = data;
    if (!rb_store_side_has_library(side, error)) {
        return NULL;
    }
    g_autoptr(RbNames) names = rb_library_load_names(side->library, error);
    if (names == NULL) {
        return NULL;
    }
    g_autoptr(GPtrArray) snaps = rb_library_load_snaps(side->library, *game, error);
    GHashTable *filmed = snaps != NULL ? filmed_snaps(side->library, snaps, error) : NULL;
    if (filmed == NULL) {
        return NULL;
    }
    RbSnapsAnswer *answer = g_new0(RbSnapsAnswer, 1);
    answer->names = g_steal_pointer(&names);
    answer->game = *game;
    answer->snaps = g_steal_pointer(&snaps);
    answer->filmed = filmed;
    answer->first = first_snap(answer->snaps, answer->filmed);
    return answer;
}

void *rb_errand_names(RbStoreSide *side, void *data, RbCancel *cancel,
                      RbProgress *progress, GError **error)
{
    (void)data;
    (void)cancel;
    (void)progress;
    return rb_store_side_has_library(side, error)
               ? rb_library_load_names(side->library, error)
               : NULL;
}

void rb_errand_names_free(void *names)
{
    rb_names_unref(names);
}

void *rb_errand_sheet(RbStoreSide *side, void *data, RbCancel *cancel,
                      RbProgress *progress, GError **error)
{
    (void)cancel;
    (void)progress;
    const RbSnapId *snap = data;
    return rb_store_side_has_library(side, error)
               ? rb_library_load_sheet(side->library, *snap, error)
               : NULL;
}

void rb_errand_sheet_free(void *sheet)
{
    rb_sheet_free(sheet);
}

void rb_tag_ask_free(void *pointer)
{
    RbTagAsk *ask = pointer;
    g_free(ask->field);
    g_free(ask->value);
    g_free(ask);
}

void rb_words_answer_free(void *pointer)
{
    RbWordsAnswer *answer = pointer;
    g_free(answer->words);
    g_free(answer);
}

RbWordsAnswer *rb_words_answer_new(char *words)
{
    RbWordsAnswer *answer = g_new0(RbWordsAnswer, 1);
    answer->words = words;
    return answer;
}

RbWordsAnswer *rb_words_answer_of_history(const RbStoreSide *side, GError **error)
{
    g_autoptr(GPtrArray) history = rb_library_load_history(side->library, 1, error);
    if (history == NULL) {
        return NULL;
    }
    const RbHistoryLine *line = history->len > 0 ? history->pdata[0] : NULL;
    return rb_words_answer_new(line != NULL ? g_strdup(line->words) : NULL);
}

/* The answer to a change. The window reads everything again after it, so it need not be told
 * once more that the library has changed. */
static void *change_answer(RbStoreSide *side, char *words)
{
    rb_library_has_changed(side->library);
    return rb_words_answer_new(words);
}

void *rb_errand_tag(RbStoreSide *side, void *data, RbCancel *cancel, RbProgress *progress,
                    GError **error)
{
    (void)cancel;
    (void)progress;
    const RbTagAsk *ask = data;
    const RbTagChange change = { ask->field, ask->value };
    char *words = NULL;
    if (!rb_store_side_has_library(side, error) ||
        !rb_library_tag(side->library, ask->snap, &change, 1, &words, error)) {
        return NULL;
    }
    return change_answer(side, words);
}

void *rb_errand_put_concept(RbStoreSide *side, void *data, RbCancel *cancel,
                            RbProgress *progress, GError **error)
{
    (void)cancel;
    (void)progress;
    char *words = NULL;
    if (!rb_store_side_has_library(side, error) ||
        !rb_library_put_concept(side->library, data, &words, error)) {
        return NULL;
    }
    return rb_words_answer_new(words);
}

void *rb_errand_set_footwork(RbStoreSide *side, void *data, RbCancel *cancel,
                             RbProgress *progress, GError **error)
{
    (void)cancel;
    (void)progress;
    char *words = NULL;
    if (!rb_store_side_has_library(side, error) ||
        !rb_library_set_footwork(side->library, data, &words, error)) {
        return NULL;
    }
    return rb_words_answer_new(words);
}

void *rb_errand_undo(RbStoreSide *side, void *data, RbCancel *cancel,
                     RbProgress *progress, GError **error)
{
    (void)data;
    (void)cancel;
    (void)progress;
    char *words = NULL;
    if (!rb_store_side_has_library(side, error) ||
        !rb_library_undo(side->library, &words, error)) {
        return NULL;
    }
    return change_answer(side, words);
}

void *rb_errand_redo(RbStoreSide *side, void *data, RbCancel *cancel,
                     RbProgress *progress, GError **error)
{
    (void)data;
    (void)cancel;
    (void)progress;
    char *words = NULL;
    if (!rb_store_side_has_library(side, error) ||
        !rb_library_redo(side->library, &words, error)) {
        return NULL;
    }
    return change_answer(side, words);
}

void *rb_errand_snapshot(RbStoreSide *side, void *data, RbCancel *cancel,
                         RbProgress *progress, GError **error)
{
    (void)progress;
    const RbSnapshot *before = data;
    if (!rb_store_side_has_library(side, error)) {
        return NULL;
    }
    return before != NULL ? rb_snapshot_take_after(side->library, before, cancel, error)
                          : rb_snapshot_take(side->library, NULL, cancel, error);
}

void rb_errand_snapshot_free(void *snapshot)
{
    rb_snapshot_unref(snapshot);
}

void rb_figures_ask_free(void *pointer)
{
    RbFiguresAsk *ask = pointer;
    rb_snapshot_unref(ask->snapshot);
    rb_filter_free(ask->filter);
    g_free(ask);
}

void rb_table_answer_free(void *pointer)
{
    RbTableAnswer *answer = pointer;
    rb_pairings_clear(&answer->pairings);
    g_free(answer->figures);
    g_free(answer);
}

void *rb_errand_table(RbStoreSide *side, void *data, RbCancel *cancel,
                      RbProgress *progress, GError **error)
{
    (void)side;
    (void)cancel;
    (void)progress;
    (void)error;
    const RbFiguresAsk *ask = data;
    g_autoptr(RbSelection) selection = rb_selection_new(ask->snapshot, ask->filter);
    RbTableAnswer *answer = g_new0(RbTableAnswer, 1);
    answer->measure = ask->measure;
    answer->axis = ask->axis;
    rb_selection_pairings_by(selection, ask->axis, &answer->pairings);
    answer->figures = g_new0(RbMeasured, answer->pairings.n_cells + 1);
    rb_pairings_measure(&answer->pairings, ask->measure, answer->figures);
    return answer;
}

void rb_ladder_answer_free(void *pointer)
{
    RbLadderAnswer *answer = pointer;
    rb_selection_free(answer->selection);
    g_clear_pointer(&answer->filmed, g_hash_table_unref);
    g_free(answer);
}

void *rb_errand_ladder(RbStoreSide *side, void *data, RbCancel *cancel,
                       RbProgress *progress, GError **error)
{
    (void)cancel;
    (void)progress;
    (void)error;
    const RbFiguresAsk *ask = data;
    g_autoptr(RbFilter) filter = rb_filter_copy(ask->filter);
    if (ask->concept.value != 0) {
        rb_filter_remove(filter, RB_FIELD_CONCEPT);
        rb_filter_add_value(filter, RB_FIELD_CONCEPT, ask->concept.value);
    }
    if (ask->coverage.value != 0) {
        rb_filter_remove(filter, ask->axis);
        rb_filter_add_value(filter, ask->axis, ask->coverage.value);
    }
    RbLadderAnswer *answer = g_new0(RbLadderAnswer, 1);
    answer->concept = ask->concept;
    answer->coverage = ask->coverage;
    answer->axis = ask->axis;
    answer->selection = rb_selection_new(ask->snapshot, filter);
    rb_selection_ladder(answer->selection, &answer->ladder);
    rb_selection_break(answer->selection, &answer->found);
    answer->filmed = rb_errand_filmed(side, answer->selection);
    return answer;
}

/* Watches without a change after which other programs' view of the verdicts is brought up to
 * date: about twenty seconds. */
enum { OPEN_DATA_AFTER = 10 };

/* A library that cannot be written now is brought up to date another time. */
static void refresh_open_data(RbStoreSide *side, RbCancel *cancel)
{
    g_autoptr(GError) failure = NULL;
    if (!rb_library_refresh_open_data(side->library, cancel, &failure)) {
        g_debug("Open data not refreshed: %s", failure->message);
    }
}

void *rb_errand_watch(RbStoreSide *side, void *data, RbCancel *cancel,
                      RbProgress *progress, GError **error)
{
    (void)data;
    (void)progress;
    static bool yes = true;
    static bool no = false;
    if (!rb_store_side_has_library(side, error)) {
        return NULL;
    }
    const bool changed = rb_library_has_changed(side->library);
    side->quiet = changed ? 0 : side->quiet + 1;
    if (side->quiet == OPEN_DATA_AFTER) {
        refresh_open_data(side, cancel);
    }
    return changed ? &yes : &no;
}

void *rb_errand_find_films(RbStoreSide *side, void *data, RbCancel *cancel,
                           RbProgress *progress, GError **error)
{
    const char *const folders[] = { data, NULL };
    if (!rb_store_side_has_library(side, error)) {
        return NULL;
    }
    g_autoptr(GPtrArray) films = rb_library_load_films(side->library, error);
    if (films == NULL) {
        return NULL;
    }
    int found = 0;
    int missing = 0;
    for (guint i = 0; i < films->len; i++) {
        const RbFilm *film = films->pdata[i];
        RbFilmStand stand = RB_FILM_MISSING;
        rb_progress_set(progress, (double)i / films->len, film->title);
        if (!rb_library_find_film(side->library, film->id, folders, &stand, NULL, cancel,
                                  error)) {
            return NULL;
        }
        found += stand == RB_FILM_MOVED;
        missing += stand == RB_FILM_MISSING;
    }
    return rb_words_answer_new(
        g_strdup_printf(_("Films found there: %d. Still missing: %d."), found, missing));
}
