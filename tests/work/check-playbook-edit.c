/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "rb/book/playbook.h"
#include "rb/work/error.h"
#include "rb/work/playbook-edit.h"
#include "rb/work/playbook-try.h"

#include "suite.h"

TCase *rb_case_playbook_edit(void);

static RbLibrary *library_new(void)
{
    GError *error = NULL;
    g_autofree char *path = rb_test_path("edit.readbreak");
    RbLibrary *library = rb_library_create(path, "Coach", &error);
    rb_assert_no_error(error);
    return library;
}

static RbNames *names_of(RbLibrary *library)
{
    GError *error = NULL;
    RbNames *names = rb_library_load_names(library, &error);
    rb_assert_no_error(error);
    return names;
}

static RbRead *read_of(const RbConcept *concept, int number)
{
    return (RbRead *)rb_concept_find_read(concept, number);
}

/* Saves and returns the words of the history. Returns: (transfer full) (nullable). */
static char *put(RbLibrary *library, const RbConcept *concept)
{
    GError *error = NULL;
    char *words = NULL;
    ck_assert(rb_library_put_concept(library, concept, &words, &error));
    rb_assert_no_error(error);
    return words;
}

static int history_length(RbLibrary *library)
{
    g_autoptr(GPtrArray) lines = rb_library_load_history(library, 0, NULL);
    return (int)lines->len;
}

START_TEST(test_playbook_edit__a_new_concept_has_its_own_name_and_token)
{
    g_autoptr(RbLibrary) library = library_new();
    g_autoptr(RbNames) names = names_of(library);
    GError *error = NULL;
    g_autoptr(RbConcept) concept = rb_concept_start(names, "  Jet & Out!  ", &error);
    rb_assert_no_error(error);
    ck_assert_str_eq(concept->name, "Jet & Out!");
    ck_assert_str_eq(concept->token, "jet-out");
    g_autofree char *words = put(library, concept);
    ck_assert_str_eq(words, "Jet & Out! added to the playbook");
    g_autoptr(RbNames) after = names_of(library);
    const RbConcept *kept = rb_names_parse_concept(after, "jet-out", NULL);
    ck_assert_ptr_nonnull(kept);
    ck_assert(kept->id.value == concept->id.value);
    /* The same name again, in any case, is refused; a like one gets another token. */
    ck_assert_ptr_null(rb_concept_start(after, "JET & OUT!", &error));
    ck_assert(g_error_matches(error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE));
    ck_assert_ptr_nonnull(strstr(error->message, "Jet & Out!"));
    g_clear_error(&error);
    g_autoptr(RbConcept) like = rb_concept_start(after, "Jet out", &error);
    ck_assert_str_eq(like->token, "jet-out-2");
    ck_assert_ptr_null(rb_concept_start(after, "   ", &error));
    g_clear_error(&error);
    g_autofree char *endless = g_strnfill(5000, 'x');
    ck_assert_ptr_null(rb_concept_start(after, endless, &error));
    g_clear_error(&error);
}
END_TEST

START_TEST(test_playbook_edit__a_twin_differs_in_name_only)
{
    g_autoptr(RbLibrary) library = library_new();
    g_autoptr(RbNames) names = names_of(library);
    const RbConcept *smash = rb_names_parse_concept(names, "smash", NULL);
    g_autoptr(RbConcept) twin = rb_concept_twin(names, smash);
    ck_assert(twin->id.value != smash->id.value);
    ck_assert_str_ne(twin->token, smash->token);
    g_free(twin->name);
    twin->name = g_strdup(smash->name);
    ck_assert_ptr_null(rb_concept_change_text(smash, twin, rb_names_terms(names)));
}
END_TEST

