/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "rb/store/films.h"

#include "children.h"
#include "tables.h"

static const RbColumn columns[] = {
    RB_NAME(RbFilm, title, "title"),
    RB_NAME(RbFilm, fingerprint, "fingerprint"),
    RB_LONG(RbFilm, bytes, "bytes"),
    RB_KNOWN_WORD(RbFilm, angle, "angle", rb_angle_words),
    RB_ID(RbFilm, game, "game"),
};

static void *make(void)
{
    return rb_film_new((RbFilmId){ 0 }, "");
}

const RbTable rb_film_table = {
    "film", "film", columns, G_N_ELEMENTS(columns), make, (GDestroyNotify)rb_film_free,
};

RbFilm *rb_store_load_film(RbStore *store, RbFilmId id, GError **error)
{
    return rb_row_load(store, &rb_film_table, id.value, error);
}

GPtrArray *rb_store_list_films(RbStore *store, RbGameId game, GError **error)
{
    if (game.value == 0) {
        return rb_row_list(store, &rb_film_table,
                           "WHERE t.removed = 0 ORDER BY t.title, t.id", NULL, 0, error);
    }
    return rb_row_list(store, &rb_film_table,
                       "WHERE t.game = ? AND t.removed = 0 ORDER BY t.title, t.id",
                       &game.value, 1, error);
}

bool rb_store_save_film(RbStore *store, const RbFilm *film, GError **error)
{
    return rb_row_save(store, &rb_film_table, film, error);
}

/* Runs a statement over a film and one of its paths. */
static bool run_path(RbStore *store, const char *sql, RbFilmId film, const char *path,
                     GError **error)
{
    g_autoptr(RbStatement) statement = rb_statement_new(store, sql, error);
    if (statement == NULL) {
        return false;
    }
    rb_statement_bind_int(statement, film.value);
    rb_statement_bind_blob(statement, path, strlen(path));
    return rb_statement_run(statement, error);
}

bool rb_store_add_film_path(RbStore *store, RbFilmId film, const char *path,
                            GError **error)
{
    /* `seen` counts up; a clock could go back. */
    return run_path(store,
                    "INSERT INTO film_path (film, path, seen) VALUES (?1, ?2,"
                    " (SELECT coalesce(max(seen), 0) + 1 FROM film_path WHERE film = ?1))"
                    " ON CONFLICT (film, path) DO UPDATE SET seen = excluded.seen",
                    film, path, error);
}

bool rb_store_remove_film_path(RbStore *store, RbFilmId film, const char *path,
                               GError **error)
{
    return run_path(store, "DELETE FROM film_path WHERE film = ? AND path = ?", film,
                    path, error);
}

static bool take_path(RbStatement *row, void *data, GError **error)
{
    (void)error;
    size_t size = 0;
    const char *bytes = rb_statement_get_blob(row, "path", &size);
    g_ptr_array_add(data, g_strndup(bytes, size));
    return true;
}

GPtrArray *rb_store_list_film_paths(RbStore *store, RbFilmId film, GError **error)
{
    g_autoptr(GPtrArray) paths = g_ptr_array_new_with_free_func(g_free);
    return rb_children_read(
               store, "SELECT path FROM film_path WHERE film = ? ORDER BY seen DESC",
               &film.value, 1, take_path, paths, error)
               ? g_steal_pointer(&paths)
               : NULL;
}
