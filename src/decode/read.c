/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <libavutil/cpu.h>
#include <libavutil/time.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>

#include "rb/film/error.h"

#include "ahead.h"
#include "frame-pool.h"
#include "read-private.h"
#include "roles.h"

/* While the index is made, the part that is there is told first after so long, and messages are
 * looked for this often. */
#define SO_FAR_US 700000
#define LOOK_US 5000

/* The most pictures that any codec here shows before one that comes earlier in the file. */
#define UNSETTLED_MAX 16

/* A film is one when at least one picture can be decoded. */
static bool first_frame(Source *source)
{
    bool drained = false;
    for (int fed = 0;;) {
        const int result = avcodec_receive_frame(source->codec, source->frame);
        if (result == 0 && source->frame->width <= RB_SIZE_MAX &&
            source->frame->height <= RB_SIZE_MAX) {
            return true;
        }
        if (result == 0) { /* of no size that a screen could show */
            av_frame_unref(source->frame);
            continue;
        }
        if (drained || fed > 600 || result == AVERROR_EOF) {
            return false;
        }
        if (source_next_packet(source)) {
            (void)avcodec_send_packet(source->codec, source->packet); /* next one, then */
            fed++;
        } else {
            avcodec_send_packet(source->codec, NULL);
            drained = true;
        }
        parent_send_progress(0, -1);
    }
}

/* Opens the film and tells what it is; a film that cannot be opened ends the helper. The same
 * opening serves the reader afterwards. */
static void open_film(ReadRole *role)
{
    Source *source = &role->reader.source;
    int result = reader_open_source(&role->reader, role->fd, role->threads);
    if (result == 0 && !first_frame(source)) {
        result = RB_FILM_ERROR_NO_PICTURE + 1;
    }
    if (result != 0) {
        int64_t detail = 0;
        const int code = source_fault(source, result, &detail);
        parent_send_fault(0, code, detail);
        exit(EXIT_SUCCESS);
    }
    role->stance = stance_of(source->stream);
    tell_facts(source, &role->stance);
    av_frame_unref(source->frame);
}

static void do_message(ReadRole *role, const Asked *asked);

static void use_index(ReadRole *role, RbIndex *index)
{
    if (!reader_use_index(&role->reader, index)) {
        parent_send_fault(0, RB_FILM_ERROR_FAILED, 0);
        exit(EXIT_SUCCESS);
    }
    rb_index_free(role->index);
    role->index = index;
    role->reading = true;
}

static void load_index(ReadRole *role, const Asked *asked)
{
    const uint64_t bytes = (uint64_t)asked->ask.use_index.bytes;
    uint8_t *memory = parent_map(asked->fds[0], bytes, false);
    RbIndex *index = rb_index_from_bytes(memory, bytes);
    munmap(memory, bytes);
    if (index == NULL) {
        exit(EXIT_FAILURE);
    }
    use_index(role, index);
    RbMessageHead tell = { .kind = RB_TELL_INDEX_USED };
    parent_send(&tell, sizeof tell);
}

static void use_ring(ReadRole *role, const Asked *asked)
{
    const RbAskRing *ring = &asked->ask.ring;
    if (ring->slots == 0 || ring->slots > RB_RING_SLOTS_MAX ||
        ring->slot_bytes > RB_SLOT_BYTES_MAX) {
        exit(EXIT_FAILURE);
    }
    if (role->ring != NULL) {
        munmap(role->ring, role->ring_size.slot_bytes * role->ring_size.slots);
    }
    role->ring = parent_map(asked->fds[0], ring->slot_bytes * ring->slots, true);
    frame_pool_use_large_pages(role->ring, ring->slot_bytes * ring->slots);
    role->ring_size = *ring;
    role->slots_ready = 0;
}

