/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/work/log-import.h"

#include <glib/gi18n-lib.h>
#include <jansson.h>
#include <string.h>

#include "rb/base/error.h"
#include "rb/base/ids.h"
#include "rb/base/told.h"
#include "rb/model/chain.h"
#include "rb/store/playbook.h"
#include "rb/store/snaps.h"
#include "rb/work/error.h"

#include "library-private.h"
#include "log-align.h"
#include "log-private.h"

static const RbWord align_table[] = {
    [RB_LOG_ALIGN_FIND] = { "find", N_("By order, facts and chain") },
    [RB_LOG_ALIGN_ORDER] = { "order", N_("First to first") },
    [RB_LOG_ALIGN_NUMBERS] = { "numbers", N_("By the log's numbers") },
};
const RbWords rb_log_align_words = { N_("alignment"), align_table,
                                     G_N_ELEMENTS(align_table) };

enum { REMARKS_MAX = 40 };

void rb_log_plan_free(RbLogPlan *plan)
{
    if (plan != NULL) {
        g_free(plan->file);
        rb_log_reading_free(plan->reading);
        g_clear_pointer(&plan->changed, g_ptr_array_unref);
        g_clear_pointer(&plan->remarks, g_ptr_array_unref);
        g_free(plan->number_of);
        g_free(plan);
    }
}

static void add_remark(RbLogPlan *plan, char *sentence)
{
    if (plan->remarks->len < REMARKS_MAX) {
        g_ptr_array_add(plan->remarks, sentence);
    } else {
        g_free(sentence);
    }
}

/* What earlier files of a layout taught. */

static char *source_key(const RbLogTable *table)
{
    g_autofree char *fingerprint = rb_log_table_fingerprint(table);
    return g_strconcat("log-source:", fingerprint, NULL);
}

static void take_source(RbLogChoice *choice, const RbLogTable *table, json_t *source,
                        RbLogPlan *plan)
{
    const json_t *columns = json_object_get(source, "columns");
    int yards = 0;
    if (json_array_size(columns) != table->heads->len) {
        return;
    }
    for (guint i = 0; i < table->heads->len; i++) {
        int field = 0;
        const char *token = json_string_value(json_array_get(columns, i));
        if (rb_words_parse(&rb_log_field_words, token, &field) && !choice->said[i]) {
            choice->said[i] = true;
            choice->fields[i] = (RbLogField)field;
            plan->kept_source = true;
        }
    }
    const char *token = json_string_value(json_object_get(source, "yards"));
    if (choice->yards == RB_YARDS_UNKNOWN &&
        rb_words_parse(&rb_log_yards_words, token, &yards)) {
        choice->yards = (RbLogYards)yards;
        choice->kept = true;
    }
}

static bool load_source(RbLibrary *library, RbLogChoice *choice, const RbLogTable *table,
                        RbLogPlan *plan, char **us, GError **error)
{
    GError *failure = NULL;
    g_autofree char *key = source_key(table);
    g_autofree char *text =
        rb_store_get_setting(rb_library_store(library), key, &failure);
    if (failure != NULL) {
        g_propagate_error(error, failure);
        return false;
    }
    json_t *source = text != NULL ? json_loads(text, 0, NULL) : NULL;
    take_source(choice, table, source, plan);
    const char *said = json_string_value(json_object_get(source, "us"));
    if (choice->us == NULL && said != NULL) {
        *us = g_strdup(said);
        choice->us = *us;
    }
    json_decref(source);
    return true;
}

static char *source_text(const RbLogPlan *plan)
{
    const RbLogReading *reading = plan->reading;
    json_t *columns = json_array();
    for (guint i = 0; i < reading->table->heads->len; i++) {
        json_array_append_new(
            columns,
            json_string(rb_words_token(&rb_log_field_words, (int)reading->fields[i])));
    }
    json_t *source = json_pack("{s:o, s:s, s:s?}", "columns", columns, "yards",
                               rb_words_token(&rb_log_yards_words, (int)reading->yards),
                               "us", plan->us);
    char *text = json_dumps(source, JSON_COMPACT | JSON_SORT_KEYS);
    json_decref(source);
    return text;
}

/* Rows and snaps. */

