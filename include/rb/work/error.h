/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

/* Errors of the use cases. Those of the parts below pass through unchanged. */
#define RB_WORK_ERROR (rb_work_error_quark())

typedef enum {
    RB_WORK_ERROR_NOT_FOUND, /* no such game, snap, concept, word of the vocabulary… */
    RB_WORK_ERROR_VALUE,     /* a value that the field does not take */
    RB_WORK_ERROR_EXISTS,    /* a file is in the way */
    RB_WORK_ERROR_FAILED,
} RbWorkError;

GQuark rb_work_error_quark(void);
