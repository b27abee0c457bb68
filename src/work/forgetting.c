/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/work/forgetting.h"

#include "rb/base/error.h"
#include "rb/store/history.h"
#include "rb/work/error.h"

#include "library-private.h"

static bool is_named(const char *have, const char *wanted)
{
    if (have == NULL || *have == '\0') {
        return false;
    }
    g_autofree char *a = g_utf8_casefold(have, -1);
    g_autofree char *b = g_utf8_casefold(wanted, -1);
    return g_str_equal(a, b);
}

typedef struct {
    GArray *players; /* owned, of RbPlayerId */
    GArray *people;  /* owned, of RbPersonId */
} Named;

static void named_clear(Named *named)
{
    g_array_unref(named->players);
    g_array_unref(named->people);
}

static bool find_named(RbLibrary *library, const char *name, Named *named, GError **error)
{
    g_autoptr(RbNames) names = rb_library_load_names(library, error);
    *named = (Named){ g_array_new(FALSE, FALSE, sizeof(RbPlayerId)),
                      g_array_new(FALSE, FALSE, sizeof(RbPersonId)) };
    if (names == NULL) {
        return false;
    }
    const GPtrArray *players = rb_names_players(names);
    for (guint i = 0; i < players->len; i++) {
        const RbPlayer *player = players->pdata[i];
        if (is_named(player->name, name)) {
            g_array_append_val(named->players, player->id);
        }
    }
    const GPtrArray *people = rb_names_people(names);
    for (guint i = 0; i < people->len; i++) {
        const RbPerson *person = people->pdata[i];
        if (is_named(person->name, name)) {
            g_array_append_val(named->people, person->id);
        }
    }
    return true;
}

int rb_library_count_named(RbLibrary *library, const char *name, GError **error)
{
    Named named;
    const bool ok = find_named(library, name, &named, error);
    const int n = ok ? (int)(named.players->len + named.people->len) : -1;
    named_clear(&named);
    return n;
}

static bool forget_all(RbLibrary *library, const Named *named, int *forgotten,
                       GError **error)
{
    RbStore *store = rb_library_store(library);
    const RbPersonId by = rb_library_get_person(library);
    bool ok = true;
    for (guint i = 0; ok && i < named->players->len; i++) {
        const RbPlayerId id = g_array_index(named->players, RbPlayerId, i);
        ok = rb_store_forget_player(store, by, id, error);
        *forgotten += ok;
    }
    for (guint i = 0; ok && i < named->people->len; i++) {
        const RbPersonId id = g_array_index(named->people, RbPersonId, i);
        ok = rb_store_forget_person(store, by, id, error);
        *forgotten += ok;
    }
    return ok;
}

bool rb_library_forget(RbLibrary *library, const char *name, int *forgotten,
                       GError **error)
{
    Named named;
    *forgotten = 0;
    bool ok = find_named(library, name, &named, error);
    if (ok && named.players->len + named.people->len == 0) {
        ok =
            rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_NOT_FOUND,
                         "Nobody in this library is named \"%s\": give the whole name as "
                         "it is written there.",
                         name);
    }
    ok = ok && forget_all(library, &named, forgotten, error);
    named_clear(&named);
    rb_library_note_change(library);
    return ok;
}
