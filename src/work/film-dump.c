/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <errno.h>
#include <glib/gi18n-lib.h>
#include <glib/gstdio.h>
#include <inttypes.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "rb/base/error.h"
#include "rb/base/random.h"
#include "rb/film/error.h"
#include "rb/film/frames.h"
#include "rb/work/error.h"
#include "rb/work/films.h"

/* A file that gets its name when it is whole. */
typedef struct {
    const char *path; /* borrowed */
    char *temporary;  /* owned; NULL: nothing to take away */
    FILE *file;       /* owned */
} Target;

typedef struct {
    RbReel *reel; /* owned */
    const RbDumpOptions *options;
    Target pictures;
    Target list;
} Dump;

static bool write_error(const Target *target, GError **error)
{
    return rb_error_errno(error, RB_WORK_ERROR, RB_WORK_ERROR_FAILED, errno,
                          "%s cannot be written", target->path);
}

/* Never the film itself, by whatever name, and nothing that is no file. */
static bool may_replace(const char *path, const char *film, GError **error)
{
    struct stat target;
    struct stat source;
    if (g_stat(path, &target) != 0) {
        return true;
    }
    if (!S_ISREG(target.st_mode)) {
        return rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_EXISTS,
                            _("%s is not a file that can be written; give another name."),
                            path);
    }
    if (g_stat(film, &source) == 0 && source.st_dev == target.st_dev &&
        source.st_ino == target.st_ino) {
        return rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_EXISTS,
                            _("%s is the film itself; give another name."), path);
    }
    return true;
}

static bool target_open(Target *target, const char *path, GError **error)
{
    *target = (Target){ .path = path, .temporary = g_strconcat(path, ".part", NULL) };
    target->file = g_fopen(target->temporary, "wbxe");
    if (target->file == NULL && errno == EEXIST) {
        g_unlink(target->temporary); /* of a run that was cut short */
        target->file = g_fopen(target->temporary, "wbxe");
    }
    return target->file != NULL || write_error(target, error);
}

static bool target_finish(Target *target, GError **error)
{
    const bool closed = fclose(g_steal_pointer(&target->file)) == 0;
    if (!closed || g_rename(target->temporary, target->path) != 0) {
        return write_error(target, error);
    }
    g_clear_pointer(&target->temporary, g_free);
    return true;
}

static void target_clear(Target *target)
{
    if (target->file != NULL) {
        fclose(target->file);
    }
    if (target->temporary != NULL) {
        g_unlink(target->temporary);
        g_free(target->temporary);
    }
}

/* Returns: (transfer full). */
static int64_t *make_order(const RbDumpOptions *options, int64_t n)
{
    int64_t *order = g_new(int64_t, (gsize)n);
    for (int64_t i = 0; i < n; i++) {
        order[i] = options->order == RB_DUMP_BACKWARD ? n - 1 - i : i;
    }
    if (options->order == RB_DUMP_SHUFFLE) {
        RbRandom random;
        rb_random_seed(&random, options->seed);
        for (int64_t i = n - 1; i > 0; i--) {
            const int64_t j = (int64_t)(rb_random_next(&random) % (uint64_t)(i + 1));
            const int64_t keep = order[i];
            order[i] = order[j];
            order[j] = keep;
        }
    }
    return order;
}

static bool write_rows(const Target *target, const uint8_t *row, size_t stride, int width,
                       int height, GError **error)
{
    for (int y = 0; y < height; y++, row += stride) {
        if (fwrite(row, 1, (size_t)width, target->file) != (size_t)width) {
            return write_error(target, error);
        }
    }
    return true;
}

static bool write_line(const Dump *dump, int64_t ordinal, int width, int height,
                       const RbPicture *picture, GError **error)
{
    RbTime time = { 0, { 0, 1 } };
    rb_reel_get_frame_time(dump->reel, ordinal, &time);
    const int n =
        fprintf(dump->list.file, "%" PRId64 "\t%" PRId64 "\t%d/%d\t%d\t%d\t%d\t%d\t%d\n",
                ordinal, time.ticks, time.base.num, time.base.den, width, height,
                picture == NULL || rb_picture_is_doubtful(picture),
                picture != NULL ? rb_picture_get_coded_width(picture) : 0,
                picture != NULL ? rb_picture_get_coded_height(picture) : 0);
    return n > 0 || write_error(&dump->list, error);
}

static bool dump_missing(const Dump *dump, int64_t ordinal, GError **error)
{
    g_autoptr(RbFilmFacts) facts = rb_reel_dup_facts(dump->reel);
    const int width = dump->options->width > 0 ? dump->options->width : facts->width;
    const int height = dump->options->height > 0 ? dump->options->height : facts->height;
    g_autofree uint8_t *black = g_malloc0((gsize)width);
    return write_rows(&dump->pictures, black, 0, width, height, error) &&
           write_line(dump, ordinal, width, height, NULL, error);
}

static bool dump_frame(const Dump *dump, int64_t ordinal, RbCancel *cancel,
                       GError **error)
{
    const RbFrameOptions options = { .pixels = RB_PIXELS_GRAY,
                                     .max_width = dump->options->width,
                                     .max_height = dump->options->height,
                                     .as_coded = true,
                                     .stretch = true };
    GError *failure = NULL;
    g_autoptr(RbPicture) picture =
        rb_reel_wait_frame(dump->reel, ordinal, &options, cancel, 0, &failure);
    if (picture == NULL &&
        g_error_matches(failure, RB_FILM_ERROR, RB_FILM_ERROR_DAMAGED)) {
        g_clear_error(&failure);
        return dump_missing(dump, ordinal, error);
    }
    if (picture == NULL) {
        g_propagate_error(error, failure);
        return false;
    }
    const int width = rb_picture_get_width(picture);
    const int height = rb_picture_get_height(picture);
    return write_rows(&dump->pictures, rb_picture_get_bytes(picture),
                      rb_picture_get_stride(picture), width, height, error) &&
           write_line(dump, ordinal, width, height, picture, error);
}

static bool dump_all(Dump *dump, RbCancel *cancel, RbProgress *progress, GError **error)
{
    const int64_t n = rb_reel_get_frame_count(dump->reel);
    g_autofree int64_t *order = make_order(dump->options, n);
    fputs("ordinal\tpts\ttime_base\twidth\theight\tdoubtful\tcoded_width\tcoded_height\n",
          dump->list.file);
    for (int64_t i = 0; i < n; i++) {
        if (!dump_frame(dump, order[i], cancel, error)) {
            return false;
        }
        rb_progress_set(progress, (double)(i + 1) / (double)n, _("writing frames"));
    }
    return target_finish(&dump->pictures, error) && target_finish(&dump->list, error);
}

bool rb_film_dump(const char *path, const RbDumpOptions *options, const char *pictures,
                  const char *list, RbCancel *cancel, RbProgress *progress,
                  GError **error)
{
    if (!may_replace(pictures, path, error) || !may_replace(list, path, error)) {
        return false;
    }
    if (strcmp(pictures, list) == 0) {
        return rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE,
                            _("%s cannot be both the pictures and their list; give two "
                              "names."),
                            list);
    }
    g_autoptr(RbReel) reel = rb_reel_open_wait(path, cancel, 0, progress, error);
    if (reel == NULL) {
        return false;
    }
    Dump dump = { .reel = reel, .options = options };
    const bool done = target_open(&dump.pictures, pictures, error) &&
                      target_open(&dump.list, list, error) &&
                      dump_all(&dump, cancel, progress, error);
    target_clear(&dump.pictures);
    target_clear(&dump.list);
    return done;
}
