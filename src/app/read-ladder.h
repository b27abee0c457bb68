/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>
#include <stdbool.h>

#include "rb/read/verdict.h"

/* One read of a snap as the ladder shows it. */
typedef struct {
    int slot;     /* 0 for where the ball went when it went to no read */
    char *title;  /* owned: "Speed out" */
    char *detail; /* owned, nullable: "#1, by 1.8 s" */
    char *
        remark; /* owned, nullable: why it is dead, or when the ball left: "ball, 2.1 s" */
    RbLook look;
    bool right; /* the right read */
    bool dead;  /* by rule */
    bool outlet;
    bool ball; /* the ball went here */
    bool late; /* and left after the clock */
    bool off;  /* where the ball went is no read of this order */
} RbRungView;

/* Rungs from what the engine found. slots: the call's reads in the concept's own order;
 * judgment: (nullable): gives order, dead reads, right read and ball.
 * Returns: (transfer full): of RbRungView. */
GPtrArray *rb_rung_views_build(const RbRung *slots, int n_slots, const RbChart *chart,
                               const RbJudgment *judgment);

/* The ladder of reads of one snap: in order from the top, look and ball on each rung.
 * Up and Down choose a rung; Enter changes its look.
 * Signal "look" (int slot, int RbLook): a person set a look. */
#define RB_TYPE_READ_LADDER (rb_read_ladder_get_type())
G_DECLARE_FINAL_TYPE(RbReadLadder, rb_read_ladder, RB, READ_LADDER, GtkWidget)

/* rungs: (transfer none) (nullable): a reference is taken. */
void rb_read_ladder_set_rungs(RbReadLadder *ladder, GPtrArray *rungs);

/* Whether somebody changed a look since the rungs were set: it is shown at once, so that the next
 * key goes on from it. */
bool rb_read_ladder_is_ahead(const RbReadLadder *ladder);

/* As if a person had pressed the read's number. False when there is no such read. */
bool rb_read_ladder_cycle(RbReadLadder *ladder, int slot);
