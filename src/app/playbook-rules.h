/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "playbook-draft.h"

/* The rules of the concept as sentences, in order; those that match the picture are marked.
 * Keys as for the reads. Signal "entered": Enter on a rule. */
#define RB_TYPE_PLAYBOOK_RULES (rb_playbook_rules_get_type())
G_DECLARE_FINAL_TYPE(RbPlaybookRules, rb_playbook_rules, RB, PLAYBOOK_RULES, GtkWidget)

void rb_playbook_rules_set_draft(RbPlaybookRules *rules, RbPlaybookDraft *draft);
void rb_playbook_rules_add(RbPlaybookRules *rules);
void rb_playbook_rules_remove(RbPlaybookRules *rules);
void rb_playbook_rules_focus(RbPlaybookRules *rules);
