/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/work/explain.h"

#include <glib/gi18n-lib.h>

#include "rb/base/text.h"
#include "rb/book/check.h"
#include "rb/work/playbook-try.h"

#include "judging.h"

/* clang-format off */
static const RbWord step_table[] = {
    [RB_STEP_CALL] = { "call", N_("Called") },
    [RB_STEP_SHOWN] = { "shown", N_("Shown") },
    [RB_STEP_PLAYED] = { "played", N_("Played") },
    [RB_STEP_WRITTEN] = { "written", N_("As written") },
    [RB_STEP_RULE] = { "rule", N_("Rule") },
    [RB_STEP_ORDER] = { "order", N_("In force") },
    [RB_STEP_SIDE] = { "side", N_("Side") },
    [RB_STEP_ADJUSTMENT] = { "adjustment", N_("Adjustment") },
    [RB_STEP_HOT] = { "hot", N_("Hot") },
    [RB_STEP_READ] = { "read", N_("Read") },
    [RB_STEP_RIGHT] = { "right", N_("Right read") },
    [RB_STEP_BALL] = { "ball", N_("Ball") },
    [RB_STEP_PRESSURE] = { "pressure", N_("Pressure") },
    [RB_STEP_VERDICT] = { "verdict", N_("Verdict") },
    [RB_STEP_SETTLE] = { "settle", N_("To settle it") },
};
/* clang-format on */
const RbWords rb_step_words = { N_("step"), step_table, G_N_ELEMENTS(step_table) };

/* What the steps are told of. */
typedef struct {
    const RbNames *names;
    const RbSnap *snap;
    const RbChart *chart; /* as judged */
    RbReadContext context;
    GPtrArray *steps;
} Teller;

static void free_step(void *data)
{
    RbStep *step = data;
    g_free(step->text);
    g_free(step);
}

/* Takes the text. Returns: (transfer none): to be filled further. */
static RbStep *add(Teller *teller, RbStepKind kind, char *text)
{
    RbStep *step = g_new0(RbStep, 1);
    step->kind = kind;
    step->text = text;
    g_ptr_array_add(teller->steps, step);
    return step;
}

static char *seconds(int ms)
{
    return g_strdup_printf(_("%d.%02d s"), ms / 1000, ms % 1000 / 10);
}

static const char *call_sentence(RbSide side, const char *plain, const char *left,
                                 const char *right)
{
    return side == RB_SIDE_LEFT ? left : side == RB_SIDE_RIGHT ? right : plain;
}

static void tell_call(Teller *teller)
{
    const RbCall *call = &teller->chart->call;
    if (call->first.value == 0) {
        add(teller, RB_STEP_CALL, g_strdup(_("No concept is tagged.")));
        return;
    }
    g_autofree char *what = rb_names_call_text(teller->names, call);
    const char *pattern = NULL;
    if (call->kind == RB_CALL_UNKNOWN || call->kind == RB_CALL_SINGLE) {
        pattern = call_sentence(teller->chart->side_worked, _("{call}."),
                                _("{call}, worked to the left."),
                                _("{call}, worked to the right."));
    } else {
        pattern = call_sentence(teller->chart->side_worked, _("{call}, {kind}."),
                                _("{call}, {kind}, worked to the left."),
                                _("{call}, {kind}, worked to the right."));
    }
    add(teller, RB_STEP_CALL,
        rb_text_fill(pattern, "call", what, "kind",
                     rb_words_said(&rb_call_words, (int)call->kind), NULL));
}

