/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The film on the main loop: exact frames, one moment on two angles. No display. */
#include <string.h>

#include "rb/film/reel.h"
#include "rb/work/tagging.h"

#include "cases.h"
#include "deck.h"
#include "display.h"
#include "sample-library.h"

typedef struct {
    RbDeck *deck;
    RbSheet *sheet; /* owned */
    int64_t frame;  /* waited for */
} Stand;

static bool is_ready(void *data)
{
    RbProjector *projector = rb_deck_get_projector(((Stand *)data)->deck);
    return projector != NULL && rb_projector_get_state(projector) == RB_PROJECTOR_READY &&
           rb_projector_get_texture(projector) != NULL;
}

static bool is_shown(void *data)
{
    const Stand *stand = data;
    RbProjector *projector = rb_deck_get_projector(stand->deck);
    return is_ready(data) && rb_projector_get_frame(projector) == stand->frame;
}

static bool stands(void *data)
{
    return rb_deck_get_speed(((Stand *)data)->deck) == 0;
}

static RbSheet *load_sheet(const char *path, int snap)
{
    GError *error = NULL;
    g_autoptr(RbLibrary) library = rb_library_open_to_read(path, &error);
    rb_assert_no_error(error);
    RbSheet *sheet = rb_library_load_sheet(library, rb_sample_snap_id(snap), &error);
    rb_assert_no_error(error);
    return sheet;
}

static void stand_start(Stand *stand, const char *path, int snap)
{
    stand->deck = rb_deck_new();
    stand->sheet = load_sheet(path, snap);
    rb_deck_set_clips(stand->deck, stand->sheet->clips, stand->sheet->paths);
    ck_assert(rb_display_run_until(is_ready, stand));
}

static void stand_end(Stand *stand)
{
    g_object_unref(stand->deck);
    rb_sheet_free(stand->sheet);
    ck_assert(rb_reel_wait_all_closed(10000));
}

/* The number that is drawn into the picture shown. */
static int64_t picture_number(RbDeck *deck)
{
    GdkTexture *texture = rb_projector_get_texture(rb_deck_get_projector(deck));
    const int width = gdk_texture_get_width(texture);
    const int height = gdk_texture_get_height(texture);
    g_autofree guchar *pixels = g_malloc((gsize)width * height * 4);
    gdk_texture_download(texture, pixels, (gsize)width * 4);
    return rb_sample_frame_code(pixels, width, height, (size_t)width * 4);
}

static void expect_frame(Stand *stand, int64_t frame)
{
    stand->frame = frame;
    ck_assert_msg(rb_display_run_until(is_shown, stand), "frame %d never came",
                  (int)frame);
    ck_assert_int_eq(picture_number(stand->deck), frame);
}

static char *make_library(void)
{
    char *path = rb_test_path("sample.readbreak");
    GError *error = NULL;
    ck_assert(rb_sample_library_make(path, true, &error));
    rb_assert_no_error(error);
    return path;
}

START_TEST(test_deck__starts_on_the_snap_and_steps_exactly)
{
    Stand stand;
    g_autofree char *path = make_library();
    stand_start(&stand, path, 2);
    const int64_t snap = RB_SAMPLE_WIDE_LENGTH + RB_SAMPLE_WIDE_SNAP;
    expect_frame(&stand, snap);
    g_autofree char *at_snap = rb_deck_since_snap_text(stand.deck);
    ck_assert_str_eq(at_snap, "snap +0.00 s");
    rb_deck_step(stand.deck, 1);
    rb_deck_step(stand.deck, 1);
    expect_frame(&stand, snap + 2);
    rb_deck_step(stand.deck, -3);
    expect_frame(&stand, snap - 1);
    g_autofree char *before = rb_deck_since_snap_text(stand.deck);
    ck_assert_str_eq(before, "snap −0.03 s");
    stand_end(&stand);
}
END_TEST

