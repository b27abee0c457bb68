/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/work/demo.h"

#include <errno.h>
#include <glib/gi18n-lib.h>
#include <glib/gstdio.h>
#include <string.h>

#include "rb/base/error.h"
#include "rb/base/told.h"
#include "rb/store/playbook.h"
#include "rb/store/snaps.h"
#include "rb/store/staff.h"
#include "rb/work/error.h"
#include "rb/work/films.h"
#include "rb/work/open-data.h"
#include "rb/work/season.h"

#include "demo-private.h"
#include "library-private.h"

RbDemoOptions rb_demo_options_default(void)
{
    return (RbDemoOptions){ .seed = RB_DEMO_SEED, .film_snaps = RB_DEMO_FILM_SNAPS };
}

char *rb_demo_truth_path(const char *path)
{
    g_autofree char *folder = g_path_get_dirname(path);
    return g_build_filename(folder, "truth.json", NULL);
}

static bool is_free(const char *path, GError **error)
{
    if (!g_file_test(path, G_FILE_TEST_EXISTS) &&
        !g_file_test(path, G_FILE_TEST_IS_SYMLINK)) {
        return true;
    }
    return rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_EXISTS,
                        _("%s exists already, and a demo replaces nothing: give another "
                          "name or remove it."),
                        path);
}

static bool save_people(RbStore *store, const RbSeason *season, GError **error)
{
    bool ok = rb_store_save_person(store, season->charter, error);
    for (guint i = 0; ok && i < season->teams->len; i++) {
        ok = rb_store_save_team(store, season->teams->pdata[i], error);
    }
    for (guint i = 0; ok && i < season->players->len; i++) {
        ok = rb_store_save_player(store, season->players->pdata[i], error);
    }
    return ok;
}

static bool save_words(RbStore *store, const RbSeason *season, GError **error)
{
    bool ok = true;
    for (guint i = 0; ok && i < season->terms->len; i++) {
        ok = rb_store_save_term(store, season->terms->pdata[i], error);
    }
    for (guint i = 0; ok && i < season->concepts->len; i++) {
        ok = rb_library_save_concept(store, season->concepts->pdata[i], season->terms,
                                     error);
    }
    return ok;
}

static bool save_game(RbStore *store, const RbSeasonGame *game, GError **error)
{
    /* Without a lead the newest chart counts: who corrects a tag sees the figures move. */
    const RbPersonId lead = game->game->lead;
    game->game->lead.value = 0;
    bool ok = rb_store_save_game(store, game->game, error);
    game->game->lead = lead;
    for (guint i = 0; ok && i < game->snaps->len; i++) {
        const RbSeasonSnap *snap = game->snaps->pdata[i];
        ok = rb_store_save_snap(store, snap->snap, error) &&
             (snap->chart == NULL || rb_store_save_chart(store, snap->chart, error));
    }
    return ok;
}

/* Ends the action that `ok` tells about. */
static bool end_action(RbStore *store, bool ok, GError **error)
{
    if (!ok) {
        rb_store_rollback(store);
        return false;
    }
    return rb_store_commit(store, error);
}

static bool save_season(RbStore *store, const RbSeason *season, RbCancel *cancel,
                        GError **error)
{
    const RbPersonId charter = season->charter->id;
    g_autofree char *made = rb_told("Demo season: words, playbook, rosters");
    if (!rb_store_begin(store, (RbPersonId){ 0 }, made, error) ||
        !end_action(store,
                    save_words(store, season, error) && save_people(store, season, error),
                    error)) {
        return false;
    }
    for (guint i = 0; i < season->games->len; i++) {
        const RbSeasonGame *game = season->games->pdata[i];
        g_autofree char *words = rb_told("%s logged and charted", game->game->title);
        if (!rb_cancel_check(cancel, error) ||
            !rb_store_begin(store, charter, words, error) ||
            !end_action(store, save_game(store, game, error), error)) {
            return false;
        }
    }
    return true;
}

/* made: whether the file at the path is ours, and not one that somebody else made meanwhile. */
static bool make_library(const char *path, const RbSeason *season, const RbDemoFilm *film,
                         bool *made, RbCancel *cancel, GError **error)
{
    g_autoptr(RbStore) store = rb_store_create(path, error);
    *made = store != NULL;
    return store != NULL && save_season(store, season, cancel, error) &&
           (film == NULL || rb_demo_film_save(film, store, season, cancel, error));
}

/* So that the first look finds its figures made, from the window and from other programs. */
static bool judge_library(const char *path, RbCancel *cancel, GError **error)
{
    RbLibrary *library = rb_library_open(path, NULL, error);
    const bool ok =
        library != NULL && rb_library_refresh_open_data(library, cancel, error);
    rb_library_close(library);
    return ok;
}

