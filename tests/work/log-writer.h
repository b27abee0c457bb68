/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/base/random.h"
#include "rb/work/log.h"

/* Writes the plays of a game as a log of a random layout: order and names of columns, language,
 * encoding, delimiter, quotes, way of writing yard lines. */
enum { LAYOUT_COLUMNS = 24 };

typedef enum { STYLE_CODES, STYLE_WORDS, STYLE_HALF, STYLE_NUMBERS } SpotStyle;

typedef struct {
    int language;                      /* 0 to 3 */
    RbLogField fields[LAYOUT_COLUMNS]; /* nothing: noise, or a column without use */
    char *heads[LAYOUT_COLUMNS];       /* owned */
    int columns;
    int encoding;
    char delimiter;
    bool quote_all;
    bool title; /* a line above the heads */
    bool no_lf; /* CR LF ends */
    RbLogYards yards;
    bool half_column;
    int forms[RB_LOG_FIELDS]; /* way of writing a field */
    uint64_t noise;
} Layout;

Layout layout_random(RbRandom *random, bool both_teams);
void layout_clear(Layout *layout);
/* snaps: of RbSnap. us: team of our side. Returns: (transfer full). */
GBytes *layout_write(const Layout *layout, const GPtrArray *snaps, RbTeamId us);
/* "COLUMN=FIELD" for every column by number. Returns: (transfer full): NULL-ended. */
char **layout_maps(const Layout *layout);

#define LAYOUT_US "Rockvale"
#define LAYOUT_THEM "Tern Bay"
