/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <stdbool.h>

/* The two official passer ratings. */
typedef struct {
    int attempts;
    int completions;
    int yards;
    int touchdowns;
    int interceptions;
} RbPassing;

/* NFL: R. W. Johnson, "How does the NFL rate passers?", UMAP Journal 18(2), 1997, 145-166.
 * False with no attempts. */
bool rb_passer_rating_pro(const RbPassing *passing, double *rating);
/* What the rating adds up: completions, yards, touchdowns, interceptions, each 0 to 2.375. */
bool rb_passer_parts_pro(const RbPassing *passing, double parts[4]);
/* NCAA: (8.4 Y + 330 T + 100 C - 200 I) / A. */
bool rb_passer_rating_college(const RbPassing *passing, double *rating);
