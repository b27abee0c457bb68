/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "print.h"

#include <glib/gi18n.h>

/* One wish: made on the main thread, fulfilled on the store thread, where the films are. */
typedef struct {
    RbSelection *selection; /* owned */
    RbReportOptions options;
    RbCancel *cancel; /* owned reference, nullable */
    char *path;       /* owned, nullable: to be printed instead */
    GWeakRef window;  /* of a wish to print */
} Wish;

static void wish_free(void *data)
{
    Wish *wish = data;
    rb_selection_free(wish->selection);
    rb_cancel_unref(wish->cancel);
    g_free(wish->path);
    g_weak_ref_clear(&wish->window);
    g_free(wish);
}

/* The chosen pairing, or all that the filter leaves. Returns: (transfer full) (nullable). */
static RbSelection *selection_of(RbSession *session, RbReportKind kind)
{
    const RbSnapshot *snapshot = rb_session_get_snapshot(session);
    const RbLadderAnswer *ladder = rb_session_get_ladder(session);
    const bool one = kind == RB_REPORT_PAIRING || kind == RB_REPORT_LADDER_CHART;
    if (one && ladder != NULL) {
        return rb_selection_new(rb_selection_get_snapshot(ladder->selection),
                                rb_selection_get_filter(ladder->selection));
    }
    return snapshot != NULL && !one
               ? rb_selection_new(snapshot, rb_session_get_filter(session))
               : NULL;
}

static Wish *wish_new(RbSession *session, RbReportKind kind, bool without_names,
                      RbCancel *cancel)
{
    RbSelection *selection = selection_of(session, kind);
    if (selection == NULL) {
        return NULL;
    }
    Wish *wish = g_new0(Wish, 1);
    wish->selection = selection;
    wish->cancel = cancel != NULL ? rb_cancel_ref(cancel) : NULL;
    wish->options = (RbReportOptions){ .kind = kind,
                                       .without_names = without_names,
                                       .cancel = wish->cancel };
    g_weak_ref_init(&wish->window, NULL);
    return wish;
}

/* The frames, for kinds that show them; a film that is not there is no fault. */
static RbStills *stills_for(RbStoreSide *side, const Wish *wish)
{
    const bool shows =
        wish->options.kind == RB_REPORT_PAIRING || wish->options.kind == RB_REPORT_BOOK;
    return shows && side->library != NULL
               ? rb_stills_load(side->library, wish->cancel, NULL)
               : NULL;
}

static RbWordsAnswer *answer(char *words)
{
    RbWordsAnswer *said = g_new0(RbWordsAnswer, 1);
    said->words = words;
    return said;
}

static void *run_export(RbStoreSide *side, void *data, RbCancel *cancel,
                        RbProgress *progress, GError **error)
{
    Wish *wish = data;
    g_autoptr(RbStills) stills = stills_for(side, wish);
    (void)cancel; /* the wish has its own */
    wish->options.stills = stills;
    wish->options.progress = progress;
    if (!rb_selection_write(wish->selection, wish->path, &wish->options, error)) {
        return NULL;
    }
    return answer(g_strdup_printf(_("written to %s"), wish->path));
}

bool rb_paper_export(RbSession *session, RbReportKind kind, const char *path,
                     bool without_names, RbCancel *cancel)
{
    Wish *wish = wish_new(session, kind, without_names, cancel);
    if (wish == NULL) {
        return false;
    }
    wish->path = g_strdup(path);
    rb_session_change(session, run_export, wish, wish_free);
    return true;
}

static void on_begin_print(GtkPrintOperation *operation, GtkPrintContext *context,
                           RbDocument *document)
{
    (void)context;
    gtk_print_operation_set_n_pages(operation, rb_document_get_pages(document));
}

/* Smaller paper gets a smaller page, whole. */
static void on_draw_page(GtkPrintOperation *operation, GtkPrintContext *context,
                         int index, RbDocument *document)
{
    (void)operation;
    cairo_t *cr = gtk_print_context_get_cairo_context(context);
    const double wide =
        gtk_print_context_get_width(context) / rb_document_get_width(document);
    const double high =
        gtk_print_context_get_height(context) / rb_document_get_height(document);
    const double scale = MIN(wide, high);
    cairo_save(cr);
    cairo_scale(cr, scale, scale);
    rb_document_paint(document, index, cr);
    cairo_restore(cr);
}

