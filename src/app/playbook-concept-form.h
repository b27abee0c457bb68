/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "playbook-draft.h"

/* What is said of a concept as a whole: name, one side or both, how the side is picked, notes. */
#define RB_TYPE_PLAYBOOK_CONCEPT_FORM (rb_playbook_concept_form_get_type())
G_DECLARE_FINAL_TYPE(RbPlaybookConceptForm, rb_playbook_concept_form, RB,
                     PLAYBOOK_CONCEPT_FORM, GtkWidget)

void rb_playbook_concept_form_set_draft(RbPlaybookConceptForm *form,
                                        RbPlaybookDraft *draft);
