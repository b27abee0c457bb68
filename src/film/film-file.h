/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>
#include <stdint.h>

/* A film's file as the parent knows it, before any helper sees it. */
typedef struct {
    int fd; /* owned; -1: none */
    int64_t bytes;
    int64_t changed_ns; /* time of last change */
} RbFilmFile;

/* The file's name for a sentence: without its folders, always UTF-8, on one line and in one
 * direction, whatever the name contains. Returns: (transfer full). */
char *rb_film_name(const char *path);

/* Opens for reading without ever blocking on a pipe, and makes sure that it is a regular file
 * with something in it. */
bool rb_film_file_open(const char *path, RbFilmFile *file, GError **error);
void rb_film_file_close(RbFilmFile *file);

/* Whether all that was there at opening still is: false when something was cut off the film since, or
 * its drive no longer answers. A film that has grown is whole. */
bool rb_film_file_is_whole(const RbFilmFile *file, const char *name, GError **error);

/* Reads n bytes at `at`; false with errno 0 if the file ends before. */
bool rb_film_file_read(int fd, void *buffer, size_t n, int64_t at);
