/* SPDX-License-Identifier: GPL-3.0-or-later */
#define _GNU_SOURCE /* seals */
#include <fcntl.h>
#include <string.h>
#include <sys/mman.h>
#include <unistd.h>

#include "rb/base/random.h"

#include "channel.h"
#include "picture-private.h"
#include "protocol.h"
#include "ring.h"
#include "suite.h"
#include "words.h"

TCase *rb_case_protocol(void);

static RbTellFrame good_frame(void)
{
    RbLayout layout;
    ck_assert(rb_layout_make(RB_PIXELS_BGRA, 100, 50, &layout));
    return (RbTellFrame){ .head = { RB_TELL_FRAME, sizeof(RbTellFrame), 9 },
                          .ordinal = 3,
                          .slot = 2,
                          .pixels = RB_PIXELS_BGRA,
                          .width = 100,
                          .height = 50,
                          .stride = layout.stride[0],
                          .bytes = layout.bytes,
                          .coded_width = 200,
                          .coded_height = 100,
                          .shape_num = 1,
                          .shape_den = 1 };
}

static bool check(const void *message, size_t n)
{
    RbTell tell;
    const uint8_t *part = NULL;
    size_t part_bytes = 0;
    return rb_tell_check(message, n, &tell, &part, &part_bytes);
}

