/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/model/concept.h"
#include "rb/store/film-drawing.h"
#include "rb/store/film-measures.h"
#include "rb/store/filters.h"
#include "rb/store/quiz.h"
#include "rb/store/statement.h"

#include "make.h"
#include "suite.h"

RbStore *make_store(const char *name)
{
    g_autofree char *path = rb_test_path(name);
    GError *error = NULL;
    RbStore *store = rb_store_create(path, &error);
    rb_assert_no_error(error);
    return store;
}

void begin(RbStore *store, const char *words)
{
    GError *error = NULL;
    rb_store_begin(store, (RbPersonId){ 7 }, words, &error);
    rb_assert_no_error(error);
}

void commit(RbStore *store)
{
    GError *error = NULL;
    rb_store_commit(store, &error);
    rb_assert_no_error(error);
}

/* A visible row of a table, drawn at random; 0 when there is none. */
static int64_t any_id(RbRandom *random, RbStore *store, const char *table)
{
    GError *error = NULL;
    g_autofree char *sql =
        g_strdup_printf("SELECT id FROM %s WHERE removed = 0 ORDER BY id LIMIT 1 OFFSET"
                        " ? %% max((SELECT count(*) FROM %s WHERE removed = 0), 1)",
                        table, table);
    g_autoptr(RbStatement) query = rb_statement_new(store, sql, &error);
    rb_assert_no_error(error);
    rb_statement_bind_int(query, rb_random_int(random, 0, 1000));
    return rb_statement_step(query, &error) == RB_STEP_ROW
               ? rb_statement_get_int(query, "id")
               : 0;
}

static void save_game(RbRandom *random, RbStore *store)
{
    g_autoptr(RbGame) game = make_game(random);
    const int64_t old = any_id(random, store, "game");
    if (old != 0 && rb_random_chance(random, 0.7)) {
        game->id.value = old;
    }
    check(rb_store_save_game(store, game, &error_));
}

static void save_snap(RbRandom *random, RbStore *store)
{
    const RbGameId game = { any_id(random, store, "game") };
    g_autoptr(RbSnap) snap = make_snap(random, game, rb_random_int(random, 1, 80));
    const int64_t old = any_id(random, store, "snap");
    if (old != 0 && rb_random_chance(random, 0.7)) {
        snap->id.value = old;
    }
    check(rb_store_save_snap(store, snap, &error_));
}

/* One of three members of the staff, so that two charts of one snap are common. */
static void save_chart(RbRandom *random, RbStore *store)
{
    const RbSnapId snap = { any_id(random, store, "snap") };
    const RbPersonId author = { rb_random_int(random, 1, 3) };
    g_autoptr(RbChart) chart = rb_store_find_chart(store, snap, author, NULL);
    if (chart == NULL) {
        chart = rb_chart_new(snap, author);
    }
    if (rb_random_chance(random, 0.5)) {
        fill_chart(random, chart);
    } else {
        chart->looks[rb_random_int(random, 0, RB_READS_MAX - 1)] =
            (RbLook)rb_random_int(random, 0, rb_look_words.n - 1);
    }
    check(rb_store_save_chart(store, chart, &error_));
}

static void save_film(RbRandom *random, RbStore *store)
{
    const RbGameId game = { any_id(random, store, "game") };
    g_autoptr(RbFilm) film = make_film(random, game);
    const RbSnapId snap = { any_id(random, store, "snap") };
    g_autoptr(RbClip) clip = make_clip(random, snap, film->id);
    const int64_t old = any_id(random, store, "clip");
    if (old != 0 && rb_random_chance(random, 0.5)) {
        clip->id.value = old;
        for (guint i = 0; i < clip->marks->len; i++) {
            g_array_index(clip->marks, RbMark, i).id.value = 0;
        }
    }
    check(rb_store_save_film(store, film, &error_));
    check(rb_store_save_clip(store, clip, &error_));
}

static void save_staff(RbRandom *random, RbStore *store)
{
    g_autoptr(RbPerson) person = make_person(random);
    g_autoptr(RbTeam) team = make_team(random);
    g_autoptr(RbPlayer) player = make_player(random, team->id);
    person->id.value = rb_random_int(random, 1, 3);
    check(rb_store_save_person(store, person, &error_));
    check(rb_store_save_team(store, team, &error_));
    check(rb_store_save_player(store, player, &error_));
}

static void save_playbook(RbRandom *random, RbStore *store)
{
    g_autoptr(RbTerm) term = make_term(random);
    g_autoptr(RbConceptRow) concept = make_concept(random);
    g_autofree char *value = make_text(random);
    concept->id.value = rb_random_int(random, 1, 3);
    check(rb_store_save_term(store, term, &error_));
    check(rb_store_save_concept(store, concept, NULL, &error_));
    check(rb_store_set_setting(store, "success",
                               rb_random_chance(random, 0.2) ? NULL : value, &error_));
}

