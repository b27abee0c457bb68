/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rail-memory.h"

static void free_chart(void *chart)
{
    rb_chart_free(chart);
}

void rb_rail_memory_init(RbRailMemory *memory)
{
    memory->likely = NULL;
    memory->charts =
        g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, free_chart);
}

void rb_rail_memory_clear(RbRailMemory *memory)
{
    g_clear_pointer(&memory->likely, rb_likely_free);
    g_clear_pointer(&memory->charts, g_hash_table_unref);
}

void rb_rail_memory_forget(RbRailMemory *memory)
{
    g_hash_table_remove_all(memory->charts);
}

void rb_rail_memory_take_likely(RbRailMemory *memory, RbLikely *likely)
{
    rb_likely_free(memory->likely);
    memory->likely = likely;
}

const RbSnap *rb_rail_memory_snap_before(const GPtrArray *snaps, const RbSnap *snap)
{
    const RbSnap *before = NULL;
    for (guint i = 0; snaps != NULL && i < snaps->len; i++) {
        const RbSnap *other = snaps->pdata[i];
        if (other->id.value == snap->id.value) {
            return before;
        }
        before = other;
    }
    return NULL;
}

const RbChart *rb_rail_memory_chart_before(const RbRailMemory *memory,
                                           const GPtrArray *snaps, const RbSnap *snap)
{
    const RbChart *before = NULL;
    for (guint i = 0; snaps != NULL && i < snaps->len; i++) {
        const RbSnap *other = snaps->pdata[i];
        if (other->id.value == snap->id.value) {
            return before;
        }
        const RbChart *chart = g_hash_table_lookup(memory->charts, &other->id.value);
        before = chart != NULL ? chart : before;
    }
    return NULL;
}

void rb_rail_memory_see(RbRailMemory *memory, const RbSheet *sheet)
{
    if (rb_snap_is_dropback(sheet->snap) && sheet->chart->call.first.value != 0) {
        g_hash_table_replace(memory->charts,
                             g_memdup2(&sheet->snap->id.value, sizeof(int64_t)),
                             rb_chart_copy(sheet->chart));
    }
}

void rb_rail_memory_learn(RbRailMemory *memory, const GPtrArray *snaps,
                          const RbSheet *sheet)
{
    if (memory->likely != NULL && rb_snap_is_dropback(sheet->snap) &&
        sheet->chart->played.coverage.value != 0) {
        rb_likely_learn(memory->likely, sheet->names, sheet->snap, sheet->chart,
                        rb_rail_memory_chart_before(memory, snaps, sheet->snap));
    }
}