/* Every tag of the group that is known, under its own name. */
static void tell_picture(Teller *teller, RbStepKind kind, RbTagGroup group)
{
    g_autoptr(GString) text = g_string_new(NULL);
    int n = 0;
    const RbTaggable *fields = rb_taggables(&n);
    for (int i = 0; i < n; i++) {
        if (fields[i].group != group || fields[i].slot != 0) {
            continue;
        }
        g_autofree char *value =
            rb_taggable_get(&fields[i], teller->names, teller->snap, teller->chart);
        if (*value == '\0') {
            continue;
        }
        g_autofree char *shown =
            rb_taggable_show(&fields[i], teller->names, teller->snap, teller->chart);
        g_string_append_printf(text, "%s%s: %s", text->len > 0 ? "; " : "",
                               _(fields[i].label), shown);
    }
    g_string_append(text, text->len > 0 ? "." : _("Nothing is tagged."));
    add(teller, kind, g_strdup(text->str));
}

static void set_order(RbStep *step, const RbOrder *order)
{
    step->has_order = true;
    step->order = *order;
}

static void tell_order(Teller *teller, RbStepKind kind, const RbOrder *order)
{
    set_order(add(teller, kind, rb_order_text(order)), order);
}

/* The rules that matched, each with what it made of the order. */
static void tell_rules(Teller *teller, const RbOrder *in_force)
{
    for (int i = 0; i < 64; i++) {
        const RbConcept *owner = NULL;
        int number = 0;
        if ((in_force->matched >> i & 1) == 0) {
            continue;
        }
        const RbRule *rule =
            rb_order_rule(&teller->context, in_force, i, &owner, &number);
        if (rule == NULL) {
            continue;
        }
        RbOrder order;
        rb_order_after(&teller->context, teller->chart, i + 1, &order);
        g_autofree char *sentence =
            rb_book_rule_text(rule, rb_names_terms(teller->names));
        g_autofree char *which = g_strdup_printf("%d", number);
        g_autofree char *made = rb_order_text(&order);
        const char *pattern = rule->name[0] != '\0'
                                  ? _("{concept} rule {number} ({name}): {rule} {order}")
                                  : _("{concept} rule {number}: {rule} {order}");
        RbStep *step =
            add(teller, RB_STEP_RULE,
                rb_text_fill(pattern, "concept", owner->name, "number", which, "name",
                             rule->name, "rule", sentence, "order", made, NULL));
        step->rule = number;
        step->slot = rule->read;
        step->owner = owner->token;
        set_order(step, &order);
    }
}

static char *side_text(const RbChart *chart, const RbOrder *order)
{
    const char *picked = rb_picked_text(order->required_side, order->picked_by);
    const char *pattern = _("{picked} It was not worked.");
    if (chart->side_worked == RB_SIDE_UNKNOWN) {
        pattern = _("{picked} The side worked is not tagged.");
    } else if (chart->side_worked == order->required_side) {
        pattern = _("{picked} It was worked.");
    }
    return rb_text_fill(pattern, "picked", picked, NULL);
}

static const char *adjustment_sentence(const RbChart *chart, RbTermId required)
{
    if (chart->adjusted == RB_NO) {
        return _("The picture shown requires \"{name}\", which was not made.");
    }
    if (chart->adjusted == RB_YES_NO_UNKNOWN || chart->adjustment.value == 0) {
        return _("The picture shown requires \"{name}\"; what was made is not tagged.");
    }
    return chart->adjustment.value == required.value
               ? _("The picture shown requires \"{name}\", which was made.")
               : _("The picture shown requires \"{name}\"; another one was made.");
}

static void tell_before_snap(Teller *teller, const RbOrder *order)
{
    const RbChart *chart = teller->chart;
    if (order->required_side != RB_SIDE_UNKNOWN) {
        add(teller, RB_STEP_SIDE, side_text(chart, order));
    }
    if (order->required.value != 0) {
        add(teller, RB_STEP_ADJUSTMENT,
            rb_text_fill(adjustment_sentence(chart, order->required), "name",
                         rb_names_term(teller->names, order->required), NULL));
    }
    if (order->hot_slot != 0) {
        RbStep *step = add(
            teller, RB_STEP_HOT,
            g_strdup_printf(_("Read %d is hot: a rusher comes free."), order->hot_slot));
        step->slot = order->hot_slot;
    }
}

