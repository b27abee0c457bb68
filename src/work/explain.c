/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/work/explain.h"

#include "rb/book/check.h"
#include "rb/work/playbook-try.h"

#include "judging.h"

/* clang-format off */
static const RbWord step_table[] = {
    [RB_STEP_CALL] = { "call", "Called" },
    [RB_STEP_SHOWN] = { "shown", "Shown" },
    [RB_STEP_PLAYED] = { "played", "Played" },
    [RB_STEP_WRITTEN] = { "written", "As written" },
    [RB_STEP_RULE] = { "rule", "Rule" },
    [RB_STEP_ORDER] = { "order", "In force" },
    [RB_STEP_SIDE] = { "side", "Side" },
    [RB_STEP_ADJUSTMENT] = { "adjustment", "Adjustment" },
    [RB_STEP_HOT] = { "hot", "Hot" },
    [RB_STEP_READ] = { "read", "Read" },
    [RB_STEP_RIGHT] = { "right", "Right read" },
    [RB_STEP_BALL] = { "ball", "Ball" },
    [RB_STEP_PRESSURE] = { "pressure", "Pressure" },
    [RB_STEP_VERDICT] = { "verdict", "Verdict" },
    [RB_STEP_SETTLE] = { "settle", "To settle it" },
};
/* clang-format on */
const RbWords rb_step_words = { "step", step_table, G_N_ELEMENTS(step_table) };

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

static const char *side_word(RbSide side)
{
    return side == RB_SIDE_LEFT ? "left" : side == RB_SIDE_RIGHT ? "right" : "?";
}

static char *seconds(int ms)
{
    return g_strdup_printf("%d.%02d s", ms / 1000, ms % 1000 / 10);
}

static void tell_call(Teller *teller)
{
    const RbCall *call = &teller->chart->call;
    if (call->first.value == 0) {
        add(teller, RB_STEP_CALL, g_strdup("No concept is tagged."));
        return;
    }
    g_autofree char *what = rb_names_call_text(teller->names, call);
    g_autoptr(GString) text = g_string_new(what);
    if (call->kind != RB_CALL_UNKNOWN && call->kind != RB_CALL_SINGLE) {
        g_autofree char *kind =
            g_ascii_strdown(rb_words_label(&rb_call_words, (int)call->kind), -1);
        g_string_append_printf(text, ", %s", kind);
    }
    if (teller->chart->side_worked != RB_SIDE_UNKNOWN) {
        g_string_append_printf(text, ", worked to the %s",
                               side_word(teller->chart->side_worked));
    }
    g_string_append_c(text, '.');
    add(teller, RB_STEP_CALL, g_strdup(text->str));
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
                               fields[i].label, shown);
    }
    g_string_append(text, text->len > 0 ? "." : "Nothing is tagged.");
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
        g_autofree char *name =
            rule->name[0] != '\0' ? g_strdup_printf(" (%s)", rule->name) : g_strdup("");
        g_autofree char *made = rb_order_text(&order);
        RbStep *step = add(teller, RB_STEP_RULE,
                           g_strdup_printf("%s rule %d%s: %s %s", owner->name, number,
                                           name, sentence, made));
        step->rule = number;
        step->slot = rule->read;
        step->owner = owner->token;
        set_order(step, &order);
    }
}

/* What follows "The picture shown picks the left". */
static const char *side_followed(const RbChart *chart, RbSide required)
{
    if (chart->side_worked == RB_SIDE_UNKNOWN) {
        return "; the side worked is not tagged";
    }
    return chart->side_worked == required ? ", which was worked"
                                          : ", which was not worked";
}

/* What follows "The picture shown requires it". */
static const char *adjustment_followed(const RbChart *chart, RbTermId required)
{
    if (chart->adjusted == RB_NO) {
        return ", which was not made";
    }
    if (chart->adjusted == RB_YES_NO_UNKNOWN || chart->adjustment.value == 0) {
        return "; what was made is not tagged";
    }
    return chart->adjustment.value == required.value ? ", which was made"
                                                     : "; another one was made";
}

static void tell_before_snap(Teller *teller, const RbOrder *order)
{
    const RbChart *chart = teller->chart;
    if (order->required_side != RB_SIDE_UNKNOWN) {
        add(teller, RB_STEP_SIDE,
            g_strdup_printf("The picture shown picks the %s%s.",
                            side_word(order->required_side),
                            side_followed(chart, order->required_side)));
    }
    if (order->required.value != 0) {
        add(teller, RB_STEP_ADJUSTMENT,
            g_strdup_printf("The picture shown requires \"%s\"%s.",
                            rb_names_term(teller->names, order->required),
                            adjustment_followed(chart, order->required)));
    }
    if (order->hot_slot != 0) {
        RbStep *step =
            add(teller, RB_STEP_HOT,
                g_strdup_printf("Read %d is hot: a rusher comes free.", order->hot_slot));
        step->slot = order->hot_slot;
    }
}

