/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is heard, into a sink that keeps it: every pair of samples of the film is another number,
 * so that it is known where in the film a sound is from. */
#include <math.h>
#include <string.h>

#include "rb/base/thread.h"
#include "rb/film/sound.h"

#include "films.h"
#include "reels.h"
#include "suite.h"

TCase *rb_case_sound(void);

#define SECONDS 4
#define RATE RB_SOUND_PAIRS_A_SECOND
#define ROOM (RATE / 5) /* pairs that the device holds */

/* A device in memory: it holds some pairs and is rid of them as fast as they are heard. */
typedef struct {
    RbMutex lock;
    RbCond closed_now;
    /* protected by lock: */
    GArray *pairs;    /* owned, of float */
    int64_t first_us; /* when the first was written */
    int64_t empty_us; /* when all that was written will have been heard */
    int drops;
    bool closed;
    bool broken;
} Device;

static bool device_write(void *data, const float *pairs, int n)
{
    Device *device = data;
    rb_mutex_lock(&device->lock);
    const int64_t now = g_get_monotonic_time();
    if (device->pairs->len == 0) {
        device->first_us = now;
    }
    g_array_append_vals(device->pairs, pairs, 2 * (guint)n);
    device->empty_us = MAX(device->empty_us, now) + (int64_t)n * 1000000 / RATE;
    const int64_t over = device->empty_us - now - (int64_t)ROOM * 1000000 / RATE;
    const bool good = !device->broken;
    rb_mutex_unlock(&device->lock);
    if (over > 0) {
        g_usleep((gulong)over);
    }
    return good;
}

static int64_t device_latency(void *data)
{
    Device *device = data;
    rb_mutex_lock(&device->lock);
    const int64_t left = device->empty_us - g_get_monotonic_time();
    rb_mutex_unlock(&device->lock);
    return MAX(left, 0);
}

static void device_drop(void *data)
{
    Device *device = data;
    rb_mutex_lock(&device->lock);
    device->drops++;
    rb_mutex_unlock(&device->lock);
}

static void device_close(void *data)
{
    Device *device = data;
    rb_mutex_lock(&device->lock);
    device->closed = true;
    rb_cond_broadcast(&device->closed_now);
    rb_mutex_unlock(&device->lock);
}

static const RbSoundSink sink = { device_write, device_latency, device_drop,
                                  device_close };

static void device_init(Device *device)
{
    *device = (Device){ .pairs = g_array_new(FALSE, FALSE, sizeof(float)) };
    rb_mutex_init(&device->lock);
    rb_cond_init(&device->closed_now);
}

static void close_and_wait(RbSound *sound, Device *device)
{
    rb_sound_close(sound);
    rb_mutex_lock(&device->lock);
    while (!device->closed) {
        rb_cond_wait(&device->closed_now, &device->lock);
    }
    rb_mutex_unlock(&device->lock);
}

static guint count(Device *device)
{
    rb_mutex_lock(&device->lock);
    const guint n = device->pairs->len / 2;
    rb_mutex_unlock(&device->lock);
    return n;
}

/* The number of a pair: coarse in the left channel, fine in the right. */
static void pair_of(int i, int16_t pair[2])
{
    pair[0] = (int16_t)(i / 256 * 16 + 1000);
    pair[1] = (int16_t)(i % 256 * 16 + 1000);
}

static int number_of(const float *pair)
{
    const int left = (int)lrintf(pair[0] * 32768);
    const int right = (int)lrintf(pair[1] * 32768);
    return left >= 1000 && right >= 1000 ? (left - 1000) / 16 * 256 + (right - 1000) / 16
                                         : -1;
}

static char *make_film(void)
{
    g_autofree char *raw = rb_test_path("sound.raw");
    g_autofree int16_t *pairs = g_new(int16_t, 2 * SECONDS * RATE);
    for (int i = 0; i < SECONDS * RATE; i++) {
        pair_of(i, pairs + 2 * (ptrdiff_t)i);
    }
    ck_assert(g_file_set_contents(raw, (const char *)pairs, (gssize)(4 * SECONDS * RATE),
                                  NULL));
    return film_encode("a.mkv", SECONDS * 30, "-f", "s16le", "-ar", "48000", "-ac", "2",
                       "-i", raw, "-c:a", "pcm_s16le", "-c:v", "libx264", "-g", "15",
                       NULL);
}

