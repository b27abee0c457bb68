/* SPDX-License-Identifier: GPL-3.0-or-later */
#define _GNU_SOURCE /* memmem */
#include <glib/gstdio.h>
#include <string.h>
#include <sys/stat.h>

#include "rb/base/error.h"
#include "rb/film/error.h"
#include "rb/film/writer.h"

#include "films.h"
#include "frame-code.h"
#include "suite.h"

TCase *rb_case_writer(void);

static const RbWriterOptions small = {
    .width = 160, .height = 90, .rate = { 60000, 1001 }, .gop = 30, .b_frames = 2
};

static int count_files(void)
{
    g_autoptr(GDir) dir = g_dir_open(rb_test_folder(), 0, NULL);
    int n = 0;
    while (g_dir_read_name(dir) != NULL) {
        n++;
    }
    return n;
}

/* ffprobe is the outside judge of what was written. */
static char *probe(const char *path, const char *entries)
{
    char *text =
        read_program("ffprobe", "-v", "error", "-select_streams", "v:0", "-count_packets",
                     "-show_entries", entries, "-of", "csv=p=0", path, NULL);
    ck_assert_ptr_nonnull(text);
    return g_strstrip(text);
}

START_TEST(test_writer__film_has_exact_rate_and_frames)
{
    g_autofree char *path = film_write("a.mp4", &small, 100);
    g_autofree char *facts = probe(path, "stream=codec_name,width,height,r_frame_rate,"
                                         "color_space,avg_frame_rate,nb_read_packets");
    ck_assert_str_eq(facts, "h264,160,90,bt709,60000/1001,60000/1001,100");
    ck_assert_int_eq(count_files(), 1);
}
END_TEST

START_TEST(test_writer__pts_do_not_drift)
{
    g_autofree char *path = film_write("a.mp4", &small, 61);
    g_autofree char *text = read_program("ffprobe", "-v", "error", "-show_entries",
                                         "frame=pts", "-of", "csv=p=0", path, NULL);
    g_auto(GStrv) lines = g_strsplit(text, "\n", -1);
    int n = 0;
    for (char **line = lines; *line != NULL; line++) {
        if (**line != '\0') { /* a frame with side data ends with an empty line */
            ck_assert_int_eq(g_ascii_strtoll(*line, NULL, 10), (int64_t)n * 1001);
            n++;
        }
    }
    ck_assert_int_eq(n, 61);
}
END_TEST

START_TEST(test_writer__every_frame_is_the_one_given)
{
    g_autofree char *path = film_write("a.mp4", &small, 45);
    g_autofree char *gray = rb_test_path("a.gray");
    ck_assert(run_program("ffmpeg", "-v", "error", "-i", path, "-f", "rawvideo",
                          "-pix_fmt", "gray", gray, NULL));
    g_autofree char *bytes = NULL;
    size_t n = 0;
    ck_assert(g_file_get_contents(gray, &bytes, &n, NULL));
    ck_assert_uint_eq(n, 45 * 160 * 90);
    for (int i = 0; i < 45; i++) {
        ck_assert_int_eq(
            frame_code_read((uint8_t *)bytes + (size_t)i * 160 * 90, 160, 160, 90), i);
    }
}
END_TEST

START_TEST(test_writer__faststart_puts_the_index_first)
{
    RbWriterOptions options = small;
    options.faststart = true;
    g_autofree char *path = film_write("a.mp4", &options, 30);
    g_autofree char *bytes = NULL;
    size_t n = 0;
    ck_assert(g_file_get_contents(path, &bytes, &n, NULL));
    const char *index = memmem(bytes, n, "moov", 4);
    const char *data = memmem(bytes, n, "mdat", 4);
    ck_assert(index != NULL && data != NULL && index < data);
}
END_TEST

