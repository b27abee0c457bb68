/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "rb/base/told.h"
#include "rb/model/yardline.h"
#include "rb/store/history.h"
#include "rb/store/snaps.h"
#include "rb/store/statement.h"
#include "rb/work/exchange.h"

#include "library-private.h"

/* What laptops disagree on, in words. */

static void value_free(void *data)
{
    RbDisputeValue *value = data;
    g_free(value->text);
    g_free(value->told);
    g_free(value->who);
    g_free(value);
}

void rb_dispute_free(RbDispute *dispute)
{
    if (dispute != NULL) {
        g_free(dispute->what);
        g_free(dispute->told);
        g_ptr_array_unref(dispute->values);
        rb_conflict_free(dispute->conflict);
        g_free(dispute);
    }
}

/* What an id in a column means. Returns: (transfer full) (nullable): NULL for no such name. */
static char *name_of_id(const RbNames *names, const char *column, int64_t id)
{
    static const char *const of_terms[] = { "personnel", "formation", "motion",
                                            "foul",      "coverage",  "adjustment" };
    for (size_t i = 0; i < G_N_ELEMENTS(of_terms); i++) {
        if (strcmp(column, of_terms[i]) == 0) {
            return g_strdup(rb_names_term(names, (RbTermId){ id }));
        }
    }
    if (strcmp(column, "quarterback") == 0 || strcmp(column, "intended") == 0) {
        return rb_names_player_text(names, (RbPlayerId){ id });
    }
    if (strcmp(column, "call_first") == 0 || strcmp(column, "call_second") == 0) {
        return g_strdup(rb_names_concept(names, (RbConceptId){ id }));
    }
    if (strcmp(column, "offense") == 0 || strcmp(column, "us") == 0 ||
        strcmp(column, "them") == 0 || strcmp(column, "team") == 0) {
        const RbTeam *team = rb_names_find_team(names, (RbTeamId){ id });
        return team != NULL ? g_strdup(team->name) : NULL;
    }
    return NULL;
}

/* What people call the facts of a snap, and the fixed words that stand in them. */
static const struct {
    const char *column;
    const char *label;
    const RbWords *words; /* nullable */
} facts[] = {
    { "phase", N_("kind of down"), &rb_phase_words },
    { "quarter", N_("quarter"), NULL },
    { "clock_s", N_("clock in seconds"), NULL },
    { "down", N_("down"), NULL },
    { "distance", N_("distance"), NULL },
    { "yards_to_goal", N_("yard line"), NULL },
    { "hash", N_("hash"), &rb_hash_words },
    { "offense", N_("team with the ball"), NULL },
    { "quarterback", N_("quarterback"), NULL },
    { "personnel", N_("personnel"), NULL },
    { "formation", N_("formation"), NULL },
    { "motion", N_("motion"), NULL },
    { "strong", N_("strong side"), &rb_strong_words },
    { "play", N_("kind of play"), &rb_play_words },
    { "result", N_("result"), &rb_result_words },
    { "ending", N_("ending"), &rb_ending_words },
    { "gain", N_("gain"), NULL },
    { "intended", N_("intended receiver"), NULL },
    { "note", N_("note"), NULL },
    { "removed", N_("kept or taken away"), NULL },
};

static int find_fact(const char *column)
{
    for (int i = 0; i < (int)G_N_ELEMENTS(facts); i++) {
        if (strcmp(facts[i].column, column) == 0) {
            return i;
        }
    }
    return -1;
}

/* Returns: told (transfer full) (nullable). */
static char *fact_text(const char *column, const char *value)
{
    const int fact = find_fact(column);
    int word = 0;
    if (strcmp(column, "yards_to_goal") == 0) {
        const gint64 yards = g_ascii_strtoll(value, NULL, 10);
        return yards >= 1 && yards <= 99 ? rb_yardline_tell((int)yards) : NULL;
    }
    return fact >= 0 && facts[fact].words != NULL &&
                   rb_words_parse(facts[fact].words, value, &word)
               ? rb_words_tell(facts[fact].words, word)
               : NULL;
}

/* Returns: told (transfer full). */
static char *value_text(const RbNames *names, const char *column, const char *value)
{
    if (value == NULL) {
        return rb_told("not known");
    }
    char *name = name_of_id(names, column, g_ascii_strtoll(value, NULL, 10));
    if (name == NULL && strcmp(column, "removed") == 0) {
        name = strcmp(value, "0") == 0 ? rb_told("kept") : rb_told("taken away");
    }
    name = name != NULL ? name : fact_text(column, value);
    return name != NULL ? name : g_strdup(value);
}