/* Between two packets: is the frame still wanted? */
static bool poll_parent(void *data)
{
    ReadRole *role = data;
    while (role->n_waiting < WAITING_MAX) {
        Asked *next = &role->waiting[role->n_waiting];
        if (!parent_receive_now(next)) {
            break;
        }
        if (next->ask.head.kind == RB_ASK_DROP && next->ask.head.serial == role->serial) {
            role->dropped = true;
            continue;
        }
        role->n_waiting++;
    }
    parent_send_progress(role->serial, -1);
    return role->dropped;
}

static void send_picture(ReadRole *role, const RbAskFrame *ask, const AVFrame *frame,
                         bool doubtful, bool whole)
{
    const AVRational shape = stance_shape(&role->stance, frame);
    RbTellFrame tell = {
        .head = { .kind = RB_TELL_FRAME, .serial = ask->head.serial },
        .ordinal = ask->ordinal,
        .pts = role->index->frames[ask->ordinal].pts,
        .slot = ask->slot,
        .coded_width = frame->width,
        .coded_height = frame->height,
        .shape_num = shape.num,
        .shape_den = shape.den,
        .doubtful = doubtful,
        .landings = (uint32_t)role->landings,
        .retries = (uint32_t)role->retries,
        .buffers = frame_pool_get_fresh(),
        .decoded = (uint32_t)role->decoded,
        .field = ask->field,
        .whole = whole,
    };
    uint8_t *slot = role->ring + role->ring_size.slot_bytes * ask->slot;
    const int rotation = stance_rotation(&role->stance, frame);
    switch (convert(&role->converter, frame, ask, rotation, slot,
                    role->ring_size.slot_bytes, &tell)) {
    case CONVERT_DONE:
        parent_send(&tell, sizeof tell);
        return;
    case CONVERT_NO_ROOM: {
        RbTellRoom room = { .head = { .kind = RB_TELL_ROOM, .serial = ask->head.serial },
                            .bytes = tell.bytes };
        parent_send(&room, sizeof room);
        return;
    }
    case CONVERT_FAILED:
        parent_send_fault(ask->head.serial, RB_FILM_ERROR_DAMAGED, ask->ordinal);
        return;
    }
}

static void check_ask(const ReadRole *role, const RbAskFrame *ask)
{
    if (!role->reading || role->ring == NULL || ask->slot >= role->ring_size.slots ||
        ask->ordinal < 0 || ask->field > 2) {
        exit(EXIT_FAILURE); /* a parent of another build */
    }
}

/* One field of a frame. In a picture of half the size its own lines are enough: nothing has to be
 * made from the frames around it. */
static ReaderResult get_field(ReadRole *role, const RbAskFrame *ask,
                              const AVFrame **frame, bool *doubtful, bool *whole)
{
    Reader *reader = &role->reader;
    reader->asked =
        ask->ordinal; /* its neighbours, the other field's at least, come next */
    const ReaderResult result =
        reader_get(reader, ask->ordinal, poll_parent, role, frame, doubtful);
    if (result != READER_FRAME) {
        return result;
    }
    if (!(*frame)->interlaced_frame ||
        !convert_is_half(*frame, ask, stance_rotation(&role->stance, *frame))) {
        return fields_get(&role->fields, reader, ask->ordinal, (int)ask->field,
                          poll_parent, role, frame, doubtful, whole);
    }
    const bool top = ((*frame)->top_field_first != 0) == (ask->field == 1);
    role->converter.rows = top ? HALVE_TOP : HALVE_BOTTOM;
    *whole = false;
    return result;
}

