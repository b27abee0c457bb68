/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/base/ids.h"
#include "rb/store/snaps.h"

#include "children.h"
#include "tables.h"

static const RbColumn snap_columns[] = {
    RB_ID(RbSnap, game, "game"),
    RB_INT(RbSnap, number, "number", RB_ALWAYS_KNOWN),
    RB_KNOWN_WORD(RbSnap, situation.phase, "phase", rb_phase_words),
    RB_INT(RbSnap, situation.quarter, "quarter", 0),
    RB_INT(RbSnap, situation.clock_s, "clock_s", -1),
    RB_INT(RbSnap, situation.down, "down", 0),
    RB_INT(RbSnap, situation.distance, "distance", 0),
    RB_INT(RbSnap, situation.yards_to_goal, "yards_to_goal", 0),
    RB_WORD(RbSnap, situation.hash, "hash", rb_hash_words),
    RB_ID(RbSnap, situation.offense, "offense"),
    RB_INT(RbSnap, situation.score_offense, "score_offense", -1),
    RB_INT(RbSnap, situation.score_defense, "score_defense", -1),
    RB_INT(RbSnap, timeouts_offense, "timeouts_offense", -1),
    RB_INT(RbSnap, timeouts_defense, "timeouts_defense", -1),
    RB_WORD(RbSnap, hurry, "hurry", rb_yes_no_words),
    RB_ID(RbSnap, quarterback, "quarterback"),
    RB_ID(RbSnap, personnel, "personnel"),
    RB_ID(RbSnap, formation, "formation"),
    RB_ID(RbSnap, motion, "motion"),
    RB_WORD(RbSnap, strong, "strong", rb_strong_words),
    RB_WORD(RbSnap, width, "width", rb_width_words),
    RB_WORD(RbSnap, play, "play", rb_play_words),
    RB_WORD(RbSnap, result, "result", rb_result_words),
    RB_KNOWN_WORD(RbSnap, ending, "ending", rb_ending_words),
    { "gain", RB_COLUMN_GAIN, offsetof(RbSnap, gain), RB_ALWAYS_KNOWN, NULL,
      offsetof(RbSnap, has_gain) },
    RB_ID(RbSnap, intended, "intended"),
    RB_TEXT(RbSnap, note, "note"),
};

static void *make_snap(void)
{
    return rb_snap_new((RbSnapId){ 0 }, (RbGameId){ 0 }, 0);
}

const RbTable rb_snap_table = {
    "snap",       "snap",
    snap_columns, G_N_ELEMENTS(snap_columns),
    make_snap,    (GDestroyNotify)rb_snap_free,
};

static const RbColumn penalty_columns[] = {
    RB_ID(RbPenalty, snap, "snap"),
    RB_ID(RbPenalty, foul, "foul"),
    RB_KNOWN_WORD(RbPenalty, side, "side", rb_foul_side_words),
    RB_KNOWN_WORD(RbPenalty, ruling, "ruling", rb_ruling_words),
    RB_KNOWN_WORD(RbPenalty, enforced, "enforced", rb_enforced_words),
    RB_INT(RbPenalty, yards, "yards", RB_ALWAYS_KNOWN),
    RB_INT(RbPenalty, spot, "spot", 0),
    RB_WORD(RbPenalty, down_counts, "down_counts", rb_yes_no_words),
    RB_WORD(RbPenalty, first_down, "first_down", rb_yes_no_words),
};

const RbTable rb_penalty_table = {
    "penalty", "penalty", penalty_columns, G_N_ELEMENTS(penalty_columns), NULL, NULL,
};

static bool take_penalty(RbStatement *row, void *data, GError **error)
{
    RbPenalty penalty = { 0 };
    if (!rb_row_read(row, &rb_penalty_table, &penalty, error)) {
        return false;
    }
    RbSnap *snap = rb_children_find(data, penalty.snap.value);
    if (snap != NULL) {
        g_array_append_val(snap->penalties, penalty);
    }
    return true;
}

/* One of the staff's own tags, on its way to its row. */
typedef struct {
    int64_t id;
    RbSnapId snap;
    RbTermId term;
} Tag;

static const RbColumn tag_columns[] = {
    RB_ID(Tag, snap, "snap"),
    RB_ID(Tag, term, "term"),
};

