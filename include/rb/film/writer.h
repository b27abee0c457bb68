/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>
#include <stdint.h>

#include "rb/base/cancel.h"
#include "rb/base/rational.h"

/* Writes raw frames to an H.264 film (MP4). Encoding runs in a helper process of its own, so
 * several writers can work at once. Blocking calls: for worker threads. A writer is used by
 * one thread at a time.
 *
 *     g_autoptr(RbFilmWriter) writer = rb_film_writer_open(path, &options, cancel, &error);
 *     while (writer != NULL && more) {
 *         RbWriterFrame frame;
 *         if (!rb_film_writer_next(writer, &frame, &error)) break;
 *         …fill frame.planes…
 *         if (!rb_film_writer_push(writer, &error)) break;
 *     }
 *     ok = rb_film_writer_finish(writer, &error);
 */
typedef struct RbFilmWriter RbFilmWriter;

typedef struct {
    int width;       /* even, 16 to 8192 */
    int height;      /* even, 16 to 8192 */
    RbRational rate; /* frames a second, exact: 60000/1001 */
    int crf;         /* quality 0 (lossless) to 51; 0 stands for 23 unless `lossless` */
    bool lossless;
    int gop;       /* most frames between key frames; 0: 60. 1: every frame a key frame */
    int b_frames;  /* most B-frames in a row; 0: none; -1: the encoder's own choice */
    bool open_gop; /* key frames whose leading pictures need the group before */
    bool faststart;         /* index at the front of the file */
    bool quick;             /* coded and decoded with the least work: larger files */
    int threads;            /* of the encoder; 0: as many as there are processors */
    RbRational pixel_shape; /* 0/0 or 1/1: square */
} RbWriterOptions;

typedef struct {
    uint8_t *planes[3]; /* Y, U, V: 8-bit 4:2:0, BT.709, limited range */
    int strides[3];     /* bytes a row */
    int64_t ordinal;    /* number of this frame, from 0 */
} RbWriterFrame;

/* Writes to a temporary name beside `path`; `path` itself appears, or is replaced, only when
 * rb_film_writer_finish() succeeds. cancel: (nullable): polled by every call.
 * Returns: (transfer full). */
RbFilmWriter *rb_film_writer_open(const char *path, const RbWriterOptions *options,
                                  RbCancel *cancel, GError **error);

/* Memory of the next frame, to be filled; waits until there is room. Contents are undefined. */
bool rb_film_writer_next(RbFilmWriter *writer, RbWriterFrame *frame, GError **error);
/* Hands over the frame of the last rb_film_writer_next(). */
bool rb_film_writer_push(RbFilmWriter *writer, GError **error);

/* The frames from the next one on are also written, without being encoded again, to a film of
 * their own at `path`, until the next call or the end; NULL: to none. The film gets a key frame
 * there. Such a part appears under its name when rb_film_writer_finish() succeeds. */
bool rb_film_writer_part(RbFilmWriter *writer, const char *path, GError **error);

/* Encodes what is left, syncs and renames. Call once; then only free. */
bool rb_film_writer_finish(RbFilmWriter *writer, GError **error);
/* Without a successful finish nothing is left on the disk. NULL is allowed. */
void rb_film_writer_free(RbFilmWriter *writer);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbFilmWriter, rb_film_writer_free)
