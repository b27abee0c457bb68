/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "words.h"

#include <glib/gi18n-lib.h>
#include <inttypes.h>

#include "rb/base/error.h"
#include "rb/film/error.h"

bool rb_film_fault(GError **error, const char *name, const RbTellFault *fault)
{
    const int code = (int)fault->code;
    const char *system =
        fault->detail > 0 && fault->detail < 4096 ? g_strerror((int)fault->detail) : NULL;
    switch ((RbFilmError)code) {
    case RB_FILM_ERROR_NOT_A_FILM:
        return rb_error_set(
            error, RB_FILM_ERROR, code,
            "\"%s\" is not a film that can be read, whatever its name says; "
            "choose another file.",
            name);
    case RB_FILM_ERROR_UNFINISHED:
        return rb_error_set(error, RB_FILM_ERROR, code,
                            "The recording \"%s\" was not finished: its closing index is "
                            "missing, as when a camera loses power; repair it with the "
                            "camera or use another copy.",
                            name);
    case RB_FILM_ERROR_NO_VIDEO:
        return rb_error_set(error, RB_FILM_ERROR, code,
                            "\"%s\" has sound but no video; choose the file with the "
                            "picture.",
                            name);
    case RB_FILM_ERROR_NO_DECODER:
        return rb_error_set(
            error, RB_FILM_ERROR, code,
            "The video in \"%s\" is of a kind that cannot be decoded here; "
            "convert it to H.264.",
            name);
    case RB_FILM_ERROR_NO_PICTURE:
        return rb_error_set(
            error, RB_FILM_ERROR, code,
            "Not one whole picture can be made from \"%s\"; its beginning is "
            "missing or damaged, so use another copy.",
            name);
    case RB_FILM_ERROR_READ:
        return rb_error_set(
            error, RB_FILM_ERROR, code,
            "\"%s\" could not be read to its end (%s); check that its drive "
            "is connected and try again.",
            name, system != NULL ? system : "unknown reason");
    case RB_FILM_ERROR_DAMAGED:
        return rb_error_set(error, RB_FILM_ERROR, code,
                            "Frame %" PRId64
                            " of \"%s\" is damaged and cannot be shown; the "
                            "frames around it can.",
                            fault->detail, name);
    case RB_FILM_ERROR_MISSING:
    case RB_FILM_ERROR_PERMISSION:
    case RB_FILM_ERROR_NOT_A_FILE:
    case RB_FILM_ERROR_EMPTY:
    case RB_FILM_ERROR_RANGE:
    case RB_FILM_ERROR_HELPER:
    case RB_FILM_ERROR_TIMEOUT:
    case RB_FILM_ERROR_WRITE:
    case RB_FILM_ERROR_FAILED:
        break;
    }
    return rb_error_set(error, RB_FILM_ERROR, RB_FILM_ERROR_FAILED,
                        "\"%s\" could not be opened; close other films and try again.",
                        name);
}

static char *short_text(int64_t there, int64_t of)
{
    if (of > there) {
        return g_strdup_printf(_("The file is cut off: of %" PRId64 " frames %" PRId64
                                 " are there, and these can be used."),
                               of, there);
    }
    return g_strdup_printf(
        _("The file is cut off; the %" PRId64 " frames that are there can be used."),
        there);
}

static char *damaged_text(int64_t n)
{
    return g_strdup_printf(
        g_dngettext(
            GETTEXT_PACKAGE,
            "%" PRId64
            " piece of the film is damaged; pictures after it are marked until the "
            "next clean one. Film has no sums to check it by: damage that still decodes cannot "
            "be told.",
            "%" PRId64
            " pieces of the film are damaged; pictures after them are marked until "
            "the next clean one. Film has no sums to check it by: damage that still decodes "
            "cannot be told.",
            (gulong)n),
        n);
}

static char *read_text(int64_t number)
{
    return g_strdup_printf(
        _("The drive failed while the film was read (%s); only the frames before "
          "that can be used: check the drive and open the film again."),
        number > 0 && number < 4096 ? g_strerror((int)number) : _("unknown reason"));
}

static char *jumps_text(int64_t n)
{
    return g_strdup_printf(
        g_dngettext(GETTEXT_PACKAGE,
                    "The recorder's clock jumps %" PRId64
                    " time in this film; times shown leave the jumps out.",
                    "The recorder's clock jumps %" PRId64
                    " times in this film; times shown leave the jumps out.",
                    (gulong)n),
        n);
}

