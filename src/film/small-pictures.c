/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/film/small-pictures.h"

#include <glib/gstdio.h>
#include <string.h>
#include <sys/stat.h>

#include "rb/base/error.h"
#include "rb/film/error.h"
#include "rb/film/fingerprint.h"
#include "rb/film/frames.h"
#include "rb/film/writer.h"

#include "disk-cache.h"
#include "picture-private.h"

/* Part of every name: copies of another make are not used. */
#define FORMAT 5
/* What is decoded and not yet taken: little, since a buffer used for the first time costs as much
 * as a quarter of decoding into it, but a frame and its neighbours, which its fields need. */
#define DECODED_BYTES (INT64_C(64) << 20)
/* The measured quality at which a step still reads as the film does. */
#define QUALITY 26

/* Films that decode slower than a screen shows them: wider than this, or with key frames
 * farther apart. */
#define WIDE 1280
#define SPARSE_KEYS 120

static char *path_of(const char *fingerprint, int64_t first, int64_t last)
{
    g_autofree char *folder = rb_disk_cache_folder("small");
    g_autofree char *film = g_strndup(strchr(fingerprint, ':') + 1, 40);
    g_autofree char *name =
        g_strdup_printf("%s-%d.%d-%lld-%lld.mp4", film, rb_reel_get_index_version(),
                        FORMAT, (long long)first, (long long)last);
    return g_build_filename(folder, name, NULL);
}

int64_t rb_small_prune(int64_t budget, const char *keep)
{
    g_autofree char *folder = rb_disk_cache_folder("small");
    return rb_disk_cache_prune(folder, ".mp4", budget, keep);
}

/* ---- making one */

typedef struct {
    RbReel *reel;         /* owned */
    RbFilmWriter *writer; /* owned; NULL until the first picture tells its size */
    const char *path;
    int64_t first;
    int64_t last;
    int per;                              /* pictures a frame: 2 of interlaced film */
    int64_t written;                      /* pictures */
    RbPicture *ready[RB_REEL_WANTED_MAX]; /* owned: came out of turn */
} Make;

static void make_clear(Make *make)
{
    for (int i = 0; i < RB_REEL_WANTED_MAX; i++) {
        rb_picture_unref(make->ready[i]);
    }
    rb_film_writer_free(make->writer);
    rb_reel_close(make->reel);
}

static bool open_writer(Make *make, const RbPicture *picture, RbCancel *cancel,
                        GError **error)
{
    /* One tick a frame: the times are the film's, which are never asked of a copy. */
    const RbWriterOptions options = { .width = rb_picture_get_width(picture) / 2 * 2,
                                      .height = rb_picture_get_height(picture) / 2 * 2,
                                      .rate = { 30, 1 },
                                      .crf = QUALITY,
                                      .gop = 1,
                                      .quick = true,
                                      .threads = 1,
                                      .pixel_shape =
                                          rb_picture_get_pixel_shape(picture) };
    make->writer = rb_film_writer_open(make->path, &options, cancel, error);
    return make->writer != NULL;
}

static bool write_picture(Make *make, const RbPicture *picture, RbCancel *cancel,
                          GError **error)
{
    RbWriterFrame frame;
    if ((make->writer == NULL && !open_writer(make, picture, cancel, error)) ||
        !rb_film_writer_next(make->writer, &frame, error)) {
        return false;
    }
    for (int plane = 0; plane < 3; plane++) {
        size_t stride = 0;
        const uint8_t *from = rb_picture_get_plane(picture, plane, &stride);
        const int rows = rb_picture_get_height(picture) / 2 * 2 / (plane == 0 ? 1 : 2);
        const size_t width = MIN(stride, (size_t)frame.strides[plane]);
        for (int y = 0; y < rows; y++) {
            memcpy(frame.planes[plane] + (size_t)y * (size_t)frame.strides[plane],
                   from + (size_t)y * stride, width);
        }
    }
    return rb_film_writer_push(make->writer, error);
}

/* What is to be written next and has not come: the film is decoded while others are coded. */
static void want_missing(Make *make)
{
    const RbFrameOptions options = { .pixels = RB_PIXELS_I420,
                                     .max_width = RB_SMALL_WIDTH,
                                     .max_height = RB_SMALL_HEIGHT,
                                     .by_field = make->per == 2 };
    int64_t list[RB_REEL_WANTED_MAX];
    int n = 0;
    const int64_t from = make->first * make->per + make->written;
    const int64_t end = (make->last + 1) * make->per;
    for (int i = 0; i < RB_REEL_WANTED_MAX && from + i < end; i++) {
        if (make->ready[i] == NULL) {
            list[n++] = from + i;
        }
    }
    rb_reel_want(make->reel, list, n, &options);
}

/* Halved or smaller, a picture shows little of the borders that smoothing would have hidden. */
static bool may_be_rough(RbReel *reel)
{
    g_autoptr(RbFilmFacts) facts = rb_reel_dup_facts(reel);
    return facts != NULL && MAX(facts->width, facts->height) >= 2 * RB_SMALL_WIDTH;
}

