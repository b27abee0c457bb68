/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>
#include <stdint.h>

#include "rb/model/ids.h"

/* Where a person was, so that the next start goes on from there: kept in a small file of the
 * user's, outside every library, which may be on a stick or shared. One section a library. */
typedef struct {
    char *library; /* owned: path */
    char *person;  /* owned, nullable: who worked; NULL: the user's own name */
    bool blind;    /* a blind chart */
    char *desk;    /* owned, nullable */
    RbGameId game;
    RbSnapId snap;
    int64_t frame; /* -1 none */
} RbBookmark;

RbBookmark *rb_bookmark_new(const char *library);
void rb_bookmark_free(RbBookmark *bookmark); /* NULL is allowed */

/* The bookmark of a library, or NULL for the one used last. NULL when there is none; a file that
 * cannot be read is as good as none. Returns: (transfer full) (nullable). */
RbBookmark *rb_bookmark_load(const char *file, const char *library);

/* Writes it, whole or not at all; the folder is made. The other libraries' stay, up to
 * RB_BOOKMARKS_MAX of them. */
#define RB_BOOKMARKS_MAX 50
bool rb_bookmark_save(const char *file, const RbBookmark *bookmark, GError **error);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbBookmark, rb_bookmark_free)
