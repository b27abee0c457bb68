/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/work/library.h"

#include <glib/gi18n-lib.h>
#include <inttypes.h>
#include <string.h>

#include "rb/base/error.h"
#include "rb/base/told.h"
#include "rb/book/playbook.h"
#include "rb/store/backup.h"
#include "rb/store/films.h"
#include "rb/store/filters.h"
#include "rb/store/history.h"
#include "rb/store/playbook.h"
#include "rb/store/snaps.h"
#include "rb/store/staff.h"
#include "rb/work/error.h"

#include "library-link.h"

struct RbLibrary {
    RbStore *store;      /* owned */
    RbLibraryLink *link; /* owned reference */
    char *person_name;   /* owned */
    RbPersonId person;   /* from the name, so that one person on two laptops is one */
    RbNames *names;      /* owned, nullable: of `names_version` */
    int64_t version;     /* data_version last looked at */
    int64_t changes;     /* that this object made or noticed */
    int64_t backup_day;  /* that was last looked at, days of Unix time */
    int64_t told;        /* value of `changes` that has_changed() last reported */
    bool blind;          /* other people's charts are not shown */
};

/* The person's own name as the system knows it. Returns: (transfer full). */
static char *name_of_user(void)
{
    const char *real = g_get_real_name();
    if (real != NULL && *real != '\0' && strcmp(real, "Unknown") != 0) {
        return g_strdup(real);
    }
    const char *user = g_get_user_name();
    return g_strdup(user != NULL && *user != '\0' ? user : _("Coach"));
}

static RbLibrary *library_new(RbStore *store, const char *person)
{
    RbLibrary *library = g_new0(RbLibrary, 1);
    library->store = store;
    library->link = rb_library_link_new(library);
    library->person_name = person != NULL ? g_strdup(person) : name_of_user();
    library->person = rb_person_id_of(library->person_name);
    library->version = rb_store_data_version(store, NULL);
    return library;
}

static bool save_starters(RbStore *store, GError **error)
{
    g_autoptr(GPtrArray) terms = rb_vocabulary_defaults();
    g_autoptr(GPtrArray) concepts = rb_book_starter(terms);
    bool ok = true;
    for (guint i = 0; ok && i < terms->len; i++) {
        ok = rb_store_save_term(store, terms->pdata[i], error);
    }
    for (guint i = 0; ok && i < concepts->len; i++) {
        ok = rb_library_save_concept(store, concepts->pdata[i], terms, error);
    }
    return ok;
}

static bool seed(RbStore *store, GError **error)
{
    g_autofree char *words = rb_told("New library");
    if (!rb_store_begin_seed(store, words, error)) {
        return false;
    }
    if (!save_starters(store, error)) {
        rb_store_rollback(store);
        return false;
    }
    return rb_store_commit(store, error);
}

RbLibrary *rb_library_create(const char *path, const char *person, GError **error)
{
    RbStore *store = rb_store_create(path, error);
    if (store == NULL) {
        return NULL;
    }
    if (!seed(store, error)) {
        rb_store_free(store);
        rb_store_remove_unfinished(path);
        return NULL;
    }
    return library_new(store, person);
}

RbLibrary *rb_library_open(const char *path, const char *person, GError **error)
{
    RbStore *store = rb_store_open(path, error);
    return store != NULL ? library_new(store, person) : NULL;
}

RbLibrary *rb_library_open_to_read(const char *path, GError **error)
{
    g_autoptr(GError) failure = NULL;
    RbStore *store = rb_store_open_read_only(path, &failure);
    /* An older library can be read once it is brought up to date. */
    if (store == NULL &&
        g_error_matches(failure, RB_STORE_ERROR, RB_STORE_ERROR_READ_ONLY)) {
        return rb_library_open(path, NULL, error);
    }
    if (store == NULL) {
        g_propagate_error(error, g_steal_pointer(&failure));
        return NULL;
    }
    return library_new(store, NULL);
}

RbLibrary *rb_library_open_or_read(const char *path, const char *person, GError **error)
{
    g_autoptr(GError) failure = NULL;
    RbStore *store = rb_store_open(path, &failure);
    if (store == NULL &&
        g_error_matches(failure, RB_STORE_ERROR, RB_STORE_ERROR_READ_ONLY)) {
        store = rb_store_open_read_only(path, NULL);
    }
    if (store == NULL) {
        g_propagate_error(error, g_steal_pointer(&failure));
        return NULL;
    }
    return library_new(store, person);
}

