/* SPDX-License-Identifier: GPL-3.0-or-later */
#define _XOPEN_SOURCE 700 /* realpath() */
#include "place.h"

#include <errno.h>
#include <fcntl.h>
#include <glib/gstdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/vfs.h>
#include <unistd.h>

#include "rb/base/error.h"
#include "rb/store/error.h"

#include "store-private.h"

/* The database header: SQLite, "Database File Format", section 1.3. */
enum {
    HEADER_SIZE = 100,
    AT_PAGE_SIZE = 16,
    AT_CHANGES = 24,
    AT_PAGES = 28,
    AT_USER_VERSION = 60,
    AT_APPLICATION_ID = 68,
    AT_PAGES_VALID_FOR = 92,
};

static bool refuse_errno(GError **error, int errnum, const char *path)
{
    g_autofree char *name = g_filename_display_name(path);
    switch (errnum) {
    case ENOENT:
    case ENOTDIR:
        return rb_error_set(
            error, RB_STORE_ERROR, RB_STORE_ERROR_MISSING,
            "There is no library %s; check the name and that its drive is "
            "connected.",
            name);
    case EACCES:
    case EPERM:
        return rb_error_set(error, RB_STORE_ERROR, RB_STORE_ERROR_PERMISSION,
                            "You are not allowed to open the library %s; ask its owner.",
                            name);
    default:
        return rb_error_errno(error, RB_STORE_ERROR, RB_STORE_ERROR_FAILED, errnum,
                              "The library %s cannot be opened", name);
    }
}

const char *rb_place_network_name(uint64_t type)
{
    /* statfs(2), Linux manual pages. FUSE is not among them: it also carries local disks. */
    static const struct {
        uint64_t type;
        const char *name;
    } network[] = {
        { 0x6969, "NFS" },        { 0x517b, "SMB" },      { 0xff534d42, "SMB" },
        { 0xfe534d42, "SMB" },    { 0x564c, "NCP" },      { 0x5346414f, "AFS" },
        { 0x6b414653, "AFS" },    { 0x73757245, "Coda" }, { 0x01021997, "9P" },
        { 0x00c36400, "Ceph" },   { 0x01161970, "GFS2" }, { 0x7461636f, "OCFS2" },
        { 0x0bd00bd0, "Lustre" }, { 0x47504653, "GPFS" },
    };
    for (size_t i = 0; i < G_N_ELEMENTS(network); i++) {
        if (network[i].type == (type & 0xffffffff)) {
            return network[i].name;
        }
    }
    return NULL;
}

/* existing: the file, or the folder of one to come. */
static bool check_local(const char *existing, const char *path, GError **error)
{
    struct statfs where;
    if (statfs(existing, &where) != 0) {
        return refuse_errno(error, errno, path);
    }
    const char *network = rb_place_network_name((uint64_t)where.f_type);
    if (network == NULL) {
        return true;
    }
    g_autofree char *name = g_filename_display_name(path);
    return rb_error_set(error, RB_STORE_ERROR, RB_STORE_ERROR_NETWORK,
                        "The library %s lies on a network drive (%s), where it would be "
                        "damaged sooner or later; keep it on this computer's own disk.",
                        name, network);
}

static uint32_t big_endian(const uint8_t *at)
{
    return (uint32_t)at[0] << 24 | (uint32_t)at[1] << 16 | (uint32_t)at[2] << 8 | at[3];
}

static bool check_header(const uint8_t *header, int64_t size, const char *path,
                         int version, GError **error)
{
    g_autofree char *name = g_filename_display_name(path);
    static const char magic[16] = "SQLite format 3";
    if (memcmp(header, magic, sizeof magic) != 0 ||
        big_endian(header + AT_APPLICATION_ID) != RB_APPLICATION_ID) {
        return rb_error_set(
            error, RB_STORE_ERROR, RB_STORE_ERROR_NOT_LIBRARY,
            "The file %s is not a Readbreak library; choose one that ends in "
            ".readbreak.",
            name);
    }
    if (big_endian(header + AT_USER_VERSION) > (uint32_t)version) {
        return rb_error_set(
            error, RB_STORE_ERROR, RB_STORE_ERROR_NEWER,
            "The library %s was made by a newer version of Readbreak; install "
            "that version to open it.",
            name);
    }
    /* A file cut short. With a write-ahead log beside it, the engine has to judge. */
    const int64_t page = header[AT_PAGE_SIZE] << 8 | header[AT_PAGE_SIZE + 1];
    const int64_t pages = big_endian(header + AT_PAGES);
    const bool valid =
        big_endian(header + AT_CHANGES) == big_endian(header + AT_PAGES_VALID_FOR);
    g_autofree char *log = g_strconcat(path, "-wal", NULL);
    if (valid && size < pages * (page == 1 ? 65536 : page) &&
        !g_file_test(log, G_FILE_TEST_EXISTS)) {
        return rb_error_set(
            error, RB_STORE_ERROR, RB_STORE_ERROR_DAMAGED,
            "The library %s is damaged (its end is missing); keep the file and "
            "restore the newest backup under another name.",
            name);
    }
    return true;
}

