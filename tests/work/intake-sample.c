/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "intake-sample.h"

#include <string.h>

#include "rb/base/random.h"

#include "suite.h"

/* A clip of a file of its own; its pictures are those of its scene. */
void add_clip(RbIntake *intake, const char *title, RbAngle angle, int64_t length_us,
              uint64_t scene)
{
    RbIntakeFile *file = g_new0(RbIntakeFile, 1);
    file->look = g_new0(RbFilmLook, 1);
    file->look->title = g_strdup(title);
    file->look->path = g_strdup(title);
    file->look->fingerprint = g_strdup_printf("%s %" G_GUINT64_FORMAT, title, scene);
    file->look->codec = g_strdup("h264");
    file->look->remarks = g_ptr_array_new_with_free_func(g_free);
    file->look->frames = length_us / 16683;
    file->angle = angle;
    RbIntakeClip *clip = g_new0(RbIntakeClip, 1);
    clip->file = (int)intake->files->len;
    clip->angle = angle;
    clip->number = clip->same_as = -1;
    clip->last = file->look->frames - 1;
    clip->length_us = length_us;
    RbRandom random;
    rb_random_seed(&random, scene);
    for (int k = 0; k < RB_INTAKE_PICTURES; k++) {
        for (int i = 0; i < RB_INTAKE_PIXELS; i++) {
            /* Two cameras differ everywhere, two plays here and there. */
            const int base = angle == RB_ANGLE_TIGHT || scene % 2 == 1
                                 ? i % RB_INTAKE_WIDTH * 3
                                 : 90 + i / RB_INTAKE_WIDTH * 2;
            clip->pictures[k][i] =
                (uint8_t)(base + (rb_random_int(&random, 0, 9) == 0 ? 50 : 0));
        }
    }
    g_ptr_array_add(intake->files, file);
    g_ptr_array_add(intake->clips, clip);
}

GPtrArray *log_of(int n)
{
    GPtrArray *snaps = g_ptr_array_new_with_free_func((GDestroyNotify)rb_snap_free);
    for (int i = 1; i <= n; i++) {
        g_ptr_array_add(snaps, rb_snap_new((RbSnapId){ 1000 + i }, (RbGameId){ 1 }, i));
    }
    return snaps;
}

int64_t length_of(int snap)
{
    return 6000000 + (int64_t)(snap * 7919 % 97) * 83000;
}

/* Whatever is mended, each clip is in exactly one row. */
void check_each_once(const RbIntake *intake)
{
    g_autofree int *seen = g_new0(int, intake->clips->len);
    for (guint i = 0; i < intake->rows->len; i++) {
        const RbIntakeRow *row = &g_array_index(intake->rows, RbIntakeRow, i);
        if (row->wide >= 0) {
            seen[row->wide]++;
        }
        if (row->tight >= 0) {
            seen[row->tight]++;
        }
    }
    for (guint i = 0; i < intake->clips->len; i++) {
        ck_assert_int_eq(seen[i], 1);
    }
}

/* One recording an angle, cut into so many clips; the lengths as in length_of(). */
RbIntake *recordings(int shots)
{
    RbIntake *intake = rb_intake_new();
    for (int tight = 0; tight < 2; tight++) {
        int64_t first = 0;
        for (int snap = 1; snap <= shots; snap++) {
            add_clip(intake, tight ? "tight" : "wide",
                     tight ? RB_ANGLE_TIGHT : RB_ANGLE_WIDE, length_of(snap),
                     (uint64_t)snap * 2 + (uint64_t)tight);
            RbIntakeClip *clip = intake->clips->pdata[intake->clips->len - 1];
            clip->file = tight;
            clip->first = first;
            clip->last += first;
            clip->cut_sure = snap == 1 ? 1 : 0.95;
            first = clip->last + 1;
        }
    }
    return intake;
}

/* A seam as the film would give it, 60 frames a second. */
RbIntakeSeam seam_at(int64_t first, int64_t at, int64_t last)
{
    RbIntakeSeam seam = { .first = first, .at = at, .last = last };
    seam.before_time = (RbTime){ at - 1, { 1, 60 } };
    seam.at_time = (RbTime){ at, { 1, 60 } };
    seam.before_us = (at - 1 - first) * 16667;
    seam.after_us = (last - at) * 16667;
    memset(seam.pictures[1], 7, sizeof seam.pictures[1]);
    memset(seam.pictures[2], 9, sizeof seam.pictures[2]);
    return seam;
}
