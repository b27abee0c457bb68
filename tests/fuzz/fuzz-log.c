/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A play log: refused with a sentence, or read; every row of it is a play or has its reason. */
#include <stdint.h>
#include <string.h>

#include "rb/work/log.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void check_rows(const RbLogReading *reading)
{
    int bad = 0;
    g_assert(reading->rows->len == reading->table->lines->len);
    for (guint i = 0; i < reading->rows->len; i++) {
        const RbLogRow *row = reading->rows->pdata[i];
        const RbSituation *s = &row->snap->situation;
        bad += row->trouble != NULL;
        g_assert(row->trouble != NULL ||
                 (s->down >= 0 && s->down <= 4 && s->yards_to_goal >= 0 &&
                  s->yards_to_goal <= 99 && s->distance >= 0 && s->distance <= 99 &&
                  s->clock_s >= -1 && s->clock_s <= 900 && ABS(row->snap->gain) <= 99));
    }
    g_assert(bad == reading->bad);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(GBytes) bytes = g_bytes_new(data, size);
    RbLogTable *table = rb_log_table_parse(bytes, "log.csv", &error);
    if (table == NULL) {
        g_assert(error != NULL && g_str_has_prefix(error->message, "log.csv "));
        return 0;
    }
    g_free(rb_log_table_fingerprint(table));
    g_autoptr(RbGame) game = rb_game_new((RbGameId){ 1 }, "Game");
    game->us = (RbTeamId){ 1 };
    game->ours_only = true;
    g_autoptr(RbLogReading) reading = rb_log_read(table, NULL, game, NULL, &error);
    if (reading != NULL) {
        check_rows(reading);
        g_free(rb_log_yards_text(reading));
        g_autofree char *rejected = rb_log_rejected_text(reading);
        g_assert(g_utf8_validate(rejected, -1, NULL));
    }
    return 0;
}
