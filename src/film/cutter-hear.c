/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <errno.h>
#include <glib/gi18n-lib.h>
#include <glib/gi18n.h>
#include <poll.h>

#include "rb/base/error.h"
#include "rb/film/error.h"

#include "channel.h"
#include "cutter-private.h"
#include "words.h"

/* Longest silence of the helper before it counts as hung. */
#define SILENCE_MS 60000

bool rb_cutter_helper_gone(const Cutter *cutter, GError **error)
{
    return rb_error_set(error, RB_FILM_ERROR, RB_FILM_ERROR_HELPER,
                        "The cut-up \"%s\" was not written: the program that makes it "
                        "stopped; try again.",
                        cutter->shown);
}

static void tell_progress(const Cutter *cutter, int permille)
{
    if (permille < 0) {
        return;
    }
    const double share = 1.0 - RB_CUTTER_OPEN_SHARE;
    rb_progress_set(cutter->progress, RB_CUTTER_OPEN_SHARE + share * permille / 1000.0,
                    N_("Writing the cut-up"));
}

static char *why_text(uint32_t why)
{
    static const char *const words[RB_CUT_WHYS] = {
        [RB_CUT_WHY_START] = N_("it starts between key frames"),
        [RB_CUT_WHY_END] = N_("it ends between key frames"),
        [RB_CUT_WHY_CODEC] = N_("the film is not H.264"),
        [RB_CUT_WHY_FORMAT] = N_("its pictures are not 8-bit 4:2:0 of an even size"),
        [RB_CUT_WHY_GROUPS] = N_("its key frames lean on what is before them"),
        [RB_CUT_WHY_DIFFERS] = N_("its video has other parameters than the other clips"),
        [RB_CUT_WHY_DAMAGED] = N_("the film is damaged there"),
        [RB_CUT_WHY_COMPOSED] = N_("a card, a drawing or a second angle is part of it"),
        [RB_CUT_WHY_ASKED] = N_("everything was to be encoded"),
    };
    g_autoptr(GString) text = g_string_new(NULL);
    for (int i = 0; i < RB_CUT_WHYS; i++) {
        if ((why & 1U << i) != 0) {
            g_string_append_printf(text, "%s%s", text->len > 0 ? "; " : "", _(words[i]));
        }
    }
    return text->len > 0 ? g_strdup(text->str) : NULL;
}

static void take_done(Cutter *cutter, const RbTellCutDone *done)
{
    const uint64_t serial = done->head.serial;
    if (serial >= 1 && serial <= (uint64_t)cutter->n) {
        RbCutResult *result = &cutter->results[serial - 1];
        result->copied = done->copied;
        result->encoded = done->encoded;
        g_free(result->why);
        result->why = done->encoded > 0 ? why_text(done->why) : NULL;
    }
}

/* A fault of one span can be left out; of the output it ends everything. */
static bool take_fault(const Cutter *cutter, const RbTellFault *fault, int *span,
                       GError **error)
{
    if (fault->code == RB_FILM_ERROR_WRITE) {
        const bool known = fault->detail > 0 && fault->detail < 4096;
        return rb_cutter_write_error(cutter, known ? (int)fault->detail : EIO, error);
    }
    const bool of_span =
        fault->head.serial >= 1 && fault->head.serial <= (uint64_t)cutter->n;
    if (!of_span) {
        return rb_error_set(error, RB_FILM_ERROR, RB_FILM_ERROR_FAILED,
                            "The cut-up \"%s\" could not be encoded; try a file for each "
                            "clip.",
                            cutter->shown);
    }
    *span = (int)fault->head.serial - 1;
    g_autofree char *name = rb_film_name(cutter->spans[*span].path);
    if (fault->code == RB_FILM_ERROR_READ) {
        return rb_error_set(error, RB_FILM_ERROR, RB_FILM_ERROR_READ,
                            "Clip %d could not be read from \"%s\": is its drive still "
                            "connected?",
                            rb_cutter_span_number(cutter, *span), name);
    }
    return rb_error_set(error, RB_FILM_ERROR, (int)fault->code,
                        "Clip %d could not be made from \"%s\": the film is damaged "
                        "there; leave the clip out or set other bounds.",
                        rb_cutter_span_number(cutter, *span), name);
}

static bool wait_for_word(const Cutter *cutter, GError **error)
{
    struct pollfd wait = { .fd = cutter->helper.socket, .events = POLLIN };
    for (int waited = 0; waited < SILENCE_MS; waited += 50) {
        const int ready = poll(&wait, 1, 50);
        if (!rb_cancel_check(cutter->cancel, error)) {
            return false;
        }
        if (ready > 0) {
            return true;
        }
    }
    return rb_cutter_helper_gone(cutter, error);
}

/* Until the helper is done. span: (out): the one at fault, -1: none. */
bool rb_cutter_hear(Cutter *cutter, int *span, RbTellFinished *finished, GError **error)
{
    char buffer[RB_MESSAGE_MAX];
    for (;;) {
        size_t n = 0;
        RbTell tell;
        const uint8_t *part = NULL;
        size_t part_bytes = 0;
        if (!wait_for_word(cutter, error)) {
            return false;
        }
        if (rb_channel_receive(cutter->helper.socket, buffer, sizeof buffer, &n, NULL, 0,
                               NULL, true) != RB_CHANNEL_OK ||
            !rb_tell_check(buffer, n, &tell, &part, &part_bytes)) {
            return rb_cutter_helper_gone(cutter, error);
        }
        switch (tell.head.kind) {
        case RB_TELL_PROGRESS:
            tell_progress(cutter, tell.progress.permille);
            break;
        case RB_TELL_CUT_DONE:
            take_done(cutter, &tell.cut_done);
            break;
        case RB_TELL_FAULT:
            return take_fault(cutter, &tell.fault, span, error);
        case RB_TELL_FINISHED:
            *finished = tell.finished;
            return true;
        default:
            return rb_cutter_helper_gone(cutter, error);
        }
    }
}