void rb_library_close(RbLibrary *library)
{
    if (library == NULL) {
        return;
    }
    rb_library_link_cut(library->link);
    rb_store_free(library->store);
    rb_names_unref(library->names);
    g_free(library->person_name);
    g_free(library);
}

RbLibraryLink *rb_library_link(RbLibrary *library)
{
    return library->link;
}

const char *rb_library_get_path(const RbLibrary *library)
{
    return rb_store_get_path(library->store);
}

RbPersonId rb_library_get_person(const RbLibrary *library)
{
    return library->person;
}

const char *rb_library_get_person_name(const RbLibrary *library)
{
    return library->person_name;
}

void rb_library_work_as(RbLibrary *library, const char *person)
{
    g_return_if_fail(person != NULL && *person != '\0');
    g_autofree char *name = g_strdup(person);
    g_free(library->person_name);
    library->person_name = g_steal_pointer(&name);
    library->person = rb_person_id_of(library->person_name);
    library->changes++;
}

void rb_library_set_blind(RbLibrary *library, bool blind)
{
    library->changes += blind != library->blind;
    library->blind = blind;
}

bool rb_library_is_blind(const RbLibrary *library)
{
    return library->blind;
}

RbStore *rb_library_store(RbLibrary *library)
{
    return library->store;
}

/* Drops what is cached when somebody else has committed. */
static void notice_others(RbLibrary *library)
{
    const int64_t version = rb_store_data_version(library->store, NULL);
    if (version != library->version) {
        library->version = version;
        library->changes++;
        g_clear_pointer(&library->names, rb_names_unref);
    }
}

bool rb_library_has_changed(RbLibrary *library)
{
    notice_others(library);
    const bool changed = library->changes != library->told;
    library->told = library->changes;
    return changed;
}

/* Before the first change of a day: what was there until then. A full disk must not keep a
 * person from their work, so a failure is only told. */
static void back_up(RbLibrary *library)
{
    const int64_t day = g_get_real_time() / G_USEC_PER_SEC / (24 * 60 * 60);
    g_autoptr(GError) failure = NULL;
    if (day != library->backup_day && !rb_store_is_read_only(library->store) &&
        !rb_store_backup_if_due(library->store, NULL, &failure)) {
        g_message("No backup of today: %s", failure->message);
    }
    library->backup_day = day;
}

bool rb_library_begin(RbLibrary *library, const char *words, GError **error)
{
    back_up(library);
    if (!rb_store_begin(library->store, library->person, words, error)) {
        return false;
    }
    g_autoptr(RbPerson) person = rb_person_new(library->person, library->person_name);
    if (!rb_store_save_person(library->store, person, error)) {
        rb_store_rollback(library->store);
        return false;
    }
    return true;
}

bool rb_library_commit(RbLibrary *library, bool names, GError **error)
{
    if (!rb_store_commit(library->store, error)) {
        return false;
    }
    library->changes++;
    const bool joined = library->names != NULL &&
                        rb_names_find_person(library->names, library->person) == NULL;
    if (names || joined) {
        g_clear_pointer(&library->names, rb_names_unref);
    }
    return true;
}

void rb_library_note_change(RbLibrary *library)
{
    library->changes++;
    g_clear_pointer(&library->names, rb_names_unref);
}

void rb_library_rollback(RbLibrary *library)
{
    rb_store_rollback(library->store);
}

bool rb_library_not_found(GError **error, GError *from, const char *sentence)
{
    if (g_error_matches(from, RB_STORE_ERROR, RB_STORE_ERROR_UNKNOWN)) {
        g_error_free(from);
        return rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_NOT_FOUND, _("%s"),
                            sentence);
    }
    g_propagate_error(error, from);
    return false;
}

static void free_concept(void *concept)
{
    rb_concept_free(concept);
}