START_TEST(test_protocol__frames_are_measured)
{
    RbTellFrame frame = good_frame();
    ck_assert(check(&frame, sizeof frame));
#define REFUSED(change)                                                                  \
    do {                                                                                 \
        frame = good_frame();                                                            \
        change;                                                                          \
        ck_assert_msg(!check(&frame, sizeof frame), "%s", #change);                      \
    } while (0)
    REFUSED(frame.width = 0);
    REFUSED(frame.width = -100);
    REFUSED(frame.height = RB_SIZE_MAX + 1);
    REFUSED(frame.coded_width = 0);
    REFUSED(frame.coded_height = RB_SIZE_MAX + 1);
    REFUSED(frame.stride = 100);
    REFUSED(frame.stride = UINT64_MAX);
    REFUSED(frame.bytes -= 1);
    REFUSED(frame.bytes = UINT64_MAX);
    REFUSED(frame.slot = RB_RING_SLOTS_MAX);
    REFUSED(frame.pixels = 3);
    REFUSED(frame.ordinal = -1);
    REFUSED(frame.shape_num = 0);
    REFUSED(frame.shape_den = -1);
    REFUSED(frame.doubtful = 2);
    REFUSED(frame.head.bytes -= 1);
    REFUSED(frame.head.kind = 55);
    REFUSED(frame.head.kind = RB_TELL_FACTS);
#undef REFUSED
    frame = good_frame();
    ck_assert(!check(&frame, sizeof frame - 1));
    ck_assert(!check(&frame, 3));
}
END_TEST

START_TEST(test_protocol__frame_must_answer_the_request)
{
    const RbTellFrame frame = good_frame();
    RbAskFrame ask = { .head = { RB_ASK_FRAME, sizeof ask, 9 },
                       .ordinal = 3,
                       .slot = 2,
                       .pixels = RB_PIXELS_BGRA };
    ck_assert(rb_tell_frame_answers(&frame, &ask, frame.bytes));
    ck_assert(!rb_tell_frame_answers(&frame, &ask, frame.bytes - 1));
    ask.ordinal = 4;
    ck_assert(!rb_tell_frame_answers(&frame, &ask, frame.bytes));
    ask.ordinal = 3;
    ask.slot = 1;
    ck_assert(!rb_tell_frame_answers(&frame, &ask, frame.bytes));
    ask.slot = 2;
    ask.pixels = RB_PIXELS_GRAY;
    ck_assert(!rb_tell_frame_answers(&frame, &ask, frame.bytes));
    ask.pixels = RB_PIXELS_BGRA;
    ask.max_width = 100;
    ask.max_height = 60;
    ck_assert(rb_tell_frame_answers(&frame, &ask, frame.bytes));
    ask.stretch = 1;
    ck_assert(!rb_tell_frame_answers(&frame, &ask, frame.bytes));
    ask.max_height = 50;
    ck_assert(rb_tell_frame_answers(&frame, &ask, frame.bytes));
    ask.stretch = 0;
    ask.max_width = 99;
    ck_assert(!rb_tell_frame_answers(&frame, &ask, frame.bytes));
    ask.pixels = RB_PIXELS_BGRA;
    ask.head.serial = 10;
    ck_assert(!rb_tell_frame_answers(&frame, &ask, frame.bytes));
}
END_TEST

START_TEST(test_protocol__limits_of_the_small_messages)
{
    RbTellRoom room = { .head = { RB_TELL_ROOM, sizeof room, 1 },
                        .bytes = RB_SLOT_BYTES_MAX };
    ck_assert(check(&room, sizeof room));
    room.bytes++;
    ck_assert(!check(&room, sizeof room));
    RbTellProgress progress = { .head = { RB_TELL_PROGRESS, sizeof progress, 0 },
                                .permille = 1000 };
    ck_assert(check(&progress, sizeof progress));
    progress.permille = 1001;
    ck_assert(!check(&progress, sizeof progress));
    RbTellDoubt doubt = { .head = { RB_TELL_DOUBT, sizeof doubt, 0 },
                          .doubt = RB_DOUBT_LAST };
    ck_assert(check(&doubt, sizeof doubt));
    doubt.doubt++;
    ck_assert(!check(&doubt, sizeof doubt));
    RbTellIndexEnd end = { .head = { RB_TELL_INDEX_END, sizeof end, 0 },
                           .total = RB_INDEX_BYTES_MAX };
    ck_assert(check(&end, sizeof end));
    end.total++;
    ck_assert(!check(&end, sizeof end));
    RbMessageHead empty_part = { RB_TELL_INDEX_PART, sizeof empty_part, 0 };
    ck_assert(!check(&empty_part, sizeof empty_part));
    RbTellSlotFree slot = { .head = { RB_TELL_SLOT_FREE, sizeof slot, 0 }, .slot = 64 };
    ck_assert(!check(&slot, sizeof slot));
}
END_TEST

START_TEST(test_protocol__layouts_do_not_overlap)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(5));
    for (int i = 0; i < 2000; i++) {
        const int width = rb_random_int(&random, 1, RB_SIZE_MAX);
        const int height = rb_random_int(&random, 1, RB_SIZE_MAX);
        const RbPixels pixels = (RbPixels)rb_random_int(&random, 0, 2);
        RbLayout layout;
        ck_assert(rb_layout_make(pixels, width, height, &layout));
        size_t at = 0;
        for (int plane = 0; plane < layout.planes; plane++) {
            ck_assert_uint_eq(layout.offset[plane], at);
            ck_assert_uint_eq(layout.stride[plane] % 64, 0);
            const size_t columns = (size_t)(plane == 0 ? width : (width + 1) / 2) *
                                   (pixels == RB_PIXELS_BGRA ? 4 : 1);
            ck_assert_uint_ge(layout.stride[plane], columns);
            at += layout.stride[plane] * (size_t)(layout.rows[plane] + 1);
        }
        ck_assert_uint_eq(layout.bytes, at);
    }
    RbLayout layout;
    ck_assert(!rb_layout_make(RB_PIXELS_GRAY, 0, 5, &layout));
    ck_assert(!rb_layout_make(RB_PIXELS_GRAY, 5, RB_SIZE_MAX + 1, &layout));
    ck_assert(!rb_layout_make((RbPixels)9, 5, 5, &layout));
}
END_TEST