/* Keys that come faster than pictures: what they mean does not hang on the machine. */
START_TEST(test_deck__the_frame_at_hand_is_the_one_asked_for)
{
    Stand stand;
    g_autofree char *path = make_library();
    stand_start(&stand, path, 2);
    const int64_t snap = RB_SAMPLE_WIDE_LENGTH + RB_SAMPLE_WIDE_SNAP;
    expect_frame(&stand, snap);
    rb_deck_step(stand.deck, 1);
    rb_deck_step(stand.deck, 1); /* of the two, one picture at most is shown by now */
    ck_assert_int_lt(rb_projector_get_frame(rb_deck_get_projector(stand.deck)), snap + 2);
    ck_assert_int_eq(rb_deck_get_frame_at_hand(stand.deck), snap + 2);
    rb_deck_set_span_end(stand.deck, 0);
    int64_t first = 0;
    int64_t last = 0;
    ck_assert(rb_deck_get_span(stand.deck, &first, &last));
    ck_assert_int_eq(first, snap + 2);
    rb_deck_clear_span(stand.deck);
    expect_frame(&stand, snap + 2);
    rb_deck_play(stand.deck, 1); /* while it runs, what is seen is meant */
    ck_assert_int_eq(rb_deck_get_frame_at_hand(stand.deck), snap + 2);
    rb_deck_play(stand.deck, 0);
    stand_end(&stand);
}
END_TEST

START_TEST(test_deck__keeps_within_the_clip_and_finds_its_marks)
{
    Stand stand;
    g_autofree char *path = make_library();
    stand_start(&stand, path, 2);
    rb_deck_step(stand.deck, -1000);
    expect_frame(&stand, RB_SAMPLE_WIDE_LENGTH);
    rb_deck_step(stand.deck, 1000);
    expect_frame(&stand, 2 * RB_SAMPLE_WIDE_LENGTH - 1);
    rb_deck_jump(stand.deck, -1);
    expect_frame(&stand, RB_SAMPLE_WIDE_LENGTH + RB_SAMPLE_WIDE_SNAP + 30);
    rb_deck_jump(stand.deck, -1);
    expect_frame(&stand, RB_SAMPLE_WIDE_LENGTH + RB_SAMPLE_WIDE_SNAP);
    stand_end(&stand);
}
END_TEST

START_TEST(test_deck__the_other_angle_shows_the_same_moment)
{
    Stand stand;
    g_autofree char *path = make_library();
    stand_start(&stand, path, 1);
    expect_frame(&stand, RB_SAMPLE_WIDE_SNAP);
    /* both films' indexes are there once each angle was shown */
    rb_deck_set_angle(stand.deck, RB_ANGLE_TIGHT);
    expect_frame(&stand, RB_SAMPLE_TIGHT_SNAP);
    rb_deck_set_angle(stand.deck, RB_ANGLE_WIDE);
    rb_deck_step(stand.deck, 15); /* half a second at 30 */
    expect_frame(&stand, RB_SAMPLE_WIDE_SNAP + 15);
    rb_deck_set_angle(stand.deck, RB_ANGLE_TIGHT);
    expect_frame(&stand, RB_SAMPLE_TIGHT_SNAP + 30); /* half a second at 60 */
    rb_deck_step(stand.deck, -45);
    expect_frame(&stand, RB_SAMPLE_TIGHT_SNAP - 15);
    rb_deck_set_angle(stand.deck, RB_ANGLE_WIDE);
    stand.frame = RB_SAMPLE_WIDE_SNAP - 8; /* the frame that is on at that moment */
    expect_frame(&stand, stand.frame);
    stand_end(&stand);
}
END_TEST

START_TEST(test_deck__plays_to_the_end_of_the_clip_and_stops_there)
{
    Stand stand;
    g_autofree char *path = make_library();
    stand_start(&stand, path, 2);
    rb_deck_step(stand.deck, 40);
    expect_frame(&stand, RB_SAMPLE_WIDE_LENGTH + RB_SAMPLE_WIDE_SNAP + 40);
    rb_deck_toggle(stand.deck);
    ck_assert(rb_deck_get_speed(stand.deck) == 1);
    ck_assert(rb_display_run_until(stands, &stand));
    expect_frame(&stand, 2 * RB_SAMPLE_WIDE_LENGTH - 1);
    stand_end(&stand);
}
END_TEST

START_TEST(test_deck__plays_backward_to_the_start_of_the_clip)
{
    Stand stand;
    g_autofree char *path = make_library();
    stand_start(&stand, path, 1);
    expect_frame(&stand, RB_SAMPLE_WIDE_SNAP);
    rb_deck_shuttle(stand.deck, -1);
    ck_assert(rb_deck_get_speed(stand.deck) == -1);
    ck_assert(rb_display_run_until(stands, &stand));
    expect_frame(&stand, 0);
    stand_end(&stand);
}
END_TEST

