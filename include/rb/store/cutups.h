/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/model/cutup.h"
#include "rb/store/store.h"

/* Cut-ups and their clips. The pattern is that of staff.h. */

RbCutup *rb_store_load_cutup(RbStore *store, RbCutupId id, GError **error);
/* By name. */
GPtrArray *rb_store_list_cutups(RbStore *store, GError **error);
bool rb_store_save_cutup(RbStore *store, const RbCutup *cutup, GError **error);
bool rb_store_remove_cutup(RbStore *store, RbCutupId id, GError **error);

RbCutupEntry *rb_store_load_cutup_entry(RbStore *store, RbCutupEntryId id,
                                        GError **error);
/* Of one cut-up, by place, then id. */
GPtrArray *rb_store_list_cutup_entries(RbStore *store, RbCutupId cutup, GError **error);
bool rb_store_save_cutup_entry(RbStore *store, const RbCutupEntry *entry, GError **error);
bool rb_store_remove_cutup_entry(RbStore *store, RbCutupEntryId id, GError **error);
