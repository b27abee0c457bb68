/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/work/intake.h"

#include <errno.h>
#include <glib/gi18n-lib.h>
#include <string.h>
#include <sys/stat.h>

#include "rb/base/error.h"
#include "rb/film/frames.h"
#include "rb/film/scene-cuts.h"
#include "rb/work/error.h"

#include "intake-names.h"
#include "intake-private.h"

#define LONG_US INT64_C(90000000)

static void free_file(void *pointer)
{
    RbIntakeFile *file = pointer;
    rb_film_look_free(file->look);
    g_free(file);
}

static void free_snap(void *snap)
{
    rb_snap_free(snap);
}

RbIntake *rb_intake_new(void)
{
    RbIntake *intake = g_new0(RbIntake, 1);
    intake->files = g_ptr_array_new_with_free_func(free_file);
    intake->clips = g_ptr_array_new_with_free_func(g_free);
    intake->rows = g_array_new(FALSE, FALSE, sizeof(RbIntakeRow));
    intake->refused = g_ptr_array_new_with_free_func(g_free);
    intake->snaps = g_ptr_array_new_with_free_func(free_snap);
    return intake;
}

void rb_intake_free(RbIntake *intake)
{
    if (intake != NULL) {
        g_ptr_array_unref(intake->files);
        g_ptr_array_unref(intake->clips);
        g_array_unref(intake->rows);
        g_ptr_array_unref(intake->refused);
        g_ptr_array_unref(intake->snaps);
        g_free(intake);
    }
}

/* One path to be read, and what is known of its angle. */
typedef struct {
    char *path; /* owned */
    RbAngle angle;
} Wanted;

static void free_wanted(void *pointer)
{
    Wanted *wanted = pointer;
    g_free(wanted->path);
    g_free(wanted);
}

static int compare_wanted(const void *a, const void *b)
{
    const Wanted *x = *(Wanted *const *)a;
    const Wanted *y = *(Wanted *const *)b;
    return rb_intake_compare_names(&x->path, &y->path);
}

static bool list_folder(const char *folder, RbAngle angle, int depth, GPtrArray *found,
                        GError **error)
{
    g_autoptr(GDir) dir = g_dir_open(folder, 0, NULL);
    if (dir == NULL) {
        return rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_NOT_FOUND,
                            _("The folder %s cannot be read; check its name and rights."),
                            folder);
    }
    const char *name = NULL;
    while ((name = g_dir_read_name(dir)) != NULL) {
        g_autofree char *path = g_build_filename(folder, name, NULL);
        if (g_file_test(path, G_FILE_TEST_IS_DIR)) {
            const bool follow =
                depth < 3 && name[0] != '.' && !g_file_test(path, G_FILE_TEST_IS_SYMLINK);
            if (follow && !list_folder(path, angle, depth + 1, found, error)) {
                return false;
            }
        } else if (rb_intake_is_film_name(name)) {
            Wanted *wanted = g_new0(Wanted, 1);
            wanted->path = g_steal_pointer(&path);
            wanted->angle = angle;
            g_ptr_array_add(found, wanted);
        }
    }
    return true;
}

/* Returns: (transfer full) (nullable): of Wanted, in the order filmed. */
static GPtrArray *list_paths(const char *const *paths, const RbAngle *angles,
                             GError **error)
{
    g_autoptr(GPtrArray) all = g_ptr_array_new_with_free_func(free_wanted);
    for (int i = 0; paths[i] != NULL; i++) {
        const RbAngle angle = angles != NULL ? angles[i] : RB_ANGLE_OTHER;
        if (!g_file_test(paths[i], G_FILE_TEST_IS_DIR)) {
            Wanted *wanted = g_new0(Wanted, 1);
            wanted->path = g_strdup(paths[i]);
            wanted->angle = angle;
            g_ptr_array_add(all, wanted);
            continue;
        }
        if (!list_folder(paths[i], angle, 0, all, error)) {
            return NULL;
        }
    }
    g_ptr_array_sort(all, compare_wanted);
    if (all->len == 0) {
        rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_NOT_FOUND,
                     _("There is no film in %s; name a folder that holds films."),
                     paths[0] != NULL ? paths[0] : _("an empty list"));
        return NULL;
    }
    return g_steal_pointer(&all);
}

uint64_t rb_intake_look(const char *path)
{
    const char *const paths[] = { path, NULL };
    g_autoptr(GPtrArray) films = list_paths(paths, NULL, NULL);
    if (films == NULL || !g_file_test(path, G_FILE_TEST_EXISTS)) {
        return 0;
    }
    g_autoptr(GChecksum) sum = g_checksum_new(G_CHECKSUM_SHA256);
    for (guint i = 0; i < films->len; i++) {
        const Wanted *film = films->pdata[i];
        struct stat facts = { 0 };
        const int64_t stand[] = { stat(film->path, &facts), facts.st_size,
                                  facts.st_mtim.tv_sec, facts.st_mtim.tv_nsec };
        g_checksum_update(sum, (const guchar *)film->path,
                          (gssize)strlen(film->path) + 1);
        g_checksum_update(sum, (const guchar *)stand, sizeof stand);
    }
    uint64_t marks[4];
    size_t size = sizeof marks;
    g_checksum_get_digest(sum, (guint8 *)marks, &size);
    return MAX(marks[0], 1);
}

