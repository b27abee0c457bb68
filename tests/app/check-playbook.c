/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The Playbook desk on a real library. */
#include <string.h>

#include "rb/book/check.h"
#include "rb/work/footwork.h"
#include "rb/work/playbook-edit.h"

#include "cases.h"
#include "choice.h"
#include "display.h"
#include "form.h"
#include "playbook-desk.h"
#include "playbook-draft.h"
#include "playbook-footwork.h"

typedef struct {
    char *path; /* owned */
    RbSession *session;
    RbPlaybookDraft *draft;
} Book;

static bool has_concept(void *data)
{
    return rb_playbook_draft_get_concept(((Book *)data)->draft) != NULL;
}

static void book_open(Book *book)
{
    GError *error = NULL;
    book->path = rb_test_path("book.readbreak");
    rb_library_close(rb_library_create(book->path, "Coach", &error));
    rb_assert_no_error(error);
    book->session = rb_session_new();
    book->draft = rb_playbook_draft_new(book->session);
    rb_session_open(book->session, book->path);
    ck_assert(rb_display_run_until(has_concept, book));
}

static void book_close(Book *book)
{
    gpointer draft = book->draft;
    g_object_add_weak_pointer(draft, &draft);
    g_object_unref(book->draft);
    ck_assert_ptr_null(draft);
    rb_session_close(book->session);
    g_object_unref(book->session);
    g_free(book->path);
}

/* The concept as another reader of the file finds it. Returns: (transfer full) (nullable). */
static RbConcept *stored(const Book *book, const char *name)
{
    GError *error = NULL;
    g_autoptr(RbLibrary) library = rb_library_open_to_read(book->path, &error);
    rb_assert_no_error(error);
    g_autoptr(RbNames) names = rb_library_load_names(library, &error);
    rb_assert_no_error(error);
    const RbConcept *concept = rb_names_parse_concept(names, name, NULL);
    return concept != NULL ? rb_concept_copy(concept) : NULL;
}

/* No edit is waiting or on its way. */
static bool is_quiet(void *data)
{
    const Book *book = data;
    const RbConcept *mine = rb_playbook_draft_get_concept(book->draft);
    const RbNames *names = rb_playbook_draft_get_names(book->draft);
    const RbConcept *have = rb_names_find_concept(names, mine->id);
    g_autofree char *difference =
        have != NULL ? rb_concept_change_text(have, mine, rb_names_terms(names))
                     : g_strdup("not there");
    return !rb_session_is_changing(book->session) && difference == NULL;
}

static RbRead *first_read(Book *book)
{
    return rb_playbook_draft_edit(book->draft)->reads->pdata[0];
}

START_TEST(test_playbook__an_edit_is_on_the_disk_and_can_be_undone)
{
    rb_display_start();
    Book book;
    book_open(&book);
    GError *error = NULL;
    ck_assert(rb_playbook_draft_start(book.draft, "Bench", &error));
    rb_assert_no_error(error);
    ck_assert(rb_display_run_until(is_quiet, &book));
    first_read(&book)->depth_yd = 7;
    rb_playbook_draft_edited(book.draft);
    first_read(&book)->depth_yd = 8;
    rb_playbook_draft_edited(book.draft);
    ck_assert(rb_display_run_until(is_quiet, &book));
    g_autoptr(RbConcept) saved = stored(&book, "Bench");
    ck_assert_int_eq(((RbRead *)saved->reads->pdata[0])->depth_yd, 8);
    /* Two edits in quick succession are one action. */
    rb_session_undo(book.session);
    while (rb_session_is_changing(book.session) || first_read(&book)->depth_yd != 0) {
        g_main_context_iteration(NULL, TRUE);
    }
    book_close(&book);
}
END_TEST