static const char *state_sentence(const RbChart *chart, const RbRung *rung)
{
    if (rung->dead) {
        return _("{read}: not to be thrown against this picture.");
    }
    /* With the clock, then without. */
    static const char *const sentences[][2] = {
        [RB_LOOK_UNKNOWN] = { N_("{read}: not tagged open or covered; leaves by {clock}, late "
                                 "after {limit}."),
                              N_("{read}: not tagged open or covered.") },
        [RB_LOOK_OPEN] = { N_("{read}: open; leaves by {clock}, late after {limit}."),
                           N_("{read}: open.") },
        [RB_LOOK_COVERED] = { N_("{read}: covered; leaves by {clock}, late after {limit}."),
                              N_("{read}: covered.") },
        [RB_LOOK_CANT_TELL] = { N_("{read}: cannot be told; leaves by {clock}, late after "
                                   "{limit}."),
                                N_("{read}: cannot be told.") },
    };
    return _(sentences[chart->looks[rung->slot - 1]][rung->clock_ms < 0]);
}

static void tell_reads(Teller *teller, const RbOrder *order)
{
    for (int i = 0; i < order->n; i++) {
        const RbRung *rung = &order->rungs[i];
        g_autofree char *read = rb_rung_text(rung);
        g_autofree char *clock = seconds(rung->clock_ms);
        g_autofree char *limit = seconds(rung->clock_ms + rung->tolerance_ms);
        add(teller, RB_STEP_READ,
            rb_text_fill(state_sentence(teller->chart, rung), "read", read, "clock",
                         clock, "limit", limit, NULL))
            ->slot = rung->slot;
    }
}

static bool nothing_open(const RbChart *chart, const RbOrder *order)
{
    for (int i = 0; i < order->live; i++) {
        if (chart->looks[order->rungs[i].slot - 1] != RB_LOOK_COVERED) {
            return false;
        }
    }
    return true;
}

static void tell_right(Teller *teller, const RbJudgment *judgment)
{
    char *text = NULL;
    if (judgment->right_slot != 0) {
        text = g_strdup_printf(_("Read %d."), judgment->right_slot);
    } else if (!nothing_open(teller->chart, &judgment->order)) {
        text = g_strdup(_("Cannot be told from what is tagged."));
    } else {
        text = g_strdup(_("None: no read was open."));
    }
    add(teller, RB_STEP_RIGHT, text)->slot = judgment->right_slot;
}

static void tell_ball(Teller *teller, const RbJudgment *judgment)
{
    const RbChart *chart = teller->chart;
    const RbTaggable *field = rb_taggable_parse("ball", NULL);
    const bool timed = chart->release_ms >= 0;
    const bool about = timed && chart->release_pm_ms > 0;
    g_autofree char *ball = rb_taggable_show(field, teller->names, teller->snap, chart);
    g_autofree char *at = seconds(MAX(chart->release_ms, 0));
    g_autofree char *extra = seconds(MAX(chart->release_pm_ms, 0));
    const char *pattern = NULL;
    if (chart->ball == RB_BALL_UNKNOWN) {
        pattern = about   ? _("Not tagged, at {time}, plus or minus {extra}.")
                  : timed ? _("Not tagged, at {time}.")
                          : _("Not tagged, at a time not tagged.");
    } else {
        pattern = about   ? _("{ball} at {time}, plus or minus {extra}.")
                  : timed ? _("{ball} at {time}.")
                          : _("{ball}, at a time not tagged.");
    }
    add(teller, RB_STEP_BALL,
        rb_text_fill(pattern, "ball", ball, "time", at, "extra", extra, NULL))
        ->slot = judgment->ball_slot;
}

