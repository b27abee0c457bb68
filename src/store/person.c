/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/store/staff.h"

#include "tables.h"

static const RbColumn columns[] = {
    RB_NAME(RbPerson, name, "name"),
};

static void *make(void)
{
    return rb_person_new((RbPersonId){ 0 }, "");
}

const RbTable rb_person_table = {
    "person", "person",
    columns,  G_N_ELEMENTS(columns),
    make,     (GDestroyNotify)rb_person_free,
};

RbPerson *rb_store_load_person(RbStore *store, RbPersonId id, GError **error)
{
    return rb_row_load(store, &rb_person_table, id.value, error);
}

GPtrArray *rb_store_list_people(RbStore *store, GError **error)
{
    return rb_row_list(store, &rb_person_table,
                       "WHERE t.removed = 0 ORDER BY t.name, t.id", NULL, 0, error);
}

bool rb_store_save_person(RbStore *store, const RbPerson *person, GError **error)
{
    return rb_row_save(store, &rb_person_table, person, error);
}
