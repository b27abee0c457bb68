/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The player with a film and a clock of the test's own: nothing here waits, and every time is
 * exact. */
#include <string.h>

#include "rb/base/random.h"
#include "rb/film/player.h"

#include "film/picture-private.h"
#include "suite.h"

TCase *rb_case_player(void);

#define FRAMES 400
#define FRAME_US 20000

/* A film whose frames come when the test says so. */
typedef struct {
    RbRing *ring;
    int64_t us[FRAMES];
    int64_t frames;
    bool opening;                     /* not ready yet */
    bool tell_ready;                  /* an event to be handed out */
    int64_t list[RB_REEL_WANTED_MAX]; /* asked for and not answered */
    int n;
    int asks;       /* lists told */
    int answers;    /* how many frames may be handed out now; -1: as many as asked */
    int64_t lost;   /* this frame cannot be had */
    int64_t so_far; /* frames that can be asked for while it opens */
    RbReelKeep keep;
} Fake;

static RbPicture *make_picture(Fake *fake, int64_t ordinal)
{
    const int slot = rb_ring_take(fake->ring);
    ck_assert_msg(slot >= 0, "the player holds too many pictures");
    const RbTellFrame tell = { .ordinal = ordinal,
                               .slot = (uint32_t)slot,
                               .pixels = RB_PIXELS_GRAY,
                               .width = 16,
                               .height = 2,
                               .shape_num = 1,
                               .shape_den = 1 };
    return rb_picture_new(fake->ring, &tell,
                          (RbTime){ fake->us[ordinal], { 1, 1000000 } });
}

static RbReelEventKind fake_poll(void *data, RbReelEvent *event)
{
    Fake *fake = data;
    memset(event, 0, sizeof *event);
    event->ordinal = -1;
    if (fake->tell_ready) {
        fake->tell_ready = false;
        fake->opening = false;
        return event->kind = RB_REEL_READY;
    }
    if (fake->n == 0 || fake->answers == 0) {
        return RB_REEL_NOTHING;
    }
    const int64_t ordinal = fake->list[0];
    fake->n--;
    memmove(fake->list, fake->list + 1, (size_t)fake->n * sizeof fake->list[0]);
    fake->answers -= fake->answers > 0;
    if (ordinal == fake->lost) {
        event->ordinal = ordinal;
        event->error = g_error_new(g_quark_from_static_string("test"), 1, "Damaged.");
        return event->kind = RB_REEL_ERROR;
    }
    event->picture = make_picture(fake, ordinal);
    rb_picture_doubt(event->picture, false, fake->opening);
    return event->kind = RB_REEL_FRAME;
}

static int64_t fake_count(void *data)
{
    Fake *fake = data;
    return fake->opening ? -1 : fake->frames;
}

static int64_t fake_frame_us(void *data, int64_t ordinal)
{
    Fake *fake = data;
    return ordinal >= 0 && ordinal < fake->frames ? fake->us[ordinal] : -1;
}

static int64_t fake_find_at(void *data, int64_t us)
{
    Fake *fake = data;
    int64_t found = 0;
    for (int64_t i = 0; i < fake->frames && fake->us[i] <= us; i++) {
        found = i;
    }
    return found;
}

static bool fake_is_key(void *data, int64_t ordinal)
{
    (void)data;
    return ordinal % 50 == 0;
}

static void fake_want(void *data, const int64_t *ordinals, int n,
                      const RbFrameOptions *options)
{
    (void)options;
    Fake *fake = data;
    fake->asks++;
    fake->n = n;
    for (int i = 0; i < n; i++) {
        ck_assert_int_ge(ordinals[i], 0);
        ck_assert_int_lt(ordinals[i], fake->frames);
        fake->list[i] = ordinals[i];
    }
}

static void fake_keep(void *data, const RbReelKeep *keep)
{
    ((Fake *)data)->keep = *keep;
}

