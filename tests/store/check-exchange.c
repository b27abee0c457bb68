/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "rb/store/exchange.h"
#include "rb/store/history.h"
#include "rb/store/statement.h"

#include "cases.h"
#include "make.h"
#include "parcel.h"
#include "store-private.h"

enum { LAPTOPS = 4 };

/* A staff of laptops, and every parcel that was ever sent. */
typedef struct {
    RbStore *stores[LAPTOPS];
    GPtrArray *parcels; /* of GBytes */
} Staff;

static void staff_open(Staff *staff)
{
    for (int i = 0; i < LAPTOPS; i++) {
        g_autofree char *name = g_strdup_printf("%d.readbreak", i);
        staff->stores[i] = make_store(name);
    }
    staff->parcels = g_ptr_array_new_with_free_func((GDestroyNotify)g_bytes_unref);
}

static void staff_close(Staff *staff)
{
    for (int i = 0; i < LAPTOPS; i++) {
        rb_store_free(staff->stores[i]);
    }
    g_ptr_array_unref(staff->parcels);
}

static GBytes *pack(RbStore *store, int64_t first, int64_t last)
{
    GError *error = NULL;
    const RbParcelRange range = { store->laptop, first, last };
    GBytes *bytes = rb_store_pack(store, &range, &error);
    rb_assert_no_error(error);
    return bytes;
}

static int64_t last_action(RbStore *store, int64_t laptop)
{
    GError *error = NULL;
    const int64_t last = rb_store_last_action(store, laptop, &error);
    rb_assert_no_error(error);
    return last;
}

static RbParcelReport deliver(RbStore *store, GBytes *bytes)
{
    GError *error = NULL;
    g_autoptr(RbParcel) parcel = rb_parcel_parse(bytes, "a parcel", &error);
    rb_assert_no_error(error);
    RbParcelReport report;
    rb_store_apply_parcel(store, parcel, "a parcel", &report, &error);
    rb_assert_no_error(error);
    return report;
}

/* Sends a run of actions that overlaps what was sent before, or not. */
static void send_some(RbRandom *random, Staff *staff)
{
    RbStore *store = staff->stores[rb_random_int(random, 0, LAPTOPS - 1)];
    const int64_t last = last_action(store, store->laptop);
    if (last > 0) {
        const int64_t from = last - rb_random_int(random, 0, 30);
        g_ptr_array_add(staff->parcels, pack(store, MAX(from, 1), last));
    }
}

static void receive_some(RbRandom *random, const Staff *staff)
{
    if (staff->parcels->len > 0) {
        const int n = rb_random_int(random, 0, (int)staff->parcels->len - 1);
        deliver(staff->stores[rb_random_int(random, 0, LAPTOPS - 1)],
                g_ptr_array_index(staff->parcels, (guint)n));
    }
}

static void reverse_some(RbRandom *random, RbStore *store)
{
    g_autoptr(GError) error = NULL;
    const RbPersonId person = { 7 };
    const bool done = rb_random_chance(random, 0.7)
                          ? rb_store_undo(store, person, NULL, NULL, &error)
                          : rb_store_redo(store, person, NULL, NULL, &error);
    ck_assert(done || g_error_matches(error, RB_STORE_ERROR, RB_STORE_ERROR_NOTHING));
}

static void step(RbRandom *random, Staff *staff)
{
    RbStore *store = staff->stores[rb_random_int(random, 0, LAPTOPS - 1)];
    const int what = rb_random_int(random, 0, 9);
    if (what < 5) {
        random_action(random, store);
    } else if (what < 7) {
        reverse_some(random, store);
    } else if (what < 8) {
        send_some(random, staff);
    } else {
        receive_some(random, staff);
    }
}

