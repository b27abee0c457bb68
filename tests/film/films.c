/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "films.h"

#include <glib.h>
#include <stdarg.h>
#include <stdio.h>

#include "frame-code.h"
#include "made.h"
#include "suite.h"

char *film_write(const char *name, const RbWriterOptions *options, int frames)
{
    char *path = rb_test_path(name);
    GError *error = NULL;
    g_autoptr(RbFilmWriter) writer = rb_film_writer_open(path, options, NULL, &error);
    rb_assert_no_error(error);
    for (int i = 0; i < frames; i++) {
        RbWriterFrame frame;
        rb_film_writer_next(writer, &frame, &error);
        rb_assert_no_error(error);
        ck_assert_int_eq(frame.ordinal, i);
        frame_code_draw(&frame, options->width, options->height, i);
        rb_film_writer_push(writer, &error);
        rb_assert_no_error(error);
    }
    ck_assert(rb_film_writer_finish(writer, &error));
    rb_assert_no_error(error);
    return path;
}

char *film_write_plain(const char *name, int frames)
{
    const RbWriterOptions options = {
        .width = 160, .height = 90, .rate = { 30, 1 }, .gop = 15, .b_frames = 2
    };
    return film_write(name, &options, frames);
}

char *film_write_raw(const char *name, int width, int height, int frames)
{
    return film_write_raw_from(name, width, height, 0, frames);
}

char *film_write_raw_from(const char *name, int width, int height, int first, int frames)
{
    char *path = rb_test_path(name);
    FILE *file = fopen(path, "wb");
    ck_assert_ptr_nonnull(file);
    const size_t luma = (size_t)width * (size_t)height;
    g_autofree uint8_t *bytes = g_malloc(luma * 3 / 2);
    const RbWriterFrame frame = { .planes = { bytes, bytes + luma, bytes + luma * 5 / 4 },
                                  .strides = { width, width / 2, width / 2 } };
    for (int i = 0; i < frames; i++) {
        frame_code_draw(&frame, width, height, first + i);
        ck_assert_uint_eq(fwrite(bytes, 1, luma * 3 / 2, file), luma * 3 / 2);
    }
    fclose(file);
    return path;
}

static bool run(char *const *argv, char **output)
{
    int status = 1;
    g_autofree char *errors = NULL;
    g_autoptr(GError) error = NULL;
    const bool started = g_spawn_sync(NULL, (char **)argv, NULL, G_SPAWN_SEARCH_PATH,
                                      NULL, NULL, output, &errors, &status, &error);
    if (!started || status != 0) {
        fprintf(stderr, "%s: %s\n", argv[0], started ? errors : error->message);
        return false;
    }
    return true;
}

static GPtrArray *collect(const char *first, va_list args)
{
    GPtrArray *argv = g_ptr_array_new();
    for (const char *word = first; word != NULL; word = va_arg(args, const char *)) {
        g_ptr_array_add(argv, (char *)(uintptr_t)word);
    }
    return argv;
}

bool run_program(const char *program, ...)
{
    va_list args;
    va_start(args, program);
    g_autoptr(GPtrArray) argv = collect(program, args);
    va_end(args);
    g_ptr_array_add(argv, NULL);
    g_autofree char *output = NULL;
    return run((char *const *)argv->pdata, &output);
}

char *read_program(const char *program, ...)
{
    va_list args;
    va_start(args, program);
    g_autoptr(GPtrArray) argv = collect(program, args);
    va_end(args);
    g_ptr_array_add(argv, NULL);
    char *output = NULL;
    if (!run((char *const *)argv->pdata, &output)) {
        g_clear_pointer(&output, g_free);
    }
    return output;
}

typedef struct {
    int frames;
    const GPtrArray *words; /* between the raw frames and the film; ends with NULL */
} Encode;

static void write_encoded(const char *path, const void *data)
{
    const Encode *encode = data;
    g_autofree char *raw = film_write_raw("raw.yuv", 160, 96, encode->frames);
    static const char *const start[] = { "ffmpeg",  "-v", "error",    "-nostdin",
                                         "-y",      "-f", "rawvideo", "-pix_fmt",
                                         "yuv420p", "-s", "160x96",   "-r",
                                         "30",      "-i" };
    g_autoptr(GPtrArray) argv = g_ptr_array_new();
    for (size_t i = 0; i < G_N_ELEMENTS(start); i++) {
        g_ptr_array_add(argv, (char *)(uintptr_t)start[i]);
    }
    g_ptr_array_add(argv, raw);
    for (guint i = 0; i + 1 < encode->words->len; i++) {
        g_ptr_array_add(argv, encode->words->pdata[i]);
    }
    g_ptr_array_add(argv, (char *)(uintptr_t)path);
    g_ptr_array_add(argv, NULL);
    g_autofree char *output = NULL;
    ck_assert_msg(run((char *const *)argv->pdata, &output), "ffmpeg could not make %s",
                  path);
}

char *film_encode(const char *name, int frames, ...)
{
    va_list args;
    va_start(args, frames);
    const char *first = va_arg(args, const char *);
    g_autoptr(GPtrArray) words = collect(first, args);
    va_end(args);
    g_ptr_array_add(words, NULL);
    g_autofree char *joined = g_strjoinv(" ", (char **)words->pdata);
    g_autofree char *recipe = g_strdup_printf("encode %s %d %s", name, frames, joined);
    return made_once(name, recipe, write_encoded, &(Encode){ frames, words });
}