static int64_t fake_so_far(void *data)
{
    return ((Fake *)data)->so_far;
}

static const RbFilmPlayerSource fake_film = {
    .poll = fake_poll,
    .count = fake_count,
    .frame_us = fake_frame_us,
    .find_at = fake_find_at,
    .is_key = fake_is_key,
    .want = fake_want,
    .keep = fake_keep,
    .so_far = fake_so_far,
};

static void fake_init(Fake *fake)
{
    memset(fake, 0, sizeof *fake);
    GError *error = NULL;
    fake->ring = rb_ring_new(4096, RB_REEL_SLOTS, false, -1, &error);
    rb_assert_no_error(error);
    fake->frames = FRAMES;
    fake->answers = -1;
    fake->lost = -1;
    for (int i = 0; i < FRAMES; i++) {
        fake->us[i] = (int64_t)i * FRAME_US;
    }
}

typedef struct {
    Fake fake;
    RbFilmPlayer *player;
    int64_t now;
    unsigned news;
} Bench;

static void bench_start(Bench *bench)
{
    memset(bench, 0, sizeof *bench);
    fake_init(&bench->fake);
    bench->now = 1000000;
    bench->player = rb_film_player_new_for(&fake_film, &bench->fake);
}

static void bench_end(Bench *bench)
{
    rb_film_player_free(bench->player);
    ck_assert_int_eq(rb_ring_count_free(bench->fake.ring), RB_REEL_SLOTS);
    rb_ring_unref(bench->fake.ring);
}

static int64_t tick(Bench *bench)
{
    int64_t next = 0;
    bench->news = rb_film_player_tick(bench->player, bench->now, &next);
    return next;
}

/* Until nothing more comes of itself. */
static void settle(Bench *bench)
{
    for (int i = 0; i < 4; i++) {
        tick(bench);
    }
}

/* Lets time pass in steps of `step_us`; writes down which frames were shown. */
static GArray *run_for(Bench *bench, int64_t us, int64_t step_us)
{
    GArray *shown = g_array_new(FALSE, FALSE, sizeof(int64_t));
    for (const int64_t end = bench->now + us; bench->now < end; bench->now += step_us) {
        tick(bench);
        if ((bench->news & RB_FILM_PLAYER_NEWS_PICTURE) != 0 &&
            rb_film_player_is_exact(bench->player)) {
            const int64_t frame = rb_film_player_get_shown(bench->player);
            g_array_append_val(shown, frame);
        }
    }
    return shown;
}

static int64_t shown_at(const GArray *shown, guint i)
{
    ck_assert_uint_lt(i, shown->len);
    return g_array_index(shown, int64_t, i);
}

START_TEST(test_player__waits_for_the_film_and_keeps_the_newest_wish)
{
    Bench bench;
    memset(&bench, 0, sizeof bench);
    fake_init(&bench.fake);
    bench.fake.opening = true;
    bench.player = rb_film_player_new_for(&fake_film, &bench.fake);
    rb_film_player_show(bench.player, 7);
    rb_film_player_show(bench.player, 90);
    settle(&bench);
    ck_assert_int_eq(rb_film_player_get_state(bench.player), RB_FILM_PLAYER_WAITING);
    ck_assert_int_eq(bench.fake.asks, 0);
    bench.fake.tell_ready = true;
    settle(&bench);
    ck_assert_int_eq(rb_film_player_get_state(bench.player), RB_FILM_PLAYER_STANDING);
    ck_assert_int_eq(rb_film_player_get_shown(bench.player), 90);
    ck_assert(rb_film_player_is_exact(bench.player));
    bench_end(&bench);
}
END_TEST

