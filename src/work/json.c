/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/work/json.h"

#include <glib/gi18n-lib.h>

#include "rb/base/error.h"
#include "rb/book/playbook.h"
#include "rb/model/situation.h"
#include "rb/stats/measure.h"
#include "rb/work/error.h"
#include "rb/work/filter-text.h"

#include "json-private.h"
#include "judging.h"

json_t *rb_json_id(int64_t id)
{
    if (id == 0) {
        return json_null();
    }
    g_autofree char *text = g_strdup_printf("%" G_GINT64_FORMAT, id);
    return json_string(text);
}

json_t *rb_json_text(const char *text)
{
    if (text == NULL) {
        return json_null();
    }
    g_autofree char *valid = g_utf8_make_valid(text, -1);
    return json_string(valid);
}

static json_t *json_texts(const GPtrArray *texts)
{
    json_t *array = json_array();
    for (guint i = 0; i < texts->len; i++) {
        json_array_append_new(array, rb_json_text(texts->pdata[i]));
    }
    return array;
}

static void set_int(json_t *object, const char *key, int64_t value)
{
    json_object_set_new(object, key, json_integer(value));
}

static void set_token(json_t *object, const char *key, const RbWords *words, int value)
{
    json_object_set_new(object, key, json_string(rb_words_token(words, value)));
}

json_t *rb_json_selection(const RbSelection *selection)
{
    const RbNames *names = rb_snapshot_get_names(rb_selection_get_snapshot(selection));
    g_autofree char *filter = rb_filter_text(names, rb_selection_get_filter(selection));
    json_t *root = json_object();
    json_object_set_new(root, "filter", rb_json_text(filter));
    return root;
}

static json_t *tally_object(const RbNames *names, const RbTally *tally)
{
    json_t *object = json_object();
    json_object_set_new(object, "concept",
                        rb_json_text(rb_names_concept_token(names, tally->concept)));
    json_object_set_new(object, "coverage",
                        rb_json_text(rb_names_term_token(names, tally->coverage)));
    set_int(object, "dropbacks", tally->dropbacks);
    set_int(object, "successes", tally->successes);
    json_object_set_new(object, "points", json_real(tally->points));
    set_int(object, "pointed", tally->pointed);
    set_int(object, "yards", tally->yards);
    set_int(object, "attempts", tally->attempts);
    set_int(object, "completions", tally->completions);
    set_int(object, "explosive", tally->explosive);
    set_int(object, "sacks", tally->sacks);
    set_int(object, "interceptions", tally->interceptions);
    set_int(object, "pressured", tally->pressured);
    set_int(object, "right", tally->right);
    set_int(object, "judged", tally->judged);
    return object;
}

/* The success rate drawn towards what the pairing's concept and coverage do elsewhere; null under
 * RB_PAIRING_MIN dropbacks. */
static json_t *estimate_object(const RbTally *cell, const RbMeasured *figure)
{
    if (cell->dropbacks < RB_PAIRING_MIN) {
        return json_null();
    }
    return json_pack("{s:f, s:f, s:f, s:f, s:b}", "success", figure->shown, "low_80",
                     figure->low, "high_80", figure->high, "below_team", figure->below,
                     "flagged", (int)figure->flagged);
}

json_t *rb_json_pairings(const RbSelection *selection)
{
    const RbNames *names = rb_snapshot_get_names(rb_selection_get_snapshot(selection));
    RbPairings pairings;
    rb_selection_pairings(selection, &pairings);
    json_t *root = rb_json_selection(selection);
    json_t *array = json_array();
    g_autofree RbMeasured *figures = g_new0(RbMeasured, pairings.n_cells + 1);
    rb_pairings_measure(&pairings, RB_MEASURE_SUCCESS, figures);
    for (int i = 0; i < pairings.n_cells; i++) {
        json_t *cell = tally_object(names, &pairings.cells[i]);
        json_object_set_new(cell, "estimate",
                            estimate_object(&pairings.cells[i], &figures[i]));
        json_array_append_new(array, cell);
    }
    json_object_set_new(root, "pairings", array);
    json_object_set_new(root, "all", tally_object(names, &pairings.all));
    set_int(root, "untagged", pairings.untagged);
    rb_pairings_clear(&pairings);
    return root;
}

json_t *rb_json_break(const RbBreak *found)
{
    if (!found->found) {
        return json_null();
    }
    json_t *object = json_object();
    set_int(object, "read", found->read);
    set_token(object, "stage", &rb_stage_words, (int)found->stage);
    set_int(object, "dropbacks", found->dropbacks);
    json_object_set_new(object, "points", json_real(found->points));
    json_object_set_new(object, "excess", json_real(found->excess));
    set_token(object, "certainty", &rb_certainty_words, (int)found->certainty);
    json_object_set_new(object, "share", json_real(found->share));
    set_int(object, "draws", found->draws);
    set_int(object, "seed", (int64_t)found->seed);
    return object;
}

