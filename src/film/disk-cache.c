/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "disk-cache.h"

#include <glib/gstdio.h>
#include <sys/stat.h>
#include <utime.h>

typedef struct {
    char *path; /* owned */
    int64_t bytes;
    int64_t used_s; /* when it was used last */
} Copy;

static void copy_clear(void *data)
{
    g_free(((Copy *)data)->path);
}

static int by_use(const void *a, const void *b)
{
    const int64_t x = ((const Copy *)a)->used_s;
    const int64_t y = ((const Copy *)b)->used_s;
    return (x > y) - (x < y);
}

char *rb_disk_cache_folder(const char *name)
{
    return g_build_filename(g_get_user_cache_dir(), "readbreak", name, NULL);
}

void rb_disk_cache_touch(const char *path)
{
    utime(path, NULL); /* refused: it only goes sooner */
}

/* Longest unused first. */
static GArray *list_copies(const char *folder, const char *suffix, int64_t *total)
{
    GArray *copies = g_array_new(FALSE, FALSE, sizeof(Copy));
    g_array_set_clear_func(copies, copy_clear);
    g_autoptr(GDir) dir = g_dir_open(folder, 0, NULL);
    const char *name = NULL;
    *total = 0;
    while (dir != NULL && (name = g_dir_read_name(dir)) != NULL) {
        Copy copy = { .path = g_build_filename(folder, name, NULL) };
        GStatBuf facts;
        if (!g_str_has_suffix(name, suffix) || g_stat(copy.path, &facts) != 0) {
            g_free(copy.path);
            continue;
        }
        copy.bytes = facts.st_size;
        copy.used_s = facts.st_mtime;
        *total += copy.bytes;
        g_array_append_val(copies, copy);
    }
    g_array_sort(copies, by_use);
    return copies;
}

int64_t rb_disk_cache_prune(const char *folder, const char *suffix, int64_t budget,
                            const char *keep)
{
    int64_t total = 0;
    g_autoptr(GArray) copies = list_copies(folder, suffix, &total);
    for (guint i = 0; i < copies->len && total > budget; i++) {
        const Copy *copy = &g_array_index(copies, Copy, i);
        if (g_strcmp0(copy->path, keep) != 0 && g_unlink(copy->path) == 0) {
            total -= copy->bytes;
        }
    }
    return total;
}