START_TEST(test_playbook_edit__each_change_is_one_action_with_words)
{
    g_autoptr(RbLibrary) library = library_new();
    g_autoptr(RbNames) names = names_of(library);
    const RbConcept *smash = rb_names_parse_concept(names, "smash", NULL);
    g_autoptr(RbConcept) edited = rb_concept_copy(smash);
    const int before = history_length(library);
    ck_assert_ptr_null(put(library, edited));
    ck_assert_int_eq(history_length(library), before);
    read_of(edited, 1)->depth_yd = 9;
    ck_assert(rb_concept_move_read(edited, 1, 1));
    g_autofree char *words = put(library, edited);
    ck_assert_str_eq(words, "Smash: read 1 changed, reads in another order");
    ck_assert_int_eq(history_length(library), before + 1);
    GError *error = NULL;
    g_autofree char *undone = NULL;
    ck_assert(rb_library_undo(library, &undone, &error));
    rb_assert_no_error(error);
    g_autoptr(RbNames) after = names_of(library);
    const RbConcept *back = rb_names_find_concept(after, smash->id);
    ck_assert_ptr_null(rb_concept_change_text(smash, back, rb_names_terms(names)));
    ck_assert(back->revision.value == smash->revision.value);
    g_autofree char *redone = NULL;
    ck_assert(rb_library_redo(library, &redone, &error));
    g_autoptr(RbNames) again = names_of(library);
    ck_assert_int_eq(read_of(rb_names_find_concept(again, smash->id), 1)->depth_yd, 9);
}
END_TEST

START_TEST(test_playbook_edit__a_new_concept_can_be_undone_and_redone)
{
    g_autoptr(RbLibrary) library = library_new();
    g_autoptr(RbNames) names = names_of(library);
    g_autoptr(RbConcept) concept = rb_concept_start(names, "Bench", NULL);
    g_autofree char *words = put(library, concept);
    g_autofree char *undone = NULL;
    ck_assert(rb_library_undo(library, &undone, NULL));
    g_autoptr(RbNames) without = names_of(library);
    ck_assert_ptr_null(rb_names_find_concept(without, concept->id));
    g_autofree char *redone = NULL;
    ck_assert(rb_library_redo(library, &redone, NULL));
    g_autoptr(RbNames) with = names_of(library);
    ck_assert_ptr_nonnull(rb_names_find_concept(with, concept->id));
}
END_TEST

START_TEST(test_playbook_edit__errors_are_refused_with_their_sentence)
{
    g_autoptr(RbLibrary) library = library_new();
    g_autoptr(RbNames) names = names_of(library);
    g_autoptr(RbConcept) edited =
        rb_concept_copy(rb_names_parse_concept(names, "smash", NULL));
    g_ptr_array_add(edited->rules, rb_rule_new(RB_DO_DROP, 7));
    const int before = history_length(library);
    GError *error = NULL;
    ck_assert(!rb_library_put_concept(library, edited, NULL, &error));
    ck_assert(g_error_matches(error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE));
    ck_assert_ptr_nonnull(strstr(error->message, "names read 7"));
    g_clear_error(&error);
    ck_assert_int_eq(history_length(library), before);
}
END_TEST

START_TEST(test_playbook_edit__reads_keep_their_numbers)
{
    g_autoptr(RbLibrary) library = library_new();
    g_autoptr(RbNames) names = names_of(library);
    g_autoptr(RbConcept) concept = rb_concept_start(names, "Numbers", NULL);
    ck_assert_int_eq(rb_concept_add_read(concept), 2);
    ck_assert_int_eq(rb_concept_add_read(concept), 3);
    ck_assert_int_eq(read_of(concept, 2)->runner, RB_RUNNER_2);
    ck_assert_int_eq(read_of(concept, 2)->clock.hitches, 1);
    ck_assert(rb_concept_move_read(concept, 3, -2));
    ck_assert_int_eq(((RbRead *)concept->reads->pdata[0])->number, 3);
    ck_assert(!rb_concept_move_read(concept, 3, -1));
    ck_assert(!rb_concept_move_read(concept, 9, 1));
    g_ptr_array_add(concept->rules, rb_rule_new(RB_DO_DROP, 2));
    g_ptr_array_add(concept->rules, rb_rule_new(RB_DO_FRONT, 1));
    ck_assert(rb_concept_move_rule(concept, 1, -1));
    ck_assert(!rb_concept_move_rule(concept, 0, -1));
    ck_assert_int_eq(rb_concept_remove_read(concept, 2), 1);
    ck_assert_uint_eq(concept->rules->len, 1);
    /* The number that became free is the next one's. */
    ck_assert_int_eq(rb_concept_add_read(concept), 2);
    ck_assert_int_eq(rb_concept_remove_read(concept, 8), -1);
    for (int number = 4; number <= RB_READS_MAX; number++) {
        ck_assert_int_eq(rb_concept_add_read(concept), number);
    }
    ck_assert_int_eq(rb_concept_add_read(concept), 0);
}
END_TEST