static bool is_later(void *data)
{
    return g_get_monotonic_time() >= *(const int64_t *)data;
}

static void run_for(int ms)
{
    int64_t until = g_get_monotonic_time() + (int64_t)ms * 1000;
    ck_assert(rb_display_run_until(is_later, &until));
}

static bool both_stand_on(RbDeck *deck, int64_t first, int64_t second)
{
    RbProjector *beside = rb_deck_get_second(deck);
    RbProjector *shown = rb_deck_get_projector(deck);
    return beside != NULL && rb_projector_get_texture(beside) != NULL &&
           rb_projector_get_frame(shown) == first && rb_projector_is_exact(shown) &&
           rb_projector_get_frame(beside) == second && rb_projector_is_exact(beside);
}

typedef struct {
    RbDeck *deck;
    int64_t first;
    int64_t second;
} Pair;

static bool is_pair_shown(void *data)
{
    const Pair *pair = data;
    return both_stand_on(pair->deck, pair->first, pair->second);
}

static void expect_pair(RbDeck *deck, int64_t first, int64_t second)
{
    Pair pair = { deck, first, second };
    ck_assert_msg(rb_display_run_until(is_pair_shown, &pair), "%d and %d never came",
                  (int)first, (int)second);
}

START_TEST(test_deck__both_angles_stand_and_run_on_one_moment)
{
    Stand stand;
    g_autofree char *path = make_library();
    stand_start(&stand, path, 1);
    rb_deck_set_both(stand.deck, true);
    expect_pair(stand.deck, RB_SAMPLE_WIDE_SNAP, RB_SAMPLE_TIGHT_SNAP);
    rb_deck_step(stand.deck, 15); /* half a second at 30, and at 60 */
    expect_pair(stand.deck, RB_SAMPLE_WIDE_SNAP + 15, RB_SAMPLE_TIGHT_SNAP + 30);
    rb_deck_play(stand.deck, 1);
    run_for(300);
    rb_deck_play(stand.deck, 0);
    ck_assert(rb_display_run_until(stands, &stand));
    const int64_t frame = rb_deck_get_frame(stand.deck);
    ck_assert_int_gt(frame, RB_SAMPLE_WIDE_SNAP + 15);
    expect_pair(stand.deck, frame,
                RB_SAMPLE_TIGHT_SNAP + 2 * (frame - RB_SAMPLE_WIDE_SNAP));
    rb_deck_set_angle(stand.deck, RB_ANGLE_TIGHT); /* they change places */
    expect_pair(stand.deck, RB_SAMPLE_TIGHT_SNAP + 2 * (frame - RB_SAMPLE_WIDE_SNAP),
                frame);
    rb_deck_set_both(stand.deck, false);
    ck_assert_ptr_null(rb_deck_get_second(stand.deck));
    stand_end(&stand);
}
END_TEST

START_TEST(test_deck__a_span_is_looped_and_cleared)
{
    Stand stand;
    g_autofree char *path = make_library();
    stand_start(&stand, path, 1);
    expect_frame(&stand, RB_SAMPLE_WIDE_SNAP);
    rb_deck_set_span_end(stand.deck, 0);
    rb_deck_step(stand.deck, 4);
    expect_frame(&stand, RB_SAMPLE_WIDE_SNAP + 4);
    rb_deck_set_span_end(stand.deck, 1);
    int64_t first = 0;
    int64_t last = 0;
    ck_assert(rb_deck_get_span(stand.deck, &first, &last));
    ck_assert_int_eq(first, RB_SAMPLE_WIDE_SNAP);
    ck_assert_int_eq(last, RB_SAMPLE_WIDE_SNAP + 4);
    rb_deck_set_loop(stand.deck, true);
    rb_deck_play(stand.deck, 1);
    for (int i = 0; i < 40; i++) {
        run_for(20);
        ck_assert_int_ge(rb_deck_get_frame(stand.deck), first);
        ck_assert_int_le(rb_deck_get_frame(stand.deck), last);
    }
    ck_assert(rb_deck_get_speed(stand.deck) == 1);
    rb_deck_play(stand.deck, 0);
    rb_deck_clear_span(stand.deck);
    ck_assert(!rb_deck_get_span(stand.deck, &first, &last));
    stand_end(&stand);
}
END_TEST

