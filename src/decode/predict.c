/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "predict.h"

#include <glib.h>
#include <stdlib.h>

#include "film/protocol.h"

/* Display order may differ from file order by this many packets; more is another clock. */
#define REORDER_MAX 64

/* Steps of the clock that are no hole but another recording's. */
#define JUMP_STEPS 1000

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

/* Equal and missing times leave the order open, and so does what is far from its place. */
static bool order_is_known(const RbIndexFrame *frames, int64_t count)
{
    int64_t highest = -1;
    for (int64_t i = 0; i < count; i++) {
        const int64_t packet = frames[i].packet;
        if (frames[i].pts == RB_NO_TIME || packet + 2 * REORDER_MAX < highest ||
            (i > 0 && frames[i].pts == frames[i - 1].pts)) {
            return false;
        }
        highest = MAX(packet, highest);
    }
    return true;
}

static int64_t usual_step(const RbIndexPacket *packets, int64_t n)
{
    int64_t usual = 0;
    for (int64_t i = 1; i < n && usual <= 0; i++) {
        if (packets[i].dts != RB_NO_TIME && packets[i - 1].dts != RB_NO_TIME) {
            usual = packets[i].dts - packets[i - 1].dts;
        }
    }
    return usual;
}

/* True if the decoding clock steps back, or ahead out of all proportion, before packet `i`. */
static bool clock_jumps(const RbIndexPacket *packets, int64_t i, int64_t usual)
{
    if (packets[i].dts == RB_NO_TIME || packets[i - 1].dts == RB_NO_TIME) {
        return false;
    }
    const int64_t step = packets[i].dts - packets[i - 1].dts;
    return step < 0 || (usual > 0 && step / usual > JUMP_STEPS);
}

static void note_joints(const RbIndexPacket *packets, int64_t n, Prediction *prediction)
{
    const int64_t usual = usual_step(packets, n);
    for (int64_t i = 1; i < n; i++) {
        if (clock_jumps(packets, i, usual)) {
            if (prediction->jumps < PREDICTION_JOINTS_MAX) {
                prediction->joints[prediction->n_joints++] = i;
            }
            prediction->jumps++;
        }
    }
}

/* Sorts the frames of each recording by its own clock. */
static bool sort_by_times(RbIndexFrame *frames, int64_t count,
                          const Prediction *prediction)
{
    if (prediction->jumps > prediction->n_joints) {
        return false;
    }
    int64_t from = 0;
    for (int k = 0; k <= prediction->n_joints; k++) {
        int64_t to = from;
        while (to < count &&
               (k == prediction->n_joints || frames[to].packet < prediction->joints[k])) {
            to++;
        }
        qsort(frames + from, (size_t)(to - from), sizeof *frames, compare_frames);
        if (!order_is_known(frames + from, to - from)) {
            return false;
        }
        from = to;
    }
    return true;
}

/* Pictures with numbers: each sequence, from one that begins anew to the next, by number. */
static bool sort_by_number(RbIndexFrame *frames, int64_t count, const PacketOrder *orders)
{
    for (int64_t from = 0; from < count;) {
        int64_t to = from;
        do {
            frames[to].pts = orders[frames[to].packet].number;
            to++;
        } while (to < count && !orders[frames[to].packet].begins);
        qsort(frames + from, (size_t)(to - from), sizeof *frames, compare_frames);
        if (!order_is_known(frames + from, to - from)) {
            return false;
        }
        from = to;
    }
    return true;
}

/* ISO/IEC 13818-2, 6.1.1.11, and ISO/IEC 14496-2, 6.1.3.5: a picture that others are predicted
 * from is shown when the next such picture comes, those between at once. */
static void sort_by_kind(RbIndexFrame *frames, int64_t count, const PacketOrder *orders)
{
    RbIndexFrame anchor = { 0 };
    bool held = false;
    int64_t out = 0;
    for (int64_t i = 0; i < count; i++) {
        const RbIndexFrame frame = frames[i];
        if (orders[frame.packet].kind == PACKET_ORDER_BETWEEN) {
            frames[out++] = frame;
            continue;
        }
        if (held) {
            frames[out++] = anchor;
        }
        anchor = frame;
        held = true;
    }
    if (held) {
        frames[out] = anchor;
    }
}

static bool sort_by_order(RbIndexFrame *frames, int64_t count, const PacketOrder *orders)
{
    bool numbers = true;
    bool kinds = true;
    for (int64_t i = 0; i < count; i++) {
        const PacketOrderKind kind = orders[frames[i].packet].kind;
        numbers = numbers && kind == PACKET_ORDER_NUMBER;
        kinds = kinds && (kind == PACKET_ORDER_ANCHOR || kind == PACKET_ORDER_BETWEEN);
    }
    if (kinds) {
        sort_by_kind(frames, count, orders);
    }
    return kinds || (numbers && sort_by_number(frames, count, orders));
}

int64_t predict(const RbIndexPacket *packets, const PacketOrder *orders, int64_t n,
                bool reorders, RbIndexFrame *frames, Prediction *prediction)
{
    *prediction = (Prediction){ .sure = true };
    note_joints(packets, n, prediction);
    int64_t count = list_frames(packets, n, frames);
    if (!reorders) {
        prediction->n_joints = 0;
        return count;
    }
    if (!sort_by_times(frames, count, prediction)) {
        count = list_frames(packets, n, frames);
        prediction->by_order = true;
        prediction->sure = prediction->jumps <= PREDICTION_JOINTS_MAX &&
                           sort_by_order(frames, count, orders);
    }
    return count;
}