static const char *state_words(const RbChart *chart, const RbRung *rung)
{
    static const char *const words[] = { [RB_LOOK_UNKNOWN] = "not tagged open or covered",
                                         [RB_LOOK_OPEN] = "open",
                                         [RB_LOOK_COVERED] = "covered",
                                         [RB_LOOK_CANT_TELL] = "cannot be told" };
    return rung->dead ? "not to be thrown against this picture"
                      : words[chart->looks[rung->slot - 1]];
}

static void tell_reads(Teller *teller, const RbOrder *order)
{
    for (int i = 0; i < order->n; i++) {
        const RbRung *rung = &order->rungs[i];
        g_autofree char *rung_words = rb_rung_text(rung);
        g_autoptr(GString) text = g_string_new(rung_words);
        g_string_append_printf(text, ": %s", state_words(teller->chart, rung));
        if (rung->clock_ms >= 0 && !rung->dead) {
            g_autofree char *by = seconds(rung->clock_ms);
            g_autofree char *limit = seconds(rung->clock_ms + rung->tolerance_ms);
            g_string_append_printf(text, "; leaves by %s, late after %s", by, limit);
        }
        g_string_append_c(text, '.');
        add(teller, RB_STEP_READ, g_strdup(text->str))->slot = rung->slot;
    }
}

static void tell_right(Teller *teller, const RbJudgment *judgment)
{
    char *text = NULL;
    if (judgment->right_slot != 0) {
        text = g_strdup_printf("Read %d.", judgment->right_slot);
    } else if (judgment->verdict == RB_VERDICT_UNGRADED) {
        text = g_strdup("Cannot be told from what is tagged.");
    } else {
        text = g_strdup("None: no read was open.");
    }
    add(teller, RB_STEP_RIGHT, text)->slot = judgment->right_slot;
}

static void tell_ball(Teller *teller, const RbJudgment *judgment)
{
    const RbChart *chart = teller->chart;
    const RbTaggable *field = rb_taggable_parse("ball", NULL);
    g_autofree char *ball =
        chart->ball == RB_BALL_UNKNOWN
            ? g_strdup("not tagged")
            : rb_taggable_show(field, teller->names, teller->snap, chart);
    g_autoptr(GString) text = g_string_new(ball);
    if (chart->release_ms >= 0) {
        g_autofree char *at = seconds(chart->release_ms);
        g_string_append_printf(text, " at %s", at);
        if (chart->release_pm_ms > 0) {
            g_autofree char *pm = seconds(chart->release_pm_ms);
            g_string_append_printf(text, ", plus or minus %s", pm);
        }
    } else {
        g_string_append(text, ", at a time not tagged");
    }
    g_string_append_c(text, '.');
    text->str[0] = g_ascii_toupper(text->str[0]);
    add(teller, RB_STEP_BALL, g_strdup(text->str))->slot = judgment->ball_slot;
    if (chart->pressure == RB_PRESSURE_CAME && chart->pressure_ms >= 0) {
        g_autofree char *came = seconds(chart->pressure_ms);
        add(teller, RB_STEP_PRESSURE, g_strdup_printf("Came at %s.", came));
    } else {
        static const char *const words[] = { [RB_PRESSURE_UNKNOWN] = "Not tagged.",
                                             [RB_PRESSURE_NONE] = "None.",
                                             [RB_PRESSURE_CAME] = "Came." };
        add(teller, RB_STEP_PRESSURE, g_strdup(words[chart->pressure]));
    }
}

static void tell_verdict(Teller *teller, const RbJudgment *judgment)
{
    g_autoptr(GString) text =
        g_string_new(rb_words_label(&rb_verdict_words, (int)judgment->verdict));
    if (judgment->stage != RB_STAGE_NOT_JUDGED) {
        g_autofree char *stage =
            g_ascii_strdown(rb_words_label(&rb_stage_words, (int)judgment->stage), -1);
        g_string_append_printf(text, "; the stage is %s", stage);
    }
    if (judgment->stage_read != 0) {
        g_string_append_printf(text, ", at read %d", judgment->stage_read);
    }
    g_string_append_c(text, '.');
    add(teller, RB_STEP_VERDICT, g_strdup(text->str))->slot = judgment->stage_read;
    if (judgment->settle.kind != RB_TAG_NONE) {
        g_autofree char *tag = rb_tag_text(&judgment->settle);
        const bool graded = judgment->verdict != RB_VERDICT_UNGRADED;
        RbStep *step =
            add(teller, RB_STEP_SETTLE,
                g_strdup_printf(graded ? "The stage needs %s." : "Tag %s.", tag));
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
