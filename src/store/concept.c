/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/base/ids.h"
#include "rb/store/playbook.h"

#include "children.h"
#include "tables.h"

static const RbColumn concept_columns[] = {
    RB_NAME(RbConceptRow, token, "token"),
    RB_NAME(RbConceptRow, name, "name"),
    RB_ID(RbConceptRow, revision, "revision"),
};

const RbTable rb_concept_table = {
    "concept", "concept", concept_columns, G_N_ELEMENTS(concept_columns), NULL, NULL,
};

typedef struct {
    RbRevisionId id;
    RbConceptId concept;
    char *document; /* borrowed when saved */
} Revision;

static const RbColumn revision_columns[] = {
    RB_ID(Revision, concept, "concept"),
    RB_NAME(Revision, document, "document"),
};

const RbTable rb_revision_table = {
    "revision", "revision", revision_columns, G_N_ELEMENTS(revision_columns), NULL, NULL,
};

RbConceptRow *rb_concept_row_new(RbConceptId id, const char *token, const char *name,
                                 const char *document)
{
    RbConceptRow *row = g_new0(RbConceptRow, 1);
    row->id = id;
    row->token = g_strdup(token);
    row->name = g_strdup(name);
    row->document = g_strdup(document);
    return row;
}

void rb_concept_row_free(RbConceptRow *row)
{
    if (row == NULL) {
        return;
    }
    g_free(row->token);
    g_free(row->name);
    g_free(row->document);
    g_free(row);
}

static bool take_concept(RbStatement *row, void *data, GError **error)
{
    (void)error;
    const char *name = rb_statement_get_text(row, "name");
    const char *token = rb_statement_get_text(row, "token");
    const char *document = rb_statement_get_text(row, "document");
    RbConceptRow *concept = rb_concept_row_new(
        (RbConceptId){ rb_statement_get_int(row, "id") }, token != NULL ? token : "",
        name != NULL ? name : "", document != NULL ? document : "");
    concept->revision.value = rb_statement_get_int(row, "revision");
    g_ptr_array_add(data, concept);
    return true;
}

/* Concepts c with one of their revisions r. */
static GPtrArray *list(RbStore *store, const char *tail, const int64_t *id,
                       GError **error)
{
    g_autoptr(GPtrArray) found =
        g_ptr_array_new_with_free_func((GDestroyNotify)rb_concept_row_free);
    g_autofree char *sql = g_strconcat(
        "SELECT c.id, c.token, c.name, r.id AS revision, r.document FROM concept c ",
        tail, NULL);
    return rb_children_read(store, sql, id, id != NULL ? 1 : 0, take_concept, found,
                            error)
               ? g_steal_pointer(&found)
               : NULL;
}

static RbConceptRow *one(RbStore *store, const char *tail, int64_t id,
                         const RbTable *table, GError **error)
{
    g_autoptr(GPtrArray) found = list(store, tail, &id, error);
    return found != NULL ? rb_row_first(store, table, found, error) : NULL;
}

RbConceptRow *rb_store_load_concept(RbStore *store, RbConceptId id, GError **error)
{
    return one(store,
               "JOIN revision r ON r.id = c.revision WHERE c.id = ? AND c.removed = 0",
               id.value, &rb_concept_table, error);
}

GPtrArray *rb_store_list_concepts(RbStore *store, GError **error)
{
    return list(store,
                "JOIN revision r ON r.id = c.revision WHERE c.removed = 0"
                " ORDER BY c.name, c.id",
                NULL, error);
}

RbConceptRow *rb_store_load_revision(RbStore *store, RbRevisionId id, GError **error)
{
    return one(store,
               "JOIN revision r ON r.concept = c.id WHERE r.id = ? AND r.removed = 0",
               id.value, &rb_revision_table, error);
}

bool rb_store_save_concept(RbStore *store, const RbConceptRow *row,
                           RbRevisionId *revision, GError **error)
{
    g_autofree char *concept = g_strdup_printf("%" G_GINT64_FORMAT, row->id.value);
    const Revision state = {
        .id.value = rb_id_from_text("revision", concept, row->document, NULL),
        .concept = row->id,
        .document = row->document,
    };
    RbConceptRow current = *row;
    current.revision = state.id;
    if (!rb_row_save(store, &rb_revision_table, &state, error) ||
        !rb_row_save(store, &rb_concept_table, &current, error)) {
        return false;
    }
    if (revision != NULL) {
        *revision = state.id;
    }
    return true;
}
