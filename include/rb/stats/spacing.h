/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

/* When to ask a question again: the SM-2 schedule of P. A. Wozniak, "Optimization of learning"
 * (master's thesis, Poznan 1990), section 3.2. The first interval is one day, the second six, each
 * later one the last times the ease as the answer has just changed it, rounded up; an answer of quality below 3 starts over with the ease
 * kept. */
typedef struct {
    int repetitions; /* right answers in a row */
    double ease;     /* 1.3 and up; 2.5 to begin with */
    int days;        /* until it is asked again */
} RbSpacing;

/* A question that was never asked. */
RbSpacing rb_spacing_new(void);

/* quality: 5 right at once, 4 right after hesitation, 3 right with difficulty, 2 wrong but easily
 * seen, 1 wrong but recognised, 0 blank. */
RbSpacing rb_spacing_next(RbSpacing spacing, int quality);
