/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "rb/work/error.h"
#include "rb/work/logging.h"
#include "rb/work/snapshot.h"
#include "rb/work/tagging.h"

#include "library-sample.h"
#include "suite.h"

TCase *rb_case_logging(void);

static const RbFilmId wide = { 9 };

typedef struct {
    RandomSeason season;
    RbLibrary *library;
    RbGameId game;
} Sample;

static Sample sample_new(uint64_t seed)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(seed));
    Sample sample = { .game = random_games[0] };
    sample.library = sample_library_new(&random, &sample.season);
    return sample;
}

static void sample_clear(Sample *sample)
{
    rb_library_close(sample->library);
    random_season_clear(&sample->season);
}

/* A film of 60000/1001 frames a second. */
static RbMoment at(int64_t frame)
{
    return (RbMoment){ frame, { frame, { 1001, 60000 } } };
}

static RbMark mark(RbMarkKind kind, int64_t frame)
{
    return (RbMark){ .kind = kind, .frame = frame, .time = at(frame).time };
}

static RbLogSpan span(int64_t first, int64_t last, const RbMark *marks, int n)
{
    return (RbLogSpan){ wide, RB_ANGLE_WIDE, at(first), at(last), marks, n, 3 };
}

/* Logs a clip with snap and release marks, or fails the test. */
static RbClipId log_one(Sample *sample, RbSnapId snap, int64_t first, int64_t last,
                        RbSnapId *logged)
{
    GError *error = NULL;
    RbClipId clip = { 0 };
    const RbMark marks[] = { mark(RB_MARK_SNAP, first + 10),
                             mark(RB_MARK_RELEASE, last - 10) };
    const RbLogSpan what = span(first, last, marks, 2);
    ck_assert(rb_library_log_clip(sample->library, sample->game, snap, &what, &clip,
                                  logged, &error));
    rb_assert_no_error(error);
    return clip;
}

/* Returns: (transfer full) (nullable): the clip as the snap's sheet has it. */
static GPtrArray *clips_of(Sample *sample, RbSnapId snap)
{
    GError *error = NULL;
    RbSheet *sheet = rb_library_load_sheet(sample->library, snap, &error);
    rb_assert_no_error(error);
    GPtrArray *clips = g_ptr_array_ref(sheet->clips);
    rb_sheet_free(sheet);
    return clips;
}

static const RbClip *find(const GPtrArray *clips, RbClipId id)
{
    for (guint i = 0; i < clips->len; i++) {
        const RbClip *clip = clips->pdata[i];
        if (clip->id.value == id.value) {
            return clip;
        }
    }
    return NULL;
}

/* Undoes the last action: its words are among those of the undo, the content is as before. */
static void undo_to(Sample *sample, const char *hash, const char *words)
{
    GError *error = NULL;
    g_autofree char *undone = NULL;
    ck_assert(rb_library_undo(sample->library, &undone, &error));
    rb_assert_no_error(error);
    ck_assert_msg(strstr(undone, words) != NULL, "%s is not in %s", words, undone);
    g_autofree char *now = sample_library_hash();
    ck_assert_str_eq(now, hash);
}