static void make_frame(ReadRole *role, const RbAskFrame *ask)
{
    check_ask(role, ask);
    if (ask->ordinal >= role->index->n_frames) { /* the part so far said otherwise */
        parent_send_fault(ask->head.serial, RB_FILM_ERROR_DAMAGED, ask->ordinal);
        return;
    }
    role->serial = ask->head.serial;
    role->dropped = false;
    role->reader.alone = ask->alone != 0;
    const AVFrame *frame = NULL;
    bool doubtful = false;
    bool whole = true;
    const ReaderResult result = ask->field > 0
                                    ? get_field(role, ask, &frame, &doubtful, &whole)
                                    : reader_get(&role->reader, ask->ordinal, poll_parent,
                                                 role, &frame, &doubtful);
    switch (result) {
    case READER_FRAME:
        role->landings = role->reader.landings;
        role->retries = role->reader.retries;
        role->decoded = role->reader.decoded;
        send_picture(role, ask, frame, doubtful, whole);
        role->converter.rows = HALVE_ALL;
        break;
    case READER_STOPPED:
        parent_send_fault(ask->head.serial, RB_FILM_ERROR_FAILED, 0); /* frees the slot */
        break;
    case READER_NOTHING: {
        const int errnum = role->reader.source.io.errnum;
        parent_send_fault(ask->head.serial,
                          errnum != 0 ? RB_FILM_ERROR_READ : RB_FILM_ERROR_DAMAGED,
                          errnum != 0 ? errnum : ask->ordinal);
        break;
    }
    }
    role->serial = 0;
}

static bool is_message_there(void *data)
{
    ReadRole *role = data;
    if (role->n_waiting == 0 && parent_receive_now(&role->waiting[0])) {
        role->n_waiting = 1;
    }
    return role->n_waiting > 0;
}

/* A frame that is held decoded is sent while others are being decoded. */
static bool send_held(ReadRole *role, const Asked *asked, int64_t *sent)
{
    const RbAskFrame *ask = &asked->ask.frame;
    bool doubtful = false;
    if (asked->ask.head.kind != RB_ASK_FRAME || ask->field > 0) {
        return false;
    }
    check_ask(role, ask);
    if (ask->ordinal >= role->index->n_frames ||
        !frame_cache_take(&role->reader.cache, ask->ordinal, role->held, &doubtful)) {
        return false;
    }
    send_picture(role, ask, role->held, doubtful, true);
    av_frame_unref(role->held);
    *sent = ask->ordinal;
    return true;
}

static void wait_for_message(ReadRole *role, Asked *asked)
{
    if (!(role->ahead || role->preparing) || role->scanning ||
        !ahead_start(read_work_ahead, role)) {
        parent_receive(asked);
        return;
    }
    int64_t sent = -1;
    do {
        parent_receive(asked);
    } while (send_held(role, asked, &sent));
    ahead_stop();
    role->reader.asked = sent >= 0 ? sent : role->reader.asked;
}

static void next_message(ReadRole *role, Asked *asked)
{
    if (role->n_waiting == 0) {
        wait_for_message(role, asked);
        return;
    }
    *asked = role->waiting[0];
    role->n_waiting--;
    memmove(role->waiting, role->waiting + 1,
            (size_t)role->n_waiting * sizeof role->waiting[0]);
}

/* A request may have been dropped before its turn came. */
static bool was_dropped(ReadRole *role, uint64_t serial)
{
    for (int i = 0; i < role->n_waiting; i++) {
        const RbMessageHead *head = &role->waiting[i].ask.head;
        if (head->kind == RB_ASK_DROP && head->serial == serial) {
            return true;
        }
    }
    return false;
}

/* While the index is made: what is asked of the part that is there is answered, and now and then
 * the parent is told how far that part goes. Each telling costs as much as all of it, so they
 * come ever more rarely. */
static void on_scan_pause(Scan *scan, void *data)
{
    ReadRole *role = data;
    const int64_t now = av_gettime_relative();
    if (now >= role->next_so_far_us) {
        role->next_so_far_us = now + MAX(SO_FAR_US, (now - role->scan_start_us) / 2);
        RbIndex *index = role->growing ? NULL : scan_so_far(scan);
        if (index != NULL) {
            tell_index(index, RB_TELL_INDEX_SO_FAR);
            use_index(role, index);
        }
    }
    if (now < role->next_look_us) {
        return;
    }
    while (is_message_there(role)) {
        Asked next;
        next_message(role, &next);
        do_message(role, &next);
    }
    role->next_look_us = av_gettime_relative() + LOOK_US;
}

