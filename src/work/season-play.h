/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "season-private.h"

/* One dropback while it is drawn: season-pass.c decides, season-throw.c ends it. */

enum { SEASON_NO_PRESSURE = 60000 }; /* ms: later than anything */

typedef struct {
    SeasonMaker *maker;
    RbRandom *random;
    RbSnap *snap;
    RbChart *chart;
    RbSeasonTruth *truth;
    SeasonConcept concept;
    SeasonCoverage coverage;
    RbOrder order;
    RbLook looks[RB_READS_MAX]; /* what is so, by slot */
    int pressure_ms;
} SeasonPlay;

bool rb_season_chance(SeasonPlay *play, double probability);
/* Normal, in whole units. */
int rb_season_around(SeasonPlay *play, double mean, double sd);
/* Functions, not GLib's macros: those would draw an argument twice. */
int rb_season_at_least(int low, int value);
int rb_season_at_most(int high, int value);

bool rb_season_is_open(const SeasonPlay *play, const RbRung *rung);

/* The four ways in which a dropback ends; each sets result, gain and the tags of the ball. */
void rb_season_throw(SeasonPlay *play, const RbRung *rung, int when_ms);
void rb_season_throw_away(SeasonPlay *play, int when_ms);
void rb_season_scramble(SeasonPlay *play, int when_ms);
/* Pressure comes before it, if none has come yet. */
void rb_season_sack(SeasonPlay *play, int when_ms);
