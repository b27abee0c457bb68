/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "rb/model/film-drawing.h"

#include "suite.h"

TCase *rb_case_film_drawing(void);

START_TEST(test_film_drawing__what_cannot_be_seen_is_refused)
{
    char longer[RB_DRAW_TEXT_BYTES + 2];
    memset(longer, 'x', sizeof longer - 1);
    longer[sizeof longer - 1] = '\0';
    const struct {
        RbFilmDrawing drawing;
        bool good;
    } rows[] = {
        { { .kind = RB_DRAW_LINE, .x2 = 500 }, true },
        { { .kind = RB_DRAW_CIRCLE, .x1 = 10000, .y1 = 10000 }, true },
        { { .kind = RB_DRAW_ARROW, .x1 = 10, .x2 = 20 }, false },
        { { .kind = RB_DRAW_LINE, .x1 = -1, .x2 = 500 }, false },
        { { .kind = RB_DRAW_LINE, .x2 = 500, .y2 = 10001 }, false },
        { { .kind = RB_DRAW_LINE, .x2 = 500, .first = 8, .last = 7 }, false },
        { { .kind = RB_DRAW_LINE, .x2 = 500, .first = -1, .last = 7 }, false },
        { { .kind = RB_DRAW_TEXT, .words = (char[]){ "eyes here" } }, true },
        { { .kind = RB_DRAW_TEXT }, false },
        { { .kind = RB_DRAW_TEXT, .words = (char[]){ "" } }, false },
        { { .kind = RB_DRAW_TEXT, .words = longer }, false },
        { { .kind = RB_DRAW_TEXT, .words = (char[]){ "\xff" } }, false },
    };
    for (size_t i = 0; i < G_N_ELEMENTS(rows); i++) {
        GError *error = NULL;
        ck_assert_msg(rb_film_drawing_check(&rows[i].drawing, &error) == rows[i].good,
                      "row %zu", i);
        ck_assert(rows[i].good == (error == NULL));
        g_clear_error(&error);
    }
}
END_TEST

START_TEST(test_film_drawing__is_seen_on_its_frames_only)
{
    g_autoptr(RbFilmDrawing) drawing =
        rb_film_drawing_new((RbFilmDrawingId){ 3 }, (RbClipId){ 4 });
    drawing->first = 10;
    drawing->last = 12;
    drawing->words = g_strdup("flat");
    g_autoptr(RbFilmDrawing) copy = rb_film_drawing_copy(drawing);
    ck_assert_str_eq(copy->words, "flat");
    ck_assert(copy->id.value == 3 && copy->clip.value == 4);
    for (int64_t frame = 8; frame < 15; frame++) {
        ck_assert(rb_film_drawing_is_seen(copy, frame) == (frame >= 10 && frame <= 12));
    }
}
END_TEST

START_TEST(test_film_drawing__pieces_are_mended)
{
    RbFilmDrawing drawing = { .x1 = -5, .y2 = 20000, .first = -3, .last = -9 };
    rb_film_drawing_mend(&drawing);
    ck_assert(drawing.x1 == 0 && drawing.y2 == RB_DRAW_WHOLE);
    ck_assert(drawing.first == 0 && drawing.last == 0);
}
END_TEST

TCase *rb_case_film_drawing(void)
{
    TCase *tcase = rb_case_new("film-drawing");
    tcase_add_test(tcase, test_film_drawing__what_cannot_be_seen_is_refused);
    tcase_add_test(tcase, test_film_drawing__is_seen_on_its_frames_only);
    tcase_add_test(tcase, test_film_drawing__pieces_are_mended);
    return tcase;
}
