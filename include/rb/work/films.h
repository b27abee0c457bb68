/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>

#include "rb/base/cancel.h"
#include "rb/base/jobs.h"
#include "rb/film/facts.h"
#include "rb/film/picture.h"
#include "rb/model/film.h"
#include "rb/work/library.h"

/* Films of a library. A film file is read, never copied and never changed. */

/* What a look at a file tells: made without a library, on any thread that may wait. */
typedef struct {
    char *path;        /* owned: absolute */
    char *title;       /* owned: the file's name */
    char *fingerprint; /* owned */
    RbFilmId film;     /* from the fingerprint */
    int64_t bytes;
    int width; /* as shown, in square pixels */
    int height;
    RbRational rate;    /* nominal frames a second; 0/1 unknown */
    int64_t frames;     /* in display order */
    int64_t length_us;  /* first to last frame shown */
    char *codec;        /* owned: for people */
    GPtrArray *remarks; /* owned, of char *: oddities, one sentence each */
    RbFilmFacts *facts; /* owned: all that the film itself says */
} RbFilmLook;

/* Fingerprint, probe and index through the helper. Returns: (transfer full) (nullable): with a
 * sentence in `error` for what is not a film, and RB_BASE_ERROR_CANCELLED. */
RbFilmLook *rb_film_look(const char *path, RbCancel *cancel, RbProgress *progress,
                         GError **error);
void rb_film_look_free(RbFilmLook *look);

/* The film itself in one sentence without its name: "h264 in mov,mp4, 1920x1080 at 59.94 frames
 * a second, …". Returns: (transfer full). */
char *rb_film_look_text(const RbFilmLook *look);

/* The same and more as lines for a fault report: no name, folder, picture or fingerprint of the
 * film, and what it was read with. path: as it was given. look, failure: (nullable). Runs the helper.
 * Returns: (transfer full). */
char *rb_film_report(const char *path, const RbFilmLook *look, const GError *failure);

/* Adds what was looked at; one journal action. A film that is there already only gets its new
 * place. added: (out) (nullable): false when it was there. */
bool rb_library_add_film(RbLibrary *library, const RbFilmLook *look, RbAngle angle,
                         RbGameId game, bool *added, GError **error);

typedef enum {
    RB_FILM_FOUND,
    RB_FILM_MOVED,
    RB_FILM_MISSING,
    RB_FILM_CHANGED
} RbFilmStand;
extern const RbWords rb_film_stand_words;

/* Where films of a library lie that it keeps itself: of "season.readbreak" in "season film".
 * Returns: (transfer full). */
char *rb_film_folder_of(const char *library);

/* Where a film stands: at a known path, or, when it is not there, by fingerprint among the
 * files of `folders` (nullable, NULL at its end) and of the library's own folder; a new place is
 * remembered. path: (out) (transfer full) (nullable). cancel: (nullable). */
bool rb_library_find_film(RbLibrary *library, RbFilmId film, const char *const *folders,
                          RbFilmStand *stand, char **path, RbCancel *cancel,
                          GError **error);

/* One frame by number in display order, upright. Waits for the helper: never on the window's
 * main thread. Returns: (transfer full) (nullable): with `error` set. */
RbPicture *rb_film_still(const char *path, int64_t frame, RbPixels pixels,
                         RbCancel *cancel, GError **error);
/* Writes a picture (BGRA) as PNG. Refuses a path where anything lies. */
bool rb_picture_write_png(const RbPicture *picture, const char *path, GError **error);
/* MD5 of an I420 picture's planes without padding: what `ffmpeg -f framemd5 -pix_fmt yuv420p`
 * prints for the frame. Returns: (transfer full). */
char *rb_picture_md5(const RbPicture *picture);

typedef enum {
    RB_DUMP_FORWARD,
    RB_DUMP_BACKWARD,
    RB_DUMP_SHUFFLE,
} RbDumpOrder;

typedef struct {
    RbDumpOrder order;
    uint64_t seed; /* of the shuffle */
    int width;     /* of every picture; 0: as each frame is coded */
    int height;
} RbDumpOptions;

/* For judging the reader from outside: every frame, asked one by one in this order, as 8-bit
 * grey pictures as coded (not turned upright), one after the other without padding, in the file
 * `pictures`; and a line each in the file `list`: ordinal, pts, time base, width and height of
 * the picture, doubtful (0 or 1), width and height of the coded frame, tab between, names of the
 * columns in the first line. A frame that cannot be had is a black picture, listed as doubtful,
 * with coded size 0. Both files are replaced when they are complete. */
bool rb_film_dump(const char *path, const RbDumpOptions *options, const char *pictures,
                  const char *list, RbCancel *cancel, RbProgress *progress,
                  GError **error);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbFilmLook, rb_film_look_free)
