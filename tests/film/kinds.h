/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>

#include "rb/film/picture.h"

/* Films of one kind each, made for a test by ffmpeg's command line, and the check that every
 * frame of one is what it should be in every order. */

#define KIND_FRAMES 75

typedef struct {
    const char *name;
    const char *encode; /* arguments of ffmpeg between the raw frames and the film */
    const char *again;  /* nullable: a second ffmpeg: "BEFORE|AFTER" the input */
    int first;          /* number drawn into the first frame shown */
    int frames;         /* 0: all */
    bool codes_only;    /* not 4:2:0 with 8 bits: judged by the numbers alone */
} Kind;

/* Returns: (transfer full): its path. */
char *kind_make(const Kind *kind);
/* Encodes frames `first` to `first + n - 1` of `width` by `height`. Returns: (transfer full). */
char *kind_make_part(const char *name, int width, int height, int first, int n,
                     const char *encode);
/* Runs ffmpeg with these words; fails the test if it fails. Words are split at blanks. */
void kind_run(const char *before, const char *input, const char *after,
              const char *output);
/* MD5 of each frame as ffmpeg decodes them straight, in its own pixel format; `path` is not
 * altered. Returns: (transfer full). */
GStrv kind_md5s(const char *path);
/* The same of a 4:2:0 picture. Returns: (transfer full). */
char *kind_md5_of(const RbPicture *picture);
/* Opens the film and checks every frame forward, backward and shuffled. */
void kind_check(const Kind *kind, const char *path);
