/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "measure-keys.h"

#include <glib/gi18n.h>
#include <string.h>

static const RbMeasureCommand takes[] = {
    { GDK_KEY_1, "1", "left-cushion", N_("Left cushion") },
    { GDK_KEY_2, "2", "right-cushion", N_("Right cushion") },
    { GDK_KEY_3, "3", "left-split", N_("Left split") },
    { GDK_KEY_4, "4", "right-split", N_("Right split") },
    { GDK_KEY_5, "5", "sideline", N_("To sideline") },
    { GDK_KEY_6, "6", "depth", N_("Break, depth") },
    { GDK_KEY_7, "7", "width", N_("Break, width") },
    { GDK_KEY_8, "8", "throw", N_("Throw") },
    { GDK_KEY_9, "9", "separation", N_("Separation") },
    { GDK_KEY_0, "0", "length", N_("Any length") },
    { GDK_KEY_d, "D", "landmark", N_("To a landmark") },
    { GDK_KEY_v, "V", "speed", N_("Speed") },
    { GDK_KEY_u, "U", "numbers", N_("Split, numbers") },
    { 0, NULL, NULL, NULL },
};

static const RbMeasureCommand marks[] = {
    { GDK_KEY_Page_Up, N_("PgUp"), "line-up", N_("Line ahead") },
    { GDK_KEY_Page_Down, N_("PgDn"), "line-down", N_("Line before") },
    { GDK_KEY_h, "H", "hash", N_("Hash") },
    { GDK_KEY_s, "S", "sideline", N_("Sideline") },
    { GDK_KEY_t, "T", "top", N_("Numbers, top") },
    { GDK_KEY_b, "B", "bottom", N_("Numbers, foot") },
    { GDK_KEY_o, "O", "half", N_("Other half") },
    { GDK_KEY_x, "X", "end", N_("Other end") },
    { GDK_KEY_l, "L", "line", N_("Whole line") },
    { 0, NULL, NULL, NULL },
};

const RbMeasureCommand *rb_measure_takes(void)
{
    return takes;
}

const RbMeasureCommand *rb_measure_marks(void)
{
    return marks;
}

bool rb_measure_take(RbFieldwork *work, const char *token)
{
    int kind = 0;
    const RbSide side = g_str_has_prefix(token, "left-")    ? RB_SIDE_LEFT
                        : g_str_has_prefix(token, "right-") ? RB_SIDE_RIGHT
                                                            : RB_SIDE_UNKNOWN;
    const char *what = side != RB_SIDE_UNKNOWN ? strchr(token, '-') + 1 : token;
    if (!rb_words_parse(&rb_film_measure_words, what, &kind)) {
        return false;
    }
    rb_fieldwork_measure(work, (RbMeasureKind)kind, side);
    return true;
}

static bool turn_kind(RbFieldwork *work, const char *token)
{
    static const struct {
        const char *token;
        RbLandmarkKind kind;
    } kinds[] = { { "hash", RB_LANDMARK_HASH },
                  { "sideline", RB_LANDMARK_SIDELINE },
                  { "top", RB_LANDMARK_NUMBER_TOP },
                  { "bottom", RB_LANDMARK_NUMBER_BOTTOM } };
    for (size_t i = 0; i < G_N_ELEMENTS(kinds); i++) {
        if (strcmp(kinds[i].token, token) == 0) {
            rb_fieldwork_turn_kind(work, kinds[i].kind);
            return true;
        }
    }
    return false;
}

bool rb_measure_mark(RbFieldwork *work, const char *token)
{
    if (strcmp(token, "line-up") == 0) {
        rb_fieldwork_turn_line(work, 1);
    } else if (strcmp(token, "line-down") == 0) {
        rb_fieldwork_turn_line(work, -1);
    } else if (strcmp(token, "half") == 0) {
        rb_fieldwork_turn_half(work);
    } else if (strcmp(token, "end") == 0) {
        rb_fieldwork_turn_end(work);
    } else if (strcmp(token, "line") == 0) {
        rb_fieldwork_turn_to_line(work);
    } else {
        return turn_kind(work, token);
    }
    return true;
}

static const char *token_of(const RbMeasureCommand *commands, guint keyval)
{
    while (commands->token != NULL && commands->keyval != keyval) {
        commands++;
    }
    return commands->token;
}

/* The digits of a number pad, and letters with Shift or Caps Lock. */
static guint plain(guint keyval)
{
    return keyval >= GDK_KEY_KP_0 && keyval <= GDK_KEY_KP_9
               ? GDK_KEY_0 + (keyval - GDK_KEY_KP_0)
               : gdk_keyval_to_lower(keyval);
}

bool rb_measure_key(RbFieldwork *work, guint keyval)
{
    const char *take = token_of(takes, plain(keyval));
    const char *mark = token_of(marks, plain(keyval));
    return (take != NULL && rb_measure_take(work, take)) ||
           (mark != NULL && rb_measure_mark(work, mark));
}
