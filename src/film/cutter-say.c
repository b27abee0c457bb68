/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <unistd.h>

#include "rb/base/error.h"
#include "rb/film/error.h"

#include "channel.h"
#include "cutter-private.h"
#include "ring.h"

static bool say(Cutter *cutter, const void *message, size_t bytes, const int *fds,
                int n_fds, GError **error)
{
    return rb_channel_send(cutter->helper.socket, message, bytes, fds, n_fds, true) ==
               RB_CHANNEL_OK ||
           rb_cutter_helper_gone(cutter, error);
}

static bool say_start(Cutter *cutter, GError **error)
{
    const RbCutterOptions *options = &cutter->options;
    const RbAskCut ask = {
        .head = { RB_ASK_CUT, sizeof ask, 0 },
        .version = RB_PROTOCOL_VERSION,
        .sound = options->sound,
        .encode = options->encode,
        .crf = options->crf > 0 ? MIN(options->crf, 51) : 18,
        .threads = (uint32_t)MAX(options->threads, 0),
    };
    return say(cutter, &ask, sizeof ask, &cutter->fd, 1, error);
}

static bool say_film(Cutter *cutter, const CutterFilm *film, int slot, GError **error)
{
    gsize n = 0;
    const void *bytes = g_bytes_get_data(film->index, &n);
    const int index = rb_sealed_copy(bytes, n, error);
    if (index < 0) {
        return false;
    }
    const RbAskCutFilm ask = { .head = { RB_ASK_CUT_FILM, sizeof ask, 0 },
                               .slot = (uint32_t)slot,
                               .index_bytes = (int64_t)n };
    const int fds[2] = { film->file.fd, index };
    const bool said = say(cutter, &ask, sizeof ask, fds, 2, error);
    close(index);
    return said;
}

static bool say_card(Cutter *cutter, const RbCutCardPicture *card, uint64_t serial,
                     GError **error)
{
    if (card->gray == NULL) {
        return true;
    }
    const int fd =
        rb_sealed_copy(card->gray, (size_t)card->width * (size_t)card->height, error);
    if (fd < 0) {
        return false;
    }
    const RbAskCutCard ask = { .head = { RB_ASK_CUT_CARD, sizeof ask, serial },
                               .width = card->width,
                               .height = card->height,
                               .ms = card->ms };
    const bool said = say(cutter, &ask, sizeof ask, &fd, 1, error);
    close(fd);
    return said;
}

static bool say_drawing(Cutter *cutter, const RbCutDrawingPicture *drawing,
                        uint64_t serial, GError **error)
{
    const size_t bytes = (size_t)drawing->width * (size_t)drawing->height * 4;
    const int fd = rb_sealed_copy(drawing->rgba, bytes, error);
    if (fd < 0) {
        return false;
    }
    const RbAskCutDrawing ask = { .head = { RB_ASK_CUT_DRAWING, sizeof ask, serial },
                                  .first = drawing->first,
                                  .last = drawing->last,
                                  .width = drawing->width,
                                  .height = drawing->height,
                                  .beside = drawing->beside };
    const bool said = say(cutter, &ask, sizeof ask, &fd, 1, error);
    close(fd);
    return said;
}

static bool say_drawings(Cutter *cutter, const RbCutSpan *span, uint64_t serial,
                         GError **error)
{
    for (int i = 0; i < MIN(span->n_drawings, RB_CUT_DRAWINGS_MAX); i++) {
        if (!say_drawing(cutter, &span->drawings[i], serial, error)) {
            return false;
        }
    }
    return true;
}

static bool say_span(Cutter *cutter, int number, const int *slots, GError **error)
{
    const RbCutSpan *span = &cutter->spans[number];
    const uint64_t serial = (uint64_t)number + 1;
    const RbAskCutClip ask = {
        .head = { RB_ASK_CUT_CLIP, sizeof ask, serial },
        .film = slots[rb_cutter_find_film(cutter, span->path)],
        .beside =
            span->beside != NULL ? slots[rb_cutter_find_film(cutter, span->beside)] : -1,
        .first = span->first,
        .last = span->last,
        .anchor = span->anchor,
        .beside_anchor = span->beside_anchor,
        .freeze =
            span->freeze >= span->first && span->freeze <= span->last ? span->freeze : -1,
        .freeze_ms = MAX(span->freeze_ms, 0),
        .speed = span->speed > 0 ? span->speed : 100,
        .loops = MAX(span->loops, 1),
    };
    return say_card(cutter, &span->card, serial, error) &&
           say(cutter, &ask, sizeof ask, NULL, 0, error) &&
           say_drawings(cutter, span, serial, error);
}

/* Films that the spans left use get slots, in the order of first use. */
static bool say_films(Cutter *cutter, int *slots, GError **error)
{
    int used = 0;
    for (guint i = 0; i < cutter->films->len; i++) {
        slots[i] = -1;
    }
    for (int i = 0; i < cutter->n; i++) {
        const char *const paths[] = { cutter->spans[i].path, cutter->spans[i].beside };
        for (int j = 0; j < 2 && cutter->results[i].error == NULL; j++) {
            const int film =
                paths[j] != NULL ? rb_cutter_find_film(cutter, paths[j]) : -1;
            if (film < 0 || slots[film] >= 0) {
                continue;
            }
            if (used == RB_CUT_FILMS_MAX) {
                return rb_error_set(error, RB_FILM_ERROR, RB_FILM_ERROR_WRITE,
                                    "A cut-up of more than %d films cannot be one film; "
                                    "export a file for each clip.",
                                    RB_CUT_FILMS_MAX);
            }
            slots[film] = used++;
            if (!say_film(cutter, cutter->films->pdata[film], slots[film], error)) {
                return false;
            }
        }
    }
    return true;
}

bool rb_cutter_say_all(Cutter *cutter, GError **error)
{
    g_autofree int *slots = g_new(int, cutter->films->len);
    if (!say_start(cutter, error) || !say_films(cutter, slots, error)) {
        return false;
    }
    for (int i = 0; i < cutter->n; i++) {
        if (cutter->results[i].error == NULL && !say_span(cutter, i, slots, error)) {
            return false;
        }
    }
    const RbAskPlain finish = { .head = { RB_ASK_FINISH, sizeof finish, 0 } };
    return say(cutter, &finish, sizeof finish, NULL, 0, error);
}
