/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "rb/store/history.h"

#include "cases.h"
#include "make.h"
#include "store-private.h"

enum { ROUNDS = 200 };

START_TEST(test_snap__comes_back_as_saved)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(1));
    g_autoptr(RbStore) store = make_store("a.readbreak");
    const RbGameId game = { 5 };
    begin(store, "snaps");
    for (int i = 0; i < ROUNDS; i++) {
        g_autoptr(RbSnap) snap = make_snap(&random, game, i);
        check(rb_store_save_snap(store, snap, &error_));
        GError *error = NULL;
        g_autoptr(RbSnap) back = rb_store_load_snap(store, snap->id, &error);
        rb_assert_no_error(error);
        assert_same_snap(snap, back);
        /* Other values under the same id, other penalties among them. */
        g_autoptr(RbSnap) other = make_snap(&random, game, i + 1);
        other->id = snap->id;
        for (guint j = 0; j < other->penalties->len; j++) {
            g_array_index(other->penalties, RbPenalty, j).snap = snap->id;
        }
        check(rb_store_save_snap(store, other, &error_));
        g_autoptr(RbSnap) changed = rb_store_load_snap(store, snap->id, &error);
        rb_assert_no_error(error);
        assert_same_snap(other, changed);
    }
    commit(store);
    GError *error = NULL;
    g_autoptr(GPtrArray) list = rb_store_list_snaps(store, game, &error);
    rb_assert_no_error(error);
    ck_assert_uint_eq(list->len, ROUNDS);
}
END_TEST

START_TEST(test_chart__comes_back_as_saved)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(2));
    g_autoptr(RbStore) store = make_store("a.readbreak");
    begin(store, "charts");
    for (int i = 0; i < ROUNDS; i++) {
        const RbSnapId snap = { make_id(&random) };
        g_autoptr(RbChart) chart = make_chart(&random, snap, (RbPersonId){ 9 });
        for (int round = 0; round < 3; round++) {
            check(rb_store_save_chart(store, chart, &error_));
            GError *error = NULL;
            g_autoptr(RbChart) back =
                rb_store_find_chart(store, snap, chart->author, &error);
            rb_assert_no_error(error);
            assert_same_chart(chart, back);
            fill_chart(&random, chart);
        }
    }
    commit(store);
}
END_TEST

START_TEST(test_clip__comes_back_as_saved)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(3));
    g_autoptr(RbStore) store = make_store("a.readbreak");
    GError *error = NULL;
    begin(store, "clips");
    for (int i = 0; i < ROUNDS; i++) {
        const RbSnapId snap = { make_id(&random) };
        g_autoptr(RbClip) clip = make_clip(&random, snap, (RbFilmId){ make_id(&random) });
        for (int round = 0; round < 2; round++) {
            check(rb_store_save_clip(store, clip, &error_));
            g_autoptr(RbClip) back = rb_store_load_clip(store, clip->id, &error);
            rb_assert_no_error(error);
            assert_same_clip(clip, back);
            g_autoptr(GPtrArray) of_snap = rb_store_list_clips(store, snap, &error);
            rb_assert_no_error(error);
            ck_assert_uint_eq(of_snap->len, 1);
            assert_same_clip(clip, of_snap->pdata[0]);
            /* Again with other marks: those that are gone must go. */
            const RbClipId id = clip->id;
            rb_clip_free(clip);
            clip = make_clip(&random, snap, (RbFilmId){ 0 });
            clip->id = id;
            for (guint j = 0; j < clip->marks->len; j++) {
                RbMark *mark = &g_array_index(clip->marks, RbMark, j);
                mark->clip = id;
                mark->id = rb_mark_id(id, mark->kind);
            }
        }
    }
    commit(store);
}
END_TEST

