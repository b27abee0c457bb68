/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>

#include "rb/stats/measure.h"
#include "rb/work/snapshot.h"

/* Two selections side by side: this year and last, two quarterbacks, before and after an
 * adjustment. The difference is the first less the second. */
typedef struct {
    RbMeasured first; /* not shrunk: two filters share nothing to borrow from */
    RbMeasured second;
    int first_x; /* rates: of first.n */
    int second_x;
    bool has_difference; /* both are known */
    double difference;
    /* Rates: 80 % and 95 % intervals of R. G. Newcombe's hybrid score, method 10. Means:
     * Welch's; they take two values on each side. */
    bool has_interval;
    double low_80, high_80;
    double low_95, high_95;
} RbContrast;

typedef struct {
    RbTally first;
    RbTally second;
    RbContrast contrasts[RB_MEASURES];
    RbLadder ladders[2];
    int shared; /* dropbacks that both selections hold: the sides are not independent then */
} RbCompared;

void rb_compare(const RbSelection *first, const RbSelection *second,
                RbCompared *compared);

/* The cells of one line of the table; each owned, NULL where there is none. */
typedef struct {
    char *first;
    char *second;
    char *difference;
    char *interval_80;
    char *interval_95;
} RbContrastWords;

RbContrastWords rb_contrast_words(const RbCompared *compared, RbMeasure measure);
void rb_contrast_words_clear(RbContrastWords *words);
/* The 95 % interval leaves out no difference at all. */
bool rb_contrast_is_settled(const RbContrast *contrast);

/* "Success: 48 % of 62 against 39 % of 71. Difference +9 in a hundred, 95 % interval -8 to +25:
 * could be chance." Returns: (transfer full). */
char *rb_contrast_text(const RbCompared *compared, RbMeasure measure);
/* Why the figures must be read with care; NULL when there is nothing to say.
 * Returns: (transfer full) (nullable). */
char *rb_compared_warning(const RbCompared *compared);
/* Both, for a terminal. names of the sides: nullable, "first" and "second" then.
 * Returns: (transfer full). */
char *rb_compared_text(const RbCompared *compared, const char *first, const char *second);

G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC(RbContrastWords, rb_contrast_words_clear)