START_TEST(test_player__shows_what_has_been_read_and_never_as_exact)
{
    Bench bench;
    memset(&bench, 0, sizeof bench);
    fake_init(&bench.fake);
    bench.fake.opening = true;
    bench.player = rb_film_player_new_for(&fake_film, &bench.fake);
    rb_film_player_show(bench.player, 90);
    bench.fake.so_far = 90;
    settle(&bench);
    ck_assert_int_eq(bench.fake.asks, 0); /* frame 90 is not among the first 90 */
    bench.fake.so_far = 91;
    settle(&bench);
    ck_assert_int_eq(bench.fake.asks, 1);
    ck_assert_int_eq(rb_film_player_get_shown(bench.player), 90);
    ck_assert(!rb_film_player_is_exact(bench.player));
    ck_assert_int_eq(rb_film_player_get_state(bench.player), RB_FILM_PLAYER_WAITING);
    rb_film_player_show(bench.player, 20);
    settle(&bench);
    ck_assert_int_eq(rb_film_player_get_shown(bench.player), 20);
    ck_assert(!rb_film_player_is_exact(bench.player));
    /* The same number, now certain, is asked for again. */
    bench.fake.answers = 0;
    bench.fake.tell_ready = true;
    settle(&bench);
    ck_assert_int_eq(rb_film_player_get_state(bench.player), RB_FILM_PLAYER_STANDING);
    ck_assert(!rb_film_player_is_exact(bench.player));
    bench.fake.answers = -1;
    settle(&bench);
    ck_assert_int_eq(bench.fake.asks, 3);
    ck_assert_int_eq(rb_film_player_get_shown(bench.player), 20);
    ck_assert(rb_film_player_is_exact(bench.player));
    bench_end(&bench);
}
END_TEST

/* What is to be reached from every state by every command, written down apart from the
 * program's own table. */
typedef void (*Command)(RbFilmPlayer *player);

static void do_show(RbFilmPlayer *player)
{
    rb_film_player_show(player, 30);
}

static void do_step(RbFilmPlayer *player)
{
    rb_film_player_step(player, 1);
}

static void do_hold(RbFilmPlayer *player)
{
    rb_film_player_hold(player, -1, 1000000);
}

static void do_scrub(RbFilmPlayer *player)
{
    rb_film_player_scrub(player, 60);
}

static void do_run(RbFilmPlayer *player)
{
    rb_film_player_run(player, 4);
}

static void do_stop(RbFilmPlayer *player)
{
    rb_film_player_run(player, 0);
}

#define ST RB_FILM_PLAYER_STANDING
#define HO RB_FILM_PLAYER_STEPPING
#define SC RB_FILM_PLAYER_SCRUBBING
#define RU RB_FILM_PLAYER_RUNNING

START_TEST(test_player__every_command_in_every_state)
{
    static const Command ways_in[] = { do_stop, do_hold, do_scrub, do_run };
    static const RbFilmPlayerState states[] = { RB_FILM_PLAYER_STANDING,
                                                RB_FILM_PLAYER_STEPPING,
                                                RB_FILM_PLAYER_SCRUBBING,
                                                RB_FILM_PLAYER_RUNNING };
    static const struct {
        Command command;
        RbFilmPlayerState next[4]; /* from standing, stepping, scrubbing, running */
    } commands[] = {
        { do_show, { ST, ST, ST, ST } },
        { do_step, { ST, ST, ST, ST } },
        { do_hold, { HO, HO, HO, HO } },
        { rb_film_player_let_go, { ST, ST, SC, RU } },
        { do_scrub, { SC, SC, SC, SC } },
        { rb_film_player_scrub_end, { ST, HO, ST, RU } },
        { do_run, { RU, RU, RU, RU } },
        { do_stop, { ST, ST, SC, ST } },
    };
    for (size_t c = 0; c < G_N_ELEMENTS(commands); c++) {
        for (int s = 0; s < 4; s++) {
            Bench bench;
            bench_start(&bench);
            rb_film_player_show(bench.player, 50);
            settle(&bench);
            ways_in[s](bench.player);
            ck_assert_int_eq(rb_film_player_get_state(bench.player), states[s]);
            commands[c].command(bench.player);
            ck_assert_msg(rb_film_player_get_state(bench.player) == commands[c].next[s],
                          "command %d in state %d led to %d", (int)c, s,
                          (int)rb_film_player_get_state(bench.player));
            bench_end(&bench);
        }
    }
}
END_TEST