static json_t *snap_truth(const RbSeason *season, const RbSeasonGame *game,
                          const RbSeasonSnap *snap)
{
    const RbSeasonTruth *truth = &snap->truth;
    g_autofree char *id = g_strdup_printf("%" G_GINT64_FORMAT, snap->snap->id.value);
    const RbConcept *concept =
        rb_season_find_concept(season, rb_chart_concept(snap->chart));
    const RbTerm *coverage =
        rb_vocabulary_find(season->terms, snap->chart->played.coverage);
    return json_pack("{s:s, s:s, s:i, s:s, s:s, s:i, s:b, s:i, s:i, s:i, s:i, s:i}",
                     "snap", id, "game", game->game->title, "number", snap->snap->number,
                     "concept", concept != NULL ? concept->token : "", "coverage",
                     coverage != NULL ? coverage->token : "", "planted", truth->planted,
                     "struck", (int)truth->struck, "right_read", truth->right_read,
                     "top_ms", truth->top_ms, "release_ms", truth->release_ms,
                     "arrival_ms", truth->arrival_ms, "end_ms", truth->end_ms);
}

static json_t *season_truth(const RbSeason *season)
{
    json_t *planted = json_array();
    for (int i = 0; i < RB_SEASON_PLANTED; i++) {
        const RbPlanted *one = &season->planted[i];
        json_array_append_new(
            planted,
            json_pack("{s:s, s:s, s:i, s:s}", "concept",
                      rb_season_find_concept(season, one->concept)->token, "coverage",
                      rb_vocabulary_find(season->terms, one->coverage)->token, "read",
                      one->read, "stage",
                      rb_words_token(&rb_stage_words, (int)one->stage)));
    }
    json_t *snaps = json_array();
    for (guint i = 0; i < season->games->len; i++) {
        const RbSeasonGame *game = season->games->pdata[i];
        for (guint j = 0; j < game->snaps->len; j++) {
            const RbSeasonSnap *snap = game->snaps->pdata[j];
            if (snap->chart != NULL) {
                json_array_append_new(snaps, snap_truth(season, game, snap));
            }
        }
    }
    return json_pack("{s:I, s:o, s:o}", "seed", (json_int_t)season->seed, "planted",
                     planted, "snaps", snaps);
}

static bool write_truth(const char *path, const RbSeason *season, const RbDemoFilm *film,
                        GError **error)
{
    json_t *root = season_truth(season);
    if (film != NULL) {
        rb_demo_film_truth_add(film->truth, root);
    }
    char *text = json_dumps(root, JSON_INDENT(1) | JSON_REAL_PRECISION(9));
    json_decref(root);
    g_autoptr(GError) failure = NULL;
    const bool ok = g_file_set_contents(path, text, -1, &failure);
    free(text);
    return ok || rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_FAILED,
                              _("The demo's truth cannot be written to %s: %s"), path,
                              failure->message);
}

static bool make(const char *path, const char *truth, const char *folder,
                 const RbDemoOptions *options, RbCancel *cancel, RbProgress *progress,
                 GError **error)
{
    g_autoptr(RbSeason) season = rb_season_new(options->seed);
    g_autoptr(RbDemoFilm) film = NULL;
    if (options->film_snaps != 0) {
        g_autoptr(RbProgress) part = rb_progress_part(progress, 0.02, 0.95);
        film =
            rb_demo_film_shoot(season, folder, options->film_snaps, cancel, part, error);
        if (film == NULL) {
            return false;
        }
    }
    rb_progress_set(progress, 0.96, _("Writing the season"));
    bool made = false;
    const bool ok = make_library(path, season, film, &made, cancel, error) &&
                    judge_library(path, cancel, error) &&
                    write_truth(truth, season, film, error);
    if (!ok && made) {
        rb_store_remove_unfinished(path);
    }
    if (!ok && film != NULL) {
        rb_demo_folder_remove(folder);
    }
    return ok;
}

bool rb_demo_make(const char *path, const RbDemoOptions *options, RbCancel *cancel,
                  RbProgress *progress, GError **error)
{
    g_autofree char *truth = rb_demo_truth_path(path);
    g_autofree char *folder = rb_film_folder_of(path);
    if (!is_free(path, error) || !is_free(truth, error) ||
        (options->film_snaps != 0 && !is_free(folder, error))) {
        return false;
    }
    rb_progress_set(progress, 0.0, _("Inventing a season"));
    if (!make(path, truth, folder, options, cancel, progress, error)) {
        return false;
    }
    rb_progress_set(progress, 1.0, _("Done"));
    return true;
}