/* Everybody gets everything: in whatever order, as often as it takes. */
static void meet(Staff *staff)
{
    for (int i = 0; i < LAPTOPS; i++) {
        RbStore *store = staff->stores[i];
        const int64_t last = last_action(store, store->laptop);
        if (last > 0) {
            g_ptr_array_add(staff->parcels, pack(store, 1, last));
        }
    }
    for (int round = 0; round < LAPTOPS * 40; round++) {
        bool waits = false;
        for (int i = 0; i < LAPTOPS; i++) {
            /* The newest first: the worst order there is. */
            for (guint j = staff->parcels->len; j > 0; j--) {
                const RbParcelReport report =
                    deliver(staff->stores[i], g_ptr_array_index(staff->parcels, j - 1));
                waits = waits || report.outcome == RB_PARCEL_WAITS;
            }
        }
        if (!waits) {
            return;
        }
    }
    ck_abort_msg("some parcel waits for ever");
}

static char *hash(RbStore *store)
{
    GError *error = NULL;
    char *text = rb_store_content_hash(store, &error);
    rb_assert_no_error(error);
    return text;
}

/* The conflicts in words, with their values in order: equal on laptops that agree. */
static char *conflicts(RbStore *store)
{
    GError *error = NULL;
    g_autoptr(GPtrArray) list = rb_store_list_conflicts(store, &error);
    rb_assert_no_error(error);
    GString *text = g_string_new(NULL);
    for (guint i = 0; i < list->len; i++) {
        const RbConflict *conflict = list->pdata[i];
        g_string_append_printf(text, "%s %s %" G_GINT64_FORMAT, conflict->table,
                               conflict->column, conflict->row);
        for (guint j = 0; j < conflict->heads->len; j++) {
            const RbHead *head = conflict->heads->pdata[j];
            g_string_append_printf(text, " %s", head->value != NULL ? head->value : "-");
        }
        g_string_append_c(text, '\n');
    }
    return g_string_free(text, FALSE);
}

static int64_t ask(RbStore *store, const char *sql)
{
    GError *error = NULL;
    g_autoptr(RbStatement) query = rb_statement_new(store, sql, &error);
    rb_assert_no_error(error);
    ck_assert_int_eq(rb_statement_step(query, &error), RB_STEP_ROW);
    return rb_statement_get_int(query, "n");
}

static void assert_agreed(Staff *staff)
{
    g_autofree char *first = hash(staff->stores[0]);
    g_autofree char *disputed = conflicts(staff->stores[0]);
    for (int i = 1; i < LAPTOPS; i++) {
        g_autofree char *other = hash(staff->stores[i]);
        g_autofree char *others = conflicts(staff->stores[i]);
        ck_assert_str_eq(first, other);
        ck_assert_str_eq(disputed, others);
        ck_assert_int_eq(ask(staff->stores[i], "SELECT count(*) AS n FROM op"),
                         ask(staff->stores[0], "SELECT count(*) AS n FROM op"));
    }
}

/* Every chart that any laptop has, before they meet. Returns: (transfer full): set of ids. */
static GHashTable *list_charts(const Staff *staff)
{
    GHashTable *charts = g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, NULL);
    for (int i = 0; i < LAPTOPS; i++) {
        GError *error = NULL;
        g_autoptr(RbStatement) query =
            rb_statement_new(staff->stores[i], "SELECT id FROM chart", &error);
        rb_assert_no_error(error);
        while (rb_statement_step(query, &error) == RB_STEP_ROW) {
            const int64_t id = rb_statement_get_int(query, "id");
            g_hash_table_add(charts, g_memdup2(&id, sizeof id));
        }
    }
    return charts;
}

/* A chart has one author, so its rows never collide: every chart that any laptop had is on
 * all of them, shown or, if its author took it back, hidden. */