START_TEST(test_player__a_scrub_shows_the_nearest_and_marks_it)
{
    Bench bench;
    bench_start(&bench);
    rb_film_player_show(bench.player, 10);
    settle(&bench);
    bench.fake.answers = 0;
    rb_film_player_scrub(bench.player, 100);
    settle(&bench);
    ck_assert_int_eq(rb_film_player_get_shown(bench.player), 10);
    ck_assert(!rb_film_player_is_exact(bench.player));
    /* The frame asked for before comes although another is wanted by now. */
    rb_film_player_scrub(bench.player, 120);
    bench.fake.answers = 1;
    tick(&bench);
    ck_assert_int_eq(rb_film_player_get_shown(bench.player), 100);
    ck_assert(!rb_film_player_is_exact(bench.player));
    bench.fake.answers = -1;
    rb_film_player_scrub_end(bench.player);
    settle(&bench);
    ck_assert_int_eq(rb_film_player_get_shown(bench.player), 120);
    ck_assert(rb_film_player_is_exact(bench.player));
    bench_end(&bench);
}
END_TEST

START_TEST(test_player__single_presses_all_count)
{
    Bench bench;
    bench_start(&bench);
    rb_film_player_show(bench.player, 10);
    settle(&bench);
    bench.fake.answers = 0; /* the film is slow */
    for (int i = 0; i < 5; i++) {
        rb_film_player_step(bench.player, 1);
        tick(&bench);
    }
    bench.fake.answers = -1;
    settle(&bench);
    ck_assert_int_eq(rb_film_player_get_shown(bench.player), 15);
    rb_film_player_step(bench.player, -100);
    settle(&bench);
    ck_assert_int_eq(rb_film_player_get_shown(bench.player), 0);
    bench_end(&bench);
}
END_TEST

START_TEST(test_player__a_held_key_never_runs_ahead_of_the_picture)
{
    Bench bench;
    bench_start(&bench);
    rb_film_player_show(bench.player, 100);
    settle(&bench);
    bench.fake.answers = 0;
    for (int i = 0; i < 200; i++) { /* the key repeats for two seconds, no frame comes */
        rb_film_player_hold(bench.player, -1, bench.now);
        tick(&bench);
        bench.now += 10000;
    }
    ck_assert_int_eq(rb_film_player_get_wanted(bench.player), 99);
    bench.fake.answers = -1;
    tick(&bench); /* that one comes */
    rb_film_player_let_go(bench.player);
    settle(&bench);
    ck_assert_int_ge(rb_film_player_get_shown(bench.player), 98);
    ck_assert_int_eq(rb_film_player_get_state(bench.player), RB_FILM_PLAYER_STANDING);
    /* A film that keeps up steps some thirty times a second. */
    rb_film_player_hold(bench.player, -1, bench.now);
    g_autoptr(GArray) shown = run_for(&bench, 1000000, 1000);
    ck_assert_uint_ge(shown->len, 25);
    ck_assert_uint_le(shown->len, 32);
    for (guint i = 1; i < shown->len; i++) {
        ck_assert_int_eq(shown_at(shown, i), shown_at(shown, i - 1) - 1);
    }
    bench_end(&bench);
}
END_TEST

static void expect_run(int eighths, int64_t from, int64_t us, int64_t n_expected, int by)
{
    Bench bench;
    bench_start(&bench);
    rb_film_player_show(bench.player, from);
    settle(&bench);
    rb_film_player_run(bench.player, eighths);
    g_autoptr(GArray) shown = run_for(&bench, us, 500);
    for (guint i = 1; i < shown->len; i++) {
        ck_assert_int_eq(shown_at(shown, i) - shown_at(shown, i - 1), by);
    }
    ck_assert_int_ge(shown->len, n_expected - 1);
    ck_assert_int_le(shown->len, n_expected + 1);
    RbFilmPlayerCounts counts;
    rb_film_player_get_counts(bench.player, &counts);
    ck_assert_int_eq(counts.dropped, 0);
    ck_assert_int_eq(counts.late, 0);
    ck_assert_int_eq(rb_film_player_get_real_speed(bench.player), eighths);
    bench_end(&bench);
}

