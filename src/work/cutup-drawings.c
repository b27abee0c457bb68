/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cutup-drawings.h"

#include "rb/film/frames.h"
#include "rb/report/film-drawing.h"

/* The longer side of a picture of drawings; the cutter scales it to its film. */
#define LONGEST 1280

void rb_cutup_drawing_size(int shown_width, int shown_height, int *width, int *height)
{
    const int longer = MAX(shown_width, shown_height);
    if (shown_width <= 0 || shown_height <= 0) {
        *width = LONGEST;
        *height = LONGEST * 9 / 16;
        return;
    }
    const double by = longer > LONGEST ? (double)LONGEST / longer : 1.0;
    *width = MAX((int)(shown_width * by + 0.5), 1);
    *height = MAX((int)(shown_height * by + 0.5), 1);
}

/* As the film is shown: upright and with square pixels, or circles would become ovals. A film
 * that cannot be read is no matter here: the export will say so. */
static void size_of_film(const char *path, int *width, int *height)
{
    RbReel *reel = rb_reel_open_wait(path, NULL, 0, NULL, NULL);
    g_autoptr(RbFilmFacts) facts = reel != NULL ? rb_reel_dup_facts(reel) : NULL;
    rb_cutup_drawing_size(facts != NULL ? facts->shown_width : 0,
                          facts != NULL ? facts->shown_height : 0, width, height);
    if (reel != NULL) {
        rb_reel_close(reel);
    }
}

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

void rb_cutup_add_drawings(const char *film, const GPtrArray *drawings, int64_t first,
                           int64_t last, bool beside, GArray *pictures, GPtrArray *memory)
{
    int width = 0;
    int height = 0;
    if (drawings->len > 0) {
        size_of_film(film, &width, &height);
    }
    for (int64_t frame = first; drawings->len > 0 && frame <= last;) {
        const int64_t until = same_until(drawings, frame, last);
        uint8_t *rgba = rb_film_drawings_picture(drawings, frame, width, height);
        if (rgba != NULL) {
            const RbCutDrawingPicture picture = { rgba,  width, height,
                                                  frame, until, beside };
            g_array_append_val(pictures, picture);
            g_ptr_array_add(memory, rgba);
        }
        frame = until + 1;
    }
}
