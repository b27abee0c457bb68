/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

/* The language of whoever runs the program. */

/* What main() does before anything else: the locale of the environment, and texts in its language from
 * where the program is installed, or from its build folder. */
void rb_locale_start(void);

/* The folder with the translations for a program at that path. Returns: (transfer full). */
char *rb_locale_folder_of(const char *program);
