/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <libavcodec/avcodec.h>
#include <stdbool.h>

#include "film/index.h"

typedef enum {
    PACKET_ORDER_UNKNOWN,
    PACKET_ORDER_NUMBER,  /* the picture has a number */
    PACKET_ORDER_ANCHOR,  /* others may be predicted from it */
    PACKET_ORDER_BETWEEN, /* a B picture */
} PacketOrderKind;

typedef struct {
    PacketOrderKind kind;
    int32_t number; /* picture order count; smaller is shown earlier */
    bool begins;    /* the numbers begin anew with this picture */
} PacketOrder;

typedef enum {
    PACKET_GROUP_OTHER,
    PACKET_GROUP_OPEN, /* H.264: behind it pictures may lean on what was before it */
    PACKET_GROUP_OPEN_AT_ONCE, /* and it says that no picture shown after it does */
} PacketGroup;

/* Says from the bytes of a packet alone what will come out of it, since a packet is not always
 * a frame: two fields make one, and some pictures are never shown. */
typedef struct {
    AVCodecParserContext *parser; /* nullable: codecs that need none */
    AVCodecContext *context;      /* for the parser; not opened */
    int length_bytes;  /* of the lengths before each NAL unit; 0: there are none */
    int last_field;    /* AVPictureStructure of an unpaired field, 0 none */
    PacketOrder order; /* of the last packet */
    bool cra_seen;     /* HEVC: an access point that does not begin the numbers */
    bool layered;      /* some pictures are of a higher temporal layer */
} PacketRules;

bool packet_rules_open(PacketRules *rules, const AVCodecParameters *parameters);
void packet_rules_close(PacketRules *rules);

/* The RB_PACKET_… flags of the next packet in file order. */
uint32_t packet_rules_flags(PacketRules *rules, const AVPacket *packet);
/* What a key packet begins. */
PacketGroup packet_opens_group(const AVCodecParameters *parameters,
                               const AVPacket *packet);
/* What the last packet given to packet_rules_flags() says of its place in display order. */
PacketOrder packet_rules_order(const PacketRules *rules);