/* A snap has film when a clip that is not removed lies on one. */
START_TEST(test_clip__tells_which_snaps_have_film)
{
    static const struct {
        int64_t snap, film;
        bool removed, has;
    } told[] = { { 11, 3, false, true },
                 { 12, 0, false, false },
                 { 13, 3, true, false } };
    g_autoptr(RbStore) store = make_store("a.readbreak");
    g_autoptr(GArray) snaps = g_array_new(FALSE, FALSE, sizeof(RbSnapId));
    GError *error = NULL;
    begin(store, "clips");
    for (guint i = 0; i < G_N_ELEMENTS(told); i++) {
        const RbSnapId snap = { told[i].snap };
        g_autoptr(RbClip) clip = rb_clip_new((RbClipId){ 20 + (int64_t)i }, snap,
                                             (RbFilmId){ told[i].film }, RB_ANGLE_WIDE);
        g_array_append_val(snaps, snap);
        check(rb_store_save_clip(store, clip, &error_));
        if (told[i].removed) {
            check(rb_store_remove_clip(store, clip->id, &error_));
        }
    }
    commit(store);
    const RbSnapId never = { 99 };
    g_array_append_val(snaps, never);
    g_autoptr(GHashTable) filmed = rb_store_find_filmed(store, snaps, &error);
    rb_assert_no_error(error);
    ck_assert_uint_eq(g_hash_table_size(filmed), 1);
    for (guint i = 0; i < G_N_ELEMENTS(told); i++) {
        ck_assert_int_eq(g_hash_table_contains(filmed, &told[i].snap), told[i].has);
    }
}
END_TEST

/* A mark without an id takes one from its clip and kind, the same on every laptop. */
START_TEST(test_clip__a_mark_is_one_mark_on_every_laptop)
{
    g_autoptr(RbStore) store = make_store("a.readbreak");
    g_autoptr(RbClip) clip =
        rb_clip_new((RbClipId){ 21 }, (RbSnapId){ 11 }, (RbFilmId){ 3 }, RB_ANGLE_TIGHT);
    const RbMark mark = { .kind = RB_MARK_SNAP, .frame = 40, .time = { 40, { 1, 60 } } };
    g_array_append_val(clip->marks, mark);
    begin(store, "mark");
    check(rb_store_save_clip(store, clip, &error_));
    commit(store);
    GError *error = NULL;
    g_autoptr(RbClip) back = rb_store_load_clip(store, clip->id, &error);
    rb_assert_no_error(error);
    const RbMark *found = rb_clip_find_mark(back, RB_MARK_SNAP);
    ck_assert_ptr_nonnull(found);
    ck_assert_int_eq(found->id.value, rb_mark_id(clip->id, RB_MARK_SNAP).value);
    ck_assert_int_eq(found->clip.value, 21);
    ck_assert_int_eq(found->frame, 40);
    ck_assert_int_ne(rb_mark_id(clip->id, RB_MARK_SNAP).value,
                     rb_mark_id(clip->id, RB_MARK_SET).value);
}
END_TEST

START_TEST(test_staff__comes_back_as_saved)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(4));
    g_autoptr(RbStore) store = make_store("a.readbreak");
    GError *error = NULL;
    begin(store, "staff");
    for (int i = 0; i < ROUNDS; i++) {
        g_autoptr(RbPerson) person = make_person(&random);
        g_autoptr(RbTeam) team = make_team(&random);
        g_autoptr(RbPlayer) player = make_player(&random, team->id);
        g_autoptr(RbGame) game = make_game(&random);
        check(rb_store_save_person(store, person, &error_));
        check(rb_store_save_team(store, team, &error_));
        check(rb_store_save_player(store, player, &error_));
        check(rb_store_save_game(store, game, &error_));
        g_autoptr(RbPerson) a = rb_store_load_person(store, person->id, &error);
        g_autoptr(RbTeam) b = rb_store_load_team(store, team->id, &error);
        g_autoptr(RbPlayer) c = rb_store_load_player(store, player->id, &error);
        g_autoptr(RbGame) d = rb_store_load_game(store, game->id, &error);
        rb_assert_no_error(error);
        ck_assert_str_eq(a->name, person->name);
        ck_assert_str_eq(b->name, team->name);
        ck_assert_int_eq(b->ours, team->ours);
        ck_assert_int_eq(c->team.value, team->id.value);
        ck_assert_str_eq(c->jersey, player->jersey);
        ck_assert_pstr_eq(c->name, player->name);
        ck_assert_int_eq(d->kind, game->kind);
        ck_assert_int_eq(d->rules, game->rules);
        ck_assert_str_eq(d->played_on, game->played_on);
        ck_assert_int_eq(d->us.value, game->us.value);
        ck_assert_int_eq(d->them.value, game->them.value);
        ck_assert_int_eq(d->ours_only, game->ours_only);
        ck_assert_int_eq(d->lead.value, game->lead.value);
        ck_assert_str_eq(d->title, game->title);
    }
    commit(store);
    g_autoptr(GPtrArray) games = rb_store_list_games(store, &error);
    rb_assert_no_error(error);
    ck_assert_uint_eq(games->len, ROUNDS);
    for (guint i = 1; i < games->len; i++) {
        const RbGame *one = games->pdata[i - 1];
        const RbGame *next = games->pdata[i];
        ck_assert_int_le(g_strcmp0(one->played_on, next->played_on), 0);
    }
}
END_TEST