static void save_cutup(RbRandom *random, RbStore *store)
{
    g_autoptr(RbCutup) cutup = make_cutup(random);
    const int64_t old = any_id(random, store, "cutup");
    if (old != 0 && rb_random_chance(random, 0.7)) {
        cutup->id.value = old;
    }
    const RbSnapId snap = { any_id(random, store, "snap") };
    g_autoptr(RbCutupEntry) entry = make_cutup_entry(random, cutup->id, snap);
    const int64_t old_entry = any_id(random, store, "cutup_entry");
    if (old_entry != 0 && rb_random_chance(random, 0.5)) {
        entry->id.value = old_entry;
    }
    check(rb_store_save_cutup(store, cutup, &error_));
    check(rb_store_save_cutup_entry(store, entry, &error_));
}

/* One of four names, so that one filter is kept twice. */
static void save_filter(RbRandom *random, RbStore *store)
{
    g_autofree char *name = g_strdup_printf("Filter %d", rb_random_int(random, 1, 4));
    g_autoptr(RbFilter) filter = rb_filter_new();
    rb_filter_add_value(filter, RB_FIELD_DOWN, rb_random_int(random, 1, 4));
    g_autoptr(RbSavedFilter) saved = rb_saved_filter_new(name, filter);
    check(rb_store_save_saved_filter(store, saved, &error_));
    if (rb_random_chance(random, 0.2)) {
        check(rb_store_remove_saved_filter(store, saved->id, &error_));
    }
}

static void save_quiz_answer(RbRandom *random, RbStore *store)
{
    g_autoptr(RbQuizAnswer) answer = rb_quiz_answer_new(
        (RbQuizAnswerId){ make_id(random) }, (RbSnapId){ any_id(random, store, "snap") },
        (RbPersonId){ rb_random_int(random, 1, 3) });
    answer->asked_on = make_text(random);
    answer->shell = (RbShell)rb_random_int(random, 0, rb_shell_words.n - 1);
    answer->read = rb_random_int(random, 0, RB_READS_MAX);
    answer->read_right = (RbYesNo)rb_random_int(random, 0, 2);
    check(rb_store_save_quiz_answer(store, answer, &error_));
}

static void save_drawing(RbRandom *random, RbStore *store)
{
    g_autoptr(RbFilmDrawing) drawing =
        rb_film_drawing_new((RbFilmDrawingId){ make_id(random) },
                            (RbClipId){ any_id(random, store, "clip") });
    drawing->kind = (RbDrawKind)rb_random_int(random, 0, rb_draw_kind_words.n - 1);
    drawing->x2 = rb_random_int(random, 0, RB_DRAW_WHOLE);
    drawing->last = rb_random_int(random, 0, 1000);
    drawing->words = make_text(random);
    check(rb_store_save_film_drawing(store, drawing, &error_));
}

static void save_measures(RbRandom *random, RbStore *store)
{
    g_autoptr(RbFieldView) view = rb_field_view_new(
        (RbFilmId){ any_id(random, store, "film") }, rb_random_int(random, 0, 5));
    for (int i = rb_random_int(random, 0, 5); i > 0; i--) {
        rb_field_view_add(view, "near-hash-l35", rb_random_int(random, 0, 1919), i);
    }
    check(rb_store_save_field_view(store, view, &error_));
    g_autoptr(RbFilmMeasure) measure = rb_film_measure_new(
        (RbSnapId){ any_id(random, store, "snap") },
        (RbClipId){ any_id(random, store, "clip") },
        (RbMeasureKind)rb_random_int(random, 0, RB_MEASURE_KINDS - 1));
    measure->id.value = make_id(random);
    measure->value = rb_random_int(random, 0, 60000);
    check(rb_store_save_measure(store, measure, &error_));
}

static void remove_something(RbRandom *random, RbStore *store)
{
    const RbSnapId snap = { any_id(random, store, "snap") };
    const RbChartId chart = { any_id(random, store, "chart") };
    const RbClipId clip = { any_id(random, store, "clip") };
    if (snap.value != 0 && rb_random_chance(random, 0.3)) {
        check(rb_store_remove_snap(store, snap, &error_));
    }
    if (chart.value != 0 && rb_random_chance(random, 0.5)) {
        check(rb_store_remove_chart(store, chart, &error_));
    }
    if (clip.value != 0 && rb_random_chance(random, 0.5)) {
        check(rb_store_remove_clip(store, clip, &error_));
    }
}

void random_action(RbRandom *random, RbStore *store)
{
    static void (*const kinds[])(RbRandom *, RbStore *) = {
        save_game,   save_snap,     save_chart,       save_film,  save_staff,
        save_chart,  save_playbook, remove_something, save_cutup, save_quiz_answer,
        save_filter, save_drawing,  save_measures,
    };
    const int first = rb_random_int(random, 0, G_N_ELEMENTS(kinds) - 1);
    g_autofree char *words = g_strdup_printf("kind %d", first);
    begin(store, words);
    kinds[first](random, store);
    if (rb_random_chance(random, 0.3)) {
        save_chart(random, store);
    }
    commit(store);
}
