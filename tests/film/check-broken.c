/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib/gstdio.h>
#include <math.h>
#include <string.h>

#include "rb/film/error.h"

#include "field-film.h"
#include "films.h"
#include "frame-code.h"
#include "kinds.h"
#include "reels.h"
#include "suite.h"

TCase *rb_case_broken(void);

/* Films that no encoder writes by itself: field by field, joined from pieces, boxes renamed,
 * and damaged. A damaged film may show wrong pictures, but only marked as doubtful, and damage
 * never shifts the numbers of the frames after it. */

/* One thread: with more the bytes, and so what damage does to them, differ from run to run. */
#define X264_B                                                                           \
    "-c:v libx264 -threads 1 -preset veryfast -bf 2 -g 15 -x264-params scenecut=0 "

typedef struct {
    char *bytes; /* owned */
    gsize n;
} Data;

static Data load(const char *path)
{
    Data data = { 0 };
    ck_assert(g_file_get_contents(path, &data.bytes, &data.n, NULL));
    return data;
}

static char *save(const char *name, const Data *data)
{
    char *path = rb_test_path(name);
    ck_assert(g_file_set_contents(path, data->bytes, (gssize)data->n, NULL));
    return path;
}

/* ---- joined recordings */

typedef struct {
    Kind kind;
    int cut;           /* frames in the first piece */
    const char *first; /* encoding of each piece */
    const char *second;
    int width; /* of the second; its height in proportion */
} Joined;

static const Joined joined[] = {
    { { "joined.ts", NULL, NULL, 0, 0, true }, 40, X264_B, X264_B, 160 },
    { { "jump.ts", NULL, NULL, 0, 0, true },
      40,
      X264_B,
      X264_B "-output_ts_offset 3600",
      160 },
    { { "back.ts", NULL, NULL, 0, 0, true },
      40,
      X264_B "-output_ts_offset 9",
      X264_B,
      160 },
    { { "resized.ts", NULL, NULL, 0, 0, true },
      40,
      X264_B,
      X264_B "-output_ts_offset 1.333",
      320 },
    { { "repainted.ts", NULL, NULL, 0, 0, true },
      40,
      X264_B,
      X264_B "-pix_fmt yuv444p -output_ts_offset 1.333",
      160 },
    { { "joined.mpg", NULL, NULL, 0, 0, true },
      36,
      "-c:v mpeg2video -bf 2 -g 12 -q:v 3",
      "-c:v mpeg2video -bf 2 -g 12 -q:v 3",
      160 },
    { { "joined.h264", NULL, NULL, 0, 0, true }, 40, X264_B, X264_B, 160 },
};

START_TEST(test_broken__joined_recordings)
{
    if (!rb_test_is_sampled(_i)) {
        return;
    }
    const Joined *film = &joined[_i];
    const char *suffix = strrchr(film->kind.name, '.');
    g_autofree char *first_name = g_strconcat("one", suffix, NULL);
    g_autofree char *second_name = g_strconcat("two", suffix, NULL);
    g_autofree char *first =
        kind_make_part(first_name, 160, 96, 0, film->cut, film->first);
    g_autofree char *second =
        kind_make_part(second_name, film->width, film->width * 96 / 160, film->cut,
                       KIND_FRAMES - film->cut, film->second);
    Data one = load(first);
    Data two = load(second);
    Data both = { g_malloc(one.n + two.n), one.n + two.n };
    memcpy(both.bytes, one.bytes, one.n);
    memcpy(both.bytes + one.n, two.bytes, two.n);
    g_autofree char *path = save(film->kind.name, &both);
    kind_check(&film->kind, path);
    g_free(one.bytes);
    g_free(two.bytes);
    g_free(both.bytes);
}
END_TEST

/* ---- fields */

static const Kind fields[] = {
    { "fields.h264", NULL },
    { "fields.mp4", "-c copy -bsf:v setts=ts=N*20000" },
    { "fields.ts", "-c copy -bsf:v setts=ts=N*20000" },
    { "fields.mkv", "-c copy -bsf:v setts=ts=N*20000" },
    { "fields.m2ts", "-c copy -bsf:v setts=ts=N*20000 -mpegts_m2ts_mode 1" },
};

START_TEST(test_broken__two_packets_a_frame)
{
    if (!rb_test_is_sampled(_i)) {
        return;
    }
    const Kind *kind = &fields[_i];
    g_autofree char *bare = field_film_write("fields.h264", KIND_FRAMES, 15);
    g_autofree char *path = rb_test_path(kind->name);
    if (kind->encode != NULL) {
        kind_run("-framerate 60", bare, kind->encode, path);
    }
    kind_check(kind, path);
}
END_TEST

