/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "playbook-draft.h"

/* The chosen rule: what it does, to which read, and if what. */
#define RB_TYPE_PLAYBOOK_RULE_FORM (rb_playbook_rule_form_get_type())
G_DECLARE_FINAL_TYPE(RbPlaybookRuleForm, rb_playbook_rule_form, RB, PLAYBOOK_RULE_FORM,
                     GtkWidget)

void rb_playbook_rule_form_set_draft(RbPlaybookRuleForm *form, RbPlaybookDraft *draft);
