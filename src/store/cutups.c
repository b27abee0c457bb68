/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/store/cutups.h"

#include "row.h"
#include "tables.h"

static const RbColumn cutup_columns[] = {
    RB_NAME(RbCutup, name, "name"),
    RB_KNOWN_WORD(RbCutup, kind, "kind", rb_cutup_kind_words),
    RB_TEXT(RbCutup, filter, "filter"),
    RB_KNOWN_WORD(RbCutup, cut.view, "view", rb_view_words),
    RB_KNOWN_WORD(RbCutup, cut.start, "start", rb_point_words),
    RB_KNOWN_WORD(RbCutup, cut.stop, "stop", rb_point_words),
    RB_INT(RbCutup, cut.speed, "speed", RB_ALWAYS_KNOWN),
    RB_TEXT(RbCutup, cut.card, "card"),
    RB_TEXT(RbCutup, note, "note"),
};

static void *make_cutup(void)
{
    return rb_cutup_new((RbCutupId){ 0 }, "", RB_CUTUP_FIXED);
}

const RbTable rb_cutup_table = {
    "cutup",       "cut-up",
    cutup_columns, G_N_ELEMENTS(cutup_columns),
    make_cutup,    (GDestroyNotify)rb_cutup_free,
};

static const RbColumn entry_columns[] = {
    RB_ID(RbCutupEntry, cutup, "cutup"),
    RB_ID(RbCutupEntry, snap, "snap"),
    RB_LONG(RbCutupEntry, place, "place"),
    RB_KNOWN_WORD(RbCutupEntry, cut.view, "view", rb_view_words),
    RB_KNOWN_WORD(RbCutupEntry, cut.start, "start", rb_point_words),
    RB_KNOWN_WORD(RbCutupEntry, cut.stop, "stop", rb_point_words),
    RB_INT(RbCutupEntry, cut.speed, "speed", RB_ALWAYS_KNOWN),
    RB_INT(RbCutupEntry, cut.loops, "loops", RB_ALWAYS_KNOWN),
    RB_WORD(RbCutupEntry, cut.freeze, "freeze", rb_point_words),
    RB_INT(RbCutupEntry, cut.freeze_ms, "freeze_ms", RB_ALWAYS_KNOWN),
    RB_TEXT(RbCutupEntry, cut.card, "card"),
    RB_TEXT(RbCutupEntry, note, "note"),
};

static void *make_entry(void)
{
    return rb_cutup_entry_new((RbCutupEntryId){ 0 }, (RbCutupId){ 0 }, (RbSnapId){ 0 });
}

const RbTable rb_cutup_entry_table = {
    "cutup_entry", "clip of a cut-up",
    entry_columns, G_N_ELEMENTS(entry_columns),
    make_entry,    (GDestroyNotify)rb_cutup_entry_free,
};

/* Rows come field by field from other computers. */
static GPtrArray *mend_cutups(GPtrArray *list)
{
    for (guint i = 0; list != NULL && i < list->len; i++) {
        rb_cut_mend(&((RbCutup *)list->pdata[i])->cut);
    }
    return list;
}

static GPtrArray *mend_entries(GPtrArray *list)
{
    for (guint i = 0; list != NULL && i < list->len; i++) {
        rb_cut_mend(&((RbCutupEntry *)list->pdata[i])->cut);
    }
    return list;
}

RbCutup *rb_store_load_cutup(RbStore *store, RbCutupId id, GError **error)
{
    RbCutup *cutup = rb_row_load(store, &rb_cutup_table, id.value, error);
    if (cutup != NULL) {
        rb_cut_mend(&cutup->cut);
    }
    return cutup;
}

GPtrArray *rb_store_list_cutups(RbStore *store, GError **error)
{
    return mend_cutups(rb_row_list(
        store, &rb_cutup_table,
        "WHERE t.removed = 0 ORDER BY t.name COLLATE NOCASE, t.id", NULL, 0, error));
}

bool rb_store_save_cutup(RbStore *store, const RbCutup *cutup, GError **error)
{
    return rb_row_save(store, &rb_cutup_table, cutup, error);
}

bool rb_store_remove_cutup(RbStore *store, RbCutupId id, GError **error)
{
    return rb_row_remove(store, &rb_cutup_table, id.value, error);
}

RbCutupEntry *rb_store_load_cutup_entry(RbStore *store, RbCutupEntryId id, GError **error)
{
    RbCutupEntry *entry = rb_row_load(store, &rb_cutup_entry_table, id.value, error);
    if (entry != NULL) {
        rb_cut_mend(&entry->cut);
    }
    return entry;
}

GPtrArray *rb_store_list_cutup_entries(RbStore *store, RbCutupId cutup, GError **error)
{
    return mend_entries(
        rb_row_list(store, &rb_cutup_entry_table,
                    "WHERE t.cutup = ? AND t.removed = 0 ORDER BY t.place, t.id",
                    &cutup.value, 1, error));
}

bool rb_store_save_cutup_entry(RbStore *store, const RbCutupEntry *entry, GError **error)
{
    return rb_row_save(store, &rb_cutup_entry_table, entry, error);
}

bool rb_store_remove_cutup_entry(RbStore *store, RbCutupEntryId id, GError **error)
{
    return rb_row_remove(store, &rb_cutup_entry_table, id.value, error);
}