START_TEST(test_protocol__channel_carries_descriptors_one_way)
{
    int ends[2];
    ck_assert(rb_channel_pair(ends));
    ck_assert((fcntl(ends[0], F_GETFD) & FD_CLOEXEC) != 0);
    const RbAskPlain ask = { .head = { RB_ASK_INDEX, sizeof ask, 7 } };
    const int sent = open("/dev/null", O_RDONLY | O_CLOEXEC);
    ck_assert_int_eq(rb_channel_send(ends[0], &ask, sizeof ask, &sent, 1, true),
                     RB_CHANNEL_OK);
    char buffer[256];
    size_t n = 0;
    int fds[2];
    int n_fds = 0;
    ck_assert_int_eq(
        rb_channel_receive(ends[1], buffer, sizeof buffer, &n, fds, 2, &n_fds, true),
        RB_CHANNEL_OK);
    ck_assert_uint_eq(n, sizeof ask);
    ck_assert_int_eq(n_fds, 1);
    ck_assert((fcntl(fds[0], F_GETFD) & FD_CLOEXEC) != 0);
    RbAsk back;
    ck_assert(rb_ask_check(buffer, n, &back));
    ck_assert_uint_eq(back.head.serial, 7);
    /* The parent's side takes none. */
    ck_assert_int_eq(rb_channel_send(ends[1], &ask, sizeof ask, &sent, 1, true),
                     RB_CHANNEL_OK);
    ck_assert_int_eq(
        rb_channel_receive(ends[0], buffer, sizeof buffer, &n, NULL, 0, NULL, true),
        RB_CHANNEL_BROKEN);
    ck_assert_int_eq(
        rb_channel_receive(ends[0], buffer, sizeof buffer, &n, NULL, 0, NULL, false),
        RB_CHANNEL_AGAIN);
    close(fds[0]);
    close(sent);
    close(ends[1]);
    ck_assert_int_eq(rb_channel_send(ends[0], &ask, sizeof ask, NULL, 0, true),
                     RB_CHANNEL_ENDED); /* and no SIGPIPE */
    close(ends[0]);
}
END_TEST

START_TEST(test_protocol__datagram_too_long_is_broken)
{
    int ends[2];
    ck_assert(rb_channel_pair(ends));
    char long_one[500] = { 0 };
    char room[100];
    size_t n = 0;
    ck_assert_int_eq(rb_channel_send(ends[0], long_one, sizeof long_one, NULL, 0, true),
                     RB_CHANNEL_OK);
    ck_assert_int_eq(
        rb_channel_receive(ends[1], room, sizeof room, &n, NULL, 0, NULL, true),
        RB_CHANNEL_BROKEN);
    close(ends[0]);
    close(ends[1]);
}
END_TEST

START_TEST(test_protocol__ring_gives_each_slot_once)
{
    GError *error = NULL;
    g_autoptr(RbRing) ring = rb_ring_new(5000, 3, true, -1, &error);
    rb_assert_no_error(error);
    ck_assert_uint_ge(rb_ring_get_slot_bytes(ring), 5000);
    for (int i = 0; i < 3; i++) {
        ck_assert_int_eq(rb_ring_take(ring), i);
    }
    ck_assert_int_eq(rb_ring_take(ring), -1);
    rb_ring_give_back(ring, 1);
    ck_assert_int_eq(rb_ring_count_free(ring), 1);
    ck_assert_int_eq(rb_ring_take(ring), 1);
    memset(rb_ring_get_slot(ring, 2), 7, 5000);
    const int fd = rb_ring_get_fd(ring);
    ck_assert_int_eq(fcntl(fd, F_GET_SEALS), F_SEAL_SHRINK | F_SEAL_GROW | F_SEAL_SEAL);
    ck_assert_int_ne(ftruncate(fd, 0), 0);
    ck_assert_int_ne(ftruncate(fd, 1 << 20), 0);
}
END_TEST

START_TEST(test_protocol__picture_gives_its_slot_back_at_the_last_unref)
{
    const RbTellFrame frame = good_frame();
    g_autoptr(RbRing) ring = rb_ring_new(frame.bytes, 3, false, -1, NULL);
    for (int i = 0; i < 3; i++) {
        rb_ring_take(ring);
    }
    RbPicture *picture = rb_picture_new(ring, &frame, (RbTime){ 5, { 1, 30 } });
    ck_assert_int_eq(rb_picture_get_width(picture), 100);
    ck_assert_uint_eq(rb_picture_get_stride(picture), 448); /* 400 rounded up to 64s */
    ck_assert_uint_eq(rb_picture_get_size(picture), 448 * 51);
    ck_assert_int_eq(rb_picture_get_time(picture).ticks, 5);
    RbPicture *second = rb_picture_ref(picture);
    rb_picture_unref(picture);
    ck_assert_int_eq(rb_ring_count_free(ring), 0);
    rb_picture_unref(second);
    ck_assert_int_eq(rb_ring_count_free(ring), 1);
    rb_picture_unref(NULL);
}
END_TEST

