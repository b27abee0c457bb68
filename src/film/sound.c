/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/film/sound.h"

#include <poll.h>
#include <string.h>

#include "channel.h"
#include "reel-private.h"

/* Sound is fetched in pieces of this many pairs and written in blocks. */
#define PIECE 24000
#define BLOCK 960
/* As far as sound may be from the picture before it is put right, in pairs: 40 ms. */
#define SLACK 1920
/* A listener that does not answer for this long is ended. */
#define ANSWER_MS 5000

G_STATIC_ASSERT(RB_SOUND_RATE == RB_SOUND_PAIRS_A_SECOND);
G_STATIC_ASSERT(PIECE <= RB_SOUND_PAIRS_MAX);

typedef struct {
    uint64_t turn; /* counts commands */
    bool on;
    int64_t film_us;
    int64_t at_us;
} Command;

struct RbSound {
    char *path;   /* immutable */
    RbReel *reel; /* owned reference */
    const RbSoundSink *sink;
    void *data;

    RbMutex lock;
    RbCond changed;
    /* protected by lock: */
    Command command;
    bool closing;

    /* the thread's: */
    RbHelper helper;
    RbFilmFile file;
    RbRing *ring; /* owned */
    uint64_t serial;
    float piece[2 * PIECE];
};

static bool is_current(RbSound *sound, const Command *command)
{
    rb_mutex_lock(&sound->lock);
    const bool current = !sound->closing && sound->command.turn == command->turn;
    rb_mutex_unlock(&sound->lock);
    return current;
}

/* Waits for a command other than the one before; false when it is time to end. */
static bool next_command(RbSound *sound, Command *command)
{
    rb_mutex_lock(&sound->lock);
    while (!sound->closing &&
           (sound->command.turn == command->turn || !sound->command.on)) {
        rb_cond_wait(&sound->changed, &sound->lock);
    }
    *command = sound->command;
    const bool go_on = !sound->closing;
    rb_mutex_unlock(&sound->lock);
    return go_on;
}

/* ---- the listener */

static bool start_listener(RbSound *sound)
{
    if (sound->helper.socket >= 0) {
        return true;
    }
    g_autoptr(GError) error = NULL;
    if (sound->ring == NULL) {
        sound->ring =
            rb_ring_new(2 * sizeof(float) * RB_SOUND_PAIRS_MAX, 1, false, -1, &error);
    }
    if (sound->ring == NULL ||
        (sound->file.fd < 0 && !rb_film_file_open(sound->path, &sound->file, &error)) ||
        !rb_helper_start(&sound->helper, &error)) {
        return false;
    }
    const RbAskHear ask = { .head = { RB_ASK_HEAR, sizeof ask, 0 },
                            .version = RB_PROTOCOL_VERSION };
    const int fds[2] = { sound->file.fd, rb_ring_get_fd(sound->ring) };
    return rb_channel_send(sound->helper.socket, &ask, sizeof ask, fds, 2, true) ==
           RB_CHANNEL_OK;
}

/* One message that is not just a sign of life; false: the listener is gone or hung. */
static bool receive(RbSound *sound, RbTell *tell)
{
    const int64_t until = g_get_monotonic_time() + ANSWER_MS * INT64_C(1000);
    uint8_t buffer[sizeof(RbTell) + 1];
    while (g_get_monotonic_time() < until) {
        struct pollfd fd = { .fd = sound->helper.socket, .events = POLLIN };
        if (poll(&fd, 1, ANSWER_MS / 10) <= 0) {
            continue;
        }
        size_t n = 0;
        const uint8_t *part = NULL;
        size_t part_bytes = 0;
        if (rb_channel_receive(sound->helper.socket, buffer, sizeof buffer, &n, NULL, 0,
                               NULL, false) != RB_CHANNEL_OK ||
            !rb_tell_check(buffer, n, tell, &part, &part_bytes)) {
            return false;
        }
        if (tell->head.kind != RB_TELL_PROGRESS) {
            return true;
        }
    }
    return false;
}

/* What comes from the listener is not trusted to be sound. */
static float sane(float value)
{
    return value >= -1 && value <= 1 ? value : value > 1 ? 1 : value < -1 ? -1 : 0;
}

/* The container's time of a film time: recorders' clocks may jump between frames. */
static bool container_time(const RbSound *sound, int64_t film_us, int64_t *us)
{
    const int64_t frame = rb_reel_find_frame_at(sound->reel, film_us);
    RbTime time;
    const RbRational micro = { 1, 1000000 };
    if (!rb_reel_get_frame_time(sound->reel, frame, &time) ||
        !rb_time_rescale(time, micro, us, NULL)) {
        return false;
    }
    *us += film_us - rb_reel_get_frame_us(sound->reel, frame);
    return true;
}

