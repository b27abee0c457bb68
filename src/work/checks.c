/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/work/checks.h"

#include <glib/gi18n-lib.h>

#include "rb/base/error.h"
#include "rb/base/told.h"
#include "rb/model/chain.h"
#include "rb/store/snaps.h"
#include "rb/work/error.h"

#include "judging.h"
#include "library-private.h"

/* Each proposal is tried on the whole game; one with more faults than this is not mended snap by
 * snap. */
enum { MENDED_MAX = 12 };

void rb_check_free(RbCheck *check)
{
    if (check != NULL) {
        g_free(check->expected);
        g_free(check->found);
        g_free(check->sentence);
        g_clear_pointer(&check->repairs, g_ptr_array_unref);
        g_free(check);
    }
}

static void free_check(void *check)
{
    rb_check_free(check);
}

/* sentence: (transfer full), without "Snap 34: " before it. */
static void add(GPtrArray *checks, const RbSnap *snap, const char *field, char *sentence)
{
    RbCheck *check = g_new0(RbCheck, 1);
    check->snap = snap->id;
    check->number = snap->number;
    check->field = field;
    check->sentence = g_strdup_printf(_("Snap %d: %s"), snap->number, sentence);
    check->repairs = g_ptr_array_new();
    g_ptr_array_add(checks, check);
    g_free(sentence);
}

/* A number of a finding as people read it. Returns: (transfer full). */
static char *chain_value(const RbNames *names, RbChainField field, int64_t value)
{
    if (field == RB_CHAIN_POSSESSION) {
        const RbTeam *team = rb_names_find_team(names, (RbTeamId){ value });
        return g_strdup(team != NULL ? team->name : "?");
    }
    return g_strdup_printf("%" G_GINT64_FORMAT, value);
}

/* repairs: (transfer full). */
static void add_chain(GPtrArray *checks, const RbNames *names, const RbFinding *finding,
                      GPtrArray *repairs)
{
    RbCheck *check = g_new0(RbCheck, 1);
    check->snap = finding->snap;
    check->number = finding->number;
    check->field = rb_words_token(&rb_chain_field_words, (int)finding->field);
    check->expected = chain_value(names, finding->field, finding->expected);
    check->found = chain_value(names, finding->field, finding->found);
    check->sentence = g_strdup(finding->sentence);
    check->repairs = repairs;
    g_ptr_array_add(checks, check);
}

/* What one result requires of the ball, and what one ball requires of the result. */
static bool ball_fits_result(RbBall ball, RbResult result)
{
    switch (ball) {
    case RB_BALL_UNKNOWN:
        return true;
    case RB_BALL_SACK:
        return result == RB_RESULT_SACK;
    case RB_BALL_SCRAMBLE:
        return result == RB_RESULT_SCRAMBLE;
    case RB_BALL_THROWN_AWAY:
        return result == RB_RESULT_THROWN_AWAY || result == RB_RESULT_INCOMPLETE;
    case RB_BALL_READ:
    case RB_BALL_HOT:
    case RB_BALL_OFF_SCRIPT:
        break;
    }
    return result == RB_RESULT_COMPLETE || result == RB_RESULT_INCOMPLETE ||
           result == RB_RESULT_INTERCEPTED;
}

static bool catch_fits_result(RbCatch catch_, RbResult result)
{
    switch (catch_) {
    case RB_CATCH_UNKNOWN:
        return true;
    case RB_CATCH_CAUGHT:
        return result == RB_RESULT_COMPLETE;
    case RB_CATCH_INTERCEPTED:
        return result == RB_RESULT_INTERCEPTED || result == RB_RESULT_INCOMPLETE;
    case RB_CATCH_NONE:
    case RB_CATCH_DROPPED:
    case RB_CATCH_BROKEN_UP:
    case RB_CATCH_OUT_OF_BOUNDS:
        break;
    }
    return result != RB_RESULT_COMPLETE;
}

static bool is_thrown(RbBall ball)
{
    return ball == RB_BALL_READ || ball == RB_BALL_HOT || ball == RB_BALL_OFF_SCRIPT;
}

/* The result is open until somebody says it, and a wiped out play keeps none. */
static bool has_result(const RbSnap *snap)
{
    return snap->result != RB_RESULT_UNKNOWN && snap->result != RB_RESULT_NO_PLAY;
}

