/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <jansson.h>
#include <stdbool.h>
#include <stdint.h>

#include "rb/base/cancel.h"
#include "rb/base/jobs.h"
#include "rb/field/camera.h"
#include "rb/field/field.h"
#include "rb/model/chart.h"
#include "rb/model/concept.h"
#include "rb/model/film.h"
#include "rb/model/snap.h"
#include "rb/read/order.h"

/* Film of invented snaps: 22 players run what the season's model says happened, and two
 * cameras film them in true perspective. Nothing here decides what happens; it only shows it.
 *
 * Offense's view: sides are the offense's left and right, receivers are counted from the
 * sideline in. */

/* Speed that no player of the film exceeds, yards a second. */
#define RB_DEMO_SPEED_MAX 9.4
#define RB_DEMO_PLAYERS 22 /* 0 to 10 offense (0 the quarterback), 11 to 21 defence */
#define RB_DEMO_ROUTES_MAX 5
#define RB_DEMO_WIDTH 960
#define RB_DEMO_HEIGHT 540
#define RB_DEMO_RATE_NUM 60000 /* frames a second: 60000/1001 */
#define RB_DEMO_RATE_DEN 1001

/* What moves before the snap. */
typedef enum {
    RB_DEMO_MOTION_NONE,
    RB_DEMO_MOTION_JET,    /* fast, across in front of the quarterback */
    RB_DEMO_MOTION_SHORT,  /* a few steps toward the ball */
    RB_DEMO_MOTION_ORBIT,  /* behind the quarterback */
    RB_DEMO_MOTION_ACROSS, /* to the other side, set there before the snap */
} RbDemoMotion;

/* What one eligible man does after the snap. */
typedef struct {
    RbSide side;     /* where he lines up; a back's side is the one he goes to */
    RbRunner runner; /* RB_RUNNER_BACK: the back */
    RbRoute route;
    int depth_yd; /* of the break; 0: the route's usual depth */
    int read;     /* number in the call's order; 0: none */
    RbLook look;  /* open or covered is what the film shows; unknown: as it comes */
} RbDemoRoute;

/* One snap as the choreographer wants it. Fields at 0 are unknown and filled in sensibly. */
typedef struct {
    RbSnapId snap;
    int number;         /* of the snap in its game */
    bool attacks_right; /* the offense goes toward x = 100 */
    int yards_to_goal;  /* 1 to 99; 0: 60 */
    int distance;       /* to gain; 0: 10 */
    RbHash hash;

    /* before the snap */
    int receivers_left; /* tight ends included; 0 and 0: two by two */
    int receivers_right;
    RbSide tight_end; /* the innermost receiver of that side is beside the tackle */
    RbWidth width;
    RbBackfield backfield;
    RbDemoMotion motion;
    RbSide motion_side; /* the outermost but one receiver of this side goes */
    bool shift;         /* the tight end, or the back, changes sides before the set */
    bool false_start;   /* a lineman jumps; all get set again */

    /* the picture */
    RbShell shell;
    RbTechnique technique_left; /* of the corner, shown */
    RbTechnique technique_right;
    int cushion_left_tenths; /* 0 or below: by the technique */
    int cushion_right_tenths;
    RbLeverage leverage_left;
    RbLeverage leverage_right;
    const char *coverage; /* token of the vocabulary, borrowed, nullable */
    RbFamily family;
    int deep; /* deep defenders; -1 unknown */
    RbRotation rotation;
    int rushers;         /* 0: four */
    RbSide unblocked;    /* side of a rusher nobody blocks; unknown: none */
    RbPressure pressure; /* when it came: */
    int pressure_ms;     /* after the snap */

    /* the play */
    RbPlay play;
    RbDemoRoute routes[RB_DEMO_ROUTES_MAX];
    int n_routes;
    int target;     /* index in `routes`; -1: nobody */
    int release_ms; /* after the snap; when the ball is not thrown, when the sack or the run
                        comes; 0: by the drop */
    int drop_steps; /* 1, 3, 5, 7; 0: by the release */
    RbBall ball;
    RbThrow throw_;
    RbCatch catch_;
    RbResult result;
    int gain; /* whole yards */
    RbEnding ending;
} RbDemoPlay;

/* Nothing known: a two-by-two formation from the gun against nothing in particular. */
RbDemoPlay rb_demo_play_default(void);

/* Sets what a snap and its chart say; looks and ball are by slot (rb/read/order.h). The
 * context and its terms must outlive the play. Motion, shift, false start and direction are
 * left alone. */
void rb_demo_play_set_chart(RbDemoPlay *play, const RbReadContext *context,
                            const RbChart *chart);

typedef struct {
    RbFieldCode code;
    uint64_t seed;
    const RbDemoPlay *plays; /* borrowed, in the order in which they are filmed */
    int n_plays;
    const char *title; /* borrowed: file names start with it: "Week 1 wide.mp4" */
} RbDemoFilmSpec;

typedef struct {
    bool per_snap_files; /* also one file a snap and angle, in the sub-folder "snaps" */
    int threads;         /* 0: as many as there are processors, at most four */
} RbDemoFilmOptions;

/* What is so at one frame. */
typedef struct {
    RbMarkKind kind;
    int64_t frame;     /* counted in the game's film */
    double matrix[12]; /* field (yards) to picture (pixels), as RbProjection */
    RbPoint2 players[RB_DEMO_PLAYERS];
    RbPoint3 ball;
} RbDemoMoment;

typedef struct {
    RbSnapId snap;
    int number;
    RbAngle angle;
    char *film;    /* owned: file name in the folder */
    int64_t first; /* frames of the clip in it, both ends included */
    int64_t last;
    char *own_film; /* owned, nullable: the snap's own file, "snaps/012 wide.mp4"; its
                            frame 0 is `first` */
    GArray
        *moments; /* owned, of RbDemoMoment, in order of time; a snap without a throw has
                            no release and no arrival */
} RbDemoClip;

typedef struct {
    RbFieldCode code;
    GPtrArray *clips; /* owned, of RbDemoClip: by snap, wide before tight */
} RbDemoFilmTruth;

void rb_demo_film_truth_free(RbDemoFilmTruth *truth); /* NULL is allowed */

/* Adds "field" and one object a snap to root's array "snaps" (made when missing); an object
 * that has the same "snap" id there already is completed with "film". */
void rb_demo_film_truth_add(const RbDemoFilmTruth *truth, json_t *root);

/* Makes the films in `folder`, which must be there: "<title> wide.mp4", "<title> tight.mp4".
 * Blocking: for worker threads. The same spec gives the same pictures. Failed or cancelled,
 * whatever it made is removed. cancel, progress: (nullable). truth: (out) (transfer full). */
bool rb_demo_film_make(const RbDemoFilmSpec *spec, const char *folder,
                       const RbDemoFilmOptions *options, RbCancel *cancel,
                       RbProgress *progress, RbDemoFilmTruth **truth, GError **error);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbDemoFilmTruth, rb_demo_film_truth_free)
