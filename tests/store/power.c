/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "power.h"

#include <glib.h>
#include <sqlite3.h>
#include <string.h>

enum { PIECE = 512 };

/* One write that was not synced; a truncation has no data. */
typedef struct {
    int64_t at;
    GByteArray *data; /* nullable */
} Write;

typedef struct {
    GByteArray *synced;
    GPtrArray *pending; /* of Write */
} Shadow;

typedef struct {
    sqlite3_file base;
    Shadow *shadow;     /* borrowed from `shadows`; NULL: not watched */
    sqlite3_file *real; /* lies behind this struct */
} PowerFile;

static sqlite3_vfs *real_vfs;
static GHashTable *shadows; /* path to Shadow */
static PowerMoment on_moment;
static void *moment_data;

static void write_free(void *data)
{
    Write *write = data;
    if (write->data != NULL) {
        g_byte_array_unref(write->data);
    }
    g_free(write);
}

static void shadow_free(void *data)
{
    Shadow *shadow = data;
    g_byte_array_unref(shadow->synced);
    g_ptr_array_unref(shadow->pending);
    g_free(shadow);
}

static void put(GByteArray *bytes, int64_t at, const uint8_t *data, size_t size)
{
    const guint old = bytes->len;
    if (at + (int64_t)size > old) {
        g_byte_array_set_size(bytes, (guint)(at + (int64_t)size));
        memset(bytes->data + old, 0, bytes->len - old);
    }
    memcpy(bytes->data + at, data, size);
}

static void apply(GByteArray *bytes, const Write *write)
{
    if (write->data != NULL) {
        put(bytes, write->at, write->data->data, write->data->len);
    } else if (write->at < bytes->len) {
        g_byte_array_set_size(bytes, (guint)write->at);
    }
}

static void apply_torn(RbRandom *random, GByteArray *bytes, const Write *write)
{
    if (write->data == NULL) {
        apply(bytes, write);
        return;
    }
    for (guint from = 0; from < write->data->len; from += PIECE) {
        if (rb_random_chance(random, 0.5)) {
            put(bytes, write->at + from, write->data->data + from,
                MIN(PIECE, write->data->len - from));
        }
    }
}

static void write_image(RbRandom *random, PowerKind kind, const char *path,
                        const char *to)
{
    const Shadow *shadow = g_hash_table_lookup(shadows, path);
    if (shadow == NULL) {
        return;
    }
    g_autoptr(GByteArray) bytes = g_byte_array_new();
    g_byte_array_append(bytes, shadow->synced->data, shadow->synced->len);
    for (guint i = 0; kind != POWER_NONE && i < shadow->pending->len; i++) {
        const Write *write = g_ptr_array_index(shadow->pending, i);
        if (kind == POWER_TORN) {
            apply_torn(random, bytes, write);
        } else if (rb_random_chance(random, 0.5)) {
            apply(bytes, write);
        }
    }
    g_file_set_contents(to, (const char *)bytes->data, (gssize)bytes->len, NULL);
}

void power_image(RbRandom *random, PowerKind kind, const char *path, const char *to)
{
    g_autofree char *log = g_strconcat(path, "-wal", NULL);
    g_autofree char *log_to = g_strconcat(to, "-wal", NULL);
    write_image(random, kind, path, to);
    write_image(random, kind, log, log_to);
}

static void tell(void)
{
    if (on_moment != NULL) {
        on_moment(moment_data);
    }
}

#define REAL(file) (((PowerFile *)(file))->real)
#define METHODS(file) (REAL(file)->pMethods)

static int x_close(sqlite3_file *file)
{
    return METHODS(file)->xClose(REAL(file));
}

static int x_read(sqlite3_file *file, void *data, int size, sqlite3_int64 at)
{
    return METHODS(file)->xRead(REAL(file), data, size, at);
}

static void remember(sqlite3_file *file, int64_t at, const void *data, int size)
{
    Shadow *shadow = ((PowerFile *)file)->shadow;
    if (shadow == NULL) {
        return;
    }
    tell();
    Write *write = g_new0(Write, 1);
    write->at = at;
    if (data != NULL) {
        write->data = g_byte_array_new();
        g_byte_array_append(write->data, data, (guint)size);
    }
    g_ptr_array_add(shadow->pending, write);
}

static int x_write(sqlite3_file *file, const void *data, int size, sqlite3_int64 at)
{
    remember(file, at, data, size);
    return METHODS(file)->xWrite(REAL(file), data, size, at);
}

static int x_truncate(sqlite3_file *file, sqlite3_int64 size)
{
    remember(file, size, NULL, 0);
    return METHODS(file)->xTruncate(REAL(file), size);
}

