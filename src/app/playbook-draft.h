/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>
#include <stdbool.h>

#include "rb/work/playbook-try.h"

#include "session.h"

/* The concept on the Playbook desk while it is worked on: no widgets. Each edit without an error
 * goes to the library at once; one with an error waits and says why. Also the picture it is
 * tried against. Main thread.
 *
 * Signals:
 *   "list"     the concepts of the library
 *   "concept"  the concept, what is found in it, whether it is saved
 *   "chosen"   the read or rule that is worked on
 *   "picture"  the picture, or what it makes of the order */
#define RB_TYPE_PLAYBOOK_DRAFT (rb_playbook_draft_get_type())
G_DECLARE_FINAL_TYPE(RbPlaybookDraft, rb_playbook_draft, RB, PLAYBOOK_DRAFT, GObject)

RbPlaybookDraft *rb_playbook_draft_new(RbSession *session);

RbNames *rb_playbook_draft_get_names(RbPlaybookDraft *draft);            /* (nullable) */
const RbConcept *rb_playbook_draft_get_concept(RbPlaybookDraft *draft);  /* (nullable) */
const GPtrArray *rb_playbook_draft_get_findings(RbPlaybookDraft *draft); /* (nullable) */
bool rb_playbook_draft_is_saved(RbPlaybookDraft *draft);
/* The rules of the game that is open: they say where hash marks and numbers are. */
RbRules rb_playbook_draft_get_rules(RbPlaybookDraft *draft);

void rb_playbook_draft_choose(RbPlaybookDraft *draft, RbConceptId concept);
/* Makes a concept, saves it and chooses it. False with `error` for a name that does not do. */
bool rb_playbook_draft_start(RbPlaybookDraft *draft, const char *name, GError **error);
void rb_playbook_draft_twin(RbPlaybookDraft *draft);
/* Back to what the library has. */
void rb_playbook_draft_discard(RbPlaybookDraft *draft);

/* The concept to change in place, then to be told of. Only while there is one. */
RbConcept *rb_playbook_draft_edit(RbPlaybookDraft *draft);
void rb_playbook_draft_edited(RbPlaybookDraft *draft);

int rb_playbook_draft_get_read(RbPlaybookDraft *draft); /* its number; 0 none */
void rb_playbook_draft_set_read(RbPlaybookDraft *draft, int number);
int rb_playbook_draft_get_rule(RbPlaybookDraft *draft); /* its index; -1 none */
void rb_playbook_draft_set_rule(RbPlaybookDraft *draft, int index);

const RbPictureTry *rb_playbook_draft_get_picture(RbPlaybookDraft *draft);
void rb_playbook_draft_set_picture(RbPlaybookDraft *draft, const RbPictureTry *picture);
/* NULL without a concept. */
const RbTryAnswer *rb_playbook_draft_get_answer(RbPlaybookDraft *draft);
