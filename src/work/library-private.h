/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/store/store.h"
#include "rb/work/library.h"

/* The open store behind a library, for the other use cases. Borrowed. */
RbStore *rb_library_store(RbLibrary *library);

/* What outlives a library may hold a link to it. The library belongs to the thread that opened it:
 * there rb_library_link_get() gives it as long as it is open; elsewhere and after NULL. */
typedef struct RbLibraryLink RbLibraryLink;
RbLibraryLink *rb_library_link(RbLibrary *library); /* (transfer none) */
RbLibraryLink *rb_library_link_ref(RbLibraryLink *link);
void rb_library_link_unref(RbLibraryLink *link);
/* Whether this is the thread of the library, open or closed. */
bool rb_library_link_is_mine(const RbLibraryLink *link);
RbLibrary *rb_library_link_get(const RbLibraryLink *link);

/* An action by the person who works, who joins the staff with their first. words: told text
 * (rb/base/told.h), so that each reads the history in their language. commit: `names` says
 * that what rb_library_load_names() gives has changed. After a false commit nothing is open. */
bool rb_library_begin(RbLibrary *library, const char *words, GError **error);
bool rb_library_commit(RbLibrary *library, bool names, GError **error);
void rb_library_rollback(RbLibrary *library);

/* Work of others was merged into the store: everything is to be read anew. */
void rb_library_note_change(RbLibrary *library);

/* Turns "no such thing" of the store into ours; others pass. Always returns false. */
bool rb_library_not_found(GError **error, GError *from, const char *sentence);

/* The chart of the person who works; until they have one (own: false) what it would start from:
 * a copy, in their name, of the chart that counts, or an empty chart. So a correction made by a
 * second person never throws away the first one's tags. counts: (out) (nullable) (transfer
 * full): the chart that counts when it is somebody else's. Returns: (transfer full). */
RbChart *rb_library_own_chart(RbLibrary *library, const RbNames *names,
                              const RbSnap *snap, bool *own, RbChart **counts,
                              GError **error);

/* footwork.c: the defaults with what the staff has set. */
bool rb_footwork_load(RbStore *store, RbFootwork *footwork, GError **error);

/* Writes a concept as its next revision. Needs an open action. */
bool rb_library_save_concept(RbStore *store, const RbConcept *concept,
                             const GPtrArray *terms, GError **error);