void rb_intake_take_picture(RbReel *reel, int64_t frame, uint8_t *pixels,
                            RbCancel *cancel)
{
    const RbFrameOptions small = { .pixels = RB_PIXELS_GRAY,
                                   .max_width = RB_INTAKE_WIDTH,
                                   .max_height = RB_INTAKE_HEIGHT,
                                   .stretch = true };
    g_autoptr(RbPicture) picture =
        rb_reel_wait_frame(reel, frame, &small, cancel, 0, NULL);
    if (picture == NULL) {
        return;
    }
    size_t stride = 0;
    const uint8_t *plane = rb_picture_get_plane(picture, 0, &stride);
    for (int y = 0; y < RB_INTAKE_HEIGHT; y++) {
        memcpy(pixels + y * RB_INTAKE_WIDTH, plane + (size_t)y * stride, RB_INTAKE_WIDTH);
    }
}

static void add_clip(RbIntake *intake, RbReel *reel, int64_t first, int64_t last,
                     double sure, RbCancel *cancel)
{
    const int file = (int)intake->files->len - 1;
    const RbIntakeFile *from = intake->files->pdata[file];
    RbIntakeClip *clip = g_new0(RbIntakeClip, 1);
    clip->file = file;
    clip->angle = from->angle;
    clip->number = -1;
    clip->same_as = -1;
    clip->first = first;
    clip->last = last;
    clip->cut_sure = sure;
    rb_reel_get_frame_time(reel, first, &clip->first_time);
    rb_reel_get_frame_time(reel, last, &clip->last_time);
    clip->length_us =
        rb_reel_get_frame_us(reel, last) - rb_reel_get_frame_us(reel, first);
    const int64_t frames[RB_INTAKE_PICTURES] = { first, first + (last - first) / 2,
                                                 last };
    for (int i = 0; i < RB_INTAKE_PICTURES; i++) {
        rb_intake_take_picture(reel, frames[i], clip->pictures[i], cancel);
    }
    g_ptr_array_add(intake->clips, clip);
}

/* The recording from cut to cut. */
static bool cut_recording(RbIntake *intake, RbReel *reel, RbCancel *cancel,
                          RbProgress *progress, GError **error)
{
    g_autoptr(GArray) cuts = NULL;
    if (!rb_scene_find_cuts(reel, &cuts, NULL, cancel, progress, error)) {
        return false;
    }
    int64_t first = 0;
    double sure = 1;
    for (guint i = 0; i <= cuts->len; i++) {
        const bool end = i == cuts->len;
        const RbSceneCut *cut = end ? NULL : &g_array_index(cuts, RbSceneCut, i);
        const int64_t next = end ? rb_reel_get_frame_count(reel) : cut->frame;
        add_clip(intake, reel, first, next - 1, sure, cancel);
        first = next;
        sure = end ? 1 : cut->sure;
    }
    return rb_cancel_check(cancel, error);
}

static bool add_clips(RbIntake *intake, const RbIntakeOptions *options, RbCancel *cancel,
                      RbProgress *progress, GError **error)
{
    const RbIntakeFile *file = intake->files->pdata[intake->files->len - 1];
    const bool is_long =
        options->shape == RB_SHAPE_LONG ||
        (options->shape == RB_SHAPE_TELL && file->look->length_us > LONG_US);
    g_autoptr(RbReel) reel = rb_reel_open_wait(file->look->path, cancel, 0, NULL, error);
    if (reel == NULL) {
        return false;
    }
    if (is_long) {
        return cut_recording(intake, reel, cancel, progress, error);
    }
    add_clip(intake, reel, 0, rb_reel_get_frame_count(reel) - 1, 1, cancel);
    return rb_cancel_check(cancel, error);
}

/* False only when cancelled: a file that is no film is listed. */
static bool add_file(RbIntake *intake, const Wanted *wanted,
                     const RbIntakeOptions *options, RbCancel *cancel,
                     RbProgress *progress, GError **error)
{
    g_autoptr(GError) failure = NULL;
    RbFilmLook *look = rb_film_look(wanted->path, cancel, NULL, &failure);
    if (!rb_cancel_check(cancel, error)) {
        rb_film_look_free(look);
        return false;
    }
    if (look == NULL) {
        g_ptr_array_add(intake->refused, g_strdup(failure->message));
        return true;
    }
    RbIntakeFile *file = g_new0(RbIntakeFile, 1);
    file->look = look;
    file->angle = wanted->angle != RB_ANGLE_OTHER ? wanted->angle
                                                  : rb_intake_angle_of(wanted->path);
    file->named = file->angle != RB_ANGLE_OTHER;
    g_ptr_array_add(intake->files, file);
    return add_clips(intake, options, cancel, progress, error);
}

RbIntake *rb_intake_read(const char *const *paths, const RbAngle *angles,
                         const RbIntakeOptions *options, RbCancel *cancel,
                         RbProgress *progress, GError **error)
{
    g_autoptr(GPtrArray) wanted = list_paths(paths, angles, error);
    if (wanted == NULL) {
        return NULL;
    }
    g_autoptr(RbIntake) intake = rb_intake_new();
    for (guint i = 0; i < wanted->len; i++) {
        RbProgress *part = rb_progress_part(progress, (double)i / wanted->len,
                                            (double)(i + 1) / wanted->len);
        rb_progress_set(part, 0, _("looking at the films"));
        const bool ok = add_file(intake, wanted->pdata[i], options, cancel, part, error);
        rb_progress_free(part);
        if (!ok) {
            return NULL;
        }
    }
    if (intake->files->len == 0) {
        rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE,
                     _("None of the %u files is a film that can be used; the first: %s"),
                     wanted->len, (const char *)intake->refused->pdata[0]);
        return NULL;
    }
    rb_intake_tell_apart(intake, options->tight_first);
    return g_steal_pointer(&intake);
}