static void check_against_facts(GPtrArray *checks, const RbSnap *snap,
                                const RbChart *chart)
{
    const char *result = rb_words_label(&rb_result_words, (int)snap->result);
    if (has_result(snap) && !ball_fits_result(chart->ball, snap->result)) {
        add(checks, snap, "ball",
            g_strdup_printf(_("the ball is tagged \"%s\", but the result is \"%s\"."),
                            rb_words_label(&rb_ball_words, (int)chart->ball), result));
    }
    if (has_result(snap) && !catch_fits_result(chart->catch_, snap->result)) {
        add(checks, snap, "catch",
            g_strdup_printf(_("the catch is tagged \"%s\", but the result is \"%s\"."),
                            rb_words_label(&rb_catch_words, (int)chart->catch_), result));
    }
    if (has_result(snap) && chart->contact == RB_CONTACT_SACKED &&
        snap->result != RB_RESULT_SACK) {
        add(checks, snap, "contact",
            g_strdup_printf(_("he is tagged as sacked, but the result is \"%s\"."),
                            result));
    }
    if (is_thrown(chart->ball) && chart->throw_ == RB_THROW_NONE) {
        add(checks, snap, "throw",
            g_strdup(_("the ball was thrown, but the throw is tagged as none.")));
    }
    if (chart->catch_ == RB_CATCH_CAUGHT && chart->throw_ == RB_THROW_NOT_CATCHABLE) {
        add(checks, snap, "throw",
            g_strdup(
                _("the ball was caught, but the throw is tagged as not catchable.")));
    }
}

static bool has_slot(const RbRung *slots, int n, int slot)
{
    for (int i = 0; i < n; i++) {
        if (slots[i].slot == slot) {
            return true;
        }
    }
    return false;
}

static void check_against_concept(GPtrArray *checks, const RbNames *names,
                                  const RbSnap *snap, const RbChart *chart)
{
    const RbReadContext context = rb_context_for(names, snap, chart);
    const bool two =
        chart->call.kind == RB_CALL_SPLIT || chart->call.kind == RB_CALL_ACROSS;
    if ((chart->call.first.value != 0 && context.first == NULL) ||
        (two && chart->call.second.value != 0 && context.second == NULL)) {
        add(checks, snap, "concept",
            g_strdup(_("the concept called is no longer in the playbook.")));
        return;
    }
    if (two && chart->call.second.value == 0) {
        add(checks, snap, "concept-2",
            g_strdup_printf(_("a call of kind \"%s\" needs a second concept."),
                            rb_words_label(&rb_call_words, (int)chart->call.kind)));
        return;
    }
    RbRung slots[RB_READS_MAX];
    const int n = rb_order_slots(&context, chart, slots);
    if (n == 0) {
        return;
    }
    g_autofree char *call = rb_names_call_text(names, &chart->call);
    for (int i = 0; i < RB_READS_MAX; i++) {
        static const char *const tokens[RB_READS_MAX] = { "read-1", "read-2", "read-3",
                                                          "read-4", "read-5", "read-6",
                                                          "read-7", "read-8" };
        if (chart->looks[i] != RB_LOOK_UNKNOWN && !has_slot(slots, n, i + 1)) {
            add(checks, snap, tokens[i],
                g_strdup_printf(_("read %d is tagged, but %s has no read %d."), i + 1,
                                call, i + 1));
        }
    }
    if (chart->ball == RB_BALL_READ && chart->ball_read > 0 &&
        !has_slot(slots, n, chart->ball_read)) {
        add(checks, snap, "ball",
            g_strdup_printf(_("the ball went to read %d, but %s has no read %d."),
                            chart->ball_read, call, chart->ball_read));
    }
    if (chart->fault_read > 0 && !has_slot(slots, n, chart->fault_read)) {
        add(checks, snap, "fault-read",
            g_strdup_printf(_("the fault is on read %d, but %s has no read %d."),
                            chart->fault_read, call, chart->fault_read));
    }
}

static int compare_checks(const void *a, const void *b)
{
    const RbCheck *one = *(const RbCheck *const *)a;
    const RbCheck *other = *(const RbCheck *const *)b;
    return (one->number > other->number) - (one->number < other->number);
}

