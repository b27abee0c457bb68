/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/base/ids.h"

#include <errno.h>
#include <glib.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>
#include <sys/random.h>

static int64_t id_from_bits(uint64_t bits)
{
    const int64_t id = (int64_t)(bits >> 1);
    return id != 0 ? id : 1;
}

int64_t rb_id_random(void)
{
    uint64_t bits = 0;
    size_t have = 0;
    while (have < sizeof bits) {
        const ssize_t got = getrandom((char *)&bits + have, sizeof bits - have, 0);
        if (got < 0 && errno != EINTR) {
            g_error("The system has no random numbers: %s", g_strerror(errno));
        }
        have += got > 0 ? (size_t)got : 0;
    }
    return id_from_bits(bits);
}

static void feed(GChecksum *sum, const char *part)
{
    g_autofree char *length = g_strdup_printf("%zu:", strlen(part));
    g_checksum_update(sum, (const guchar *)length, -1);
    g_checksum_update(sum, (const guchar *)part, -1);
}

static int64_t finish(GChecksum *sum)
{
    uint8_t digest[32];
    gsize size = sizeof digest;
    g_checksum_get_digest(sum, digest, &size);
    uint64_t bits = 0;
    for (int i = 0; i < 8; i++) {
        bits = bits << 8 | digest[i];
    }
    return id_from_bits(bits);
}

int64_t rb_id_from_text(const char *part, ...)
{
    g_autoptr(GChecksum) sum = g_checksum_new(G_CHECKSUM_SHA256);
    va_list args;
    va_start(args, part);
    for (; part != NULL; part = va_arg(args, const char *)) {
        feed(sum, part);
    }
    va_end(args);
    return finish(sum);
}

int64_t rb_id_from_pair(const char *kind, int64_t a, int64_t b)
{
    g_autofree char *first = g_strdup_printf("%" G_GINT64_FORMAT, a);
    g_autofree char *second = g_strdup_printf("%" G_GINT64_FORMAT, b);
    return rb_id_from_text(kind, first, second, NULL);
}

bool rb_id_parse(const char *text, int64_t *id)
{
    if (text == NULL || text[0] < '1' || text[0] > '9') {
        return false;
    }
    char *end = NULL;
    errno = 0;
    const long long value = strtoll(text, &end, 10);
    if (errno != 0 || *end != '\0' || value <= 0) {
        return false;
    }
    *id = value;
    return true;
}