json_t *rb_json_cells(const RbLadder *ladder)
{
    json_t *cells = json_array();
    for (int read = 0; read <= RB_READS_MAX; read++) {
        for (int stage = 0; stage < RB_STAGES; stage++) {
            const RbLadderCell *cell = &ladder->cells[read][stage];
            if (cell->dropbacks == 0) {
                continue;
            }
            json_t *object = json_object();
            set_int(object, "read", read);
            set_token(object, "stage", &rb_stage_words, stage);
            set_int(object, "dropbacks", cell->dropbacks);
            set_int(object, "pointed", cell->pointed);
            json_object_set_new(object, "points", json_real(cell->points));
            json_array_append_new(cells, object);
        }
    }
    return cells;
}

json_t *rb_json_ladder(const RbSelection *selection)
{
    RbLadder ladder;
    RbBreak found;
    rb_selection_ladder(selection, &ladder);
    rb_selection_break(selection, &found);
    json_t *root = rb_json_selection(selection);
    set_int(root, "dropbacks", ladder.dropbacks);
    set_int(root, "pointed", ladder.pointed);
    json_object_set_new(root, "points", json_real(ladder.points));
    json_object_set_new(root, "cells", rb_json_cells(&ladder));
    json_object_set_new(root, "break", rb_json_break(&found));
    return root;
}

/* The tags that would settle a judgment, as fields that can be set. */
static json_t *settle_array(const RbJudgment *judgment)
{
    json_t *array = json_array();
    const RbTaggable *field = rb_taggable_for(&judgment->settle);
    if (field != NULL) {
        json_array_append_new(array, json_string(field->token));
    }
    return array;
}

static json_t *ball_value(const RbNames *names, const RbSnap *snap, const RbChart *chart)
{
    const RbTaggable *field = rb_taggable_parse("ball", NULL);
    g_autofree char *ball = rb_taggable_get(field, names, snap, chart);
    return *ball != '\0' ? rb_json_text(ball) : json_null();
}

static json_t *verdict_object(const RbSnapshot *snapshot, const RbDropback *row)
{
    const RbNames *names = rb_snapshot_get_names(snapshot);
    const RbSnap *snap = rb_snapshot_find_snap(snapshot, row->snap);
    const RbChart *chart = rb_snapshot_find_chart(snapshot, row->snap);
    g_autoptr(GPtrArray) reasons = rb_snapshot_reasons(snapshot, row->snap);
    json_t *object = json_object();
    json_object_set_new(object, "snap", rb_json_id(row->snap.value));
    json_object_set_new(object, "game", rb_json_id(row->game.value));
    set_int(object, "number", snap->number);
    json_object_set_new(object, "concept",
                        rb_json_text(rb_names_concept_token(names, row->concept)));
    json_object_set_new(object, "coverage",
                        rb_json_text(rb_names_term_token(names, row->coverage)));
    set_token(object, "verdict", &rb_verdict_words, (int)row->verdict);
    set_token(object, "stage", &rb_stage_words, (int)row->stage);
    set_int(object, "stage_read", row->stage_read);
    set_int(object, "right_read", row->right_read);
    json_object_set_new(object, "ball", ball_value(names, snap, chart));
    set_int(object, "ball_read", row->ball_read);
    json_object_set_new(object, "success", json_boolean(row->success));
    json_object_set_new(object, "points",
                        row->has_points ? json_real(row->points) : json_null());
    json_object_set_new(object, "counts", json_boolean(row->in_ladder));
    json_object_set_new(object, "reasons", json_texts(reasons));
    json_object_set_new(object, "settle",
                        settle_array(rb_snapshot_find_judgment(snapshot, row->snap)));
    return object;
}

json_t *rb_json_verdicts(const RbSelection *selection)
{
    int n = 0;
    const RbDropback *rows = rb_selection_get_rows(selection, &n);
    json_t *root = rb_json_selection(selection);
    json_t *array = json_array();
    for (int i = 0; i < n; i++) {
        json_array_append_new(
            array, verdict_object(rb_selection_get_snapshot(selection), &rows[i]));
    }
    json_object_set_new(root, "verdicts", array);
    return root;
}

json_t *rb_json_snap(const RbNames *names, const RbSnap *snap, const RbChart *chart)
{
    json_t *object = json_object();
    json_object_set_new(object, "snap", rb_json_id(snap->id.value));
    json_object_set_new(object, "game", rb_json_id(snap->game.value));
    set_int(object, "number", snap->number);
    g_autofree char *situation = rb_situation_text(&snap->situation);
    json_object_set_new(object, "situation", rb_json_text(situation));
    json_t *tags = json_object();
    int n = 0;
    const RbTaggable *fields = rb_taggables(&n);
    for (int i = 0; i < n; i++) {
        if (chart == NULL && !fields[i].is_fact) {
            continue;
        }
        g_autofree char *value = rb_taggable_get(&fields[i], names, snap, chart);
        if (*value != '\0') {
            json_object_set_new(tags, fields[i].token, rb_json_text(value));
        }
    }
    json_object_set_new(object, "tags", tags);
    return object;
}

