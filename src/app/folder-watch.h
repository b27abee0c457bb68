/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

/* Looks at a folder of films every few seconds, on a worker, and tells when what is in it or in its
 * folders is another than it was and nothing has changed for a look more: a film that is being copied
 * in grows for a while. It looks instead of asking the system to be told, since a system tells nothing
 * of what another machine puts into a shared folder, and has few places for those who ask. */
typedef struct RbFolderWatch RbFolderWatch;

/* changed: on the main loop, also when the folder has gone. Returns: (transfer full). */
RbFolderWatch *rb_folder_watch_new(const char *folder, void (*changed)(void *data),
                                   void *data);
void rb_folder_watch_free(RbFolderWatch *watch); /* NULL is allowed */
