/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "rb/base/told.h"
#include "rb/store/backup.h"
#include "rb/store/history.h"
#include "rb/store/statement.h"

#include "cases.h"
#include "make.h"

#define NAME "J\xc3\xbcrgen Quillfeather"

static void set_name(RbStore *store, RbPlayer *player, const char *name)
{
    g_free(player->name);
    player->name = g_strdup(name);
    g_autofree char *words = g_strdup_printf("Player 12 is %s.", name);
    begin(store, words);
    check(rb_store_save_player(store, player, &error_));
    commit(store);
}

/* A library in which the name stands wherever a person can have written it. */
static RbStore *library(void)
{
    RbStore *store = make_store("a.readbreak");
    g_autoptr(RbPlayer) player =
        rb_player_new((RbPlayerId){ 12 }, (RbTeamId){ 1 }, "12", NULL);
    set_name(store, player, "Old Misspelling");
    set_name(store, player, NAME);
    g_autoptr(RbSnap) snap = rb_snap_new((RbSnapId){ 11 }, (RbGameId){ 5 }, 1);
    snap->note = g_strdup(NAME " slipped; (" NAME ")");
    g_autoptr(RbSnap) other = rb_snap_new((RbSnapId){ 13 }, (RbGameId){ 5 }, 2);
    other->note = g_strdup("x" NAME " and " NAME "s are other words");
    g_autoptr(RbFilm) film = rb_film_new((RbFilmId){ 3 }, NAME " workout.mp4");
    g_autoptr(RbConceptRow) concept = rb_concept_row_new(
        (RbConceptId){ 4 }, "dig", "Dig", "{\"notes\": \"" NAME " runs it\"}");
    begin(store, "Notes on " NAME);
    check(rb_store_save_snap(store, snap, &error_));
    check(rb_store_save_snap(store, other, &error_));
    check(rb_store_save_film(store, film, &error_));
    check(rb_store_save_concept(store, concept, NULL, &error_));
    commit(store);
    return store;
}

static int count(const char *path, const char *what)
{
    g_autofree char *data = NULL;
    gsize size = 0;
    if (!g_file_get_contents(path, &data, &size, NULL)) {
        return 0;
    }
    int n = 0;
    const size_t length = strlen(what);
    for (gsize i = 0; i + length <= size; i++) {
        n += memcmp(data + i, what, length) == 0 ? 1 : 0;
    }
    return n;
}

/* In the raw bytes, not only in what the engine shows. */
static int count_with_log(const char *path, const char *what)
{
    g_autofree char *log = g_strconcat(path, "-wal", NULL);
    return count(path, what) + count(log, what);
}

START_TEST(test_forget__leaves_no_byte_of_the_name)
{
    RbStore *store = library();
    g_autofree char *path = g_strdup(rb_store_get_path(store));
    g_autofree char *backup = NULL;
    check(rb_store_backup(store, &backup, &error_));
    ck_assert_int_gt(count(backup, NAME), 0);
    ck_assert_int_gt(count_with_log(path, NAME), 0);

    check(rb_store_forget_player(store, (RbPersonId){ 7 }, (RbPlayerId){ 12 }, &error_));
    GError *error = NULL;
    g_autoptr(RbPlayer) player = rb_store_load_player(store, (RbPlayerId){ 12 }, &error);
    rb_assert_no_error(error);
    ck_assert_ptr_null(player->name);
    ck_assert_str_eq(player->jersey, "12");
    g_autoptr(RbSnap) snap = rb_store_load_snap(store, (RbSnapId){ 11 }, &error);
    rb_assert_no_error(error);
    ck_assert_str_eq(snap->note, "(name removed) slipped; ((name removed))");
    g_autoptr(RbConceptRow) concept =
        rb_store_load_concept(store, (RbConceptId){ 4 }, &error);
    rb_assert_no_error(error);
    ck_assert_str_eq(concept->document, "{\"notes\": \"(name removed) runs it\"}");
    g_autoptr(RbSnap) other = rb_store_load_snap(store, (RbSnapId){ 13 }, &error);
    rb_assert_no_error(error);
    ck_assert_str_eq(other->note, "x" NAME " and " NAME "s are other words");

    /* But for those two longer words, kept on purpose in row and op: take them away. */
    begin(store, "Note");
    g_free(other->note);
    other->note = NULL;
    check(rb_store_save_snap(store, other, &error_));
    commit(store);
    g_autoptr(RbStatement) strip = rb_statement_new(
        store, "UPDATE op SET old = NULL, new = NULL WHERE row_id = 13", &error);
    rb_assert_no_error(error);
    check(rb_statement_run(strip, &error_));
    rb_statement_reset(strip);
    g_clear_pointer(&strip, rb_statement_free);
    rb_store_free(store);
    ck_assert_int_eq(count_with_log(path, NAME), 0);
    ck_assert_int_eq(count_with_log(path, "Old Misspelling"), 0);
    ck_assert_int_eq(count(backup, "Old Misspelling"), 0);
    /* In the backup the two longer words stay, once in the row and once in the op. */
    ck_assert_int_eq(count(backup, NAME), 4);
}
END_TEST

