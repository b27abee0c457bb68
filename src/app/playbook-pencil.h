/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/report/diagram.h"

#include "playbook-draft.h"

/* Draws the route of the chosen read on the field diagram with the mouse, while that route is one
 * drawn freely: a press takes hold of a point or sets a new one, a right click takes one away.
 * One stroke is one change. */
typedef bool (*RbPencilField)(GtkWidget *diagram, RbDiagram *field);

/* field: gives the diagram as it is drawn, false without one. Goes with the diagram. */
void rb_playbook_pencil_add(GtkWidget *diagram, RbPlaybookDraft *draft,
                            RbPencilField field);
/* The chosen read may be another one. */
void rb_playbook_pencil_follow(GtkWidget *diagram);
/* Marks the points that can be taken hold of. */
void rb_playbook_pencil_draw(GtkWidget *diagram, const RbDiagram *field, cairo_t *cr);
