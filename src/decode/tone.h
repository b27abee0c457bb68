/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <stdbool.h>
#include <stdint.h>

/* From high dynamic range, or wide colours, to what an ordinary screen shows (ITU-R BT.709
 * colours, BT.1886 gamma). Plain arithmetic: no libav here.
 *
 *   PQ, HLG        ITU-R BT.2100-2, tables 4 and 5; HLG as on its reference display of
 *                  1,000 cd/m2 (system gamma 1.2)
 *   the curve      ITU-R BT.2390-10, section 5.4: the EETF, in PQ, on R', G' and B', from the
 *                  peak of the film's mastering display to TONE_WHITE
 *   the white      ITU-R BT.2408-4, section 2.1: HDR reference white is 203 cd/m2
 *   the colours    ITU-R BT.2087-0: BT.2020 to BT.709, what falls outside is cut off */

#define TONE_WHITE 203.0 /* cd/m2, shown as the screen's white */
#define TONE_PEAK 1000.0 /* cd/m2, of a film that does not tell */

typedef enum {
    TONE_NONE,
    TONE_PQ,
    TONE_HLG,
    TONE_WIDE, /* BT.2020 colours of ordinary range */
} ToneKind;

/* Signal 0 to 1 to light and back. */
double tone_pq_to_light(double signal); /* cd/m2, 0 to 10,000 */
double tone_pq_from_light(double light);
double tone_hlg_to_scene(double signal); /* 0 to 1 */
/* The curve: PQ signal to PQ signal; `peak` cd/m2 becomes `white`. Black stays black. */
double tone_curve(double signal, double peak, double white);

/* One pixel: R'G'B' as coded (BT.2020) to R'G'B' of the screen, each 0 to 1. */
void tone_pixel(ToneKind kind, double peak, const double in[3], double out[3]);

/* The same as a table, read by tetrahedral interpolation. */
#define TONE_EDGE 65
typedef struct {
    ToneKind kind; /* TONE_NONE: not filled */
    double peak;
    uint16_t cells[TONE_EDGE][TONE_EDGE][TONE_EDGE][3]; /* by red, green, blue */
} ToneTable;

/* Does nothing if the table is for this already. */
void tone_table_fill(ToneTable *table, ToneKind kind, double peak);
/* rgb: 16 bits each; bgra: alpha becomes 255. */
void tone_row(const ToneTable *table, const uint16_t *rgb, uint8_t *bgra, int width);
