/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "index-cache.h"

#include <glib/gstdio.h>
#include <string.h>
#include <sys/stat.h>

#include "rb/film/fingerprint.h"

#define MAGIC UINT32_C(0x43494252)
#define FORMAT 3

typedef struct {
    uint32_t magic;
    uint32_t format;
    uint32_t library_version;
    uint32_t n_doubts;
    int64_t bytes;
    int64_t changed_ns;
    char fingerprint[72];
    uint8_t sum[32]; /* SHA-256 of everything after this head */
} Head;

static void sum_of(const uint8_t *bytes, size_t n, uint8_t sum[32])
{
    g_autoptr(GChecksum) checksum = g_checksum_new(G_CHECKSUM_SHA256);
    g_checksum_update(checksum, bytes, (gssize)n);
    gsize size = 32;
    g_checksum_get_digest(checksum, sum, &size);
}

GByteArray *rb_index_cache_format(const RbIndexKey *key, const RbIndexDoubts *doubts,
                                  const uint8_t *body, size_t n)
{
    Head head = {
        .magic = MAGIC,
        .format = FORMAT,
        .library_version = key->library_version,
        .n_doubts = (uint32_t)doubts->n,
        .bytes = key->bytes,
        .changed_ns = key->changed_ns,
    };
    memcpy(head.fingerprint, key->fingerprint, sizeof head.fingerprint);
    GByteArray *file = g_byte_array_new();
    g_byte_array_append(file, (const guint8 *)&head, sizeof head);
    g_byte_array_append(file, (const guint8 *)doubts->doubts,
                        (guint)((size_t)doubts->n * sizeof doubts->doubts[0]));
    g_byte_array_append(file, body, (guint)n);
    sum_of(file->data + sizeof head, file->len - sizeof head, head.sum);
    memcpy(file->data, &head, sizeof head);
    return file;
}

static bool head_fits(const Head *head, const RbIndexKey *key)
{
    return head->magic == MAGIC && head->format == FORMAT &&
           head->n_doubts <= RB_INDEX_DOUBTS_MAX &&
           head->library_version == key->library_version && head->bytes == key->bytes &&
           head->changed_ns == key->changed_ns &&
           memcmp(head->fingerprint, key->fingerprint, sizeof head->fingerprint) == 0;
}

RbIndex *rb_index_cache_parse(const uint8_t *bytes, size_t n, const RbIndexKey *key,
                              RbIndexDoubts *doubts)
{
    Head head;
    if (n < sizeof head) {
        return NULL;
    }
    memcpy(&head, bytes, sizeof head);
    const size_t doubt_bytes = (size_t)head.n_doubts * sizeof doubts->doubts[0];
    if (!head_fits(&head, key) || n - sizeof head < doubt_bytes) {
        return NULL;
    }
    uint8_t sum[32];
    sum_of(bytes + sizeof head, n - sizeof head, sum);
    if (memcmp(sum, head.sum, sizeof sum) != 0) {
        return NULL;
    }
    memset(doubts, 0, sizeof *doubts);
    doubts->n = (int)head.n_doubts;
    memcpy(doubts->doubts, bytes + sizeof head, doubt_bytes);
    for (int i = 0; i < doubts->n; i++) {
        RbTell tell;
        const uint8_t *part = NULL;
        size_t part_bytes = 0;
        if (!rb_tell_check(&doubts->doubts[i], sizeof doubts->doubts[i], &tell, &part,
                           &part_bytes) ||
            tell.head.kind != RB_TELL_DOUBT) {
            return NULL;
        }
    }
    return rb_index_from_bytes(bytes + sizeof head + doubt_bytes,
                               n - sizeof head - doubt_bytes);
}

char *rb_index_cache_path(const RbIndexKey *key)
{
    g_autofree char *name = g_strndup(strchr(key->fingerprint, ':') + 1, 40);
    return g_build_filename(g_get_user_cache_dir(), "readbreak", "index", name, NULL);
}

RbIndex *rb_index_cache_load(const RbIndexKey *key, RbIndexDoubts *doubts)
{
    g_assert(rb_film_fingerprint_is_valid(key->fingerprint));
    g_autofree char *path = rb_index_cache_path(key);
    g_autofree char *bytes = NULL;
    size_t n = 0;
    if (!g_file_get_contents(path, &bytes, &n, NULL)) {
        return NULL;
    }
    RbIndex *index = rb_index_cache_parse((const uint8_t *)bytes, n, key, doubts);
    if (index != NULL) {
        g_utime(path, NULL); /* now; if not, it only goes sooner */
    }
    return index;
}

typedef struct {
    char *path; /* owned */
    int64_t bytes;
    int64_t used_ns;
} Kept;

static void clear_kept(void *data)
{
    g_free(((Kept *)data)->path);
}

static int by_use(const void *a, const void *b)
{
    const Kept *x = a;
    const Kept *y = b;
    return (x->used_ns > y->used_ns) - (x->used_ns < y->used_ns);
}

void rb_index_cache_trim(const char *folder, int64_t limit)
{
    g_autoptr(GDir) dir = g_dir_open(folder, 0, NULL);
    g_autoptr(GArray) files = g_array_new(FALSE, FALSE, sizeof(Kept));
    g_array_set_clear_func(files, clear_kept);
    int64_t all = 0;
    const char *name = NULL;
    while (dir != NULL && (name = g_dir_read_name(dir)) != NULL) {
        Kept kept = { .path = g_build_filename(folder, name, NULL) };
        struct stat facts;
        if (lstat(kept.path, &facts) != 0 || !S_ISREG(facts.st_mode)) {
            g_free(kept.path);
            continue;
        }
        kept.bytes = facts.st_size;
        kept.used_ns = (int64_t)facts.st_mtim.tv_sec * 1000000000 + facts.st_mtim.tv_nsec;
        all += kept.bytes;
        g_array_append_val(files, kept);
    }
    g_array_sort(files, by_use);
    for (guint i = 0; i + 1 < files->len && all > limit; i++) {
        const Kept *kept = &g_array_index(files, Kept, i);
        all -= g_unlink(kept->path) == 0 ? kept->bytes : 0;
    }
}

/* What a failing drive did not give it may give another time. */
static bool is_for_now(const RbIndexDoubts *doubts)
{
    for (int i = 0; i < doubts->n; i++) {
        if (doubts->doubts[i].doubt == RB_DOUBT_READ) {
            return true;
        }
    }
    return false;
}

void rb_index_cache_save(const RbIndexKey *key, const RbIndexDoubts *doubts,
                         const uint8_t *body, size_t n)
{
    g_assert(rb_film_fingerprint_is_valid(key->fingerprint));
    if (is_for_now(doubts)) {
        return;
    }
    g_autofree char *path = rb_index_cache_path(key);
    g_autofree char *folder = g_path_get_dirname(path);
    g_autoptr(GByteArray) file = rb_index_cache_format(key, doubts, body, n);
    /* Written under another name and renamed, so a reader never sees half of it. */
    if (g_mkdir_with_parents(folder, 0700) != 0 ||
        !g_file_set_contents(path, (const char *)file->data, (gssize)file->len, NULL)) {
        g_debug("the index of a film could not be kept in %s", folder);
    }
    rb_index_cache_trim(folder, RB_INDEX_CACHE_BYTES);
}
