/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A click as the command line takes it, NAME=X,Y: no mark of any field and no place in a picture, or
 * one that says itself again. */
#include <math.h>
#include <stdint.h>
#include <string.h>

#include "rb/field/calibration.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void use_name(RbFieldCode code, const char *name)
{
    RbFieldMark mark = { 0 };
    RbSighting sighting;
    if (!rb_field_mark_parse(code, name, &mark)) {
        return;
    }
    g_autofree char *token = rb_field_mark_token(&mark);
    g_autofree char *words = rb_field_mark_name(&mark);
    g_assert_cmpstr(token, ==, name);
    g_assert(words[0] != '\0' && strchr(words, '{') == NULL);
    g_assert(rb_field_mark_resolve(code, &mark, &sighting));
}

static void use_place(const char *place)
{
    RbPoint2 pixel = { -1.0, -2.0 };
    if (rb_pixel_parse(place, &pixel)) {
        g_assert(fabs(pixel.x) <= 1e5 && fabs(pixel.y) <= 1e5);
        char x[G_ASCII_DTOSTR_BUF_SIZE];
        char y[G_ASCII_DTOSTR_BUF_SIZE];
        g_autofree char *said = g_strconcat(g_ascii_dtostr(x, sizeof x, pixel.x), ",",
                                            g_ascii_dtostr(y, sizeof y, pixel.y), NULL);
        RbPoint2 again;
        g_assert(rb_pixel_parse(said, &again));
        g_assert(again.x == pixel.x && again.y == pixel.y);
    } else {
        g_assert(pixel.x == -1.0 && pixel.y == -2.0);
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    g_autofree char *text = g_strndup((const char *)data, size);
    char *equals = strchr(text, '=');
    use_place(equals != NULL ? equals + 1 : text);
    if (equals != NULL) {
        *equals = '\0';
    }
    for (int code = 0; code < RB_FIELD_CODES; code++) {
        use_name((RbFieldCode)code, text);
    }
    return 0;
}