static GPtrArray *load_concepts(RbStore *store, const GPtrArray *terms, GError **error)
{
    g_autoptr(GPtrArray) rows = rb_store_list_concepts(store, error);
    if (rows == NULL) {
        return NULL;
    }
    g_autoptr(GPtrArray) concepts = g_ptr_array_new_with_free_func(free_concept);
    for (guint i = 0; i < rows->len; i++) {
        const RbConceptRow *row = rows->pdata[i];
        RbConcept *concept =
            rb_book_concept_parse(row->document, strlen(row->document), terms, error);
        if (concept == NULL) {
            g_prefix_error(error, _("The concept %s of this library cannot be read. "),
                           row->name);
            return NULL;
        }
        concept->id = row->id;
        concept->revision = row->revision;
        g_ptr_array_add(concepts, concept);
    }
    return g_steal_pointer(&concepts);
}

static RbNames *load_names(RbStore *store, GError **error)
{
    g_autoptr(GPtrArray) terms = rb_store_list_terms(store, error);
    g_autoptr(GPtrArray) concepts =
        terms != NULL ? load_concepts(store, terms, error) : NULL;
    g_autoptr(GPtrArray) games =
        concepts != NULL ? rb_store_list_games(store, error) : NULL;
    g_autoptr(GPtrArray) teams = games != NULL ? rb_store_list_teams(store, error) : NULL;
    g_autoptr(GPtrArray) players =
        teams != NULL ? rb_store_list_players(store, (RbTeamId){ 0 }, error) : NULL;
    g_autoptr(GPtrArray) people =
        players != NULL ? rb_store_list_people(store, error) : NULL;
    g_autoptr(GPtrArray) filters =
        people != NULL ? rb_store_list_saved_filters(store, error) : NULL;
    RbFootwork footwork;
    if (filters == NULL || !rb_footwork_load(store, &footwork, error)) {
        return NULL;
    }
    RbNames *names = rb_names_new(g_steal_pointer(&terms), g_steal_pointer(&concepts),
                                  g_steal_pointer(&games), g_steal_pointer(&teams),
                                  g_steal_pointer(&players), g_steal_pointer(&people));
    rb_names_set_footwork(names, &footwork);
    rb_names_take_filters(names, g_steal_pointer(&filters));
    return names;
}

RbNames *rb_library_load_names(RbLibrary *library, GError **error)
{
    notice_others(library);
    if (library->names == NULL) {
        library->names = load_names(library->store, error);
    }
    return library->names != NULL ? rb_names_ref(library->names) : NULL;
}

GPtrArray *rb_library_load_snaps(RbLibrary *library, RbGameId game, GError **error)
{
    return rb_store_list_snaps(library->store, game, error);
}

RbSnap *rb_library_load_snap(RbLibrary *library, RbSnapId snap, GError **error)
{
    GError *failure = NULL;
    RbSnap *found = rb_store_load_snap(library->store, snap, &failure);
    if (found == NULL) {
        g_autofree char *sentence = g_strdup_printf(
            _("There is no snap with the id %" PRId64 " in this library."), snap.value);
        rb_library_not_found(error, failure, sentence);
    }
    return found;
}

RbSnap *rb_library_load_snap_numbered(RbLibrary *library, RbGameId game, int number,
                                      GError **error)
{
    g_autoptr(GPtrArray) snaps = rb_store_list_snaps(library->store, game, error);
    if (snaps == NULL) {
        return NULL;
    }
    int last = 0;
    for (guint i = 0; i < snaps->len; i++) {
        const RbSnap *snap = snaps->pdata[i];
        if (snap->number == number) {
            return rb_snap_copy(snap);
        }
        last = MAX(last, snap->number);
    }
    g_autoptr(RbNames) names = rb_library_load_names(library, error);
    if (names != NULL) {
        rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_NOT_FOUND,
                     _("%s has no snap %d: its last is %d."), rb_names_game(names, game),
                     number, last);
    }
    return NULL;
}

GPtrArray *rb_library_load_game_clips(RbLibrary *library, RbGameId game, GError **error)
{
    return rb_store_list_game_clips(library->store, game, error);
}

GPtrArray *rb_library_load_clips(RbLibrary *library, RbSnapId snap, GError **error)
{
    return rb_store_list_clips(library->store, snap, error);
}

GHashTable *rb_library_find_filmed(RbLibrary *library, const GArray *snaps,
                                   GError **error)
{
    return rb_store_find_filmed(library->store, snaps, error);
}

GPtrArray *rb_library_load_films(RbLibrary *library, GError **error)
{
    return rb_store_list_films(library->store, (RbGameId){ 0 }, error);
}

