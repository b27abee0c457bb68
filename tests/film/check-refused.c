/* SPDX-License-Identifier: GPL-3.0-or-later */
#define _GNU_SOURCE /* setresuid */
#include <glib/gstdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "rb/film/error.h"

#include "films.h"
#include "reels.h"
#include "suite.h"

TCase *rb_case_refused(void);

/* One sentence each: the film's name, what is wrong, what to do. */
static void refuses(const char *path, int code, const char *says)
{
    g_autoptr(GError) error = NULL;
    g_autofree char *name = g_filename_display_basename(path);
    ck_assert_ptr_null(rb_reel_open_wait(path, NULL, 20000, NULL, &error));
    ck_assert_msg(g_error_matches(error, RB_FILM_ERROR, code), "%s: %s", name,
                  error->message);
    ck_assert_msg(strstr(error->message, says) != NULL, "%s", error->message);
    ck_assert_ptr_null(strchr(error->message, '\n'));
    ck_assert(rb_reel_wait_all_closed(10000));
}

static char *file_with(const char *name, const char *bytes, gssize n)
{
    char *path = rb_test_path(name);
    ck_assert(g_file_set_contents(path, bytes, n, NULL));
    return path;
}

START_TEST(test_refused__what_is_not_a_file)
{
    g_autofree char *folder = rb_test_path("folder.mp4");
    g_autofree char *pipe = rb_test_path("pipe.mp4");
    g_autofree char *link = rb_test_path("link.mp4");
    g_autofree char *loop = rb_test_path("loop.mp4");
    g_autofree char *missing = rb_test_path("missing.mp4");
    ck_assert_int_eq(g_mkdir(folder, 0755), 0);
    ck_assert_int_eq(mkfifo(pipe, 0644), 0);
    ck_assert_int_eq(symlink("missing.mp4", link), 0);
    ck_assert_int_eq(symlink("loop.mp4", loop), 0);
    refuses(folder, RB_FILM_ERROR_NOT_A_FILE, "\"folder.mp4\" is a folder");
    refuses(pipe, RB_FILM_ERROR_NOT_A_FILE, "\"pipe.mp4\" is not a file");
    refuses(link, RB_FILM_ERROR_MISSING, "link.mp4");
    refuses(loop, RB_FILM_ERROR_MISSING, "leads nowhere");
    refuses(missing, RB_FILM_ERROR_MISSING, "missing.mp4");
    refuses("/dev/null", RB_FILM_ERROR_NOT_A_FILE, "null");
}
END_TEST

START_TEST(test_refused__files_without_a_film)
{
    g_autofree char *empty = file_with("empty.mp4", "", 0);
    g_autofree char *text = file_with("text.mp4", "Third and nine, trips left.\n", -1);
    g_autofree char *page =
        file_with("page.mov", "<!DOCTYPE html><html><body>404</body></html>", -1);
    GString *noise = g_string_new(NULL);
    for (unsigned i = 0, state = 1; i < 65536; i++) {
        state = state * 1103515245u + 12345u;
        g_string_append_c(noise, (char)(state >> 16));
    }
    g_autofree char *random = file_with("noise.mp4", noise->str, (gssize)noise->len);
    g_string_free(noise, TRUE);
    refuses(empty, RB_FILM_ERROR_EMPTY, "empty");
    refuses(text, RB_FILM_ERROR_NOT_A_FILM, "\"text.mp4\" is not a film");
    refuses(page, RB_FILM_ERROR_NOT_A_FILM, "page.mov");
    refuses(random, RB_FILM_ERROR_NOT_A_FILM, "noise.mp4");
}
END_TEST

START_TEST(test_refused__no_video)
{
    g_autofree char *sound = rb_test_path("sound.mp4");
    g_autofree char *wave = rb_test_path("sound.wav");
    ck_assert(run_program("ffmpeg", "-v", "error", "-f", "lavfi", "-i", "sine=d=1",
                          "-c:a", "aac", sound, NULL));
    ck_assert(run_program("ffmpeg", "-v", "error", "-f", "lavfi", "-i", "sine=d=1", wave,
                          NULL));
    refuses(sound, RB_FILM_ERROR_NO_VIDEO, "\"sound.mp4\" has sound but no video");
    refuses(wave, RB_FILM_ERROR_NO_VIDEO, "sound.wav");
}
END_TEST

static char *cut_film(const char *path, const char *name, double share)
{
    g_autofree char *bytes = NULL;
    size_t n = 0;
    ck_assert(g_file_get_contents(path, &bytes, &n, NULL));
    return file_with(name, bytes, (gssize)((double)n * share));
}

