/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "field-film.h"

#include <glib.h>
#include <stdint.h>

#include "films.h"
#include "suite.h"

#define WIDTH 160
#define HEIGHT 96
#define COLUMNS (WIDTH / 16)
#define FIELD_ROWS (HEIGHT / 32)

typedef struct {
    GByteArray *bytes;
    unsigned hold; /* bits not yet a byte */
    int n_hold;
} Bits;

static void put(Bits *bits, int n, unsigned value)
{
    for (int i = n - 1; i >= 0; i--) {
        bits->hold = bits->hold << 1 | (value >> i & 1);
        if (++bits->n_hold == 8) {
            const uint8_t byte = (uint8_t)bits->hold;
            g_byte_array_append(bits->bytes, &byte, 1);
            bits->hold = 0;
            bits->n_hold = 0;
        }
    }
}

/* Exp-Golomb, clause 9.1: ue(v); the signed values written here are all 0, which is the same. */
static void put_ue(Bits *bits, unsigned value)
{
    int length = 0;
    while ((value + 1) >> (length + 1) != 0) {
        length++;
    }
    put(bits, length, 0);
    put(bits, length + 1, value + 1);
}

static void align(Bits *bits, unsigned first)
{
    for (unsigned bit = first; bits->n_hold != 0; bit = 0) {
        put(bits, 1, bit);
    }
}

/* Start code, header, and the bytes with emulation prevention (clause 7.3.1). */
static void add_unit(GByteArray *film, int type, Bits *bits)
{
    put(bits, 1, 1); /* rbsp_stop_one_bit */
    align(bits, 0);
    const uint8_t head[] = { 0, 0, 0, 1, (uint8_t)(3 << 5 | type) };
    g_byte_array_append(film, head, sizeof head);
    int zeros = 0;
    for (guint i = 0; i < bits->bytes->len; i++) {
        const uint8_t byte = bits->bytes->data[i];
        if (zeros == 2 && byte <= 3) {
            g_byte_array_append(film, (const uint8_t[]){ 3 }, 1);
            zeros = 0;
        }
        g_byte_array_append(film, &byte, 1);
        zeros = byte == 0 ? zeros + 1 : 0;
    }
    g_byte_array_unref(bits->bytes);
}

static Bits bits_new(void)
{
    return (Bits){ .bytes = g_byte_array_new() };
}

static void add_parameter_sets(GByteArray *film)
{
    Bits sps = bits_new();
    put(&sps, 8, 77); /* Main profile */
    put(&sps, 8, 0);
    put(&sps, 8, 40);             /* level 4 */
    put_ue(&sps, 0);              /* seq_parameter_set_id */
    put_ue(&sps, 0);              /* frame_num: 4 bits */
    put_ue(&sps, 0);              /* pic_order_cnt_type */
    put_ue(&sps, 4);              /* pic_order_cnt_lsb: 8 bits */
    put_ue(&sps, 1);              /* max_num_ref_frames */
    put(&sps, 1, 0);              /* gaps_in_frame_num_value_allowed_flag */
    put_ue(&sps, COLUMNS - 1);    /* pic_width_in_mbs_minus1 */
    put_ue(&sps, FIELD_ROWS - 1); /* pic_height_in_map_units_minus1 */
    put(&sps, 1, 0);              /* frame_mbs_only_flag */
    put(&sps, 1, 0);              /* mb_adaptive_frame_field_flag */
    put(&sps, 1, 1);              /* direct_8x8_inference_flag */
    put(&sps, 1, 0);              /* frame_cropping_flag */
    put(&sps, 1, 0);              /* vui_parameters_present_flag */
    add_unit(film, 7, &sps);
    Bits pps = bits_new();
    put_ue(&pps, 0); /* pic_parameter_set_id */
    put_ue(&pps, 0);
    put(&pps, 2, 0); /* CAVLC; no bottom_field_pic_order */
    put_ue(&pps, 0); /* one slice group */
    put_ue(&pps, 0); /* num_ref_idx_l0_default_active_minus1 */
    put_ue(&pps, 0); /* and l1 */
    put(&pps, 3, 0); /* no weighted prediction */
    put_ue(&pps, 0); /* pic_init_qp_minus26 */
    put_ue(&pps, 0); /* pic_init_qs_minus26 */
    put_ue(&pps, 0); /* chroma_qp_index_offset */
    put(&pps, 3, 4); /* deblocking_filter_control_present_flag */
    add_unit(film, 8, &pps);
}

static void put_samples(Bits *bits, const uint8_t *plane, int width, int side, int column,
                        int row, int parity)
{
    for (int y = 0; y < side; y++) {
        const int line = 2 * (row * side + y) + parity;
        for (int x = 0; x < side; x++) {
            put(bits, 8, plane[line * width + column * side + x]);
        }
    }
}

static void add_field(GByteArray *film, const uint8_t *raw, int number, int parity)
{
    const bool idr = number == 0 && parity == 0;
    Bits bits = bits_new();
    put_ue(&bits, 0); /* first_mb_in_slice */
    put_ue(&bits, 7); /* I, and so are all slices of the picture */
    put_ue(&bits, 0);
    put(&bits, 4, (unsigned)number % 16); /* frame_num */
    put(&bits, 1, 1);                     /* field_pic_flag */
    put(&bits, 1, (unsigned)parity);      /* bottom_field_flag */
    if (idr) {
        put_ue(&bits, 0); /* idr_pic_id */
    }
    put(&bits, 8, (unsigned)(2 * number + parity) % 256); /* pic_order_cnt_lsb */
    put(&bits, idr ? 2 : 1, 0);                           /* dec_ref_pic_marking() */
    put_ue(&bits, 0);                                     /* slice_qp_delta */
    put_ue(&bits, 1); /* disable_deblocking_filter_idc */
    const uint8_t *cb = raw + WIDTH * HEIGHT;
    const uint8_t *cr = cb + WIDTH * HEIGHT / 4;
    for (int i = 0; i < COLUMNS * FIELD_ROWS; i++) {
        put_ue(&bits, 25); /* I_PCM */
        align(&bits, 0);
        put_samples(&bits, raw, WIDTH, 16, i % COLUMNS, i / COLUMNS, parity);
        put_samples(&bits, cb, WIDTH / 2, 8, i % COLUMNS, i / COLUMNS, parity);
        put_samples(&bits, cr, WIDTH / 2, 8, i % COLUMNS, i / COLUMNS, parity);
    }
    add_unit(film, idr ? 5 : 1, &bits);
}

char *field_film_write(const char *name, int frames, int gop)
{
    g_autofree char *raw_path = film_write_raw("fields.yuv", WIDTH, HEIGHT, frames);
    g_autofree char *raw = NULL;
    ck_assert(g_file_get_contents(raw_path, &raw, NULL, NULL));
    GByteArray *film = g_byte_array_new();
    for (int i = 0; i < frames; i++) {
        if (i % gop == 0) {
            add_parameter_sets(film);
        }
        const uint8_t *picture = (const uint8_t *)raw + i * (WIDTH * HEIGHT * 3 / 2);
        add_field(film, picture, i % gop, 0);
        add_field(film, picture, i % gop, 1);
    }
    char *path = rb_test_path(name);
    ck_assert(g_file_set_contents(path, (const char *)film->data, film->len, NULL));
    g_byte_array_unref(film);
    return path;
}