/* The snap that a row belongs to, itself or by its parent; 0 for none. */
static int64_t snap_of(RbStore *store, const char *table, int64_t row)
{
    if (strcmp(table, "snap") == 0) {
        return row;
    }
    const char *sql = NULL;
    if (strcmp(table, "penalty") == 0) {
        sql = "SELECT snap FROM penalty WHERE id = ?";
    } else if (strcmp(table, "clip") == 0) {
        sql = "SELECT snap FROM clip WHERE id = ?";
    } else if (strcmp(table, "chart") == 0) {
        sql = "SELECT snap FROM chart WHERE id = ?";
    } else if (strcmp(table, "mark") == 0) {
        sql = "SELECT c.snap FROM mark m JOIN clip c ON c.id = m.clip WHERE m.id = ?";
    } else if (strcmp(table, "look") == 0) {
        sql = "SELECT c.snap FROM look l JOIN chart c ON c.id = l.chart WHERE l.id = ?";
    } else {
        return 0;
    }
    g_autoptr(RbStatement) query = rb_statement_new(store, sql, NULL);
    if (query == NULL) {
        return 0;
    }
    rb_statement_bind_int(query, row);
    return rb_statement_step(query, NULL) == RB_STEP_ROW
               ? rb_statement_get_int(query, "snap")
               : 0;
}

/* "Snap 34 of Falls at Ridge: down", "Penalty of snap 34 …: yards", "Game …: played on". Told. */
static char *what_text(RbStore *store, const RbNames *names, const RbConflict *conflict,
                       int64_t snap_id)
{
    const int fact = find_fact(conflict->column);
    g_autofree char *field = fact >= 0
                                 ? rb_told_word(facts[fact].label)
                                 : g_strdelimit(g_strdup(conflict->column), "_", ' ');
    g_autoptr(RbSnap) snap =
        snap_id != 0 ? rb_store_load_snap(store, (RbSnapId){ snap_id }, NULL) : NULL;
    g_autofree char *thing = g_strdup(conflict->table);
    thing[0] = g_ascii_toupper(thing[0]);
    if (snap == NULL) {
        const char *game = strcmp(conflict->table, "game") == 0
                               ? rb_names_game(names, (RbGameId){ conflict->row })
                               : NULL;
        return game != NULL && game[0] != '\0' ? rb_told("Game %s: %s", game, field)
                                               : rb_told("%s: %s", thing, field);
    }
    const char *game = rb_names_game(names, snap->game);
    g_autofree char *where = game != NULL ? g_strdup(game) : rb_told("a game");
    return strcmp(conflict->table, "snap") == 0
               ? rb_told("Snap %d of %s: %s", snap->number, where, field)
               : rb_told("%s of snap %d of %s: %s", thing, snap->number, where, field);
}

static RbDispute *dispute_of(RbStore *store, const RbNames *names, RbConflict *conflict)
{
    RbDispute *dispute = g_new0(RbDispute, 1);
    dispute->conflict = conflict;
    dispute->snap.value = snap_of(store, conflict->table, conflict->row);
    dispute->told = what_text(store, names, conflict, dispute->snap.value);
    dispute->what = rb_told_show(dispute->told);
    dispute->values = g_ptr_array_new_with_free_func(value_free);
    for (guint i = 0; i < conflict->heads->len; i++) {
        const RbHead *head = g_ptr_array_index(conflict->heads, i);
        const RbPerson *person = rb_names_find_person(names, head->person);
        RbDisputeValue *value = g_new0(RbDisputeValue, 1);
        value->told = value_text(names, conflict->column, head->value);
        value->text = rb_told_show(value->told);
        value->who = g_strdup(person != NULL ? person->name : _("somebody"));
        value->stamp_us = head->when_us;
        g_ptr_array_add(dispute->values, value);
    }
    return dispute;
}

GPtrArray *rb_exchange_load_disputes(RbLibrary *library, GError **error)
{
    RbStore *store = rb_library_store(library);
    g_autoptr(RbNames) names = rb_library_load_names(library, error);
    g_autoptr(GPtrArray) conflicts =
        names != NULL ? rb_store_list_conflicts(store, error) : NULL;
    if (conflicts == NULL) {
        return NULL;
    }
    GPtrArray *disputes = g_ptr_array_new_with_free_func((GDestroyNotify)rb_dispute_free);
    g_ptr_array_set_free_func(conflicts, NULL); /* each goes into its dispute */
    for (guint i = 0; i < conflicts->len; i++) {
        g_ptr_array_add(disputes,
                        dispute_of(store, names, g_ptr_array_index(conflicts, i)));
    }
    return disputes;
}

bool rb_exchange_settle(RbLibrary *library, const RbDispute *dispute, int value,
                        GError **error)
{
    const RbDisputeValue *chosen = g_ptr_array_index(dispute->values, (guint)value);
    g_autofree char *words = rb_told("%s settled: %s", dispute->told, chosen->told);
    if (!rb_library_begin(library, words, error)) {
        return false;
    }
    if (!rb_store_settle(rb_library_store(library), dispute->conflict, value, error)) {
        rb_library_rollback(library);
        return false;
    }
    return rb_library_commit(library, true, error);
}
