/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>

/* Errors of every part are GError; each part has its own domain with codes only for what a
 * caller tells apart. A message is one sentence for a person: what happened, to which file
 * or snap, and what to do. It is translated here: what is passed is the English one, a literal, which
 * the list of translations finds by the name of the function (po/meson.build). */

#define RB_BASE_ERROR (rb_base_error_quark())

typedef enum {
    RB_BASE_ERROR_CANCELLED, /* the work was cancelled; never shown as a fault */
    RB_BASE_ERROR_FAILED,
    RB_BASE_ERROR_RANGE, /* a number does not fit where it must go */
} RbBaseError;

GQuark rb_base_error_quark(void);

/* Sets `error` from an errno value that the caller captured before anything else could
 * change it. The message is "<formatted text>: <system's words>". Always returns false, so
 * that it can end a function: return rb_error_errno(error, …). */
bool rb_error_errno(GError **error, GQuark domain, int code, int errnum,
                    const char *format, ...) G_GNUC_PRINTF(5, 6);

/* Sets `error` and returns false: return rb_error_set(error, DOMAIN, CODE, "…"). */
bool rb_error_set(GError **error, GQuark domain, int code, const char *format, ...)
    G_GNUC_PRINTF(4, 5);

/* True if `error` says that the work was cancelled. */
bool rb_error_is_cancelled(const GError *error);
