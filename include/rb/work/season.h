/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdint.h>

#include "rb/model/chart.h"
#include "rb/model/concept.h"
#include "rb/model/game.h"
#include "rb/model/snap.h"
#include "rb/model/vocabulary.h"

/* An invented team's season, made from a seed: six games, about 35 dropbacks each, charted as a
 * staff would. All in memory: no database, no film. The same seed gives the same season on every
 * machine; ids are hashed from seed and place.
 *
 * What happens on a dropback is drawn from a model of what is open, what the quarterback does and
 * how well he throws. Two pairings are made to fail in one place each; the rest is ordinary noise.
 * The read engine has no part in that: it judges the tags afterwards like any other. */

#define RB_SEASON_GAMES 6
#define RB_SEASON_PLANTED 2
#define RB_SEASON_ROUTES_MAX 5

/* A pairing that was made to fail, and where. */
typedef struct {
    RbConceptId concept;
    RbTermId coverage;
    int read; /* number in the concept: the slot of a single or mirrored call */
    RbStage stage;
} RbPlanted;

/* What one eligible man does after the snap. */
typedef struct {
    RbSide side;     /* where he lines up; a back's side is the one he goes to */
    RbRunner runner; /* RB_RUNNER_BACK: the back */
    RbRoute route;   /* as run: after a rule converted it */
    int depth_yd;    /* of the break; 0: the route's usual depth */
    int read;        /* number of the read; 0: none */
    RbLook look;     /* what is so, even where the chart says that it cannot be told */
} RbSeasonRoute;

/* What is true of a dropback and partly not in its tags: for the film and for truth.json.
 * Times are in ms after the snap; -1: it did not happen. */
typedef struct {
    int planted;        /* 1 or 2: of the planted pairing of that number; 0: of none */
    bool struck;        /* the planted trouble was drawn on this snap */
    int right_read;     /* read he should have thrown; 0: nothing was open */
    int receivers_left; /* tight ends included, after motion */
    int receivers_right;
    RbSide tight_end; /* the innermost of that side is beside the tackle; unknown: none */
    RbBackfield backfield;
    int drop_steps; /* 1, 3, 5, 7 */
    int top_ms;     /* top of the drop */
    int release_ms; /* the ball leaves; of a sack, scramble or throwaway: when that began */
    int arrival_ms; /* the ball is caught or falls; -1: not thrown to anybody */
    int end_ms;
    RbSeasonRoute routes[RB_SEASON_ROUTES_MAX];
    int n_routes;
    int target; /* index in `routes`; -1: nobody */
} RbSeasonTruth;

typedef struct {
    RbSnap *snap;        /* owned */
    RbChart *chart;      /* owned; NULL unless the snap is a pass play of the ladder */
    RbSeasonTruth truth; /* set where there is a chart */
} RbSeasonSnap;

typedef struct {
    RbGame *game; /* owned; ours_only: tries, punts and field goals too, no kickoffs */
    GPtrArray *snaps; /* owned, of RbSeasonSnap, by number */
} RbSeasonGame;

typedef struct {
    uint64_t seed;
    RbPerson *charter; /* owned: who made the charts; lead of every game */
    GPtrArray *terms;  /* owned, of RbTerm: the default vocabulary */
    GPtrArray *teams; /* owned, of RbTeam: ours first, then the opponents in game order */
    GPtrArray *players;  /* owned, of RbPlayer: ours, jersey numbers only */
    GPtrArray *concepts; /* owned, of RbConcept: the playbook */
    GPtrArray *games;    /* owned, of RbSeasonGame, in order */
    RbPlanted planted[RB_SEASON_PLANTED]; /* eyes at a second read; everything covered */
} RbSeason;

/* Returns: (transfer full). */
RbSeason *rb_season_new(uint64_t seed);
void rb_season_free(RbSeason *season); /* NULL is allowed */

/* Returns: (transfer none) (nullable). */
const RbConcept *rb_season_find_concept(const RbSeason *season, RbConceptId id);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbSeason, rb_season_free)
