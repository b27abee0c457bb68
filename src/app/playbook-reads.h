/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "playbook-draft.h"

/* The reads of the concept as a ladder, first read on top. Up and Down choose, Alt+Up and
 * Alt+Down move the chosen one, Delete removes it; a rung can be dragged. Signal "entered": Enter
 * on a rung. */
#define RB_TYPE_PLAYBOOK_READS (rb_playbook_reads_get_type())
G_DECLARE_FINAL_TYPE(RbPlaybookReads, rb_playbook_reads, RB, PLAYBOOK_READS, GtkWidget)

void rb_playbook_reads_set_draft(RbPlaybookReads *reads, RbPlaybookDraft *draft);
void rb_playbook_reads_add(RbPlaybookReads *reads);
void rb_playbook_reads_remove(RbPlaybookReads *reads);
void rb_playbook_reads_focus(RbPlaybookReads *reads);
