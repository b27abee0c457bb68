/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a key packet says of its group. The bytes are written out by the syntax of ITU-T H.264:
 * 7.3.1 (units), 7.3.2.3 (messages), D.1.8 (recovery point), annex B (start codes). */
#include <string.h>

#include "decode/packet-rules.h"
#include "suite.h"

TCase *rb_case_packet_rules(void);

#define SLICE_IDR 0x65 /* nal_ref_idc 3, type 5 */
#define SLICE 0x61     /* nal_ref_idc 3, type 1 */

/* recovery_frame_cnt ue(v), exact_match_flag, broken_link_flag, changing_slice_group_idc u(2),
 * and the bits that fill the byte. 0 is "1", 20 is "000010101". */
#define AT_ONCE 6, 1, 0xc4
#define AFTER_20 6, 2, 0x0a, 0xc2

static PacketGroup group_of(const uint8_t *bytes, size_t n, bool lengths)
{
    static uint8_t record[] = {
        1, 100, 0, 40, 0xff, 0xe1, 0, 0
    }; /* lengths of 4 bytes */
    AVCodecParameters parameters = { .codec_id = AV_CODEC_ID_H264 };
    if (lengths) {
        parameters.extradata = record;
        parameters.extradata_size = sizeof record;
    }
    uint8_t copy[256];
    memcpy(copy, bytes, n);
    const AVPacket packet = { .data = copy, .size = (int)n };
    return packet_opens_group(&parameters, &packet);
}

typedef struct {
    const char *what;
    uint8_t bytes[40];
    size_t n;
    PacketGroup group;
} Case;

#define START 0, 0, 1
#define N(...) { __VA_ARGS__ }, sizeof((uint8_t[]){ __VA_ARGS__ })

START_TEST(test_packet_rules__groups_with_start_codes)
{
    static const Case cases[] = {
        { "a closed group", N(START, SLICE_IDR, 0x88, 1, 2, 3), PACKET_GROUP_OTHER },
        { "no message", N(START, SLICE, 0x88, 1, 2, 3), PACKET_GROUP_OPEN },
        { "right at once", N(START, 6, AT_ONCE, 0x80, START, SLICE, 0x88, 1, 2),
          PACKET_GROUP_OPEN_AT_ONCE },
        { "later", N(START, 6, AFTER_20, 0x80, START, SLICE, 0x88, 1, 2),
          PACKET_GROUP_OPEN },
        { "after another message",
          N(START, 6, 1, 3, 9, 9, 9, AT_ONCE, 0x80, START, SLICE, 0x88, 1, 2),
          PACKET_GROUP_OPEN_AT_ONCE },
        { "in the second unit of messages",
          N(START, 9, 0x10, START, 6, 1, 1, 9, 0x80, START, 6, AT_ONCE, 0x80, START,
            SLICE, 0x88, 1, 2),
          PACKET_GROUP_OPEN_AT_ONCE },
        /* 0, 0, 3, 1 stands for 0, 0, 1 */
        { "behind bytes that look like a start code",
          N(START, 6, 1, 4, 0, 0, 3, 1, 9, AT_ONCE, 0x80, START, SLICE, 0x88, 1, 2),
          PACKET_GROUP_OPEN_AT_ONCE },
        { "a message longer than its unit",
          N(START, 6, 1, 200, 1, START, SLICE, 0x88, 1, 2), PACKET_GROUP_OPEN },
        { "the message without its content", N(START, 6, 6, 0, 0x80, START, SLICE, 1, 2),
          PACKET_GROUP_OPEN },
        { "behind the picture", N(START, SLICE, 1, 2, 3, START, 6, AT_ONCE, 0x80),
          PACKET_GROUP_OPEN },
        { "cut off", N(START, 6, 6), PACKET_GROUP_OTHER },
        { "nothing", { 0 }, 0, PACKET_GROUP_OTHER },
    };
    for (size_t i = 0; i < G_N_ELEMENTS(cases); i++) {
        const PacketGroup group = group_of(cases[i].bytes, cases[i].n, false);
        ck_assert_msg(group == cases[i].group, "%s: %d", cases[i].what, (int)group);
    }
}
END_TEST

START_TEST(test_packet_rules__groups_with_lengths)
{
    static const Case cases[] = {
        { "a closed group", N(0, 0, 0, 3, SLICE_IDR, 1, 2), PACKET_GROUP_OTHER },
        { "no message", N(0, 0, 0, 3, SLICE, 1, 2), PACKET_GROUP_OPEN },
        { "right at once", N(0, 0, 0, 5, 6, AT_ONCE, 0x80, 0, 0, 0, 3, SLICE, 1, 2),
          PACKET_GROUP_OPEN_AT_ONCE },
        { "later", N(0, 0, 0, 6, 6, AFTER_20, 0x80, 0, 0, 0, 3, SLICE, 1, 2),
          PACKET_GROUP_OPEN },
        /* what would be the message lies in the next unit */
        { "a unit that ends too soon",
          N(0, 0, 0, 2, 6, 1, 0, 0, 0, 5, 12, AT_ONCE, 0x80, 0, 0, 0, 3, SLICE, 1, 2),
          PACKET_GROUP_OPEN },
        { "a length beyond the packet", N(0, 0, 1, 0, 6, 6, 1), PACKET_GROUP_OTHER },
    };
    for (size_t i = 0; i < G_N_ELEMENTS(cases); i++) {
        const PacketGroup group = group_of(cases[i].bytes, cases[i].n, true);
        ck_assert_msg(group == cases[i].group, "%s: %d", cases[i].what, (int)group);
    }
}
END_TEST

/* Every packet cut short at every byte, at the end of its memory: nothing is read beyond. */
START_TEST(test_packet_rules__groups_of_cut_packets)
{
    static const uint8_t whole[] = { START,   6,    1,     3,     0,    0, 3, 9,
                                     AT_ONCE, 0x80, START, SLICE, 0x88, 1, 2 };
    AVCodecParameters parameters = { .codec_id = AV_CODEC_ID_H264 };
    for (size_t n = 1; n <= sizeof whole; n++) {
        g_autofree uint8_t *copy = g_memdup2(whole, n);
        const AVPacket packet = { .data = copy, .size = (int)n };
        const PacketGroup group = packet_opens_group(&parameters, &packet);
        ck_assert(n == sizeof whole
                      ? group == PACKET_GROUP_OPEN_AT_ONCE
                      : group != PACKET_GROUP_OTHER || n < sizeof whole - 2);
    }
}
END_TEST

START_TEST(test_packet_rules__groups_of_other_codecs)
{
    static const uint8_t bytes[] = { START, 6, AT_ONCE, 0x80, START, SLICE, 0x88, 1, 2 };
    AVCodecParameters parameters = { .codec_id = AV_CODEC_ID_HEVC };
    const AVPacket packet = { .data = (uint8_t *)(uintptr_t)bytes, .size = sizeof bytes };
    ck_assert_int_eq(packet_opens_group(&parameters, &packet), PACKET_GROUP_OTHER);
}
END_TEST

TCase *rb_case_packet_rules(void)
{
    TCase *tcase = rb_case_new("packet-rules");
    tcase_add_test(tcase, test_packet_rules__groups_with_start_codes);
    tcase_add_test(tcase, test_packet_rules__groups_with_lengths);
    tcase_add_test(tcase, test_packet_rules__groups_of_cut_packets);
    tcase_add_test(tcase, test_packet_rules__groups_of_other_codecs);
    return tcase;
}
