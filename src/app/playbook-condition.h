/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "rb/book/condition.h"

/* One condition of a rule, built from chosen parts. Signals: "changed", "removed". */
#define RB_TYPE_PLAYBOOK_CONDITION (rb_playbook_condition_get_type())
G_DECLARE_FINAL_TYPE(RbPlaybookCondition, rb_playbook_condition, RB, PLAYBOOK_CONDITION,
                     GtkWidget)

void rb_playbook_condition_set(RbPlaybookCondition *row, const RbCondition *condition,
                               const GPtrArray *terms, int number);
/* terms: as for set. */
RbCondition rb_playbook_condition_get(RbPlaybookCondition *row);
