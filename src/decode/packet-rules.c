/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "packet-rules.h"

#include <string.h>

#include "film/protocol.h"

/* ISO/IEC 14496-15, 5.3.3 and 8.3.3: decoder configuration records begin with version 1 and
 * hold the size of the lengths, less one, in two bits. */
static int nal_length_bytes(const AVCodecParameters *parameters)
{
    const uint8_t *extra = parameters->extradata;
    const int n = parameters->extradata_size;
    if (parameters->codec_id == AV_CODEC_ID_H264 && n > 6 && extra[0] == 1) {
        return (extra[4] & 3) + 1;
    }
    if (parameters->codec_id == AV_CODEC_ID_HEVC && n > 22 && extra[0] == 1) {
        return (extra[21] & 3) + 1;
    }
    return 0;
}

/* The lengths of the parts must fill the packet exactly; garbage does not. */
static bool lengths_fit(const AVPacket *packet, int length_bytes)
{
    int at = 0;
    while (at < packet->size) {
        if (packet->size - at < length_bytes) {
            return false;
        }
        uint32_t length = 0;
        for (int i = 0; i < length_bytes; i++) {
            length = length << 8 | packet->data[at++];
        }
        if (length > (uint32_t)(packet->size - at)) {
            return false;
        }
        at += (int)length;
    }
    return true;
}

bool packet_rules_open(PacketRules *rules, const AVCodecParameters *parameters)
{
    *rules = (PacketRules){ 0 };
    rules->context = avcodec_alloc_context3(NULL);
    if (rules->context == NULL ||
        avcodec_parameters_to_context(rules->context, parameters) < 0) {
        return false;
    }
    rules->length_bytes = nal_length_bytes(parameters);
    rules->parser = av_parser_init((int)parameters->codec_id);
    if (rules->parser != NULL) {
        rules->parser->flags |= PARSER_FLAG_COMPLETE_FRAMES;
    }
    return true;
}

void packet_rules_close(PacketRules *rules)
{
    av_parser_close(rules->parser);
    avcodec_free_context(&rules->context);
    rules->parser = NULL;
}

/* RFC 6386, 9.1: the lowest bit of the first byte is 0 for a key frame; bit 4 is show_frame. */
static bool is_hidden_vp8(const AVPacket *packet)
{
    return packet->size > 0 && (packet->data[0] & 0x10) == 0;
}

/* VP9 bitstream specification, 6.2: frame_marker (2 bits, value 2), profile (2 bits, low bit
 * first), a reserved bit in profile 3, show_existing_frame, frame_type, show_frame. A
 * superframe (annex B; its last byte starts with 110) always shows one of its frames. */
static bool is_hidden_vp9(const AVPacket *packet)
{
    if (packet->size < 2 || (packet->data[packet->size - 1] & 0xe0) == 0xc0) {
        return false;
    }
    const unsigned bits = (unsigned)packet->data[0] << 8 | packet->data[1];
    if (bits >> 14 != 2) {
        return false;
    }
    const unsigned profile = (bits >> 13 & 1) | (bits >> 12 & 1) << 1;
    const int at = profile == 3 ? 10 : 11; /* bit of show_existing_frame */
    const bool existing = (bits >> at & 1) != 0;
    const bool shown = (bits >> (at - 2) & 1) != 0;
    return !existing && !shown;
}

static void parse(PacketRules *rules, const AVPacket *packet)
{
    uint8_t *out = NULL;
    int out_size = 0;
    av_parser_parse2(rules->parser, rules->context, &out, &out_size, packet->data,
                     packet->size, packet->pts, packet->dts, packet->pos);
}

static bool is_second_field(PacketRules *rules)
{
    const int now = (int)rules->parser->picture_structure;
    const bool field =
        now == AV_PICTURE_STRUCTURE_TOP_FIELD || now == AV_PICTURE_STRUCTURE_BOTTOM_FIELD;
    if (!field) {
        rules->last_field = 0;
        return false;
    }
    if (rules->last_field != 0 && rules->last_field != now) {
        rules->last_field = 0;
        return true;
    }
    rules->last_field = now;
    return false;
}

/* The next unit of an H.264 or HEVC packet that begins at `*at`, NULL if there is none. In both
 * kinds of packet: with lengths, and with start codes (annex B of each standard), where it is only
 * known to end within the packet. Moves `*at` on, and tells where the unit ends. */
static const uint8_t *next_unit(const uint8_t **at, const uint8_t *end, int length_bytes,
                                const uint8_t **unit_end)
{
    int64_t length = end - *at;
    if (length <= 4) {
        return NULL;
    }
    if (length_bytes > 0) {
        length = 0;
        for (int i = 0; i < length_bytes; i++) {
            length = length << 8 | *(*at)++;
        }
    } else {
        while (end - *at > 4 && ((*at)[0] != 0 || (*at)[1] != 0 || (*at)[2] != 1)) {
            (*at)++;
        }
        *at += 3;
        length = end - *at;
    }
    if (end - *at < 2) {
        return NULL;
    }
    const uint8_t *unit = *at;
    *unit_end = unit + (length < end - unit ? length : end - unit);
    *at = length_bytes > 0 ? *unit_end : unit;
    return unit;
}