const RbTable rb_snap_tag_table = {
    "snap_tag", "tag", tag_columns, G_N_ELEMENTS(tag_columns), NULL, NULL,
};

static bool take_tag(RbStatement *row, void *data, GError **error)
{
    Tag tag = { 0 };
    if (!rb_row_read(row, &rb_snap_tag_table, &tag, error)) {
        return false;
    }
    RbSnap *snap = rb_children_find(data, tag.snap.value);
    if (snap != NULL && tag.term.value != 0) {
        rb_snap_set_tag(snap, tag.term, true);
    }
    return true;
}

/* Snaps by `tail`, then the penalties and tags of the same snaps by `of_snaps`, a condition on s. */
static GPtrArray *list(RbStore *store, const char *tail, const char *of_snaps,
                       const int64_t *ids, int n_ids, GError **error)
{
    g_autoptr(GPtrArray) found =
        rb_row_list(store, &rb_snap_table, tail, ids, n_ids, error);
    if (found == NULL) {
        return NULL;
    }
    g_autoptr(GHashTable) index = rb_children_index(found);
    g_autofree char *sql = g_strconcat("SELECT p.* FROM snap s JOIN penalty p"
                                       " ON p.snap = s.id WHERE p.removed = 0",
                                       of_snaps, " ORDER BY p.snap, p.id", NULL);
    g_autofree char *of_tags = g_strconcat("SELECT p.* FROM snap s JOIN snap_tag p"
                                           " ON p.snap = s.id WHERE p.removed = 0",
                                           of_snaps, NULL);
    const bool ok =
        rb_children_read(store, sql, ids, n_ids, take_penalty, index, error) &&
        rb_children_read(store, of_tags, ids, n_ids, take_tag, index, error);
    return ok ? g_steal_pointer(&found) : NULL;
}

RbSnap *rb_store_load_snap(RbStore *store, RbSnapId id, GError **error)
{
    g_autoptr(GPtrArray) found = list(store, "WHERE t.id = ? AND t.removed = 0",
                                      " AND s.id = ?", &id.value, 1, error);
    return found != NULL ? rb_row_first(store, &rb_snap_table, found, error) : NULL;
}

GPtrArray *rb_store_list_snaps(RbStore *store, RbGameId game, GError **error)
{
    if (game.value == 0) {
        return list(store,
                    "JOIN game g ON g.id = t.game WHERE t.removed = 0 AND g.removed = 0"
                    " ORDER BY g.played_on, g.id, t.number, t.id",
                    "", NULL, 0, error);
    }
    return list(store, "WHERE t.game = ? AND t.removed = 0 ORDER BY t.number, t.id",
                " AND s.game = ?", &game.value, 1, error);
}

static bool save_tags(RbStore *store, const RbSnap *snap, GError **error)
{
    g_autoptr(GArray) keep = g_array_new(FALSE, FALSE, sizeof(int64_t));
    for (guint i = 0; i < snap->own_tags->len; i++) {
        const RbTermId term = g_array_index(snap->own_tags, RbTermId, i);
        const Tag tag = { rb_id_from_pair("snap_tag", snap->id.value, term.value),
                          snap->id, term };
        g_array_append_val(keep, tag.id);
        if (!rb_row_save(store, &rb_snap_tag_table, &tag, error)) {
            return false;
        }
    }
    return rb_row_remove_others(store, &rb_snap_tag_table, "snap", snap->id.value, keep,
                                error);
}

bool rb_store_save_snap(RbStore *store, const RbSnap *snap, GError **error)
{
    if (!rb_row_save(store, &rb_snap_table, snap, error) ||
        !save_tags(store, snap, error)) {
        return false;
    }
    g_autoptr(GArray) keep = g_array_new(FALSE, FALSE, sizeof(int64_t));
    for (guint i = 0; i < snap->penalties->len; i++) {
        RbPenalty penalty = g_array_index(snap->penalties, RbPenalty, i);
        penalty.snap = snap->id;
        g_array_append_val(keep, penalty.id.value);
        if (!rb_row_save(store, &rb_penalty_table, &penalty, error)) {
            return false;
        }
    }
    return rb_row_remove_others(store, &rb_penalty_table, "snap", snap->id.value, keep,
                                error);
}

bool rb_store_remove_snap(RbStore *store, RbSnapId id, GError **error)
{
    return rb_row_remove(store, &rb_snap_table, id.value, error);
}
