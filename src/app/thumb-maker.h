/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

/* Small stills for rows of a list, made one after the other on a thread of their own: what was
 * asked last comes first, since that is what came into view last. Main thread. */

/* Answers on the main thread, once. texture: borrowed, NULL: it cannot be had. */
typedef void (*RbThumbTold)(GdkTexture *texture, void *data);

/* What was made lately is there at once. Returns: (transfer full). */
GdkTexture *rb_thumb_maker_get(const char *film, int64_t frame);
/* Returns: a number for rb_thumb_maker_leave(), good until `told` is called; never 0. Never
 * answers before it returns. */
guint rb_thumb_maker_ask(const char *film, int64_t frame, RbThumbTold told, void *data);
/* It is no longer wanted: `told` will not be called. */
void rb_thumb_maker_leave(guint number);
/* At the end of the program: ends what runs. */
void rb_thumb_maker_end(void);
