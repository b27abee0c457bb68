/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "cutups-export.h"

#include <glib/gi18n.h>
#include <string.h>

#include "rb/base/error.h"
#include "rb/work/error.h"

#include "bridge.h"
#include "caution.h"
#include "form.h"
#include "help.h"

struct _RbCutupsExport {
    GtkBox parent_instance;
    GtkEditable *file;
    GtkCheckButton *each;
    GtkCheckButton *sound;
    GtkCheckButton *cards;
    GtkCheckButton *drawings;
    GtkCheckButton *names;
    GtkCheckButton *skip;
    GtkButton *start;
    GtkProgressBar *bar;
    GtkLabel *said;

    bool replace; /* the person knows that there is such a file */
    RbCutupsExportPlan plan;
    void *owner;    /* borrowed */
    RbJobs *jobs;   /* owned */
    RbJob *job;     /* owned, nullable: running */
    RbWaker *waker; /* owned */
};

G_DEFINE_FINAL_TYPE(RbCutupsExport, rb_cutups_export, GTK_TYPE_BOX)

typedef struct {
    RbCutupPlan *plan; /* owned */
    RbCutupExport options;
    char *path; /* owned */
} Work;

static void work_free(void *data)
{
    Work *work = data;
    rb_cutup_plan_free(work->plan);
    g_free(work->path);
    g_free(work);
}

/* On the worker. Returns the sentence to be said. */
static void *run(void *data, RbCancel *cancel, RbProgress *progress, GError **error)
{
    const Work *work = data;
    RbCutupMade made;
    if (!rb_cutup_export(work->plan, work->path, &work->options, cancel, progress, NULL,
                         &made, error)) {
        return NULL;
    }
    g_autofree char *name = g_filename_display_name(work->path);
    g_autoptr(GString) said = g_string_new(NULL);
    g_string_printf(said, _("Exported to %s."), name);
    if (made.left_out > 0) {
        g_string_append_printf(said,
                               ngettext(" %d clip was left out.",
                                        " %d clips were left out.",
                                        (gulong)made.left_out),
                               made.left_out);
    }
    return g_strdup(said->str);
}

static void say(RbCutupsExport *panel, const char *words)
{
    gtk_label_set_text(panel->said, words);
    gtk_widget_set_visible(GTK_WIDGET(panel->said), words[0] != '\0');
}

static void show_running(RbCutupsExport *panel)
{
    const bool running = panel->job != NULL;
    gtk_button_set_label(panel->start, running          ? _("Stop the export")
                                       : panel->replace ? _("Replace it")
                                                        : _("Export"));
    gtk_widget_set_visible(GTK_WIDGET(panel->bar), running);
    gtk_editable_set_editable(panel->file, !running);
}

static void on_news(void *data)
{
    RbCutupsExport *panel = data;
    if (panel->job == NULL) {
        return;
    }
    g_autofree char *what = NULL;
    const double done = rb_job_get_progress(panel->job, &what);
    gtk_progress_bar_set_fraction(panel->bar, CLAMP(done, 0.0, 1.0));
    gtk_progress_bar_set_text(panel->bar, what);
    if (!rb_job_is_done(panel->job)) {
        return;
    }
    g_autoptr(GError) error = NULL;
    g_autofree char *said = rb_job_take_result(panel->job, &error);
    panel->replace = g_error_matches(error, RB_WORK_ERROR, RB_WORK_ERROR_EXISTS);
    say(panel, said != NULL ? said
               : rb_error_is_cancelled(error)
                   ? _("Stopped: no half film was left behind.")
                   : error->message);
    g_clear_pointer(&panel->job, rb_job_unref);
    show_running(panel);
}

static void start(RbCutupsExport *panel)
{
    Work *work = g_new0(Work, 1);
    work->plan = panel->plan(gtk_check_button_get_active(panel->names), panel->owner);
    work->path = g_strdup(gtk_editable_get_text(panel->file));
    work->options = (RbCutupExport){
        .each = gtk_check_button_get_active(panel->each),
        .sound = gtk_check_button_get_active(panel->sound),
        .cards = gtk_check_button_get_active(panel->cards),
        .drawings = gtk_check_button_get_active(panel->drawings),
        .skip = gtk_check_button_get_active(panel->skip),
        .keep = !panel->replace,
    };
    if (work->plan == NULL) {
        work_free(work);
        return;
    }
    const RbJobSpec spec = { .run = run,
                             .data = work,
                             .free_data = work_free,
                             .free_result = g_free,
                             .wake = rb_waker_wake,
                             .wake_data = panel->waker };
    say(panel, "");
    panel->job = rb_jobs_submit(panel->jobs, &spec);
    show_running(panel);
}

static void on_start(RbCutupsExport *panel)
{
    if (panel->job != NULL) {
        rb_cutups_export_stop(panel);
    } else {
        start(panel);
    }
}

/* Another name is asked about anew. */
static void on_name(RbCutupsExport *panel)
{
    panel->replace = false;
    show_running(panel);
}

/* One film has a name, a file for each clip a folder. */
static void on_each(RbCutupsExport *panel)
{
    g_autofree char *path = g_strdup(gtk_editable_get_text(panel->file));
    if (gtk_check_button_get_active(panel->each)) {
        g_autofree char *folder = g_path_get_dirname(path);
        gtk_editable_set_text(panel->file, folder);
    } else if (!g_str_has_suffix(path, ".mp4")) {
        g_autofree char *file = g_build_filename(path, "cut-up.mp4", NULL);
        gtk_editable_set_text(panel->file, file);
    }
}

