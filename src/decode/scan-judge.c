/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "landing.h"
#include "scan-private.h"

/* The last group is checked too unless it is longer. */
#define LAST_GROUP_MAX 300

/* Of the last group, so many packets are checked with nothing left out. */
#define LAST_PACKETS 48

/* Places in mid film that are checked where times do not tell the order. */
#define SAMPLES 4

/* Steps of the clock that are no hole but another clock. */
#define JUMP_STEPS 1000

/* From the packet before; 0 where a time is missing or the clock is another. */
static int64_t dts_step(const Scan *scan, guint i)
{
    const int64_t before = scan_packet(scan, i - 1)->dts;
    const int64_t now = scan_packet(scan, i)->dts;
    int64_t step = 0;
    return before == RB_NO_TIME || now == RB_NO_TIME ||
                   __builtin_sub_overflow(now, before, &step) || step < 0
               ? 0
               : step;
}

/* A key frame with nothing missing before it: the next step of the clock, or another clock. */
static bool is_joint(const Scan *scan, int64_t key)
{
    if (key >= scan->packets->len || !scan_is_key(scan, key) || scan->usual_step == 0) {
        return false;
    }
    const int64_t step = dts_step(scan, (guint)key);
    return step <= scan->usual_step + scan->usual_step / 2 ||
           step > scan->usual_step * JUMP_STEPS;
}

/* What the decoder found broken is damage; a key frame that it found whole is none, whatever
 * was lost before it, and neither is what it found whole right before a key frame: there two
 * recordings were joined, and nothing but the counter of the transport stream is broken. (The
 * library may put that mark on the packet before.) */
void scan_mark_broken(Scan *scan, const Trial *trial)
{
    for (int64_t i = 0; i < MIN(trial->n_packets, scan->packets->len); i++) {
        RbIndexPacket *packet = scan_packet(scan, i);
        const bool joint = is_joint(scan, i + 1) || is_joint(scan, i + 2);
        if ((trial->state[i] & TRIAL_BROKEN) != 0) {
            packet->flags |= RB_PACKET_DAMAGED;
        } else if ((trial->state[i] & TRIAL_SEEN) != 0 &&
                   (joint || scan_is_key(scan, i))) {
            packet->flags &= ~(uint32_t)RB_PACKET_DAMAGED;
        }
    }
}

/* Transport streams lose packets without a trace. Where nearly all decoding times are one step
 * apart, a longer one in the middle of a group is a hole. */
void scan_mark_holes(Scan *scan)
{
    const guint n = scan->packets->len;
    int64_t usual = 0;
    for (guint i = 1; i < n; i++) {
        const int64_t step = dts_step(scan, i);
        usual = step > 0 && (usual == 0 || step < usual) ? step : usual;
    }
    scan->usual_step = usual;
    guint steps = 0;
    for (guint i = 1; i < n; i++) {
        steps += dts_step(scan, i) == usual;
    }
    if (n < 3 || usual == 0 || steps + n / 10 + 2 < n) {
        return;
    }
    for (guint i = 1; i < n; i++) {
        if (dts_step(scan, i) > usual + usual / 2 && !scan_is_key(scan, i)) {
            scan_packet(scan, i)->flags |= RB_PACKET_DAMAGED;
        }
    }
}

/* True if the start of the film decodes as the rules say. */
bool scan_start_holds(Scan *scan, const GArray *predicted)
{
    const GArray *seen = scan->start->frames;
    if (scan->packets->len <= CHECKED_PACKETS && seen->len != predicted->len) {
        return false;
    }
    for (guint i = 0; i < seen->len; i++) {
        if (i >= predicted->len || trial_frame(scan->start, i) !=
                                       g_array_index(predicted, RbIndexFrame, i).packet) {
            return false;
        }
    }
    scan_mark_broken(scan, scan->start);
    return true;
}

/* Takes out the last frames when they did not come: the recording stopped in mid picture. */
static void drop_lost_end(RbIndex *index, const Trial *trial)
{
    int64_t n = index->n_frames;
    while (n > 0 && (trial->state[index->frames[n - 1].packet] & TRIAL_SEEN) == 0) {
        n--;
    }
    if (n > 0 && index->n_frames - n < CHECKED_PACKETS) {
        index->n_frames = n;
        rb_index_set_times(index);
    }
}

/* What the end can be checked without: pictures from which no other is decoded, but for the
 * very last. */
static uint8_t *choose_left_out(const RbIndex *index)
{
    uint8_t *leave_out = g_malloc0((gsize)index->n_packets);
    for (int64_t i = 0; i + LAST_PACKETS < index->n_packets; i++) {
        leave_out[i] = (index->packets[i].flags & RB_PACKET_NO_REFERENCE) != 0;
    }
    return leave_out;
}

/* True if the end decodes as the rules say too, after what is missing there was taken out. */
bool scan_end_holds(Scan *scan, RbIndex *index)
{
    const int64_t n = index->n_packets;
    const int64_t key = landing_key_before(index, n);
    if (n <= CHECKED_PACKETS || key < 0 || n - key > LAST_GROUP_MAX) {
        return true;
    }
    const int64_t at = land(&scan->source, index, key);
    if (at < 0) {
        return false;
    }
    g_autofree uint8_t *leave_out = choose_left_out(index);
    g_autoptr(Trial) trial = trial_new(&scan->source, n);
    trial_run(trial, at, n, leave_out);
    drop_lost_end(index, trial);
    int64_t last = index->n_frames;
    for (guint i = trial->frames->len; i > 0 && last > 0; i--) {
        const uint32_t packet = trial_frame(trial, i - 1);
        if (packet < key) {
            break;
        }
        do {
            last--;
        } while (last > 0 && leave_out[index->frames[last].packet]);
        if (index->frames[last].packet != packet) {
            return false;
        }
    }
    scan_mark_broken(scan, trial);
    return last < index->n_frames;
}

/* Rules that stand on less than the container's times are tried in more places: at each joint
 * of a joined recording, and here and there. */
bool scan_middle_holds(Scan *scan, const RbIndex *index, const Prediction *prediction)
{
    for (int i = 0; i < prediction->n_joints; i++) {
        if (!trial_around(&scan->source, index, prediction->joints[i])) {
            return false;
        }
    }
    for (int i = 1; prediction->by_order && i <= SAMPLES; i++) {
        const int64_t at = index->n_packets * i / (SAMPLES + 1);
        if (index->n_packets > 4 * CHECKED_PACKETS &&
            !trial_around(&scan->source, index, at)) {
            return false;
        }
    }
    return true;
}
