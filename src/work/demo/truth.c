/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <inttypes.h>
#include <stdio.h>

#include "rb/work/demo-film.h"

/* The truth as JSON: yards in the field frame, pixels from the upper left corner, frames
 * counted in the film named beside them. */

static json_t *point2(RbPoint2 p)
{
    return json_pack("[f, f]", p.x, p.y);
}

static json_t *moment_json(const RbDemoMoment *moment)
{
    json_t *matrix = json_array();
    for (int row = 0; row < 3; row++) {
        const double *m = moment->matrix + 4 * row;
        json_array_append_new(matrix, json_pack("[f, f, f, f]", m[0], m[1], m[2], m[3]));
    }
    json_t *players = json_array();
    for (int i = 0; i < RB_DEMO_PLAYERS; i++) {
        json_array_append_new(players, point2(moment->players[i]));
    }
    return json_pack("{s:s, s:I, s:o, s:o, s:[f, f, f]}", "mark",
                     rb_words_token(&rb_mark_words, (int)moment->kind), "frame",
                     (json_int_t)moment->frame, "matrix", matrix, "players", players,
                     "ball", moment->ball.x, moment->ball.y, moment->ball.z);
}

static json_t *clip_json(const RbDemoClip *clip)
{
    json_t *moments = json_array();
    json_t *marks = json_object();
    for (guint i = 0; i < clip->moments->len; i++) {
        const RbDemoMoment *moment = &g_array_index(clip->moments, RbDemoMoment, i);
        json_array_append_new(moments, moment_json(moment));
        json_object_set_new(marks, rb_words_token(&rb_mark_words, (int)moment->kind),
                            json_integer(moment->frame));
    }
    json_t *object =
        json_pack("{s:s, s:s, s:I, s:I, s:o, s:o}", "angle",
                  rb_words_token(&rb_angle_words, (int)clip->angle), "file", clip->film,
                  "first", (json_int_t)clip->first, "last", (json_int_t)clip->last,
                  "marks", marks, "moments", moments);
    if (clip->own_film != NULL) {
        json_object_set_new(object, "own_file", json_string(clip->own_film));
    }
    return object;
}

static json_t *find_or_add(json_t *snaps, const RbDemoClip *clip)
{
    char id[32];
    snprintf(id, sizeof id, "%" PRId64, clip->snap.value);
    size_t index;
    json_t *snap;
    json_array_foreach(snaps, index, snap)
    {
        const char *other = json_string_value(json_object_get(snap, "snap"));
        if (g_strcmp0(other, id) == 0) {
            return snap;
        }
    }
    snap = json_pack("{s:s, s:i}", "snap", id, "number", clip->number);
    json_array_append_new(snaps, snap);
    return snap;
}

void rb_demo_film_truth_add(const RbDemoFilmTruth *truth, json_t *root)
{
    static const char *const codes[RB_FIELD_CODES] = { "high-school", "college", "pro" };
    json_object_set_new(root, "field",
                        json_pack("{s:s, s:s, s:f, s:f}", "rules", codes[truth->code],
                                  "unit", "yd", "length", RB_FIELD_LENGTH_YD, "width",
                                  RB_FIELD_WIDTH_YD));
    json_t *snaps = json_object_get(root, "snaps");
    if (snaps == NULL) {
        snaps = json_array();
        json_object_set_new(root, "snaps", snaps);
    }
    for (guint i = 0; i < truth->clips->len; i++) {
        const RbDemoClip *clip = truth->clips->pdata[i];
        json_t *snap = find_or_add(snaps, clip);
        json_t *film = json_object_get(snap, "film");
        if (film == NULL) {
            film = json_array();
            json_object_set_new(snap, "film", film);
        }
        json_array_append_new(film, clip_json(clip));
    }
}
