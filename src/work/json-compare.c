/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/work/compare.h"
#include "rb/work/worklist.h"

#include "json-private.h"

static void set_number(json_t *object, const char *key, double value, bool known)
{
    json_object_set_new(object, key, known ? json_real(value) : json_null());
}

static json_t *side_object(const RbSelection *selection, const RbTally *tally,
                           const RbLadder *ladder)
{
    json_t *object = rb_json_selection(selection);
    json_object_set_new(object, "dropbacks", json_integer(tally->dropbacks));
    json_object_set_new(object, "points", json_real(tally->points));
    json_object_set_new(object, "pointed", json_integer(tally->pointed));
    json_object_set_new(object, "cells", rb_json_cells(ladder));
    return object;
}

static json_t *contrast_object(RbMeasure measure, const RbContrast *contrast)
{
    const bool rate = rb_measure_is_rate(measure);
    const bool has = contrast->has_interval;
    json_t *object = json_object();
    json_object_set_new(object, "measure",
                        json_string(rb_words_token(&rb_measure_words, (int)measure)));
    set_number(object, "first", contrast->first.raw, contrast->first.known);
    set_number(object, "second", contrast->second.raw, contrast->second.known);
    json_object_set_new(object, "first_n", json_integer(contrast->first.n));
    json_object_set_new(object, "second_n", json_integer(contrast->second.n));
    json_object_set_new(object, "first_x",
                        rate ? json_integer(contrast->first_x) : json_null());
    json_object_set_new(object, "second_x",
                        rate ? json_integer(contrast->second_x) : json_null());
    set_number(object, "difference", contrast->difference, contrast->has_difference);
    set_number(object, "low_80", contrast->low_80, has);
    set_number(object, "high_80", contrast->high_80, has);
    set_number(object, "low_95", contrast->low_95, has);
    set_number(object, "high_95", contrast->high_95, has);
    return object;
}

json_t *rb_json_compared(const RbSelection *first, const RbSelection *second)
{
    RbCompared compared;
    rb_compare(first, second, &compared);
    json_t *root = json_object();
    json_object_set_new(root, "first",
                        side_object(first, &compared.first, &compared.ladders[0]));
    json_object_set_new(root, "second",
                        side_object(second, &compared.second, &compared.ladders[1]));
    json_object_set_new(root, "shared", json_integer(compared.shared));
    json_t *measures = json_array();
    for (int measure = 0; measure < RB_MEASURES; measure++) {
        json_array_append_new(
            measures, contrast_object((RbMeasure)measure, &compared.contrasts[measure]));
    }
    json_object_set_new(root, "measures", measures);
    return root;
}

json_t *rb_json_worklist(const RbSelection *selection, const GPtrArray *items)
{
    const RbNames *names = rb_snapshot_get_names(rb_selection_get_snapshot(selection));
    json_t *root = rb_json_selection(selection);
    json_t *array = json_array();
    for (guint i = 0; i < items->len; i++) {
        const RbWorkItem *item = items->pdata[i];
        json_t *object = json_object();
        json_object_set_new(object, "concept",
                            rb_json_text(rb_names_concept_token(names, item->concept)));
        json_object_set_new(object, "coverage",
                            rb_json_text(rb_names_term_token(names, item->coverage)));
        json_object_set_new(object, "dropbacks", json_integer(item->dropbacks));
        json_object_set_new(object, "worth", json_real(item->worth));
        json_object_set_new(object, "break", rb_json_break(&item->found));
        json_object_set_new(object, "sentence", rb_json_text(item->sentence));
        json_array_append_new(array, object);
    }
    json_object_set_new(root, "items", array);
    return root;
}