static void free_document(void *document)
{
    rb_document_free(document);
}

GtkPrintOperation *rb_print_operation_new(RbDocument *taken)
{
    GtkPrintOperation *operation = gtk_print_operation_new();
    g_autoptr(GtkPageSetup) setup = gtk_page_setup_new();
    GtkPaperSize *letter = gtk_paper_size_new(GTK_PAPER_NAME_LETTER);
    const bool across = rb_document_get_width(taken) > rb_document_get_height(taken);
    gtk_page_setup_set_paper_size(setup, letter);
    gtk_page_setup_set_orientation(setup, across ? GTK_PAGE_ORIENTATION_LANDSCAPE
                                                 : GTK_PAGE_ORIENTATION_PORTRAIT);
    gtk_paper_size_free(letter);
    gtk_print_operation_set_default_page_setup(operation, setup);
    gtk_print_operation_set_use_full_page(operation, TRUE);
    gtk_print_operation_set_unit(operation, GTK_UNIT_POINTS);
    gtk_print_operation_set_show_progress(operation, TRUE);
    gtk_print_operation_set_embed_page_setup(operation, TRUE);
    g_object_set_data_full(G_OBJECT(operation), "document", taken, free_document);
    g_signal_connect(operation, "begin-print", G_CALLBACK(on_begin_print), taken);
    g_signal_connect(operation, "draw-page", G_CALLBACK(on_draw_page), taken);
    return operation;
}

/* Pages that are ready for the print dialog. */
typedef struct {
    GtkWindow *window; /* owned reference */
    RbDocument *document;
} Ready;

static gboolean show_dialog(void *data)
{
    Ready *ready = data;
    g_autoptr(GError) error = NULL;
    g_autoptr(GtkPrintOperation) operation =
        rb_print_operation_new(g_steal_pointer(&ready->document));
    gtk_print_operation_run(operation, GTK_PRINT_OPERATION_ACTION_PRINT_DIALOG,
                            ready->window, &error);
    if (error != NULL) {
        g_autofree char *sentence = g_strdup_printf(
            _("It cannot be printed: %s. Export it as a file instead."), error->message);
        rb_window_say(RB_WINDOW(ready->window), sentence);
    }
    g_object_unref(ready->window);
    g_free(ready);
    return G_SOURCE_REMOVE;
}

/* Lays the pages out here, with the frames; the dialog belongs to the main thread. */
static void *run_print(RbStoreSide *side, void *data, RbCancel *cancel,
                       RbProgress *progress, GError **error)
{
    Wish *wish = data;
    g_autoptr(RbStills) stills = stills_for(side, wish);
    (void)cancel;
    wish->options.stills = stills;
    wish->options.progress = progress;
    RbDocument *document = rb_selection_document(wish->selection, &wish->options, error);
    if (document == NULL) {
        return NULL;
    }
    GtkWindow *window = g_weak_ref_get(&wish->window);
    if (window == NULL) {
        rb_document_free(document);
        return answer(g_strdup(_("not printed")));
    }
    Ready *ready = g_new0(Ready, 1);
    *ready = (Ready){ window, document };
    const int n = rb_document_get_pages(document);
    g_idle_add(show_dialog, ready);
    return answer(
        g_strdup_printf(ngettext("%d page to print", "%d pages to print", n), n));
}

static bool parse_kind(GVariant *value, RbReportKind *kind)
{
    int parsed = 0;
    const bool known =
        rb_words_parse(&rb_report_kind_words, g_variant_get_string(value, NULL), &parsed);
    *kind = (RbReportKind)parsed;
    return known;
}

static bool leaves_names_out(RbWindow *window)
{
    g_autoptr(GVariant) state =
        g_action_group_get_action_state(G_ACTION_GROUP(window), "without-names");
    return g_variant_get_boolean(state);
}

static void free_cancel(void *cancel)
{
    rb_cancel_unref(cancel);
}

