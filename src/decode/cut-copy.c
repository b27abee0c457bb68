/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdlib.h>
#include <string.h>

#include "cut.h"
#include "landing.h"
#include "parent.h"

/* NAL unit types: ITU-T H.264, table 7-1. */
enum { NAL_SLICE_IDR = 5, NAL_SPS = 7, NAL_PPS = 8, NAL_DELIMITER = 9, NAL_FILLER = 12 };

/* Fewer frames than this are not worth a seam. */
#define RUN_LEAST 2

/* Key frames of a clip that are looked at before it is encoded whole. */
#define KEYS_TRIED 12

/* ---- NAL units */

typedef bool (*TakeUnit)(const uint8_t *unit, size_t n, void *data);

/* ITU-T H.264, annex B: units stand between start codes of 00 00 01, zeros before them. */
static bool each_start_code_unit(const uint8_t *bytes, size_t n, TakeUnit take,
                                 void *data)
{
    size_t start = 0; /* of the unit; 0: none yet */
    for (size_t i = 0; i + 2 < n; i++) {
        if (bytes[i] != 0 || bytes[i + 1] != 0 || bytes[i + 2] != 1) {
            continue;
        }
        size_t end = i;
        while (end > start && bytes[end - 1] == 0) {
            end--;
        }
        if (start > 0 && end > start && !take(bytes + start, end - start, data)) {
            return false;
        }
        start = i + 3;
        i += 2;
    }
    return start == 0 || start >= n || take(bytes + start, n - start, data);
}

/* ISO/IEC 14496-15, 5.3.4.2: each unit behind its length, big-endian. */
static bool each_length_unit(const uint8_t *bytes, size_t n, int length_bytes,
                             TakeUnit take, void *data)
{
    size_t at = 0;
    while (at + (size_t)length_bytes <= n) {
        size_t length = 0;
        for (int i = 0; i < length_bytes; i++) {
            length = length << 8 | bytes[at++];
        }
        if (length > n - at) {
            return false;
        }
        if (length > 0 && !take(bytes + at, length, data)) {
            return false;
        }
        at += length;
    }
    return at == n;
}

static bool each_unit(const CutFilm *film, const AVPacket *packet, TakeUnit take,
                      void *data)
{
    return film->length_bytes > 0
               ? each_length_unit(packet->data, (size_t)packet->size, film->length_bytes,
                                  take, data)
               : each_start_code_unit(packet->data, (size_t)packet->size, take, data);
}

static int unit_type(const uint8_t *unit)
{
    return unit[0] & 0x1f;
}

static bool is_set(const uint8_t *unit)
{
    return unit_type(unit) == NAL_SPS || unit_type(unit) == NAL_PPS;
}

/* ---- parameter sets */

static bool add_set(const uint8_t *unit, size_t n, void *data)
{
    CutSets *sets = data;
    if (is_set(unit)) {
        g_ptr_array_add(sets->units, g_bytes_new(unit, n));
    }
    return true;
}

static bool has_set(const CutSets *sets, const uint8_t *unit, size_t n)
{
    for (guint i = 0; i < sets->units->len; i++) {
        gsize size = 0;
        const void *bytes = g_bytes_get_data(sets->units->pdata[i], &size);
        if (size == n && memcmp(bytes, unit, n) == 0) {
            return true;
        }
    }
    return false;
}

/* ISO/IEC 14496-15, 5.3.3.1: the decoder configuration record. */
static bool read_record(CutFilm *film, const uint8_t *extra, size_t n)
{
    film->length_bytes = (extra[4] & 3) + 1;
    size_t at = 5;
    for (int list = 0; list < 2; list++) {
        if (at >= n) {
            return false;
        }
        const int count = list == 0 ? extra[at] & 31 : extra[at];
        at++;
        for (int i = 0; i < count; i++) {
            if (at + 2 > n) {
                return false;
            }
            const size_t length = (size_t)extra[at] << 8 | extra[at + 1];
            at += 2;
            if (length == 0 || length > n - at) {
                return false;
            }
            add_set(extra + at, length, &film->sets);
            at += length;
        }
    }
    return true;
}

void cut_sets_find(CutFilm *film)
{
    const AVCodecParameters *is = film->packets.stream->codecpar;
    film->sets.units = g_ptr_array_new_with_free_func((GDestroyNotify)g_bytes_unref);
    if (is->codec_id != AV_CODEC_ID_H264) {
        film->why = RB_CUT_WHY_CODEC;
        return;
    }
    const bool plain =
        is->format == AV_PIX_FMT_YUV420P || is->format == AV_PIX_FMT_YUVJ420P;
    if (!plain || is->width % 2 != 0 || is->height % 2 != 0) {
        film->why = RB_CUT_WHY_FORMAT;
        return;
    }
    film->why = RB_CUT_WHY_DIFFERS;
    const size_t n = (size_t)MAX(is->extradata_size, 0);
    const bool record = n > 6 && is->extradata[0] == 1;
    if (record) {
        film->copies = read_record(film, is->extradata, n);
        film->scan = is->codec_tag == MKTAG('a', 'v', 'c', '3');
    } else {
        film->copies = each_start_code_unit(is->extradata, n, add_set, &film->sets);
        film->scan = true;
    }
    film->copies = film->copies && film->sets.units->len >= 2;
}