/* Of a recording that goes on, what the pictures to come may still be shown before is left out:
 * they are decoded after the last packet, and shown no earlier than that. least: frames that
 * were told already. */
static void leave_out_unsettled(RbIndex *index, int64_t least)
{
    const int64_t last_dts = index->packets[index->n_packets - 1].dts;
    int64_t n = index->n_frames;
    while (n > least) {
        const RbIndexFrame *frame = &index->frames[n - 1];
        const bool settled = last_dts != RB_NO_TIME
                                 ? frame->pts <= last_dts
                                 : frame->packet + UNSETTLED_MAX < index->n_packets;
        if (settled || frame->packet + 4 * UNSETTLED_MAX < index->n_packets) {
            break;
        }
        n--;
    }
    index->n_frames = n;
    rb_index_set_times(index);
}

static void make_index(ReadRole *role, bool grown, bool written)
{
    if (role->scanning) {
        exit(EXIT_FAILURE); /* a parent of another build */
    }
    role->scanning = true;
    role->growing = grown;
    role->scan_start_us = av_gettime_relative();
    role->next_so_far_us = role->scan_start_us + SO_FAR_US;
    int result = 0;
    if (role->scan == NULL) {
        role->scan = scan_new(role->fd, role->threads);
    }
    RbIndex *index = grown ? scan_on(role->scan, on_scan_pause, role, &result)
                           : scan_all(role->scan, on_scan_pause, role, &result);
    const ScanNotes *notes = scan_get_notes(role->scan);
    role->scanning = false;
    if (index == NULL && grown) { /* what there was stands */
        tell_index(role->index, RB_TELL_INDEX_END);
        return;
    }
    if (index == NULL) {
        parent_send_fault(0, notes->read_errnum != 0 ? RB_FILM_ERROR_READ : result - 1,
                          notes->read_errnum);
        exit(EXIT_SUCCESS);
    }
    if (written) {
        leave_out_unsettled(index, grown ? role->index->n_frames : 1);
    }
    if (!grown) {
        tell_doubts(notes, index);
    }
    tell_index(index, RB_TELL_INDEX_END);
    use_index(role, index);
}

static void do_message(ReadRole *role, const Asked *asked)
{
    switch (asked->ask.head.kind) {
    case RB_ASK_INDEX:
        make_index(role, false, asked->ask.head.serial != 0);
        return;
    case RB_ASK_GROWN:
        make_index(role, true, asked->ask.head.serial != 0);
        return;
    case RB_ASK_USE_INDEX:
        load_index(role, asked);
        return;
    case RB_ASK_RING:
        use_ring(role, asked);
        return;
    case RB_ASK_FRAME:
        if (was_dropped(role, asked->ask.head.serial)) {
            parent_send_fault(asked->ask.head.serial, RB_FILM_ERROR_FAILED, 0);
        } else {
            make_frame(role, &asked->ask.frame);
        }
        return;
    case RB_ASK_KEEP:
        read_use_keep(role, &asked->ask.keep);
        return;
    case RB_ASK_DROP: /* came after its frame was sent */
        return;
    default:
        exit(EXIT_FAILURE);
    }
}

_Noreturn void role_read(const Asked *asked)
{
    static ReadRole role;
    role.held = av_frame_alloc();
    if (role.held == NULL) {
        exit(EXIT_FAILURE);
    }
    role.fd = asked->fds[0];
    role.fields.ordinal = -1;
    /* One more than processors: while a picture is handed over none of them is idle. */
    role.threads = asked->ask.read.threads > 0 ? (int)asked->ask.read.threads
                                               : MIN(av_cpu_count(), 4) + 1;
    open_film(&role);
    for (;;) {
        Asked next;
        next_message(&role, &next);
        do_message(&role, &next);
    }
}
