/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

/* The colours a chart is drawn in. The light palette is the one of paper; a window fills its
 * own from its style, so that charts follow a dark or high-contrast theme. */
typedef struct {
    double red, green, blue; /* 0 to 1, sRGB */
} RbColour;

typedef struct {
    RbColour paper;  /* ground */
    RbColour panel;  /* table heads */
    RbColour ink;    /* text */
    RbColour muted;  /* second text */
    RbColour line;   /* hairlines */
    RbColour accent; /* what is chosen */
    RbColour above;  /* better than the team's own rate; success */
    RbColour even;   /* middle of the scale */
    RbColour below;  /* worse than the team's own rate; the break */
} RbPalette;

RbPalette rb_palette_light(void);