START_TEST(test_player__runs_at_every_speed_both_ways)
{
    /* 50 frames a second: one each 20 ms at 1x. Faster than a screen can show, frames are left
     * out by plan, evenly. */
    expect_run(8, 10, 1000000, 51, 1);
    expect_run(-8, 200, 1000000, 51, -1);
    expect_run(4, 10, 1000000, 26, 1);
    expect_run(-1, 200, 1600000, 11, -1);
    expect_run(2, 10, 800000, 11, 1);
    expect_run(16, 10, 1000000, 51, 2);
    expect_run(-16, 300, 1000000, 51, -2);
    expect_run(64, 1, 800000, 45, 7); /* 17.5 ms each */
}
END_TEST

START_TEST(test_player__follows_uneven_times)
{
    Bench bench;
    bench_start(&bench);
    /* A second of nothing between frame 5 and frame 6. */
    for (int i = 6; i < FRAMES; i++) {
        bench.fake.us[i] += 1000000;
    }
    rb_film_player_show(bench.player, 4);
    settle(&bench);
    rb_film_player_run(bench.player, 8);
    g_autoptr(GArray) shown = run_for(&bench, 1000000, 1000);
    ck_assert_int_eq(shown_at(shown, shown->len - 1), 5);
    g_autoptr(GArray) more = run_for(&bench, 100000, 1000);
    ck_assert_int_eq(shown_at(more, 0), 6);
    /* Backward the hole is as long. */
    rb_film_player_show(bench.player, 7);
    settle(&bench);
    rb_film_player_run(bench.player, -8);
    g_autoptr(GArray) back = run_for(&bench, 1000000, 1000);
    ck_assert_int_eq(shown_at(back, back->len - 1), 5);
    bench_end(&bench);
}
END_TEST

START_TEST(test_player__stops_at_the_clips_end_and_loops_a_span)
{
    Bench bench;
    bench_start(&bench);
    rb_film_player_set_limits(bench.player, 100, 120);
    rb_film_player_show(bench.player, 0);
    settle(&bench);
    ck_assert_int_eq(rb_film_player_get_shown(bench.player), 100);
    rb_film_player_run(bench.player, 8);
    g_autoptr(GArray) shown = run_for(&bench, 800000, 1000);
    ck_assert_int_eq(shown_at(shown, shown->len - 1), 120);
    ck_assert_int_eq(rb_film_player_get_state(bench.player), RB_FILM_PLAYER_STANDING);
    rb_film_player_run(bench.player, 8); /* again from the start */
    tick(&bench);
    settle(&bench);
    ck_assert_int_eq(rb_film_player_get_wanted(bench.player), 100);
    rb_film_player_set_span(bench.player, 105, 109);
    rb_film_player_set_loop(bench.player, true);
    g_autoptr(GArray) loop = run_for(&bench, 1000000, 1000);
    ck_assert_uint_ge(loop->len, 49);
    for (guint i = 2; i < loop->len; i++) {
        const int64_t before = shown_at(loop, i - 1);
        ck_assert_int_eq(shown_at(loop, i), before == 109 ? 105 : before + 1);
    }
    rb_film_player_run(bench.player, -8);
    g_autoptr(GArray) back = run_for(&bench, 1000000, 1000);
    for (guint i = 2; i < back->len; i++) {
        const int64_t before = shown_at(back, i - 1);
        ck_assert_int_eq(shown_at(back, i), before == 105 ? 109 : before - 1);
    }
    bench_end(&bench);
}
END_TEST

