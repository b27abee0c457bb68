/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/work/playbook-try.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "rb/base/text.h"
#include "rb/book/check.h"
#include "rb/field/field.h"

RbPictureTry rb_picture_try(void)
{
    return (
        RbPictureTry){ .side = RB_SIDE_RIGHT,
                       .hash = RB_HASH_MIDDLE,
                       .shown = { .left = { .cushion_tenths = -1, .split_tenths = -1 },
                                  .right = { .cushion_tenths = -1, .split_tenths = -1 } },
                       .rushers = -1 };
}

static void add_word(GString *text, const char *word)
{
    g_string_append_printf(text, "%s%s", text->len > 0 ? ", " : "", word);
}

static void add_filled(GString *text, const char *pattern, const char *value)
{
    g_autofree char *word = rb_text_fill(pattern, "value", value, NULL);
    add_word(text, word);
}

static void add_corner(GString *text, const RbSideShown *shown, RbSide side)
{
    const bool left = side == RB_SIDE_LEFT;
    if (shown->technique != RB_TECHNIQUE_UNKNOWN) {
        add_filled(text, left ? _("{value} corner left") : _("{value} corner right"),
                   rb_words_said(&rb_technique_words, (int)shown->technique));
    }
    if (shown->cushion_tenths >= 0) {
        g_autofree char *yards = g_strdup_printf("%g", shown->cushion_tenths / 10.0);
        add_filled(text,
                   left ? _("cushion {value} yd left") : _("cushion {value} yd right"),
                   yards);
    }
    if (shown->split_tenths >= 0) {
        g_autofree char *yards = g_strdup_printf("%g", shown->split_tenths / 10.0);
        add_filled(text, left ? _("split {value} yd left") : _("split {value} yd right"),
                   yards);
    }
    if (shown->leverage != RB_LEVERAGE_UNKNOWN) {
        add_filled(text, left ? _("{value} leverage left") : _("{value} leverage right"),
                   rb_words_said(&rb_leverage_words, (int)shown->leverage));
    }
}

char *rb_picture_try_text(const RbPictureTry *picture, const RbNames *names)
{
    g_autoptr(GString) text = g_string_new(NULL);
    if (picture->coverage.value != 0) {
        add_word(text, rb_names_term(names, picture->coverage));
    }
    if (picture->shown.shell != RB_SHELL_UNKNOWN) {
        add_word(text, rb_words_label(&rb_shell_words, (int)picture->shown.shell));
    }
    add_corner(text, &picture->shown.left, RB_SIDE_LEFT);
    add_corner(text, &picture->shown.right, RB_SIDE_RIGHT);
    if (picture->shown.rotation > RB_ROTATION_NONE) {
        add_word(text, picture->shown.rotation == RB_ROTATION_LEFT ? _("rotation left")
                                                                   : _("rotation right"));
    }
    if (picture->formation.value != 0) {
        add_word(text, rb_names_term(names, picture->formation));
    }
    if (picture->width > RB_WIDTH_NORMAL) {
        add_word(text, rb_words_label(&rb_width_words, (int)picture->width));
    }
    if (picture->unblocked != RB_SIDE_UNKNOWN) {
        add_word(text, picture->unblocked == RB_SIDE_LEFT ? _("free rusher left")
                                                          : _("free rusher right"));
    }
    return g_strdup(text->len > 0 ? text->str : _("No picture chosen"));
}

/* A half-field safety on each side: two deep by the coverage, or, while that is not said, by the
 * shell without rotation. */
static RbYesNo half_field_safety(const RbPictureTry *picture, const RbNames *names)
{
    const RbTerm *coverage = rb_names_find_term(names, picture->coverage);
    if (coverage != NULL && coverage->deep >= 0) {
        return coverage->deep == 2 ? RB_YES : RB_NO;
    }
    if (picture->shown.shell == RB_SHELL_UNKNOWN) {
        return RB_YES_NO_UNKNOWN;
    }
    const bool turns = picture->shown.rotation > RB_ROTATION_NONE;
    return picture->shown.shell == RB_SHELL_TWO_HIGH && !turns ? RB_YES : RB_NO;
}