static void assert_no_chart_lost(Staff *staff, GHashTable *charts)
{
    ck_assert_uint_gt(g_hash_table_size(charts), 0);
    for (int i = 0; i < LAPTOPS; i++) {
        GHashTableIter iter;
        gpointer id = NULL;
        g_hash_table_iter_init(&iter, charts);
        while (g_hash_table_iter_next(&iter, &id, NULL)) {
            g_autofree char *sql = g_strdup_printf(
                "SELECT count(*) AS n FROM chart WHERE id = %" G_GINT64_FORMAT,
                *(const int64_t *)id);
            ck_assert_int_eq(ask(staff->stores[i], sql), 1);
        }
        ck_assert_int_eq(ask(staff->stores[i], "SELECT count(*) AS n FROM chart"),
                         g_hash_table_size(charts));
    }
}

/* Every field whose heads differ is listed once, and nothing else is: counted apart. */
static void assert_listed_once(RbStore *store)
{
    GError *error = NULL;
    g_autoptr(GPtrArray) list = rb_store_list_conflicts(store, &error);
    rb_assert_no_error(error);
    for (guint i = 1; i < list->len; i++) {
        const RbConflict *one = list->pdata[i - 1];
        const RbConflict *next = list->pdata[i]; /* in the order of table, row, column */
        ck_assert(one->row != next->row || strcmp(one->table, next->table) != 0 ||
                  strcmp(one->column, next->column) != 0);
    }
    ck_assert_int_eq((int64_t)list->len,
                     ask(store,
                         "SELECT count(*) AS n FROM (SELECT 1 FROM head h JOIN op o ON"
                         " o.author = h.author AND o.seq = h.seq GROUP BY h.row_id,"
                         " h.field HAVING min(quote(o.new)) <> max(quote(o.new)))"));
}

START_TEST(test_exchange__laptops_that_met_agree)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(81) + (uint64_t)_i);
    Staff staff;
    staff_open(&staff);
    /* Half of the steps are actions: 5,000 by each of four laptops. */
    const int steps = rb_test_is_long() ? LAPTOPS * 5000 * 2 : rb_test_some(800);
    for (int n = 0; n < steps; n++) {
        step(&random, &staff);
        if (n == steps / 2) {
            meet(&staff);
            assert_agreed(&staff);
            /* What was sent before is known to all; only some of it comes again. */
            g_ptr_array_set_size(staff.parcels, MIN(20, (int)staff.parcels->len));
        }
    }
    g_autoptr(GHashTable) charts = list_charts(&staff);
    meet(&staff);
    assert_agreed(&staff);
    assert_no_chart_lost(&staff, charts);
    for (int i = 0; i < LAPTOPS; i++) {
        assert_listed_once(staff.stores[i]);
    }
    staff_close(&staff);
}
END_TEST

START_TEST(test_exchange__a_settled_conflict_is_settled_everywhere)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(82));
    Staff staff;
    staff_open(&staff);
    for (int n = 0; n < 300; n++) {
        step(&random, &staff);
    }
    meet(&staff);
    RbStore *store = staff.stores[1];
    GError *error = NULL;
    g_autoptr(GPtrArray) list = rb_store_list_conflicts(store, &error);
    rb_assert_no_error(error);
    ck_assert_uint_gt(list->len, 0);
    begin(store, "Settled");
    for (guint i = 0; i < list->len; i++) {
        const RbConflict *conflict = list->pdata[i];
        check(rb_store_settle(store, conflict, (int)conflict->heads->len - 1, &error_));
    }
    commit(store);
    meet(&staff);
    assert_agreed(&staff);
    g_autofree char *left = conflicts(staff.stores[3]);
    ck_assert_str_eq(left, "");
    staff_close(&staff);
}
END_TEST

