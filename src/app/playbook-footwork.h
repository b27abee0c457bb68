/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "playbook-draft.h"

/* The staff's footwork table: how long steps and hitches take, each time with the mark of where
 * it comes from. A time that makes sense is stored at once and is one action of the history; one
 * that does not waits and says why. */
#define RB_TYPE_PLAYBOOK_FOOTWORK (rb_playbook_footwork_get_type())
G_DECLARE_FINAL_TYPE(RbPlaybookFootwork, rb_playbook_footwork, RB, PLAYBOOK_FOOTWORK,
                     GtkWidget)

/* draft: whose names hold the table. */
void rb_playbook_footwork_set_draft(RbPlaybookFootwork *table, RbPlaybookDraft *draft,
                                    RbSession *session);
