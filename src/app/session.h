/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>
#include <stdbool.h>

#include "rb/model/film-drawing.h"
#include "rb/model/film-measure.h"
#include "rb/work/logging.h"

#include "errand-quarterback.h"
#include "errand-quiz.h"
#include "errands-cutups.h"
#include "errands-study.h"
#include "errands.h"
#include "intake-errands.h"
#include "review.h"

/* What is open, chosen and known: the library behind its thread, the game, the snap, the
 * filter. No widgets; the desks watch it. Main thread.
 *
 * Signals:
 *   "state"     opening, progress, open, failed
 *   "names"     vocabulary, playbook, games
 *   "snaps"     the snaps of the game
 *   "sheet"     the chosen snap and all that is shown of it
 *   "figures"   the pairing table (new snapshot or filter)
 *   "ladder"    the chosen pairing
 *   "study"     what to work on, or the comparison
 *   "quarterback"  his decisions
 *   "said" (char *)  what was done, or why not, in one sentence
 *   "rail-seed" (RbRailSeed *)  what the rail starts from, asked by rail-errands.h
 *   "opened-snap"    a snap was opened from elsewhere: show its film
 *   "cutups"    the cut-ups and the clips of the chosen one
 *   "log"       the play log was read again
 *   "film-log"  what the game's films show, read while it is wanted
 *   "exchange"  how the laptops of the staff stand
 *   "snap-search"  which clips of the game have no snap mark
 *   "review"    a page of the drawer
 *   "quiz"      a round of questions
 *   "drawings"  what is drawn over the film shown
 *   "measures"  what is measured on the films of the snap */
typedef enum {
    RB_SESSION_EMPTY,
    RB_SESSION_OPENING, /* progress: rb_session_get_progress() */
    RB_SESSION_OPEN,
    RB_SESSION_FAILED, /* rb_session_get_sentence() says why */
} RbSessionState;

#define RB_TYPE_SESSION (rb_session_get_type())
G_DECLARE_FINAL_TYPE(RbSession, rb_session, RB, SESSION, GObject)

RbSession *rb_session_new(void);

void rb_session_open(RbSession *session, const char *path);
/* Makes a library without games there, and opens it. */
void rb_session_make_library(RbSession *session, const char *path);
/* The demo season in the user's data folder, made if it is not there. */
void rb_session_open_demo(RbSession *session);
/* Stops the opening or making that is under way. */
void rb_session_cancel(RbSession *session);
/* Closes the library and waits for its thread: for the end of the window. */
void rb_session_close(RbSession *session);

RbSessionState rb_session_get_state(RbSession *session);
const char *rb_session_get_sentence(RbSession *session); /* (nullable) */
bool rb_session_is_making_demo(RbSession *session);
double rb_session_get_progress(RbSession *session, const char **what);
const char *rb_session_get_path(RbSession *session);   /* (nullable) */
const char *rb_session_get_person(RbSession *session); /* (nullable) */

/* The file of bookmarks: a library opened from now on is opened where its person was. get: that
 * place, (transfer none) (nullable). */
void rb_session_set_places(RbSession *session, const char *file);
const RbBookmark *rb_session_get_place(RbSession *session);
/* Looks up the library used last, if it still lies there: signal "last-known". get: its path,
 * (transfer none), NULL when there is none or it is not known yet. */
void rb_session_ask_last(RbSession *session);
const char *rb_session_get_last(RbSession *session);

/* All (transfer none); NULL until known. */
RbNames *rb_session_get_names(RbSession *session);
GPtrArray *rb_session_get_snaps(RbSession *session); /* of RbSnap */
/* Of those, the ids (int64_t *) that have film. */
GHashTable *rb_session_get_filmed(RbSession *session);
const RbSheet *rb_session_get_sheet(RbSession *session);
RbSnapshot *rb_session_get_snapshot(RbSession *session);
const RbPairings *rb_session_get_pairings(RbSession *session);
const RbTableAnswer *rb_session_get_table(RbSession *session);
const RbLadderAnswer *rb_session_get_ladder(RbSession *session);

RbGameId rb_session_get_game(RbSession *session);
void rb_session_set_game(RbSession *session, RbGameId game);
RbSnapId rb_session_get_snap(RbSession *session);
void rb_session_set_snap(RbSession *session, RbSnapId snap);
/* A snap of any game, from a list elsewhere. */
void rb_session_open_snap(RbSession *session, RbSnapId snap);

/* Sets one tag of the chosen snap: on disk before the next "sheet". */
void rb_session_tag(RbSession *session, const char *field, const char *value);
void rb_session_undo(RbSession *session);
void rb_session_redo(RbSession *session);

/* Any other change of the library, on its thread, answered with an RbWordsAnswer. data: (transfer
 * full). */
void rb_session_change(RbSession *session, RbBridgeRun run, void *data,
                       GDestroyNotify free_data);
/* True while a change has not been answered. */
bool rb_session_is_changing(RbSession *session);
/* True until a sheet has come that knows of every change asked for: the one shown may be older. */
bool rb_session_is_behind(RbSession *session);

/* Figures are made while somebody looks at them. */
void rb_session_want_figures(RbSession *session);
const RbFilter *rb_session_get_filter(RbSession *session);
void rb_session_take_filter(RbSession *session, RbFilter *filter); /* (transfer full) */
/* What the table shows, and what goes across: RB_FIELD_COVERAGE, _FAMILY, _SHELL, _TECHNIQUE. */
void rb_session_set_measure(RbSession *session, RbMeasure measure);
void rb_session_set_axis(RbSession *session, RbField axis);
/* Chooses a pairing; 0 for all concepts or coverages. */
void rb_session_set_pairing(RbSession *session, RbConceptId concept, RbTermId coverage);
void rb_session_get_pairing(RbSession *session, RbConceptId *concept, RbTermId *coverage);

