/* SPDX-License-Identifier: GPL-3.0-or-later */
#define _GNU_SOURCE /* madvise */
#include "frame-pool.h"

#include <libavutil/imgutils.h>
#include <libavutil/pixdesc.h>
#include <pthread.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>

#define ALIGN 64
/* Vector code may read and write this far over the end of a plane. */
#define OVER 64
/* More than wanted, while decoders need them. */
#define SPARE 16

typedef struct Block {
    struct Block *next; /* of the free ones */
    uint8_t *memory;
    size_t bytes;
} Block;

static struct {
    pthread_mutex_t lock;
    /* protected by lock: */
    Block *free;
    int n; /* free or used */
    int wanted;
    size_t bytes; /* the size used last */
    uint32_t fresh;
} pool = { .lock = PTHREAD_MUTEX_INITIALIZER };

static void drop_block(Block *block)
{
    munmap(block->memory, block->bytes);
    free(block);
}

static Block *make_block(size_t bytes)
{
    Block *block = malloc(sizeof *block);
    if (block == NULL) {
        return NULL;
    }
    *block = (Block){ .bytes = bytes };
    block->memory =
        mmap(NULL, bytes, PROT_READ | PROT_WRITE, MAP_PRIVATE | MAP_ANONYMOUS, -1, 0);
    if (block->memory == MAP_FAILED) {
        free(block);
        return NULL;
    }
    madvise(block->memory, bytes, MADV_HUGEPAGE); /* refused: smaller pages serve too */
    return block;
}

/* Under the lock: the first free block that fits, or the first one to be given up. */
static Block *take(size_t bytes, bool fitting)
{
    for (Block **at = &pool.free; *at != NULL; at = &(*at)->next) {
        Block *block = *at;
        if ((block->bytes == bytes) == fitting) {
            *at = block->next;
            return block;
        }
    }
    return NULL;
}

static Block *get_block(size_t bytes)
{
    pthread_mutex_lock(&pool.lock);
    pool.bytes = bytes;
    Block *block = take(bytes, true);
    Block *other = NULL;
    if (block == NULL) {
        other = take(bytes, false); /* of a size that is not used any more */
        pool.fresh++;
        pool.n += other == NULL;
    }
    pthread_mutex_unlock(&pool.lock);
    if (other != NULL) {
        drop_block(other);
    }
    if (block != NULL) {
        return block;
    }
    block = make_block(bytes);
    if (block == NULL) {
        pthread_mutex_lock(&pool.lock);
        pool.n--;
        pthread_mutex_unlock(&pool.lock);
    }
    return block;
}

static void give_back(void *opaque, uint8_t *memory)
{
    (void)memory;
    Block *block = opaque;
    pthread_mutex_lock(&pool.lock);
    const bool enough = pool.wanted > 0 && pool.n > pool.wanted + SPARE;
    if (enough) {
        pool.n--;
    } else {
        block->next = pool.free;
        pool.free = block;
    }
    pthread_mutex_unlock(&pool.lock);
    if (enough) {
        drop_block(block);
    }
}

/* Where the planes of such a frame lie in one block; 0 if it cannot be said. */
static size_t lay_out(AVCodecContext *codec, const AVFrame *frame, int strides[4],
                      size_t offsets[4])
{
    int aligns[AV_NUM_DATA_POINTERS];
    int width = frame->width;
    int height = frame->height;
    avcodec_align_dimensions2(codec, &width, &height, aligns);
    for (bool aligned = false; !aligned; width += width & -width) {
        if (av_image_fill_linesizes(strides, (enum AVPixelFormat)frame->format, width) <
            0) {
            return 0;
        }
        aligned = true;
        for (int i = 0; i < 4; i++) {
            aligned = aligned && (strides[i] % FFMAX(aligns[i], ALIGN)) == 0;
        }
    }
    const ptrdiff_t wide[4] = { strides[0], strides[1], strides[2], strides[3] };
    size_t sizes[4];
    if (av_image_fill_plane_sizes(sizes, (enum AVPixelFormat)frame->format, height,
                                  wide) < 0) {
        return 0;
    }
    size_t at = 0;
    for (int i = 0; i < 4; i++) {
        offsets[i] = at;
        at += sizes[i] > 0 ? (sizes[i] + OVER + ALIGN - 1) / ALIGN * ALIGN : 0;
        strides[i] = sizes[i] > 0 ? strides[i] : 0;
    }
    return (at + 4095) / 4096 * 4096;
}