START_TEST(test_playbook_edit__a_read_is_added_before_the_outlet)
{
    g_autoptr(RbLibrary) library = library_new();
    g_autoptr(RbNames) names = names_of(library);
    g_autoptr(RbConcept) edited =
        rb_concept_copy(rb_names_parse_concept(names, "smash", NULL));
    const RbRead *last = edited->reads->pdata[edited->reads->len - 1];
    ck_assert(last->outlet);
    const int number = rb_concept_add_read(edited);
    ck_assert_ptr_eq(edited->reads->pdata[edited->reads->len - 1], last);
    ck_assert_int_eq(((RbRead *)edited->reads->pdata[edited->reads->len - 2])->number,
                     number);
    ck_assert_int_eq(rb_concept_remove_read(edited, number), 0);
}
END_TEST

START_TEST(test_playbook_edit__the_last_read_stays)
{
    g_autoptr(RbLibrary) library = library_new();
    g_autoptr(RbNames) names = names_of(library);
    g_autoptr(RbConcept) concept = rb_concept_start(names, "One", NULL);
    ck_assert_int_eq(rb_concept_remove_read(concept, 1), -1);
    ck_assert_uint_eq(concept->reads->len, 1);
}
END_TEST

START_TEST(test_playbook_edit__a_hidden_concept_is_kept_but_not_offered)
{
    g_autoptr(RbLibrary) library = library_new();
    g_autoptr(RbNames) names = names_of(library);
    g_autoptr(RbConcept) edited =
        rb_concept_copy(rb_names_parse_concept(names, "smash", NULL));
    edited->hidden = true;
    g_autofree char *words = put(library, edited);
    ck_assert_str_eq(words, "Smash: hidden");
    g_autoptr(RbNames) after = names_of(library);
    const RbConcept *kept = rb_names_find_concept(after, edited->id);
    ck_assert(kept != NULL && kept->hidden);
    g_autofree char *document = rb_book_concept_print(kept, rb_names_terms(after));
    ck_assert_ptr_nonnull(strstr(document, "\"hidden\": true"));
    g_autoptr(GError) error = NULL;
    ck_assert_ptr_null(rb_concept_start(after, "smash", &error));
    ck_assert_str_eq(error->message,
                     "There is a concept Smash already, hidden: give another name.");
}
END_TEST

/* An out by #1 and a pivot by #2; against a squat corner with a half-field safety the out clears
 * out, so the pivot comes first. Common practice, no source. */
static RbConcept *out_pivot(const RbNames *names)
{
    RbConcept *concept = rb_concept_start(names, "Out and squeeze", NULL);
    RbRead *out = read_of(concept, 1);
    out->route = RB_ROUTE_OUT;
    out->depth_yd = 12;
    out->landmark = g_strdup("top of the numbers");
    rb_concept_add_read(concept);
    read_of(concept, 2)->route = RB_ROUTE_PIVOT;
    RbRule *rule = rb_rule_new(RB_DO_CONVERT, 1);
    rule->route = RB_ROUTE_GO;
    rule->clear_out = true;
    const RbCondition conditions[] = {
        { .kind = RB_IF_TECHNIQUE, .value = RB_TECHNIQUE_SQUAT },
        { .kind = RB_IF_SAFETY_OVER, .value = RB_YES },
    };
    g_array_append_vals(rule->conditions, conditions, 2);
    g_ptr_array_add(concept->rules, rule);
    return concept;
}

static void assert_line(const RbTryAnswer *answer, guint i, const char *want)
{
    ck_assert_uint_lt(i, answer->lines->len);
    ck_assert_str_eq(answer->lines->pdata[i], want);
}