static json_t *clip_object(const RbClip *clip, const char *path)
{
    json_t *object = json_object();
    json_object_set_new(object, "film", rb_json_id(clip->film.value));
    json_object_set_new(object, "path", rb_json_text(path));
    set_token(object, "angle", &rb_angle_words, (int)clip->angle);
    set_int(object, "first", clip->first);
    set_int(object, "last", clip->last);
    json_t *marks = json_object();
    for (guint i = 0; i < clip->marks->len; i++) {
        const RbMark *mark = &g_array_index(clip->marks, RbMark, i);
        set_int(marks, rb_words_token(&rb_mark_words, (int)mark->kind), mark->frame);
    }
    json_object_set_new(object, "marks", marks);
    return object;
}

json_t *rb_json_sheet(const RbSheet *sheet)
{
    json_t *object = rb_json_snap(sheet->names, sheet->snap, sheet->chart);
    json_t *clips = json_array();
    for (guint i = 0; i < sheet->clips->len; i++) {
        json_array_append_new(
            clips, clip_object(sheet->clips->pdata[i], sheet->paths->pdata[i]));
    }
    json_object_set_new(object, "clips", clips);
    if (!sheet->judged) {
        return object;
    }
    const RbJudgment *judgment = &sheet->judgment;
    set_token(object, "verdict", &rb_verdict_words, (int)judgment->verdict);
    set_token(object, "stage", &rb_stage_words, (int)judgment->stage);
    set_int(object, "stage_read", judgment->stage_read);
    set_int(object, "right_read", judgment->right_slot);
    json_object_set_new(object, "ball",
                        ball_value(sheet->names, sheet->snap, sheet->chart));
    json_object_set_new(object, "success", json_boolean(sheet->success));
    json_object_set_new(object, "points",
                        sheet->has_points ? json_real(sheet->points) : json_null());
    json_object_set_new(object, "reasons", json_texts(sheet->reasons));
    json_object_set_new(object, "settle", settle_array(judgment));
    return object;
}

static void set_film_facts(json_t *object, const RbFilmFacts *facts)
{
    json_object_set_new(object, "container", rb_json_text(facts->container));
    json_object_set_new(object, "pixel_format", rb_json_text(facts->pixel_format));
    set_int(object, "coded_width", facts->width);
    set_int(object, "coded_height", facts->height);
    set_int(object, "rotation", facts->rotation);
    json_object_set_new(object, "interlaced", json_boolean(facts->interlaced));
    g_autofree char *shape =
        g_strdup_printf("%d:%d", facts->pixel_shape.num, facts->pixel_shape.den);
    json_object_set_new(object, "pixel_shape", rb_json_text(shape));
    g_autofree char *base =
        g_strdup_printf("%d/%d", facts->time_base.num, facts->time_base.den);
    json_object_set_new(object, "time_base", rb_json_text(base));
    json_object_set_new(object, "sound", rb_json_text(facts->audio_codec));
}

json_t *rb_json_film_look(const RbFilmLook *look)
{
    json_t *object = json_object();
    json_object_set_new(object, "path", rb_json_text(look->path));
    json_object_set_new(object, "film", rb_json_id(look->film.value));
    json_object_set_new(object, "fingerprint", rb_json_text(look->fingerprint));
    set_int(object, "bytes", look->bytes);
    set_int(object, "width", look->width);
    set_int(object, "height", look->height);
    g_autofree char *rate = g_strdup_printf("%d/%d", look->rate.num, look->rate.den);
    json_object_set_new(object, "rate", rb_json_text(rate));
    set_int(object, "frames", look->frames);
    set_int(object, "length_us", look->length_us);
    json_object_set_new(object, "codec", rb_json_text(look->codec));
    set_film_facts(object, look->facts);
    json_object_set_new(object, "remarks", json_texts(look->remarks));
    return object;
}

json_t *rb_json_playbook(const RbNames *names, const RbConcept *concept, GError **error)
{
    const GPtrArray *terms = rb_names_terms(names);
    g_autofree char *text = concept != NULL
                                ? rb_book_concept_print(concept, terms)
                                : rb_book_print(rb_names_concepts(names), terms);
    json_error_t failure;
    json_t *root = json_loads(text, 0, &failure);
    if (root == NULL) {
        rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_FAILED,
                     _("The playbook cannot be written as JSON: %s"), failure.text);
    }
    return root;
}
