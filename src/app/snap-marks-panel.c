/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "snap-marks-panel.h"

#include <glib/gi18n.h>

#include "bridge.h"
#include "form.h"
#include "help.h"
#include "snap-mark-rows.h"
#include "still-view.h"
#include "task-window.h"

struct _RbSnapMarksPanel {
    GtkWindow parent_instance;
    GtkListBox *list;
    RbStillView *still;
    RbTaskFoot foot;

    RbSession *session; /* owned */
    RbJobs *jobs;       /* owned */
    RbJob *job;         /* owned, nullable: looking */
    RbWaker *waker;     /* owned */
    RbSnapRows *rows;   /* owned, nullable: nothing found yet, or handed over */
    bool accepted;      /* and waits for the answer */
};

G_DEFINE_FINAL_TYPE(RbSnapMarksPanel, rb_snap_marks_panel, GTK_TYPE_WINDOW)

static void free_search(void *search)
{
    rb_snap_search_free(search);
}

/* RbJobRun, on a worker: the search goes through it and comes out looked at. */
static void *look(void *data, RbCancel *cancel, RbProgress *progress, GError **error)
{
    RbSnapSearch **search = data;
    if (!rb_snap_search_run(*search, cancel, progress, error)) {
        return NULL;
    }
    return g_steal_pointer(search);
}

static void free_look(void *data)
{
    RbSnapSearch **search = data;
    rb_snap_search_free(*search);
    g_free(search);
}

static void show_busy(RbSnapMarksPanel *panel, bool busy)
{
    rb_task_foot_set_busy(&panel->foot, busy,
                          panel->rows != NULL && rb_snap_rows_count(panel->rows) > 0);
}

static void show_summary(RbSnapMarksPanel *panel)
{
    g_autofree char *text = rb_snap_rows_text(panel->rows);
    gtk_label_set_text(panel->foot.summary, text);
    show_busy(panel, false);
}

/* The frame that is proposed for the chosen clip. */
static void on_row(RbSnapMarksPanel *panel)
{
    if (panel->rows != NULL) {
        rb_snap_rows_show_still(panel->rows, panel->list, panel->still);
    }
}

static void on_news(void *data)
{
    RbSnapMarksPanel *panel = data;
    if (panel->job == NULL) {
        return;
    }
    if (!rb_job_is_done(panel->job)) {
        gtk_progress_bar_set_fraction(
            panel->foot.bar, CLAMP(rb_job_get_progress(panel->job, NULL), 0.0, 1.0));
        return;
    }
    g_autoptr(GError) error = NULL;
    RbSnapSearch *search = rb_job_take_result(panel->job, &error);
    g_clear_pointer(&panel->job, rb_job_unref);
    if (search == NULL) {
        gtk_label_set_text(panel->foot.summary, error->message);
        show_busy(panel, false);
        return;
    }
    panel->rows = rb_snap_rows_new(search);
    rb_snap_rows_fill(panel->rows, panel->list);
    show_summary(panel);
    on_row(panel);
}

/* The session told which clips there are. */
static void on_search(RbSnapMarksPanel *panel)
{
    RbSnapSearch *search = rb_session_steal_snap_search(panel->session);
    if (search == NULL || panel->job != NULL || panel->rows != NULL) {
        rb_snap_search_free(search);
        return;
    }
    if (search->proposals->len == 0) {
        rb_snap_search_free(search);
        gtk_label_set_text(panel->foot.summary,
                           _("Every clip of this game has its snap mark already."));
        return;
    }
    RbSnapSearch **held = g_new(RbSnapSearch *, 1);
    *held = search;
    const RbJobSpec spec = { .run = look,
                             .data = held,
                             .free_data = free_look,
                             .free_result = free_search,
                             .wake = rb_waker_wake,
                             .wake_data = panel->waker };
    gtk_label_set_text(panel->foot.summary, _("Looking for the snap in each clip…"));
    panel->job = rb_jobs_submit(panel->jobs, &spec);
    show_busy(panel, true);
}

static void drop_job(RbSnapMarksPanel *panel)
{
    if (panel->job != NULL) {
        rb_job_cancel(panel->job);
        g_clear_pointer(&panel->job, rb_job_unref);
    }
}

static void on_stop(RbSnapMarksPanel *panel)
{
    drop_job(panel);
    gtk_label_set_text(panel->foot.summary, _("Stopped; nothing was changed."));
    show_busy(panel, false);
}

