/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cutup-drawings.h"

#include "rb/report/film-drawing.h"

/* Size of a picture of drawings; the cutter scales it to its film. */
#define WIDTH 1280
#define HEIGHT 720

/* The last frame up to `last` on which the same drawings are seen as on `frame`. */
static int64_t same_until(const GPtrArray *drawings, int64_t frame, int64_t last)
{
    int64_t until = last;
    for (guint i = 0; i < drawings->len; i++) {
        const RbFilmDrawing *drawing = drawings->pdata[i];
        if (drawing->first > frame) {
            until = MIN(until, drawing->first - 1);
        } else if (drawing->last >= frame) {
            until = MIN(until, drawing->last);
        }
    }
    return until;
}

void rb_cutup_add_drawings(const GPtrArray *drawings, int64_t first, int64_t last,
                           bool beside, GArray *pictures, GPtrArray *memory)
{
    for (int64_t frame = first; drawings->len > 0 && frame <= last;) {
        const int64_t until = same_until(drawings, frame, last);
        uint8_t *rgba = rb_film_drawings_picture(drawings, frame, WIDTH, HEIGHT);
        if (rgba != NULL) {
            const RbCutDrawingPicture picture = { rgba,  WIDTH, HEIGHT,
                                                  frame, until, beside };
            g_array_append_val(pictures, picture);
            g_ptr_array_add(memory, rgba);
        }
        frame = until + 1;
    }
}