/* The first picture unit. */
static const uint8_t *find_slice_in(const AVPacket *packet, bool hevc, int length_bytes)
{
    const uint8_t *at = packet->data;
    const uint8_t *end = packet->data + packet->size;
    const uint8_t *unit_end = NULL;
    for (;;) {
        const uint8_t *unit = next_unit(&at, end, length_bytes, &unit_end);
        if (unit == NULL) {
            return NULL;
        }
        const int type = hevc ? unit[0] >> 1 & 63 : unit[0] & 31;
        if (hevc ? type < 32 : type == 1 || type == 5) {
            return unit;
        }
    }
}

static const uint8_t *find_slice(const PacketRules *rules, const AVPacket *packet)
{
    return find_slice_in(packet, rules->context->codec_id == AV_CODEC_ID_HEVC,
                         rules->length_bytes);
}

/* The bytes of a unit without those put in so that no start code appears. */
typedef struct {
    const uint8_t *at;
    const uint8_t *end;
    int zeros;
} UnitBytes;

/* -1: no more. */
static int next_byte(UnitBytes *bytes)
{
    if (bytes->zeros >= 2 && bytes->at < bytes->end && *bytes->at == 3) {
        bytes->at++; /* ITU-T H.264, 7.4.1: emulation_prevention_three_byte */
        bytes->zeros = 0;
    }
    if (bytes->at >= bytes->end ||
        (bytes->zeros >= 2 && *bytes->at < 3)) { /* the next start code */
        return -1;
    }
    const int byte = *bytes->at++;
    bytes->zeros = byte == 0 ? bytes->zeros + 1 : 0;
    return byte;
}

/* ITU-T H.264, 7.3.2.3.1: a number as so many times 255 and the rest. */
static int next_number(UnitBytes *bytes)
{
    int sum = 0;
    int byte = next_byte(bytes);
    while (byte == 255 && sum < 1 << 20) {
        sum += byte;
        byte = next_byte(bytes);
    }
    return byte >= 0 ? sum + byte : -1;
}

/* ITU-T H.264, D.1.8 and D.2.8: message 6 begins with recovery_frame_cnt, ue(v), where 0 is the
 * single bit 1. */
static bool says_at_once(UnitBytes bytes)
{
    for (;;) {
        const int type = next_number(&bytes);
        const int size = type >= 0 ? next_number(&bytes) : -1;
        if (size < 0) {
            return false;
        }
        int first = -1;
        for (int i = 0; i < size; i++) {
            const int byte = next_byte(&bytes);
            first = i == 0 ? byte : first;
            if (byte < 0) {
                return false;
            }
        }
        if (type == 6) {
            return first >= 0 && (first & 0x80) != 0;
        }
    }
}

static bool is_right_at_once(const AVPacket *packet, int length_bytes)
{
    const uint8_t *at = packet->data;
    const uint8_t *end = packet->data + packet->size;
    const uint8_t *unit_end = NULL;
    for (;;) {
        const uint8_t *unit = next_unit(&at, end, length_bytes, &unit_end);
        if (unit == NULL || (unit[0] & 31) == 1) { /* messages come before the picture */
            return false;
        }
        if ((unit[0] & 31) == 6 &&
            says_at_once((UnitBytes){ .at = unit + 1, .end = unit_end })) {
            return true;
        }
    }
}

PacketGroup packet_opens_group(const AVCodecParameters *parameters,
                               const AVPacket *packet)
{
    const int length_bytes = nal_length_bytes(parameters);
    const uint8_t *slice = parameters->codec_id == AV_CODEC_ID_H264
                               ? find_slice_in(packet, false, length_bytes)
                               : NULL;
    if (slice == NULL || (slice[0] & 31) == 5) { /* ITU-T H.264, table 7-1: IDR */
        return PACKET_GROUP_OTHER;
    }
    return is_right_at_once(packet, length_bytes) ? PACKET_GROUP_OPEN_AT_ONCE
                                                  : PACKET_GROUP_OPEN;
}

/* ITU-T H.264, 7.4.1: nal_ref_idc 0. ITU-T H.265, table 7-1: the even types below 16, as long as
 * there is one temporal layer. ISO/IEC 13818-2, 6.3.9: B pictures. */