START_TEST(test_logging__a_span_becomes_the_games_next_snap)
{
    Sample sample = sample_new(71);
    g_autofree char *before = sample_library_hash();
    int last = 0;
    for (guint i = 0; i < sample.season.snaps->len; i++) {
        const RbSnap *snap = sample.season.snaps->pdata[i];
        last = snap->game.value == sample.game.value ? MAX(last, snap->number) : last;
    }
    RbSnapId made = { 0 };
    const RbClipId id = log_one(&sample, (RbSnapId){ 0 }, 5000, 5400, &made);
    g_autoptr(RbSnap) snap = rb_library_load_snap(sample.library, made, NULL);
    ck_assert_int_eq(snap->number, last + 1);
    ck_assert_int_eq(snap->game.value, sample.game.value);
    g_autoptr(GPtrArray) clips = clips_of(&sample, made);
    const RbClip *clip = find(clips, id);
    ck_assert_int_eq(clip->first, 5000);
    ck_assert_int_eq(clip->last, 5400);
    ck_assert_int_eq(rb_time_compare(clip->last_time, at(5400).time), 0);
    const RbMark *release = rb_clip_find_mark(clip, RB_MARK_RELEASE);
    ck_assert_int_eq(release->frame, 5390);
    ck_assert_int_eq(release->index_version, 3);
    undo_to(&sample, before, "frames 5000 to 5400 of wide.mp4");
    /* A second clip of the same snap is one more, not another one. */
    const RbSnap *known = sample.season.snaps->pdata[0];
    g_autoptr(GPtrArray) some = clips_of(&sample, known->id);
    const guint n = some->len;
    log_one(&sample, known->id, 9000, 9100, NULL);
    log_one(&sample, known->id, 9200, 9300, NULL);
    g_autoptr(GPtrArray) more = clips_of(&sample, known->id);
    ck_assert_uint_eq(more->len, n + 2);
    sample_clear(&sample);
}
END_TEST

static void expect_refused(bool done, GError **error, const char *words)
{
    ck_assert(!done);
    ck_assert(*error != NULL);
    ck_assert_msg(strstr((*error)->message, words) != NULL, "%s", (*error)->message);
    g_clear_error(error);
}

START_TEST(test_logging__what_cannot_be_is_refused_and_changes_nothing)
{
    Sample sample = sample_new(72);
    RbLibrary *library = sample.library;
    RbSnapId snap = { 0 };
    const RbClipId clip = log_one(&sample, (RbSnapId){ 0 }, 100, 400, &snap);
    g_autofree char *before = sample_library_hash();
    GError *error = NULL;
    const RbMark outside = mark(RB_MARK_SNAP, 99);
    RbLogSpan what = span(300, 200, NULL, 0);
    const RbSnapId none = { 0 };
    expect_refused(
        rb_library_log_clip(library, sample.game, none, &what, NULL, NULL, &error),
        &error, "before it begins");
    what = span(100, 200, &outside, 1);
    expect_refused(
        rb_library_log_clip(library, sample.game, none, &what, NULL, NULL, &error),
        &error, "frame 99");
    what = span(100, 200, NULL, 0);
    expect_refused(
        rb_library_log_clip(library, random_games[1], snap, &what, NULL, NULL, &error),
        &error, "another game");
    what.film.value = 12345;
    ck_assert(
        !rb_library_log_clip(library, sample.game, none, &what, NULL, NULL, &error));
    g_clear_error(&error);
    expect_refused(rb_library_set_clip_end(library, clip, false, at(120), &error), &error,
                   "move the mark first");
    expect_refused(
        rb_library_split_clip(library, clip, at(99), at(100), none, NULL, &error), &error,
        "its own frames");
    expect_refused(
        rb_library_split_clip(library, clip, at(400), at(401), none, NULL, &error),
        &error, "its own frames");
    expect_refused(rb_library_join_clips(library, clip, clip, &error), &error,
                   "two clips");
    expect_refused(rb_library_move_clip(library, (RbClipId){ 4 }, snap, &error), &error,
                   "no such clip");
    expect_refused(rb_library_set_not_filmed(library, snap, RB_ANGLE_WIDE, true, &error),
                   &error, "remove or move it");
    g_autofree char *after = sample_library_hash();
    ck_assert_str_eq(after, before);
    sample_clear(&sample);
}
END_TEST