typedef struct {
    RbLogPlan *plan;
    const RbGame *game;
    const RbLogOptions *options;
    GPtrArray *snaps; /* owned, of RbSnap */
    GPtrArray
        *rows; /* owned, of RbLogRow, borrowed: those that belong to this game's snaps */
} Planning;

static RbLogRow *row_of(const Planning *planning, guint i)
{
    return planning->rows->pdata[i];
}

/* A log of both teams in a game that holds ours only. */
static void choose_rows(Planning *planning)
{
    const GPtrArray *rows = planning->plan->reading->rows;
    int others = 0;
    for (guint i = 0; i < rows->len; i++) {
        RbLogRow *row = rows->pdata[i];
        const RbSituation *s = &row->snap->situation;
        const bool theirs = s->offense.value == planning->game->them.value;
        if (planning->game->ours_only && row->trouble == NULL &&
            ((theirs && s->offense.value != 0) || s->phase == RB_PHASE_FREE_KICK)) {
            others++;
        } else {
            g_ptr_array_add(planning->rows, row);
        }
    }
    if (others > 0) {
        add_remark(
            planning->plan,
            g_strdup_printf(_("%d plays are the other team's or kickoffs, which this "
                              "game leaves out."),
                            others));
    }
}

static bool numbers_rise(const Planning *planning)
{
    int last = 0;
    for (guint i = 0; i < planning->rows->len; i++) {
        if (row_of(planning, i)->number <= last) {
            return false;
        }
        last = row_of(planning, i)->number;
    }
    return true;
}

static void plan_new(Planning *planning)
{
    RbLogPlan *plan = planning->plan;
    const bool numbered = numbers_rise(planning);
    for (guint i = 0; i < planning->rows->len; i++) {
        const RbLogRow *row = row_of(planning, i);
        if (row->trouble != NULL) {
            continue;
        }
        RbSnap *snap = rb_snap_copy(row->snap);
        snap->id = (RbSnapId){ rb_id_random() };
        snap->game = plan->game;
        snap->number = numbered ? row->number : (int)i + 1;
        plan->number_of[row->row] = snap->number;
        plan->added++;
        g_ptr_array_add(plan->changed, snap);
    }
}

static void leave_out(RbLogPlan *plan, RbLogRow *row, const char *why)
{
    if (row->trouble == NULL) {
        row->trouble = g_strdup(why);
        plan->reading->bad++;
    }
}

static bool align_numbers(const Planning *planning, int *to)
{
    for (guint i = 0; i < planning->rows->len; i++) {
        to[i] = -1;
        for (guint j = 0; j < planning->snaps->len; j++) {
            const RbSnap *snap = planning->snaps->pdata[j];
            if (snap->number == row_of(planning, i)->number) {
                to[i] = (int)j;
            }
        }
    }
    return true;
}

static void align_order(const Planning *planning, int *to)
{
    for (guint i = 0; i < planning->rows->len; i++) {
        to[i] = i < planning->snaps->len ? (int)i : -1;
    }
}

static void find_alignment(Planning *planning, int *to)
{
    const RbGame *game = planning->game;
    const LogAlignment in = {
        planning->rows,  planning->snaps, { game->us, game->them },
        game->ours_only, game->rules,
    };
    int doubtful = -1;
    if (!rb_log_align(&in, to, &doubtful)) {
        rb_log_ask(planning->plan->reading, RB_LOG_NUMBER,
                   _("The log and the game hold too many plays to set side by side.\n"
                     "Say --align order or --align numbers."));
    } else if (doubtful >= 0) {
        rb_log_ask(planning->plan->reading, RB_LOG_NUMBER,
                   _("The log has %u plays and the game %u snaps, and from line %d on it "
                     "cannot be told which belongs to which.\n"
                     "Tag down and distance of a snap or two there, or say --align order "
                     "or --align numbers."),
                   planning->rows->len, planning->snaps->len,
                   row_of(planning, (guint)doubtful)->line);
    }
}

