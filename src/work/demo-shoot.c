/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <errno.h>
#include <glib/gstdio.h>
#include <string.h>

#include "rb/base/error.h"
#include "rb/base/told.h"
#include "rb/film/fingerprint.h"
#include "rb/film/frames.h"
#include "rb/store/films.h"
#include "rb/work/demo.h"
#include "rb/work/error.h"

#include "demo-private.h"

void rb_demo_film_free(RbDemoFilm *film)
{
    if (film != NULL) {
        rb_demo_film_truth_free(film->truth);
        g_free(film->folder);
        g_free(film);
    }
}

void rb_demo_folder_remove(const char *folder)
{
    if (g_file_test(folder, G_FILE_TEST_IS_SYMLINK) ||
        !g_file_test(folder, G_FILE_TEST_IS_DIR)) {
        g_unlink(folder);
        return;
    }
    g_autoptr(GDir) dir = g_dir_open(folder, 0, NULL);
    const char *name = NULL;
    while (dir != NULL && (name = g_dir_read_name(dir)) != NULL) {
        g_autofree char *child = g_build_filename(folder, name, NULL);
        rb_demo_folder_remove(child);
    }
    g_rmdir(folder);
}

static int count_struck(const RbSeasonGame *game)
{
    int n = 0;
    for (guint i = 0; i < game->snaps->len; i++) {
        const RbSeasonSnap *snap = game->snaps->pdata[i];
        n += snap->chart != NULL && snap->truth.struck;
    }
    return n;
}

/* The game in which the planted trouble shows most. */
static const RbSeasonGame *pick_game(const RbSeason *season)
{
    const RbSeasonGame *best = season->games->pdata[0];
    for (guint i = 1; i < season->games->len; i++) {
        const RbSeasonGame *game = season->games->pdata[i];
        best = count_struck(game) > count_struck(best) ? game : best;
    }
    return best;
}

/* Which dropbacks are filmed: those with the trouble first, then the others, as many as wanted;
 * filmed in the order of the game. Returns: (transfer full): of RbSeasonSnap, borrowed. */
static GPtrArray *pick_snaps(const RbSeasonGame *game, int n)
{
    g_autofree bool *wanted = g_new0(bool, game->snaps->len);
    int left = n == RB_DEMO_ALL_SNAPS ? (int)game->snaps->len : n;
    for (int struck = 1; struck >= 0; struck--) {
        for (guint i = 0; i < game->snaps->len && left > 0; i++) {
            const RbSeasonSnap *snap = game->snaps->pdata[i];
            if (snap->chart != NULL && snap->truth.struck == (struck == 1)) {
                wanted[i] = true;
                left--;
            }
        }
    }
    GPtrArray *snaps = g_ptr_array_new();
    for (guint i = 0; i < game->snaps->len; i++) {
        if (wanted[i]) {
            g_ptr_array_add(snaps, game->snaps->pdata[i]);
        }
    }
    return snaps;
}

static RbDemoMotion motion_of(const RbSeason *season, RbTermId motion)
{
    static const struct {
        const char *token;
        RbDemoMotion motion;
    } rows[] = {
        { "jet", RB_DEMO_MOTION_JET },        { "orbit", RB_DEMO_MOTION_ORBIT },
        { "short-in", RB_DEMO_MOTION_SHORT }, { "short-out", RB_DEMO_MOTION_SHORT },
        { "across", RB_DEMO_MOTION_ACROSS },
    };
    const RbTerm *term = rb_vocabulary_find(season->terms, motion);
    for (size_t i = 0; term != NULL && i < G_N_ELEMENTS(rows); i++) {
        if (strcmp(rows[i].token, term->token) == 0) {
            return rows[i].motion;
        }
    }
    return RB_DEMO_MOTION_NONE;
}

static RbDemoPlay play_of(const RbSeason *season, const RbSeasonSnap *snap)
{
    const RbSeasonTruth *truth = &snap->truth;
    RbDemoPlay play = rb_demo_play_default();
    const RbReadContext context = {
        .snap = snap->snap,
        .first = rb_season_find_concept(season, snap->chart->call.first),
        .second = rb_season_find_concept(season, snap->chart->call.second),
        .terms = season->terms,
        .footwork = rb_footwork_defaults(),
    };
    rb_demo_play_set_chart(&play, &context, snap->chart);
    /* Teams change ends with each quarter. */
    play.attacks_right = snap->snap->situation.quarter % 2 == 1;
    play.receivers_left = truth->receivers_left;
    play.receivers_right = truth->receivers_right;
    play.tight_end = truth->tight_end;
    play.backfield = truth->backfield;
    play.motion = motion_of(season, snap->snap->motion);
    play.motion_side = rb_strong_side(snap->snap->strong);
    /* Some teams move a man and set again, and now and then a lineman jumps. */
    const uint64_t habit = (uint64_t)snap->snap->id.value % 12;
    play.shift = play.motion == RB_DEMO_MOTION_NONE && habit < 2;
    play.false_start = habit == 2;
    play.drop_steps = truth->drop_steps;
    play.release_ms = MAX(truth->release_ms, 0);
    play.n_routes = MIN(truth->n_routes, RB_DEMO_ROUTES_MAX);
    for (int i = 0; i < play.n_routes; i++) {
        const RbSeasonRoute *route = &truth->routes[i];
        play.routes[i] = (RbDemoRoute){ route->side,     route->runner, route->route,
                                        route->depth_yd, route->read,   route->look };
    }
    play.target = truth->target;
    return play;
}

