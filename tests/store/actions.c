/* SPDX-License-Identifier: GPL-3.0-or-later */
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