/* ---- boxes and names that lie */

static char *rename_film(const char *name, const char *encode_as)
{
    g_autofree char *path = kind_make_part(encode_as, 160, 96, 0, KIND_FRAMES, X264_B);
    Data data = load(path);
    char *renamed = save(name, &data);
    g_free(data.bytes);
    return renamed;
}

START_TEST(test_broken__suffixes_that_lie)
{
    if (!rb_test_is_sampled(_i)) {
        return;
    }
    static const char *const rows[][2] = {
        { "matroska.mp4", "film.mkv" },
        { "transport.mov", "film.ts" },
        { "quicktime.ts", "film.mp4" },
        { "no suffix", "film.avi" },
    };
    g_autofree char *path = rename_film(rows[_i][0], rows[_i][1]);
    const Kind kind = { .name = rows[_i][0] };
    kind_check(&kind, path);
}
END_TEST

/* Overwrites the first `from` in the file, which has as many letters as `to`. */
static void replace(Data *data, const char *from, const char *to)
{
    const gsize n = strlen(from);
    for (gsize i = 0; i + n <= data->n; i++) {
        if (memcmp(data->bytes + i, from, n) == 0) {
            memcpy(data->bytes + i, to, n);
            return;
        }
    }
    ck_abort_msg("no %s in the film", from);
}

START_TEST(test_broken__key_frames_not_listed)
{
    g_autofree char *path = kind_make_part("film.mp4", 160, 96, 0, KIND_FRAMES, X264_B);
    Data data = load(path);
    replace(&data, "stss", "free"); /* ISO/IEC 14496-12, 8.6.2: then every one is a key */
    g_autofree char *altered = save("nolist.mp4", &data);
    g_free(data.bytes);
    kind_check(&(Kind){ .name = "nolist.mp4" }, altered);
}
END_TEST

START_TEST(test_broken__index_cut_off)
{
    g_autofree char *path =
        kind_make_part("film.avi", 160, 96, 0, KIND_FRAMES, "-c:v mpeg4 -g 15 -q:v 3");
    Data data = load(path);
    const char *at = g_strrstr_len(data.bytes, (gssize)data.n, "idx1");
    for (gsize i = data.n; at == NULL && i > 4; i--) {
        at = memcmp(data.bytes + i - 4, "idx1", 4) == 0 ? data.bytes + i - 4 : NULL;
    }
    ck_assert_ptr_nonnull(at);
    data.n = (gsize)(at - data.bytes);
    g_autofree char *altered = save("noindex.avi", &data);
    g_free(data.bytes);
    kind_check(&(Kind){ .name = "noindex.avi" }, altered);
}
END_TEST

/* ---- damage */

typedef enum { CUT_END, CUT_START, GARBAGE, HOLES } Harm;

typedef struct {
    const char *name;
    const char *encode;
    Harm harm;
    double from; /* share of the file where it starts */
    double to;
    int least; /* frames that must be right and not doubtful */
} Damage;

static const Damage damages[] = {
    { "cut.ts", X264_B, CUT_END, 0.6, 1.0, 35 },
    { "cut.mkv", X264_B, CUT_END, 0.6, 1.0, 35 },
    { "cut.mp4", X264_B "-movflags +faststart", CUT_END, 0.6, 1.0, 35 },
    { "cut-fragments.mp4", X264_B "-movflags frag_keyframe+empty_moov", CUT_END, 0.6, 1.0,
      25 },
    { "cut.avi", "-c:v mpeg4 -g 15 -q:v 3", CUT_END, 0.6, 1.0, 35 },
    { "cut.flv", X264_B, CUT_END, 0.6, 1.0, 35 },
    { "cut.mpg", "-c:v mpeg2video -bf 2 -g 12 -q:v 3", CUT_END, 0.6, 1.0, 30 },
    { "late.ts", X264_B, CUT_START, 0.3, 0.0, 25 },
    { "late.mpg", "-c:v mpeg2video -bf 2 -g 12 -q:v 3", CUT_START, 0.3, 0.0, 25 },
    { "garbage.ts", X264_B, GARBAGE, 0.50, 0.55, 40 },
    { "garbage.mkv", X264_B, GARBAGE, 0.50, 0.55, 40 },
    { "scratch.mkv", X264_B, GARBAGE, 0.53, 0.531, 40 },
    { "scratch-late.mkv", X264_B, GARBAGE, 0.57, 0.572, 40 },
    { "scratch.flv", X264_B, GARBAGE, 0.53, 0.532, 40 },
    { "garbage.mp4", X264_B "-movflags +faststart", GARBAGE, 0.50, 0.55, 40 },
    { "garbage.mpg", "-c:v mpeg2video -bf 2 -g 12 -q:v 3", GARBAGE, 0.50, 0.55, 40 },
    { "holes.ts", X264_B, HOLES, 0.3, 0.9, 10 },
};