/* Another laptop's action can be taken back here, and is taken back there too. */
START_TEST(test_exchange__undo_travels)
{
    g_autoptr(RbStore) a = make_store("a.readbreak");
    g_autoptr(RbStore) b = make_store("b.readbreak");
    g_autoptr(RbSnap) snap = rb_snap_new((RbSnapId){ 11 }, (RbGameId){ 5 }, 1);
    begin(a, "Snap 1");
    check(rb_store_save_snap(a, snap, &error_));
    commit(a);
    snap->situation.down = 3;
    begin(a, "Down of snap 1");
    check(rb_store_save_snap(a, snap, &error_));
    commit(a);
    const int64_t at = last_action(a, a->laptop);
    g_autoptr(GBytes) there = pack(a, 1, at);
    ck_assert_int_eq(deliver(b, there).outcome, RB_PARCEL_APPLIED);
    ck_assert_int_eq(ask(b, "SELECT down AS n FROM snap"), 3);
    check(rb_store_undo_action(b, (RbPersonId){ 8 }, (RbActionId){ a->laptop, at }, NULL,
                               &error_));
    const int64_t mine = last_action(b, b->laptop);
    g_autoptr(GBytes) back = pack(b, 1, mine);
    ck_assert_int_eq(deliver(a, back).outcome, RB_PARCEL_APPLIED);
    ck_assert_int_eq(ask(a, "SELECT coalesce(down, 0) AS n FROM snap"), 0);
    ck_assert_int_eq(ask(a, "SELECT count(*) AS n FROM action WHERE state = 'undone'"),
                     1);
    /* Nobody's own undo goes on to what another did. */
    char *words = NULL;
    check(rb_store_peek_undo(b, &words, &words, &error_));
    ck_assert_ptr_null(words);
}
END_TEST

/* An order in which nothing can be taken yet is waited out. */
START_TEST(test_exchange__what_builds_on_unseen_work_waits)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(83));
    g_autoptr(RbStore) a = make_store("a.readbreak");
    g_autoptr(RbStore) b = make_store("b.readbreak");
    for (int i = 0; i < 20; i++) {
        random_action(&random, a);
    }
    const int64_t last = last_action(a, a->laptop);
    g_autoptr(GBytes) first = pack(a, 1, 10);
    g_autoptr(GBytes) second = pack(a, 11, last);
    RbParcelReport report = deliver(b, second);
    ck_assert_int_eq(report.outcome, RB_PARCEL_WAITS);
    ck_assert_int_eq(report.missing_laptop, a->laptop);
    ck_assert_int_eq(report.missing_number, 10);
    ck_assert_int_eq(ask(b, "SELECT count(*) AS n FROM op"), 0);
    ck_assert_int_eq(deliver(b, first).outcome, RB_PARCEL_APPLIED);
    ck_assert_int_eq(deliver(b, second).outcome, RB_PARCEL_APPLIED);
    ck_assert_int_eq(deliver(b, second).outcome, RB_PARCEL_KNOWN);
    g_autofree char *one = hash(a);
    g_autofree char *two = hash(b);
    ck_assert_str_eq(one, two);
}
END_TEST

/* Two who work on from one another's work, each of whose work then lies in one file: a third can
 * take neither file whole before the other. */
START_TEST(test_exchange__work_that_hangs_together_is_taken_in_turns)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(86));
    g_autoptr(RbStore) a = make_store("a.readbreak");
    g_autoptr(RbStore) b = make_store("b.readbreak");
    g_autoptr(RbStore) c = make_store("c.readbreak");
    for (int turn = 0; turn < 8; turn++) {
        RbStore *from = turn % 2 == 0 ? a : b;
        for (int i = 0; i < 12; i++) {
            random_action(&random, from);
        }
        g_autoptr(GBytes) sent = pack(from, 1, last_action(from, from->laptop));
        ck_assert_int_eq(deliver(turn % 2 == 0 ? b : a, sent).outcome, RB_PARCEL_APPLIED);
    }
    g_autoptr(GBytes) of_a = pack(a, 1, last_action(a, a->laptop));
    g_autoptr(GBytes) of_b = pack(b, 1, last_action(b, b->laptop));
    RbParcelReport report = deliver(c, of_b);
    ck_assert_int_eq(report.outcome, RB_PARCEL_WAITS);
    ck_assert_int_eq(report.missing_laptop, a->laptop);
    int64_t taken = report.actions;
    for (int turn = 0; turn < 8 && report.outcome == RB_PARCEL_WAITS; turn++) {
        report = deliver(c, turn % 2 == 0 ? of_a : of_b);
        ck_assert_int_gt(report.actions, 0);
        taken += report.actions;
    }
    taken += deliver(c, of_a).actions + deliver(c, of_b).actions;
    ck_assert_int_eq(taken, ask(c, "SELECT count(*) AS n FROM action"));
    ck_assert_int_eq(taken, ask(a, "SELECT count(*) AS n FROM action"));
    g_autofree char *one = hash(a);
    g_autofree char *three = hash(c);
    ck_assert_str_eq(one, three);
}
END_TEST