START_TEST(test_forget__undo_does_not_bring_the_name_back)
{
    g_autoptr(RbStore) store = library();
    check(rb_store_forget_player(store, (RbPersonId){ 7 }, (RbPlayerId){ 12 }, &error_));
    GError *error = NULL;
    g_autoptr(GPtrArray) list = rb_store_list_history(store, INT64_MAX, 10, &error);
    rb_assert_no_error(error);
    const RbHistoryEntry *newest = list->pdata[0];
    ck_assert_int_eq(newest->type, RB_ACTION_FORGET);
    ck_assert_int_eq(newest->changes, 0);
    for (guint i = 0; i < list->len; i++) {
        const RbHistoryEntry *entry = list->pdata[i];
        ck_assert_ptr_null(strstr(entry->words, NAME));
    }
    /* Undo takes the last ordinary action; nothing gives the name back. */
    while (rb_store_undo(store, (RbPersonId){ 7 }, NULL, NULL, NULL)) {
    }
    while (rb_store_redo(store, (RbPersonId){ 7 }, NULL, NULL, NULL)) {
    }
    g_autoptr(RbPlayer) player = rb_store_load_player(store, (RbPlayerId){ 12 }, &error);
    rb_assert_no_error(error);
    ck_assert_ptr_null(player->name);
    check(rb_store_check_integrity(store, &error_));
}
END_TEST

/* The name goes out of the English sentence and out of what fills the reader's. */
START_TEST(test_forget__told_words_stay_told)
{
    g_autoptr(RbStore) store = make_store("a.readbreak");
    g_autoptr(RbPlayer) player =
        rb_player_new((RbPlayerId){ 12 }, (RbTeamId){ 1 }, "12", NAME);
    g_autofree char *told = rb_told("%s of snap %d set to %s", "quarterback", 34, NAME);
    begin(store, told);
    check(rb_store_save_player(store, player, &error_));
    commit(store);
    check(rb_store_forget_player(store, (RbPersonId){ 7 }, (RbPlayerId){ 12 }, &error_));
    GError *error = NULL;
    g_autoptr(GPtrArray) list = rb_store_list_history(store, INT64_MAX, 10, &error);
    rb_assert_no_error(error);
    ck_assert_uint_eq(list->len, 2);
    const RbHistoryEntry *entry = list->pdata[1];
    ck_assert_ptr_null(strstr(entry->words, NAME));
    g_autofree char *shown = rb_told_show(entry->words);
    ck_assert_str_eq(shown, "quarterback of snap 34 set to (name removed)");
    const char *front = "quarterback of snap 34 set to (name removed)\x1e\x02";
    ck_assert(g_str_has_prefix(entry->words, front));
    ck_assert_ptr_nonnull(strstr(entry->words, "%s of snap %d set to %s"));
    g_autofree char *last = rb_told_show(((RbHistoryEntry *)list->pdata[0])->words);
    ck_assert_str_eq(last, "A name was forgotten");
}
END_TEST

START_TEST(test_forget__a_member_of_the_staff)
{
    g_autoptr(RbStore) store = make_store("a.readbreak");
    g_autoptr(RbPerson) person = rb_person_new((RbPersonId){ 7 }, NAME);
    g_autoptr(RbPlayer) player =
        rb_player_new((RbPlayerId){ 12 }, (RbTeamId){ 1 }, "12", NAME);
    begin(store, "Staff");
    check(rb_store_save_person(store, person, &error_));
    check(rb_store_save_player(store, player, &error_));
    commit(store);
    check(rb_store_forget_person(store, person->id, person->id, &error_));
    GError *error = NULL;
    g_autoptr(RbPerson) back = rb_store_load_person(store, person->id, &error);
    rb_assert_no_error(error);
    ck_assert_str_eq(back->name, "");
    /* Somebody else with the same name is somebody else. */
    g_autoptr(RbPlayer) same = rb_store_load_player(store, player->id, &error);
    rb_assert_no_error(error);
    ck_assert_str_eq(same->name, NAME);
}
END_TEST

START_TEST(test_forget__an_older_backup_goes)
{
    g_autoptr(RbStore) store = library();
    g_autofree char *backup = NULL;
    check(rb_store_backup(store, &backup, &error_));
    g_autofree char *data = NULL;
    gsize size = 0;
    ck_assert(g_file_get_contents(backup, &data, &size, NULL));
    data[63] = 0; /* user_version 0: a schema this version cannot change */
    ck_assert(g_file_set_contents(backup, data, (gssize)size, NULL));
    check(rb_store_forget_player(store, (RbPersonId){ 7 }, (RbPlayerId){ 12 }, &error_));
    ck_assert(!g_file_test(backup, G_FILE_TEST_EXISTS));
}
END_TEST

TCase *rb_case_forget(void)
{
    TCase *tcase = rb_case_new("forget");
    tcase_add_test(tcase, test_forget__leaves_no_byte_of_the_name);
    tcase_add_test(tcase, test_forget__undo_does_not_bring_the_name_back);
    tcase_add_test(tcase, test_forget__told_words_stay_told);
    tcase_add_test(tcase, test_forget__a_member_of_the_staff);
    tcase_add_test(tcase, test_forget__an_older_backup_goes);
    return tcase;
}
