/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/store/store.h"
#include "rb/work/demo-film.h"
#include "rb/work/season.h"

/* The film of one game of a demo season, in its folder. */
typedef struct {
    char *folder; /* owned */
    RbGameId game;
    RbDemoFilmTruth *truth; /* owned */
} RbDemoFilm;

/* Films `n` dropbacks (RB_DEMO_ALL_SNAPS: all) of the game that shows most of the planted
 * trouble, those snaps first. The folder appears when it is whole; failed or cancelled, nothing
 * is left. Returns: (transfer full) (nullable): with `error`. */
RbDemoFilm *rb_demo_film_shoot(const RbSeason *season, const char *folder, int n,
                               RbCancel *cancel, RbProgress *progress, GError **error);
void rb_demo_film_free(RbDemoFilm *film); /* NULL is allowed */

/* Writes films, clips and marks to the library, as one action. */
bool rb_demo_film_save(const RbDemoFilm *film, RbStore *store, const RbSeason *season,
                       RbCancel *cancel, GError **error);

/* Removes a folder of ours with all that is in it. */
void rb_demo_folder_remove(const char *folder);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbDemoFilm, rb_demo_film_free)