START_TEST(test_playbook_try__the_picture_decides_the_order_and_says_why)
{
    g_autoptr(RbLibrary) library = library_new();
    g_autoptr(RbNames) names = names_of(library);
    g_autoptr(RbConcept) concept = out_pivot(names);
    RbPictureTry picture = rb_picture_try();
    RbTryAnswer answer;
    rb_concept_try(concept, names, &picture, &answer);
    assert_line(&answer, 0, "Read 1 out, then 2 pivot.");
    assert_line(&answer, 1, "No rule matches this picture.");
    rb_try_answer_clear(&answer);

    picture.side = RB_SIDE_LEFT;
    picture.shown.shell = RB_SHELL_TWO_HIGH;
    picture.shown.left.technique = RB_TECHNIQUE_SQUAT;
    rb_concept_try(concept, names, &picture, &answer);
    assert_line(&answer, 0, "Read 2 pivot.");
    assert_line(&answer, 1, "Not read: 1 go.");
    assert_line(
        &answer, 2,
        "Rule 1: Read 1 becomes a go, only to clear out, if the corner on its side "
        "plays squat and a half-field safety is over its side.");
    ck_assert_int_eq(answer.order.rungs[0].slot, 2);
    ck_assert_int_eq(answer.order.rungs[0].side, RB_SIDE_LEFT);
    rb_try_answer_clear(&answer);
    g_autofree char *text = rb_picture_try_text(&picture, names);
    ck_assert_str_eq(text, "Two high, squat corner left");

    /* The squat corner is on the other side now; or the safety rotates away. */
    picture.side = RB_SIDE_RIGHT;
    rb_concept_try(concept, names, &picture, &answer);
    ck_assert_int_eq(answer.order.rungs[0].slot, 1);
    rb_try_answer_clear(&answer);
    picture.side = RB_SIDE_LEFT;
    picture.shown.rotation = RB_ROTATION_RIGHT;
    rb_concept_try(concept, names, &picture, &answer);
    ck_assert_int_eq(answer.order.rungs[0].slot, 1);
    rb_try_answer_clear(&answer);
    /* A coverage with two deep puts a safety over each half, whatever the shell. */
    picture.coverage = rb_term_id(RB_TERM_COVERAGE, "cover-2");
    rb_concept_try(concept, names, &picture, &answer);
    ck_assert_int_eq(answer.order.rungs[0].slot, 2);
    rb_try_answer_clear(&answer);
}
END_TEST

START_TEST(test_playbook_try__every_starter_concept_against_every_picture)
{
    g_autoptr(RbLibrary) library = library_new();
    g_autoptr(RbNames) names = names_of(library);
    const GPtrArray *concepts = rb_names_concepts(names);
    for (guint i = 0; i < concepts->len; i++) {
        const RbConcept *concept = concepts->pdata[i];
        for (int n = 0; n < 6 * 6 * 4 * 2; n++) {
            RbPictureTry picture = rb_picture_try();
            picture.side = n % 2 == 0 ? RB_SIDE_LEFT : RB_SIDE_RIGHT;
            picture.shown.shell = (RbShell)(n / 2 % 6);
            picture.shown.left.technique = (RbTechnique)(n / 12 % 6);
            picture.shown.right.technique = (RbTechnique)((n / 12 + 3) % 6);
            picture.shown.rotation = (RbRotation)(n / 72 % 4);
            RbTryAnswer answer;
            rb_concept_try(concept, names, &picture, &answer);
            ck_assert_int_eq(answer.order.n, (int)concept->reads->len);
            ck_assert_uint_gt(answer.lines->len, 0);
            const RbDiagram diagram =
                rb_concept_diagram(concept, names, RB_RULES_COLLEGE, &picture);
            ck_assert_int_eq(diagram.n_routes, answer.order.n);
            for (int k = 0; k < diagram.n_routes; k++) {
                RbYards places[RB_ROUTE_POINTS_MAX];
                RbRoutePath path;
                ck_assert_msg(rb_diagram_path(&diagram, k, places, &path),
                              "%s: nobody runs read %d", concept->name,
                              diagram.routes[k].number);
            }
            rb_try_answer_clear(&answer);
        }
    }
}
END_TEST

