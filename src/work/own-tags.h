/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/model/snap.h"
#include "rb/work/names.h"

/* The staff's own tags as text: "trick play, two-minute" is all of a snap's tags; "+trick play,
 * -two-minute" puts one on and takes another off. A tag that nobody used before is a new word of
 * the vocabulary, which whoever saves the snap must add. */

/* Returns: (transfer full): tokens, or names for people, in the order of the names. */
char *rb_own_tags_text(const RbNames *names, const RbSnap *snap, bool people);
/* False with a sentence; then the snap is as it was. */
bool rb_own_tags_set(const RbNames *names, RbSnap *snap, const char *text,
                     GError **error);
/* The tags of a text that rb_own_tags_set() takes which are no words yet.
 * Returns: (transfer full): of RbTerm. */
GPtrArray *rb_own_tags_new(const RbNames *names, const char *text);
