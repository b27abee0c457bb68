/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

/* Where the program's own files are: in the folder it was installed to, wherever that was moved
 * since, else where it was configured to lie. */

/* below: a path inside the folder installed to: "share/locale". configured: where it lies if
 * nothing was moved, and the answer when it is not beside the program. Returns: (transfer full). */
char *rb_installed_path(const char *below, const char *configured);
/* The same of a program that is named. */
char *rb_installed_path_of(const char *program, const char *below,
                           const char *configured);