static int get_buffer(AVCodecContext *codec, AVFrame *frame, int flags)
{
    const AVPixFmtDescriptor *kind =
        av_pix_fmt_desc_get((enum AVPixelFormat)frame->format);
    int strides[4] = { 0 };
    size_t offsets[4] = { 0 };
    const bool plain =
        kind != NULL &&
        (kind->flags & (AV_PIX_FMT_FLAG_PAL | AV_PIX_FMT_FLAG_HWACCEL)) == 0 &&
        (codec->codec->capabilities & AV_CODEC_CAP_DR1) != 0;
    const size_t bytes = plain ? lay_out(codec, frame, strides, offsets) : 0;
    if (bytes == 0) {
        return avcodec_default_get_buffer2(codec, frame, flags);
    }
    Block *block = get_block(bytes);
    if (block == NULL) {
        return AVERROR(ENOMEM);
    }
    frame->buf[0] = av_buffer_create(block->memory, bytes, give_back, block, 0);
    if (frame->buf[0] == NULL) {
        give_back(block, NULL);
        return AVERROR(ENOMEM);
    }
    for (int i = 0; i < 4; i++) {
        frame->linesize[i] = strides[i];
        frame->data[i] = strides[i] != 0 ? block->memory + offsets[i] : NULL;
    }
    frame->extended_data = frame->data;
    return 0;
}

void frame_pool_attach(AVCodecContext *codec)
{
    codec->get_buffer2 = get_buffer;
#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wdeprecated-declarations"
    codec->thread_safe_callbacks = 1; /* without it this version waits at every frame */
#pragma GCC diagnostic pop
}

void frame_pool_want(int buffers)
{
    Block *dropped = NULL;
    pthread_mutex_lock(&pool.lock);
    pool.wanted = buffers;
    while (pool.n > pool.wanted && pool.free != NULL) {
        Block *block = pool.free;
        pool.free = block->next;
        block->next = dropped;
        dropped = block;
        pool.n--;
    }
    pthread_mutex_unlock(&pool.lock);
    while (dropped != NULL) {
        Block *next = dropped->next;
        drop_block(dropped);
        dropped = next;
    }
}

bool frame_pool_populate(uint8_t *memory, size_t bytes)
{
#ifdef MADV_POPULATE_WRITE /* Linux 5.14 */
    return madvise(memory, bytes, MADV_POPULATE_WRITE) == 0;
#else
    (void)memory;
    (void)bytes;
    return false;
#endif
}

bool frame_pool_prepare(void)
{
    pthread_mutex_lock(&pool.lock);
    const size_t bytes = pool.n < pool.wanted ? pool.bytes : 0;
    pool.n += bytes > 0;
    pthread_mutex_unlock(&pool.lock);
    Block *block = bytes > 0 ? make_block(bytes) : NULL;
    if (block == NULL) {
        return false;
    }
    if (!frame_pool_populate(block->memory, bytes)) {
        memset(block->memory, 0, bytes);
    }
    pthread_mutex_lock(&pool.lock);
    block->next = pool.free;
    pool.free = block;
    pthread_mutex_unlock(&pool.lock);
    return true;
}

uint32_t frame_pool_get_fresh(void)
{
    pthread_mutex_lock(&pool.lock);
    const uint32_t fresh = pool.fresh;
    pthread_mutex_unlock(&pool.lock);
    return fresh;
}

int64_t frame_pool_get_bytes(void)
{
    pthread_mutex_lock(&pool.lock);
    const int64_t bytes = (int64_t)pool.bytes;
    pthread_mutex_unlock(&pool.lock);
    return bytes;
}
