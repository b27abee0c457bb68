/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "playbook-draft.h"

/* The concept drawn on the field against the chosen picture. */
#define RB_TYPE_PLAYBOOK_DIAGRAM (rb_playbook_diagram_get_type())
G_DECLARE_FINAL_TYPE(RbPlaybookDiagram, rb_playbook_diagram, RB, PLAYBOOK_DIAGRAM,
                     GtkWidget)

void rb_playbook_diagram_set_draft(RbPlaybookDiagram *diagram, RbPlaybookDraft *draft);