static int x_sync(sqlite3_file *file, int flags)
{
    Shadow *shadow = ((PowerFile *)file)->shadow;
    if (shadow == NULL) {
        return METHODS(file)->xSync(REAL(file), flags);
    }
    tell();
    for (guint i = 0; i < shadow->pending->len; i++) {
        apply(shadow->synced, g_ptr_array_index(shadow->pending, i));
    }
    g_ptr_array_set_size(shadow->pending, 0);
    tell();
    return SQLITE_OK; /* the model is the disk, so the real one need not turn */
}

static int x_file_size(sqlite3_file *file, sqlite3_int64 *size)
{
    return METHODS(file)->xFileSize(REAL(file), size);
}

static int x_lock(sqlite3_file *file, int lock)
{
    return METHODS(file)->xLock(REAL(file), lock);
}

static int x_unlock(sqlite3_file *file, int lock)
{
    return METHODS(file)->xUnlock(REAL(file), lock);
}

static int x_check_lock(sqlite3_file *file, int *held)
{
    return METHODS(file)->xCheckReservedLock(REAL(file), held);
}

static int x_control(sqlite3_file *file, int op, void *argument)
{
    return METHODS(file)->xFileControl(REAL(file), op, argument);
}

static int x_sector(sqlite3_file *file)
{
    return METHODS(file)->xSectorSize(REAL(file));
}

static int x_device(sqlite3_file *file)
{
    return METHODS(file)->xDeviceCharacteristics(REAL(file));
}

static int x_shm_map(sqlite3_file *file, int page, int size, int extend,
                     void volatile **map)
{
    return METHODS(file)->xShmMap(REAL(file), page, size, extend, map);
}

static int x_shm_lock(sqlite3_file *file, int offset, int n, int flags)
{
    return METHODS(file)->xShmLock(REAL(file), offset, n, flags);
}

static void x_shm_barrier(sqlite3_file *file)
{
    METHODS(file)->xShmBarrier(REAL(file));
}

static int x_shm_unmap(sqlite3_file *file, int delete_it)
{
    return METHODS(file)->xShmUnmap(REAL(file), delete_it);
}

/* Version 2: with shared memory, without memory-mapped pages, which bypass writes. */
static const sqlite3_io_methods methods = {
    2,          x_close,       x_read,       x_write,   x_truncate, x_sync,   x_file_size,
    x_lock,     x_unlock,      x_check_lock, x_control, x_sector,   x_device, x_shm_map,
    x_shm_lock, x_shm_barrier, x_shm_unmap,  NULL,      NULL,
};

/* What lies in a file when it is opened is taken to be on the platter. */
static Shadow *watch(const char *path)
{
    Shadow *shadow = g_hash_table_lookup(shadows, path);
    if (shadow == NULL) {
        shadow = g_new0(Shadow, 1);
        shadow->synced = g_byte_array_new();
        shadow->pending = g_ptr_array_new_with_free_func(write_free);
        g_autofree char *data = NULL;
        gsize size = 0;
        if (g_file_get_contents(path, &data, &size, NULL)) {
            g_byte_array_append(shadow->synced, (const guint8 *)data, (guint)size);
        }
        g_hash_table_insert(shadows, g_strdup(path), shadow);
    }
    return shadow;
}

static int x_open(sqlite3_vfs *vfs, const char *path, sqlite3_file *file, int flags,
                  int *out_flags)
{
    (void)vfs;
    PowerFile *power = (PowerFile *)file;
    memset(power, 0, sizeof *power);
    power->real = (sqlite3_file *)(power + 1);
    const int code = real_vfs->xOpen(real_vfs, path, power->real, flags, out_flags);
    if (code == SQLITE_OK || power->real->pMethods != NULL) {
        power->base.pMethods = &methods;
    }
    if (code == SQLITE_OK && (flags & (SQLITE_OPEN_MAIN_DB | SQLITE_OPEN_WAL)) != 0) {
        power->shadow = watch(path);
    }
    return code;
}

static int x_delete(sqlite3_vfs *vfs, const char *path, int sync_folder)
{
    (void)vfs;
    g_hash_table_remove(shadows, path);
    return real_vfs->xDelete(real_vfs, path, sync_folder);
}

void power_install(PowerMoment moment, void *data)
{
    static sqlite3_vfs vfs;
    on_moment = moment;
    moment_data = data;
    real_vfs = sqlite3_vfs_find(NULL);
    shadows = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, shadow_free);
    /* The unix methods that are not replaced do not look at which VFS they belong to. */
    vfs = *real_vfs;
    vfs.zName = "power";
    vfs.pNext = NULL;
    vfs.szOsFile = (int)sizeof(PowerFile) + real_vfs->szOsFile;
    vfs.xOpen = x_open;
    vfs.xDelete = x_delete;
    sqlite3_vfs_register(&vfs, 0);
}
