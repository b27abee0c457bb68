/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <libavcodec/avcodec.h>
#include <stdbool.h>

#include "film/index.h"

/* Says from the bytes of a packet alone what will come out of it, since a packet is not always
 * a frame: two fields make one, and some pictures are never shown. */
typedef struct {
    AVCodecParserContext *parser; /* nullable: codecs that need none */
    AVCodecContext *context;      /* for the parser; not opened */
    int length_bytes; /* of the lengths before each NAL unit; 0: there are none */
    int last_field;   /* AVPictureStructure of an unpaired field, 0 none */
    bool layered;     /* some pictures are of a higher temporal layer */
} PacketRules;

bool packet_rules_open(PacketRules *rules, const AVCodecParameters *parameters);
void packet_rules_close(PacketRules *rules);

/* The RB_PACKET_… flags of the next packet in file order. */
uint32_t packet_rules_flags(PacketRules *rules, const AVPacket *packet);

/* The frames that the rules predict, in display order, into index->frames; returns how many.
 * *sure: false if the rules do not hold for this film and it must be decoded. jumps: (out).
 * reorders: the codec may show pictures in another order than stored. */
int64_t packet_rules_predict(const RbIndexPacket *packets, int64_t n, bool reorders,
                             RbIndexFrame *frames, bool *sure, int64_t *jumps);