START_TEST(test_playbook__an_error_waits_and_says_why)
{
    rb_display_start();
    Book book;
    book_open(&book);
    ck_assert(rb_playbook_draft_start(book.draft, "Bench", NULL));
    ck_assert(rb_display_run_until(is_quiet, &book));
    RbConcept *concept = rb_playbook_draft_edit(book.draft);
    RbRule *rule = rb_rule_new(RB_DO_REQUIRE_ADJUSTMENT, 0);
    const RbCondition played = { .kind = RB_IF_RUSHERS_AT_LEAST, .value = 5 };
    g_array_append_val(rule->conditions, played);
    g_ptr_array_add(concept->rules, rule);
    rb_playbook_draft_edited(book.draft);
    ck_assert(!rb_playbook_draft_is_saved(book.draft));
    const GPtrArray *findings = rb_playbook_draft_get_findings(book.draft);
    const RbBookFinding *first = findings->pdata[0];
    ck_assert_int_eq(first->kind, RB_BOOK_NEVER_MATCHES);
    for (int i = 0; i < 30; i++) { /* longer than an edit waits before it is saved */
        rb_display_settle();
        g_usleep(10 * 1000);
    }
    g_autoptr(RbConcept) before = stored(&book, "Bench");
    ck_assert_uint_eq(before->rules->len, 0);
    ck_assert_uint_eq(rb_playbook_draft_get_concept(book.draft)->rules->len, 1);
    rb_playbook_draft_discard(book.draft);
    ck_assert(rb_playbook_draft_is_saved(book.draft));
    ck_assert_uint_eq(rb_playbook_draft_get_concept(book.draft)->rules->len, 0);
    book_close(&book);
}
END_TEST

static void on_said(char **last, const char *sentence)
{
    g_free(*last);
    *last = g_strdup(sentence);
}

START_TEST(test_playbook__leaving_an_error_says_what_is_lost)
{
    rb_display_start();
    Book book;
    book_open(&book);
    g_autofree char *last = NULL;
    g_signal_connect_swapped(book.session, "said", G_CALLBACK(on_said), &last);
    const RbNames *names = rb_playbook_draft_get_names(book.draft);
    rb_playbook_draft_choose(book.draft,
                             rb_names_parse_concept(names, "smash", NULL)->id);
    RbConcept *concept = rb_playbook_draft_edit(book.draft);
    g_ptr_array_add(concept->rules, rb_rule_new(RB_DO_DROP, 8));
    rb_playbook_draft_edited(book.draft);
    rb_playbook_draft_choose(book.draft,
                             rb_names_parse_concept(names, "stick", NULL)->id);
    ck_assert_ptr_nonnull(last);
    ck_assert_ptr_nonnull(strstr(last, "Smash was not saved"));
    ck_assert_str_eq(rb_playbook_draft_get_concept(book.draft)->token, "stick");
    g_signal_handlers_disconnect_by_data(book.session, &last);
    book_close(&book);
}
END_TEST

START_TEST(test_playbook__choosing_another_concept_loses_nothing)
{
    rb_display_start();
    Book book;
    book_open(&book);
    ck_assert(rb_playbook_draft_start(book.draft, "Bench", NULL));
    ck_assert(rb_display_run_until(is_quiet, &book));
    first_read(&book)->depth_yd = 9;
    rb_playbook_draft_edited(book.draft);
    const RbNames *names = rb_playbook_draft_get_names(book.draft);
    const RbConceptId smash = rb_names_parse_concept(names, "smash", NULL)->id;
    rb_playbook_draft_choose(book.draft, smash);
    ck_assert(rb_playbook_draft_get_concept(book.draft)->id.value == smash.value);
    ck_assert(rb_display_run_until(is_quiet, &book));
    g_autoptr(RbConcept) saved = stored(&book, "Bench");
    ck_assert_int_eq(((RbRead *)saved->reads->pdata[0])->depth_yd, 9);
    ck_assert(rb_playbook_draft_get_concept(book.draft)->id.value == smash.value);
    book_close(&book);
}
END_TEST

START_TEST(test_playbook__a_twin_and_a_refused_name)
{
    rb_display_start();
    Book book;
    book_open(&book);
    GError *error = NULL;
    const RbNames *names = rb_playbook_draft_get_names(book.draft);
    rb_playbook_draft_choose(book.draft,
                             rb_names_parse_concept(names, "smash", NULL)->id);
    rb_playbook_draft_twin(book.draft);
    ck_assert_str_eq(rb_playbook_draft_get_concept(book.draft)->name, "Smash 2");
    ck_assert(rb_display_run_until(is_quiet, &book));
    ck_assert(!rb_playbook_draft_start(book.draft, "smash", &error));
    ck_assert_ptr_nonnull(strstr(error->message, "Smash"));
    g_clear_error(&error);
    ck_assert_str_eq(rb_playbook_draft_get_concept(book.draft)->name, "Smash 2");
    book_close(&book);
}
END_TEST