/* A small parcel and a library to refuse it. */
static GBytes *small_parcel(RbStore *store)
{
    g_autoptr(RbPlayer) player =
        rb_player_new((RbPlayerId){ 12 }, (RbTeamId){ 1 }, "12", NULL);
    player->name = g_strdup("Ott Brack");
    begin(store, "Player 12");
    check(rb_store_save_player(store, player, &error_));
    commit(store);
    return pack(store, 1, last_action(store, store->laptop));
}

static bool refused(const guint8 *data, gsize size)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(GBytes) bytes = g_bytes_new(data, size);
    g_autoptr(RbParcel) parcel = rb_parcel_parse(bytes, "x", &error);
    return parcel == NULL && error != NULL && error->domain == RB_STORE_ERROR;
}

START_TEST(test_exchange__damage_at_any_byte_is_refused)
{
    g_autoptr(RbStore) store = make_store("a.readbreak");
    g_autoptr(GBytes) bytes = small_parcel(store);
    gsize size = 0;
    const guint8 *data = g_bytes_get_data(bytes, &size);
    g_autofree guint8 *copy = g_memdup2(data, size);
    for (gsize i = 0; i < size; i++) {
        for (int bit = 0; bit < 8; bit++) {
            copy[i] = (guint8)(data[i] ^ (1 << bit));
            ck_assert_msg(refused(copy, size), "byte %zu, bit %d", i, bit);
        }
        copy[i] = data[i];
        ck_assert_msg(refused(data, i), "cut to %zu bytes", i);
    }
    ck_assert(!refused(copy, size));
}
END_TEST

/* Bytes with a right checksum whose content was made up: refused or taken whole, and a library
 * that took them can still be read. */
static void read_all(RbStore *store)
{

    g_autoptr(GPtrArray) games = rb_store_list_games(store, NULL);
    for (guint i = 0; games != NULL && i < games->len; i++) {
        const RbGame *game = games->pdata[i];
        g_autoptr(GPtrArray) snaps = rb_store_list_snaps(store, game->id, NULL);
        g_autoptr(GPtrArray) charts =
            rb_store_list_counting_charts(store, game->id, NULL);
        (void)snaps;
        (void)charts;
        g_autoptr(GPtrArray) clips = rb_store_list_game_clips(store, game->id, NULL);
        (void)clips;
    }
    g_autoptr(GPtrArray) concepts = rb_store_list_concepts(store, NULL);
    check(rb_store_check_integrity(store, &error_));
}

