/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "intake-names.h"
#include "intake-private.h"

/* Two files of one moment, encoded twice, differ by a little everywhere; two plays filmed from one
 * spot differ by much where the players are. Levels of 255. */
#define SAME_MEAN 1.6
#define SAME_MOST 20
#define SAME_LENGTH_US 40000

/* Next frames of one shot, a moving camera included. */
#define GOES_ON_MEAN 4.0

/* Below this share a cluster is no second camera but some odd clips. */
#define CAMERA_SHARE 0.2

static double difference(const uint8_t *a, const uint8_t *b, int *most)
{
    int64_t sum = 0;
    *most = 0;
    for (int i = 0; i < RB_INTAKE_PIXELS; i++) {
        const int d = abs(a[i] - b[i]);
        sum += d;
        *most = MAX(*most, d);
    }
    return (double)sum / RB_INTAKE_PIXELS;
}

static const RbFilmLook *look_of(const RbIntake *intake, const RbIntakeClip *clip)
{
    const RbIntakeFile *file = intake->files->pdata[clip->file];
    return file->look;
}

static bool shows_the_same(const RbIntake *intake, const RbIntakeClip *a,
                           const RbIntakeClip *b)
{
    const RbFilmLook *x = look_of(intake, a);
    const RbFilmLook *y = look_of(intake, b);
    if (strcmp(x->fingerprint, y->fingerprint) == 0 && x->frames == y->frames) {
        return a->file != b->file && a->first == b->first && a->last == b->last;
    }
    if (llabs(a->length_us - b->length_us) > SAME_LENGTH_US) {
        return false;
    }
    for (int i = 0; i < RB_INTAKE_PICTURES; i++) {
        int most = 0;
        if (difference(a->pictures[i], b->pictures[i], &most) > SAME_MEAN ||
            most > SAME_MOST) {
            return false;
        }
    }
    return true;
}

/* A copy has usually got something added to its name. */
static bool is_the_copy(const RbIntake *intake, const RbIntakeClip *a,
                        const RbIntakeClip *b)
{
    /* A name that tells the camera is no name of a copy. */
    const RbIntakeFile *one = intake->files->pdata[a->file];
    const RbIntakeFile *other = intake->files->pdata[b->file];
    if (one->named != other->named) {
        return !one->named;
    }
    const char *x = look_of(intake, a)->title;
    const char *y = look_of(intake, b)->title;
    const size_t n = strlen(x);
    const size_t m = strlen(y);
    return n != m ? n > m : rb_intake_compare_names(&x, &y) > 0;
}

static void find_duplicates(RbIntake *intake)
{
    for (guint i = 0; i < intake->clips->len; i++) {
        RbIntakeClip *a = intake->clips->pdata[i];
        for (guint j = i + 1; a->same_as < 0 && j < intake->clips->len; j++) {
            RbIntakeClip *b = intake->clips->pdata[j];
            if (b->same_as >= 0 || !shows_the_same(intake, a, b)) {
                continue;
            }
            if (is_the_copy(intake, a, b)) {
                a->same_as = (int)j;
            } else {
                b->same_as = (int)i;
            }
        }
    }
}

/* The average of the middle pictures of the clips with this label. */
static bool average(const GPtrArray *clips, const int *labels, int label, uint8_t *mean)
{
    g_autofree int *sum = g_new0(int, RB_INTAKE_PIXELS);
    int n = 0;
    for (guint i = 0; i < clips->len; i++) {
        const RbIntakeClip *clip = clips->pdata[i];
        for (int k = 0; labels[i] == label && k < RB_INTAKE_PIXELS; k++) {
            sum[k] += clip->pictures[1][k];
        }
        n += labels[i] == label;
    }
    for (int k = 0; n > 0 && k < RB_INTAKE_PIXELS; k++) {
        mean[k] = (uint8_t)(sum[k] / n);
    }
    return n > 0;
}

/* Two groups of clips that look alike within (k-means, k = 2), begun from the first clip and the
 * one most unlike it. Returns the share of the smaller group. */
static double split_in_two(const GPtrArray *clips, int *labels)
{
    uint8_t mean[2][RB_INTAKE_PIXELS];
    const RbIntakeClip *first = clips->pdata[0];
    double farthest = -1;
    int most = 0;
    memcpy(mean[0], first->pictures[1], RB_INTAKE_PIXELS);
    for (guint i = 0; i < clips->len; i++) {
        const RbIntakeClip *clip = clips->pdata[i];
        const double d = difference(clip->pictures[1], mean[0], &most);
        if (d > farthest) {
            farthest = d;
            memcpy(mean[1], clip->pictures[1], RB_INTAKE_PIXELS);
        }
    }
    int n = 0;
    for (int round = 0; round < 6; round++) {
        n = 0;
        for (guint i = 0; i < clips->len; i++) {
            const RbIntakeClip *clip = clips->pdata[i];
            labels[i] = difference(clip->pictures[1], mean[1], &most) <
                        difference(clip->pictures[1], mean[0], &most);
            n += labels[i];
        }
        if (!average(clips, labels, 0, mean[0]) || !average(clips, labels, 1, mean[1])) {
            break;
        }
    }
    return (double)MIN(n, (int)clips->len - n) / clips->len;
}

