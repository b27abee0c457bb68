/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gio/gio.h>
#include <stdio.h>

/* What --help says of the window, and its manual page, from one place. */
extern const char *const rb_manual_parameter;
extern const char *const rb_manual_summary;
extern const GOptionEntry rb_manual_entries[];

/* The page for man, with the keys of the desks as they are set. */
void rb_print_manual(FILE *out);
