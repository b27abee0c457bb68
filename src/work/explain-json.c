/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/work/explain.h"
#include "rb/work/json.h"

static json_t *order_array(const RbOrder *order)
{
    json_t *array = json_array();
    for (int i = 0; i < order->n; i++) {
        const RbRung *rung = &order->rungs[i];
        json_array_append_new(
            array,
            json_pack("{s:i, s:s, s:s, s:s, s:b, s:b, s:o, s:i}", "read", rung->slot,
                      "route", rb_words_token(&rb_route_words, (int)rung->route),
                      "runner", rb_words_token(&rb_runner_words, (int)rung->runner),
                      "side", rb_words_token(&rb_side_words, (int)rung->side), "dead",
                      (int)rung->dead, "outlet", (int)rung->outlet, "clock_ms",
                      rung->clock_ms >= 0 ? json_integer(rung->clock_ms) : json_null(),
                      "tolerance_ms", rung->tolerance_ms));
    }
    return array;
}

static json_t *step_object(const RbStep *step)
{
    json_t *object =
        json_pack("{s:s, s:o}", "step", rb_words_token(&rb_step_words, (int)step->kind),
                  "text", rb_json_text(step->text));
    if (step->slot != 0) {
        json_object_set_new(object, "read", json_integer(step->slot));
    }
    if (step->rule != 0) {
        json_object_set_new(object, "rule", json_integer(step->rule));
        json_object_set_new(object, "concept", rb_json_text(step->owner));
    }
    if (step->has_order) {
        json_object_set_new(object, "order", order_array(&step->order));
    }
    return object;
}

static void set_judgment(json_t *root, const RbJudgment *judgment)
{
    const RbTaggable *settle = rb_taggable_for(&judgment->settle);
    json_t *tags = json_array();
    if (settle != NULL) {
        json_array_append_new(tags, json_string(settle->token));
    }
    json_object_set_new(
        root, "verdict",
        json_string(rb_words_token(&rb_verdict_words, (int)judgment->verdict)));
    json_object_set_new(
        root, "stage",
        json_string(rb_words_token(&rb_stage_words, (int)judgment->stage)));
    json_object_set_new(root, "stage_read", json_integer(judgment->stage_read));
    json_object_set_new(root, "right_read", json_integer(judgment->right_slot));
    json_object_set_new(root, "ball_read", json_integer(judgment->ball_slot));
    json_object_set_new(root, "order", order_array(&judgment->order));
    json_object_set_new(root, "settle", tags);
}

json_t *rb_json_explanation(const RbExplanation *explanation)
{
    json_t *root = json_object();
    json_t *steps = json_array();
    json_t *reasons = json_array();
    for (guint i = 0; i < explanation->steps->len; i++) {
        json_array_append_new(steps, step_object(explanation->steps->pdata[i]));
    }
    for (guint i = 0; i < explanation->reasons->len; i++) {
        json_array_append_new(reasons, rb_json_text(explanation->reasons->pdata[i]));
    }
    json_object_set_new(root, "judged", json_boolean(explanation->judged));
    if (explanation->judged) {
        set_judgment(root, &explanation->judgment);
    }
    json_object_set_new(root, "steps", steps);
    json_object_set_new(root, "reasons", reasons);
    return root;
}