START_TEST(test_exchange__made_up_content_harms_nothing)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(84));
    g_autoptr(RbStore) a = make_store("a.readbreak");
    for (int i = 0; i < 30; i++) {
        random_action(&random, a);
    }
    g_autoptr(GBytes) bytes = pack(a, 1, last_action(a, a->laptop));
    gsize size = 0;
    const guint8 *data = g_bytes_get_data(bytes, &size);
    int taken = 0;
    for (int n = 0; n < 400; n++) {
        g_autofree char *name = g_strdup_printf("v%d.readbreak", n % 20);
        g_autofree char *path = rb_test_path(name);
        g_autoptr(RbStore) victim = n < 20 ? make_store(name) : rb_store_open(path, NULL);
        g_autofree guint8 *copy = g_memdup2(data, size);
        for (int i = rb_random_int(&random, 1, 4); i > 0; i--) {
            copy[rb_random_int(&random, 20, (int)size - 33)] =
                (guint8)rb_random_int(&random, 0, 255);
        }
        g_autoptr(GChecksum) sum = g_checksum_new(G_CHECKSUM_SHA256);
        g_checksum_update(sum, copy, (gssize)size - 32);
        gsize length = 32;
        g_checksum_get_digest(sum, copy + size - 32, &length);
        g_autoptr(GBytes) forged = g_bytes_new(copy, size);
        g_autoptr(GError) error = NULL;
        g_autoptr(RbParcel) parcel = rb_parcel_parse(forged, "x", &error);
        RbParcelReport report = { 0 };
        if (parcel != NULL &&
            rb_store_apply_parcel(victim, parcel, "x", &report, &error)) {
            taken++;
            read_all(victim);
        } else {
            ck_assert_ptr_nonnull(error);
        }
    }
    ck_assert_int_gt(taken, 0);
}
END_TEST

/* What cannot stand in the schema, each by itself. */
static const struct {
    const char *table;
    const char *column;
    RbCell value;
} impossible[] = {
    { "op", "new", { RB_CELL_INT, 1, NULL } },
    { "sqlite_schema", "sql", { RB_CELL_TEXT, 0, (char *)"" } },
    { "snap", "id", { RB_CELL_INT, 9, NULL } },
    { "snap", "down\" = 1 --", { RB_CELL_INT, 1, NULL } },
    { "snap", "down", { RB_CELL_TEXT, 0, (char *)"1" } },
    { "snap", "down", { RB_CELL_INT, INT64_C(1) << 40, NULL } },
    { "snap", "hash", { RB_CELL_TEXT, 0, (char *)"sideways" } },
    { "snap", "note", { RB_CELL_INT, 1, NULL } },
    { "snap", "removed", { RB_CELL_INT, 2, NULL } },
    { "snap", "removed", { RB_CELL_NONE, 0, NULL } },
    { "snap", "game", { RB_CELL_INT, -4, NULL } },
    { "mark", "den", { RB_CELL_INT, 0, NULL } },
    { "term", "hidden", { RB_CELL_INT, 7, NULL } },
};

START_TEST(test_exchange__impossible_values_are_refused)
{
    g_autoptr(RbStore) store = make_store("a.readbreak");
    g_autoptr(RbParcel) parcel = rb_parcel_new();
    parcel->schema = store->version;
    parcel->laptop = 99;
    parcel->first = 1;
    RbParcelAction *action = rb_parcel_action_new();
    action->stamp = 1000;
    action->words = g_strdup("x");
    g_ptr_array_add(parcel->actions, action);
    RbParcelOp *op = rb_parcel_op_new();
    op->field = rb_parcel_add_field(parcel, impossible[_i].table, impossible[_i].column);
    op->row = 5;
    op->new_ = impossible[_i].value;
    op->new_.text = g_strdup(op->new_.text);
    g_ptr_array_add(action->ops, op);
    g_autoptr(GBytes) bytes = rb_parcel_write(parcel);
    g_autoptr(GError) error = NULL;
    g_autoptr(RbParcel) read = rb_parcel_parse(bytes, "x.rbwork", &error);
    rb_assert_no_error(error);
    RbParcelReport report;
    ck_assert(!rb_store_apply_parcel(store, read, "x.rbwork", &report, &error));
    ck_assert(g_error_matches(error, RB_STORE_ERROR, RB_STORE_ERROR_DAMAGED));
    ck_assert_ptr_nonnull(strstr(error->message, "x.rbwork"));
    ck_assert_int_eq(ask(store, "SELECT count(*) AS n FROM action"), 0);
}
END_TEST

