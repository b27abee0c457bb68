/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

#define RB_STORE_ERROR (rb_store_error_quark())

/* What a caller tells apart. Each message is a whole sentence that names the file. */
typedef enum {
    RB_STORE_ERROR_MISSING,     /* no such file */
    RB_STORE_ERROR_PERMISSION,  /* the system does not let this person read it */
    RB_STORE_ERROR_NOT_FILE,    /* a folder, a pipe, a device */
    RB_STORE_ERROR_NOT_LIBRARY, /* some other kind of file, or an empty one */
    RB_STORE_ERROR_NEWER,       /* made by a newer version of the program */
    RB_STORE_ERROR_READ_ONLY,   /* can be read but not changed */
    RB_STORE_ERROR_LOCKED,      /* another program holds it */
    RB_STORE_ERROR_DAMAGED,
    RB_STORE_ERROR_FULL,    /* the disk */
    RB_STORE_ERROR_EXISTS,  /* something with that name is there already */
    RB_STORE_ERROR_NETWORK, /* on a network file system, where it would be damaged */
    RB_STORE_ERROR_UNKNOWN, /* no such snap, player, action … in the library */
    RB_STORE_ERROR_NOTHING, /* nothing to undo or redo */
    RB_STORE_ERROR_FAILED,  /* anything else, with the engine's own words */
} RbStoreError;

GQuark rb_store_error_quark(void);
