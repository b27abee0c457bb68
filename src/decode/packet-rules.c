/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "packet-rules.h"

#include <stdlib.h>

#include "film/protocol.h"

/* Display order may differ from file order by this many packets; more is another clock. */
#define REORDER_MAX 64

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

/* The first picture unit of an H.264 or HEVC packet, NULL if there is none. In both kinds of
 * packet: with lengths, and with start codes (annex B of each standard). */
static const uint8_t *find_slice(const PacketRules *rules, const AVPacket *packet)
{
    const bool hevc = rules->context->codec_id == AV_CODEC_ID_HEVC;
    const uint8_t *at = packet->data;
    const uint8_t *end = packet->data + packet->size;
    while (end - at > 4) {
        int64_t length = 0;
        if (rules->length_bytes > 0) {
            for (int i = 0; i < rules->length_bytes; i++) {
                length = length << 8 | *at++;
            }
        } else {
            while (end - at > 4 && (at[0] != 0 || at[1] != 0 || at[2] != 1)) {
                at++;
            }
            at += 3;
        }
        if (end - at < 2) {
            return NULL;
        }
        const int type = hevc ? at[0] >> 1 & 63 : at[0] & 31;
        if (hevc ? type < 32 : type == 1 || type == 5) {
            return at;
        }
        at += length < end - at ? length : end - at;
    }
    return NULL;
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

uint32_t packet_rules_flags(PacketRules *rules, const AVPacket *packet)
{
    uint32_t flags = 0;
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
    }
    flags |= is_no_reference(rules, packet) ? RB_PACKET_NO_REFERENCE : 0;
    return flags;
}

static bool shows(const RbIndexPacket *packet)
{
    return (packet->flags &
            (RB_PACKET_DISCARD | RB_PACKET_NO_FRAME | RB_PACKET_SECOND_FIELD)) == 0;
}

static int compare_frames(const void *a, const void *b)
{
    const RbIndexFrame *x = a;
    const RbIndexFrame *y = b;
    if (x->pts != y->pts) {
        return x->pts < y->pts ? -1 : 1;
    }
    return (x->packet > y->packet) - (x->packet < y->packet);
}

/* Frames in file order; pictures before the first key frame, in either order, are left out:
 * no decoder can show them whole. */
static int64_t list_frames(const RbIndexPacket *packets, int64_t n, RbIndexFrame *frames)
{
    int64_t first_key = 0;
    while (first_key < n && (packets[first_key].flags & RB_PACKET_KEY) == 0) {
        first_key++;
    }
    int64_t count = 0;
    for (int64_t i = first_key; i < n; i++) {
        const bool leading =
            packets[i].pts != RB_NO_TIME && packets[first_key].pts != RB_NO_TIME &&
            packets[i].pts < packets[first_key].pts && i < first_key + REORDER_MAX;
        if (shows(&packets[i]) && !leading) {
            frames[count++] =
                (RbIndexFrame){ .pts = packets[i].pts, .packet = (uint32_t)i };
        }
    }
    return count;
}

/* Equal times, missing times and clocks that go back leave the order open. */
static bool order_is_known(const RbIndexPacket *packets, int64_t n,
                           const RbIndexFrame *frames, int64_t count)
{
    int64_t last_dts = RB_NO_TIME;
    for (int64_t i = 0; i < n; i++) {
        if (packets[i].dts != RB_NO_TIME) {
            if (last_dts != RB_NO_TIME && packets[i].dts < last_dts) {
                return false;
            }
            last_dts = packets[i].dts;
        }
    }
    for (int64_t i = 0; i < count; i++) {
        if (frames[i].pts == RB_NO_TIME ||
            (i > 0 && frames[i].pts == frames[i - 1].pts)) {
            return false;
        }
    }
    return true;
}

static bool order_is_local(const RbIndexFrame *frames, int64_t count)
{
    int64_t highest = -1;
    for (int64_t i = 0; i < count; i++) {
        const int64_t packet = frames[i].packet;
        if (packet + 2 * REORDER_MAX < highest) {
            return false;
        }
        highest = packet > highest ? packet : highest;
    }
    return true;
}

static int64_t count_jumps(const RbIndexPacket *packets, int64_t n, int64_t usual)
{
    int64_t jumps = 0;
    for (int64_t i = 1; i < n; i++) {
        if (packets[i].dts == RB_NO_TIME || packets[i - 1].dts == RB_NO_TIME) {
            continue;
        }
        const int64_t step = packets[i].dts - packets[i - 1].dts;
        jumps += step < 0 || (usual > 0 && step / usual > 1000);
    }
    return jumps;
}

int64_t packet_rules_predict(const RbIndexPacket *packets, int64_t n, bool reorders,
                             RbIndexFrame *frames, bool *sure, int64_t *jumps)
{
    const int64_t count = list_frames(packets, n, frames);
    *sure = true;
    int64_t usual = 0;
    for (int64_t i = 1; i < n && usual <= 0; i++) {
        if (packets[i].dts != RB_NO_TIME && packets[i - 1].dts != RB_NO_TIME) {
            usual = packets[i].dts - packets[i - 1].dts;
        }
    }
    *jumps = count_jumps(packets, n, usual);
    if (!reorders) {
        return count;
    }
    qsort(frames, (size_t)count, sizeof *frames, compare_frames);
    if (!order_is_known(packets, n, frames, count) || !order_is_local(frames, count)) {
        *sure = false;
    }
    return count;
}