static bool is_ours(const RbGame *game, const RbSnap *snap)
{
    const RbTeamId offense = snap->situation.offense;
    return offense.value == 0 || offense.value == game->us.value;
}

static void check_charts(GPtrArray *checks, const RbNames *names, const RbGame *game,
                         const GPtrArray *snaps, const GPtrArray *charts)
{
    g_autoptr(GHashTable) chart_of = g_hash_table_new(g_int64_hash, g_int64_equal);
    for (guint i = 0; i < charts->len; i++) {
        RbChart *chart = charts->pdata[i];
        g_hash_table_insert(chart_of, &chart->snap.value, chart);
    }
    for (guint i = 0; i < snaps->len; i++) {
        const RbSnap *snap = snaps->pdata[i];
        const RbChart *chart = g_hash_table_lookup(chart_of, &snap->id.value);
        if (chart != NULL) {
            check_against_facts(checks, snap, chart);
            check_against_concept(checks, names, snap, chart);
        } else if (is_ours(game, snap) && rb_snap_is_dropback(snap)) {
            add(checks, snap, "chart",
                g_strdup(_("a dropback that nobody has charted.")));
        }
    }
}

GPtrArray *rb_library_check_game(RbLibrary *library, RbGameId id, GError **error)
{
    RbStore *store = rb_library_store(library);
    g_autoptr(RbNames) names = rb_library_load_names(library, error);
    g_autoptr(GPtrArray) snaps =
        names != NULL ? rb_store_list_snaps(store, id, error) : NULL;
    g_autoptr(GPtrArray) charts =
        snaps != NULL ? rb_store_list_counting_charts(store, id, error) : NULL;
    if (charts == NULL) {
        return NULL;
    }
    const RbGame *game = rb_names_find_game(names, id);
    g_assert(game != NULL);
    const RbTeamId teams[2] = { game->us, game->them };
    g_autoptr(GPtrArray) chain =
        rb_chain_check(snaps, teams, game->ours_only, game->rules);
    GPtrArray *checks = g_ptr_array_new_with_free_func(free_check);
    for (guint i = 0; i < chain->len; i++) {
        add_chain(checks, names, chain->pdata[i],
                  i < MENDED_MAX ? rb_chain_repairs(snaps, teams, game->ours_only,
                                                    game->rules, chain, chain->pdata[i])
                                 : g_ptr_array_new());
    }
    check_charts(checks, names, game, snaps, charts);
    g_ptr_array_sort(checks, compare_checks);
    return checks;
}

static const RbRepair *find_repair(const GPtrArray *checks, int number, int *n)
{
    const RbRepair *found = NULL;
    *n = 0;
    for (guint i = 0; i < checks->len; i++) {
        const RbCheck *check = checks->pdata[i];
        for (guint k = 0; k < check->repairs->len; k++) {
            (*n)++;
            found = *n == number ? check->repairs->pdata[k] : found;
        }
    }
    return found;
}

static bool write_repair(RbStore *store, const RbRepair *repair, GError **error)
{
    for (guint i = 0; i < repair->after->len; i++) {
        if (!rb_store_save_snap(store, repair->after->pdata[i], error)) {
            return false;
        }
    }
    return repair->removed.value == 0 ||
           rb_store_remove_snap(store, repair->removed, error);
}

bool rb_library_repair_game(RbLibrary *library, RbGameId game, int number, char **words,
                            GError **error)
{
    int n = 0;
    g_autoptr(GPtrArray) checks = rb_library_check_game(library, game, error);
    g_autoptr(RbNames) names =
        checks != NULL ? rb_library_load_names(library, error) : NULL;
    if (names == NULL) {
        return false;
    }
    const RbRepair *repair = find_repair(checks, number, &n);
    if (repair == NULL) {
        return rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_NOT_FOUND,
                            _("%s has no repair %d; it has %d."),
                            rb_names_game(names, game), number, n);
    }
    g_autofree char *text =
        rb_told("repair: %s (%s)", repair->told, rb_names_game(names, game));
    if (!rb_library_begin(library, text, error)) {
        return false;
    }
    if (!write_repair(rb_library_store(library), repair, error)) {
        rb_library_rollback(library);
        return false;
    }
    if (!rb_library_commit(library, false, error)) {
        return false;
    }
    if (words != NULL) {
        *words = g_strdup(repair->sentence);
    }
    return true;
}
