/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>
#include <inttypes.h>
#include <string.h>

#include "rb/work/films.h"

/* "59.94", "25", without a tail of zeros. */
static char *rate_text(RbRational rate)
{
    char *text = g_strdup_printf("%.3f", (double)rate.num / rate.den);
    char *end = text + strlen(text);
    while (end[-1] == '0') {
        *--end = '\0';
    }
    if (end[-1] == '.') {
        end[-1] = '\0';
    }
    return text;
}

static void add_shape(GString *text, const RbFilmFacts *facts)
{
    g_string_append_printf(text, ", %dx%d", facts->width, facts->height);
    if (facts->shown_width != facts->width || facts->shown_height != facts->height) {
        g_string_append_printf(text, _(" shown as %dx%d"), facts->shown_width,
                               facts->shown_height);
    }
    if (facts->rotation != 0) {
        g_string_append_printf(text, _(", turned by %d degrees"), facts->rotation);
    }
    if (facts->pixel_shape.num != facts->pixel_shape.den) {
        g_string_append_printf(text, _(", pixels %d:%d"), facts->pixel_shape.num,
                               facts->pixel_shape.den);
    }
}

char *rb_film_look_text(const RbFilmLook *look)
{
    const RbFilmFacts *facts = look->facts;
    g_autofree char *length = rb_time_text(look->length_us);
    GString *text = g_string_new(NULL);
    g_string_append_printf(text, _("%s in %s"), facts->codec, facts->container);
    add_shape(text, facts);
    g_string_append(text, facts->interlaced ? _(", interlaced") : _(", progressive"));
    if (facts->pixel_format[0] != '\0') {
        g_string_append_printf(text, ", %s", facts->pixel_format);
    }
    if (look->rate.num > 0) {
        g_autofree char *rate = rate_text(look->rate);
        g_string_append_printf(text, _(", %s frames a second on average"), rate);
    }
    g_string_append_printf(text,
                           ngettext(", %" PRId64 " frame, %s", ", %" PRId64 " frames, %s",
                                    (gulong)look->frames),
                           look->frames, length);
    if (facts->has_audio) {
        g_string_append_printf(text, _(", sound %s"), facts->audio_codec);
    } else {
        g_string_append(text, _(", no sound"));
    }
    return g_string_free(text, FALSE);
}