START_TEST(test_refused__unfinished_recording)
{
    /* The index comes last, so a cut film has none. */
    g_autofree char *whole = film_write_plain("whole.mp4", 60);
    g_autofree char *cut = cut_film(whole, "cut.mp4", 0.6);
    refuses(cut, RB_FILM_ERROR_UNFINISHED, "\"cut.mp4\" was not finished");
}
END_TEST

START_TEST(test_refused__cut_film_with_an_index_is_used_with_a_doubt)
{
    const RbWriterOptions options = {
        .width = 160, .height = 90, .rate = { 30, 1 }, .gop = 10, .faststart = true
    };
    g_autofree char *whole = film_write("whole.mp4", &options, 60);
    g_autofree char *cut = cut_film(whole, "cut.mp4", 0.7);
    RbReel *reel = reel_must_open(cut);
    const int n = (int)rb_reel_get_frame_count(reel);
    ck_assert_int_gt(n, 20);
    ck_assert_int_lt(n, 60);
    for (int i = 0; i < n - 1; i++) {
        ck_assert_int_eq(reel_code(reel, i), i);
    }
    g_autoptr(RbFilmFacts) facts = rb_reel_dup_facts(reel);
    ck_assert_uint_ge(facts->doubts->len, 1);
    const char *doubt = g_ptr_array_index(facts->doubts, 0);
    g_autofree char *numbers = g_strdup_printf("of 60 frames %d are there", n);
    ck_assert_msg(strstr(doubt, numbers) != NULL, "%s", doubt);
    reel_must_close(reel);
}
END_TEST

/* Such films killed the helper: the parent does not believe in pictures of that size. */
START_TEST(test_refused__pictures_higher_than_any)
{
    g_autofree char *whole = film_encode("whole.wmv", 10, "-c:v", "wmv2", NULL);
    g_autofree char *bytes = NULL;
    size_t n = 0;
    ck_assert(g_file_get_contents(whole, &bytes, &n, NULL));
    /* BITMAPINFOHEADER: the height, four bytes, and eight bytes on the code of the kind. */
    char *code = memmem(bytes, n, "WMV2", 4);
    ck_assert_ptr_nonnull(code);
    code[-8] = code[-7] = 0x40;
    g_autofree char *high = file_with("high.wmv", bytes, (gssize)n);
    refuses(high, RB_FILM_ERROR_NO_PICTURE, "Not one whole picture");
}
END_TEST

START_TEST(test_refused__no_permission)
{
    g_autofree char *path = film_write_plain("secret.mp4", 5);
    ck_assert_int_eq(g_chmod(path, 0), 0);
    ck_assert_int_eq(g_chmod(rb_test_folder(), 0755), 0);
    if (geteuid() == 0) { /* root may read everything; be somebody else */
        ck_assert_int_eq(seteuid(65534), 0);
    }
    refuses(path, RB_FILM_ERROR_PERMISSION, "\"secret.mp4\" may not be read");
    if (getuid() == 0) {
        ck_assert_int_eq(seteuid(0), 0);
    }
}
END_TEST

START_TEST(test_refused__names_stay_on_one_line)
{
    g_autofree char *path = rb_test_path("a\nb\xe2\x80\xae.mp4");
    g_autoptr(GError) error = NULL;
    ck_assert_ptr_null(rb_reel_open_wait(path, NULL, 20000, NULL, &error));
    ck_assert_ptr_nonnull(strstr(error->message, "\"a?b?.mp4\""));
    ck_assert(rb_reel_wait_all_closed(10000));
}
END_TEST

/* What people, cameras and other systems call films. Some would be options, patterns, addresses
 * or commands to a careless program; some are not text; two are as long as a name may be. */
