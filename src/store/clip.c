/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/base/ids.h"
#include "rb/store/films.h"

#include "children.h"
#include "tables.h"

static const RbColumn clip_columns[] = {
    RB_ID(RbClip, snap, "snap"),
    RB_ID(RbClip, film, "film"),
    RB_KNOWN_WORD(RbClip, angle, "angle", rb_angle_words),
    RB_LONG(RbClip, first, "first"),
    RB_LONG(RbClip, last, "last"),
    RB_LONG(RbClip, first_time.ticks, "first_ticks"),
    RB_INT(RbClip, first_time.base.num, "first_num", RB_ALWAYS_KNOWN),
    RB_INT(RbClip, first_time.base.den, "first_den", RB_ALWAYS_KNOWN),
    RB_LONG(RbClip, last_time.ticks, "last_ticks"),
    RB_INT(RbClip, last_time.base.num, "last_num", RB_ALWAYS_KNOWN),
    RB_INT(RbClip, last_time.base.den, "last_den", RB_ALWAYS_KNOWN),
    RB_WORD(RbClip, cut_early, "cut_early", rb_yes_no_words),
};

static void *make_clip(void)
{
    return rb_clip_new((RbClipId){ 0 }, (RbSnapId){ 0 }, (RbFilmId){ 0 }, RB_ANGLE_WIDE);
}

const RbTable rb_clip_table = {
    "clip",       "clip",
    clip_columns, G_N_ELEMENTS(clip_columns),
    make_clip,    (GDestroyNotify)rb_clip_free,
};

static const RbColumn mark_columns[] = {
    RB_ID(RbMark, clip, "clip"),
    RB_KNOWN_WORD(RbMark, kind, "kind", rb_mark_words),
    RB_LONG(RbMark, frame, "frame"),
    RB_LONG(RbMark, time.ticks, "ticks"),
    RB_INT(RbMark, time.base.num, "num", RB_ALWAYS_KNOWN),
    RB_INT(RbMark, time.base.den, "den", RB_ALWAYS_KNOWN),
    RB_INT(RbMark, index_version, "index_version", RB_ALWAYS_KNOWN),
};

const RbTable rb_mark_table = {
    "mark", "mark", mark_columns, G_N_ELEMENTS(mark_columns), NULL, NULL,
};

RbMarkId rb_mark_id(RbClipId clip, RbMarkKind kind)
{
    return (RbMarkId){ rb_id_from_pair("mark", clip.value, (int64_t)kind) };
}

static bool take_mark(RbStatement *row, void *data, GError **error)
{
    RbMark mark = { 0 };
    if (!rb_row_read(row, &rb_mark_table, &mark, error)) {
        return false;
    }
    RbClip *clip = rb_children_find(data, mark.clip.value);
    if (clip != NULL) {
        g_array_append_val(clip->marks, mark);
    }
    return true;
}

/* Clips t by `tail`, then their marks by `of_clips`, a condition on c and its snap s. */
static GPtrArray *list(RbStore *store, const char *tail, const char *of_clips,
                       const int64_t *ids, int n_ids, GError **error)
{
    g_autoptr(GPtrArray) found =
        rb_row_list(store, &rb_clip_table, tail, ids, n_ids, error);
    if (found == NULL) {
        return NULL;
    }
    g_autoptr(GHashTable) index = rb_children_index(found);
    g_autofree char *sql =
        g_strconcat("SELECT m.* FROM clip c LEFT JOIN snap s ON s.id = c.snap JOIN mark m"
                    " ON m.clip = c.id WHERE m.removed = 0",
                    of_clips, " ORDER BY m.clip, m.frame, m.id", NULL);
    return rb_children_read(store, sql, ids, n_ids, take_mark, index, error)
               ? g_steal_pointer(&found)
               : NULL;
}

RbClip *rb_store_load_clip(RbStore *store, RbClipId id, GError **error)
{
    g_autoptr(GPtrArray) found = list(store, "WHERE t.id = ? AND t.removed = 0",
                                      " AND c.id = ?", &id.value, 1, error);
    return found != NULL ? rb_row_first(store, &rb_clip_table, found, error) : NULL;
}

#define BY_ANGLE                                                                         \
    " CASE t.angle WHEN 'wide' THEN 0 WHEN 'tight' THEN 1 ELSE 2 END, t.first, t.id"

GPtrArray *rb_store_list_clips(RbStore *store, RbSnapId snap, GError **error)
{
    return list(store, "WHERE t.snap = ? AND t.removed = 0 ORDER BY" BY_ANGLE,
                " AND c.snap = ?", &snap.value, 1, error);
}

GPtrArray *rb_store_list_game_clips(RbStore *store, RbGameId game, GError **error)
{
    if (game.value == 0) {
        return list(store,
                    "JOIN snap s ON s.id = t.snap JOIN game g ON g.id = s.game"
                    " WHERE t.removed = 0 AND s.removed = 0 AND g.removed = 0"
                    " ORDER BY g.played_on, g.id, s.number, s.id," BY_ANGLE,
                    "", NULL, 0, error);
    }
    return list(store,
                "JOIN snap s ON s.id = t.snap WHERE s.game = ? AND t.removed = 0"
                " AND s.removed = 0 ORDER BY s.number, s.id," BY_ANGLE,
                " AND s.game = ?", &game.value, 1, error);
}

static bool has_film(RbStore *store, RbSnapId snap, bool *has, GError **error)
{
    g_autoptr(RbStatement) query = rb_statement_new(
        store, "SELECT 1 FROM clip WHERE snap = ? AND film <> 0 AND removed = 0 LIMIT 1",
        error);
    if (query == NULL) {
        return false;
    }
    rb_statement_bind_int(query, snap.value);
    const RbStep step = rb_statement_step(query, error);
    *has = step == RB_STEP_ROW;
    return step != RB_STEP_ERROR;
}

GHashTable *rb_store_find_filmed(RbStore *store, const GArray *snaps, GError **error)
{
    g_autoptr(GHashTable) filmed =
        g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, NULL);
    for (guint i = 0; i < snaps->len; i++) {
        const RbSnapId snap = g_array_index(snaps, RbSnapId, i);
        bool has = false;
        if (!has_film(store, snap, &has, error)) {
            return NULL;
        }
        if (has) {
            g_hash_table_add(filmed, g_memdup2(&snap.value, sizeof snap.value));
        }
    }
    return g_steal_pointer(&filmed);
}

bool rb_store_save_clip(RbStore *store, const RbClip *clip, GError **error)
{
    if (!rb_row_save(store, &rb_clip_table, clip, error)) {
        return false;
    }
    g_autoptr(GArray) keep = g_array_new(FALSE, FALSE, sizeof(int64_t));
    for (guint i = 0; i < clip->marks->len; i++) {
        RbMark mark = g_array_index(clip->marks, RbMark, i);
        mark.clip = clip->id;
        if (mark.id.value == 0) {
            mark.id = rb_mark_id(clip->id, mark.kind);
        }
        g_array_append_val(keep, mark.id.value);
        if (!rb_row_save(store, &rb_mark_table, &mark, error)) {
            return false;
        }
    }
    return rb_row_remove_others(store, &rb_mark_table, "clip", clip->id.value, keep,
                                error);
}

bool rb_store_remove_clip(RbStore *store, RbClipId id, GError **error)
{
    return rb_row_remove(store, &rb_clip_table, id.value, error);
}
