/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "library-sample.h"

#include "rb/book/playbook.h"
#include "rb/store/films.h"
#include "rb/store/playbook.h"
#include "rb/store/snaps.h"
#include "rb/store/staff.h"
#include "rb/work/tagging.h"

#include "suite.h"

char *sample_library_path(void)
{
    return rb_test_path("season.readbreak");
}

static void save_names(RbStore *store, const RbNames *names)
{
    GError *error = NULL;
    const GPtrArray *terms = rb_names_terms(names);
    g_autoptr(RbPerson) charter = rb_person_new((RbPersonId){ 41 }, "First charter");
    ck_assert(rb_store_save_person(store, charter, &error));
    for (guint i = 0; i < terms->len; i++) {
        ck_assert(rb_store_save_term(store, terms->pdata[i], &error));
    }
    for (guint i = 0; i < rb_names_teams(names)->len; i++) {
        ck_assert(rb_store_save_team(store, rb_names_teams(names)->pdata[i], &error));
    }
    for (guint i = 0; i < rb_names_players(names)->len; i++) {
        ck_assert(rb_store_save_player(store, rb_names_players(names)->pdata[i], &error));
    }
    for (guint i = 0; i < rb_names_games(names)->len; i++) {
        ck_assert(rb_store_save_game(store, rb_names_games(names)->pdata[i], &error));
    }
    for (guint i = 0; i < rb_names_concepts(names)->len; i++) {
        const RbConcept *concept = rb_names_concepts(names)->pdata[i];
        g_autofree char *document = rb_book_concept_print(concept, terms);
        g_autoptr(RbConceptRow) row =
            rb_concept_row_new(concept->id, concept->token, concept->name, document);
        ck_assert(rb_store_save_concept(store, row, NULL, &error));
    }
    rb_assert_no_error(error);
}

static void save_season(RbStore *store, const RandomSeason *season)
{
    GError *error = NULL;
    ck_assert(rb_store_begin(store, (RbPersonId){ 41 }, "A random season", &error));
    save_names(store, season->names);
    for (guint i = 0; i < season->snaps->len; i++) {
        ck_assert(rb_store_save_snap(store, season->snaps->pdata[i], &error));
    }
    for (guint i = 0; i < season->charts->len; i++) {
        ck_assert(rb_store_save_chart(store, season->charts->pdata[i], &error));
    }
    g_autoptr(RbFilm) film = rb_film_new((RbFilmId){ 9 }, "wide.mp4");
    ck_assert(rb_store_save_film(store, film, &error));
    for (guint i = 0; i < season->clips->len; i++) {
        ck_assert(rb_store_save_clip(store, season->clips->pdata[i], &error));
    }
    ck_assert(rb_store_commit(store, &error));
    rb_assert_no_error(error);
}

RbLibrary *sample_library_new(RbRandom *random, RandomSeason *season)
{
    GError *error = NULL;
    g_autofree char *path = sample_library_path();
    *season = random_season_new(random);
    RbStore *store = rb_store_create(path, &error);
    rb_assert_no_error(error);
    save_season(store, season);
    rb_store_free(store);
    return sample_library_open("Coach");
}

RbLibrary *sample_library_open(const char *person)
{
    GError *error = NULL;
    g_autofree char *path = sample_library_path();
    RbLibrary *library = rb_library_open(path, person, &error);
    rb_assert_no_error(error);
    return library;
}

char *sample_library_hash(void)
{
    GError *error = NULL;
    g_autofree char *path = sample_library_path();
    g_autoptr(RbStore) store = rb_store_open(path, &error);
    rb_assert_no_error(error);
    char *hash = rb_store_content_hash(store, &error);
    rb_assert_no_error(error);
    return hash;
}

void sample_tag(RbLibrary *library, RbSnapId snap, const char *field, const char *value)
{
    GError *error = NULL;
    const RbTagChange change = { field, value };
    rb_library_tag(library, snap, &change, 1, NULL, &error);
    rb_assert_no_error(error);
}