static void wait_for_pairs(Device *device, guint n)
{
    const int64_t until = g_get_monotonic_time() + 20000000;
    while (count(device) < n) {
        ck_assert_msg(g_get_monotonic_time() < until, "no sound came");
        g_usleep(2000);
    }
}

START_TEST(test_sound__is_the_films_at_the_pictures_time)
{
    g_autofree char *path = make_film();
    RbReel *reel = reel_must_open(path);
    Device device;
    device_init(&device);
    RbSound *sound = rb_sound_open(path, reel, &sink, &device);
    const int64_t at_us = g_get_monotonic_time();
    rb_sound_play(sound, 1000000, at_us);
    wait_for_pairs(&device, RATE);
    rb_sound_stop(sound);
    close_and_wait(sound, &device);
    const float *pairs = (const float *)(void *)device.pairs->data;
    /* The first pair is the one to be heard when it is heard, in 40 ms and what a busy machine
     * takes between looking at the clock and writing. */
    const int first = number_of(pairs);
    const int64_t due = RATE + (device.first_us - at_us) * RATE / 1000000;
    ck_assert_msg(llabs(first - due) < RATE / 8, "pair %d where %d was due", first,
                  (int)due);
    /* Then one after the other; where the machine was late a few are left out, none is heard
     * twice. */
    int gaps = 0;
    int last = first;
    for (guint i = 1; i < device.pairs->len / 2; i++) {
        const int number = number_of(pairs + 2 * (gsize)i);
        if (number < 0) {
            continue; /* waiting for the picture */
        }
        ck_assert_msg(number > last, "pair %d after %d", number, last);
        gaps += number != last + 1;
        last = number;
    }
    ck_assert_int_le(gaps, 20);
    ck_assert_int_ge(device.drops, 1);
    g_array_unref(device.pairs);
    reel_must_close(reel);
}
END_TEST

START_TEST(test_sound__follows_the_newest_command)
{
    g_autofree char *path = make_film();
    RbReel *reel = reel_must_open(path);
    Device device;
    device_init(&device);
    RbSound *sound = rb_sound_open(path, reel, &sink, &device);
    rb_sound_play(sound, 0, g_get_monotonic_time());
    wait_for_pairs(&device, 5000);
    rb_sound_play(sound, 3000000, g_get_monotonic_time());
    const guint before = count(&device);
    wait_for_pairs(&device, before + 5000);
    rb_sound_stop(sound);
    close_and_wait(sound, &device);
    const float *pairs = (const float *)(void *)device.pairs->data;
    ck_assert_int_lt(number_of(pairs), 3 * RATE);
    ck_assert_int_ge(number_of(pairs + device.pairs->len - 2), 3 * RATE);
    g_array_unref(device.pairs);
    reel_must_close(reel);
}
END_TEST

/* No sound in the film, no listener, a sink that fails: silence and nothing else. */
START_TEST(test_sound__its_absence_never_hurts)
{
    g_autofree char *mute = film_write_plain("mute.mp4", 30);
    g_autofree char *path = make_film();
    for (int i = 0; i < 3; i++) {
        const char *film = i == 0 ? mute : path;
        RbReel *reel = reel_must_open(film);
        Device device;
        device_init(&device);
        device.broken = i == 1;
        g_autofree char *gone = rb_test_path("gone.mp4");
        RbSound *sound = rb_sound_open(i == 2 ? gone : film, reel, &sink, &device);
        rb_sound_play(sound, 0, g_get_monotonic_time());
        g_usleep(300000);
        rb_sound_play(sound, 100000, g_get_monotonic_time());
        g_usleep(100000);
        rb_sound_stop(sound);
        close_and_wait(sound, &device);
        ck_assert_uint_le(device.pairs->len, i == 1 ? 8000 : 0);
        g_array_unref(device.pairs);
        reel_must_close(reel);
    }
}
END_TEST

TCase *rb_case_sound(void)
{
    TCase *tcase = rb_case_new("sound");
    tcase_set_tags(tcase, "shown");
    tcase_add_test(tcase, test_sound__is_the_films_at_the_pictures_time);
    tcase_add_test(tcase, test_sound__follows_the_newest_command);
    tcase_add_test(tcase, test_sound__its_absence_never_hurts);
    return tcase;
}
