/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "tables.h"

#include <string.h>

static const RbTable *const tables[] = {
    &rb_person_table,       &rb_team_table,        &rb_player_table,
    &rb_game_table,         &rb_film_table,        &rb_snap_table,
    &rb_penalty_table,      &rb_clip_table,        &rb_mark_table,
    &rb_chart_table,        &rb_look_table,        &rb_term_table,
    &rb_concept_table,      &rb_revision_table,    &rb_setting_table,
    &rb_cutup_table,        &rb_cutup_entry_table, &rb_quiz_answer_table,
    &rb_saved_filter_table, &rb_drawing_table,     &rb_snap_tag_table,
    &rb_field_view_table,   &rb_field_sight_table, &rb_measure_table,
};

const RbTable *rb_table_find(const char *name)
{
    for (size_t i = 0; i < G_N_ELEMENTS(tables); i++) {
        if (strcmp(tables[i]->name, name) == 0) {
            return tables[i];
        }
    }
    return NULL;
}

const RbColumn *rb_table_find_column(const RbTable *table, const char *name)
{
    for (int i = 0; i < table->n; i++) {
        if (strcmp(table->columns[i].name, name) == 0) {
            return &table->columns[i];
        }
    }
    return NULL;
}
