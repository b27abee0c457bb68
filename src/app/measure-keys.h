/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "rb/work/fieldwork.h"

/* What measure mode does by key and by button: the same tables for both. */

typedef struct {
    guint keyval;
    const char
        *key; /* as a person reads it; to be translated where `keyval` is a named key */
    const char *token; /* of the action "measure.take" or "measure.mark" */
    const char *label; /* to be translated */
} RbMeasureCommand;

/* Returns: (transfer none): ends with an entry without a token. */
const RbMeasureCommand *rb_measure_takes(void);
const RbMeasureCommand *rb_measure_marks(void);

/* Chooses what is measured; another mark or landmark. False when the token is none of them. */
bool rb_measure_take(RbFieldwork *work, const char *token);
bool rb_measure_mark(RbFieldwork *work, const char *token);
/* The key of one of them. False when it is none. */
bool rb_measure_key(RbFieldwork *work, guint keyval);