/* Clips whose angle nobody named: one camera, or two whose clips alternate in some way. */
static void split_cameras(RbIntake *intake, bool tight_first)
{
    g_autoptr(GPtrArray) unnamed = g_ptr_array_new();
    for (guint i = 0; i < intake->clips->len; i++) {
        RbIntakeClip *clip = intake->clips->pdata[i];
        if (clip->angle == RB_ANGLE_OTHER) {
            g_ptr_array_add(unnamed, clip);
        }
    }
    if (unnamed->len == 0) {
        return;
    }
    g_autofree int *labels = g_new0(int, unnamed->len);
    const bool two = split_in_two(unnamed, labels) >= CAMERA_SHARE;
    const int wide = tight_first ? 1 - labels[0] : labels[0];
    for (guint i = 0; i < unnamed->len; i++) {
        RbIntakeClip *clip = unnamed->pdata[i];
        const bool is_wide = two ? labels[i] == wide : !tight_first;
        clip->angle = is_wide ? RB_ANGLE_WIDE : RB_ANGLE_TIGHT;
        ((RbIntakeFile *)intake->files->pdata[clip->file])->angle = clip->angle;
    }
    intake->alternating = two;
}

static void find_numbers(RbIntake *intake)
{
    if (intake->clips->len > intake->files->len) {
        return; /* names are of recordings, not of snaps */
    }
    const guint n = intake->clips->len;
    g_autofree const char **names = g_new0(const char *, n);
    g_autofree RbAngle *angles = g_new0(RbAngle, n);
    g_autofree int *numbers = g_new0(int, n);
    int live = 0;
    for (guint i = 0; i < n; i++) {
        const RbIntakeClip *clip = intake->clips->pdata[i];
        if (clip->same_as < 0) {
            names[live] = look_of(intake, clip)->title;
            angles[live] = clip->angle;
            live++;
        }
    }
    rb_intake_find_numbers(names, angles, live, numbers);
    live = 0;
    for (guint i = 0; i < n; i++) {
        RbIntakeClip *clip = intake->clips->pdata[i];
        if (clip->same_as < 0) {
            clip->number = numbers[live++];
        }
    }
}

/* A camera that fills its card, or reaches 4 GB, goes on in a new file without a gap: the last
 * picture of one is nearly the first of the next. */
static void join_splits(RbIntake *intake)
{
    for (guint i = 0; i + 1 < intake->clips->len; i++) {
        RbIntakeClip *clip = intake->clips->pdata[i];
        const RbIntakeClip *next = intake->clips->pdata[i + 1];
        int most = 0;
        const bool follows = clip->file != next->file && clip->angle == next->angle &&
                             clip->first > 0 && next->first == 0;
        clip->goes_on = follows && difference(clip->pictures[RB_INTAKE_PICTURES - 1],
                                              next->pictures[0], &most) < GOES_ON_MEAN;
    }
}

/* One snap is one clip of an angle: of a snap on both sides of a split the longer part stays. */
static void drop_shorter_parts(RbIntake *intake)
{
    for (guint i = 0; i + 1 < intake->clips->len; i++) {
        RbIntakeClip *clip = intake->clips->pdata[i];
        RbIntakeClip *next = intake->clips->pdata[i + 1];
        if (clip->goes_on && next->length_us > clip->length_us) {
            clip->same_as = (int)i + 1;
        } else if (clip->goes_on) {
            next->same_as = (int)i;
        }
    }
}

void rb_intake_tell_apart(RbIntake *intake, bool tight_first)
{
    find_duplicates(intake);
    split_cameras(intake, tight_first);
    join_splits(intake);
    drop_shorter_parts(intake);
    find_numbers(intake);
}

static int compare_double(const void *a, const void *b)
{
    const double x = *(const double *)a;
    const double y = *(const double *)b;
    return (x > y) - (x < y);
}

double rb_intake_strangeness(const RbIntake *intake, int which)
{
    const RbIntakeClip *self = intake->clips->pdata[which];
    const guint n = intake->clips->len;
    g_autofree int *labels = g_new0(int, n);
    g_autofree double *others = g_new0(double, n + 1);
    uint8_t mean[RB_INTAKE_PIXELS];
    int most = 0;
    int live = 0;
    for (guint i = 0; i < n; i++) {
        labels[i] = ((RbIntakeClip *)intake->clips->pdata[i])->angle == self->angle;
    }
    average(intake->clips, labels, 1, mean);
    for (guint i = 0; i < n; i++) {
        const RbIntakeClip *clip = intake->clips->pdata[i];
        if (labels[i]) {
            others[live++] = difference(clip->pictures[1], mean, &most);
        }
    }
    const double own = difference(self->pictures[1], mean, &most);
    qsort(others, (size_t)live, sizeof *others, compare_double);
    return own / fmax(1, others[live / 2]);
}