START_TEST(test_protocol__sealed_copy_cannot_be_changed)
{
    const char text[] = "an index";
    const int fd = rb_sealed_copy(text, sizeof text, NULL);
    ck_assert_int_ge(fd, 0);
    char back[sizeof text];
    ck_assert_int_eq(pread(fd, back, sizeof back, 0), sizeof back);
    ck_assert_str_eq(back, text);
    ck_assert_int_eq(pwrite(fd, "x", 1, 0), -1);
    ck_assert_ptr_eq(mmap(NULL, 10, PROT_READ | PROT_WRITE, MAP_SHARED, fd, 0),
                     MAP_FAILED);
    close(fd);
}
END_TEST

START_TEST(test_protocol__every_fault_and_doubt_is_a_sentence)
{
    for (uint32_t code = 0; code < 20; code++) {
        for (int64_t detail = -1; detail < 6; detail += 3) {
            const RbTellFault fault = { .code = code, .detail = detail };
            g_autoptr(GError) error = NULL;
            ck_assert(!rb_film_fault(&error, "week-3.mp4", &fault));
            ck_assert_ptr_nonnull(strstr(error->message, "week-3.mp4"));
            ck_assert_int_eq(error->message[strlen(error->message) - 1], '.');
        }
    }
    for (uint32_t kind = 1; kind <= RB_DOUBT_LAST; kind++) {
        const RbTellDoubt doubt = { .doubt = kind, .a = 2, .b = 5 };
        g_autofree char *text = rb_film_doubt_text(&doubt);
        ck_assert_int_eq(text[strlen(text) - 1], '.');
        ck_assert_int_ge(strlen(text), 30);
    }
}
END_TEST

START_TEST(test_protocol__facts_give_the_shown_size)
{
    static const struct {
        int width, height, num, den, rotation, shown_width, shown_height;
    } rows[] = {
        { 1920, 1080, 1, 1, 0, 1920, 1080 },
        { 1440, 1080, 4, 3, 0, 1920, 1080 },  /* HDV, SMPTE 296M raster as recorded */
        { 720, 480, 32, 27, 0, 853, 480 },    /* DV wide */
        { 1920, 1080, 1, 1, 90, 1080, 1920 }, /* a phone held upright */
        { 1440, 1080, 4, 3, 270, 1080, 1920 },
        { 1920, 1080, 1, 1, 180, 1920, 1080 },
    };
    for (size_t i = 0; i < G_N_ELEMENTS(rows); i++) {
        const RbTellFacts tell = { .codec = "x",
                                   .width = rows[i].width,
                                   .height = rows[i].height,
                                   .shape_num = rows[i].num,
                                   .shape_den = rows[i].den,
                                   .rotation = rows[i].rotation };
        g_autoptr(RbFilmFacts) facts = rb_film_facts_from_message(&tell, 1);
        g_autoptr(RbFilmFacts) copy = rb_film_facts_copy(facts);
        ck_assert_int_eq(copy->shown_width, rows[i].shown_width);
        ck_assert_int_eq(copy->shown_height, rows[i].shown_height);
        ck_assert_int_eq(copy->frames, -1);
        ck_assert_ptr_null(copy->audio_codec);
    }
}
END_TEST

TCase *rb_case_protocol(void)
{
    TCase *tcase = rb_case_new("protocol");
    tcase_add_test(tcase, test_protocol__frames_are_measured);
    tcase_add_test(tcase, test_protocol__frame_must_answer_the_request);
    tcase_add_test(tcase, test_protocol__limits_of_the_small_messages);
    tcase_add_test(tcase, test_protocol__layouts_do_not_overlap);
    tcase_add_test(tcase, test_protocol__channel_carries_descriptors_one_way);
    tcase_add_test(tcase, test_protocol__datagram_too_long_is_broken);
    tcase_add_test(tcase, test_protocol__ring_gives_each_slot_once);
    tcase_add_test(tcase, test_protocol__picture_gives_its_slot_back_at_the_last_unref);
    tcase_add_test(tcase, test_protocol__sealed_copy_cannot_be_changed);
    tcase_add_test(tcase, test_protocol__every_fault_and_doubt_is_a_sentence);
    tcase_add_test(tcase, test_protocol__facts_give_the_shown_size);
    return tcase;
}
