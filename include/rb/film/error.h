/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

/* Errors about one film. Every message is one sentence with the film's name, what is wrong and
 * what to do, fit to be shown as it is. */
#define RB_FILM_ERROR (rb_film_error_quark())

typedef enum {
    RB_FILM_ERROR_MISSING,    /* no such file: it moved, or the drive is not connected */
    RB_FILM_ERROR_PERMISSION, /* the file may not be read (or, for a writer, written) */
    RB_FILM_ERROR_NOT_A_FILE, /* a directory, a pipe, a device */
    RB_FILM_ERROR_EMPTY,      /* zero bytes */
    RB_FILM_ERROR_NOT_A_FILM, /* readable, but no film in it */
    RB_FILM_ERROR_UNFINISHED, /* a recording without its closing index */
    RB_FILM_ERROR_NO_VIDEO,   /* sound only */
    RB_FILM_ERROR_NO_DECODER, /* a kind of video this program cannot decode */
    RB_FILM_ERROR_NO_PICTURE, /* video, but not one whole picture */
    RB_FILM_ERROR_RANGE,      /* no frame of that number */
    RB_FILM_ERROR_DAMAGED,    /* this frame cannot be shown */
    RB_FILM_ERROR_READ,       /* the medium failed while reading (drive unplugged) */
    RB_FILM_ERROR_HELPER,     /* the decoding helper cannot be started, or died */
    RB_FILM_ERROR_TIMEOUT,    /* a waiting call took longer than it was given */
    RB_FILM_ERROR_WRITE,      /* the film could not be written */
    RB_FILM_ERROR_FAILED,
} RbFilmError;

GQuark rb_film_error_quark(void);
