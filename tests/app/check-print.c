/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What leaves the Pairings desk, without a window and without a printer. */
#include <string.h>

#include "cases.h"
#include "display.h"
#include "print.h"
#include "sample-library.h"

typedef struct {
    RbSession *session;
    char *last; /* owned: what was said last */
} Desk;

static void on_said(Desk *desk, const char *sentence)
{
    g_free(desk->last);
    desk->last = g_strdup(sentence);
}

static bool has_ladder(void *data)
{
    return rb_session_get_ladder(((Desk *)data)->session) != NULL;
}

static bool is_open(void *data)
{
    return rb_session_get_state(((Desk *)data)->session) == RB_SESSION_OPEN;
}

static bool has_said(void *data)
{
    return ((Desk *)data)->last != NULL;
}

static void desk_open(Desk *desk)
{
    GError *error = NULL;
    g_autofree char *path = rb_test_path("sample.readbreak");
    ck_assert(rb_sample_library_make(path, false, &error));
    rb_assert_no_error(error);
    *desk = (Desk){ .session = rb_session_new() };
    g_signal_connect_swapped(desk->session, "said", G_CALLBACK(on_said), desk);
    rb_session_open(desk->session, path);
    ck_assert(rb_display_run_until(is_open, desk));
}

static void desk_show_figures(Desk *desk)
{
    rb_session_want_figures(desk->session);
    rb_session_set_pairing(desk->session, (RbConceptId){ 0 }, (RbTermId){ 0 });
    ck_assert(rb_display_run_until(has_ladder, desk));
    g_clear_pointer(&desk->last, g_free);
}

static void desk_close(Desk *desk)
{
    g_signal_handlers_disconnect_by_data(desk->session, desk);
    rb_session_close(desk->session);
    g_object_unref(desk->session);
    g_free(desk->last);
}

static char *pdf_text(const char *path)
{
    g_autofree char *command = g_strdup_printf("pdftotext -layout '%s' -", path);
    char *out = NULL;
    int status = 1;
    ck_assert(g_spawn_command_line_sync(command, &out, NULL, &status, NULL));
    ck_assert_int_eq(status, 0);
    return out;
}

START_TEST(test_print__every_kind_is_written_and_said)
{
    static const char *const ends[RB_REPORT_KINDS] = {
        [RB_REPORT_PAGE] = "pdf",         [RB_REPORT_PAIRING] = "pdf",
        [RB_REPORT_BOOK] = "pdf",         [RB_REPORT_CALL_SHEET] = "pdf",
        [RB_REPORT_FIGURES] = "csv",      [RB_REPORT_TABLE_CHART] = "svg",
        [RB_REPORT_LADDER_CHART] = "png",
    };
    Desk desk;
    desk_open(&desk);
    desk_show_figures(&desk);
    for (int kind = 0; kind < RB_REPORT_KINDS; kind++) {
        g_autofree char *name = g_strdup_printf(
            "%s.%s", rb_words_token(&rb_report_kind_words, kind), ends[kind]);
        g_autofree char *path = rb_test_path(name);
        ck_assert(rb_paper_export(desk.session, (RbReportKind)kind, path, false, NULL));
        ck_assert(rb_display_run_until(has_said, &desk));
        ck_assert_msg(strstr(desk.last, "ritten to") != NULL, "%s", desk.last);
        g_autofree char *bytes = NULL;
        gsize size = 0;
        ck_assert(g_file_get_contents(path, &bytes, &size, NULL));
        ck_assert_int_gt((int)size, 100);
        g_clear_pointer(&desk.last, g_free);
    }
    desk_close(&desk);
}
END_TEST

START_TEST(test_print__cancelled_leaves_no_file)
{
    Desk desk;
    desk_open(&desk);
    desk_show_figures(&desk);
    g_autoptr(RbCancel) cancel = rb_cancel_new(NULL);
    g_autofree char *path = rb_test_path("book.pdf");
    rb_cancel_cancel(cancel);
    ck_assert(rb_paper_export(desk.session, RB_REPORT_BOOK, path, false, cancel));
    /* The store thread works in order, so what was asked next is said last. */
    g_autofree char *next = rb_test_path("table.csv");
    ck_assert(rb_paper_export(desk.session, RB_REPORT_FIGURES, next, false, NULL));
    ck_assert(rb_display_run_until(has_said, &desk));
    ck_assert_msg(strstr(desk.last, "table.csv") != NULL, "%s", desk.last);
    ck_assert(!g_file_test(path, G_FILE_TEST_EXISTS));
    desk_close(&desk);
}
END_TEST

START_TEST(test_print__nothing_to_export_yet)
{
    Desk desk;
    desk_open(&desk);
    g_autofree char *path = rb_test_path("pairing.pdf");
    ck_assert(!rb_paper_export(desk.session, RB_REPORT_PAIRING, path, false, NULL));
    desk_close(&desk);
}
END_TEST

/* GtkPrintOperation into a file: its pages hold what the document holds. */
START_TEST(test_print__print_operation_prints_the_pages)
{
    Desk desk;
    GError *error = NULL;
    rb_display_start();
    desk_open(&desk);
    desk_show_figures(&desk);
    const RbReportOptions options = { .kind = RB_REPORT_CALL_SHEET };
    RbDocument *document = rb_selection_document(
        rb_session_get_ladder(desk.session)->selection, &options, &error);
    rb_assert_no_error(error);
    const int pages = rb_document_get_pages(document);
    g_autoptr(GtkPrintOperation) operation = rb_print_operation_new(document);
    g_autofree char *path = rb_test_path("printed.pdf");
    gtk_print_operation_set_export_filename(operation, path);
    gtk_print_operation_run(operation, GTK_PRINT_OPERATION_ACTION_EXPORT, NULL, &error);
    rb_assert_no_error(error);
    g_autofree char *text = pdf_text(path);
    g_autofree char *last = g_strdup_printf("Page %d of %d", pages, pages);
    ck_assert_ptr_nonnull(strstr(text, "Call sheet"));
    ck_assert_ptr_nonnull(strstr(text, last));
    desk_close(&desk);
}
END_TEST

TCase *rb_case_print(void)
{
    TCase *tcase = rb_case_new("print");
    tcase_add_test(tcase, test_print__every_kind_is_written_and_said);
    tcase_add_test(tcase, test_print__cancelled_leaves_no_file);
    tcase_add_test(tcase, test_print__nothing_to_export_yet);
    tcase_add_test(tcase, test_print__print_operation_prints_the_pages);
    return tcase;
}
