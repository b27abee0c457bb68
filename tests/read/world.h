/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/base/random.h"

#include "naive.h"

/* A random playbook, picture and chart, with small times so that every value can be tried. */
typedef struct {
    GPtrArray *terms;
    RbConcept *first;
    RbConcept *second; /* nullable */
    RbSnap *snap;
    RbChart *chart;
    RbFootwork footwork;
    RbReadContext context;
    RbReadSettings settings;
    bool success;
} World;

/* Everything known. */
void world_make(World *world, RbRandom *random);
void world_clear(World *world);
/* Makes one random tag unknown; some are half known (came, but not when). */
void world_forget(World *world, RbRandom *random);
/* What a completion would look like: independent copies of snap and chart. */
void world_copy(const World *world, World *copy);
void world_copy_clear(World *copy);