START_TEST(test_playbook__comes_back_as_saved)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(5));
    g_autoptr(RbStore) store = make_store("a.readbreak");
    GError *error = NULL;
    begin(store, "playbook");
    for (int i = 0; i < ROUNDS; i++) {
        g_autoptr(RbTerm) term = make_term(&random);
        g_autoptr(RbFilm) film = make_film(&random, (RbGameId){ 5 });
        check(rb_store_save_term(store, term, &error_));
        check(rb_store_save_film(store, film, &error_));
        g_autoptr(RbTerm) a = rb_store_load_term(store, term->id, &error);
        g_autoptr(RbFilm) b = rb_store_load_film(store, film->id, &error);
        rb_assert_no_error(error);
        ck_assert_int_eq(a->kind, term->kind);
        ck_assert_str_eq(a->token, term->token);
        ck_assert_str_eq(a->name, term->name);
        ck_assert_int_eq(a->family, term->family);
        ck_assert_int_eq(a->deep, term->deep);
        ck_assert_int_eq(a->sort, term->sort);
        ck_assert_int_eq(a->hidden, term->hidden);
        ck_assert_str_eq(b->title, film->title);
        ck_assert_str_eq(b->fingerprint, film->fingerprint);
        ck_assert_int_eq(b->bytes, film->bytes);
        ck_assert_int_eq(b->angle, film->angle);
        ck_assert_int_eq(b->game.value, 5);
    }
    commit(store);
}
END_TEST

START_TEST(test_concept__keeps_every_revision)
{
    g_autoptr(RbStore) store = make_store("a.readbreak");
    GError *error = NULL;
    static const char *const documents[] = { "{\"v\": 1}", "{\"v\": 2}", "{\"v\": 1}" };
    RbRevisionId ids[3];
    for (int i = 0; i < 3; i++) {
        g_autoptr(RbConceptRow) row =
            rb_concept_row_new((RbConceptId){ 4 }, "dig", "Dig", documents[i]);
        begin(store, "concept");
        check(rb_store_save_concept(store, row, &ids[i], &error_));
        commit(store);
        g_autoptr(RbConceptRow) now = rb_store_load_concept(store, row->id, &error);
        rb_assert_no_error(error);
        ck_assert_str_eq(now->document, documents[i]);
        ck_assert_int_eq(now->revision.value, ids[i].value);
    }
    /* The old state again is the old revision. */
    ck_assert_int_eq(ids[0].value, ids[2].value);
    ck_assert_int_ne(ids[0].value, ids[1].value);
    g_autoptr(RbConceptRow) second = rb_store_load_revision(store, ids[1], &error);
    rb_assert_no_error(error);
    ck_assert_str_eq(second->document, documents[1]);
    ck_assert_int_eq(second->id.value, 4);
    g_autoptr(GPtrArray) all = rb_store_list_concepts(store, &error);
    ck_assert_uint_eq(all->len, 1);
}
END_TEST

START_TEST(test_row__unknown_and_removed_are_refused)
{
    g_autoptr(RbStore) store = make_store("a.readbreak");
    GError *error = NULL;
    ck_assert_ptr_null(rb_store_load_snap(store, (RbSnapId){ 99 }, &error));
    ck_assert(g_error_matches(error, RB_STORE_ERROR, RB_STORE_ERROR_UNKNOWN));
    g_clear_error(&error);
    g_autoptr(RbSnap) snap = rb_snap_new((RbSnapId){ 11 }, (RbGameId){ 5 }, 1);
    begin(store, "snap");
    check(rb_store_save_snap(store, snap, &error_));
    check(rb_store_remove_snap(store, snap->id, &error_));
    ck_assert(!rb_store_remove_snap(store, snap->id, &error));
    ck_assert(g_error_matches(error, RB_STORE_ERROR, RB_STORE_ERROR_UNKNOWN));
    g_clear_error(&error);
    ck_assert_ptr_null(rb_store_load_snap(store, snap->id, NULL));
    /* Saved again it is back. */
    check(rb_store_save_snap(store, snap, &error_));
    g_autoptr(RbSnap) back = rb_store_load_snap(store, snap->id, &error);
    rb_assert_no_error(error);
    commit(store);
    ck_assert_ptr_null(rb_store_load_chart(store, (RbChartId){ 1 }, NULL));
    ck_assert_ptr_null(rb_store_load_clip(store, (RbClipId){ 1 }, NULL));
    ck_assert_ptr_null(rb_store_load_concept(store, (RbConceptId){ 1 }, NULL));
    ck_assert_ptr_null(rb_store_load_revision(store, (RbRevisionId){ 1 }, NULL));
}
END_TEST

