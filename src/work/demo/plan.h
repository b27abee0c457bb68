/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/base/random.h"
#include "rb/work/demo-film.h"

#include "figure.h"

/* From what happened on a snap to where everybody is at each frame of its film.
 *
 * Offense's frame: x is yards downfield from the line of scrimmage, y yards to the offense's
 * right of the ball. Times are milliseconds after the snap unless they say otherwise. */

#define RB_DEMO_OFFENSE 11
#define RB_DEMO_FIRST_LINEMAN 1 /* left tackle to right tackle: 1 to 5 */
#define RB_DEMO_CENTRE 3
#define RB_DEMO_FIRST_ELIGIBLE 6 /* 6 to 10 */
#define RB_DEMO_FIRST_FRONT 11   /* four men of the front: 11 to 14 */
#define RB_DEMO_FIRST_BACKER 15  /* two linebackers and the nickel: 15 to 17 */
#define RB_DEMO_CORNER_LEFT 18
#define RB_DEMO_CORNER_RIGHT 19
#define RB_DEMO_SAFETY_LEFT 20
#define RB_DEMO_SAFETY_RIGHT 21
#define RB_DEMO_WAYPOINTS 8

typedef enum {
    RB_DEMO_TASK_PASS,
    RB_DEMO_TASK_PROTECT, /* against `other` */
    RB_DEMO_TASK_ROUTE,   /* along the path */
    RB_DEMO_TASK_RUSH,
    RB_DEMO_TASK_MAN, /* on `other` */
    RB_DEMO_TASK_ZONE,
    RB_DEMO_TASK_DEEP,
} RbDemoTask;

typedef struct {
    RbPoint2 points[RB_DEMO_WAYPOINTS];
    int n;
    bool settles; /* stops at the last point, else runs on */
    double speed; /* yards a second, at most */
    int delay_ms; /* before he starts */
} RbDemoPath;

typedef struct {
    RbPoint2 spot;   /* where he is set */
    RbPoint2 start;  /* where he is when the clip begins */
    RbPoint2 before; /* where he is set before his motion or shift */
    RbDemoTask task;
    int other;   /* -1: nobody */
    int route;   /* index in the play's routes; -1: none */
    RbSide side; /* eligible men: where they line up */
    RbRunner runner;
    RbPoint2 landmark; /* of zones */
    RbDemoPath path;
    int tight;         /* defenders: the man he covers closely in the end; -1: nobody */
    RbPoint2 tight_at; /* where that man will be when the ball leaves */
    bool tight_end;
} RbDemoMan;

typedef struct {
    RbDemoPlay play;
    RbFieldCode code;
    RbPoint2 ball; /* spot of the snap in the field frame */
    double left;   /* y of the sidelines in the offense's frame; below 0 */
    double right;
    double yards_to_goal;
    RbDemoMan men[RB_DEMO_PLAYERS];
    int mover; /* who goes in motion or shifts; -1: nobody */

    int first_ms;       /* the clip's first frame */
    int false_start_ms; /* 0: none */
    int set_ms;
    int motion_ms; /* when the motion begins */
    int top_ms;
    int release_ms; /* of the throw; -1: none */
    int arrival_ms; /* -1: none */
    int end_ms;     /* the whistle */
    int last_ms;

    RbPoint2 drop;      /* top of the drop */
    RbPoint2 launch;    /* where he throws from, or where the play catches up with him */
    RbPoint2 target;    /* where the ball goes: expected, as men may be a step off */
    RbPoint2 miss;      /* by how much the throw misses its man */
    int receiver;       /* whom it is for: a man; -1: nobody */
    int catcher;        /* who has it in the end; -1: it falls */
    int beaten;         /* the rusher who gets through; -1: nobody */
    int free_ms;        /* when he does */
    RbPoint2 spot_dead; /* where the play ends */
} RbDemoPlan;

/* Fills in what the play leaves open and settles everything that can be known before the men
 * move. The random numbers only vary what nobody asked for. */
void rb_demo_plan_init(RbDemoPlan *plan, RbFieldCode code, const RbDemoPlay *play,
                       RbRandom *random);

/* Steps of rb_demo_plan_init(). */
void rb_demo_plan_offense(RbDemoPlan *plan, RbRandom *random);
void rb_demo_plan_routes(RbDemoPlan *plan);
void rb_demo_plan_defense(RbDemoPlan *plan, RbRandom *random);
void rb_demo_plan_tasks(RbDemoPlan *plan, RbRandom *random);
void rb_demo_plan_throw(RbDemoPlan *plan, RbRandom *random);

/* A moving man. */
typedef struct {
    RbPoint2 at;
    RbPoint2 velocity;
    int waypoint;
} RbDemoRunner;

#define RB_DEMO_STEP_S (1001.0 / 60000.0)

/* Moves one frame toward `target`, slowing to stop there, at `speed` yards a second at most. */
void rb_demo_runner_go(RbDemoRunner *runner, RbPoint2 target, double speed);
/* Moves one frame with the wish to have this velocity. */
void rb_demo_runner_steer(RbDemoRunner *runner, RbPoint2 velocity);
/* Moves one frame so as to stay at `target`, which moves with `velocity` itself. */
void rb_demo_runner_keep(RbDemoRunner *runner, RbPoint2 target, RbPoint2 velocity,
                         double speed);
/* Moves one frame along a path. */
void rb_demo_runner_follow(RbDemoRunner *runner, const RbDemoPath *path);

/* What a camera can see of a snap, frame by frame. */
typedef struct {
    int frames;
    int snap;                   /* frame of the snap */
    RbDemoPose *poses;          /* owned: RB_DEMO_PLAYERS a frame, in the field frame */
    RbPoint3 *ball;             /* owned: one a frame */
    RbPoint3 *ball_axis;        /* owned */
    RbPoint2 *focus;            /* owned: where a cameraman looks */
    int marks[RB_MARK_END + 1]; /* frames by RbMarkKind; -1: did not happen */
    double line_x;              /* of scrimmage */
    double gain_x;              /* line to gain */
    bool attacks_right;
} RbDemoAction;

RbDemoAction *rb_demo_action_new(const RbDemoPlan *plan, RbRandom *random);
void rb_demo_action_free(RbDemoAction *action);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbDemoAction, rb_demo_action_free)

/* Moves all men, frame by frame: RB_DEMO_PLAYERS runners a frame, in the offense's frame.
 * Returns: (transfer full): frames * RB_DEMO_PLAYERS. */
RbDemoRunner *rb_demo_moves_new(const RbDemoPlan *plan, int frames, int snap);

/* Offense's frame to field frame. */
RbPoint2 rb_demo_plan_to_field(const RbDemoPlan *plan, RbPoint2 point);
/* The frame of a time, counted in the clip. */
int rb_demo_plan_frame(const RbDemoPlan *plan, int ms);

/* Steps of rb_demo_action_new(): how everybody holds himself, in the field frame, and where the
 * ball and the cameraman's eye are. moves: of rb_demo_moves_new(). */
void rb_demo_action_pose(RbDemoAction *action, const RbDemoPlan *plan,
                         const RbDemoRunner *moves);
void rb_demo_action_ball(RbDemoAction *action, const RbDemoPlan *plan, RbRandom *random);
void rb_demo_action_focus(RbDemoAction *action, const RbDemoPlan *plan);
/* Time of a frame of the clip, milliseconds after the snap. */
double rb_demo_action_ms(const RbDemoAction *action, int frame);
