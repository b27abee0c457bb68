/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "exchange-folder.h"

#include <errno.h>
#include <glib/gi18n-lib.h>
#include <glib/gstdio.h>

#include "rb/base/error.h"
#include "rb/work/error.h"

/* A library folder holds some hundred files; a hundred thousand is somebody's mistake. */
enum { FILES_MAX = 100000, BYTES_MAX = 512 * 1024 * 1024 };

static int by_place(gconstpointer left, gconstpointer right)
{
    const RbParcelRange *a = left;
    const RbParcelRange *b = right;
    if (a->laptop != b->laptop) {
        return a->laptop < b->laptop ? -1 : 1;
    }
    if (a->first != b->first) {
        return a->first < b->first ? -1 : 1;
    }
    return (a->last < b->last) - (a->last > b->last);
}

GArray *rb_folder_list(const char *folder, GError **error)
{
    g_autoptr(GError) failure = NULL;
    g_autoptr(GDir) dir = g_dir_open(folder, 0, &failure);
    if (dir == NULL) {
        g_autofree char *shown = g_filename_display_name(folder);
        rb_error_set(
            error, RB_WORK_ERROR, RB_WORK_ERROR_NOT_FOUND,
            _("The shared folder %s cannot be read; check that it exists, that the "
              "network or the stick is there, and that you may read it."),
            shown);
        return NULL;
    }
    GArray *ranges = g_array_new(FALSE, FALSE, sizeof(RbParcelRange));
    const char *name = NULL;
    while (ranges->len < FILES_MAX && (name = g_dir_read_name(dir)) != NULL) {
        RbParcelRange range;
        if (rb_parcel_file_name_parse(name, &range)) {
            g_array_append_val(ranges, range);
        }
    }
    g_array_sort(ranges, by_place);
    return ranges;
}

static char *path_of(const char *folder, const RbParcelRange *range)
{
    g_autofree char *name = rb_parcel_file_name(range);
    return g_build_filename(folder, name, NULL);
}

static bool refuse(GError **error, const char *path, const char *why)
{
    g_autofree char *shown = g_filename_display_basename(path);
    return rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE, _("The file %s %s."),
                        shown, why);
}

/* A plain file of a sensible size: nothing else is opened. */
static bool check_plain(const char *path, bool *gone, GError **error)
{
    GStatBuf info;
    if (g_lstat(path, &info) != 0) {
        *gone = errno == ENOENT;
        return !*gone && refuse(error, path, _("cannot be looked at; ask its owner"));
    }
    if (!S_ISREG(info.st_mode)) {
        return refuse(error, path, _("is not a plain file; remove it from the folder"));
    }
    if (info.st_size > BYTES_MAX) {
        return refuse(error, path, _("is too large to be somebody's work; remove it"));
    }
    return true;
}

RbParcel *rb_folder_read(const char *folder, const RbParcelRange *range, bool *gone,
                         GError **error)
{
    g_autofree char *path = path_of(folder, range);
    g_autofree char *data = NULL;
    gsize size = 0;
    *gone = false;
    if (!check_plain(path, gone, error)) {
        return NULL;
    }
    g_autoptr(GError) failure = NULL;
    if (!g_file_get_contents(path, &data, &size, &failure)) {
        *gone = g_error_matches(failure, G_FILE_ERROR, G_FILE_ERROR_NOENT);
        if (!*gone) {
            refuse(error, path, _("cannot be read; check the network or ask its owner"));
        }
        return NULL;
    }
    g_autoptr(GBytes) bytes = g_bytes_new_take(g_steal_pointer(&data), size);
    g_autofree char *shown = g_filename_display_basename(path);
    g_autoptr(RbParcel) parcel = rb_parcel_parse(bytes, shown, error);
    if (parcel == NULL) {
        return NULL;
    }
    const RbParcelRange inside = rb_parcel_range(parcel);
    if (by_place(&inside, range) != 0) {
        refuse(error, path,
               _("was renamed: it holds other work than its name says; ask for "
                 "it to be sent again"));
        return NULL;
    }
    return g_steal_pointer(&parcel);
}

bool rb_folder_write(const char *folder, const RbParcelRange *range, GBytes *bytes,
                     GError **error)
{
    g_autofree char *path = path_of(folder, range);
    gsize size = 0;
    const char *data = g_bytes_get_data(bytes, &size);
    g_autoptr(GError) failure = NULL;
    if (g_file_set_contents_full(path, data, (gssize)size,
                                 G_FILE_SET_CONTENTS_CONSISTENT |
                                     G_FILE_SET_CONTENTS_DURABLE,
                                 0660, &failure)) {
        return true;
    }
    g_autofree char *shown = g_filename_display_name(folder);
    return rb_error_set(
        error, RB_WORK_ERROR, RB_WORK_ERROR_FAILED,
        _("Your work could not be written to the shared folder %s; check "
          "that there is room and that you may write there, then send again."),
        shown);
}

bool rb_folder_remove(const char *folder, const RbParcelRange *range, GError **error)
{
    g_autofree char *path = path_of(folder, range);
    return g_unlink(path) == 0 || errno == ENOENT ||
           refuse(error, path,
                  _("is out of date but cannot be removed; remove it by hand"));
}