START_TEST(test_writer__group_length_is_kept)
{
    RbWriterOptions options = small;
    options.gop = 1;
    g_autofree char *path = film_write("a.mp4", &options, 10);
    g_autofree char *text = read_program("ffprobe", "-v", "error", "-show_entries",
                                         "packet=flags", "-of", "csv=p=0", path, NULL);
    g_auto(GStrv) lines = g_strsplit(g_strstrip(text), "\n", -1);
    ck_assert_uint_eq(g_strv_length(lines), 10);
    for (int i = 0; i < 10; i++) {
        ck_assert_int_eq(lines[i][0], 'K');
    }
}
END_TEST

START_TEST(test_writer__same_frames_same_bytes)
{
    g_autofree char *one = film_write("a.mp4", &small, 40);
    g_autofree char *two = film_write("b.mp4", &small, 40);
    g_autofree char *bytes_one = NULL;
    g_autofree char *bytes_two = NULL;
    size_t n_one = 0;
    size_t n_two = 0;
    ck_assert(g_file_get_contents(one, &bytes_one, &n_one, NULL));
    ck_assert(g_file_get_contents(two, &bytes_two, &n_two, NULL));
    ck_assert_mem_eq(bytes_one, bytes_two, n_one);
    ck_assert_uint_eq(n_one, n_two);
}
END_TEST

START_TEST(test_writer__two_at_once)
{
    g_autofree char *path_a = rb_test_path("a.mp4");
    g_autofree char *path_b = rb_test_path("b.mp4");
    GError *error = NULL;
    g_autoptr(RbFilmWriter) a = rb_film_writer_open(path_a, &small, NULL, &error);
    rb_assert_no_error(error);
    g_autoptr(RbFilmWriter) b = rb_film_writer_open(path_b, &small, NULL, &error);
    rb_assert_no_error(error);
    for (int i = 0; i < 20; i++) {
        RbFilmWriter *const both[] = { a, b };
        for (int j = 0; j < 2; j++) {
            RbWriterFrame frame;
            ck_assert(rb_film_writer_next(both[j], &frame, NULL));
            frame_code_draw(&frame, 160, 90, i + 100 * j);
            ck_assert(rb_film_writer_push(both[j], NULL));
        }
    }
    ck_assert(rb_film_writer_finish(a, NULL));
    ck_assert(rb_film_writer_finish(b, NULL));
    g_autofree char *facts = probe(path_b, "stream=nb_read_packets");
    ck_assert_str_eq(facts, "20");
}
END_TEST

/* Frame numbers that ffmpeg, the outside judge, reads in a film. */
static void check_codes(const char *path, int first, int frames)
{
    g_autofree char *gray = g_strconcat(path, ".gray", NULL);
    ck_assert(run_program("ffmpeg", "-v", "error", "-i", path, "-f", "rawvideo",
                          "-pix_fmt", "gray", gray, NULL));
    g_autofree char *bytes = NULL;
    size_t n = 0;
    ck_assert(g_file_get_contents(gray, &bytes, &n, NULL));
    ck_assert_uint_eq(n, (size_t)frames * 160 * 90);
    for (int i = 0; i < frames; i++) {
        ck_assert_int_eq(
            frame_code_read((uint8_t *)bytes + (size_t)i * 160 * 90, 160, 160, 90),
            first + i);
    }
}

/* Frames 0 to 29 in the film alone, 30 to 71 in part a, 72 to 80 in part b, 81 to 99 alone. */
START_TEST(test_writer__parts_hold_their_frames)
{
    g_autofree char *path = rb_test_path("film.mp4");
    g_autofree char *a = rb_test_path("a.mp4");
    g_autofree char *b = rb_test_path("b.mp4");
    GError *error = NULL;
    g_autoptr(RbFilmWriter) writer = rb_film_writer_open(path, &small, NULL, &error);
    rb_assert_no_error(error);
    for (int i = 0; i < 100; i++) {
        RbWriterFrame frame;
        if (i == 30 || i == 72 || i == 81) {
            ck_assert(rb_film_writer_part(writer,
                                          i == 30   ? a
                                          : i == 72 ? b
                                                    : NULL,
                                          NULL));
        }
        ck_assert(rb_film_writer_next(writer, &frame, NULL));
        frame_code_draw(&frame, 160, 90, i);
        ck_assert(rb_film_writer_push(writer, NULL));
    }
    ck_assert(!g_file_test(a, G_FILE_TEST_EXISTS)); /* not before the whole is */
    rb_film_writer_finish(writer, &error);
    rb_assert_no_error(error);
    ck_assert_int_eq(count_files(), 3);
    check_codes(path, 0, 100);
    check_codes(a, 30, 42);
    check_codes(b, 72, 9);
    g_autofree char *facts = probe(a, "stream=r_frame_rate,start_pts,nb_read_packets");
    ck_assert_str_eq(facts, "60000/1001,0,42");
}
END_TEST