START_TEST(test_playbook__the_picture_is_tried_at_once)
{
    rb_display_start();
    Book book;
    book_open(&book);
    const RbNames *names = rb_playbook_draft_get_names(book.draft);
    rb_playbook_draft_choose(book.draft,
                             rb_names_parse_concept(names, "out and pivot", NULL)->id);
    const RbTryAnswer *answer = rb_playbook_draft_get_answer(book.draft);
    ck_assert_int_eq(answer->order.rungs[0].slot, 1);
    RbPictureTry picture = *rb_playbook_draft_get_picture(book.draft);
    picture.side = RB_SIDE_LEFT;
    picture.shown.shell = RB_SHELL_TWO_HIGH;
    picture.shown.left.technique = RB_TECHNIQUE_SQUAT;
    rb_playbook_draft_set_picture(book.draft, &picture);
    answer = rb_playbook_draft_get_answer(book.draft);
    /* A squat corner under a half-field safety takes the out away: common practice, no source. */
    ck_assert_int_eq(answer->order.rungs[0].slot, 2);
    ck_assert_uint_ne(answer->order.matched, 0);
    book_close(&book);
}
END_TEST

/* The number field that comes after `skip` others. */
static GtkWidget *spin_of(GtkWidget *widget, int *skip)
{
    if (GTK_IS_SPIN_BUTTON(widget) && (*skip)-- == 0) {
        return widget;
    }
    for (GtkWidget *child = gtk_widget_get_first_child(widget); child != NULL;
         child = gtk_widget_get_next_sibling(child)) {
        GtkWidget *found = spin_of(child, skip);
        if (found != NULL) {
            return found;
        }
    }
    return NULL;
}

/* The time of the first line, 1 step from centre, as another reader of the file finds it. */
static int stored_step_ms(const Book *book)
{
    GError *error = NULL;
    g_autoptr(RbLibrary) library = rb_library_open_to_read(book->path, &error);
    rb_assert_no_error(error);
    g_autoptr(RbNames) names = rb_library_load_names(library, &error);
    rb_assert_no_error(error);
    g_autoptr(GArray) lines = rb_footwork_lines(rb_names_footwork(names));
    return g_array_index(lines, RbFootworkLine, 0).ms;
}

static void run_until_answered(Book *book)
{
    do {
        g_main_context_iteration(NULL, FALSE);
        g_usleep(1000);
    } while (rb_session_is_changing(book->session));
    rb_display_settle();
}

START_TEST(test_playbook_footwork__a_time_is_stored_and_taken_back)
{
    rb_display_start();
    Book book;
    book_open(&book);
    gpointer table = g_object_ref_sink(g_object_new(RB_TYPE_PLAYBOOK_FOOTWORK, NULL));
    rb_playbook_footwork_set_draft(table, book.draft, book.session);
    int first = 0;
    GtkSpinButton *spin = GTK_SPIN_BUTTON(spin_of(table, &first));
    const int before = stored_step_ms(&book);
    ck_assert_double_eq_tol(gtk_spin_button_get_value(spin), before / 1000.0, 1e-9);
    gtk_spin_button_set_value(spin, 1.15);
    run_until_answered(&book);
    ck_assert_int_eq(stored_step_ms(&book), 1150);
    /* Longer than three steps take: it waits, and nothing is stored. */
    gtk_spin_button_set_value(spin, 9.0);
    run_until_answered(&book);
    ck_assert_int_eq(stored_step_ms(&book), 1150);
    gtk_spin_button_set_value(spin, 1.25);
    run_until_answered(&book);
    ck_assert_int_eq(stored_step_ms(&book), 1250);
    rb_session_undo(book.session);
    run_until_answered(&book);
    ck_assert_int_eq(stored_step_ms(&book), 1150);
    g_object_unref(table);
    book_close(&book);
}
END_TEST

static void count(gpointer counter)
{
    ++*(int *)counter;
}