/* A chart that says of the picture what was chosen, and nothing else. */
static RbChart *make_chart(const RbConcept *concept, const RbNames *names,
                           const RbPictureTry *picture)
{
    const RbYesNo safety = half_field_safety(picture, names);
    const RbSide side = picture->side == RB_SIDE_LEFT ? RB_SIDE_LEFT : RB_SIDE_RIGHT;
    RbChart *chart = rb_chart_new((RbSnapId){ 1 }, (RbPersonId){ 1 });
    chart->call =
        (RbCall){ .kind = concept->full_field ? RB_CALL_SINGLE : RB_CALL_MIRRORED,
                  .first = concept->id,
                  .first_side = side };
    chart->side_worked = side;
    chart->shown = picture->shown;
    chart->played = (RbPicturePlayed){
        .coverage = picture->coverage,
        .rotation = picture->shown.rotation,
        .left = picture->shown.left.technique,
        .right = picture->shown.right.technique,
        .safety_left = safety,
        .safety_right = safety,
        .rushers = picture->rushers,
        .unblocked = picture->unblocked != RB_SIDE_UNKNOWN ? RB_YES : RB_NO,
        .unblocked_side = picture->unblocked,
    };
    return chart;
}

/* Receivers to the left and right of a formation whose token says so: "3x1", "empty-3x2". */
static bool formation_counts(const RbPictureTry *picture, const RbNames *names, int *left,
                             int *right)
{
    const char *token = rb_names_term_token(names, picture->formation);
    if (g_str_has_prefix(token, "empty-")) {
        token += strlen("empty-");
    }
    if (g_ascii_isdigit(token[0]) && token[1] == 'x' && g_ascii_isdigit(token[2])) {
        *left = token[0] - '0';
        *right = token[2] - '0';
        return *left <= 4 && *right <= 4;
    }
    return false;
}

static void set_formation(RbSnap *snap, const RbPictureTry *picture, const RbNames *names)
{
    int left = 0;
    int right = 0;
    snap->formation = picture->formation;
    snap->width = picture->width;
    if (formation_counts(picture, names, &left, &right)) {
        snap->strong = rb_strong_of_counts(left, right);
    }
}

/* Takes the line. */
static void add_line(GPtrArray *lines, char *line)
{
    g_ptr_array_add(lines, line);
}

char *rb_rung_text(const RbRung *rung)
{
    g_autofree char *slot = g_strdup_printf("%d", rung->slot);
    return rb_text_fill(_("{slot} {route}"), "slot", slot, "route",
                        rb_words_said(&rb_route_words, (int)rung->route), NULL);
}

/* "1 out, then 2 pivot" of the live reads, or "3 go, 4 seam" of the dead ones. Returns: (transfer
 * full) (nullable): NULL without any. */
static char *join_rungs(const RbOrder *order, bool dead)
{
    char *text = NULL;
    for (int i = 0; i < order->n; i++) {
        if (order->rungs[i].dead != dead) {
            continue;
        }
        g_autofree char *before = text;
        g_autofree char *next = rb_rung_text(&order->rungs[i]);
        text = before == NULL ? g_steal_pointer(&next)
                              : rb_text_fill(dead ? _("{before}, {next}")
                                                  : _("{before}, then {next}"),
                                             "before", before, "next", next, NULL);
    }
    return text;
}

static void add_order(GPtrArray *lines, const RbOrder *order)
{
    g_autofree char *live = join_rungs(order, false);
    g_autofree char *dead = join_rungs(order, true);
    add_line(lines, live != NULL ? rb_text_fill(_("Read {order}."), "order", live, NULL)
                                 : g_strdup(_("Nothing is left to read.")));
    if (dead != NULL) {
        add_line(lines, rb_text_fill(_("Not read: {reads}."), "reads", dead, NULL));
    }
}

char *rb_order_text(const RbOrder *order)
{
    g_autoptr(GPtrArray) lines = g_ptr_array_new_with_free_func(g_free);
    add_order(lines, order);
    return lines->len == 1 ? g_strdup(lines->pdata[0])
                           : g_strdup_printf("%s %s", (char *)lines->pdata[0],
                                             (char *)lines->pdata[1]);
}