/* What stops the newest wish. (transfer none) */
static RbCancel *renew_cancel(RbWindow *window)
{
    RbCancel *cancel = rb_cancel_new(NULL);
    g_object_set_data_full(G_OBJECT(window), "paper-cancel", cancel, free_cancel);
    return cancel;
}

static void say_nothing_there(RbWindow *window)
{
    rb_window_say(window, _("There are no figures yet: open the Pairings desk first."));
}

static void on_print(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    RbReportKind kind = RB_REPORT_PAGE;
    if (!parse_kind(value, &kind)) {
        return;
    }
    RbSession *session = rb_window_get_session(data);
    Wish *wish = wish_new(session, kind, leaves_names_out(data), renew_cancel(data));
    if (wish == NULL) {
        say_nothing_there(data);
        return;
    }
    g_weak_ref_set(&wish->window, data);
    rb_window_say(data, _("Laying out the pages; Ctrl+period stops it."));
    rb_session_change(session, run_print, wish, wish_free);
}

/* What a file of each kind is called until somebody says otherwise. */
static const char *file_name(RbReportKind kind)
{
    static const char *const names[RB_REPORT_KINDS] = {
        [RB_REPORT_PAGE] = "pairings.pdf",
        [RB_REPORT_PAIRING] = "pairing.pdf",
        [RB_REPORT_BOOK] = "pairing-book.pdf",
        [RB_REPORT_CALL_SHEET] = "call-sheet.pdf",
        [RB_REPORT_FIGURES] = "pairings.xlsx",
        [RB_REPORT_TABLE_CHART] = "pairings.svg",
        [RB_REPORT_LADDER_CHART] = "ladder.svg",
    };
    return names[kind];
}

static void on_chosen(GtkFileChooserNative *chooser, int response, RbWindow *window)
{
    g_autoptr(GFile) file = response == GTK_RESPONSE_ACCEPT
                                ? gtk_file_chooser_get_file(GTK_FILE_CHOOSER(chooser))
                                : NULL;
    g_autofree char *path = file != NULL ? g_file_get_path(file) : NULL;
    const RbReportKind kind =
        (RbReportKind)GPOINTER_TO_INT(g_object_get_data(G_OBJECT(chooser), "kind"));
    if (path != NULL) {
        rb_window_say(window, _("Writing; Ctrl+period stops it."));
    }
    if (path != NULL &&
        !rb_paper_export(rb_window_get_session(window), kind, path,
                         leaves_names_out(window), renew_cancel(window))) {
        say_nothing_there(window);
    }
    g_object_set_data(G_OBJECT(window), "paper-file", NULL);
}

static void on_export(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    RbReportKind kind = RB_REPORT_PAGE;
    if (!parse_kind(value, &kind)) {
        return;
    }
    GtkFileChooserNative *chooser = gtk_file_chooser_native_new(
        _("Export"), data, GTK_FILE_CHOOSER_ACTION_SAVE, _("_Export"), _("_Cancel"));
    gtk_file_chooser_set_current_name(GTK_FILE_CHOOSER(chooser), file_name(kind));
    g_object_set_data(G_OBJECT(chooser), "kind", GINT_TO_POINTER((int)kind));
    g_signal_connect_object(chooser, "response", G_CALLBACK(on_chosen), data, 0);
    g_object_set_data_full(G_OBJECT(data), "paper-file", chooser, g_object_unref);
    gtk_native_dialog_show(GTK_NATIVE_DIALOG(chooser));
}

static void on_cancel(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    (void)value;
    RbCancel *cancel = g_object_get_data(G_OBJECT(data), "paper-cancel");
    if (cancel != NULL) {
        rb_cancel_cancel(cancel);
    }
}

void rb_window_add_paper_actions(RbWindow *window)
{
    static const GActionEntry entries[] = {
        { .name = "print", .activate = on_print, .parameter_type = "s" },
        { .name = "export", .activate = on_export, .parameter_type = "s" },
        { .name = "without-names", .state = "false" },
        { .name = "cancel-export", .activate = on_cancel },
    };
    g_action_map_add_action_entries(G_ACTION_MAP(window), entries, G_N_ELEMENTS(entries),
                                    window);
}