START_TEST(test_player__forward_leaves_out_what_comes_too_late_and_counts_it)
{
    Bench bench;
    bench_start(&bench);
    rb_film_player_show(bench.player, 0);
    settle(&bench);
    rb_film_player_run(bench.player, 8);
    g_array_unref(run_for(&bench, 200000, 1000));
    bench.fake.answers = 0;
    g_array_unref(run_for(&bench, 400000, 1000));
    bench.fake.answers = -1;
    g_autoptr(GArray) shown = run_for(&bench, 400000, 1000);
    /* The clock went on: a second after the start the film stands a second on. */
    ck_assert_int_ge(shown_at(shown, shown->len - 1), 48);
    RbFilmPlayerCounts counts;
    rb_film_player_get_counts(bench.player, &counts);
    ck_assert_int_ge(counts.dropped, 12);
    ck_assert_int_eq(counts.planned, counts.shown + counts.dropped);
    ck_assert_int_eq(counts.planned, rb_film_player_get_shown(bench.player) + 1);
    bench_end(&bench);
}
END_TEST

START_TEST(test_player__forward_goes_on_at_half_the_speed_when_most_come_too_late)
{
    Bench bench;
    bench_start(&bench);
    rb_film_player_show(bench.player, 0);
    settle(&bench);
    rb_film_player_run(bench.player, 8);
    /* Frames come at 20 a second; 50 are needed, then 25. */
    for (int i = 0; i < 3000; i++) {
        bench.fake.answers = i % 50 == 0 ? 1 : 0;
        tick(&bench);
        bench.now += 1000;
    }
    ck_assert_int_eq(rb_film_player_get_speed(bench.player), 8);
    ck_assert_int_eq(rb_film_player_get_real_speed(bench.player), 4);
    bench_end(&bench);
}
END_TEST

START_TEST(test_player__backward_waits_and_then_goes_on_at_half_the_speed)
{
    Bench bench;
    bench_start(&bench);
    rb_film_player_show(bench.player, 399);
    settle(&bench);
    rb_film_player_run(bench.player, -8);
    /* Frames come at 30 a second; 50 are needed. */
    int64_t before = 400;
    for (int i = 0; i < 3000; i++) {
        bench.fake.answers = i % 33 == 0 ? 1 : 0;
        tick(&bench);
        bench.now += 1000;
        if ((bench.news & RB_FILM_PLAYER_NEWS_PICTURE) != 0) {
            const int64_t frame = rb_film_player_get_shown(bench.player);
            ck_assert_int_ge(frame, before - 1); /* none is left out */
            ck_assert_int_le(frame, before);
            before = frame;
        }
    }
    ck_assert_int_eq(rb_film_player_get_speed(bench.player), -8);
    ck_assert_int_eq(rb_film_player_get_real_speed(bench.player), -4);
    bench_end(&bench);
}
END_TEST

START_TEST(test_player__a_frame_that_cannot_be_had_is_said_and_passed_over)
{
    Bench bench;
    bench_start(&bench);
    bench.fake.lost = 12;
    rb_film_player_show(bench.player, 11);
    settle(&bench);
    rb_film_player_step(bench.player, 1);
    settle(&bench);
    ck_assert_ptr_nonnull(rb_film_player_get_fault(bench.player));
    ck_assert(!rb_film_player_is_exact(bench.player));
    rb_film_player_step(bench.player, 1);
    settle(&bench);
    ck_assert_ptr_null(rb_film_player_get_fault(bench.player));
    ck_assert_int_eq(rb_film_player_get_shown(bench.player), 13);
    rb_film_player_show(bench.player, 8);
    settle(&bench);
    rb_film_player_run(bench.player, 8);
    g_autoptr(GArray) shown = run_for(&bench, 300000, 1000);
    ck_assert_int_ge(shown_at(shown, shown->len - 1), 20);
    for (guint i = 0; i < shown->len; i++) {
        ck_assert_int_ne(shown_at(shown, i), 12);
    }
    bench_end(&bench);
}
END_TEST

