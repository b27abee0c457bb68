/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/work/tagging.h"

/* The table of tags (taggable.c) says where each lies and of what kind it is; these reach it.
 * Numbers of both kinds and every enum of the model are ints to the table; ids are int64_t. The
 * places point into `snap` or `chart`, whichever holds the tag, and may be written when those may. */
int *rb_taggable_number(const RbTaggable *field, const RbSnap *snap,
                        const RbChart *chart);
int64_t *rb_taggable_id(const RbTaggable *field, const RbSnap *snap,
                        const RbChart *chart);
char **rb_taggable_string(const RbTaggable *field, const RbSnap *snap,
                          const RbChart *chart);

bool rb_taggable_is_unknown(const RbTaggable *field, const RbSnap *snap,
                            const RbChart *chart);
/* The team with the ball; ours when nobody said. */
RbTeamId rb_taggable_offense(const RbNames *names, const RbSnap *snap);
/* The jersey, or the id when two players of a team wear the same. Returns: (transfer full). */
char *rb_taggable_player_token(const RbNames *names, const RbPlayer *player);
/* What rb_taggable_show() shows, and the field's label in lower case: told text, for the history
 * (rb/base/told.h). Returns: (transfer full). */
char *rb_taggable_tell(const RbTaggable *field, const RbNames *names, const RbSnap *snap,
                       const RbChart *chart);
char *rb_taggable_tell_label(const RbTaggable *field);
/* 2350 with 3 places is "2.35". Returns: (transfer full). */
char *rb_decimal_text(int value, int places);