START_TEST(test_exchange__a_newer_schema_waits_for_the_update)
{
    g_autoptr(RbStore) store = make_store("a.readbreak");
    g_autoptr(GBytes) bytes = small_parcel(store);
    g_autoptr(GError) error = NULL;
    g_autoptr(RbParcel) parcel =
        rb_parcel_parse_with(bytes, "x.rbwork", store->version - 1, &error);
    ck_assert_ptr_null(parcel);
    ck_assert(g_error_matches(error, RB_STORE_ERROR, RB_STORE_ERROR_NEWER));
}
END_TEST

/* A library set back to an older state must not go on with numbers it has given already. */
START_TEST(test_exchange__a_library_set_back_is_told)
{
    g_autoptr(RbStore) store = make_store("a.readbreak");
    g_autoptr(GBytes) bytes = small_parcel(store);
    check(rb_sqlite_exec(store->db, store->path,
                         "DELETE FROM head; DELETE FROM op; DELETE FROM action",
                         &error_));
    g_autoptr(GError) error = NULL;
    g_autoptr(RbParcel) parcel = rb_parcel_parse(bytes, "x", &error);
    RbParcelReport report;
    ck_assert(!rb_store_apply_parcel(store, parcel, "x", &report, &error));
    ck_assert(g_error_matches(error, RB_STORE_ERROR, RB_STORE_ERROR_EXISTS));
}
END_TEST

/* A copied library goes on as another laptop, and both ends meet. */
START_TEST(test_exchange__a_copied_library_is_another_laptop)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(85));
    g_autoptr(RbStore) a = make_store("a.readbreak");
    for (int i = 0; i < 10; i++) {
        random_action(&random, a);
    }
    g_autofree char *to = rb_test_path("b.readbreak");
    g_autofree char *sql = g_strdup_printf("VACUUM INTO '%s'", to);
    check(rb_sqlite_exec(a->db, a->path, sql, &error_));
    GError *error = NULL;
    g_autoptr(RbStore) b = rb_store_open(to, &error);
    rb_assert_no_error(error);
    ck_assert_int_ne(a->laptop, b->laptop);
    for (int i = 0; i < 10; i++) {
        random_action(&random, a);
        random_action(&random, b);
    }
    g_autoptr(GArray) ranges = rb_store_own_ranges(b, &error);
    rb_assert_no_error(error);
    ck_assert_uint_eq(ranges->len, 2); /* until the old one is seen to go on elsewhere */
    g_autoptr(GBytes) of_a = pack(a, 1, last_action(a, a->laptop));
    g_autoptr(GBytes) of_b = pack(b, 1, last_action(b, b->laptop));
    ck_assert_int_eq(deliver(b, of_a).outcome, RB_PARCEL_APPLIED);
    ck_assert_int_eq(deliver(a, of_b).outcome, RB_PARCEL_APPLIED);
    g_autofree char *one = hash(a);
    g_autofree char *two = hash(b);
    ck_assert_str_eq(one, two);
    g_autoptr(GArray) after = rb_store_own_ranges(b, &error);
    ck_assert_uint_eq(after->len, 1);
    ck_assert_int_eq(g_array_index(after, RbParcelRange, 0).laptop, b->laptop);
}
END_TEST

static int64_t names_left(RbStore *store)
{
    return ask(store, "SELECT (SELECT count(*) FROM op WHERE instr(new, 'Ott Brack') OR"
                      " instr(old, 'Ott Brack')) + (SELECT count(*) FROM snap WHERE"
                      " instr(note, 'Ott Brack')) + (SELECT count(*) FROM player WHERE"
                      " name IS NOT NULL) AS n");
}

/* Forgetting travels; a laptop that wrote the name down before it knew cleans its own work, and
 * what it sends anew cleans what others took from it. */