START_TEST(test_deck__a_pointer_and_a_held_key_end_where_they_are_let_go)
{
    Stand stand;
    g_autofree char *path = make_library();
    stand_start(&stand, path, 1);
    expect_frame(&stand, RB_SAMPLE_WIDE_SNAP);
    for (int i = 0; i < 30; i++) {
        rb_deck_scrub(stand.deck, i);
        run_for(2);
    }
    rb_deck_scrub_end(stand.deck);
    expect_frame(&stand, 29);
    rb_deck_hold(stand.deck, -1);
    for (int i = 0; i < 50; i++) { /* a key that repeats */
        rb_deck_hold(stand.deck, -1);
        run_for(8);
    }
    rb_deck_let_go(stand.deck);
    const int64_t frame = rb_deck_get_frame(stand.deck);
    ck_assert_int_lt(frame, 29);
    ck_assert_int_gt(frame, 29 - 20); /* some thirty a second at most */
    expect_frame(&stand, frame);
    stand_end(&stand);
}
END_TEST

START_TEST(test_deck__another_snap_keeps_the_angle_and_starts_at_its_own_snap)
{
    Stand stand;
    g_autofree char *path = make_library();
    stand_start(&stand, path, 1);
    rb_deck_set_angle(stand.deck, RB_ANGLE_TIGHT);
    expect_frame(&stand, RB_SAMPLE_TIGHT_SNAP);
    rb_sheet_free(stand.sheet);
    stand.sheet = load_sheet(path, 3);
    rb_deck_set_clips(stand.deck, stand.sheet->clips, stand.sheet->paths);
    ck_assert_int_eq(rb_deck_get_angle(stand.deck), RB_ANGLE_TIGHT);
    expect_frame(&stand, 2 * RB_SAMPLE_TIGHT_LENGTH + RB_SAMPLE_TIGHT_SNAP);
    stand_end(&stand);
}
END_TEST

static bool has_failed(void *data)
{
    return rb_projector_get_state(data) == RB_PROJECTOR_FAILED;
}

START_TEST(test_projector__a_film_that_is_gone_says_so)
{
    g_autofree char *path = rb_test_path("gone.mp4");
    RbProjector *projector = rb_projector_new(path);
    ck_assert(rb_display_run_until(has_failed, projector));
    ck_assert_ptr_nonnull(strstr(rb_projector_get_sentence(projector), "gone.mp4"));
    g_object_unref(projector);
    ck_assert(rb_reel_wait_all_closed(10000));
}
END_TEST

START_TEST(test_deck__without_clips_every_command_is_harmless)
{
    RbDeck *deck = rb_deck_new();
    rb_deck_step(deck, 1);
    rb_deck_toggle(deck);
    rb_deck_shuttle(deck, 1);
    rb_deck_jump(deck, 1);
    rb_deck_jump_to(deck, RB_MARK_SNAP);
    rb_deck_set_angle(deck, RB_ANGLE_TIGHT);
    rb_deck_set_both(deck, true);
    rb_deck_hold(deck, 1);
    rb_deck_let_go(deck);
    rb_deck_scrub(deck, 5);
    rb_deck_scrub_end(deck);
    rb_deck_set_span_end(deck, 0);
    rb_deck_set_loop(deck, true);
    ck_assert_int_eq(rb_deck_get_frame(deck), -1);
    g_autofree char *clock = rb_deck_clock_text(deck);
    ck_assert_str_eq(clock, "");
    g_object_unref(deck);
}
END_TEST

/* Half a second of interlaced film, 25 frames a second: two moments each, 20 ms apart. */
static char *make_interlaced(void)
{
    char *path = rb_test_path("interlaced.mp4");
    const char *words[] = { "ffmpeg",       "-v",
                            "error",        "-y",
                            "-f",           "lavfi",
                            "-i",           "testsrc2=size=160x96:rate=50:duration=0.6",
                            "-vf",          "tinterlace=interleave_top,setfield=tff",
                            "-c:v",         "libx264",
                            "-x264-params", "tff=1",
                            "-flags",       "+ildct+ilme",
                            "-pix_fmt",     "yuv420p",
                            path,           NULL };
    int status = 1;
    ck_assert(g_spawn_sync(NULL, (char **)words, NULL, G_SPAWN_SEARCH_PATH, NULL, NULL,
                           NULL, NULL, &status, NULL));
    ck_assert_int_eq(status, 0);
    return path;
}

static bool has_half(void *data)
{
    RbProjector *projector = rb_deck_get_projector(((Stand *)data)->deck);
    return is_shown(data) && rb_projector_get_wanted_half(projector) == 1;
}