static void harm_ts_packets(Data *data, double from, double to)
{
    char *out = data->bytes;
    const gsize packets = data->n / 188;
    for (gsize i = 0; i < packets; i++) {
        const bool lost = (double)i > from * (double)packets &&
                          (double)i < to * (double)packets && i % 17 == 3;
        if (!lost) {
            memmove(out, data->bytes + i * 188, 188);
            out += 188;
        }
    }
    data->n = (gsize)(out - data->bytes);
}

static void harm(Data *data, const Damage *damage)
{
    const gsize from = (gsize)(damage->from * (double)data->n);
    const gsize to = (gsize)(damage->to * (double)data->n);
    switch (damage->harm) {
    case CUT_END:
        data->n = from;
        return;
    case CUT_START:
        memmove(data->bytes, data->bytes + from, data->n - from);
        data->n -= from;
        return;
    case GARBAGE:
        for (gsize i = from; i < to; i++) {
            data->bytes[i] = (char)(i * 2654435761U >> 13);
        }
        return;
    case HOLES:
        harm_ts_packets(data, damage->from, damage->to);
        return;
    }
}

/* What number this frame must show, by its time: the first frame shown counts from its own. */
static int number_by_time(RbReel *reel, int64_t ordinal, int first)
{
    return first + (int)lround((double)rb_reel_get_frame_us(reel, ordinal) * 30e-6);
}

static void check_damaged(RbReel *reel, const Damage *damage, int first, int64_t ordinal,
                          int *good)
{
    const RbFrameOptions options = { .pixels = RB_PIXELS_GRAY, .as_coded = true };
    GError *error = NULL;
    g_autoptr(RbPicture) picture =
        rb_reel_wait_frame(reel, ordinal, &options, NULL, 30000, &error);
    if (picture == NULL) {
        ck_assert_msg(g_error_matches(error, RB_FILM_ERROR, RB_FILM_ERROR_DAMAGED), "%s",
                      error->message);
        g_error_free(error);
        return;
    }
    if (!rb_picture_is_doubtful(picture)) {
        const int code = frame_code_of(picture);
        ck_assert_msg(code == number_by_time(reel, ordinal, first),
                      "%s: frame %d shows %d", damage->name, (int)ordinal, code);
        (*good)++;
    }
}

START_TEST(test_broken__damage_is_marked_and_shifts_nothing)
{
    if (!rb_test_is_sampled(_i)) {
        return;
    }
    const Damage *damage = &damages[_i];
    g_autofree char *whole =
        kind_make_part(damage->name, 160, 96, 0, KIND_FRAMES, damage->encode);
    Data data = load(whole);
    harm(&data, damage);
    g_autofree char *path = save(damage->name, &data);
    g_free(data.bytes);
    RbReel *reel = reel_must_open(path);
    const int n = (int)rb_reel_get_frame_count(reel);
    const int first = reel_code(reel, 0);
    ck_assert_int_ge(first, 0);
    int good[3] = { 0 };
    g_autofree int *order = shuffled(n, rb_test_seed(5));
    for (int i = 0; i < n; i++) {
        check_damaged(reel, damage, first, i, &good[0]);
    }
    for (int i = 0; i < n; i++) {
        check_damaged(reel, damage, first, n - 1 - i, &good[1]);
        check_damaged(reel, damage, first, order[i], &good[2]);
    }
    for (int i = 0; i < 3; i++) {
        ck_assert_msg(good[i] >= damage->least, "%s: %d of %d good", damage->name,
                      good[i], n);
    }
    reel_must_close(reel);
}
END_TEST

TCase *rb_case_broken(void)
{
    TCase *tcase = rb_case_new("broken");
    tcase_set_tags(tcase, "kinds");
    tcase_add_loop_test(tcase, test_broken__joined_recordings, 0, G_N_ELEMENTS(joined));
    tcase_add_loop_test(tcase, test_broken__two_packets_a_frame, 0, G_N_ELEMENTS(fields));
    tcase_add_loop_test(tcase, test_broken__suffixes_that_lie, 0, 4);
    tcase_add_test(tcase, test_broken__key_frames_not_listed);
    tcase_add_test(tcase, test_broken__index_cut_off);
    tcase_add_loop_test(tcase, test_broken__damage_is_marked_and_shifts_nothing, 0,
                        G_N_ELEMENTS(damages));
    return tcase;
}
