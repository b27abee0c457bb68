/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/store/playbook.h"

#include "tables.h"

static const RbColumn columns[] = {
    RB_KNOWN_WORD(RbTerm, kind, "kind", rb_term_kind_words),
    RB_NAME(RbTerm, token, "token"),
    RB_NAME(RbTerm, name, "name"),
    RB_WORD(RbTerm, family, "family", rb_family_words),
    RB_INT(RbTerm, deep, "deep", -1),
    RB_INT(RbTerm, sort, "sort", RB_ALWAYS_KNOWN),
    RB_BOOL(RbTerm, hidden, "hidden"),
};

static void *make(void)
{
    return rb_term_new(RB_TERM_COVERAGE, "", "");
}

const RbTable rb_term_table = {
    "term", "word", columns, G_N_ELEMENTS(columns), make, (GDestroyNotify)rb_term_free,
};

RbTerm *rb_store_load_term(RbStore *store, RbTermId id, GError **error)
{
    return rb_row_load(store, &rb_term_table, id.value, error);
}

GPtrArray *rb_store_list_terms(RbStore *store, GError **error)
{
    return rb_row_list(store, &rb_term_table,
                       "WHERE t.removed = 0 ORDER BY t.kind, t.sort, t.name, t.id", NULL,
                       0, error);
}

bool rb_store_save_term(RbStore *store, const RbTerm *term, GError **error)
{
    return rb_row_save(store, &rb_term_table, term, error);
}