static char *cut_start_text(int64_t n)
{
    return g_strdup_printf(
        g_dngettext(GETTEXT_PACKAGE,
                    "The film begins in the middle of a group: %" PRId64
                    " picture at its start cannot be shown.",
                    "The film begins in the middle of a group: %" PRId64
                    " pictures at its start cannot be shown.",
                    (gulong)n),
        n);
}

static char *changes_text(int64_t n)
{
    return g_strdup_printf(
        g_dngettext(GETTEXT_PACKAGE,
                    "%" PRId64 " piece of the film gives no picture: damage, or another "
                    "kind of video in the same file.",
                    "%" PRId64 " pieces of the film give no picture: damage, or another "
                    "kind of video in the same file.",
                    (gulong)n),
        n);
}

char *rb_film_doubt_text(const RbTellDoubt *doubt)
{
    const int64_t a = doubt->a;
    const int64_t b = doubt->b;
    switch ((RbDoubtKind)doubt->doubt) {
    case RB_DOUBT_SHORT:
        return short_text(a, b);
    case RB_DOUBT_DAMAGED:
        return damaged_text(a);
    case RB_DOUBT_CLOCK_JUMPS:
        return jumps_text(a);
    case RB_DOUBT_NO_TIMES:
        return g_strdup(
            _("The film does not say when its frames were taken; their times are "
              "made up from the frame rate."));
    case RB_DOUBT_CUT_START:
        return cut_start_text(a);
    case RB_DOUBT_SEVERAL_VIDEOS:
        return g_strdup_printf(
            _("There are %" PRId64 " videos in this file; the first is used."), a);
    case RB_DOUBT_DURATION:
        return g_strdup_printf(_("The file says that it lasts %" PRId64
                                 " s, but has pictures for %" PRId64
                                 " s; it may have been cut off."),
                               a, b);
    case RB_DOUBT_CHANGES:
        return changes_text(a);
    case RB_DOUBT_STUCK:
        return g_strdup(
            _("Reading stopped at a broken place; the frames before it can be "
              "used."));
    case RB_DOUBT_HIGH_RANGE:
        return g_strdup(
            _("The film has high dynamic range; it is shown in an ordinary screen's, "
              "by the curve of ITU-R BT.2390."));
    case RB_DOUBT_READ:
        return read_text(a);
    }
    return g_strdup(_("Something about this film is unusual."));
}

RbFilmFacts *rb_film_facts_from_message(const RbTellFacts *tell, int64_t bytes)
{
    RbFilmFacts *facts = g_new0(RbFilmFacts, 1);
    facts->container = g_strdup(tell->container);
    facts->codec = g_strdup(tell->codec);
    facts->pixel_format = g_strdup(tell->pixel_format);
    facts->width = tell->width;
    facts->height = tell->height;
    facts->pixel_shape = (RbRational){ tell->shape_num, tell->shape_den };
    facts->rotation = tell->rotation;
    const double shape = (double)tell->shape_num / tell->shape_den;
    const int square = MAX(1, (int)(tell->width * shape + 0.5));
    const bool lies = tell->rotation == 90 || tell->rotation == 270;
    facts->shown_width = lies ? tell->height : square;
    facts->shown_height = lies ? square : tell->height;
    facts->interlaced = tell->interlaced != 0;
    facts->rate = (RbRational){ tell->rate_num, tell->rate_den };
    facts->time_base = (RbRational){ tell->base_num, tell->base_den };
    facts->duration_us = tell->duration_us;
    facts->frames = -1;
    facts->has_audio = tell->has_audio != 0;
    facts->audio_codec = facts->has_audio ? g_strdup(tell->audio_codec) : NULL;
    facts->bytes = bytes;
    facts->doubts = g_ptr_array_new_with_free_func(g_free);
    return facts;
}

RbFilmFacts *rb_film_facts_copy(const RbFilmFacts *facts)
{
    RbFilmFacts *copy = g_new(RbFilmFacts, 1);
    *copy = *facts;
    copy->container = g_strdup(facts->container);
    copy->codec = g_strdup(facts->codec);
    copy->pixel_format = g_strdup(facts->pixel_format);
    copy->audio_codec = g_strdup(facts->audio_codec);
    copy->doubts = g_ptr_array_new_with_free_func(g_free);
    for (guint i = 0; i < facts->doubts->len; i++) {
        g_ptr_array_add(copy->doubts, g_strdup(g_ptr_array_index(facts->doubts, i)));
    }
    return copy;
}

void rb_film_facts_free(RbFilmFacts *facts)
{
    if (facts != NULL) {
        g_free(facts->container);
        g_free(facts->codec);
        g_free(facts->pixel_format);
        g_free(facts->audio_codec);
        g_ptr_array_unref(facts->doubts);
        g_free(facts);
    }
}
