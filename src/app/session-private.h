/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "errand-quiz.h"
#include "errands-cutups.h"
#include "session.h"

/* The session in pieces: session.c is the object and its choices, session-open.c opens,
 * session-read.c reads what is shown, session-figures.c the pairings, session-study.c
 * what to work on and comparisons, session-quarterback.c one man's decisions,
 * session-quiz.c the quiz, session-cutups.c the cut-ups, session-write.c changes.
 * All of it is the main thread's. */
struct _RbSession {
    GObject parent_instance;
    RbBridge *bridge; /* owned, nullable: closed */
    guint watch_id;

    RbSessionState state;
    bool making_demo;
    char *sentence;  /* owned, nullable */
    double progress; /* of opening; negative: not known */
    char *what;      /* owned, nullable */
    char *path;      /* owned, nullable */
    char *person;    /* owned, nullable */

    RbNames *names;     /* owned, nullable */
    GPtrArray *snaps;   /* owned, nullable */
    GHashTable *filmed; /* owned, nullable */
    RbSheet *sheet;     /* owned, nullable */
    RbGameId game;
    RbSnapId snap;
    RbSnapId snap_after_game; /* to be chosen when the game's snaps are there */

    RbSnapshot *snapshot; /* owned, nullable */
    bool snapshot_is_stale;
    bool figures_wanted;
    RbFilter *filter;       /* owned */
    RbTableAnswer *table;   /* owned, nullable */
    RbLadderAnswer *ladder; /* owned, nullable */
    RbConceptId concept;
    RbTermId coverage;

    RbStudy study;
    RbFilter *second;           /* owned, nullable: not compared yet */
    RbWorklistAnswer *worklist; /* owned, nullable */
    RbCompareAnswer *compared;  /* owned, nullable */

    bool quarterback_wanted;
    RbPlayerId quarterback_chosen;    /* 0: all */
    RbQuarterbackAnswer *quarterback; /* owned, nullable */

    RbQuizSet *quiz; /* owned, nullable */

    GPtrArray *drawings; /* owned, nullable: of RbFilmDrawing */
    RbClipId drawn_clip; /* whose; 0: nobody looks */

    RbMeasuresAnswer *measures; /* owned, nullable */
    RbSnapId measured_snap;     /* whose; 0: nobody looks */

    RbCutupsAnswer *cutups; /* owned, nullable */
    RbCutupId cutup;        /* chosen; 0: the first */
    bool cutups_wanted;
    RbMeasure measure;
    RbField axis;      /* what goes across */
    RbSnapId ahead_of; /* whose followers were looked for last */
    RbReviewAsk review_wanted;
    RbReviewAnswer *review;     /* owned, nullable */
    RbLogPlan *log_plan;        /* owned, nullable */
    char *log_trouble;          /* owned, nullable */
    RbExchangeAnswer *exchange; /* owned, nullable */
    RbSnapSearch *snap_search;  /* owned, nullable */
    RbFilmLog *film_log;        /* owned, nullable */
    bool film_log_wanted;
    bool blind;
    char *places;      /* owned, nullable: file of bookmarks */
    RbBookmark *place; /* owned, nullable */
    char *last;        /* owned, nullable: the library used last */
};

typedef enum {
    RB_SIGNAL_STATE,
    RB_SIGNAL_NAMES,
    RB_SIGNAL_SNAPS,
    RB_SIGNAL_SHEET,
    RB_SIGNAL_FIGURES,
    RB_SIGNAL_LADDER,
    RB_SIGNAL_QUARTERBACK,
    RB_SIGNAL_SAID,
    RB_SIGNAL_OPENED_SNAP,
    RB_SIGNAL_CUTUPS,
    RB_SIGNAL_RAIL_SEED,
    RB_SIGNAL_REVIEW,
    RB_SIGNAL_QUIZ,
    RB_SIGNAL_LOG,
    RB_SIGNAL_EXCHANGE,
    RB_SIGNAL_DRAWINGS,
    RB_SIGNAL_FILM_LOG,
    RB_SIGNAL_STUDY,
    RB_SIGNAL_SNAP_SEARCH,
    RB_SIGNAL_MEASURES,
    RB_SIGNAL_LAST_KNOWN,
    RB_SIGNALS,
} RbSessionSignal;

void rb_session_emit(RbSession *session, RbSessionSignal signal);
void rb_session_say(RbSession *session, const char *sentence);

/* True when the answer is there; else says why not, unless somebody cancelled. */
bool rb_session_went_well(RbSession *session, const void *result, const GError *error);

/* Hands work to the library's thread. data: (transfer full), freed when the session is closed
 * already. done gets the session as its owner. */
void rb_session_call(RbSession *session, RbChannel channel, RbBridgeRun run, void *data,
                     GDestroyNotify free_data, GDestroyNotify free_result,
                     RbBridgeDone done);

void rb_session_take_names(RbSession *session, RbNames *names);
void rb_session_ask_snaps(RbSession *session);
void rb_session_ask_sheet(RbSession *session);
void rb_session_ask_snapshot(RbSession *session);
void rb_session_ask_cutups(RbSession *session);
void rb_session_ask_quarterback(RbSession *session);
void rb_session_ask_study(RbSession *session);
void rb_session_ask_review(RbSession *session);
void rb_session_ask_film_log(RbSession *session);
void rb_session_ask_drawings(RbSession *session);
void rb_session_ask_measures(RbSession *session);
/* Prepares the films of the snaps after the one shown. */
void rb_session_look_ahead(RbSession *session);
/* Something in the library is different: what is shown is read again. */
void rb_session_refresh(RbSession *session);
/* Asks, now and then, whether another window or the command line changed the library. */
void rb_session_watch(RbSession *session);
/* Drops what is known of the library that was open. */
void rb_session_forget_library(RbSession *session);