/* A mark and the seconds that the rail takes over are those of the field that is seen. */
START_TEST(test_deck__a_moment_of_interlaced_film_is_that_of_its_field)
{
    static const RbTime start = { 0, { 1, 25 } };
    Stand stand = { .deck = rb_deck_new(), .frame = 4 };
    g_autofree char *path = make_interlaced();
    g_autoptr(GPtrArray) clips = g_ptr_array_new();
    g_autoptr(GPtrArray) paths = g_ptr_array_new();
    g_autoptr(RbClip) clip =
        rb_clip_new((RbClipId){ 1 }, (RbSnapId){ 1 }, (RbFilmId){ 1 }, RB_ANGLE_WIDE);
    const RbMark snap = { .kind = RB_MARK_SNAP, .frame = 2, .time = { 2, { 1, 25 } } };
    clip->last = 14;
    clip->first_time = start;
    g_array_append_val(clip->marks, snap);
    g_ptr_array_add(clips, clip);
    g_ptr_array_add(paths, path);
    rb_deck_set_clips(stand.deck, clips, paths);
    ck_assert(rb_display_run_until(is_ready, &stand));
    rb_deck_show(stand.deck, 4);
    ck_assert(rb_display_run_until(is_shown, &stand));
    g_autofree char *first = rb_deck_dup_seconds(stand.deck);
    ck_assert_str_eq(first, "0.080");
    rb_deck_step(stand.deck, 1); /* on to the second field of the same frame */
    ck_assert(rb_display_run_until(has_half, &stand));
    g_autofree char *second = rb_deck_dup_seconds(stand.deck);
    ck_assert_str_eq(second, "0.100");

    RbTime frame;
    RbTime field;
    ck_assert(rb_deck_get_moment(stand.deck, 4, false, &frame));
    ck_assert(rb_deck_get_moment(stand.deck, 4, true, &field));
    ck_assert_int_eq(rb_time_diff_ms(field, frame), 20);
    ck_assert(
        rb_deck_get_moment(stand.deck, 5, true, &field)); /* not at hand: its first */
    ck_assert_int_eq(rb_time_diff_ms(field, frame), 40);
    ck_assert(!rb_deck_get_moment(stand.deck, 400, true, &field));

    /* What another film says happened then. */
    int64_t found = -1;
    const int64_t base_us = rb_time_diff_us(frame, start);
    ck_assert(rb_deck_find_moment(stand.deck, base_us + 21000, &found, &field));
    ck_assert_int_eq(found, 4);
    ck_assert_int_eq(rb_time_diff_ms(field, frame), 20);
    ck_assert(rb_deck_find_moment(stand.deck, base_us + 19000, &found, &field));
    ck_assert_int_eq(found, 4);
    ck_assert_int_eq(rb_time_diff_ms(field, frame), 0);
    g_object_unref(stand.deck);
    ck_assert(rb_reel_wait_all_closed(10000));
}
END_TEST

TCase *rb_case_deck(void)
{
    TCase *tcase = rb_case_new("deck");
    tcase_add_test(tcase, test_deck__a_moment_of_interlaced_film_is_that_of_its_field);
    tcase_add_test(tcase, test_deck__the_frame_at_hand_is_the_one_asked_for);
    tcase_add_test(tcase, test_deck__starts_on_the_snap_and_steps_exactly);
    tcase_add_test(tcase, test_deck__keeps_within_the_clip_and_finds_its_marks);
    tcase_add_test(tcase, test_deck__the_other_angle_shows_the_same_moment);
    tcase_add_test(tcase, test_deck__plays_to_the_end_of_the_clip_and_stops_there);
    tcase_add_test(tcase, test_deck__plays_backward_to_the_start_of_the_clip);
    tcase_add_test(tcase,
                   test_deck__another_snap_keeps_the_angle_and_starts_at_its_own_snap);
    tcase_add_test(tcase, test_deck__both_angles_stand_and_run_on_one_moment);
    tcase_add_test(tcase, test_deck__a_span_is_looped_and_cleared);
    tcase_add_test(tcase, test_deck__a_pointer_and_a_held_key_end_where_they_are_let_go);
    tcase_add_test(tcase, test_projector__a_film_that_is_gone_says_so);
    tcase_add_test(tcase, test_deck__without_clips_every_command_is_harmless);
    return tcase;
}
