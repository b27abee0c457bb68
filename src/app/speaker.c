/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "speaker.h"

#include <dlfcn.h>
#include <pthread.h>
#include <pulse/simple.h>

/* What is used of the library. */
static struct {
    pthread_once_t once;
    bool there;
    __typeof__(&pa_simple_new) new;
    __typeof__(&pa_simple_free) free;
    __typeof__(&pa_simple_write) write;
    __typeof__(&pa_simple_flush) flush;
    __typeof__(&pa_simple_get_latency) latency;
} pulse = { .once = PTHREAD_ONCE_INIT };

typedef struct {
    pa_simple *stream; /* NULL until it is needed, and after a failure */
} Speaker;

/* A library's symbol is a function; ISO C has no other way to say so. */
#define FIND(library, name) ((__typeof__(&name))(uintptr_t)dlsym(library, #name))

static void load(void)
{
    void *library = dlopen("libpulse-simple.so.0", RTLD_NOW | RTLD_LOCAL);
    if (library == NULL) {
        g_message("No sound: %s", dlerror());
        return;
    }
    pulse.new = FIND(library, pa_simple_new);
    pulse.free = FIND(library, pa_simple_free);
    pulse.write = FIND(library, pa_simple_write);
    pulse.flush = FIND(library, pa_simple_flush);
    pulse.latency = FIND(library, pa_simple_get_latency);
    pulse.there = pulse.new != NULL &&pulse.free != NULL &&pulse.write !=
                  NULL &&pulse.flush != NULL &&pulse.latency != NULL;
}

static bool open_stream(Speaker *speaker)
{
    pthread_once(&pulse.once, load);
    if (speaker->stream != NULL || !pulse.there) {
        return speaker->stream != NULL;
    }
    const pa_sample_spec pairs = { .format = PA_SAMPLE_FLOAT32NE,
                                   .rate = RB_SOUND_PAIRS_A_SECOND,
                                   .channels = 2 };
    /* A tenth of a second ahead: enough for a hiccup, and a stop is heard at once. */
    const pa_buffer_attr room = { .maxlength = (uint32_t)-1,
                                  .tlength = RB_SOUND_PAIRS_A_SECOND / 10 * 8,
                                  .prebuf = (uint32_t)-1,
                                  .minreq = (uint32_t)-1,
                                  .fragsize = (uint32_t)-1 };
    speaker->stream = pulse.new(NULL, "Readbreak", PA_STREAM_PLAYBACK, NULL, "film",
                                &pairs, NULL, &room, NULL);
    return speaker->stream != NULL;
}

static void drop_stream(Speaker *speaker)
{
    if (speaker->stream != NULL) {
        pulse.free(speaker->stream);
        speaker->stream = NULL;
    }
}

static bool speaker_write(void *data, const float *pairs, int n)
{
    Speaker *speaker = data;
    if (!open_stream(speaker)) {
        return false;
    }
    const size_t bytes = (size_t)n * 2 * sizeof *pairs;
    if (pulse.write(speaker->stream, pairs, bytes, NULL) < 0) {
        drop_stream(speaker); /* the server is gone; the next run looks for another */
        return false;
    }
    return true;
}

static int64_t speaker_latency(void *data)
{
    Speaker *speaker = data;
    int failed = 0;
    if (!open_stream(speaker)) {
        return 0;
    }
    const pa_usec_t us = pulse.latency(speaker->stream, &failed);
    return us == (pa_usec_t)-1 ? 0 : (int64_t)us;
}

static void speaker_drop(void *data)
{
    Speaker *speaker = data;
    if (speaker->stream != NULL && pulse.flush(speaker->stream, NULL) < 0) {
        drop_stream(speaker);
    }
}

static void speaker_close(void *data)
{
    drop_stream(data);
    g_free(data);
}

const RbSoundSink rb_speaker_sink = { speaker_write, speaker_latency, speaker_drop,
                                      speaker_close };

void *rb_speaker_new(void)
{
    return g_new0(Speaker, 1);
}
