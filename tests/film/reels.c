/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "reels.h"

#include "rb/base/random.h"

#include "frame-code.h"
#include "suite.h"

RbReel *reel_must_open(const char *path)
{
    GError *error = NULL;
    RbReel *reel = rb_reel_open_wait(path, NULL, 30000, NULL, &error);
    rb_assert_no_error(error);
    ck_assert_ptr_nonnull(reel);
    return reel;
}

RbPicture *reel_must_get(RbReel *reel, int64_t ordinal, const RbFrameOptions *options)
{
    GError *error = NULL;
    RbPicture *picture = rb_reel_wait_frame(reel, ordinal, options, NULL, 30000, &error);
    rb_assert_no_error(error);
    ck_assert_ptr_nonnull(picture);
    ck_assert_int_eq(rb_picture_get_ordinal(picture),
                     options != NULL && options->by_field ? ordinal / 2 : ordinal);
    return picture;
}

int reel_code(RbReel *reel, int64_t ordinal)
{
    const RbFrameOptions options = { .pixels = RB_PIXELS_GRAY, .as_coded = true };
    g_autoptr(RbPicture) picture = reel_must_get(reel, ordinal, &options);
    return frame_code_of(picture);
}

void reel_must_close(RbReel *reel)
{
    rb_reel_close(reel);
    ck_assert(rb_reel_wait_all_closed(10000));
}

int *shuffled(int n, uint64_t seed)
{
    RbRandom random;
    rb_random_seed(&random, seed);
    int *list = g_new(int, (gsize)n);
    for (int i = 0; i < n; i++) {
        list[i] = i;
    }
    for (int i = n - 1; i > 0; i--) {
        const int j = rb_random_int(&random, 0, i);
        const int keep = list[i];
        list[i] = list[j];
        list[j] = keep;
    }
    return list;
}
