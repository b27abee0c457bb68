/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/field/field.h"

#define INCHES(n) ((n) / 36.0)
#define FEET(n) ((n) / 3.0)

/* From memory, as no rule book at hand says it: the width of the college border (taken as the
 * professional six feet), the gap before high-school marks (taken as the college four inches)
 * and the tries from the 3. Widths of goal lines are choices the rules leave open. */
static const RbFieldDimensions all[RB_FIELD_CODES] = {
    [RB_FIELD_HIGH_SCHOOL] = {
        .code = RB_FIELD_HIGH_SCHOOL,
        .hash_yd = INCHES(640.0), /* thirds of the width */
        .number_bottom_yd = 7.0,
        .number_top_yd = 9.0,
        .digit_width_yd = FEET(4.0),
        .line_width_yd = INCHES(4.0),
        .goal_line_yd = INCHES(4.0),
        .short_mark_yd = INCHES(24.0),
        .short_mark_gap_yd = INCHES(4.0),
        .border_yd = INCHES(4.0),
        .try_spot_yd = 3.0,
        .uprights_yd = INCHES(280.0),
        .crossbar_yd = FEET(10.0),
        .upright_top_yd = FEET(20.0),
        .rules = "NFHS Football Rules 1-2-1 to 1-2-5",
    },
    [RB_FIELD_COLLEGE] = {
        .code = RB_FIELD_COLLEGE,
        .hash_yd = FEET(60.0),
        .number_bottom_yd = 7.0,
        .number_top_yd = 9.0,
        .digit_width_yd = FEET(4.0),
        .line_width_yd = INCHES(4.0),
        .goal_line_yd = INCHES(8.0),
        .short_mark_yd = INCHES(24.0),
        .short_mark_gap_yd = INCHES(4.0),
        .border_yd = FEET(6.0),
        .try_spot_yd = 3.0,
        .uprights_yd = INCHES(222.0),
        .crossbar_yd = FEET(10.0),
        .upright_top_yd = FEET(30.0),
        .rules = "NCAA Football Rules 1-2-1, 2-12-6 and Appendix D",
    },
    [RB_FIELD_PRO] = {
        .code = RB_FIELD_PRO,
        .hash_yd = INCHES(849.0), /* 70 ft 9 in */
        .number_bottom_yd = 12.0,
        .number_top_yd = 14.0,
        .digit_width_yd = FEET(4.0),
        .line_width_yd = INCHES(4.0),
        .goal_line_yd = INCHES(8.0),
        .short_mark_yd = INCHES(24.0),
        .short_mark_gap_yd = INCHES(8.0),
        .border_yd = FEET(6.0),
        .try_spot_yd = 2.0,
        .uprights_yd = INCHES(222.0),
        .crossbar_yd = FEET(10.0),
        .upright_top_yd = FEET(45.0),
        .rules = "NFL Official Playing Rules, Rule 1, sections 1 to 3",
    },
};

const RbFieldDimensions *rb_field_dimensions(RbFieldCode code)
{
    g_assert(code >= 0 && code < RB_FIELD_CODES);
    return &all[code];
}

int rb_field_number_at(int line)
{
    if (line < 10 || line > 90 || line % 10 != 0) {
        return 0;
    }
    return line <= 50 ? line : 100 - line;
}

static void add(GArray *paint, RbPaintKind kind, double x0, double y0, double x1,
                double y1)
{
    const RbPaint rectangle = { kind, x0, y0, x1, y1 };
    g_array_append_val(paint, rectangle);
}

/* Both mirror images of a rectangle given from the near sideline. */
static void add_both(GArray *paint, RbPaintKind kind, double x0, double y0, double x1,
                     double y1)
{
    add(paint, kind, x0, y0, x1, y1);
    add(paint, kind, x0, RB_FIELD_WIDTH_YD - y1, x1, RB_FIELD_WIDTH_YD - y0);
}

static void add_border(GArray *paint, const RbFieldDimensions *d)
{
    const double left = -RB_FIELD_END_ZONE_YD;
    const double right = RB_FIELD_LENGTH_YD + RB_FIELD_END_ZONE_YD;
    const double wide = d->border_yd;
    add_both(paint, RB_PAINT_BORDER, left - wide, -wide, right + wide, 0.0);
    add(paint, RB_PAINT_BORDER, left - wide, 0.0, left, RB_FIELD_WIDTH_YD);
    add(paint, RB_PAINT_BORDER, right, 0.0, right + wide, RB_FIELD_WIDTH_YD);
}

static void add_yard_lines(GArray *paint, const RbFieldDimensions *d)
{
    const double half = d->line_width_yd / 2.0;
    const double stroke = d->short_mark_yd / 2.0;
    for (int x = 5; x <= 95; x += 5) {
        add(paint, RB_PAINT_YARD_LINE, x - half, 0.0, x + half, RB_FIELD_WIDTH_YD);
        add_both(paint, RB_PAINT_HASH, x - stroke, d->hash_yd - half, x + stroke,
                 d->hash_yd + half);
    }
    /* A goal line is part of its end zone: its inner edge is the goal. */
    add(paint, RB_PAINT_GOAL_LINE, -d->goal_line_yd, 0.0, 0.0, RB_FIELD_WIDTH_YD);
    add(paint, RB_PAINT_GOAL_LINE, RB_FIELD_LENGTH_YD, 0.0,
        RB_FIELD_LENGTH_YD + d->goal_line_yd, RB_FIELD_WIDTH_YD);
}

static void add_short_marks(GArray *paint, const RbFieldDimensions *d)
{
    const double half = d->line_width_yd / 2.0;
    for (int x = 1; x <= 99; x++) {
        if (x % 5 == 0) {
            continue;
        }
        add_both(paint, RB_PAINT_SHORT_MARK, x - half, d->hash_yd - d->short_mark_yd,
                 x + half, d->hash_yd);
        add_both(paint, RB_PAINT_SHORT_MARK, x - half, d->short_mark_gap_yd, x + half,
                 d->short_mark_gap_yd + d->short_mark_yd);
    }
}

GArray *rb_field_paint_all(RbFieldCode code)
{
    const RbFieldDimensions *d = rb_field_dimensions(code);
    GArray *paint = g_array_new(FALSE, FALSE, sizeof(RbPaint));
    add_border(paint, d);
    add_yard_lines(paint, d);
    add_short_marks(paint, d);
    const double half = d->line_width_yd / 2.0;
    const double middle = RB_FIELD_WIDTH_YD / 2.0;
    const double reach = d->short_mark_yd / 2.0;
    const double right = RB_FIELD_LENGTH_YD - d->try_spot_yd;
    add(paint, RB_PAINT_TRY, d->try_spot_yd - half, middle - reach, d->try_spot_yd + half,
        middle + reach);
    add(paint, RB_PAINT_TRY, right - half, middle - reach, right + half, middle + reach);
    return paint;
}
