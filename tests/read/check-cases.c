/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Runs tests/fixtures/read/cases.txt. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "playbook.h"
#include "suite.h"

TCase *rb_case_cases(void);

typedef struct {
    GPtrArray *terms;
    GPtrArray *concepts;
    RbSnap *snap;
    RbChart *chart;
    RbReadContext context;
    bool success;
    const char *title; /* borrowed: the case being run */
    int faults;
} Table;

static int word(const Table *table, const RbWords *words, const char *token)
{
    int value = 0;
    ck_assert_msg(strcmp(token, "?") == 0 || rb_words_parse(words, token, &value),
                  "%s: no %s is called \"%s\"", table->title, words->name, token);
    return value;
}

static RbTermId term(const Table *table, RbTermKind kind, const char *token)
{
    const RbTerm *found = rb_vocabulary_find_text(table->terms, kind, token);
    ck_assert_msg(found != NULL, "%s: no term is called \"%s\"", table->title, token);
    return found->id;
}

/* Seconds as thousandths, yards as tenths; "?" is unknown. */
static int scaled(const char *text, int scale)
{
    if (strcmp(text, "?") == 0) {
        return -1;
    }
    return (int)(g_ascii_strtod(text, NULL) * scale + 0.5);
}

/* TOKEN SIDE; TOKEN mirrored SIDE; TOKEN/TOKEN split SIDE; TOKEN+TOKEN across SIDE. */
static void read_call(Table *table, const char *text)
{
    g_auto(GStrv) words = g_strsplit(text, " ", 3);
    RbChart *chart = table->chart;
    chart->call.kind = RB_CALL_SINGLE;
    const char *side = words[1];
    if (words[2] != NULL) {
        chart->call.kind = (RbCallKind)word(table, &rb_call_words, words[1]);
        side = words[2];
    }
    if (chart->call.kind == RB_CALL_SINGLE || chart->call.kind == RB_CALL_ACROSS) {
        chart->call.first_side = (RbSide)word(table, &rb_side_words, side);
    }
    chart->side_worked = (RbSide)word(table, &rb_side_words, side);
    g_auto(GStrv) tokens = g_strsplit_set(words[0], "/+", 2);
    table->context.first =
        tokens[0][0] != '-' ? test_playbook_find(table->concepts, tokens[0]) : NULL;
    table->context.second =
        tokens[1] != NULL ? test_playbook_find(table->concepts, tokens[1]) : NULL;
}

static bool read_shown(Table *table, const char *key, const char *value)
{
    RbPictureShown *shown = &table->chart->shown;
    const size_t length = strlen(key);
    RbSideShown *side = g_str_has_suffix(key, "-l") ? &shown->left : &shown->right;
    if (strcmp(key, "shell") == 0) {
        shown->shell = (RbShell)word(table, &rb_shell_words, value);
    } else if (strcmp(key, "hint") == 0) {
        shown->rotation = (RbRotation)word(table, &rb_rotation_words, value);
    } else if (length == 8 && g_str_has_prefix(key, "corner-")) {
        side->technique = (RbTechnique)word(table, &rb_technique_words, value);
    } else if (length == 12 && g_str_has_prefix(key, "cushion-pm-")) {
        side->cushion_pm_tenths = scaled(value, 10);
    } else if (length == 9 && g_str_has_prefix(key, "cushion-")) {
        side->cushion_tenths = scaled(value, 10);
    } else if (length == 10 && g_str_has_prefix(key, "split-pm-")) {
        side->split_pm_tenths = scaled(value, 10);
    } else if (length == 7 && g_str_has_prefix(key, "split-")) {
        side->split_tenths = scaled(value, 10);
    } else if (length == 5 && g_str_has_prefix(key, "lev-")) {
        side->leverage = (RbLeverage)word(table, &rb_leverage_words, value);
    } else {
        return false;
    }
    return true;
}