static void plan_pair(Planning *planning, RbLogRow *row, const RbSnap *snap)
{
    RbLogPlan *plan = planning->plan;
    g_autoptr(GString) text = g_string_new(NULL);
    const int before = plan->filled;
    int differs = 0;
    RbSnap *merged = rb_snap_copy(snap);
    rb_log_merge(merged, row->snap, planning->options->overwrite, &plan->filled, &differs,
                 text);
    plan->number_of[row->row] = snap->number;
    plan->replaced += differs;
    if (differs > 0) {
        add_remark(plan, g_strdup_printf(
                             _("Snap %d is tagged otherwise than line %d says (%s); %s."),
                             snap->number, row->line, text->str,
                             planning->options->overwrite ? _("the log's word is taken")
                                                          : _("the tags are kept")));
    }
    if (plan->filled > before || (differs > 0 && planning->options->overwrite)) {
        g_ptr_array_add(plan->changed, merged);
    } else {
        rb_snap_free(merged);
    }
}

static void plan_existing(Planning *planning)
{
    g_autofree int *to = g_new0(int, planning->rows->len + 1);
    int without = (int)planning->snaps->len;
    switch (planning->options->align) {
    case RB_LOG_ALIGN_FIND:
        find_alignment(planning, to);
        break;
    case RB_LOG_ALIGN_ORDER:
        align_order(planning, to);
        break;
    case RB_LOG_ALIGN_NUMBERS:
        align_numbers(planning, to);
        break;
    }
    if (planning->plan->reading->questions->len > 0) {
        return;
    }
    for (guint i = 0; i < planning->rows->len; i++) {
        RbLogRow *row = row_of(planning, i);
        without -= to[i] >= 0;
        if (to[i] < 0) {
            leave_out(planning->plan, row, _("no snap of the game belongs to it"));
        } else if (row->trouble == NULL) {
            plan_pair(planning, row, planning->snaps->pdata[to[i]]);
        }
    }
    if (without > 0) {
        add_remark(
            planning->plan,
            g_strdup_printf(_("%d snaps of the game have no play in the log."), without));
    }
}

/* What the chain check would say of the game with the plan carried out. */
static void judge(Planning *planning)
{
    const RbGame *game = planning->game;
    g_autoptr(GPtrArray) all = g_ptr_array_new();
    g_autoptr(GHashTable) changed = g_hash_table_new(g_int64_hash, g_int64_equal);
    for (guint i = 0; i < planning->plan->changed->len; i++) {
        RbSnap *snap = planning->plan->changed->pdata[i];
        g_hash_table_add(changed, &snap->id.value);
        g_ptr_array_add(all, snap);
    }
    for (guint i = 0; i < planning->snaps->len; i++) {
        RbSnap *snap = planning->snaps->pdata[i];
        if (!g_hash_table_contains(changed, &snap->id.value)) {
            g_ptr_array_add(all, snap);
        }
    }
    const RbTeamId teams[2] = { game->us, game->them };
    g_autoptr(GPtrArray) findings =
        rb_chain_check(all, teams, game->ours_only, game->rules);
    planning->plan->findings = (int)findings->len;
    for (guint i = 0; i < findings->len && i < 5; i++) {
        const RbFinding *finding = findings->pdata[i];
        add_remark(planning->plan, g_strdup(finding->sentence));
    }
}

static void tell_words(RbLogPlan *plan)
{
    for (guint i = 0; i < plan->reading->rows->len; i++) {
        const RbLogRow *row = plan->reading->rows->pdata[i];
        if (row->remark != NULL) {
            add_remark(plan, g_strdup_printf(_("Line %d: %s."), row->line, row->remark));
        }
    }
}

static void free_snap(void *snap)
{
    rb_snap_free(snap);
}

static bool make_plan(RbLibrary *library, RbLogPlan *plan, const RbGame *game,
                      const RbLogOptions *options, GError **error)
{
    Planning planning = { plan, game, options, NULL, g_ptr_array_new() };
    planning.snaps = rb_store_list_snaps(rb_library_store(library), plan->game, error);
    const bool ok = planning.snaps != NULL;
    if (ok && plan->reading->questions->len == 0) {
        choose_rows(&planning);
        (planning.snaps->len == 0 ? plan_new : plan_existing)(&planning);
        judge(&planning);
        tell_words(plan);
    }
    g_ptr_array_unref(planning.rows);
    g_clear_pointer(&planning.snaps, g_ptr_array_unref);
    return ok;
}

