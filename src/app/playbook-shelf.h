/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "playbook-draft.h"

/* The concepts of the library, to choose one, find, add, copy and hide; and the footwork table.
 * The focus goes to the chosen concept.
 *
 * Signals:
 *   "started"  a new concept was named and is the chosen one */
#define RB_TYPE_PLAYBOOK_SHELF (rb_playbook_shelf_get_type())
G_DECLARE_FINAL_TYPE(RbPlaybookShelf, rb_playbook_shelf, RB, PLAYBOOK_SHELF, GtkWidget)

void rb_playbook_shelf_set_draft(RbPlaybookShelf *shelf, RbPlaybookDraft *draft,
                                 RbSession *session);
/* The focus into the search. */
void rb_playbook_shelf_find(RbPlaybookShelf *shelf);
/* Opens the question for the name of a new concept. */
void rb_playbook_shelf_ask_name(RbPlaybookShelf *shelf);