static bool read_played(Table *table, const char *key, const char *value)
{
    RbPicturePlayed *played = &table->chart->played;
    if (strcmp(key, "coverage") == 0) {
        played->coverage = term(table, RB_TERM_COVERAGE, value);
    } else if (strcmp(key, "rotates") == 0) {
        played->rotation = (RbRotation)word(table, &rb_rotation_words, value);
    } else if (strcmp(key, "plays-l") == 0) {
        played->left = (RbTechnique)word(table, &rb_technique_words, value);
    } else if (strcmp(key, "plays-r") == 0) {
        played->right = (RbTechnique)word(table, &rb_technique_words, value);
    } else if (strcmp(key, "safety-l") == 0) {
        played->safety_left = (RbYesNo)word(table, &rb_yes_no_words, value);
    } else if (strcmp(key, "safety-r") == 0) {
        played->safety_right = (RbYesNo)word(table, &rb_yes_no_words, value);
    } else if (strcmp(key, "rushers") == 0) {
        played->rushers = atoi(value);
    } else if (strcmp(key, "free") == 0) {
        const bool none = strcmp(value, "none") == 0;
        played->unblocked = none ? RB_NO : RB_YES;
        played->unblocked_side = none || strcmp(value, "yes") == 0
                                     ? RB_SIDE_UNKNOWN
                                     : (RbSide)word(table, &rb_side_words, value);
    } else {
        return false;
    }
    return true;
}

static bool read_situation(Table *table, const char *key, const char *value)
{
    RbSnap *snap = table->snap;
    if (strcmp(key, "hash") == 0) {
        snap->situation.hash = (RbHash)word(table, &rb_hash_words, value);
    } else if (strcmp(key, "down") == 0) {
        snap->situation.down = atoi(value);
    } else if (strcmp(key, "distance") == 0) {
        snap->situation.distance = atoi(value);
    } else if (strcmp(key, "width") == 0) {
        snap->width = (RbWidth)word(table, &rb_width_words, value);
    } else if (strcmp(key, "formation") == 0) {
        snap->formation = term(table, RB_TERM_FORMATION, value);
    } else if (strcmp(key, "strong") == 0) {
        snap->strong = (RbStrong)word(table, &rb_strong_words, value);
    } else if (strcmp(key, "result") == 0) {
        snap->result = (RbResult)word(table, &rb_result_words, value);
    } else {
        return false;
    }
    return true;
}

static void read_ball(Table *table, const char *value)
{
    RbChart *chart = table->chart;
    if (g_ascii_isdigit(value[0])) {
        chart->ball = RB_BALL_READ;
        chart->ball_read = atoi(value);
        return;
    }
    chart->ball = (RbBall)word(table, &rb_ball_words, value);
    if (chart->ball != RB_BALL_HOT && chart->ball != RB_BALL_OFF_SCRIPT) {
        chart->throw_ = RB_THROW_NONE;
        chart->catch_ = RB_CATCH_NONE;
    }
}

static bool read_timing(Table *table, const char *key, const char *value)
{
    RbChart *chart = table->chart;
    if (strcmp(key, "at") == 0) {
        chart->release_ms = scaled(value, 1000);
    } else if (strcmp(key, "pm") == 0) {
        chart->release_pm_ms = scaled(value, 1000);
    } else if (strcmp(key, "pressure") == 0) {
        chart->pressure = strcmp(value, "?") == 0      ? RB_PRESSURE_UNKNOWN
                          : strcmp(value, "none") == 0 ? RB_PRESSURE_NONE
                                                       : RB_PRESSURE_CAME;
        chart->pressure_ms = g_ascii_isdigit(value[0]) ? scaled(value, 1000) : -1;
    } else if (strcmp(key, "contact") == 0) {
        chart->contact = (RbContact)word(table, &rb_contact_words, value);
    } else {
        return false;
    }
    return true;
}

static bool read_done(Table *table, const char *key, const char *value)
{
    RbChart *chart = table->chart;
    if (g_ascii_isdigit(key[0])) {
        chart->looks[atoi(key) - 1] = (RbLook)word(table, &rb_look_words, value);
    } else if (strcmp(key, "ball") == 0) {
        read_ball(table, value);
    } else if (strcmp(key, "adjusted") == 0) {
        chart->adjusted = strcmp(value, "?") == 0    ? RB_YES_NO_UNKNOWN
                          : strcmp(value, "no") == 0 ? RB_NO
                                                     : RB_YES;
        if (chart->adjusted == RB_YES && strcmp(value, "yes") != 0) {
            chart->adjustment = term(table, RB_TERM_ADJUSTMENT, value);
        }
    } else if (strcmp(key, "throw") == 0) {
        chart->throw_ = (RbThrow)word(table, &rb_throw_words, value);
    } else if (strcmp(key, "catch") == 0) {
        chart->catch_ = (RbCatch)word(table, &rb_catch_words, value);
    } else if (strcmp(key, "fault") == 0) {
        g_auto(GStrv) parts = g_strsplit(value, "@", 2);
        chart->fault = (RbFault)word(table, &rb_fault_words, parts[0]);
        chart->fault_read = parts[1] != NULL ? atoi(parts[1]) : 0;
    } else if (strcmp(key, "success") == 0) {
        table->success = true;
    } else {
        return read_timing(table, key, value);
    }
    return true;
}