START_TEST(test_player__what_moves_comes_from_the_small_copy_what_stands_from_the_film)
{
    Bench bench;
    bench_start(&bench);
    Fake small;
    fake_init(&small);
    rb_film_player_set_small_for(bench.player, &fake_film, &small);
    rb_film_player_show(bench.player, 50);
    settle(&bench);
    ck_assert_int_eq(rb_film_player_get_shown(bench.player), 50);
    ck_assert(rb_film_player_is_exact(bench.player));
    ck_assert(rb_film_player_is_small(bench.player));
    bench.now += 130000; /* it rests */
    settle(&bench);
    ck_assert(!rb_film_player_is_small(bench.player));
    const int asked = bench.fake.asks;
    rb_film_player_run(bench.player, -8);
    g_autoptr(GArray) back = run_for(&bench, 500000, 1000);
    ck_assert_uint_ge(back->len, 24);
    ck_assert(rb_film_player_is_small(bench.player));
    ck_assert_int_le(bench.fake.asks, asked + 1); /* told to leave off, nothing else */
    rb_film_player_run(bench.player, 0);
    bench.now += 130000;
    settle(&bench);
    bench.now += 130000;
    settle(&bench);
    ck_assert(!rb_film_player_is_small(bench.player));
    rb_film_player_free(bench.player);
    ck_assert_int_eq(rb_ring_count_free(small.ring), RB_REEL_SLOTS);
    rb_ring_unref(small.ring);
    bench.player = NULL;
    bench_end(&bench);
}
END_TEST

START_TEST(test_player__two_angles_stay_on_one_moment)
{
    Bench wide;
    Bench tight;
    bench_start(&wide);
    bench_start(&tight);
    for (int i = 0; i < FRAMES; i++) {
        tight.fake.us[i] = (int64_t)i * 33333; /* another camera, another rate */
    }
    /* Snap: frame 50 at 1.000 s here, frame 90 at 2.99997 s there. */
    rb_film_player_follow(tight.player, wide.player,
                          tight.fake.us[90] - wide.fake.us[50]);
    rb_film_player_show(wide.player, 50);
    settle(&wide);
    tight.now = wide.now;
    settle(&tight);
    ck_assert_int_eq(rb_film_player_get_shown(tight.player), 90);
    rb_film_player_run(wide.player, 8);
    int worst = 0;
    for (int i = 0; i < 3000; i++) {
        wide.now += 1000;
        tight.now = wide.now;
        tick(&wide);
        tick(&tight);
        const int64_t here =
            wide.fake.us[rb_film_player_get_shown(wide.player)] - 1000000;
        const int64_t there =
            tight.fake.us[rb_film_player_get_shown(tight.player)] - tight.fake.us[90];
        worst = MAX(worst, (int)ABS(here - there));
    }
    ck_assert_int_le(worst, 36000); /* one frame of the slower camera */
    rb_film_player_run(wide.player, 0);
    rb_film_player_show(wide.player, 20);
    settle(&wide);
    settle(&tight);
    ck_assert_int_eq(rb_film_player_get_shown(tight.player), 72);
    bench_end(&tight);
    bench_end(&wide);
}
END_TEST

START_TEST(test_player__the_shuttle_walks_through_all_speeds)
{
    static const int up[] = { 8, 16, 32, 64, 64 };
    static const int down[] = { 32, 16, 8, 4, 2, 1, -1, -2, -4, -8, -16, -32, -64, -64 };
    Bench bench;
    bench_start(&bench);
    rb_film_player_show(bench.player, 200);
    settle(&bench);
    for (size_t i = 0; i < G_N_ELEMENTS(up); i++) {
        rb_film_player_shuttle(bench.player, 1);
        ck_assert_int_eq(rb_film_player_get_speed(bench.player), up[i]);
    }
    for (size_t i = 0; i < G_N_ELEMENTS(down); i++) {
        rb_film_player_shuttle(bench.player, -1);
        ck_assert_int_eq(rb_film_player_get_speed(bench.player), down[i]);
    }
    bench_end(&bench);
}
END_TEST

