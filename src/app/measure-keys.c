/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "measure-keys.h"

static bool choose_measure(RbFieldwork *work, guint keyval)
{
    if (keyval == GDK_KEY_v) {
        rb_fieldwork_measure(work, RB_MEASURE_SPEED, RB_SIDE_UNKNOWN);
        return true;
    }
    static const struct {
        RbMeasureKind kind;
        RbSide side;
    } kinds[10] = {
        { RB_MEASURE_LENGTH, RB_SIDE_UNKNOWN },
        { RB_MEASURE_CUSHION, RB_SIDE_LEFT },
        { RB_MEASURE_CUSHION, RB_SIDE_RIGHT },
        { RB_MEASURE_SPLIT, RB_SIDE_UNKNOWN },
        { RB_MEASURE_NUMBERS, RB_SIDE_UNKNOWN },
        { RB_MEASURE_SIDELINE, RB_SIDE_UNKNOWN },
        { RB_MEASURE_DEPTH, RB_SIDE_UNKNOWN },
        { RB_MEASURE_WIDTH, RB_SIDE_UNKNOWN },
        { RB_MEASURE_THROW, RB_SIDE_UNKNOWN },
        { RB_MEASURE_SEPARATION, RB_SIDE_UNKNOWN },
    };
    const guint digit = keyval - GDK_KEY_0;
    if (digit > 9) {
        return false;
    }
    rb_fieldwork_measure(work, kinds[digit].kind, kinds[digit].side);
    return true;
}

static bool turn_mark(RbFieldwork *work, guint keyval)
{
    static const struct {
        guint keyval;
        RbLandmarkKind kind;
    } kinds[] = { { GDK_KEY_h, RB_LANDMARK_HASH },
                  { GDK_KEY_s, RB_LANDMARK_SIDELINE },
                  { GDK_KEY_t, RB_LANDMARK_NUMBER_TOP },
                  { GDK_KEY_b, RB_LANDMARK_NUMBER_BOTTOM } };
    for (size_t i = 0; i < G_N_ELEMENTS(kinds); i++) {
        if (kinds[i].keyval == keyval) {
            rb_fieldwork_turn_kind(work, kinds[i].kind);
            return true;
        }
    }
    switch (keyval) {
    case GDK_KEY_Page_Up:
        rb_fieldwork_turn_line(work, 1);
        return true;
    case GDK_KEY_Page_Down:
        rb_fieldwork_turn_line(work, -1);
        return true;
    case GDK_KEY_o:
        rb_fieldwork_turn_half(work);
        return true;
    case GDK_KEY_x:
        rb_fieldwork_turn_end(work);
        return true;
    case GDK_KEY_l:
        rb_fieldwork_turn_to_line(work);
        return true;
    default:
        return false;
    }
}

bool rb_measure_key(RbFieldwork *work, guint keyval)
{
    return choose_measure(work, keyval) || turn_mark(work, keyval);
}
