/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "kinds.h"

#include <glib/gstdio.h>
#include <stdio.h>
#include <string.h>

#include "films.h"
#include "frame-code.h"
#include "made.h"
#include "reels.h"
#include "suite.h"

static void add_words(GPtrArray *argv, const char *words)
{
    g_auto(GStrv) parts = g_strsplit(words != NULL ? words : "", " ", -1);
    for (char **part = parts; *part != NULL; part++) {
        if (**part != '\0') {
            g_ptr_array_add(argv, g_strdup(*part));
        }
    }
}

void kind_run(const char *before, const char *input, const char *after,
              const char *output)
{
    g_autoptr(GPtrArray) argv = g_ptr_array_new_with_free_func(g_free);
    add_words(argv, "ffmpeg -v error -nostdin -y");
    add_words(argv, before);
    add_words(argv, "-i");
    g_ptr_array_add(argv, g_strdup(input));
    add_words(argv, after);
    g_ptr_array_add(argv, g_strdup(output));
    g_ptr_array_add(argv, NULL);
    int status = 1;
    g_autofree char *errors = NULL;
    ck_assert(g_spawn_sync(NULL, (char **)argv->pdata, NULL,
                           G_SPAWN_SEARCH_PATH | G_SPAWN_STDOUT_TO_DEV_NULL, NULL, NULL,
                           NULL, &errors, &status, NULL));
    ck_assert_msg(status == 0, "%s: %s", output, errors);
}

typedef struct {
    const char *name;
    int width;
    int height;
    int first;
    int n;
    const char *encode;
} Part;

static void write_part(const char *path, const void *data)
{
    const Part *part = data;
    g_autofree char *raw =
        film_write_raw_from("raw.yuv", part->width, part->height, part->first, part->n);
    g_autofree char *before =
        g_strdup_printf("-f rawvideo -pix_fmt yuv420p -s %dx%d -r 30 -threads 1",
                        part->width, part->height);
    kind_run(before, raw, part->encode, path);
}

char *kind_make_part(const char *name, int width, int height, int first, int n,
                     const char *encode)
{
    const Part part = { name, width, height, first, n, encode };
    g_autofree char *recipe =
        g_strdup_printf("part %dx%d %d %d %s %s", width, height, first, n, name, encode);
    return made_once(name, recipe, write_part, &part);
}

static void write_again(const char *path, const void *data)
{
    const Kind *kind = data;
    const char *suffix = strrchr(kind->name, '.');
    const bool stays = strcmp(suffix, ".ts") == 0 || strcmp(suffix, ".mkv") == 0;
    g_autofree char *first_name = g_strconcat("first", stays ? suffix : ".mp4", NULL);
    g_autofree char *first =
        kind_make_part(first_name, 160, 96, 0, KIND_FRAMES, kind->encode);
    g_auto(GStrv) sides = g_strsplit(kind->again, "|", 2);
    kind_run(sides[0], first, sides[1], path);
}

char *kind_make(const Kind *kind)
{
    if (kind->again == NULL) {
        return kind_make_part(kind->name, 160, 96, 0, KIND_FRAMES, kind->encode);
    }
    g_autofree char *recipe =
        g_strdup_printf("again %s %s|%s", kind->name, kind->encode, kind->again);
    return made_once(kind->name, recipe, write_again, kind);
}

static void write_md5s(const char *path, const void *data)
{
    kind_run("-noautorotate", data,
             "-map 0:V:0 -vsync passthrough -c:v rawvideo -f framemd5", path);
}

GStrv kind_md5s(const char *path)
{
    g_autofree char *list = made_of_film("straight.md5", "md5s", path, write_md5s);
    g_autofree char *text = NULL;
    ck_assert(g_file_get_contents(list, &text, NULL, NULL));
    g_auto(GStrv) lines = g_strsplit(text, "\n", -1);
    g_autoptr(GStrvBuilder) sums = g_strv_builder_new();
    for (char **line = lines; *line != NULL; line++) {
        const char *sum = strrchr(*line, ' ');
        if (**line != '#' && sum != NULL) {
            g_strv_builder_add(sums, sum + 1);
        }
    }
    return g_strv_builder_end(sums);
}

char *kind_md5_of(const RbPicture *picture)
{
    const int width = rb_picture_get_width(picture);
    const int height = rb_picture_get_height(picture);
    g_autoptr(GChecksum) sum = g_checksum_new(G_CHECKSUM_MD5);
    for (int plane = 0; plane < 3; plane++) {
        size_t stride = 0;
        const uint8_t *at = rb_picture_get_plane(picture, plane, &stride);
        const int columns = plane == 0 ? width : (width + 1) / 2;
        const int rows = plane == 0 ? height : (height + 1) / 2;
        for (int y = 0; y < rows; y++, at += stride) {
            g_checksum_update(sum, at, columns);
        }
    }
    return g_strdup(g_checksum_get_string(sum));
}

/* sums: of a straight decode; NULL when the numbers alone count. alone: as one of those around
 * which nothing is asked for, which is decoded with as little as it takes. */
static void check_frame(RbReel *reel, const Kind *kind, const GStrv sums, int i,
                        bool alone)
{
    const RbFrameOptions options = { .pixels =
                                         sums != NULL ? RB_PIXELS_I420 : RB_PIXELS_GRAY,
                                     .as_coded = true,
                                     .alone = alone };
    g_autoptr(RbPicture) picture = reel_must_get(reel, i, &options);
    const int code = frame_code_of(picture);
    ck_assert_msg(code == (kind->first + i) % KIND_FRAMES, "%s: frame %d shows number %d",
                  kind->name, i, code);
    if (sums != NULL) {
        g_autofree char *sum = kind_md5_of(picture);
        ck_assert_msg(strcmp(sum, sums[i]) == 0,
                      "%s: frame %d differs from a straight decode", kind->name, i);
    }
    ck_assert_msg(!rb_picture_is_doubtful(picture), "%s: frame %d", kind->name, i);
}

/* Else what was decoded once is still held, and nothing is searched for again. */
static void hold_few_frames(RbReel *reel)
{
    g_autoptr(RbFilmFacts) facts = rb_reel_dup_facts(reel);
    const int64_t frame = (int64_t)facts->width * facts->height * 3 / 2;
    rb_reel_keep(reel, &(RbReelKeep){ .first = 0, .last = -1, .budget = 8 * frame });
}

void kind_check(const Kind *kind, const char *path)
{
    RbReel *reel = reel_must_open(path);
    const int n = (int)rb_reel_get_frame_count(reel);
    ck_assert_msg(n == (kind->frames > 0 ? kind->frames : KIND_FRAMES), "%s: %d frames",
                  kind->name, n);
    g_auto(GStrv) sums = kind->codes_only ? NULL : kind_md5s(path);
    ck_assert_int_eq(sums != NULL ? (int)g_strv_length(sums) : n, n);
    for (int i = 0; i < n; i++) {
        check_frame(reel, kind, sums, i, false);
    }
    hold_few_frames(reel);
    for (int i = n - 1; i >= 0; i--) {
        check_frame(reel, kind, sums, i, false);
    }
    g_autofree int *order = shuffled(n, rb_test_seed(7));
    for (int i = 0; i < n; i++) {
        check_frame(reel, kind, sums, order[i], false);
    }
    for (int i = 0; i < n; i++) {
        check_frame(reel, kind, sums, order[n - 1 - i], true);
    }
    for (int i = 1; i < n; i++) {
        ck_assert_int_ge(rb_reel_get_frame_us(reel, i),
                         rb_reel_get_frame_us(reel, i - 1));
    }
    reel_must_close(reel);
}