static bool read_options(RbLogChoice *choice, const RbLogTable *table,
                         const RbLogOptions *options, GError **error)
{
    choice->yards = options->yards;
    choice->us = options->us;
    for (int i = 0; options->maps != NULL && options->maps[i] != NULL; i++) {
        if (!rb_log_choice_map(choice, table, options->maps[i], error)) {
            return false;
        }
    }
    return true;
}

RbLogPlan *rb_library_plan_log(RbLibrary *library, RbGameId game_id, GBytes *bytes,
                               const char *name, const RbLogOptions *options,
                               GError **error)
{
    static const RbLogOptions none = { 0 };
    g_autofree char *us = NULL;
    g_autoptr(RbLogPlan) plan = g_new0(RbLogPlan, 1);
    const RbLogOptions *said = options != NULL ? options : &none;
    plan->file = g_path_get_basename(name);
    plan->game = game_id;
    plan->changed = g_ptr_array_new_with_free_func(free_snap);
    plan->remarks = g_ptr_array_new_with_free_func(g_free);
    g_autoptr(RbNames) names = rb_library_load_names(library, error);
    g_autoptr(RbLogTable) table =
        names != NULL ? rb_log_table_parse(bytes, plan->file, error) : NULL;
    RbLogChoice choice = { 0 };
    if (table == NULL || !read_options(&choice, table, said, error) ||
        (!said->forget && !load_source(library, &choice, table, plan, &us, error))) {
        return NULL;
    }
    const RbGame *game = rb_names_find_game(names, game_id);
    g_assert(game != NULL);
    plan->us = g_strdup(choice.us);
    plan->reading = rb_log_read(g_steal_pointer(&table), names, game, &choice, error);
    if (plan->reading == NULL) {
        return NULL;
    }
    plan->number_of = g_new0(int, plan->reading->table->lines->len + 1);
    return make_plan(library, plan, game, said, error) ? g_steal_pointer(&plan) : NULL;
}

/* Returns: told (transfer full). */
static char *tell_plan(const RbLogPlan *plan)
{
    const guint rows = plan->reading->rows->len;
    const int bad = plan->reading->bad;
    g_autofree char *plays = rb_told_many("%u play", "%u plays", rows, rows);
    g_autofree char *done = plan->added > 0 ? rb_told(": %d snaps added", plan->added)
                                            : rb_told(": %d facts filled in %u snaps",
                                                      plan->filled, plan->changed->len);
    g_autofree char *left = bad > 0 ? rb_told_many(", %d row left out",
                                                   ", %d rows left out", (gulong)bad, bad)
                                    : g_strdup("");
    g_autofree char *found = rb_told_many("; %d finding of the chain check.",
                                          "; %d findings of the chain check.",
                                          (gulong)plan->findings, plan->findings);
    return g_strconcat(plays, done, left, found, NULL);
}

char *rb_log_plan_text(const RbLogPlan *plan)
{
    g_autofree char *told = tell_plan(plan);
    return rb_told_show(told);
}

static bool write_plan(RbLibrary *library, const RbLogPlan *plan, GError **error)
{
    RbStore *store = rb_library_store(library);
    for (guint i = 0; i < plan->changed->len; i++) {
        if (!rb_store_save_snap(store, plan->changed->pdata[i], error)) {
            return false;
        }
    }
    g_autofree char *key = source_key(plan->reading->table);
    char *source = source_text(plan);
    const bool ok = rb_store_set_setting(store, key, source, error);
    free(source); /* jansson's */
    return ok;
}

bool rb_library_apply_log(RbLibrary *library, const RbLogPlan *plan, char **words,
                          GError **error)
{
    g_autoptr(RbNames) names = rb_library_load_names(library, error);
    if (names == NULL) {
        return false;
    }
    if (plan->reading->questions->len > 0) {
        const RbLogQuestion *question = plan->reading->questions->pdata[0];
        return rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE, _("%s"),
                            question->sentence);
    }
    g_autofree char *what = tell_plan(plan);
    g_autofree char *text = rb_told("play log %s: %s (%s)", plan->file, what,
                                    rb_names_game(names, plan->game));
    if (!rb_library_begin(library, text, error)) {
        return false;
    }
    if (!write_plan(library, plan, error)) {
        rb_library_rollback(library);
        return false;
    }
    if (!rb_library_commit(library, false, error)) {
        return false;
    }
    if (words != NULL) {
        *words = rb_told_show(text);
    }
    return true;
}