/* Whatever is cut in two and joined again is what it was: span, marks and all. */
START_TEST(test_logging__a_split_is_undone_by_a_join)
{
    Sample sample = sample_new(73);
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(74));
    const int cases = rb_test_some(12);
    for (int round = 0; round < cases; round++) {
        GError *error = NULL;
        RbSnapId snap = { 0 };
        const int64_t first = 1000 * (round + 1);
        const RbClipId id = log_one(&sample, (RbSnapId){ 0 }, first, first + 300, &snap);
        g_autofree char *whole = sample_library_hash();
        const int64_t cut = first + rb_random_int(&random, 1, 300);
        RbClipId rest_id = { 0 };
        ck_assert(rb_library_split_clip(sample.library, id, at(cut - 1), at(cut), snap,
                                        &rest_id, &error));
        rb_assert_no_error(error);
        g_autofree char *split = sample_library_hash();
        g_autoptr(GPtrArray) clips = clips_of(&sample, snap);
        const RbClip *clip = find(clips, id);
        const RbClip *rest = find(clips, rest_id);
        ck_assert_int_eq(clip->last + 1, rest->first);
        ck_assert_int_eq(rest->last, first + 300);
        ck_assert_uint_eq(clip->marks->len + rest->marks->len, 2);
        ck_assert((rb_clip_find_mark(clip, RB_MARK_SNAP) != NULL) == (first + 10 < cut));
        ck_assert((rb_clip_find_mark(rest, RB_MARK_RELEASE) != NULL) ==
                  (first + 290 >= cut));
        ck_assert(rb_library_join_clips(sample.library, id, rest_id, &error));
        rb_assert_no_error(error);
        g_autofree char *joined = sample_library_hash();
        ck_assert_str_eq(joined, whole);
        undo_to(&sample, split, "two clips joined");
        undo_to(&sample, whole, "clip split");
    }
    sample_clear(&sample);
}
END_TEST

START_TEST(test_logging__clips_move_and_go_and_are_noted)
{
    Sample sample = sample_new(75);
    RbLibrary *library = sample.library;
    GError *error = NULL;
    RbSnapId snap = { 0 };
    RbSnapId other = { 0 };
    const RbClipId id = log_one(&sample, (RbSnapId){ 0 }, 100, 400, &snap);
    log_one(&sample, (RbSnapId){ 0 }, 500, 800, &other);
    g_autofree char *before = sample_library_hash();
    ck_assert(rb_library_move_clip(library, id, other, &error));
    g_autoptr(GPtrArray) there = clips_of(&sample, other);
    ck_assert_ptr_nonnull(find(there, id));
    undo_to(&sample, before, "clip moved from snap");
    ck_assert(rb_library_set_clip_end(library, id, true, at(395), &error));
    g_autoptr(GPtrArray) shorter = clips_of(&sample, snap);
    ck_assert_int_eq(find(shorter, id)->last, 395);
    undo_to(&sample, before, "end set at frame 395");
    ck_assert(rb_library_set_cut_early(library, id, RB_YES, &error));
    g_autoptr(GPtrArray) cut = clips_of(&sample, snap);
    ck_assert_int_eq(find(cut, id)->cut_early, RB_YES);
    undo_to(&sample, before, "cut early");
    ck_assert(rb_library_set_not_filmed(library, snap, RB_ANGLE_TIGHT, true, &error));
    ck_assert(rb_library_set_not_filmed(library, snap, RB_ANGLE_TIGHT, true, &error));
    g_autoptr(GPtrArray) noted = clips_of(&sample, snap);
    ck_assert_uint_eq(noted->len, 2);
    ck_assert(rb_library_set_not_filmed(library, snap, RB_ANGLE_TIGHT, false, &error));
    g_autofree char *taken_back = sample_library_hash();
    ck_assert_str_eq(taken_back, before);
    ck_assert(rb_library_drop_clip(library, id, &error));
    rb_assert_no_error(error);
    g_autoptr(GPtrArray) gone = clips_of(&sample, snap);
    ck_assert_uint_eq(gone->len, 0);
    undo_to(&sample, before, "clip removed");
    sample_clear(&sample);
}
END_TEST

/* ---- the second angle */

#define A_RATE ((RbRational){ 1, 60 })
#define B_RATE ((RbRational){ 1, 30 })

static void free_clip(void *clip)
{
    rb_clip_free(clip);
}