bool cut_sets_equal(const CutSets *a, const CutSets *b)
{
    if (a->units->len != b->units->len) {
        return false;
    }
    for (guint i = 0; i < a->units->len; i++) {
        if (!g_bytes_equal(a->units->pdata[i], b->units->pdata[i])) {
            return false;
        }
    }
    return true;
}

static void append_unit(GByteArray *bytes, const void *unit, size_t n)
{
    static const uint8_t start[] = { 0, 0, 0, 1 };
    g_byte_array_append(bytes, start, sizeof start);
    g_byte_array_append(bytes, unit, (guint)n);
}

GByteArray *cut_sets_join(const CutSets *sets, const uint8_t *added, int n)
{
    GByteArray *bytes = g_byte_array_new();
    for (guint i = 0; i < sets->units->len; i++) {
        gsize size = 0;
        const void *unit = g_bytes_get_data(sets->units->pdata[i], &size);
        append_unit(bytes, unit, size);
    }
    if (added != NULL) {
        g_byte_array_append(bytes, added, (guint)n);
    }
    return bytes;
}

/* ITU-T H.264, 9.1: leading zeros, a one, and as many bits again. */
static unsigned read_golomb(const uint8_t *bytes, size_t n)
{
    size_t zeros = 0;
    while (zeros < n * 8 && (bytes[zeros / 8] >> (7 - zeros % 8) & 1) == 0) {
        zeros++;
    }
    unsigned value = 0;
    for (size_t i = zeros; i <= 2 * zeros && i < n * 8; i++) {
        value = value << 1 | (bytes[i / 8] >> (7 - i % 8) & 1U);
    }
    return value - 1;
}

int cut_sets_free_id(const CutSets *sets)
{
    uint32_t taken = 0;
    for (guint i = 0; i < sets->units->len; i++) {
        gsize n = 0;
        const uint8_t *unit = g_bytes_get_data(sets->units->pdata[i], &n);
        /* 7.3.2.1.1 and 7.3.2.2: the number comes after profile and level, or at once. */
        const size_t at = unit_type(unit) == NAL_SPS ? 4 : 1;
        const unsigned id = n > at ? read_golomb(unit + at, n - at) : 0;
        if (id < 32) {
            taken |= 1U << id;
        }
    }
    for (int id = 0; id < 32; id++) {
        if ((taken & 1U << id) == 0) {
            return id;
        }
    }
    return 0;
}

/* ---- which packets */

typedef struct {
    const CutFilm *film;
    bool idr;
    bool strange; /* a parameter set that is not the film's */
} Look;

static bool look_at(const uint8_t *unit, size_t n, void *data)
{
    Look *look = data;
    look->idr = look->idr || unit_type(unit) == NAL_SLICE_IDR;
    look->strange =
        look->strange || (is_set(unit) && !has_set(&look->film->sets, unit, n));
    return true;
}

/* Places `packets` so that source->packet is packet `key`. */
static bool read_packet(CutFilm *film, int64_t key)
{
    Source *source = &film->packets;
    int64_t at = key > 0 ? land(source, film->index, key) : -1;
    if (at < 0) {
        if (source_reopen(source) != 0 || !source_next_packet(source)) {
            return false;
        }
        at = 0;
    }
    for (; at < key; at++) {
        parent_send_alive();
        if (!source_next_packet(source)) {
            return false;
        }
    }
    return true;
}

static bool starts_afresh(CutFilm *film, int64_t key)
{
    Look look = { .film = film };
    return read_packet(film, key) &&
           each_unit(film, film->packets.packet, look_at, &look) && look.idr &&
           !look.strange;
}

static bool sets_stay(CutFilm *film, const CutRun *run)
{
    Look look = { .film = film };
    if (!read_packet(film, run->packet)) {
        return false;
    }
    for (int64_t i = run->packet; i <= run->last_packet; i++) {
        if ((i > run->packet && !source_next_packet(&film->packets)) ||
            !each_unit(film, film->packets.packet, look_at, &look) || look.strange) {
            return false;
        }
        parent_send_alive();
    }
    return true;
}

/* From a key packet on, the longest run of packets whose pictures are all there are from the
 * key's to the last of them, and none is past `last`. */
