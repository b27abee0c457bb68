/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/base/random.h"
#include "rb/read/order.h"
#include "rb/work/season.h"

/* The season in six files: season.c makes teams and games, season-game.c plays a game drive by
 * drive, season-picture.c draws what the defence presents, season-pass.c what the quarterback
 * does with it, season-throw.c what comes of that, season-playbook.c holds the concepts. */

typedef enum {
    SEASON_SLANT_FLAT,
    SEASON_STICK,
    SEASON_CURL_FLAT,
    SEASON_SMASH,
    SEASON_FLOOD,
    SEASON_DRIVE,
    SEASON_MESH,
    SEASON_FOUR_VERTICALS,
    SEASON_CONCEPTS,
} SeasonConcept;

typedef enum {
    SEASON_COVER_0,
    SEASON_COVER_1,
    SEASON_ROBBER,
    SEASON_COVER_2,
    SEASON_TWO_MAN,
    SEASON_COVER_3,
    SEASON_QUARTERS,
    SEASON_FIRE_ZONE,
    SEASON_DROP_EIGHT,
    SEASON_COVERAGES,
} SeasonCoverage;

/* What the team does with a concept. */
typedef struct {
    const char *token;
    RbPlay play;
    bool mirrored; /* else one side, the strong one where the formation has one */
    bool trips;    /* three receivers on one side */
    int steps;     /* of the drop, from the gun */
    /* how often it is called: normal downs, long ones, near the goal */
    double normal;
    double lengthy;
    double goal;
} SeasonCall;

extern const SeasonCall rb_season_calls[SEASON_CONCEPTS];

/* Returns: (transfer full): of RbConcept, in the order of SeasonConcept. */
GPtrArray *rb_season_playbook(void);

typedef struct {
    SeasonConcept concept;
    SeasonCoverage coverage;
    int read;
} SeasonPair;

typedef struct {
    RbSeason *season;   /* borrowed: being filled */
    RbSeasonGame *game; /* borrowed: the one being played */
    int game_index;
    RbRandom random;
    SeasonPair pairs[RB_SEASON_PLANTED]; /* eyes, covered */
    int wanted[RB_SEASON_PLANTED];       /* dropbacks still to come in this game */
    int dropbacks;                       /* so far in this game */
    /* how this team's season differs from what is usual: added to the chance of open */
    double luck[SEASON_CONCEPTS][SEASON_COVERAGES][RB_READS_MAX];
} SeasonMaker;

const char *rb_season_coverage_token(SeasonCoverage coverage);

/* Which concept is called and which coverage is met, by the situation and what is still wanted
 * of the planted pairings. */
void rb_season_choose(SeasonMaker *maker, const RbSituation *situation,
                      SeasonConcept *concept, SeasonCoverage *coverage);

/* A dropback was played and not wiped out. */
void rb_season_count(SeasonMaker *maker, SeasonConcept concept, SeasonCoverage coverage);

/* Sets formation and call of the snap and the chart, and the picture shown and played. */
void rb_season_present(SeasonMaker *maker, RbSeasonSnap *snap, SeasonConcept concept,
                       SeasonCoverage coverage);

/* What the quarterback does, what comes of it, and how it is tagged. */
void rb_season_pass(SeasonMaker *maker, RbSeasonSnap *snap, SeasonConcept concept,
                    SeasonCoverage coverage);

/* Plays the maker's game from the first snap to the last. */
void rb_season_play_game(SeasonMaker *maker);

RbTermId rb_season_term(RbTermKind kind, const char *token);
/* An id of this season: by what it is and up to two numbers. */
int64_t rb_season_id(const RbSeason *season, const char *kind, int a, int b);