static void add_clip(GPtrArray *clips, int snap, RbFilmId film, RbRational base,
                     int64_t first, int64_t last)
{
    RbClip *clip = rb_clip_new((RbClipId){ snap * 10 + film.value }, (RbSnapId){ snap },
                               film, RB_ANGLE_WIDE);
    clip->first = first;
    clip->last = last;
    clip->first_time = (RbTime){ first, base };
    clip->last_time = (RbTime){ last, base };
    const RbMark snap_mark = { .kind = RB_MARK_SNAP,
                               .frame = first + 30,
                               .time = { first + 30, base } };
    g_array_append_val(clip->marks, snap_mark);
    g_ptr_array_add(clips, clip);
}

/* Two cameras that ran through the game, the second started later and at half the rate: the
 * guess is the truth to half a frame, whatever lies between the plays. */
START_TEST(test_logging__the_second_angle_is_guessed_by_order_and_length)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(76));
    const RbFilmId first = { 1 };
    const RbFilmId second = { 2 };
    const int cases = rb_test_some(50);
    for (int round = 0; round < cases; round++) {
        g_autoptr(GPtrArray) clips = g_ptr_array_new_with_free_func(free_clip);
        const int64_t late =
            2 * rb_random_int(&random, 0, 500); /* ticks of the first film */
        int64_t now = 2000;
        for (int snap = 1; snap <= 6; snap++) {
            const int64_t start = now + 2 * rb_random_int(&random, 0, 900);
            const int64_t end = start + 2 * rb_random_int(&random, 60, 400);
            add_clip(clips, snap, first, A_RATE, start, end);
            RbClipGuess guess;
            ck_assert(rb_guess_clip(clips, second, (RbSnapId){ snap }, &guess));
            ck_assert_int_eq(guess.like.value, first.value);
            if (snap > 1) {
                ck_assert_int_eq(rb_next_unlogged(clips, second).value, snap);
                ck_assert_int_le(ABS(guess.first_us - (start - late) * 1000000 / 60),
                                 16667);
                ck_assert_int_le(ABS(guess.last_us - (end - late) * 1000000 / 60), 16667);
                ck_assert(guess.has_mark[RB_MARK_SNAP] &&
                          !guess.has_mark[RB_MARK_RELEASE]);
                ck_assert_int_le(
                    ABS(guess.mark_us[RB_MARK_SNAP] - guess.first_us - 500000), 2);
            }
            add_clip(clips, snap, second, B_RATE, (start - late) / 2, (end - late) / 2);
            ck_assert_int_eq(rb_next_unlogged(clips, second).value, 0);
            now = end + 1;
        }
    }
}
END_TEST

START_TEST(test_logging__without_a_clip_elsewhere_nothing_is_guessed)
{
    g_autoptr(GPtrArray) clips = g_ptr_array_new_with_free_func(free_clip);
    RbClipGuess guess;
    add_clip(clips, 1, (RbFilmId){ 1 }, A_RATE, 600, 900);
    add_clip(clips, 2, (RbFilmId){ 0 }, A_RATE, 0, 0); /* not filmed */
    ck_assert(!rb_guess_clip(clips, (RbFilmId){ 1 }, (RbSnapId){ 1 }, &guess));
    ck_assert(!rb_guess_clip(clips, (RbFilmId){ 2 }, (RbSnapId){ 2 }, &guess));
    ck_assert(rb_guess_clip(clips, (RbFilmId){ 2 }, (RbSnapId){ 1 }, &guess));
    ck_assert_int_eq(guess.first_us, 10000000); /* the same place from the start */
    ck_assert_int_eq(guess.last_us, 15000000);
    ck_assert_int_eq(rb_next_unlogged(clips, (RbFilmId){ 2 }).value, 1);
}
END_TEST

static int number_of(Sample *sample, RbSnapId id)
{
    g_autoptr(RbSnap) snap = rb_library_load_snap(sample->library, id, NULL);
    return snap != NULL ? snap->number : -1;
}

/* A play that was missed at first goes where the film shows it; the later ones go up by one, and
 * one undo brings all of it back. */