/* A word of a later version, or of another hand, is named rather than taken for unknown. */
START_TEST(test_row__a_strange_word_is_named)
{
    g_autoptr(RbStore) store = make_store("a.readbreak");
    g_autoptr(RbChart) chart = rb_chart_new((RbSnapId){ 11 }, (RbPersonId){ 7 });
    begin(store, "chart");
    check(rb_store_save_chart(store, chart, &error_));
    commit(store);
    sqlite3_exec(store->db, "UPDATE chart SET ball = 'levitated'", NULL, NULL, NULL);
    GError *error = NULL;
    ck_assert_ptr_null(rb_store_load_chart(store, chart->id, &error));
    ck_assert(g_error_matches(error, RB_STORE_ERROR, RB_STORE_ERROR_DAMAGED));
    ck_assert_ptr_nonnull(strstr(error->message, "levitated"));
    g_clear_error(&error);
    sqlite3_exec(store->db, "UPDATE chart SET ball = NULL, release_ms = 99999999999",
                 NULL, NULL, NULL);
    ck_assert_ptr_null(rb_store_load_chart(store, chart->id, &error));
    ck_assert(g_error_matches(error, RB_STORE_ERROR, RB_STORE_ERROR_DAMAGED));
    g_clear_error(&error);
}
END_TEST

static void save_chart_by(RbStore *store, int64_t snap, int64_t author)
{
    g_autoptr(RbChart) chart =
        rb_store_find_chart(store, (RbSnapId){ snap }, (RbPersonId){ author }, NULL);
    if (chart == NULL) {
        chart = rb_chart_new((RbSnapId){ snap }, (RbPersonId){ author });
    }
    chart->release_ms++;
    begin(store, "chart");
    check(rb_store_save_chart(store, chart, &error_));
    commit(store);
}

static int64_t counting_author(RbStore *store, guint i)
{
    GError *error = NULL;
    g_autoptr(GPtrArray) list =
        rb_store_list_counting_charts(store, (RbGameId){ 5 }, &error);
    rb_assert_no_error(error);
    ck_assert_uint_eq(list->len, 2);
    const RbChart *chart = list->pdata[i];
    return chart->author.value;
}

START_TEST(test_chart__the_leads_counts_then_the_newest)
{
    g_autoptr(RbStore) store = make_store("a.readbreak");
    GError *error = NULL;
    g_autoptr(RbGame) game = rb_game_new((RbGameId){ 5 }, "Week 1");
    begin(store, "game");
    check(rb_store_save_game(store, game, &error_));
    for (int i = 0; i < 3; i++) { /* the third is never charted */
        g_autoptr(RbSnap) snap = rb_snap_new((RbSnapId){ 11 + i }, game->id, i + 1);
        check(rb_store_save_snap(store, snap, &error_));
    }
    commit(store);
    save_chart_by(store, 11, 1);
    save_chart_by(store, 11, 2);
    save_chart_by(store, 12, 3);
    ck_assert_int_eq(counting_author(store, 0), 2);
    ck_assert_int_eq(counting_author(store, 1), 3);
    save_chart_by(store, 11, 1); /* now the newest */
    ck_assert_int_eq(counting_author(store, 0), 1);
    game->lead.value = 2;
    begin(store, "lead");
    check(rb_store_save_game(store, game, &error_));
    commit(store);
    ck_assert_int_eq(counting_author(store, 0), 2);
    ck_assert_int_eq(counting_author(store, 1), 3); /* the lead has not charted it */

    g_autoptr(GPtrArray) both =
        rb_store_list_charts(store, game->id, (RbPersonId){ 0 }, &error);
    ck_assert_uint_eq(both->len, 3);
    g_autoptr(GPtrArray) ones =
        rb_store_list_charts(store, game->id, (RbPersonId){ 1 }, &error);
    ck_assert_uint_eq(ones->len, 1);
    g_autoptr(GPtrArray) everywhere =
        rb_store_list_charts(store, (RbGameId){ 0 }, (RbPersonId){ 3 }, &error);
    ck_assert_uint_eq(everywhere->len, 1);
    const RbChart *third = everywhere->pdata[0];
    ck_assert_int_eq(third->snap.value, 12);
    ck_assert_int_gt(third->stamp_us, 0);
    rb_assert_no_error(error);

    /* What belongs to a removed game is hidden with it, and comes back with it. */
    begin(store, "remove");
    check(rb_store_remove_game(store, game->id, &error_));
    commit(store);
    g_autoptr(GPtrArray) none =
        rb_store_list_charts(store, (RbGameId){ 0 }, (RbPersonId){ 0 }, &error);
    ck_assert_uint_eq(none->len, 0);
    check(rb_store_undo(store, (RbPersonId){ 0 }, NULL, NULL, &error_));
    g_autoptr(GPtrArray) back =
        rb_store_list_charts(store, (RbGameId){ 0 }, (RbPersonId){ 0 }, &error);
    ck_assert_uint_eq(back->len, 3);
}
END_TEST