/* Takes one, in whatever order they come. */
static bool take_one(Make *make, RbCancel *cancel, GError **error)
{
    RbReelEvent event;
    if (!rb_reel_wait(make->reel, &event, cancel, 60000, error)) {
        return false;
    }
    if (event.kind == RB_REEL_ERROR && (event.final || event.ordinal >= 0)) {
        g_propagate_error(error, g_steal_pointer(&event.error));
        return false;
    }
    const int64_t from = make->first * make->per + make->written;
    const int64_t place =
        event.picture != NULL ? rb_picture_position(event.picture, make->per) - from : -1;
    if (place >= 0 && place < RB_REEL_WANTED_MAX && make->ready[place] == NULL) {
        make->ready[place] = g_steal_pointer(&event.picture);
    }
    rb_reel_event_clear(&event);
    return true;
}

static bool copy_frames(Make *make, RbCancel *cancel, RbProgress *progress,
                        GError **error)
{
    const int64_t length = (make->last - make->first + 1) * make->per;
    want_missing(make);
    while (make->written < length) {
        if (make->ready[0] == NULL) {
            if (!take_one(make, cancel, error)) {
                return false;
            }
            continue;
        }
        g_autoptr(RbPicture) next = make->ready[0];
        memmove(make->ready, make->ready + 1,
                (RB_REEL_WANTED_MAX - 1) * sizeof make->ready[0]);
        make->ready[RB_REEL_WANTED_MAX - 1] = NULL;
        make->written++;
        want_missing(make);
        if (!write_picture(make, next, cancel, error)) {
            return false;
        }
        rb_progress_set(progress, (double)make->written / (double)length,
                        "making small pictures");
    }
    return rb_film_writer_finish(make->writer, error);
}

static bool check_size(const char *path, int64_t budget, GError **error)
{
    GStatBuf facts;
    if (g_stat(path, &facts) == 0 && facts.st_size <= budget) {
        rb_small_prune(budget, path);
        return true;
    }
    g_unlink(path);
    return rb_error_set(error, RB_FILM_ERROR, RB_FILM_ERROR_WRITE,
                        "Small pictures of this film do not fit into the disk space set "
                        "for them; set more, or do without.");
}

char *rb_small_make(const char *film, int64_t first, int64_t last, int64_t budget,
                    RbCancel *cancel, RbProgress *progress, GError **error)
{
    g_assert(first >= 0 && last >= first);
    g_autofree char *fingerprint = rb_film_fingerprint(film, NULL, cancel, error);
    if (fingerprint == NULL) {
        return NULL;
    }
    g_autofree char *path = path_of(fingerprint, first, last);
    if (g_file_test(path, G_FILE_TEST_IS_REGULAR)) {
        rb_disk_cache_touch(path);
        return g_steal_pointer(&path);
    }
    g_autofree char *folder = rb_disk_cache_folder("small");
    if (g_mkdir_with_parents(folder, 0700) != 0) {
        rb_error_set(error, RB_FILM_ERROR, RB_FILM_ERROR_WRITE,
                     "The folder %s cannot be made; small pictures are done without.",
                     folder);
        return NULL;
    }
    Make make = { .path = path, .first = first, .last = last };
    make.reel = rb_reel_open_wait(film, cancel, 0, NULL, error);
    make.per = make.reel != NULL && rb_reel_is_interlaced(make.reel) ? 2 : 1;
    if (make.reel != NULL) {
        rb_reel_keep(make.reel, &(RbReelKeep){ .first = 0,
                                               .last = -1,
                                               .budget = DECODED_BYTES,
                                               .rough = may_be_rough(make.reel) });
    }
    const bool made = make.reel != NULL && copy_frames(&make, cancel, progress, error) &&
                      check_size(path, budget, error);
    make_clear(&make);
    return made ? g_steal_pointer(&path) : NULL;
}

/* ---- whether to make one */

static bool has_sparse_keys(RbReel *reel, int64_t first, int64_t last)
{
    int64_t run = 0;
    for (int64_t i = first; i <= last && run <= SPARSE_KEYS; i++) {
        run = rb_reel_is_key_frame(reel, i) ? 0 : run + 1;
    }
    return run > SPARSE_KEYS;
}

bool rb_small_is_needed(RbReel *reel, int64_t first, int64_t last)
{
    g_autoptr(RbFilmFacts) facts = rb_reel_dup_facts(reel);
    return facts != NULL && (facts->width > WIDE || has_sparse_keys(reel, first, last));
}

char *rb_small_make_ahead(const char *film, int64_t first, int64_t last, int64_t budget,
                          RbCancel *cancel, GError **error)
{
    RbReel *reel = rb_reel_open_wait(film, cancel, 0, NULL, error);
    if (reel == NULL) {
        return NULL;
    }
    const int64_t end = MIN(last, rb_reel_get_frame_count(reel) - 1);
    const bool needed =
        first >= 0 && end >= first && rb_small_is_needed(reel, first, end);
    rb_reel_close(reel);
    return needed ? rb_small_make(film, first, end, budget, cancel, NULL, error)
                  : g_strdup("");
}
