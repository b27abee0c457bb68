/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>

#include "rail-private.h"

/* In the order in which a person sees them on film; but the read states come when ball, rush and
 * faults are known, because only then is it clear which of them the verdict hangs on. */
static const RbStep steps[] = {
    { "situation",
      N_("Situation"),
      RB_ASK_FACTS,
      { "down", "distance", "spot" },
      .fact = true },
    { "hash", N_("Hash"), RB_ASK_FACTS, { "hash" }, .fact = true },
    { "play", N_("Play"), RB_ASK_FACTS, { "play" }, .fact = true },
    { "personnel", N_("Personnel"), RB_ASK_FACTS, { "personnel" }, .fact = true },
    { "formation", N_("Formation"), RB_ASK_FACTS, { "formation" }, .fact = true },
    { "strong", N_("Strong side"), RB_ASK_FACTS, { "strong" }, .fact = true },
    { "width", N_("Width"), RB_ASK_FACTS, { "width" }, .fact = true },
    { "motion", N_("Motion"), RB_ASK_FACTS, { "motion" }, .fact = true },
    { "quarterback", N_("Quarterback"), RB_ASK_FACTS, { "quarterback" }, .fact = true },

    { "call", N_("Concept"), RB_ASK_PICTURE, { "concept", "call", "concept-side" } },
    { "shell", N_("Shell"), RB_ASK_PICTURE, { "shell" } },
    { "rotation-shown", N_("Rotation hinted"), RB_ASK_PICTURE, { "rotation-shown" } },
    { "corners",
      N_("Corners"),
      RB_ASK_PICTURE,
      { "left-technique", "right-technique" },
      true },
    { "left-cushion", N_("Left cushion"), RB_ASK_PICTURE, { "left-cushion" } },
    { "right-cushion", N_("Right cushion"), RB_ASK_PICTURE, { "right-cushion" } },
    { "left-split", N_("Left split"), RB_ASK_PICTURE, { "left-split" } },
    { "right-split", N_("Right split"), RB_ASK_PICTURE, { "right-split" } },
    { "leverage",
      N_("Leverage"),
      RB_ASK_PICTURE,
      { "left-leverage", "right-leverage" },
      true },
    { "side-worked", N_("Side worked"), RB_ASK_PICTURE, { "side-worked" } },
    { "adjusted", N_("Adjusted"), RB_ASK_PICTURE, { "adjusted", "adjustment" } },
    { "coverage", N_("Coverage"), RB_ASK_PICTURE, { "coverage" } },
    { "rotation-played", N_("Rotation"), RB_ASK_PICTURE, { "rotation-played" } },
    { "corners-played",
      N_("Corners, played"),
      RB_ASK_PICTURE,
      { "left-technique-played", "right-technique-played" },
      true },
    { "safeties",
      N_("Half-field safeties"),
      RB_ASK_PICTURE,
      { "safety-left", "safety-right" },
      true },
    { "rushers", N_("Rushers"), RB_ASK_PICTURE, { "rushers" } },
    { "unblocked",
      N_("Unblocked rusher"),
      RB_ASK_PICTURE,
      { "unblocked", "unblocked-side" } },

    { "ball", N_("Ball"), RB_ASK_DECISION, { "ball" } },
    { "throw", N_("Throw"), RB_ASK_DECISION, { "throw" } },
    { "catch", N_("Catch"), RB_ASK_DECISION, { "catch" } },
    { "pressure", N_("Pressure"), RB_ASK_DECISION, { "pressure" } },
    { "pressure-time", N_("Pressure at"), RB_ASK_DECISION, { "pressure-time" } },
    { "usual",
      N_("Hit, or outside his control"),
      RB_ASK_DECISION,
      { "contact", "fault", "fault-read" } },
    { "movement", N_("Movement"), RB_ASK_DECISION, { "movement" } },
    { "read-1", N_("Read 1"), RB_ASK_DECISION, { "read-1" } },
    { "read-2", N_("Read 2"), RB_ASK_DECISION, { "read-2" } },
    { "read-3", N_("Read 3"), RB_ASK_DECISION, { "read-3" } },
    { "read-4", N_("Read 4"), RB_ASK_DECISION, { "read-4" } },
    { "read-5", N_("Read 5"), RB_ASK_DECISION, { "read-5" } },
    { "read-6", N_("Read 6"), RB_ASK_DECISION, { "read-6" } },
    { "read-7", N_("Read 7"), RB_ASK_DECISION, { "read-7" } },
    { "read-8", N_("Read 8"), RB_ASK_DECISION, { "read-8" } },
    { "release", N_("Release"), RB_ASK_DECISION, { "release" } },
    { "result", N_("Result"), RB_ASK_DECISION, { "result" }, .fact = true },
    { "gain", N_("Gain"), RB_ASK_DECISION, { "gain" }, .fact = true },
};

const RbStep *rb_rail_steps(int *n)
{
    *n = G_N_ELEMENTS(steps);
    return steps;
}