static void read_words(Table *table, const char *text)
{
    g_auto(GStrv) words = g_strsplit(text, " ", -1);
    for (int i = 0; words[i] != NULL; i++) {
        if (words[i][0] == '\0' || strcmp(words[i], "-") == 0) {
            continue;
        }
        g_auto(GStrv) pair = g_strsplit(words[i], "=", 2);
        const char *value = pair[1] != NULL ? pair[1] : "";
        ck_assert_msg(
            read_shown(table, pair[0], value) || read_played(table, pair[0], value) ||
                read_situation(table, pair[0], value) || read_done(table, pair[0], value),
            "%s: \"%s\" is not understood", table->title, words[i]);
    }
}

/* "2 3 [4] x1": live reads in order, the outlet in brackets, then the dead; "*" a hot one. */
static char *order_text(const RbOrder *order)
{
    g_autoptr(GString) text = g_string_new(NULL);
    for (int i = 0; i < order->n; i++) {
        const RbRung *rung = &order->rungs[i];
        g_string_append_printf(text, "%s%s%s%d%s%s", i > 0 ? " " : "",
                               rung->dead ? "x" : "", rung->outlet ? "[" : "", rung->slot,
                               rung->outlet ? "]" : "",
                               rung->slot == order->hot_slot ? "*" : "");
    }
    return g_strdup(text->len > 0 ? text->str : "-");
}

/* Counts a difference and goes on, so that one run shows all of them. */
static void expect(Table *table, const char *what, const char *wanted, const char *found)
{
    if (strcmp(wanted, found) != 0) {
        printf("%s: %s should be %s, but is %s\n", table->title, what, wanted, found);
        table->faults++;
    }
}

static const char *const reason_names[] = {
    [RB_REASON_RULE] = "rule",         [RB_REASON_ORDER] = "order",
    [RB_REASON_OPEN] = "open",         [RB_REASON_COVERED] = "covered",
    [RB_REASON_DEAD] = "dead",         [RB_REASON_NOTHING_OPEN] = "nothing-open",
    [RB_REASON_BALL] = "ball",         [RB_REASON_BALL_OTHER] = "ball-other",
    [RB_REASON_CLOCK] = "clock",       [RB_REASON_PRESSURE] = "pressure",
    [RB_REASON_ADJUSTMENT] = "adjust", [RB_REASON_SIDE] = "side",
    [RB_REASON_HOT] = "hot",           [RB_REASON_FAULT] = "fault",
    [RB_REASON_CUSHION] = "cushion",   [RB_REASON_SPLIT] = "split",
    [RB_REASON_SETTLE] = "settle",     [RB_REASON_NO_CONCEPT] = "no-concept",
};

static const char *const picks[] = {
    [RB_PICKED_BY_NOTHING] = "nothing",
    [RB_PICKED_BY_RULE] = "rule",
    [RB_PICKED_BY_FREE_ACCESS] = "free-access",
    [RB_PICKED_BY_ROTATION] = "rotation",
    [RB_PICKED_BY_FIELD] = "field",
    [RB_PICKED_BY_BOUNDARY] = "boundary",
};

/* "by@2:3": the third receiver runs read 2; "route@2:go": it is a go. */
static bool is_run_so(const RbJudgment *judgment, const char *wanted)
{
    for (int i = 0; i < judgment->order.n; i++) {
        const RbRung *rung = &judgment->order.rungs[i];
        g_autofree char *by = g_strdup_printf(
            "by@%d:%s", rung->slot, rb_words_token(&rb_runner_words, (int)rung->runner));
        g_autofree char *route = g_strdup_printf(
            "route@%d:%s", rung->slot, rb_words_token(&rb_route_words, (int)rung->route));
        if (strcmp(wanted, by) == 0 || strcmp(wanted, route) == 0) {
            return true;
        }
    }
    return false;
}