/* From trips the third receiver takes the pivot: common practice, no source. */
START_TEST(test_playbook_try__the_formation_says_who_is_where)
{
    g_autoptr(RbLibrary) library = library_new();
    g_autoptr(RbNames) names = names_of(library);
    const RbConcept *concept = rb_names_parse_concept(names, "out and pivot", NULL);
    RbPictureTry picture = rb_picture_try();
    picture.side = RB_SIDE_LEFT;
    picture.formation = rb_term_id(RB_TERM_FORMATION, "3x1");
    RbDiagram diagram = rb_concept_diagram(concept, names, RB_RULES_COLLEGE, &picture);
    ck_assert_int_eq(diagram.left, 3);
    ck_assert_int_eq(diagram.right, 1);
    RbTryAnswer answer;
    rb_concept_try(concept, names, &picture, &answer);
    ck_assert_int_eq(answer.order.rungs[1].slot, 2);
    ck_assert_int_eq(answer.order.rungs[1].runner, RB_RUNNER_3);
    rb_try_answer_clear(&answer);
    /* Worked to the single receiver, the second read still has somebody to run it. */
    picture.side = RB_SIDE_RIGHT;
    diagram = rb_concept_diagram(concept, names, RB_RULES_COLLEGE, &picture);
    ck_assert_int_eq(diagram.left, 3);
    ck_assert_int_eq(diagram.right, 2);
}
END_TEST

START_TEST(test_playbook_try__reads_and_clocks_in_words)
{
    g_autoptr(RbLibrary) library = library_new();
    g_autoptr(RbNames) names = names_of(library);
    g_autoptr(RbConcept) concept = out_pivot(names);
    g_autofree char *out = rb_read_text(read_of(concept, 1), rb_names_footwork(names));
    /* Three steps from the gun take 2.2 s in the default table: common practice, no source. */
    ck_assert_str_eq(out, "Out by #1 at 12 yards, top of the numbers, 3 steps, no hitch "
                          "(2.20 s ± 0.25)");
    const RbClock seconds = { .kind = RB_CLOCK_SECONDS, .ms = 1850 };
    g_autofree char *text = rb_clock_text(&seconds, rb_footwork_defaults());
    ck_assert_str_eq(text, "by 1.85 s");
    const RbClock none = { .kind = RB_CLOCK_UNKNOWN };
    g_autofree char *without = rb_clock_text(&none, rb_footwork_defaults());
    ck_assert_str_eq(without, "no clock");
}
END_TEST

START_TEST(test_playbook_try__pages_are_written_by_the_ending_of_their_name)
{
    g_autoptr(RbLibrary) library = library_new();
    g_autoptr(RbNames) names = names_of(library);
    g_autoptr(RbConcept) concept = out_pivot(names);
    static const struct {
        const char *name;
        const char *start;
    } files[] = { { "a.pdf", "%PDF-" }, { "a.PNG", "\x89PNG" }, { "a.svg", "<?xml" } };
    GError *error = NULL;
    for (size_t i = 0; i < G_N_ELEMENTS(files); i++) {
        g_autofree char *path = rb_test_path(files[i].name);
        ck_assert(
            rb_concept_write_page(concept, names, RB_RULES_PRO, NULL, path, &error));
        rb_assert_no_error(error);
        g_autofree char *bytes = NULL;
        gsize length = 0;
        ck_assert(g_file_get_contents(path, &bytes, &length, NULL));
        ck_assert_mem_eq(bytes, files[i].start, strlen(files[i].start));
    }
    g_autofree char *odd = rb_test_path("a.doc");
    ck_assert(!rb_concept_write_page(concept, names, RB_RULES_PRO, NULL, odd, &error));
    ck_assert(g_error_matches(error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE));
    g_clear_error(&error);
    g_autofree char *nowhere = rb_test_path("missing/a.pdf");
    ck_assert(
        !rb_concept_write_page(concept, names, RB_RULES_PRO, NULL, nowhere, &error));
    ck_assert(g_error_matches(error, RB_WORK_ERROR, RB_WORK_ERROR_FAILED));
    g_clear_error(&error);
}
END_TEST

