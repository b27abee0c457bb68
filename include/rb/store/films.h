/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/model/film.h"
#include "rb/store/store.h"

/* Films, where they lie on this computer, clips with their marks. The pattern is that of
 * staff.h. */

RbFilm *rb_store_load_film(RbStore *store, RbFilmId id, GError **error);
/* Of one game; 0: every film. By title. */
GPtrArray *rb_store_list_films(RbStore *store, RbGameId game, GError **error);
bool rb_store_save_film(RbStore *store, const RbFilm *film, GError **error);

/* Local: the paths (bytes as the file system gives them) where a film was seen, the one seen
 * last first. Adding a known path makes it the first. No action needed.
 * list returns: (transfer full): GPtrArray of char *. */
bool rb_store_add_film_path(RbStore *store, RbFilmId film, const char *path,
                            GError **error);
bool rb_store_remove_film_path(RbStore *store, RbFilmId film, const char *path,
                               GError **error);
GPtrArray *rb_store_list_film_paths(RbStore *store, RbFilmId film, GError **error);

RbClip *rb_store_load_clip(RbStore *store, RbClipId id, GError **error);
/* Of one snap: wide, tight, other; then by first frame. */
GPtrArray *rb_store_list_clips(RbStore *store, RbSnapId snap, GError **error);
/* Of a whole game (0: all games), by snap number, then as above. */
GPtrArray *rb_store_list_game_clips(RbStore *store, RbGameId game, GError **error);
/* Of some snaps (RbSnapId) those with a clip on a film. Returns: (transfer full) (nullable): a set
 * of ids (int64_t *). */
GHashTable *rb_store_find_filmed(RbStore *store, const GArray *snaps, GError **error);
/* A mark whose id is 0 is stored under an id made of its clip and kind, so that two laptops
 * that mark the same moment speak of one mark. Marks the stored clip has and `clip` lacks
 * are removed. */
bool rb_store_save_clip(RbStore *store, const RbClip *clip, GError **error);
bool rb_store_remove_clip(RbStore *store, RbClipId id, GError **error);
RbMarkId rb_mark_id(RbClipId clip, RbMarkKind kind);