static void check_reasons(Table *table, const RbJudgment *judgment, const char *wanted)
{
    g_auto(GStrv) names = g_strsplit(wanted, " ", -1);
    for (int i = 0; names[i] != NULL; i++) {
        bool found = names[i][0] == '\0' || strcmp(names[i], "-") == 0 ||
                     is_run_so(judgment, names[i]);
        for (int k = 0; k < judgment->n_reasons && !found; k++) {
            const RbReason *reason = &judgment->reasons[k];
            g_autofree char *with_slot =
                g_strdup_printf("%s@%d", reason_names[reason->kind], reason->slot);
            g_autofree char *settle = g_strdup_printf(
                "settle:%s", rb_words_token(&rb_tag_words, (int)reason->tag.kind));
            g_autofree char *picked =
                g_strdup_printf("side:%s", picks[reason->value % 6]);
            found = strcmp(names[i], reason_names[reason->kind]) == 0 ||
                    (reason->kind == RB_REASON_SIDE && strcmp(names[i], picked) == 0) ||
                    strcmp(names[i], with_slot) == 0 || strcmp(names[i], settle) == 0;
        }
        if (!found) {
            expect(table, "reason", names[i], "none of that kind");
        }
    }
    for (int k = 0; k < judgment->n_reasons; k++) {
        g_autofree char *text =
            rb_reason_text(&table->context, judgment, &judgment->reasons[k]);
        ck_assert_msg(g_str_has_suffix(text, "."), "%s: \"%s\" is no sentence",
                      table->title, text);
    }
}

/* A chart in which nothing went wrong and nothing was out of the ordinary. */
static void reset(Table *table)
{
    table->snap = rb_snap_new((RbSnapId){ 1 }, (RbGameId){ 1 }, 1);
    table->chart = rb_chart_new((RbSnapId){ 1 }, (RbPersonId){ 1 });
    RbChart *chart = table->chart;
    chart->pressure = RB_PRESSURE_NONE;
    chart->contact = RB_CONTACT_NONE;
    chart->fault = RB_FAULT_NONE;
    chart->adjusted = RB_NO;
    chart->played.unblocked = RB_NO;
    chart->throw_ = RB_THROW_ON_TARGET;
    chart->catch_ = RB_CATCH_CAUGHT;
    table->success = false;
    table->context = (RbReadContext){ .snap = table->snap,
                                      .terms = table->terms,
                                      .footwork = rb_footwork_defaults() };
}

static void check_case(Table *table, char **fields)
{
    reset(table);
    table->title = fields[0];
    read_call(table, fields[1]);
    read_words(table, fields[2]);
    read_words(table, fields[3]);
    RbJudgment judgment;
    rb_judge(&table->context, table->chart, table->success, NULL, &judgment);
    g_autofree char *order = order_text(&judgment.order);
    g_autofree char *right = g_strdup_printf("%d", judgment.right_slot);
    g_autofree char *stage =
        g_strdup_printf("%s@%d", rb_words_token(&rb_stage_words, (int)judgment.stage),
                        judgment.stage_read);
    const char *verdict = rb_words_token(&rb_verdict_words, (int)judgment.verdict);
    expect(table, "order", fields[4], order);
    expect(table, "right read", fields[5], right);
    expect(table, "verdict", fields[6], verdict);
    expect(table, "stage", fields[7], stage);
    check_reasons(table, &judgment, fields[8]);
    rb_snap_free(table->snap);
    rb_chart_free(table->chart);
}

static char *read_fixture(const char *name)
{
    g_autofree char *relative = g_build_filename("read", name, NULL);
    g_autofree char *path = rb_test_fixture(relative);
    char *text = NULL;
    GError *error = NULL;
    g_file_get_contents(path, &text, NULL, &error);
    rb_assert_no_error(error);
    return text;
}

START_TEST(test_cases__each_line_of_the_table)
{
    Table table = { .terms = rb_vocabulary_defaults() };
    g_autofree char *playbook = read_fixture("playbook.txt");
    table.concepts = test_playbook_parse(playbook, table.terms);
    g_autofree char *cases = read_fixture("cases.txt");
    g_auto(GStrv) lines = g_strsplit(cases, "\n", -1);
    int n = 0;
    for (int i = 0; lines[i] != NULL; i++) {
        if (lines[i][0] == '#' || lines[i][0] == '\0') {
            continue;
        }
        g_auto(GStrv) fields = g_strsplit(lines[i], "|", -1);
        ck_assert_msg(g_strv_length(fields) == 9, "line %d has %u fields", i + 1,
                      g_strv_length(fields));
        for (int k = 0; k < 9; k++) {
            g_strstrip(fields[k]);
        }
        check_case(&table, fields);
        n++;
    }
    printf("%d cases\n", n);
    fflush(stdout);
    ck_assert_int_eq(table.faults, 0);
    ck_assert_int_ge(n, 200);
    g_ptr_array_unref(table.concepts);
    g_ptr_array_unref(table.terms);
}
END_TEST

TCase *rb_case_cases(void)
{
    TCase *tcase = rb_case_new("cases");
    tcase_add_test(tcase, test_cases__each_line_of_the_table);
    return tcase;
}
