/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "damage.h"

#include <pthread.h>
#include <string.h>

/* More than any decoder has in hand. */
#define KEPT 128

static struct {
    pthread_mutex_t lock;
    /* protected by lock: */
    int64_t packets[KEPT]; /* the oldest is overwritten first */
    int n;
    int next;
} told = { .lock = PTHREAD_MUTEX_INITIALIZER };

/* What decoders say of data that cannot be what was written. What is missing only because decoding
 * began in mid film (references, counts of frames) is not among it. */
static const char *const words[] = {
    "concealing %d DC",       /* all that conceal: H.264, MPEG-2, MPEG-4 */
    "error while decoding",   /* H.264 */
    "damaged at",             /* MPEG-2, MPEG-4, H.263 */
    "corrupted at",           /* MPEG-4 */
    "corrupted macroblock",   /* H.264 */
    "mismatch at",            /* MPEG-2, MPEG-4: a slice where none should be */
    "Error parsing NAL unit", /* HEVC, H.264 */
    "mismatching checksum",   /* HEVC with sums in it */
    "slice CRC mismatch",     /* FFV1 */
};

static bool is_damage(const char *format)
{
    bool found = false;
    for (size_t i = 0; i < sizeof words / sizeof words[0] && !found; i++) {
        found = strstr(format, words[i]) != NULL;
    }
    return found;
}

static void note(int64_t packet)
{
    pthread_mutex_lock(&told.lock);
    told.packets[told.next] = packet;
    told.next = (told.next + 1) % KEPT;
    told.n += told.n < KEPT;
    pthread_mutex_unlock(&told.lock);
}

static void on_words(void *context, int level, const char *format, va_list arguments)
{
    const AVClass *kind = context != NULL ? *(const AVClass **)context : NULL;
    if (level <= AV_LOG_INFO && kind == avcodec_get_class() && is_damage(format)) {
        note(((const AVCodecContext *)context)->reordered_opaque);
    }
    if (level <= av_log_get_level()) {
        av_log_default_callback(context, level, format, arguments);
    }
}

void damage_listen(void)
{
    av_log_set_callback(on_words);
}

void damage_forget(void)
{
    pthread_mutex_lock(&told.lock);
    told.n = 0;
    told.next = 0;
    pthread_mutex_unlock(&told.lock);
}

bool damage_is_any(void)
{
    pthread_mutex_lock(&told.lock);
    const bool any = told.n > 0;
    pthread_mutex_unlock(&told.lock);
    return any;
}

bool damage_is_between(int64_t first, int64_t last)
{
    bool found = false;
    pthread_mutex_lock(&told.lock);
    for (int i = 0; i < told.n && !found; i++) {
        found = told.packets[i] >= first && told.packets[i] <= last;
    }
    pthread_mutex_unlock(&told.lock);
    return found;
}

bool damage_is_in(const AVFrame *frame, int64_t packet)
{
    return (frame->flags & AV_FRAME_FLAG_CORRUPT) != 0 ||
           frame->decode_error_flags != 0 || damage_is_between(packet, packet);
}