START_TEST(test_logging__a_missed_play_goes_before_the_next_one_on_the_film)
{
    Sample sample = sample_new(77);
    RbSnapId first = { 0 };
    RbSnapId third = { 0 };
    RbSnapId fourth = { 0 };
    RbSnapId missed = { 0 };
    log_one(&sample, (RbSnapId){ 0 }, 700000, 700300, &first);
    log_one(&sample, (RbSnapId){ 0 }, 702000, 702300, &third);
    log_one(&sample, (RbSnapId){ 0 }, 703000, 703300, &fourth);
    const int was = number_of(&sample, third);
    g_autofree char *before = sample_library_hash();
    log_one(&sample, (RbSnapId){ 0 }, 701000, 701300, &missed);
    ck_assert_int_eq(number_of(&sample, first), was - 1);
    ck_assert_int_eq(number_of(&sample, missed), was);
    ck_assert_int_eq(number_of(&sample, third), was + 1);
    ck_assert_int_eq(number_of(&sample, fourth), was + 2);
    undo_to(&sample, before, "frames 701000 to 701300");
    /* The second half of a split is between its first half and the next play. */
    g_autoptr(GPtrArray) clips = clips_of(&sample, first);
    const RbClip *clip = clips->pdata[clips->len - 1];
    RbClipId made = { 0 };
    ck_assert(rb_library_split_clip(sample.library, clip->id, at(700099), at(700100),
                                    (RbSnapId){ 0 }, &made, NULL));
    ck_assert_int_eq(number_of(&sample, third), was + 1);
    sample_clear(&sample);
}
END_TEST

START_TEST(test_logging__the_film_log_holds_what_the_films_show)
{
    Sample sample = sample_new(78);
    GError *error = NULL;
    RbSnapId snap = { 0 };
    const RbClipId id = log_one(&sample, (RbSnapId){ 0 }, 800000, 800300, &snap);
    log_one(&sample, (RbSnapId){ 0 }, 800250, 800500, NULL);
    g_autoptr(RbFilmLog) log =
        rb_library_load_film_log(sample.library, sample.game, &error);
    rb_assert_no_error(error);
    ck_assert_uint_eq(log->films->len, log->paths->len);
    bool has_wide = false;
    bool after_own = false;
    for (guint i = 0; i < log->films->len; i++) {
        const RbFilm *film = log->films->pdata[i];
        has_wide = has_wide || film->id.value == wide.value;
        ck_assert(film->game.value == 0 || film->game.value == sample.game.value);
        ck_assert(!after_own || film->game.value == 0);
        after_own = film->game.value == 0;
    }
    ck_assert(has_wide);
    ck_assert(rb_film_log_clip_at(log, wide, 799999) == NULL);
    ck_assert(rb_film_log_clip_at(log, (RbFilmId){ 4 }, 800100) == NULL);
    ck_assert_int_eq(rb_film_log_clip_at(log, wide, 800249)->id.value, id.value);
    ck_assert_int_ne(rb_film_log_clip_at(log, wide, 800250)->id.value, id.value);
    ck_assert(rb_film_log_clip_at(log, wide, 800501) == NULL);
    ck_assert_int_eq(rb_film_log_number(log, snap), number_of(&sample, snap));
    ck_assert_int_eq(rb_film_log_number(log, (RbSnapId){ 3 }), 0);
    sample_clear(&sample);
}
END_TEST

TCase *rb_case_logging(void)
{
    TCase *tests = rb_case_new("logging");
    tcase_add_test(tests, test_logging__a_span_becomes_the_games_next_snap);
    tcase_add_test(tests, test_logging__what_cannot_be_is_refused_and_changes_nothing);
    tcase_add_test(tests, test_logging__a_split_is_undone_by_a_join);
    tcase_add_test(tests, test_logging__clips_move_and_go_and_are_noted);
    tcase_add_test(tests, test_logging__the_second_angle_is_guessed_by_order_and_length);
    tcase_add_test(tests, test_logging__without_a_clip_elsewhere_nothing_is_guessed);
    tcase_add_test(tests,
                   test_logging__a_missed_play_goes_before_the_next_one_on_the_film);
    tcase_add_test(tests, test_logging__the_film_log_holds_what_the_films_show);
    return tests;
}
