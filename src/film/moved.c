/* SPDX-License-Identifier: GPL-3.0-or-later */
#define _GNU_SOURCE /* dirent types */
#include <dirent.h>
#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include "rb/base/error.h"
#include "rb/film/error.h"
#include "rb/film/fingerprint.h"

/* Deeper folders are somebody's backup of backups. */
#define DEPTH_MAX 24

typedef struct {
    const char *fingerprint;
    int64_t bytes;
    RbCancel *cancel;
    RbProgress *progress;
    char *found; /* owned */
} Search;

/* Only a file of the right size is worth reading. */
static void look_at_file(Search *search, const char *path, const struct stat *now)
{
    if (now->st_size != search->bytes) {
        return;
    }
    g_autofree char *its =
        rb_film_fingerprint(path, NULL, search->cancel, NULL); /* unreadable: not it */
    if (g_strcmp0(its, search->fingerprint) == 0) {
        search->found = g_strdup(path);
    }
}

static void look_in_folder(Search *search, const char *path, int depth)
{
    DIR *dir = opendir(path);
    if (dir == NULL) {
        return;
    }
    g_autofree char *shown = g_filename_display_name(path);
    rb_progress_set(search->progress, -1.0, shown);
    const struct dirent *entry = NULL;
    while (search->found == NULL && !rb_cancel_is_cancelled(search->cancel) &&
           (entry = readdir(dir)) != NULL) {
        if (g_str_equal(entry->d_name, ".") || g_str_equal(entry->d_name, "..")) {
            continue;
        }
        struct stat now;
        if (fstatat(dirfd(dir), entry->d_name, &now, AT_SYMLINK_NOFOLLOW) != 0) {
            continue;
        }
        g_autofree char *child = g_build_filename(path, entry->d_name, NULL);
        if (S_ISREG(now.st_mode)) {
            look_at_file(search, child, &now);
        } else if (S_ISDIR(now.st_mode) && depth < DEPTH_MAX) {
            look_in_folder(search, child, depth + 1);
        }
    }
    closedir(dir);
}

char *rb_film_find_moved(const char *fingerprint, int64_t bytes,
                         const char *const *folders, RbCancel *cancel,
                         RbProgress *progress, GError **error)
{
    if (!rb_film_fingerprint_is_valid(fingerprint)) {
        rb_error_set(
            error, RB_FILM_ERROR, RB_FILM_ERROR_FAILED,
            "The library has no usable fingerprint of this film; choose the film "
            "by hand.");
        return NULL;
    }
    Search search = {
        .fingerprint = fingerprint, .bytes = bytes, .cancel = cancel, .progress = progress
    };
    for (const char *const *folder = folders; *folder != NULL && search.found == NULL;
         folder++) {
        look_in_folder(&search, *folder, 0);
    }
    if (search.found == NULL) {
        rb_cancel_check(cancel, error);
    }
    return search.found;
}
