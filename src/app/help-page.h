/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>

/* A page of the help as blocks that a window can show one below the other. Pages are well-formed
 * HTML of few elements: h1 to h3, p, ul, ol, li, table, tr, th, td, pre, and in a line a, em, strong,
 * code, kbd. Another element is an error, so that a page never shows less than it says. */

typedef enum {
    RB_HELP_HEADING,
    RB_HELP_TEXT,
    RB_HELP_ITEM,
    RB_HELP_CODE,
    RB_HELP_ROW, /* of a table; rows that follow one another are one table */
} RbHelpKind;

typedef struct {
    RbHelpKind kind;
    int level;        /* of a heading, 1 to 3 */
    int number;       /* of an item of a numbered list, from 1; 0: a plain one */
    bool head;        /* a row of column heads */
    char *id;         /* owned, nullable: what links name */
    GPtrArray *texts; /* owned: of owned char *, Pango markup: one, of a row one a cell */
} RbHelpBlock;

/* Returns: (transfer full) (nullable): of RbHelpBlock; NULL with `error`. */
GPtrArray *rb_help_page_parse(const char *text, gssize size, GError **error);
/* The place of the heading with this id; -1: none. */
int rb_help_page_find(const GPtrArray *blocks, const char *id);
