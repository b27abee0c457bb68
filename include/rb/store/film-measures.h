/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/model/film-measure.h"
#include "rb/store/store.h"

/* Frames of film with marks of the field, and what was measured on them. The pattern is that of
 * staff.h. */

RbFieldView *rb_store_load_field_view(RbStore *store, RbFieldViewId id, GError **error);
/* Of one film, by frame, each with its sights. */
GPtrArray *rb_store_list_field_views(RbStore *store, RbFilmId film, GError **error);
/* A sight whose id is 0 is given one. Sights the stored view has and `view` lacks are removed. */
bool rb_store_save_field_view(RbStore *store, const RbFieldView *view, GError **error);

RbFilmMeasure *rb_store_load_measure(RbStore *store, RbFilmMeasureId id, GError **error);
/* Of one snap, by kind and frame; of a whole game by snap number first (0: all games). */
GPtrArray *rb_store_list_measures(RbStore *store, RbSnapId snap, GError **error);
GPtrArray *rb_store_list_game_measures(RbStore *store, RbGameId game, GError **error);
bool rb_store_save_measure(RbStore *store, const RbFilmMeasure *measure, GError **error);
bool rb_store_remove_measure(RbStore *store, RbFilmMeasureId id, GError **error);