START_TEST(test_writer__parts_go_with_their_film)
{
    g_autofree char *path = rb_test_path("film.mp4");
    g_autofree char *part = rb_test_path("part.mp4");
    g_autofree char *nowhere = rb_test_path("not there/part.mp4");
    GError *error = NULL;
    RbFilmWriter *writer = rb_film_writer_open(path, &small, NULL, &error);
    rb_assert_no_error(error);
    ck_assert(rb_film_writer_part(writer, part, NULL));
    for (int i = 0; i < 20; i++) {
        RbWriterFrame frame;
        ck_assert(rb_film_writer_next(writer, &frame, NULL));
        frame_code_draw(&frame, 160, 90, i);
        ck_assert(rb_film_writer_push(writer, NULL));
    }
    ck_assert(!rb_film_writer_part(writer, nowhere, &error));
    ck_assert(g_error_matches(error, RB_FILM_ERROR, RB_FILM_ERROR_WRITE));
    g_clear_error(&error);
    rb_film_writer_free(writer);
    ck_assert_int_eq(count_files(), 0);
}
END_TEST

/* A part that is replaced before its first frame leaves no file. */
START_TEST(test_writer__part_without_frames_is_no_file)
{
    g_autofree char *path = rb_test_path("film.mp4");
    g_autofree char *none = rb_test_path("none.mp4");
    g_autofree char *some = rb_test_path("some.mp4");
    GError *error = NULL;
    g_autoptr(RbFilmWriter) writer = rb_film_writer_open(path, &small, NULL, &error);
    rb_assert_no_error(error);
    ck_assert(rb_film_writer_part(writer, none, NULL));
    ck_assert(rb_film_writer_part(writer, some, NULL));
    for (int i = 0; i < 3; i++) {
        RbWriterFrame frame;
        ck_assert(rb_film_writer_next(writer, &frame, NULL));
        frame_code_draw(&frame, 160, 90, i);
        ck_assert(rb_film_writer_push(writer, NULL));
    }
    rb_film_writer_finish(writer, &error);
    rb_assert_no_error(error);
    ck_assert(!g_file_test(none, G_FILE_TEST_EXISTS));
    check_codes(some, 0, 3);
}
END_TEST

START_TEST(test_writer__cancel_leaves_nothing)
{
    g_autofree char *path = rb_test_path("a.mp4");
    g_autoptr(RbCancel) cancel = rb_cancel_new(NULL);
    g_autoptr(GError) error = NULL;
    RbFilmWriter *writer = rb_film_writer_open(path, &small, cancel, NULL);
    ck_assert_ptr_nonnull(writer);
    RbWriterFrame frame;
    ck_assert(rb_film_writer_next(writer, &frame, NULL));
    frame_code_draw(&frame, 160, 90, 0);
    ck_assert(rb_film_writer_push(writer, NULL));
    rb_cancel_cancel(cancel);
    ck_assert(!rb_film_writer_next(writer, &frame, &error));
    ck_assert(rb_error_is_cancelled(error));
    rb_film_writer_free(writer);
    ck_assert_int_eq(count_files(), 0);
}
END_TEST

