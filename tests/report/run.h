/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

/* Runs a program on the running test's files; it must succeed. Returns: (transfer full): its
 * output. */
char *rb_run(const char *format, ...) G_GNUC_PRINTF(1, 2);