START_TEST(test_refused__odd_names_open)
{
    char longest[256];
    char longest_wide[250];
    memset(longest, 'n', 251);
    g_strlcpy(longest + 251, ".mp4", 5);
    for (int i = 0; i < 83; i++) {
        memcpy(longest_wide + 3 * i, "\xe8\xa9\xa6", 3);
    }
    longest_wide[249] = '\0';
    const char *const names[] = { "-leading-dash.mp4",
                                  "has#hash.mp4",
                                  "100%done.mp4",
                                  "%03d.mp4",
                                  "new\nline.mp4",
                                  "colon:name.mp4",
                                  "http:host.mp4",
                                  "concat:a|b.mp4",
                                  "file:twice.mp4",
                                  "semi;colon & amp.mp4",
                                  "quote'single.mp4",
                                  "quote\"double.mp4",
                                  "back\\slash.mp4",
                                  "\xc3\xbc"
                                  "ber-\xe8\xa9\xa6\xe5\x90\x88-\xf0\x9f\x8f\x88.mp4",
                                  "nfd-u\xcc\x88"
                                  "ber.mp4",
                                  "invalid-\xff-utf8.mp4",
                                  " leading space.mp4",
                                  "trailing space .mp4",
                                  ".hidden.mp4",
                                  "no_extension",
                                  "UPPER.MP4",
                                  "two.dots.v1.mp4",
                                  "tab\ttab.mp4",
                                  "star*quest?.mp4",
                                  "<angle>.mp4",
                                  "$HOME.mp4",
                                  "`id`.mp4",
                                  "rtl-\xe2\x80\xae"
                                  "4pm.mp4",
                                  "CON.mp4",
                                  longest,
                                  longest_wide };
    g_autofree char *plain = film_write_plain("plain.mp4", 3);
    for (size_t i = 0; i < G_N_ELEMENTS(names); i++) {
        g_autofree char *path = rb_test_path(names[i]);
        ck_assert_int_eq(g_rename(plain, path), 0);
        RbReel *reel = reel_must_open(path);
        ck_assert_int_eq(reel_code(reel, 2), 2);
        reel_must_close(reel);
        ck_assert_int_eq(g_rename(path, plain), 0);
    }
}
END_TEST

START_TEST(test_refused__a_link_leads_to_its_film)
{
    g_autofree char *plain = film_write_plain("plain.mp4", 3);
    g_autofree char *link = rb_test_path("link.mp4");
    ck_assert_int_eq(symlink("plain.mp4", link), 0);
    RbReel *reel = reel_must_open(link);
    ck_assert_int_eq(reel_code(reel, 1), 1);
    reel_must_close(reel);
}
END_TEST

/* A path of 3,600 bytes, near the 4,096 that Linux takes. */
START_TEST(test_refused__a_film_lies_deep)
{
    g_autofree char *plain = film_write_plain("plain.mp4", 3);
    g_autofree char *root = rb_test_path("");
    GString *deep = g_string_new(root);
    char part[202];
    memset(part, 'd', 200);
    part[200] = '/';
    part[201] = '\0';
    while (deep->len < 3600) {
        g_string_append(deep, part);
        ck_assert_int_eq(g_mkdir(deep->str, 0700), 0);
    }
    g_string_append(deep, "deep.mp4");
    ck_assert_int_eq(g_rename(plain, deep->str), 0);
    RbReel *reel = reel_must_open(deep->str);
    ck_assert_int_eq(reel_code(reel, 2), 2);
    reel_must_close(reel);
    g_string_free(deep, true);
}
END_TEST

START_TEST(test_refused__requests_after_the_end_are_answered)
{
    g_autofree char *path = rb_test_path("missing.mp4");
    RbReel *reel = rb_reel_open(path, NULL, NULL);
    for (int i = 0; i < 3; i++) {
        g_autoptr(GError) error = NULL;
        ck_assert_ptr_null(rb_reel_wait_frame(reel, i, NULL, NULL, 10000, &error));
        ck_assert(g_error_matches(error, RB_FILM_ERROR, RB_FILM_ERROR_MISSING));
    }
    reel_must_close(reel);
}
END_TEST

TCase *rb_case_refused(void)
{
    TCase *tcase = rb_case_new("refused");
    tcase_add_test(tcase, test_refused__what_is_not_a_file);
    tcase_add_test(tcase, test_refused__files_without_a_film);
    tcase_add_test(tcase, test_refused__no_video);
    tcase_add_test(tcase, test_refused__unfinished_recording);
    tcase_add_test(tcase, test_refused__cut_film_with_an_index_is_used_with_a_doubt);
    tcase_add_test(tcase, test_refused__pictures_higher_than_any);
    tcase_add_test(tcase, test_refused__no_permission);
    tcase_add_test(tcase, test_refused__names_stay_on_one_line);
    tcase_add_test(tcase, test_refused__odd_names_open);
    tcase_add_test(tcase, test_refused__a_link_leads_to_its_film);
    tcase_add_test(tcase, test_refused__a_film_lies_deep);
    tcase_add_test(tcase, test_refused__requests_after_the_end_are_answered);
    return tcase;
}