static bool extend(const CutFilm *film, int64_t key, int64_t last, CutRun *run,
                   uint32_t *why)
{
    const RbIndex *index = film->index;
    const int64_t first = film->frame_of[key];
    int64_t newest = first;
    int64_t count = 0;
    *run = (CutRun){ .copy = true, .first = first, .packet = key, .last_packet = -1 };
    for (int64_t i = key; i < index->n_packets; i++) {
        const uint32_t flags = index->packets[i].flags;
        const int64_t frame = film->frame_of[i];
        const bool second = (flags & RB_PACKET_SECOND_FIELD) != 0;
        if ((flags & (RB_PACKET_DAMAGED | RB_PACKET_DOUBTFUL)) != 0) {
            *why |= 1U << RB_CUT_WHY_DAMAGED;
            break;
        }
        if (!second && (frame < first || frame > last ||
                        (flags & (RB_PACKET_DISCARD | RB_PACKET_NO_FRAME)) != 0)) {
            break;
        }
        if (!second) {
            newest = MAX(newest, frame);
            count++;
        }
        const bool whole = i + 1 >= index->n_packets ||
                           (index->packets[i + 1].flags & RB_PACKET_SECOND_FIELD) == 0;
        if (whole && newest - first + 1 == count) {
            run->n = count;
            run->last_packet = i;
        }
    }
    return run->n >= RUN_LEAST;
}

bool cut_copy_find(Cut *cut, int slot, int64_t first, int64_t last, CutRun *run,
                   uint32_t *why)
{
    CutFilm *film = cut_film(cut, slot);
    int tried = 0;
    for (int64_t frame = first; frame <= last && tried < KEYS_TRIED; frame++) {
        const int64_t packet = film->index->frames[frame].packet;
        if ((film->index->packets[packet].flags & RB_PACKET_KEY) == 0) {
            continue;
        }
        tried++;
        uint32_t damage = 0;
        if (!extend(film, packet, last, run, &damage)) {
            *why |= damage;
            continue;
        }
        if (!starts_afresh(film, packet)) {
            *why |= 1U << RB_CUT_WHY_GROUPS;
            continue;
        }
        if (film->scan && !sets_stay(film, run)) {
            *why |= 1U << RB_CUT_WHY_DIFFERS;
            return false;
        }
        *why = damage;
        return true;
    }
    if (tried == 0) {
        *why |= 1U << RB_CUT_WHY_START | 1U << RB_CUT_WHY_END;
    }
    return false;
}

int cut_copy_delay(const CutFilm *film, const CutRun *run)
{
    int64_t delay = 0;
    int64_t place = 0;
    for (int64_t i = run->packet; i <= run->last_packet; i++) {
        if ((film->index->packets[i].flags & RB_PACKET_SECOND_FIELD) == 0) {
            delay = MAX(delay, place - (film->frame_of[i] - run->first));
            place++;
        }
    }
    return (int)delay;
}

/* ---- writing */

static bool append_picture(const uint8_t *unit, size_t n, void *data)
{
    const int type = unit_type(unit);
    if (!is_set(unit) && type != NAL_DELIMITER && type != NAL_FILLER) {
        append_unit(data, unit, n);
    }
    return true;
}

static void write_picture(Cut *cut, GByteArray *bytes, int64_t frame, bool key)
{
    AVPacket *packet = cut->packet;
    if (av_new_packet(packet, (int)bytes->len) < 0) {
        cut_give_up(cut, RB_FILM_ERROR_FAILED, AVERROR(ENOMEM));
    }
    memcpy(packet->data, bytes->data, bytes->len);
    packet->flags = key ? AV_PKT_FLAG_KEY : 0;
    cut_write_packet(cut, packet, frame);
    g_byte_array_set_size(bytes, 0);
}

void cut_copy_write(Cut *cut, const CutRun *run)
{
    const CutItem *item = &g_array_index(cut->items, CutItem, run->item);
    CutFilm *film = cut_film(cut, item->clip.film);
    g_autoptr(GByteArray) bytes = g_byte_array_new();
    if (!read_packet(film, run->packet)) {
        cut_give_up(cut, RB_FILM_ERROR_READ, film->packets.io.errnum);
    }
    for (int64_t i = run->packet; i <= run->last_packet; i++) {
        if (i > run->packet && !source_next_packet(&film->packets)) {
            cut_give_up(cut, RB_FILM_ERROR_READ, film->packets.io.errnum);
        }
        if (!each_unit(film, film->packets.packet, append_picture, bytes)) {
            cut_give_up(cut, RB_FILM_ERROR_DAMAGED, i);
        }
        const RbIndexPacket *packets = film->index->packets;
        if (i < run->last_packet &&
            (packets[i + 1].flags & RB_PACKET_SECOND_FIELD) != 0) {
            continue; /* the other field belongs to the same sample */
        }
        const bool field = (packets[i].flags & RB_PACKET_SECOND_FIELD) != 0;
        const int64_t picture = field ? i - 1 : i;
        write_picture(cut, bytes, run->out + film->frame_of[picture] - run->first,
                      (packets[picture].flags & RB_PACKET_KEY) != 0);
    }
}