bool rb_place_check_library(const char *path, int version, GError **error)
{
    g_autofree char *name = g_filename_display_name(path);
    struct stat info;
    if (stat(path, &info) != 0) {
        return refuse_errno(error, errno, path);
    }
    if (!S_ISREG(info.st_mode)) {
        return rb_error_set(error, RB_STORE_ERROR, RB_STORE_ERROR_NOT_FILE,
                            "%s is %s; choose a file that ends in .readbreak.", name,
                            S_ISDIR(info.st_mode) ? "a folder" : "a device or a pipe");
    }
    if (!check_local(path, path, error)) {
        return false;
    }
    const int fd = open(path, O_RDONLY | O_CLOEXEC | O_NONBLOCK);
    if (fd < 0) {
        return refuse_errno(error, errno, path);
    }
    uint8_t header[HEADER_SIZE] = { 0 };
    const ssize_t got = pread(fd, header, sizeof header, 0);
    const int errnum = errno;
    close(fd);
    if (got < 0) {
        return refuse_errno(error, errnum, path);
    }
    return check_header(header, info.st_size, path, version, error);
}

static bool check_access(const char *path, const char *library, GError **error)
{
    g_autofree char *name = g_filename_display_name(library);
    if (access(path, W_OK) == 0) {
        return true;
    }
    const int errnum = errno;
    if (errnum == ENOENT) {
        return refuse_errno(error, errnum, library);
    }
    return rb_error_set(
        error, RB_STORE_ERROR, RB_STORE_ERROR_READ_ONLY,
        "The library %s can be read but not changed, because you may not write "
        "there; copy it to a place where you may.",
        name);
}

bool rb_place_check_writable(const char *path, GError **error)
{
    g_autofree char *folder = g_path_get_dirname(path);
    return check_access(path, path, error) && check_access(folder, path, error);
}

bool rb_place_check_free(const char *path, GError **error)
{
    g_autofree char *name = g_filename_display_name(path);
    struct stat info;
    if (lstat(path, &info) == 0) {
        return rb_error_set(error, RB_STORE_ERROR, RB_STORE_ERROR_EXISTS,
                            "%s is there already; choose another name.", name);
    }
    if (errno == EACCES) {
        return refuse_errno(error, EACCES, path);
    }
    g_autofree char *folder = g_path_get_dirname(path);
    if (!g_file_test(folder, G_FILE_TEST_IS_DIR)) {
        return rb_error_set(error, RB_STORE_ERROR, RB_STORE_ERROR_MISSING,
                            "There is no folder for %s; make it first.", name);
    }
    if (access(folder, W_OK) != 0) {
        return rb_error_set(
            error, RB_STORE_ERROR, RB_STORE_ERROR_PERMISSION,
            "You are not allowed to make %s in that folder; choose another.", name);
    }
    return check_local(folder, path, error);
}

char *rb_place_identity(const char *path)
{
    struct stat info;
    if (stat(path, &info) != 0) {
        memset(&info, 0, sizeof info);
    }
    /* machine-id(5): unique to the installation; hashed, since it is not to be shown. */
    g_autofree char *machine = NULL;
    if (!g_file_get_contents("/etc/machine-id", &machine, NULL, NULL)) {
        machine = g_strdup("");
    }
    g_autofree char *text =
        g_strdup_printf("readbreak:%s:%" G_GUINT64_FORMAT, machine, (guint64)info.st_ino);
    return g_compute_checksum_for_string(G_CHECKSUM_SHA256, text, -1);
}

char *rb_place_resolve(const char *path)
{
    char *real = realpath(path, NULL);
    char *full = real != NULL ? g_strdup(real) : g_canonicalize_filename(path, NULL);
    free(real);
    return full;
}

/* Until its folder is on the disk, a new name can be lost with the power. */
static void sync_folder_of(const char *path)
{
    g_autofree char *folder = g_path_get_dirname(path);
    const int fd = open(folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (fd >= 0) {
        fsync(fd); /* some file systems cannot; there is nothing better */
        close(fd);
    }
}

bool rb_place_rename_new(const char *from, const char *to, GError **error)
{
    g_autofree char *name = g_filename_display_name(to);
    if (link(from, to) == 0) {
        g_unlink(from);
        sync_folder_of(to);
        return true;
    }
    const int errnum = errno;
    /* A memory stick's file system has no second names: the best left is to look first. */
    if (errnum != EEXIST && !g_file_test(to, G_FILE_TEST_EXISTS) &&
        g_rename(from, to) == 0) {
        sync_folder_of(to);
        return true;
    }
    if (errnum == EEXIST || g_file_test(to, G_FILE_TEST_EXISTS)) {
        return rb_error_set(error, RB_STORE_ERROR, RB_STORE_ERROR_EXISTS,
                            "%s is there already; choose another name.", name);
    }
    return refuse_errno(error, errnum, to);
}