START_TEST(test_film__paths_are_bytes_the_last_seen_first)
{
    g_autoptr(RbStore) store = make_store("a.readbreak");
    const RbFilmId film = { 3 };
    check(rb_store_add_film_path(store, film, "/media/a.mp4", &error_));
    check(rb_store_add_film_path(store, film, "/media/\xff\xfe.mp4", &error_));
    check(rb_store_add_film_path(store, film, "/media/a.mp4", &error_));
    check(rb_store_add_film_path(store, (RbFilmId){ 4 }, "/media/c.mp4", &error_));
    GError *error = NULL;
    g_autoptr(GPtrArray) paths = rb_store_list_film_paths(store, film, &error);
    rb_assert_no_error(error);
    ck_assert_uint_eq(paths->len, 2);
    ck_assert_str_eq(paths->pdata[0], "/media/a.mp4");
    ck_assert_str_eq(paths->pdata[1], "/media/\xff\xfe.mp4");
    check(rb_store_remove_film_path(store, film, "/media/a.mp4", &error_));
    g_autoptr(GPtrArray) left = rb_store_list_film_paths(store, film, &error);
    ck_assert_uint_eq(left->len, 1);
    /* Local: no history comes of it. */
    g_autoptr(GPtrArray) history = rb_store_list_history(store, INT64_MAX, 9, &error);
    ck_assert_uint_eq(history->len, 0);
}
END_TEST

START_TEST(test_setting__is_shared_and_state_is_local)
{
    g_autoptr(RbStore) store = make_store("a.readbreak");
    GError *error = NULL;
    ck_assert_ptr_null(rb_store_get_setting(store, "success", &error));
    ck_assert_ptr_null(rb_store_get_state(store, "desk", &error));
    rb_assert_no_error(error);
    begin(store, "setting");
    check(rb_store_set_setting(store, "success", "40-60-100", &error_));
    commit(store);
    check(rb_store_set_state(store, "desk", "chart", &error_));
    check(rb_store_set_state(store, "desk", "pairings", &error_));
    g_autofree char *setting = rb_store_get_setting(store, "success", &error);
    g_autofree char *state = rb_store_get_state(store, "desk", &error);
    ck_assert_str_eq(setting, "40-60-100");
    ck_assert_str_eq(state, "pairings");
    check(rb_store_set_state(store, "desk", NULL, &error_));
    ck_assert_ptr_null(rb_store_get_state(store, "desk", &error));
    g_autoptr(GPtrArray) history = rb_store_list_history(store, INT64_MAX, 9, &error);
    rb_assert_no_error(error);
    ck_assert_uint_eq(history->len, 1);
}
END_TEST

TCase *rb_case_repositories(void)
{
    TCase *tcase = rb_case_new("repositories");
    tcase_add_test(tcase, test_snap__comes_back_as_saved);
    tcase_add_test(tcase, test_chart__comes_back_as_saved);
    tcase_add_test(tcase, test_clip__comes_back_as_saved);
    tcase_add_test(tcase, test_clip__a_mark_is_one_mark_on_every_laptop);
    tcase_add_test(tcase, test_clip__tells_which_snaps_have_film);
    tcase_add_test(tcase, test_staff__comes_back_as_saved);
    tcase_add_test(tcase, test_playbook__comes_back_as_saved);
    tcase_add_test(tcase, test_concept__keeps_every_revision);
    tcase_add_test(tcase, test_row__unknown_and_removed_are_refused);
    tcase_add_test(tcase, test_row__a_strange_word_is_named);
    tcase_add_test(tcase, test_chart__the_leads_counts_then_the_newest);
    tcase_add_test(tcase, test_film__paths_are_bytes_the_last_seen_first);
    tcase_add_test(tcase, test_setting__is_shared_and_state_is_local);
    return tcase;
}
