/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "make.h"
#include "suite.h"

static bool same_penalty(const RbPenalty *a, const RbPenalty *b)
{
    return a->id.value == b->id.value && a->snap.value == b->snap.value &&
           a->foul.value == b->foul.value && a->side == b->side &&
           a->ruling == b->ruling && a->enforced == b->enforced && a->yards == b->yards &&
           a->spot == b->spot && a->down_counts == b->down_counts &&
           a->first_down == b->first_down;
}

/* The larger structs are compared as bytes after their pointers are compared and cleared: no field
 * can be forgotten. Values are made by zeroed allocation, so padding is zero on both sides. */
void assert_same_snap(const RbSnap *a, const RbSnap *b)
{
    ck_assert_pstr_eq(a->note, b->note);
    ck_assert_uint_eq(a->penalties->len, b->penalties->len);
    for (guint i = 0; i < a->penalties->len; i++) {
        const RbPenalty *mine = &g_array_index(a->penalties, RbPenalty, i);
        bool found = false;
        for (guint j = 0; j < b->penalties->len; j++) {
            const RbPenalty *other = &g_array_index(b->penalties, RbPenalty, j);
            found = found || same_penalty(mine, other);
        }
        ck_assert_msg(found, "penalty %u differs", i);
    }
    ck_assert_uint_eq(a->own_tags->len, b->own_tags->len);
    for (guint i = 0; i < a->own_tags->len; i++) {
        ck_assert(rb_snap_has_tag(b, g_array_index(a->own_tags, RbTermId, i)));
    }
    RbSnap x;
    RbSnap y;
    memcpy(&x, a, sizeof x);
    memcpy(&y, b, sizeof y);
    x.note = y.note = NULL;
    x.penalties = y.penalties = NULL;
    x.own_tags = y.own_tags = NULL;
    ck_assert_mem_eq(&x, &y, sizeof x);
}

void assert_same_chart(const RbChart *a, const RbChart *b)
{
    ck_assert_pstr_eq(a->note, b->note);
    RbChart x;
    RbChart y;
    memcpy(&x, a, sizeof x);
    memcpy(&y, b, sizeof y);
    x.note = y.note = NULL;
    x.stamp_us = y.stamp_us = 0;
    ck_assert_mem_eq(&x, &y, sizeof x);
}

void assert_same_clip(const RbClip *a, const RbClip *b)
{
    ck_assert_uint_eq(a->marks->len, b->marks->len);
    for (guint i = 0; i < a->marks->len; i++) {
        const RbMark *mine = &g_array_index(a->marks, RbMark, i);
        const RbMark *other = &g_array_index(b->marks, RbMark, i);
        ck_assert_int_eq(mine->id.value, other->id.value);
        ck_assert_int_eq(mine->clip.value, other->clip.value);
        ck_assert_int_eq(mine->kind, other->kind);
        ck_assert_int_eq(mine->frame, other->frame);
        ck_assert_int_eq(mine->time.ticks, other->time.ticks);
        ck_assert_int_eq(mine->time.base.num, other->time.base.num);
        ck_assert_int_eq(mine->time.base.den, other->time.base.den);
        ck_assert_int_eq(mine->index_version, other->index_version);
    }
    RbClip x;
    RbClip y;
    memcpy(&x, a, sizeof x);
    memcpy(&y, b, sizeof y);
    x.marks = y.marks = NULL;
    ck_assert_mem_eq(&x, &y, sizeof x);
}