START_TEST(test_exchange__a_forgotten_name_goes_everywhere)
{
    g_autoptr(RbStore) a = make_store("a.readbreak");
    g_autoptr(RbStore) b = make_store("b.readbreak");
    g_autoptr(RbStore) c = make_store("c.readbreak");
    g_autoptr(GBytes) player = small_parcel(a);
    deliver(b, player);
    g_autoptr(RbSnap) snap = rb_snap_new((RbSnapId){ 11 }, (RbGameId){ 5 }, 1);
    snap->note = g_strdup("Ott Brack slipped");
    begin(b, "Note");
    check(rb_store_save_snap(b, snap, &error_));
    commit(b);
    g_autoptr(GBytes) noted = pack(b, 1, last_action(b, b->laptop));
    check(rb_store_forget_player(a, (RbPersonId){ 7 }, (RbPlayerId){ 12 }, &error_));
    g_autoptr(GBytes) forgotten = pack(a, 1, last_action(a, a->laptop));
    deliver(c, player); /* from before */
    deliver(c, noted);
    ck_assert_int_gt(names_left(c), 0);
    deliver(c, forgotten);
    ck_assert_int_eq(names_left(c), 0);
    deliver(b, forgotten);
    ck_assert_int_eq(names_left(b), 0);
    deliver(a, noted); /* written before b knew: a cannot know whose name this is … */
    g_autoptr(GBytes) anew = pack(b, 1, last_action(b, b->laptop));
    deliver(a, anew); /* … until b has cleaned its own */
    ck_assert_int_eq(names_left(a), 0);
    g_autofree char *one = hash(a);
    g_autofree char *two = hash(b);
    g_autofree char *three = hash(c);
    ck_assert_str_eq(one, two);
    ck_assert_str_eq(one, three);
}
END_TEST

START_TEST(test_exchange__file_names)
{
    const RbParcelRange range = { 4611686018427387905, 3, 17 };
    g_autofree char *name = rb_parcel_file_name(&range);
    RbParcelRange read;
    ck_assert(rb_parcel_file_name_parse(name, &read));
    ck_assert_mem_eq(&range, &read, sizeof range);
    static const char *const others[] = {
        "",
        "x.rbwork",
        "1-2.rbwork",
        "1-5-2.rbwork",
        "0-1-2.rbwork",
        "1-1-2-3.rbwork",
        "1-1-2.rbwork.tmp",
        "-1-1-2.rbwork",
        "1-+1-2.rbwork",
    };
    for (size_t i = 0; i < G_N_ELEMENTS(others); i++) {
        ck_assert_msg(!rb_parcel_file_name_parse(others[i], &read), "%s", others[i]);
    }
}
END_TEST

TCase *rb_case_exchange(void)
{
    TCase *tcase = rb_case_new("exchange");
    tcase_set_timeout(tcase, rb_test_is_long() ? 1200 : 60);
    tcase_add_loop_test(tcase, test_exchange__laptops_that_met_agree, 0, 2);
    tcase_add_test(tcase, test_exchange__a_settled_conflict_is_settled_everywhere);
    tcase_add_test(tcase, test_exchange__undo_travels);
    tcase_add_test(tcase, test_exchange__what_builds_on_unseen_work_waits);
    tcase_add_test(tcase, test_exchange__work_that_hangs_together_is_taken_in_turns);
    tcase_add_test(tcase, test_exchange__damage_at_any_byte_is_refused);
    tcase_add_test(tcase, test_exchange__made_up_content_harms_nothing);
    tcase_add_loop_test(tcase, test_exchange__impossible_values_are_refused, 0,
                        (int)G_N_ELEMENTS(impossible));
    tcase_add_test(tcase, test_exchange__a_newer_schema_waits_for_the_update);
    tcase_add_test(tcase, test_exchange__a_library_set_back_is_told);
    tcase_add_test(tcase, test_exchange__a_copied_library_is_another_laptop);
    tcase_add_test(tcase, test_exchange__a_forgotten_name_goes_everywhere);
    tcase_add_test(tcase, test_exchange__file_names);
    return tcase;
}
