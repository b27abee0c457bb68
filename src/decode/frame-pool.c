/* SPDX-License-Identifier: GPL-3.0-or-later */
#define _GNU_SOURCE /* madvise */
#include "frame-pool.h"

#include <libavutil/imgutils.h>
#include <libavutil/pixdesc.h>
#include <limits.h>
#include <pthread.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>

#define ALIGN 64
/* Vector code may read and write this far over the end of a plane. */
#define OVER 64
/* More than wanted, while decoders need them. */
#define SPARE 16

/* Blocks lie in chunks of whole large pages, which fault in at a third of the cost of small ones.
 * A chunk goes back to the system when all of its blocks are free. */
#define LARGE_PAGE ((size_t)2 << 20)
#define SMALL_PAGE ((size_t)4096)
#define CHUNK_BYTES ((size_t)24 << 20)
#define CHUNK_BLOCKS 32

typedef struct Block {
    struct Block *next; /* of the free ones */
    struct Chunk *chunk;
    uint8_t *memory;
    bool touched; /* its pages are there */
} Block;

typedef struct Chunk {
    struct Chunk *next;
    uint8_t *memory;
    size_t bytes;
    size_t block_bytes;
    int n;
    int used;
    Block blocks[CHUNK_BLOCKS];
} Chunk;

static struct {
    pthread_mutex_t lock;
    /* protected by lock: */
    Chunk *chunks;
    Block *free; /* those with pages first */
    int n;       /* free or used */
    int wanted;
    size_t bytes; /* the size used last */
    uint32_t fresh;
} pool = { .lock = PTHREAD_MUTEX_INITIALIZER };

/* All that follows up to get_block() is called under the lock. */

static void drop_chunk(Chunk *chunk)
{
    for (Block **at = &pool.free; *at != NULL;) {
        if ((*at)->chunk == chunk) {
            *at = (*at)->next;
        } else {
            at = &(*at)->next;
        }
    }
    pool.n -= chunk->n;
    munmap(chunk->memory, chunk->bytes);
    free(chunk);
}

/* Of the chunks that nobody uses: those of another size, and what is more than `most`. */
static void drop_unused(size_t bytes, int most)
{
    for (Chunk **at = &pool.chunks; *at != NULL;) {
        Chunk *chunk = *at;
        const bool other = bytes > 0 && chunk->block_bytes != bytes;
        if (chunk->used == 0 && (other || pool.n - chunk->n >= most)) {
            *at = chunk->next;
            drop_chunk(chunk);
        } else {
            at = &chunk->next;
        }
    }
}

static void put_free(Block *block)
{
    Block **at = &pool.free;
    while (!block->touched && *at != NULL) {
        at = &(*at)->next;
    }
    block->next = *at;
    *at = block;
}

/* At a border of large pages, where there is room for any. */
static uint8_t *map_aligned(size_t bytes)
{
    const size_t over = bytes >= LARGE_PAGE ? LARGE_PAGE : 0;
    uint8_t *memory = mmap(NULL, bytes + over, PROT_READ | PROT_WRITE,
                           MAP_PRIVATE | MAP_ANONYMOUS, -1, 0);
    if (memory == MAP_FAILED || over == 0) {
        return memory != MAP_FAILED ? memory : NULL;
    }
    const size_t before = (LARGE_PAGE - (uintptr_t)memory % LARGE_PAGE) % LARGE_PAGE;
    if (before > 0) {
        munmap(memory, before);
    }
    if (before < over) {
        munmap(memory + before + bytes, over - before);
    }
    frame_pool_use_large_pages(memory + before, bytes);
    return memory + before;
}

static bool make_chunk(size_t block_bytes)
{
    Chunk *chunk = calloc(1, sizeof *chunk);
    if (chunk == NULL) {
        return false;
    }
    chunk->n = (int)(CHUNK_BYTES / block_bytes);
    chunk->n = FFMIN(FFMAX(chunk->n, 1), CHUNK_BLOCKS);
    const size_t least = (size_t)chunk->n * block_bytes;
    const size_t page = least >= LARGE_PAGE ? LARGE_PAGE : SMALL_PAGE;
    chunk->block_bytes = block_bytes;
    chunk->bytes = (least + page - 1) / page * page;
    chunk->memory = map_aligned(chunk->bytes);
    if (chunk->memory == NULL) {
        free(chunk);
        return false;
    }
    chunk->next = pool.chunks;
    pool.chunks = chunk;
    pool.n += chunk->n;
    for (int i = chunk->n - 1; i >= 0; i--) {
        chunk->blocks[i] =
            (Block){ .chunk = chunk, .memory = chunk->memory + (size_t)i * block_bytes };
        put_free(&chunk->blocks[i]);
    }
    return true;
}

/* untouched: only one without its pages. */
static Block *take(size_t bytes, bool untouched)
{
    for (Block **at = &pool.free; *at != NULL; at = &(*at)->next) {
        Block *block = *at;
        if (block->chunk->block_bytes == bytes && !(untouched && block->touched)) {
            *at = block->next;
            block->chunk->used++;
            return block;
        }
    }
    return NULL;
}

static Block *get_block(size_t bytes)
{
    pthread_mutex_lock(&pool.lock);
    if (pool.bytes != bytes) {
        drop_unused(bytes, INT_MAX);
    }
    pool.bytes = bytes;
    Block *block = take(bytes, false);
    if (block == NULL && make_chunk(bytes)) {
        block = take(bytes, false);
    }
    pool.fresh += block != NULL && !block->touched;
    pthread_mutex_unlock(&pool.lock);
    return block;
}

static void give_back(void *opaque, uint8_t *memory)
{
    (void)memory;
    Block *block = opaque;
    pthread_mutex_lock(&pool.lock);
    block->touched = true;
    block->chunk->used--;
    put_free(block);
    if (pool.wanted > 0 && pool.n > pool.wanted + SPARE) {
        drop_unused(0, pool.wanted);
    }
    pthread_mutex_unlock(&pool.lock);
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
    pthread_mutex_lock(&pool.lock);
    pool.wanted = buffers;
    drop_unused(0, buffers);
    pthread_mutex_unlock(&pool.lock);
}

void frame_pool_use_large_pages(uint8_t *memory, size_t bytes)
{
    madvise(memory, bytes, MADV_HUGEPAGE); /* refused: small pages serve too */
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
    const size_t bytes = pool.bytes;
    Block *block = bytes > 0 ? take(bytes, true) : NULL;
    if (block == NULL && bytes > 0 && pool.n < pool.wanted && make_chunk(bytes)) {
        block = take(bytes, true);
    }
    pthread_mutex_unlock(&pool.lock);
    if (block == NULL) {
        return false;
    }
    if (!frame_pool_populate(block->memory, bytes)) {
        memset(block->memory, 0, bytes);
    }
    give_back(block, NULL);
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