static bool is_no_reference(PacketRules *rules, const AVPacket *packet)
{
    const enum AVCodecID codec = rules->context->codec_id;
    if (codec == AV_CODEC_ID_MPEG1VIDEO || codec == AV_CODEC_ID_MPEG2VIDEO) {
        return rules->parser != NULL && rules->parser->pict_type == AV_PICTURE_TYPE_B;
    }
    if (codec != AV_CODEC_ID_H264 && codec != AV_CODEC_ID_HEVC) {
        return false;
    }
    const uint8_t *slice = find_slice(rules, packet);
    if (slice == NULL) {
        return false;
    }
    if (codec == AV_CODEC_ID_H264) {
        return (slice[0] >> 5 & 3) == 0;
    }
    const int type = slice[0] >> 1 & 63;
    rules->layered = rules->layered || (slice[1] & 7) > 1;
    return type < 16 && type % 2 == 0;
}

/* ITU-T H.264, 8.2.1, and ITU-T H.265, 8.3.1: the picture order count starts again at an IDR
 * picture; in HEVC also where decoding cannot go back (BLA), and at the very first. */
static PacketOrder number_of_picture(PacketRules *rules, const AVPacket *packet)
{
    const uint8_t *slice = find_slice(rules, packet);
    if (slice == NULL) {
        return (PacketOrder){ 0 };
    }
    const bool hevc = rules->context->codec_id == AV_CODEC_ID_HEVC;
    const int type = hevc ? slice[0] >> 1 & 63 : slice[0] & 31;
    const bool first_cra = hevc && type == 21 && !rules->cra_seen;
    rules->cra_seen = rules->cra_seen || (hevc && type >= 16 && type <= 21);
    return (PacketOrder){ .kind = PACKET_ORDER_NUMBER,
                          .number = rules->parser->output_picture_number,
                          .begins = hevc ? (type >= 16 && type <= 20) || first_cra
                                         : type == 5 };
}

/* Some writers put two pictures into one packet and an empty one after it, so that old players
 * would not be confused; only the decoder knows what comes of that. */
static bool is_packed(const AVPacket *packet)
{
    int pictures = 0;
    for (int i = 0; i + 4 <= packet->size; i++) {
        static const uint8_t start[] = { 0, 0, 1, 0xb6 }; /* ISO/IEC 14496-2, 6.2.1 */
        pictures += memcmp(packet->data + i, start, sizeof start) == 0;
    }
    return pictures != 1 || packet->size < 12;
}

static PacketOrder order_of(PacketRules *rules, const AVPacket *packet)
{
    if (rules->parser == NULL) {
        return (PacketOrder){ 0 };
    }
    const enum AVCodecID codec = rules->context->codec_id;
    if (codec == AV_CODEC_ID_H264 || codec == AV_CODEC_ID_HEVC) {
        return number_of_picture(rules, packet);
    }
    const bool mpeg2 = codec == AV_CODEC_ID_MPEG1VIDEO || codec == AV_CODEC_ID_MPEG2VIDEO;
    if (!mpeg2 && (codec != AV_CODEC_ID_MPEG4 || is_packed(packet))) {
        return (PacketOrder){ 0 };
    }
    return (PacketOrder){ .kind = rules->parser->pict_type == AV_PICTURE_TYPE_B
                                      ? PACKET_ORDER_BETWEEN
                                      : PACKET_ORDER_ANCHOR };
}

PacketOrder packet_rules_order(const PacketRules *rules)
{
    return rules->order;
}

uint32_t packet_rules_flags(PacketRules *rules, const AVPacket *packet)
{
    uint32_t flags = 0;
    rules->order = (PacketOrder){ 0 };
    flags |= (packet->flags & AV_PKT_FLAG_KEY) != 0 ? RB_PACKET_KEY : 0;
    flags |= (packet->flags & AV_PKT_FLAG_DISCARD) != 0 ? RB_PACKET_DISCARD : 0;
    flags |= (packet->flags & AV_PKT_FLAG_CORRUPT) != 0 ? RB_PACKET_DAMAGED : 0;
    if (packet->size == 0) {
        return flags | RB_PACKET_NO_FRAME;
    }
    if (rules->length_bytes > 0 && !lengths_fit(packet, rules->length_bytes)) {
        flags |= RB_PACKET_DAMAGED;
    }
    const enum AVCodecID codec = rules->context->codec_id;
    if ((codec == AV_CODEC_ID_VP8 && is_hidden_vp8(packet)) ||
        (codec == AV_CODEC_ID_VP9 && is_hidden_vp9(packet))) {
        return flags | RB_PACKET_NO_FRAME;
    }
    if (rules->parser != NULL) {
        parse(rules, packet);
        flags |= is_second_field(rules) ? RB_PACKET_SECOND_FIELD : 0;
        rules->order = order_of(rules, packet);
    }
    flags |= is_no_reference(rules, packet) ? RB_PACKET_NO_REFERENCE : 0;
    return flags;
}
