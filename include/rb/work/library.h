/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>
#include <stdint.h>

#include "rb/model/chart.h"
#include "rb/model/film.h"
#include "rb/model/game.h"
#include "rb/model/snap.h"
#include "rb/work/names.h"

/* An open library file. Synchronous and confined to the thread that opened it: the window
 * opens it on a thread of its own and hands over the values that the calls below return,
 * which are the caller's own unless they say otherwise. */
typedef struct RbLibrary RbLibrary;

/* person: (nullable): the staff member who works; NULL takes the user's own name from the
 * system. Made known to the library with the first change. */

/* Makes a new file with the usual words, the starter playbook and no games. Refuses a path
 * where anything lies. Returns: (transfer full) (nullable): with `error` set. */
RbLibrary *rb_library_create(const char *path, const char *person, GError **error);
/* Opens an existing file; never writes to one that it refuses. Returns: (transfer full)
 * (nullable): with `error` set. */
RbLibrary *rb_library_open(const char *path, const char *person, GError **error);
/* To be changed; where it may not be, only to be read: what would change it says why not then. */
RbLibrary *rb_library_open_or_read(const char *path, const char *person, GError **error);
/* The same, and no change is possible: for commands that only read. */
RbLibrary *rb_library_open_to_read(const char *path, GError **error);
void rb_library_close(RbLibrary *library); /* NULL is allowed */

const char *rb_library_get_path(const RbLibrary *library);
RbPersonId rb_library_get_person(const RbLibrary *library);
const char *rb_library_get_person_name(const RbLibrary *library);

/* From now on another member of the staff works. */
void rb_library_work_as(RbLibrary *library, const char *person);
/* A blind chart: sheets show nothing of other people's charts, and a person's first tag of a snap
 * starts an empty chart instead of a copy of the one that counts. */
void rb_library_set_blind(RbLibrary *library, bool blind);
bool rb_library_is_blind(const RbLibrary *library);

/* True once after somebody (this object, another window, the command line) has changed the
 * library since the last call. Cheap: SQLite's data_version and a counter of our own changes. */
bool rb_library_has_changed(RbLibrary *library);

/* Vocabulary, playbook, games, players; cached until something changes. Returns: (transfer
 * full): a reference (nullable): with `error` set. */
RbNames *rb_library_load_names(RbLibrary *library, GError **error);

/* Each list is (transfer full) (nullable): with `error` set; a missing object is an error of
 * RB_WORK_ERROR_NOT_FOUND. */
GPtrArray *rb_library_load_snaps(RbLibrary *library, RbGameId game,
                                 GError **error); /* of RbSnap, in order */
RbSnap *rb_library_load_snap(RbLibrary *library, RbSnapId snap, GError **error);
/* By game and number: what "--game 3 --snap 34" means. */
RbSnap *rb_library_load_snap_numbered(RbLibrary *library, RbGameId game, int number,
                                      GError **error);
GPtrArray *rb_library_load_charts(RbLibrary *library, RbSnapId snap,
                                  GError **error); /* of RbChart: one an author */
GPtrArray *rb_library_load_clips(RbLibrary *library, RbSnapId snap,
                                 GError **error); /* of RbClip */
GPtrArray *rb_library_load_game_clips(RbLibrary *library, RbGameId game,
                                      GError **error); /* of RbClip, by snap */
/* Of some snaps (RbSnapId) those with a clip on a film. Returns: (transfer full) (nullable): a set
 * of ids (int64_t *). */
GHashTable *rb_library_find_filmed(RbLibrary *library, const GArray *snaps,
                                   GError **error);
GPtrArray *rb_library_load_films(RbLibrary *library, GError **error); /* of RbFilm */
/* Where a film lies on this computer. Returns: (transfer full) (nullable): NULL without error
 * when it is not known here. */
char *rb_library_film_path(RbLibrary *library, RbFilmId film, GError **error);

/* The chart that counts among those of one snap: the game's lead's, else the newest.
 * Returns: (transfer none) (nullable). */
const RbChart *rb_chart_that_counts(const GPtrArray *charts, RbPersonId lead);

/* One journal action. */
typedef struct {
    int64_t number;   /* of the action on the computer it was done on, 1 and up */
    int64_t stamp_us; /* Unix time */
    char *who;        /* owned */
    char *words;      /* owned: "coverage of snap 34 changed from Cover 3 to Quarters" */
    bool undone;
} RbHistoryLine;

void rb_history_line_free(RbHistoryLine *line);
/* Newest first. limit: 0 for all. Returns: (transfer full): of RbHistoryLine. */
GPtrArray *rb_library_load_history(RbLibrary *library, int limit, GError **error);

/* Undoes the person's last action that still stands (or redoes the last undone). words:
 * (out) (transfer full): what was done, one sentence, with what had to be skipped because
 * somebody changed it since. False with RB_WORK_ERROR_NOT_FOUND when there is nothing. */
bool rb_library_undo(RbLibrary *library, char **words, GError **error);
bool rb_library_redo(RbLibrary *library, char **words, GError **error);

/* Makes a complete copy in the folder of backups beside the library. One a day is made by
 * itself, before the first change. path: (out) (nullable) (transfer full): where it is. */
bool rb_library_backup(RbLibrary *library, char **path, GError **error);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbLibrary, rb_library_close)
G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbHistoryLine, rb_history_line_free)