START_TEST(test_writer__old_film_stays_until_the_new_one_is_whole)
{
    g_autofree char *path = rb_test_path("a.mp4");
    ck_assert(g_file_set_contents(path, "old", -1, NULL));
    RbFilmWriter *writer = rb_film_writer_open(path, &small, NULL, NULL);
    RbWriterFrame frame;
    ck_assert(rb_film_writer_next(writer, &frame, NULL));
    frame_code_draw(&frame, 160, 90, 0);
    ck_assert(rb_film_writer_push(writer, NULL));
    rb_film_writer_free(writer);
    g_autofree char *bytes = NULL;
    ck_assert(g_file_get_contents(path, &bytes, NULL, NULL));
    ck_assert_str_eq(bytes, "old");
    ck_assert_int_eq(count_files(), 1);
}
END_TEST

START_TEST(test_writer__bad_settings_and_places_are_refused)
{
    g_autofree char *path = rb_test_path("a.mp4");
    g_autofree char *nowhere = rb_test_path("no/such/a.mp4");
    RbWriterOptions odd = small;
    odd.width = 161;
    RbWriterOptions stopped = small;
    stopped.rate = (RbRational){ 0, 1 };
    const struct {
        const char *path;
        const RbWriterOptions *options;
        const char *says;
    } rows[] = {
        { path, &odd, "161 by 90" },
        { path, &stopped, "0/1 frames" },
        { nowhere, &small, "a.mp4" },
    };
    for (size_t i = 0; i < G_N_ELEMENTS(rows); i++) {
        g_autoptr(GError) error = NULL;
        ck_assert_ptr_null(
            rb_film_writer_open(rows[i].path, rows[i].options, NULL, &error));
        ck_assert_ptr_nonnull(error);
        ck_assert_ptr_nonnull(strstr(error->message, rows[i].says));
    }
    ck_assert_int_eq(count_files(), 0);
}
END_TEST

START_TEST(test_writer__no_frames_is_an_error)
{
    g_autofree char *path = rb_test_path("a.mp4");
    g_autoptr(RbFilmWriter) writer = rb_film_writer_open(path, &small, NULL, NULL);
    g_autoptr(GError) error = NULL;
    ck_assert(!rb_film_writer_finish(writer, &error));
    ck_assert_ptr_nonnull(strstr(error->message, "a.mp4"));
}
END_TEST

START_TEST(test_writer__missing_helper_is_a_sentence)
{
    g_setenv("READBREAK_DECODE", "/nowhere/readbreak-decode", true);
    g_autofree char *path = rb_test_path("a.mp4");
    g_autoptr(GError) error = NULL;
    ck_assert_ptr_null(rb_film_writer_open(path, &small, NULL, &error));
    ck_assert(g_error_matches(error, RB_FILM_ERROR, RB_FILM_ERROR_HELPER));
    ck_assert_int_eq(count_files(), 0);
}
END_TEST

TCase *rb_case_writer(void)
{
    TCase *tcase = rb_case_new("writer");
    tcase_add_test(tcase, test_writer__film_has_exact_rate_and_frames);
    tcase_add_test(tcase, test_writer__pts_do_not_drift);
    tcase_add_test(tcase, test_writer__every_frame_is_the_one_given);
    tcase_add_test(tcase, test_writer__faststart_puts_the_index_first);
    tcase_add_test(tcase, test_writer__group_length_is_kept);
    tcase_add_test(tcase, test_writer__same_frames_same_bytes);
    tcase_add_test(tcase, test_writer__two_at_once);
    tcase_add_test(tcase, test_writer__parts_hold_their_frames);
    tcase_add_test(tcase, test_writer__parts_go_with_their_film);
    tcase_add_test(tcase, test_writer__part_without_frames_is_no_file);
    tcase_add_test(tcase, test_writer__cancel_leaves_nothing);
    tcase_add_test(tcase, test_writer__old_film_stays_until_the_new_one_is_whole);
    tcase_add_test(tcase, test_writer__bad_settings_and_places_are_refused);
    tcase_add_test(tcase, test_writer__no_frames_is_an_error);
    tcase_add_test(tcase, test_writer__missing_helper_is_a_sentence);
    return tcase;
}