static bool film_game(const RbSeason *season, const RbSeasonGame *game, int n,
                      const char *folder, RbDemoFilmTruth **truth, RbCancel *cancel,
                      RbProgress *progress, GError **error)
{
    g_autoptr(GPtrArray) snaps = pick_snaps(game, n);
    g_autofree RbDemoPlay *plays = g_new0(RbDemoPlay, MAX(snaps->len, 1));
    for (guint i = 0; i < snaps->len; i++) {
        plays[i] = play_of(season, snaps->pdata[i]);
    }
    const RbDemoFilmSpec spec = {
        .code = game->game->rules == RB_RULES_PRO           ? RB_FIELD_PRO
                : game->game->rules == RB_RULES_HIGH_SCHOOL ? RB_FIELD_HIGH_SCHOOL
                                                            : RB_FIELD_COLLEGE,
        .seed = season->seed,
        .plays = plays,
        .n_plays = (int)snaps->len,
        .title = game->game->title,
    };
    const RbDemoFilmOptions options = { .per_snap_files = true };
    return rb_demo_film_make(&spec, folder, &options, cancel, progress, truth, error);
}

RbDemoFilm *rb_demo_film_shoot(const RbSeason *season, const char *folder, int n,
                               RbCancel *cancel, RbProgress *progress, GError **error)
{
    const RbSeasonGame *game = pick_game(season);
    /* A killed program leaves an odd name behind, not a folder that looks whole. */
    g_autofree char *part = g_strconcat(folder, ".part-XXXXXX", NULL);
    if (g_mkdtemp_full(part, 0777) == NULL) {
        rb_error_errno(error, RB_WORK_ERROR, RB_WORK_ERROR_FAILED, errno,
                       "The folder of the demo's film cannot be made at %s", folder);
        return NULL;
    }
    g_autoptr(RbDemoFilm) film = g_new0(RbDemoFilm, 1);
    film->game = game->game->id;
    film->folder = g_canonicalize_filename(folder, NULL);
    if (!film_game(season, game, n, part, &film->truth, cancel, progress, error)) {
        rb_demo_folder_remove(part);
        return NULL;
    }
    if (g_rename(part, folder) != 0) {
        rb_error_errno(error, RB_WORK_ERROR, RB_WORK_ERROR_FAILED, errno,
                       "The folder of the demo's film cannot be named %s", folder);
        rb_demo_folder_remove(part);
        return NULL;
    }
    return g_steal_pointer(&film);
}

/* Marks lie on frames; their times come from the film's own index. */
static RbClip *clip_of(const RbDemoClip *shot, RbFilmId film, RbReel *reel)
{
    RbClip *clip =
        rb_clip_new((RbClipId){ rb_id_from_pair("clip", shot->snap.value, film.value) },
                    shot->snap, film, shot->angle);
    clip->first = shot->first;
    clip->last = shot->last;
    rb_reel_get_frame_time(reel, shot->first, &clip->first_time);
    rb_reel_get_frame_time(reel, shot->last, &clip->last_time);
    clip->cut_early = RB_NO;
    for (guint i = 0; i < shot->moments->len; i++) {
        const RbDemoMoment *moment = &g_array_index(shot->moments, RbDemoMoment, i);
        RbMark mark = { .id = rb_mark_id(clip->id, moment->kind),
                        .clip = clip->id,
                        .kind = moment->kind,
                        .frame = moment->frame,
                        .index_version = rb_reel_get_index_version() };
        rb_reel_get_frame_time(reel, moment->frame, &mark.time);
        g_array_append_val(clip->marks, mark);
    }
    return clip;
}

/* A film of the folder, its place, and the clips it holds. */
static bool save_one(const RbDemoFilm *film, const char *name, RbAngle angle,
                     RbStore *store, RbCancel *cancel, GError **error)
{
    g_autofree char *path = g_build_filename(film->folder, name, NULL);
    g_autoptr(RbReel) reel = rb_reel_open_wait(path, cancel, 0, NULL, error);
    if (reel == NULL) {
        return false;
    }
    int64_t bytes = 0;
    g_autofree char *fingerprint = rb_film_fingerprint(path, &bytes, cancel, error);
    if (fingerprint == NULL) {
        return false;
    }
    g_autoptr(RbFilm) row =
        rb_film_new((RbFilmId){ rb_id_from_text("film", fingerprint, NULL) }, name);
    g_free(row->fingerprint);
    row->fingerprint = g_strdup(fingerprint);
    row->bytes = bytes;
    row->angle = angle;
    row->game = film->game;
    bool ok = rb_store_save_film(store, row, error) &&
              rb_store_add_film_path(store, row->id, path, error);
    for (guint i = 0; ok && i < film->truth->clips->len; i++) {
        const RbDemoClip *shot = film->truth->clips->pdata[i];
        if (strcmp(shot->film, name) == 0) {
            g_autoptr(RbClip) clip = clip_of(shot, row->id, reel);
            ok = rb_store_save_clip(store, clip, error);
        }
    }
    return ok;
}

bool rb_demo_film_save(const RbDemoFilm *film, RbStore *store, const RbSeason *season,
                       RbCancel *cancel, GError **error)
{
    g_autofree char *words = rb_told("Film added, clips and marks set");
    if (!rb_store_begin(store, season->charter->id, words, error)) {
        return false;
    }
    g_autoptr(GPtrArray) done = g_ptr_array_new();
    for (guint i = 0; i < film->truth->clips->len; i++) {
        const RbDemoClip *shot = film->truth->clips->pdata[i];
        if (g_ptr_array_find_with_equal_func(done, shot->film, g_str_equal, NULL)) {
            continue;
        }
        g_ptr_array_add(done, shot->film);
        if (!save_one(film, shot->film, shot->angle, store, cancel, error)) {
            rb_store_rollback(store);
            return false;
        }
    }
    return rb_store_commit(store, error);
}