static void tell_pressure(Teller *teller)
{
    const RbChart *chart = teller->chart;
    char *text = NULL;
    switch (chart->pressure) {
    case RB_PRESSURE_UNKNOWN:
        text = g_strdup(_("Not tagged."));
        break;
    case RB_PRESSURE_NONE:
        text = g_strdup(_("None."));
        break;
    case RB_PRESSURE_CAME:
        if (chart->pressure_ms < 0) {
            text = g_strdup(_("Came; when is not tagged."));
        } else {
            g_autofree char *came = seconds(chart->pressure_ms);
            text = rb_text_fill(_("Came at {time}."), "time", came, NULL);
        }
        break;
    }
    add(teller, RB_STEP_PRESSURE, text);
}

static void tell_verdict(Teller *teller, const RbJudgment *judgment)
{
    const bool staged = judgment->stage != RB_STAGE_NOT_JUDGED;
    g_autofree char *read = g_strdup_printf("%d", judgment->stage_read);
    const char *pattern = !staged ? _("{verdict}.")
                          : judgment->stage_read == 0
                              ? _("{verdict}; the stage is {stage}.")
                              : _("{verdict}; the stage is {stage}, "
                                  "at read {read}.");
    add(teller, RB_STEP_VERDICT,
        rb_text_fill(pattern, "verdict",
                     rb_words_label(&rb_verdict_words, (int)judgment->verdict), "stage",
                     rb_words_said(&rb_stage_words, (int)judgment->stage), "read", read,
                     NULL))
        ->slot = judgment->stage_read;
    if (judgment->settle.kind != RB_TAG_NONE) {
        g_autofree char *tag = rb_tag_text(&judgment->settle);
        const bool graded = judgment->verdict != RB_VERDICT_UNGRADED;
        RbStep *step =
            add(teller, RB_STEP_SETTLE,
                rb_text_fill(graded ? _("Where it ended needs {tag}.") : _("Tag {tag}."),
                             "tag", tag, NULL));
        step->slot = judgment->settle.slot;
    }
}

static void tell_all(Teller *teller, const RbExplanation *explanation)
{
    const RbJudgment *judgment = &explanation->judgment;
    RbOrder written;
    tell_call(teller);
    tell_picture(teller, RB_STEP_SHOWN, RB_GROUP_SHOWN);
    tell_picture(teller, RB_STEP_PLAYED, RB_GROUP_PLAYED);
    if (!explanation->judged) {
        return;
    }
    if (rb_order_after(&teller->context, teller->chart, 0, &written)) {
        tell_order(teller, RB_STEP_WRITTEN, &written);
        tell_rules(teller, &judgment->order);
        tell_order(teller, RB_STEP_ORDER, &judgment->order);
        tell_before_snap(teller, &judgment->order);
        tell_reads(teller, &judgment->order);
        tell_right(teller, judgment);
    }
    tell_ball(teller, judgment);
    tell_pressure(teller);
    tell_verdict(teller, judgment);
}

void rb_explain(const RbNames *names, const RbSnap *snap, const RbChart *chart,
                const GPtrArray *clips, RbExplanation *explanation)
{
    const RbGame *game = rb_names_find_game(names, snap->game);
    const RbReadSettings settings = rb_read_settings_default();
    g_autoptr(RbChart) judged_chart = rb_chart_for_judging(chart, game, clips);
    RbJudged judged;
    *explanation = (RbExplanation){
        .judged = rb_play_is_pass(snap->play),
        .steps = g_ptr_array_new_with_free_func(free_step),
    };
    Teller teller = { .names = names,
                      .snap = snap,
                      .chart = judged_chart,
                      .context = rb_context_for(names, snap, judged_chart),
                      .steps = explanation->steps };
    rb_judge_snap(names, snap, judged_chart, rb_success_profile_default(), &settings,
                  &judged);
    explanation->judgment = judged.judgment;
    explanation->reasons = explanation->judged
                               ? rb_judgment_reasons(&teller.context, &judged.judgment)
                               : g_ptr_array_new_with_free_func(g_free);
    tell_all(&teller, explanation);
}

void rb_explanation_clear(RbExplanation *explanation)
{
    g_clear_pointer(&explanation->steps, g_ptr_array_unref);
    g_clear_pointer(&explanation->reasons, g_ptr_array_unref);
}