/* What the Pairings desk shows at the left. The two that are not the table are counted while they
 * are wanted, for the filter; answers come with "study". get: (transfer none) (nullable). */
typedef enum { RB_STUDY_TABLE, RB_STUDY_WORKLIST, RB_STUDY_COMPARE } RbStudy;
void rb_session_want_study(RbSession *session, RbStudy study);
const RbWorklistAnswer *rb_session_get_worklist(RbSession *session);
const RbCompareAnswer *rb_session_get_compared(RbSession *session);
/* The other side of a comparison: the filter itself until it is changed. take: (transfer full). */
const RbFilter *rb_session_get_second_filter(RbSession *session);
void rb_session_take_second_filter(RbSession *session, RbFilter *filter);
/* Keeps a filter by name; NULL: forgets the one of that name. */
void rb_session_save_filter(RbSession *session, const char *name, const RbFilter *filter);

/* The same for one quarterback's decisions; 0 for all of them together. */
void rb_session_want_quarterback(RbSession *session);
void rb_session_set_quarterback(RbSession *session, RbPlayerId quarterback);
/* (transfer none) (nullable): NULL until known. */
const RbQuarterbackAnswer *rb_session_get_quarterback(RbSession *session);

/* A round of the quiz about that quarterback's snaps; it stays until the next one is wanted. get:
 * (transfer none) (nullable). */
void rb_session_want_quiz(RbSession *session);
const RbQuizSet *rb_session_get_quiz(RbSession *session);
void rb_session_keep_quiz(RbSession *session, RbQuizAnswer *answer); /* (transfer full) */

/* What is drawn over one clip. get: of RbFilmDrawing, (nullable): not read yet. */
void rb_session_want_drawings(RbSession *session, RbClipId clip);
const GPtrArray *rb_session_get_drawings(RbSession *session);
void rb_session_save_drawing(RbSession *session,
                             RbFilmDrawing *drawing); /* (transfer full) */
/* What is measured on the films of one snap, and the views of the field that its clips have; 0: nobody
 * looks. get: (nullable): not read yet. */
typedef struct {
    RbSnapId snap;
    GPtrArray *measures; /* owned, of RbFilmMeasure */
    GPtrArray *views;    /* owned, of RbFieldView */
} RbMeasuresAnswer;
void rb_measures_answer_free(void *answer);
void rb_session_want_measures(RbSession *session, RbSnapId snap);
const RbMeasuresAnswer *rb_session_get_measures(RbSession *session);
void rb_session_remove_measure(RbSession *session, RbFilmMeasureId id);
/* What was measured, with the marks it stands on. */
void rb_session_save_measure(RbSession *session, RbFieldView *view,
                             RbFilmMeasure *measure); /* (transfer full) */
void rb_session_remove_drawing(RbSession *session, RbFilmDrawingId id);

/* Cut-ups are read while somebody looks at them. get: (transfer none) (nullable). */
void rb_session_want_cutups(RbSession *session);
void rb_session_choose_cutup(RbSession *session, RbCutupId id);
const RbCutupsAnswer *rb_session_get_cutups(RbSession *session);
/* The same for a new one, which is then the chosen one. */
void rb_session_make_cutup(RbSession *session, RbCutupAsk *ask);
void rb_session_change_cutup(RbSession *session, RbCutupAsk *ask); /* (transfer full) */

void rb_session_find_films(RbSession *session, const char *folder);

/* The page of the drawer that is looked at, read again when something changes; page NONE for
 * none. get: (transfer none) (nullable). */
void rb_session_want_review(RbSession *session, const RbReviewAsk *wanted);
const RbReviewAnswer *rb_session_get_review(RbSession *session);
/* One tag on many snaps, one action. snaps: (transfer full): of RbSnapId. */
void rb_session_tag_snaps(RbSession *session, GArray *snaps, const char *field,
                          const char *value);
/* Both charts get the value. */
void rb_session_settle(RbSession *session, const RbDifference *difference,
                       RbPersonId first, RbPersonId second, const char *value);
/* From now on this person works, blind or not. */
void rb_session_work_as(RbSession *session, const char *person, bool blind);

/* A play log for the chosen game: read without a change, then done. get: (transfer none)
 * (nullable); trouble: why it cannot be read. */
void rb_session_plan_log(RbSession *session, const RbLogAsk *ask);
void rb_session_apply_log(RbSession *session, const RbLogAsk *ask);
const RbLogPlan *rb_session_get_log_plan(RbSession *session);
const char *rb_session_get_log_trouble(RbSession *session);

/* What the films of the chosen game show, read again after every change while it is wanted. get:
 * (transfer none) (nullable): not known yet. */
void rb_session_want_film_log(RbSession *session, bool want);
const RbFilmLog *rb_session_get_film_log(RbSession *session);

/* The clips of the chosen game without a snap mark; to be looked at elsewhere. steal: (transfer
 * full) (nullable). */
void rb_session_want_snap_search(RbSession *session);
RbSnapSearch *rb_session_steal_snap_search(RbSession *session);
/* found: (transfer full): all of it is written. */
void rb_session_save_snap_marks(RbSession *session, RbSnapSearch *found);

/* The shared folder ("": none is chosen yet) and what is disputed. */
void rb_session_want_exchange(RbSession *session, const char *folder);
const RbExchangeAnswer *rb_session_get_exchange(RbSession *session); /* (nullable) */