/* Whatever is commanded: no wrong frame is called exact, no command leads nowhere, no picture
 * is kept too long. */
START_TEST(test_player__any_order_of_commands)
{
    Bench bench;
    bench_start(&bench);
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(23));
    for (int i = 0; i < 20000; i++) {
        const int n = rb_random_int(&random, -20, FRAMES + 20);
        switch (rb_random_int(&random, 0, 11)) {
        case 0:
            rb_film_player_show(bench.player, n);
            break;
        case 1:
            rb_film_player_step(bench.player, n % 3);
            break;
        case 2:
            rb_film_player_hold(bench.player, n % 2 == 0 ? 1 : -1, bench.now);
            break;
        case 3:
            rb_film_player_let_go(bench.player);
            break;
        case 4:
            rb_film_player_scrub(bench.player, n);
            break;
        case 5:
            rb_film_player_scrub_end(bench.player);
            break;
        case 6:
            rb_film_player_run(bench.player, n % 65);
            break;
        case 7:
            rb_film_player_shuttle(bench.player, n % 2 == 0 ? 1 : -1);
            break;
        case 8:
            rb_film_player_set_loop(bench.player, n % 2 == 0);
            break;
        case 9:
            rb_film_player_set_span(bench.player, n, n + n % 30);
            break;
        default:
            bench.fake.answers = rb_random_int(&random, -1, 3);
            break;
        }
        bench.now += rb_random_int(&random, 0, 30000);
        tick(&bench);
        if (rb_film_player_is_exact(bench.player)) {
            ck_assert_int_eq(rb_film_player_get_shown(bench.player),
                             rb_film_player_get_wanted(bench.player));
        }
    }
    bench.fake.answers = -1;
    rb_film_player_show(bench.player, 33);
    settle(&bench);
    ck_assert_int_eq(rb_film_player_get_shown(bench.player), 33);
    bench_end(&bench);
}
END_TEST

TCase *rb_case_player(void)
{
    TCase *tcase = rb_case_new("player");
    tcase_add_test(tcase, test_player__waits_for_the_film_and_keeps_the_newest_wish);
    tcase_add_test(tcase, test_player__shows_what_has_been_read_and_never_as_exact);
    tcase_add_test(tcase, test_player__every_command_in_every_state);
    tcase_add_test(tcase, test_player__a_scrub_shows_the_nearest_and_marks_it);
    tcase_add_test(tcase, test_player__single_presses_all_count);
    tcase_add_test(tcase, test_player__a_held_key_never_runs_ahead_of_the_picture);
    tcase_add_test(tcase, test_player__runs_at_every_speed_both_ways);
    tcase_add_test(tcase, test_player__follows_uneven_times);
    tcase_add_test(tcase, test_player__stops_at_the_clips_end_and_loops_a_span);
    tcase_add_test(tcase,
                   test_player__forward_leaves_out_what_comes_too_late_and_counts_it);
    tcase_add_test(
        tcase, test_player__forward_goes_on_at_half_the_speed_when_most_come_too_late);
    tcase_add_test(tcase, test_player__backward_waits_and_then_goes_on_at_half_the_speed);
    tcase_add_test(tcase,
                   test_player__a_frame_that_cannot_be_had_is_said_and_passed_over);
    tcase_add_test(
        tcase,
        test_player__what_moves_comes_from_the_small_copy_what_stands_from_the_film);
    tcase_add_test(tcase, test_player__two_angles_stay_on_one_moment);
    tcase_add_test(tcase, test_player__the_shuttle_walks_through_all_speeds);
    tcase_add_test(tcase, test_player__any_order_of_commands);
    return tcase;
}