static void on_accept(RbSnapMarksPanel *panel)
{
    if (panel->rows == NULL || panel->accepted) {
        return;
    }
    panel->accepted = true;
    gtk_widget_set_sensitive(panel->foot.accept, false);
    rb_session_save_snap_marks(panel->session, rb_snap_rows_dup_taken(panel->rows));
}

/* What came of it is said here too. */
static void on_said(RbSnapMarksPanel *panel, const char *sentence)
{
    if (panel->accepted) {
        gtk_label_set_text(panel->foot.summary, sentence);
    }
}

static gboolean on_key(GtkEventControllerKey *controller, guint key, guint code,
                       GdkModifierType state, RbSnapMarksPanel *panel)
{
    (void)controller;
    (void)code;
    if ((state & (GDK_CONTROL_MASK | GDK_ALT_MASK)) != 0 || panel->rows == NULL ||
        panel->accepted ||
        !rb_snap_rows_judge(panel->rows, panel->list, key,
                            (state & GDK_SHIFT_MASK) != 0)) {
        return false;
    }
    show_summary(panel);
    on_row(panel);
    return true;
}

static void rb_snap_marks_panel_dispose(GObject *object)
{
    RbSnapMarksPanel *panel = RB_SNAP_MARKS_PANEL(object);
    drop_job(panel);
    g_clear_pointer(&panel->jobs, rb_jobs_free);
    g_clear_pointer(&panel->waker, rb_waker_free);
    g_clear_pointer(&panel->rows, rb_snap_rows_free);
    g_clear_object(&panel->session);
    G_OBJECT_CLASS(rb_snap_marks_panel_parent_class)->dispose(object);
}

static void rb_snap_marks_panel_class_init(RbSnapMarksPanelClass *klass)
{
    G_OBJECT_CLASS(klass)->dispose = rb_snap_marks_panel_dispose;
    rb_task_window_class_init(GTK_WIDGET_CLASS(klass));
}

static GtkWidget *make_middle(RbSnapMarksPanel *panel)
{
    GtkWidget *row = gtk_box_new(GTK_ORIENTATION_HORIZONTAL, 10);
    GtkWidget *table =
        rb_task_table_new(&panel->list, _("Where the snap is in each clip"), NULL,
                          G_CALLBACK(on_key), G_CALLBACK(on_row), panel);
    GtkWidget *still = rb_still_view_new();
    panel->still = RB_STILL_VIEW(still);
    gtk_widget_set_hexpand(table, true);
    gtk_box_append(GTK_BOX(row), table);
    gtk_box_append(GTK_BOX(row), still);
    return row;
}

static void rb_snap_marks_panel_init(RbSnapMarksPanel *panel)
{
    rb_help_mark(GTK_WIDGET(panel), "tagging.html#marks");
    GtkWidget *box = gtk_box_new(GTK_ORIENTATION_VERTICAL, 10);
    panel->jobs = rb_jobs_new(1);
    panel->waker = rb_waker_new(on_news, panel);
    gtk_box_append(GTK_BOX(box), make_middle(panel));
    gtk_box_append(GTK_BOX(box), rb_task_foot_new(&panel->foot, G_CALLBACK(on_stop),
                                                  G_CALLBACK(on_accept), panel));
    rb_task_window_fill(GTK_WINDOW(panel), box, _("Find the snaps"), 900, 600);
}

void rb_snap_marks_panel_open(GtkWindow *parent, RbSession *session)
{
    RbSnapMarksPanel *panel =
        RB_SNAP_MARKS_PANEL(rb_task_window_new(RB_TYPE_SNAP_MARKS_PANEL, parent));
    panel->session = g_object_ref(session);
    g_signal_connect_object(session, "snap-search", G_CALLBACK(on_search), panel,
                            G_CONNECT_SWAPPED);
    g_signal_connect_object(session, "said", G_CALLBACK(on_said), panel,
                            G_CONNECT_SWAPPED);
    gtk_window_present(GTK_WINDOW(panel));
    if (rb_session_get_game(session).value == 0) {
        gtk_label_set_text(panel->foot.summary, _("Choose a game first."));
    } else {
        gtk_label_set_text(panel->foot.summary, _("Finding the films…"));
        rb_session_want_snap_search(session);
    }
}
