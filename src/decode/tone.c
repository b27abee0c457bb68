/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "tone.h"

#include <math.h>
#include <stddef.h>

static double within(double value)
{
    return value < 0 ? 0 : value > 1 ? 1 : value;
}

/* BT.2100 table 4. */
#define PQ_M1 (2610.0 / 16384.0)
#define PQ_M2 (2523.0 / 4096.0 * 128.0)
#define PQ_C1 (3424.0 / 4096.0)
#define PQ_C2 (2413.0 / 4096.0 * 32.0)
#define PQ_C3 (2392.0 / 4096.0 * 32.0)
#define PQ_MOST 10000.0

double tone_pq_to_light(double signal)
{
    const double root = pow(within(signal), 1.0 / PQ_M2);
    return PQ_MOST * pow(fmax(root - PQ_C1, 0.0) / (PQ_C2 - PQ_C3 * root), 1.0 / PQ_M1);
}

double tone_pq_from_light(double light)
{
    const double y = pow(within(light / PQ_MOST), PQ_M1);
    return pow((PQ_C1 + PQ_C2 * y) / (1.0 + PQ_C3 * y), PQ_M2);
}

/* BT.2100 table 5. */
double tone_hlg_to_scene(double signal)
{
    const double a = 0.17883277;
    const double b = 1.0 - 4.0 * a;
    const double c = 0.5 - a * log(4.0 * a);
    signal = within(signal);
    return signal <= 0.5 ? signal * signal / 3.0 : (exp((signal - c) / a) + b) / 12.0;
}

/* BT.2390 section 5.4.1, with a black of 0 at both ends. */
double tone_curve(double signal, double peak, double white)
{
    const double top = tone_pq_from_light(peak);
    const double most = tone_pq_from_light(white) / top;
    const double knee = 1.5 * most - 0.5;
    const double e = within(signal / top);
    if (most >= 1.0 || e < knee) {
        return e * top;
    }
    const double t = (e - knee) / (1.0 - knee);
    const double t2 = t * t;
    const double t3 = t2 * t;
    return top * ((2 * t3 - 3 * t2 + 1) * knee + (t3 - 2 * t2 + t) * (1.0 - knee) +
                  (-2 * t3 + 3 * t2) * most);
}

/* cd/m2 of each colour to a part of the screen's white. */
static double bring_down(double light, double peak)
{
    const double signal = tone_curve(tone_pq_from_light(light), peak, TONE_WHITE);
    return tone_pq_to_light(signal) / TONE_WHITE;
}

static void light_of(ToneKind kind, double peak, const double in[3], double light[3])
{
    double scene[3] = { 0 };
    switch (kind) {
    case TONE_PQ:
        for (int i = 0; i < 3; i++) {
            light[i] = bring_down(tone_pq_to_light(in[i]), peak);
        }
        return;
    case TONE_HLG:
        for (int i = 0; i < 3; i++) {
            scene[i] = tone_hlg_to_scene(in[i]);
        }
        /* The OOTF of the reference display: gamma 1.2 on the luminance. */
        const double luminance =
            0.2627 * scene[0] + 0.6780 * scene[1] + 0.0593 * scene[2];
        const double gain = luminance > 0 ? TONE_PEAK * pow(luminance, 0.2) : 0;
        for (int i = 0; i < 3; i++) {
            light[i] = bring_down(gain * scene[i], TONE_PEAK);
        }
        return;
    case TONE_WIDE:
    case TONE_NONE:
        for (int i = 0; i < 3; i++) {
            light[i] = pow(within(in[i]), 2.4); /* BT.1886 */
        }
        return;
    }
}

void tone_pixel(ToneKind kind, double peak, const double in[3], double out[3])
{
    /* BT.2087 section 2. */
    static const double narrow[3][3] = { { 1.6605, -0.5876, -0.0728 },
                                         { -0.1246, 1.1329, -0.0083 },
                                         { -0.0182, -0.1006, 1.1187 } };
    double light[3] = { 0 };
    light_of(kind, peak, in, light);
    for (int i = 0; i < 3; i++) {
        const double narrowed = kind == TONE_NONE
                                    ? light[i]
                                    : narrow[i][0] * light[0] + narrow[i][1] * light[1] +
                                          narrow[i][2] * light[2];
        out[i] = pow(within(narrowed), 1.0 / 2.4);
    }
}

void tone_table_fill(ToneTable *table, ToneKind kind, double peak)
{
    if (table->kind == kind && fabs(table->peak - peak) < 1) {
        return;
    }
    table->kind = kind;
    table->peak = peak;
    for (int r = 0; r < TONE_EDGE; r++) {
        for (int g = 0; g < TONE_EDGE; g++) {
            for (int b = 0; b < TONE_EDGE; b++) {
                const double top = TONE_EDGE - 1;
                const double in[3] = { r / top, g / top, b / top };
                double out[3];
                tone_pixel(kind, peak, in, out);
                for (int i = 0; i < 3; i++) {
                    table->cells[r][g][b][i] = (uint16_t)lround(out[i] * 65280.0);
                }
            }
        }
    }
}

/* Where a 16-bit value falls: the cell below it and 1/256 parts of the way to the next. */
static int place(uint16_t value, int *part)
{
    const uint32_t scaled = (uint32_t)value * (TONE_EDGE - 1) * 256 / 65535;
    const int cell = (int)(scaled >> 8);
    *part = (int)(scaled & 255);
    return cell;
}

/* The cell's cube is cut into six tetrahedra by the order of the three parts; the value is the
 * walk from the near corner to the far one along the edges of one of them. */
static void look_up(const ToneTable *table, const uint16_t rgb[3], uint8_t *bgra)
{
    int part[3];
    int low[3];
    int high[3];
    for (int i = 0; i < 3; i++) {
        low[i] = place(rgb[i], &part[i]);
        high[i] = low[i] + (low[i] < TONE_EDGE - 1);
    }
    int order[3] = { 0, 1, 2 }; /* largest part first */
    for (int i = 0; i < 2; i++) {
        for (int k = 0; k < 2 - i; k++) {
            if (part[order[k]] < part[order[k + 1]]) {
                const int swap = order[k];
                order[k] = order[k + 1];
                order[k + 1] = swap;
            }
        }
    }
    int at[3] = { low[0], low[1], low[2] };
    const uint16_t *corners[4];
    corners[0] = table->cells[at[0]][at[1]][at[2]];
    for (int i = 0; i < 3; i++) {
        at[order[i]] = high[order[i]];
        corners[i + 1] = table->cells[at[0]][at[1]][at[2]];
    }
    const uint32_t weights[4] = { (uint32_t)(256 - part[order[0]]),
                                  (uint32_t)(part[order[0]] - part[order[1]]),
                                  (uint32_t)(part[order[1]] - part[order[2]]),
                                  (uint32_t)part[order[2]] };
    for (int i = 0; i < 3; i++) {
        const uint32_t sum = corners[0][i] * weights[0] + corners[1][i] * weights[1] +
                             corners[2][i] * weights[2] + corners[3][i] * weights[3];
        bgra[2 - i] = (uint8_t)((sum + 32768) >> 16);
    }
    bgra[3] = 255;
}

void tone_row(const ToneTable *table, const uint16_t *rgb, uint8_t *bgra, int width)
{
    for (int x = 0; x < width; x++) {
        look_up(table, rgb + 3 * (ptrdiff_t)x, bgra + 4 * (ptrdiff_t)x);
    }
}
