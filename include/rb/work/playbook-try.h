/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/read/order.h"
#include "rb/report/diagram.h"
#include "rb/work/names.h"

/* A concept against a picture that nobody filmed: what the order in force becomes, and why. */

typedef struct {
    RbSide side; /* worked; unknown: right */
    RbHash hash;
    RbPictureShown shown; /* taken to be what is played, too */
    RbTermId coverage;    /* 0: not said */
    RbTermId formation;   /* 0: not said; "3x1" and the like say how many on each side */
    RbWidth width;
    RbSide unblocked; /* where a rusher comes free; unknown: none does */
    int rushers;      /* -1: not said */
    int down;         /* 0: not said */
    int distance;     /* 0: not said */
} RbPictureTry;

/* Nothing said, worked to the right from the middle. */
RbPictureTry rb_picture_try(void);
/* "Two high, squat corner left, cushion 6 yd". Returns: (transfer full). */
char *rb_picture_try_text(const RbPictureTry *picture, const RbNames *names);

typedef struct {
    RbOrder order;    /* its reads are the concept's: valid as long as that */
    GPtrArray *lines; /* owned, of char *: sentences, the order first */
} RbTryAnswer;

void rb_concept_try(const RbConcept *concept, const RbNames *names,
                    const RbPictureTry *picture, RbTryAnswer *answer);
void rb_try_answer_clear(RbTryAnswer *answer);

/* The field's marks by the rules played. */
RbDiagramField rb_diagram_field(RbRules rules);
/* The concept drawn against the picture. picture: (nullable): as it is written, to the right. */
RbDiagram rb_concept_diagram(const RbConcept *concept, const RbNames *names,
                             RbRules rules, const RbPictureTry *picture);

/* "1 out". Returns: (transfer full). */
char *rb_rung_text(const RbRung *rung);
/* "Read 2 pivot, then 3 check-down. Not read: 1 go." Returns: (transfer full). */
char *rb_order_text(const RbOrder *order);

/* "top of the numbers, 2 yd outside the numbers"; "" without one. Returns: (transfer full). */
char *rb_landmark_text(const RbRead *read);

/* "Out by #1 at 12 yards, top of the numbers, 5 steps, no hitch (2.4 s)".
 * Returns: (transfer full). */
char *rb_read_text(const RbRead *read, const RbFootwork *footwork);
/* "5 steps, no hitch (2.4 s ± 0.25)", "by 2.20 s", or "no clock". Returns: (transfer full). */
char *rb_clock_text(const RbClock *clock, const RbFootwork *footwork);

/* Writes one page, as the name's ending says: .pdf, .svg or .png. Replaces what is there. */
bool rb_concept_write_page(const RbConcept *concept, const RbNames *names, RbRules rules,
                           const RbPictureTry *picture, const char *path, GError **error);