char *rb_library_film_path(RbLibrary *library, RbFilmId film, GError **error)
{
    g_autoptr(GPtrArray) paths = rb_store_list_film_paths(library->store, film, error);
    if (paths == NULL || paths->len == 0) {
        return NULL;
    }
    for (guint i = 0; i < paths->len; i++) {
        if (g_file_test(paths->pdata[i], G_FILE_TEST_IS_REGULAR)) {
            return g_strdup(paths->pdata[i]);
        }
    }
    return g_strdup(paths->pdata[0]); /* the last place it was seen, for the message */
}

void rb_history_line_free(RbHistoryLine *line)
{
    if (line != NULL) {
        g_free(line->who);
        g_free(line->words);
        g_free(line);
    }
}

static void free_line(void *line)
{
    rb_history_line_free(line);
}

/* What an entry is, for people: an undo tells of the action that it took back. */
static char *entry_words(const RbHistoryEntry *entry)
{
    g_autofree char *shown = rb_told_show(entry->words);
    switch (entry->type) {
    case RB_ACTION_UNDO:
        return g_strdup_printf(_("Undone: %s"), shown);
    case RB_ACTION_REDO:
        return g_strdup_printf(_("Redone: %s"), shown);
    case RB_ACTION_DO:
    case RB_ACTION_FORGET:
        break;
    }
    return g_steal_pointer(&shown);
}

GPtrArray *rb_library_load_history(RbLibrary *library, int limit, GError **error)
{
    g_autoptr(GPtrArray) entries = rb_store_list_history(
        library->store, INT64_MAX, limit > 0 ? limit : G_MAXINT, error);
    if (entries == NULL) {
        return NULL;
    }
    GPtrArray *lines = g_ptr_array_new_with_free_func(free_line);
    for (guint i = 0; i < entries->len; i++) {
        const RbHistoryEntry *entry = entries->pdata[i];
        RbHistoryLine *line = g_new0(RbHistoryLine, 1);
        line->number = entry->id.number;
        line->stamp_us = entry->when_us;
        line->who = g_strdup(entry->who);
        line->words = entry_words(entry);
        line->undone = entry->undone;
        g_ptr_array_add(lines, line);
    }
    return lines;
}

typedef bool (*Step)(RbStore *store, RbPersonId person, char **words, GPtrArray **skipped,
                     GError **error);

static bool step(RbLibrary *library, Step take, const char *nothing, char **words,
                 GError **error)
{
    g_autofree char *meant = NULL;
    g_autoptr(GPtrArray) skipped = NULL;
    GError *failure = NULL;
    if (!take(library->store, library->person, &meant, &skipped, &failure)) {
        if (g_error_matches(failure, RB_STORE_ERROR, RB_STORE_ERROR_NOTHING)) {
            g_error_free(failure);
            return rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_NOT_FOUND, _("%s"),
                                nothing);
        }
        g_propagate_error(error, failure);
        return false;
    }
    library->changes++;
    g_clear_pointer(&library->names, rb_names_unref);
    GString *text = g_string_new(NULL);
    g_autofree char *what = rb_told_show(meant != NULL ? meant : "");
    if (take == rb_store_undo) {
        g_string_printf(text, _("Undone: %s"), what);
    } else {
        g_string_printf(text, _("Redone: %s"), what);
    }
    if (skipped != NULL && skipped->len > 0) {
        g_string_append(text, _("; left as it is, because it was changed since: "));
        for (guint i = 0; i < skipped->len; i++) {
            const RbChange *change = skipped->pdata[i];
            g_string_append(text, i == 0 ? "" : ", ");
            g_string_append_printf(text, _("%s of %s"), change->column, change->table);
        }
    }
    if (words != NULL) {
        *words = g_string_free(text, FALSE);
    } else {
        g_string_free(text, TRUE);
    }
    return true;
}

bool rb_library_undo(RbLibrary *library, char **words, GError **error)
{
    return step(library, rb_store_undo, _("There is nothing to undo."), words, error);
}

bool rb_library_redo(RbLibrary *library, char **words, GError **error)
{
    return step(library, rb_store_redo, _("There is nothing to redo."), words, error);
}

bool rb_library_backup(RbLibrary *library, char **path, GError **error)
{
    return rb_store_backup(library->store, path, error);
}