void rb_cutups_export_set(RbCutupsExport *panel, const char *name,
                          RbCutupsExportPlan plan, void *owner)
{
    g_return_if_fail(RB_IS_CUTUPS_EXPORT(panel));
    panel->plan = plan;
    panel->owner = owner;
    const char *folder = g_get_user_special_dir(G_USER_DIRECTORY_VIDEOS);
    g_autofree char *clean = g_strdelimit(g_strdup(name), "/\\:*?\"<>|", '-');
    g_autofree char *file = g_strconcat(clean, ".mp4", NULL);
    g_autofree char *path =
        g_build_filename(folder != NULL ? folder : g_get_home_dir(), file, NULL);
    if (panel->job == NULL && !gtk_check_button_get_active(panel->each)) {
        gtk_editable_set_text(panel->file, path);
    }
}

void rb_cutups_export_focus(RbCutupsExport *panel)
{
    g_return_if_fail(RB_IS_CUTUPS_EXPORT(panel));
    gtk_widget_grab_focus(GTK_WIDGET(panel->file));
}

bool rb_cutups_export_is_running(RbCutupsExport *panel)
{
    g_return_val_if_fail(RB_IS_CUTUPS_EXPORT(panel), false);
    return panel->job != NULL;
}

void rb_cutups_export_stop(RbCutupsExport *panel)
{
    g_return_if_fail(RB_IS_CUTUPS_EXPORT(panel));
    if (panel->job != NULL) {
        rb_job_cancel(panel->job);
    }
}

static void rb_cutups_export_dispose(GObject *object)
{
    RbCutupsExport *panel = RB_CUTUPS_EXPORT(object);
    g_clear_pointer(&panel->job, rb_job_unref);
    g_clear_pointer(&panel->jobs, rb_jobs_free); /* cancels and waits */
    g_clear_pointer(&panel->waker, rb_waker_free);
    G_OBJECT_CLASS(rb_cutups_export_parent_class)->dispose(object);
}

static void rb_cutups_export_class_init(RbCutupsExportClass *klass)
{
    G_OBJECT_CLASS(klass)->dispose = rb_cutups_export_dispose;
}

static GtkCheckButton *add_check(RbCutupsExport *panel, const char *label, bool active)
{
    GtkWidget *check = rb_check_new(label);
    gtk_check_button_set_active(GTK_CHECK_BUTTON(check), active);
    gtk_box_append(GTK_BOX(panel), check);
    return GTK_CHECK_BUTTON(check);
}

/* How far it is and what came of it: below the name, where the keyboard is, always in sight. */
static void add_news(RbCutupsExport *panel)
{
    panel->bar = GTK_PROGRESS_BAR(gtk_progress_bar_new());
    gtk_progress_bar_set_show_text(panel->bar, TRUE);
    gtk_box_append(GTK_BOX(panel), GTK_WIDGET(panel->bar));
    GtkWidget *said = gtk_label_new("");
    panel->said = GTK_LABEL(said);
    gtk_label_set_wrap(panel->said, TRUE);
    gtk_label_set_wrap_mode(panel->said, PANGO_WRAP_WORD_CHAR);
    gtk_label_set_xalign(panel->said, 0);
    gtk_box_append(GTK_BOX(panel), said);
    say(panel, "");
}

static void rb_cutups_export_init(RbCutupsExport *panel)
{
    gtk_orientable_set_orientation(GTK_ORIENTABLE(panel), GTK_ORIENTATION_VERTICAL);
    gtk_box_set_spacing(GTK_BOX(panel), 4);
    panel->jobs = rb_jobs_new(1);
    panel->waker = rb_waker_new(on_news, panel);
    GtkWidget *file = gtk_entry_new();
    panel->file = GTK_EDITABLE(file);
    gtk_accessible_update_property(GTK_ACCESSIBLE(file), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   _("File or folder to export to"), -1);
    gtk_widget_set_tooltip_text(file, _("File or folder to export to"));
    gtk_box_append(GTK_BOX(panel), file);
    add_news(panel);
    panel->each = add_check(panel, _("A file for each clip"), false);
    panel->sound = add_check(panel, _("With sound"), true);
    panel->cards = add_check(panel, _("With title cards"), true);
    panel->drawings = add_check(panel, _("With drawings"), true);
    panel->names = add_check(panel, _("With names of players and notes"), false);
    panel->skip = add_check(panel, _("Leave out clips that cannot be made"), true);
    gtk_box_append(
        GTK_BOX(panel),
        rb_caution_new(_("Film may show minors. Share it only with people who may "
                         "see it, by your league’s rules."),
                       "privacy.html"));
    GtkWidget *button = gtk_button_new_with_label(_("Export"));
    panel->start = GTK_BUTTON(button);
    gtk_widget_add_css_class(button, "plain");
    gtk_box_append(GTK_BOX(panel), button);
    g_signal_connect_swapped(button, "clicked", G_CALLBACK(on_start), panel);
    g_signal_connect_swapped(file, "activate", G_CALLBACK(on_start), panel);
    g_signal_connect_swapped(file, "changed", G_CALLBACK(on_name), panel);
    g_signal_connect_swapped(panel->each, "toggled", G_CALLBACK(on_each), panel);
    show_running(panel);
    rb_help_mark(GTK_WIDGET(panel), "cutups.html#export");
}