static void add_reasons(GPtrArray *lines, const RbConcept *concept, const RbNames *names,
                        const RbOrder *order)
{
    bool any = false;
    for (guint i = 0; i < concept->rules->len && i < 64; i++) {
        if ((order->matched >> i & 1) != 0) {
            g_autofree char *text =
                rb_book_rule_text(concept->rules->pdata[i], rb_names_terms(names));
            g_autofree char *number = g_strdup_printf("%u", i + 1);
            add_line(lines, rb_text_fill(_("Rule {number}: {rule}"), "number", number,
                                         "rule", text, NULL));
            any = true;
        }
    }
    if (!any && concept->rules->len > 0) {
        add_line(lines, g_strdup(_("No rule matches this picture.")));
    }
}

static void add_side(GPtrArray *lines, const RbPictureTry *picture, const RbOrder *order)
{
    if (order->required_side == RB_SIDE_UNKNOWN) {
        return;
    }
    const bool left = order->required_side == RB_SIDE_LEFT;
    const RbSide worked = picture->side == RB_SIDE_LEFT ? RB_SIDE_LEFT : RB_SIDE_RIGHT;
    const char *line = NULL;
    if (worked == order->required_side) {
        line = left ? _("The side to work is the left.")
                    : _("The side to work is the right.");
    } else {
        line = left ? _("The side to work is the left, not the one drawn.")
                    : _("The side to work is the right, not the one drawn.");
    }
    add_line(lines, g_strdup(line));
}

void rb_concept_try(const RbConcept *concept, const RbNames *names,
                    const RbPictureTry *picture, RbTryAnswer *answer)
{
    g_autoptr(RbSnap) snap = rb_snap_new((RbSnapId){ 1 }, (RbGameId){ 1 }, 1);
    snap->situation.hash = picture->hash;
    snap->situation.down = picture->down;
    snap->situation.distance = picture->distance;
    set_formation(snap, picture, names);
    g_autoptr(RbChart) chart = make_chart(concept, names, picture);
    const RbReadContext context = { .snap = snap,
                                    .first = concept,
                                    .terms = rb_names_terms(names),
                                    .footwork = rb_names_footwork(names) };
    *answer = (RbTryAnswer){ .lines = g_ptr_array_new_with_free_func(g_free) };
    rb_order_in_force(&context, chart, &answer->order);
    add_order(answer->lines, &answer->order);
    if (answer->order.hot_slot != 0) {
        add_line(answer->lines,
                 g_strdup_printf(_("Read %d is hot."), answer->order.hot_slot));
    }
    add_side(answer->lines, picture, &answer->order);
    add_reasons(answer->lines, concept, names, &answer->order);
}

void rb_try_answer_clear(RbTryAnswer *answer)
{
    g_clear_pointer(&answer->lines, g_ptr_array_unref);
}

RbDiagramField rb_diagram_field(RbRules rules)
{
    static const RbFieldCode codes[] = { [RB_RULES_HIGH_SCHOOL] = RB_FIELD_HIGH_SCHOOL,
                                         [RB_RULES_COLLEGE] = RB_FIELD_COLLEGE,
                                         [RB_RULES_PRO] = RB_FIELD_PRO };
    const RbFieldDimensions *field = rb_field_dimensions(codes[rules]);
    return (RbDiagramField){ .width_yd = RB_FIELD_WIDTH_YD,
                             .hash_yd = field->hash_yd,
                             .number_bottom_yd = field->number_bottom_yd,
                             .number_top_yd = field->number_top_yd };
}

RbDiagram rb_concept_diagram(const RbConcept *concept, const RbNames *names,
                             RbRules rules, const RbPictureTry *picture)
{
    const RbDiagramField field = rb_diagram_field(rules);
    if (picture == NULL) {
        return rb_diagram_of_concept(concept, &field, RB_SIDE_RIGHT);
    }
    RbDiagram diagram = rb_diagram_of_concept(concept, &field, picture->side);
    RbTryAnswer answer;
    rb_concept_try(concept, names, picture, &answer);
    rb_diagram_take_order(&diagram, &answer.order);
    int left = 0;
    int right = 0;
    if (formation_counts(picture, names, &left, &right)) {
        /* Nobody who runs a read is left out, even where the formation has no such man. */
        diagram.left = 0;
        diagram.right = 0;
        rb_diagram_take_order(&diagram, &answer.order);
        diagram.left = MAX(left, diagram.left);
        diagram.right = MAX(right, diagram.right);
    }
    rb_try_answer_clear(&answer);
    diagram.width = picture->width;
    diagram.hash = picture->hash;
    diagram.shown = picture->shown;
    return diagram;
}
