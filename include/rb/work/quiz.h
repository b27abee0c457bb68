/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/model/quiz.h"
#include "rb/stats/spacing.h"
#include "rb/work/snapshot.h"

/* The quiz: the film of a snap stops just before the snap, after motion; he names the shell, then the
 * side or the first read; it plays on and he names the read he would throw. Only snaps whose
 * verdict is settled are asked. Wrong answers come back at growing intervals: rb/stats/spacing.h. */

/* One snap to be asked about, with what is right. */
typedef struct {
    RbSnapId snap;
    RbShell shell;  /* shown; unknown: not tagged, not asked */
    RbSide side;    /* that the criteria pick; unknown: the first read is asked instead */
    int first_read; /* slot of the first read in force */
    int right_read; /* slot of the read to throw; 0: none was open, the outlet */
    int outlet;     /* slot of the outlet; 0 none */
    RbRung rungs
        [RB_READS_MAX]; /* the call's reads in the concept's own order, to choose from */
    int n_rungs;
    int stop_ms
        [RB_READS_MAX]; /* after the snap: where the film stops for each read in force */
    int n_stops;
    char *due_on; /* owned, nullable: when it is to be asked again; NULL: never asked */
    int asked;    /* times */
    RbSpacing spacing; /* after the last answer */
} RbQuizQuestion;

void rb_quiz_question_free(RbQuizQuestion *question);

/* What to ask a person about, at most `limit`: first those due by `today` ("2026-11-25"), the
 * longest due first; then those never asked, errors of the quarterback before others. Snaps without
 * film of the moment are left out. selection: whose snaps. Returns: (transfer full): GPtrArray of
 * RbQuizQuestion. */
GPtrArray *rb_quiz_questions(RbLibrary *library, const RbSelection *selection,
                             RbPersonId person, const char *today, int limit,
                             GError **error);

/* Fills in what was right of an answer to a question. */
void rb_quiz_score(const RbQuizQuestion *question, RbQuizAnswer *answer);

/* How well an answer went, 0 to 5, for the schedule: the read decides, shell and side and the
 * time taken make it better or worse. */
int rb_quiz_quality(const RbQuizAnswer *answer);

/* Keeps a scored answer, as an action of the person who works. */
bool rb_quiz_keep(RbLibrary *library, const RbQuizAnswer *answer, GError **error);

/* How he does against one coverage. */
typedef struct {
    RbTermId coverage; /* 0: not tagged */
    const char *name;  /* borrowed from the names */
    int asked;
    int shells;       /* asked … */
    int shells_right; /* … and right */
    int firsts;
    int firsts_right;
    int reads_right; /* of `asked` */
    int median_ms;   /* thinking; -1 unknown */
} RbQuizLine;

/* Of one person, most asked first; the last line is of all, with coverage 0 and name NULL.
 * Returns: (transfer full): GPtrArray of RbQuizLine. */
GPtrArray *rb_quiz_report(RbLibrary *library, const RbSnapshot *snapshot,
                          RbPersonId person, GError **error);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbQuizQuestion, rb_quiz_question_free)