START_TEST(test_playbook_edit__points_are_typed_and_drawn)
{
    g_autoptr(RbRead) read = rb_read_new(1, RB_ROUTE_DRAWN);
    GError *error = NULL;
    ck_assert(rb_read_set_points(read, " 6 0;5 -2.5 ; 5, 8;", &error));
    rb_assert_no_error(error);
    ck_assert_int_eq(read->n_points, 3);
    ck_assert_int_eq(read->points[1].deep_tenths, 50);
    ck_assert_int_eq(read->points[1].out_tenths, -25);
    g_autofree char *text = rb_read_points_text(read);
    ck_assert_str_eq(text, "6 0; 5 -2.5; 5 8");
    static const char *const refused[] = { "6",      "6 0 1", "six 0",
                                           "6 0; x", "100 0", "nan 1" };
    for (size_t i = 0; i < G_N_ELEMENTS(refused); i++) {
        g_autoptr(GError) failure = NULL;
        ck_assert_msg(!rb_read_set_points(read, refused[i], &failure), "%s", refused[i]);
        ck_assert_ptr_nonnull(strstr(failure->message, "is no point"));
        ck_assert_int_eq(read->n_points, 3);
    }
    ck_assert(!rb_read_set_points(read, "1 1;1 1;1 1;1 1;1 1;1 1;1 1;1 1;1 1", &error));
    g_clear_error(&error);
    for (int i = 3; i < RB_POINTS_MAX; i++) {
        ck_assert(rb_read_add_point(read, 10.04, -0.26));
    }
    ck_assert(!rb_read_add_point(read, 1, 1));
    ck_assert_int_eq(read->points[RB_POINTS_MAX - 1].deep_tenths, 100);
    ck_assert_int_eq(read->points[RB_POINTS_MAX - 1].out_tenths, -3);
    ck_assert(rb_read_set_points(read, "", &error));
    ck_assert_int_eq(read->n_points, 0);
    ck_assert(!rb_read_add_point(read, 120, 0));
    ck_assert(rb_read_add_point(read, 12, 0));
    rb_read_set_route(read, RB_ROUTE_OUT);
    ck_assert_int_eq(read->n_points, 0);
}
END_TEST

START_TEST(test_playbook_edit__points_are_moved_and_taken_away)
{
    g_autoptr(RbRead) read = rb_read_new(1, RB_ROUTE_OUT);
    read->depth_yd = 12;
    rb_read_set_route(read, RB_ROUTE_DRAWN); /* begins with the stem it had */
    ck_assert_int_eq(read->n_points, 1);
    ck_assert_int_eq(read->points[0].deep_tenths, 120);
    ck_assert(!rb_read_remove_point(read, 0)); /* a route without points is none */
    ck_assert(rb_read_add_point(read, 12, 6));
    ck_assert_int_eq(rb_read_find_point(read, 11.5, 0.5, 1.0), 0);
    ck_assert_int_eq(rb_read_find_point(read, 11.5, 5.5, 1.0), 1);
    ck_assert_int_eq(rb_read_find_point(read, 2.0, 0.0, 1.0), -1);
    ck_assert(rb_read_move_point(read, 1, 13.5, -4));
    ck_assert_int_eq(read->points[1].deep_tenths, 135);
    ck_assert_int_eq(read->points[1].out_tenths, -40);
    ck_assert(!rb_read_move_point(read, 2, 1, 1));
    ck_assert(!rb_read_move_point(read, 1, 1, 100));
    ck_assert(!rb_read_remove_point(read, 2));
    ck_assert(rb_read_remove_point(read, 0));
    ck_assert_int_eq(read->n_points, 1);
    ck_assert_int_eq(read->points[0].out_tenths, -40);
}
END_TEST