static bool fetch(RbSound *sound, int64_t film_us)
{
    RbAskSound ask = { .head = { RB_ASK_SOUND, sizeof ask, ++sound->serial },
                       .pairs = PIECE };
    RbTell tell;
    if (!container_time(sound, film_us, &ask.at_us) ||
        rb_channel_send(sound->helper.socket, &ask, sizeof ask, NULL, 0, true) !=
            RB_CHANNEL_OK ||
        !receive(sound, &tell) || tell.head.kind != RB_TELL_SOUND ||
        tell.head.serial != ask.head.serial || tell.sound.pairs != PIECE) {
        return false;
    }
    const float *from = (const float *)(const void *)rb_ring_get_slot(sound->ring, 0);
    for (int i = 0; i < 2 * PIECE; i++) {
        sound->piece[i] = sane(from[i]);
    }
    return true;
}

/* ---- in step */

static int64_t pairs_of(int64_t us)
{
    return us * RB_SOUND_RATE / 1000000;
}

/* The pair of this run that should be written now. */
static int64_t due_pair(const RbSound *sound, const Command *command)
{
    return pairs_of(g_get_monotonic_time() - command->at_us +
                    sound->sink->latency_us(sound->data));
}

static bool write_silence(RbSound *sound, int64_t n)
{
    static const float silence[2 * BLOCK];
    return sound->sink->write(sound->data, silence, (int)MIN(n, BLOCK));
}

/* Writes the piece that begins at pair `first`; *at: the next pair to be written. */
static bool write_piece(RbSound *sound, const Command *command, int64_t first,
                        int64_t *at)
{
    while (*at < first + PIECE && is_current(sound, command)) {
        const int64_t due = due_pair(sound, command);
        bool good = true;
        if (due - *at > SLACK) {
            *at = due; /* behind the picture: left out */
        } else if (*at - due > SLACK) {
            good = write_silence(sound, *at - due);
        } else {
            const int n = (int)MIN(BLOCK, first + PIECE - *at);
            good = sound->sink->write(sound->data, sound->piece + 2 * (*at - first), n);
            *at += n;
        }
        if (!good) {
            return false;
        }
    }
    return true;
}

static void play(RbSound *sound, const Command *command)
{
    int64_t at = MAX(due_pair(sound, command), 0);
    bool good = start_listener(sound);
    while (good && is_current(sound, command)) {
        const int64_t first = at;
        good = fetch(sound, command->film_us + first * 1000000 / RB_SOUND_RATE);
        if (!good) {
            rb_helper_end(&sound->helper); /* the next command begins anew */
            break;
        }
        good = write_piece(sound, command, first, &at);
    }
    sound->sink->drop(sound->data);
}

static void *run(void *data)
{
    RbSound *sound = data;
    pthread_detach(pthread_self());
    Command command = { 0 };
    while (next_command(sound, &command)) {
        play(sound, &command);
    }
    rb_helper_end(&sound->helper);
    rb_ring_unref(sound->ring);
    rb_film_file_close(&sound->file);
    rb_reel_unref(sound->reel);
    rb_cond_clear(&sound->changed);
    rb_mutex_clear(&sound->lock);
    g_free(sound->path);
    const RbSoundSink *sink = sound->sink;
    void *sink_data = sound->data;
    g_free(sound);
    sink->close(sink_data);
    return NULL;
}

RbSound *rb_sound_open(const char *film, RbReel *reel, const RbSoundSink *sink,
                       void *data)
{
    RbSound *sound = g_new0(RbSound, 1);
    sound->path = g_strdup(film);
    sound->reel = reel;
    atomic_fetch_add_explicit(&reel->refs, 1, memory_order_relaxed);
    sound->sink = sink;
    sound->data = data;
    sound->helper = (RbHelper)RB_HELPER_NONE;
    sound->file.fd = -1;
    rb_mutex_init(&sound->lock);
    rb_cond_init(&sound->changed);
    rb_thread_start("sound", run, sound);
    return sound;
}

static void command(RbSound *sound, bool on, int64_t film_us, int64_t at_us)
{
    rb_mutex_lock(&sound->lock);
    sound->command = (Command){ sound->command.turn + 1, on, film_us, at_us };
    rb_cond_broadcast(&sound->changed);
    rb_mutex_unlock(&sound->lock);
}

void rb_sound_play(RbSound *sound, int64_t film_us, int64_t at_us)
{
    command(sound, true, film_us, at_us);
}

void rb_sound_stop(RbSound *sound)
{
    command(sound, false, 0, 0);
}

void rb_sound_close(RbSound *sound)
{
    if (sound == NULL) {
        return;
    }
    rb_mutex_lock(&sound->lock);
    sound->closing = true;
    rb_cond_broadcast(&sound->changed);
    rb_mutex_unlock(&sound->lock); /* the thread frees it */
}