START_TEST(test_choice__stands_for_values_and_is_quiet_when_it_is_set)
{
    rb_display_start();
    RbChoice *choice = g_object_ref_sink(rb_choice_new("Route"));
    int changes = 0;
    g_signal_connect_swapped(choice, "changed", G_CALLBACK(count), &changes);
    ck_assert_int_eq(rb_choice_get(choice), 0);
    rb_choice_add_words(choice, &rb_route_words, 1);
    rb_choice_set(choice, RB_ROUTE_DIG);
    ck_assert_int_eq(rb_choice_get(choice), RB_ROUTE_DIG);
    rb_choice_clear(choice);
    rb_choice_add(choice, 70, "seventy");
    rb_choice_add(choice, 80, "eighty");
    rb_choice_set(choice, 80);
    ck_assert_int_eq(rb_choice_get(choice), 80);
    rb_choice_set(choice, 3); /* no such value: the first */
    ck_assert_int_eq(rb_choice_get(choice), 70);
    ck_assert_int_eq(changes, 0);
    g_object_unref(choice);
}
END_TEST

START_TEST(test_form__a_text_keeps_what_it_cannot_show_whole)
{
    rb_display_start();
    int changes = 0;
    GtkWidget *entry = g_object_ref_sink(rb_text_new("", G_CALLBACK(count), &changes));
    g_autofree char *endless = g_strnfill(150, 'x');
    rb_text_set(entry, endless);
    ck_assert_int_lt((int)strlen(gtk_editable_get_text(GTK_EDITABLE(entry))), 150);
    g_autofree char *kept = rb_text_dup(entry);
    ck_assert_str_eq(kept, endless);
    gtk_editable_set_text(GTK_EDITABLE(entry), "  numbers ");
    g_autofree char *typed = rb_text_dup(entry);
    ck_assert_str_eq(typed, "numbers");
    rb_text_set(entry, endless); /* filled again meanwhile: the typing stays */
    ck_assert_str_eq(gtk_editable_get_text(GTK_EDITABLE(entry)), "  numbers ");
    gtk_editable_set_text(GTK_EDITABLE(entry), "  ");
    ck_assert_ptr_null(rb_text_dup(entry));
    ck_assert_int_eq(changes, 0);
    g_object_unref(entry);
}
END_TEST

static int drawn_pixels(GtkWidget *widget)
{
    int width = 0;
    int height = 0;
    g_autofree guchar *pixels = rb_display_pixels(widget, &width, &height);
    int other = 0;
    for (int i = 0; i < width * height; i++) {
        other += memcmp(pixels + 4 * i, pixels, 4) != 0;
    }
    return other;
}

START_TEST(test_playbook_desk__shows_a_library_and_is_gone_with_its_window)
{
    rb_display_start();
    Book book;
    book_open(&book);
    gpointer desk = g_object_new(RB_TYPE_PLAYBOOK_DESK, NULL);
    g_object_add_weak_pointer(desk, &desk);
    rb_playbook_desk_set_session(desk, book.session);
    GtkWidget *window = rb_display_show(desk, 1280, 740);
    ck_assert_int_gt(drawn_pixels(desk), 20000);
    ck_assert_int_le(gtk_widget_get_width(desk), 1280);
    gtk_window_destroy(GTK_WINDOW(window));
    rb_display_settle();
    ck_assert_ptr_null(desk);
    book_close(&book);
}
END_TEST

TCase *rb_case_playbook(void)
{
    TCase *tcase = rb_case_new("playbook");
    tcase_add_test(tcase, test_playbook__an_edit_is_on_the_disk_and_can_be_undone);
    tcase_add_test(tcase, test_playbook__an_error_waits_and_says_why);
    tcase_add_test(tcase, test_playbook__leaving_an_error_says_what_is_lost);
    tcase_add_test(tcase, test_playbook__choosing_another_concept_loses_nothing);
    tcase_add_test(tcase, test_playbook__a_twin_and_a_refused_name);
    tcase_add_test(tcase, test_playbook__the_picture_is_tried_at_once);
    tcase_add_test(tcase, test_playbook_footwork__a_time_is_stored_and_taken_back);
    tcase_add_test(tcase, test_choice__stands_for_values_and_is_quiet_when_it_is_set);
    tcase_add_test(tcase, test_form__a_text_keeps_what_it_cannot_show_whole);
    tcase_add_test(tcase,
                   test_playbook_desk__shows_a_library_and_is_gone_with_its_window);
    return tcase;
}