/* Each value of a read is a change of its own: none is left unsaved for being the only one. */
START_TEST(test_playbook_edit__every_value_of_a_read_is_a_change)
{
    static char word[] = "hash";
    static const RbRead others[] = {
        { .route = RB_ROUTE_GO },
        { .runner = RB_RUNNER_3 },
        { .side = RB_READ_SIDE_OTHER },
        { .depth_yd = 11 },
        { .landmark = word },
        { .landmark_from = RB_FROM_HASH },
        { .landmark_tenths = -15 },
        { .points = { { 60, 0 } } },
        { .points = { { 0, 5 } } },
        { .n_points = 1 },
        { .key = word },
        { .clear_out = true },
        { .outlet = true },
        { .clock = { .kind = RB_CLOCK_SECONDS } },
        { .clock = { .ms = 10 } },
        { .clock = { .backfield = RB_BACKFIELD_CENTRE } },
        { .clock = { .steps = 1 } },
        { .clock = { .hitches = 1 } },
        { .clock = { .tolerance_ms = 10 } },
    };
    g_autoptr(GPtrArray) terms = rb_vocabulary_defaults();
    for (size_t i = 0; i < G_N_ELEMENTS(others); i++) {
        g_autoptr(RbConcept) old = rb_concept_new("a", "A");
        g_autoptr(RbConcept) new = rb_concept_new("a", "A");
        RbRead plain = { .number = 1 };
        RbRead other = others[i];
        other.number = 1;
        if (other.points[0].deep_tenths != 0 || other.points[0].out_tenths != 0) {
            plain.n_points = other.n_points = 1;
        }
        g_ptr_array_add(old->reads, rb_read_copy(&plain));
        g_ptr_array_add(new->reads, rb_read_copy(&other));
        g_autofree char *text = rb_concept_change_text(old, new, terms);
        ck_assert_msg(text != NULL && strcmp(text, "A: read 1 changed") == 0,
                      "value %zu: %s", i, text);
    }
}
END_TEST

START_TEST(test_playbook_edit__landmarks_in_words_and_yards)
{
    static const struct {
        RbLandmarkFrom from;
        int tenths;
        const char *text;
    } cases[] = {
        { RB_FROM_NONE, 0, "top of the numbers" },
        { RB_FROM_SIDELINE, 60, "top of the numbers, 6 yd from the sideline" },
        { RB_FROM_NUMBERS, 15, "top of the numbers, 1.5 yd outside the numbers" },
        { RB_FROM_NUMBERS, -20, "top of the numbers, 2 yd inside the numbers" },
        { RB_FROM_HASH, 10, "top of the numbers, 1 yd outside the hash" },
    };
    g_autoptr(RbRead) read = rb_read_new(1, RB_ROUTE_OUT);
    read->landmark = g_strdup("top of the numbers");
    for (size_t i = 0; i < G_N_ELEMENTS(cases); i++) {
        read->landmark_from = cases[i].from;
        read->landmark_tenths = cases[i].tenths;
        g_autofree char *text = rb_landmark_text(read);
        ck_assert_str_eq(text, cases[i].text);
    }
    g_clear_pointer(&read->landmark, g_free);
    g_autofree char *bare = rb_landmark_text(read);
    ck_assert_str_eq(bare, "1 yd outside the hash");
}
END_TEST

TCase *rb_case_playbook_edit(void)
{
    TCase *tcase = rb_case_new("playbook-edit");
    tcase_add_test(tcase, test_playbook_edit__points_are_typed_and_drawn);
    tcase_add_test(tcase, test_playbook_edit__points_are_moved_and_taken_away);
    tcase_add_test(tcase, test_playbook_edit__every_value_of_a_read_is_a_change);
    tcase_add_test(tcase, test_playbook_edit__landmarks_in_words_and_yards);
    tcase_add_test(tcase, test_playbook_edit__a_new_concept_has_its_own_name_and_token);
    tcase_add_test(tcase, test_playbook_edit__a_twin_differs_in_name_only);
    tcase_add_test(tcase, test_playbook_edit__each_change_is_one_action_with_words);
    tcase_add_test(tcase, test_playbook_edit__a_new_concept_can_be_undone_and_redone);
    tcase_add_test(tcase, test_playbook_edit__errors_are_refused_with_their_sentence);
    tcase_add_test(tcase, test_playbook_edit__reads_keep_their_numbers);
    tcase_add_test(tcase, test_playbook_edit__a_read_is_added_before_the_outlet);
    tcase_add_test(tcase, test_playbook_edit__the_last_read_stays);
    tcase_add_test(tcase, test_playbook_edit__a_hidden_concept_is_kept_but_not_offered);
    tcase_add_test(tcase, test_playbook_try__the_picture_decides_the_order_and_says_why);
    tcase_add_test(tcase, test_playbook_try__every_starter_concept_against_every_picture);
    tcase_add_test(tcase, test_playbook_try__the_formation_says_who_is_where);
    tcase_add_test(tcase, test_playbook_try__reads_and_clocks_in_words);
    tcase_add_test(tcase,
                   test_playbook_try__pages_are_written_by_the_ending_of_their_name);
    return tcase;
}
