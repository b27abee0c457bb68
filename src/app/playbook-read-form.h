/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "playbook-draft.h"

/* The chosen read: route, runner, depth, landmark, key, what it is for, clock. */
#define RB_TYPE_PLAYBOOK_READ_FORM (rb_playbook_read_form_get_type())
G_DECLARE_FINAL_TYPE(RbPlaybookReadForm, rb_playbook_read_form, RB, PLAYBOOK_READ_FORM,
                     GtkWidget)

void rb_playbook_read_form_set_draft(RbPlaybookReadForm *form, RbPlaybookDraft *draft);
