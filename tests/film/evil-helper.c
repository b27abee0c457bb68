/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <unistd.h>

#include "film/channel.h"
#include "film/helper-process.h"
#include "film/index.h"
#include "film/protocol.h"

/* A helper taken over by a bad film, for tests: it speaks the protocol and then does what
 * RB_EVIL says. Its film has 60 frames of 32 by 16, each filled with its own number. */

#define FRAMES 60
#define WIDTH 32
#define HEIGHT 16

static const char *evil;
static uint8_t *ring;
static uint64_t slot_bytes;

static bool is(const char *mode)
{
    return strcmp(evil, mode) == 0;
}

static void say(void *message, size_t n)
{
    ((RbMessageHead *)message)->bytes = (uint32_t)n;
    if (rb_channel_send(RB_HELPER_SOCKET, message, n, NULL, 0, true) != RB_CHANNEL_OK) {
        exit(0);
    }
}

static void say_facts(void)
{
    RbTellFacts tell = { .head = { .kind = RB_TELL_FACTS },
                         .container = "evil",
                         .codec = "evil",
                         .width = is("facts-size") ? 1 << 20 : WIDTH,
                         .height = HEIGHT,
                         .shape_num = 1,
                         .shape_den = 1,
                         .rotation = is("facts-rotation") ? 45 : 0,
                         .rate_num = 30,
                         .rate_den = 1,
                         .base_num = 1,
                         .base_den = is("facts-base") ? 0 : 30,
                         .duration_us = 2000000 };
    if (is("facts-name")) {
        memset(tell.codec, 'x', sizeof tell.codec);
    }
    say(&tell, sizeof tell);
}

static void say_index(void)
{
    RbIndex *index = rb_index_new(FRAMES, FRAMES);
    index->base = (RbRational){ 1, 30 };
    index->rate = (RbRational){ 30, 1 };
    for (int i = 0; i < FRAMES; i++) {
        index->packets[i] = (RbIndexPacket){ .pts = i, .dts = i, .pos = i, .size = 1 };
        index->frames[i] = (RbIndexFrame){ .pts = i, .packet = (uint32_t)i };
    }
    if (is("index-packet")) {
        index->frames[3].packet = 1 << 30;
    }
    GByteArray *bytes = rb_index_to_bytes(index);
    union {
        RbMessageHead head;
        uint8_t bytes[RB_MESSAGE_MAX];
    } part;
    part.head = (RbMessageHead){ .kind = RB_TELL_INDEX_PART };
    memcpy(part.bytes + sizeof part.head, bytes->data, bytes->len);
    say(&part, sizeof part.head + bytes->len);
    RbTellIndexEnd end = { .head = { .kind = RB_TELL_INDEX_END },
                           .total = bytes->len + (is("index-total") ? 7 : 0) };
    say(&end, sizeof end);
    g_byte_array_unref(bytes);
    rb_index_free(index);
}

static void say_frame(const RbAskFrame *ask)
{
    RbLayout layout;
    if (is("die-on-30") && ask->ordinal == 30) {
        abort();
    }
    if (is("hang-on-30") && ask->ordinal == 30) {
        sleep(60);
    }
    if (!rb_layout_make((RbPixels)ask->pixels, WIDTH, HEIGHT, &layout) ||
        layout.bytes > slot_bytes) {
        abort();
    }
    memset(ring + slot_bytes * ask->slot, (int)ask->ordinal, layout.bytes);
    RbTellFrame tell = { .head = { .kind = RB_TELL_FRAME, .serial = ask->head.serial },
                         .ordinal = ask->ordinal,
                         .slot = ask->slot,
                         .pixels = ask->pixels,
                         .width = WIDTH,
                         .height = HEIGHT,
                         .stride = layout.stride[0],
                         .bytes = layout.bytes,
                         .coded_width = WIDTH,
                         .coded_height = HEIGHT,
                         .shape_num = 1,
                         .shape_den = 1 };
    if (ask->ordinal == 30) {
        tell.slot += is("frame-slot") ? 1 : 0;
        tell.ordinal += is("frame-ordinal") ? 1 : 0;
        tell.stride += is("frame-stride") ? 64 : 0;
        tell.bytes += is("frame-bytes") ? 1 << 20 : 0;
        tell.head.serial += is("frame-serial") ? 1000 : 0;
        tell.pixels = is("frame-pixels") ? 77 : tell.pixels;
        tell.shape_den = is("frame-shape") ? 0 : 1;
        if (is("frame-size")) {
            tell.width = tell.height = 4096;
            rb_layout_make((RbPixels)ask->pixels, 4096, 4096, &layout);
            tell.stride = layout.stride[0];
            tell.bytes = layout.bytes;
        }
    }
    say(&tell, sizeof tell);
    if (is("frame-twice") && ask->ordinal == 30) {
        say(&tell, sizeof tell);
    }
    if (is("send-descriptor") && ask->ordinal == 30) {
        const int fd = 0;
        rb_channel_send(RB_HELPER_SOCKET, &tell, sizeof tell, &fd, 1, true);
    }
}

static void use_ring(const RbAskRing *ask, int fd)
{
    slot_bytes = ask->slot_bytes;
    ring = mmap(NULL, slot_bytes * ask->slots, PROT_READ | PROT_WRITE, MAP_SHARED, fd, 0);
    if (ring == MAP_FAILED) {
        abort();
    }
    if (is("shrink-ring") && ftruncate(fd, 0) == 0) {
        abort(); /* the seals failed; the test will see deaths it does not expect */
    }
    close(fd);
}

static void answer(const RbAsk *ask, const int *fds)
{
    switch (ask->head.kind) {
    case RB_ASK_READ:
        say_facts();
        return;
    case RB_ASK_INDEX:
        say_index();
        return;
    case RB_ASK_USE_INDEX: {
        RbMessageHead used = { .kind = RB_TELL_INDEX_USED };
        close(fds[0]);
        say(&used, sizeof used);
        return;
    }
    case RB_ASK_RING:
        use_ring(&ask->ring, fds[0]);
        return;
    case RB_ASK_FRAME:
        say_frame(&ask->frame);
        return;
    default:
        return;
    }
}

int main(void)
{
    evil = getenv("RB_EVIL") != NULL ? getenv("RB_EVIL") : "";
    for (;;) {
        char buffer[sizeof(RbAsk)];
        size_t n = 0;
        int fds[2] = { -1, -1 };
        int n_fds = 0;
        RbAsk ask;
        if (rb_channel_receive(RB_HELPER_SOCKET, buffer, sizeof buffer, &n, fds, 2,
                               &n_fds, true) != RB_CHANNEL_OK ||
            !rb_ask_check(buffer, n, &ask)) {
            return 0;
        }
        answer(&ask, fds);
    }
}
