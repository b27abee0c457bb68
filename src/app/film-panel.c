/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "film-panel.h"

#include <glib/gi18n.h>

#include "bridge.h"
#include "caution.h"
#include "cut-placer.h"
#include "cut-review.h"
#include "film-rows.h"
#include "folder-watch.h"
#include "form.h"
#include "help.h"
#include "intake-errands.h"
#include "path-row.h"
#include "snap-marks-panel.h"
#include "task-window.h"

struct _RbFilmPanel {
    GtkWindow parent_instance;
    RbPathRow *path;
    GtkDropDown *shape;
    GtkCheckButton *tight_first;
    GtkCheckButton *watch;
    GtkCheckButton *copy;
    GtkListBox *list;
    RbCutReview *review;
    RbTaskFoot foot;
    GtkWidget *marks;

    RbSession *session;      /* owned */
    GPtrArray *paths;        /* owned, of char *; NULL-ended: what is read */
    RbJobs *jobs;            /* owned */
    RbJob *job;              /* owned, nullable: reading */
    RbWaker *waker;          /* owned */
    RbIntake *intake;        /* owned, nullable: nothing read yet, or handed over */
    RbCutPlacer *placer;     /* owned: a cut that the finder missed */
    RbFolderWatch *watching; /* owned, nullable */
    bool accepted;           /* and waits for the answer */
    bool keeps;              /* what was mended: the same is read again */
};

G_DEFINE_FINAL_TYPE(RbFilmPanel, rb_film_panel, GTK_TYPE_WINDOW)

static void free_intake(void *intake)
{
    rb_intake_free(intake);
}

typedef struct {
    GPtrArray *paths; /* owned, of char *, NULL-ended */
    RbIntakeOptions options;
} Wanted;

/* RbJobRun, on a worker. */
static void *read_films(void *data, RbCancel *cancel, RbProgress *progress,
                        GError **error)
{
    const Wanted *wanted = data;
    return rb_intake_read((const char *const *)wanted->paths->pdata, NULL,
                          &wanted->options, cancel, progress, error);
}

static void show_busy(RbFilmPanel *panel, bool busy)
{
    rb_task_foot_set_busy(&panel->foot, busy, panel->intake != NULL);
}

static void show_summary(RbFilmPanel *panel)
{
    const RbIntake *intake = panel->intake;
    const int cuts = rb_intake_count_cuts(intake);
    g_autofree char *asks =
        cuts > 0 ? g_strdup_printf(ngettext("%d cut to be looked at (N goes there). ",
                                            "%d cuts to be looked at (N goes there). ",
                                            (gulong)cuts),
                                   cuts)
                 : g_strdup("");
    g_autofree char *text = g_strdup_printf(
        _("Snaps with both angles: %d, with one: %d. Clips of no snap: %d, duplicates: %d, "
          "files left out: %u. %sKeys: X takes a clip out or puts it back, W and T move the "
          "wide or tight clips down from here, with Shift up, C cuts a clip in two, M moves "
          "the cut before it."),
        rb_intake_count(intake, RB_INTAKE_BOTH),
        rb_intake_count(intake, RB_INTAKE_WIDE_ONLY) +
            rb_intake_count(intake, RB_INTAKE_TIGHT_ONLY),
        rb_intake_count(intake, RB_INTAKE_EXTRA),
        rb_intake_count(intake, RB_INTAKE_DUPLICATE), intake->refused->len, asks);
    gtk_label_set_text(panel->foot.summary, text);
}

/* The cut that the chosen row starts with, if the finder was not certain of it. */
static int chosen_cut(RbFilmPanel *panel)
{
    const int row = rb_film_rows_get_chosen(panel->list);
    return panel->intake != NULL && row >= 0 && row < (int)panel->intake->rows->len
               ? rb_intake_find_cut(
                     panel->intake,
                     &g_array_index(panel->intake->rows, RbIntakeRow, (guint)row), 1)
               : -1;
}

static void on_row(RbFilmPanel *panel)
{
    if (panel->placer == NULL) {
        return; /* the window goes, and its rows with it */
    }
    rb_cut_placer_leave(panel->placer);
    if (panel->intake != NULL) {
        rb_cut_review_show(panel->review, panel->intake, chosen_cut(panel));
    }
}

static void show_table_at(RbFilmPanel *panel, int row)
{
    rb_film_rows_show(panel->list, panel->intake, row);
    show_summary(panel);
    on_row(panel);
}

static void show_table(RbFilmPanel *panel)
{
    show_table_at(panel, rb_film_rows_get_chosen(panel->list));
}

/* To the next cut that is to be looked at; from the last one round to the first. */
static bool next_question(RbFilmPanel *panel)
{
    const guint n = panel->intake->rows->len;
    const int now = rb_film_rows_get_chosen(panel->list);
    for (guint i = 1; i <= n; i++) {
        const guint at = (guint)(now + (int)i) % n;
        const RbIntakeRow *row = &g_array_index(panel->intake->rows, RbIntakeRow, at);
        if (rb_intake_find_cut(panel->intake, row, RB_INTAKE_SURE) >= 0) {
            rb_film_rows_choose(panel->list, (int)at);
            return true;
        }
    }
    return false;
}

/* One key a cut: Y keeps it, J joins the two clips, N goes on. */
static bool judge_cut(RbFilmPanel *panel, guint key)
{
    const int cut = chosen_cut(panel);
    const bool join = key == GDK_KEY_j;
    if (key == GDK_KEY_n) {
        return next_question(panel);
    }
    if (cut < 0 || (key != GDK_KEY_y && !join) ||
        !(join ? rb_intake_join_cut(panel->intake, cut)
               : rb_intake_keep_cut(panel->intake, cut))) {
        return false;
    }
    show_table(panel);
    next_question(panel);
    return true;
}

/* A cut was put, or not. */
static void on_placed(void *data, const char *failure)
{
    RbFilmPanel *panel = data;
    show_table(panel);
    if (failure != NULL) {
        gtk_label_set_text(panel->foot.summary, failure);
    }
}

/* C cuts the chosen row's clip in two, M moves the cut that it starts with. */
static bool place_cut(RbFilmPanel *panel, guint key, GdkModifierType state)
{
    const int at = rb_film_rows_get_chosen(panel->list);
    if (rb_cut_placer_is_on(panel->placer) &&
        rb_cut_placer_key(panel->placer, key, state)) {
        return true;
    }
    if (at < 0 || at >= (int)panel->intake->rows->len ||
        (key != GDK_KEY_c && key != GDK_KEY_m)) {
        return false;
    }
    const RbIntakeRow *row = &g_array_index(panel->intake->rows, RbIntakeRow, (guint)at);
    return key == GDK_KEY_c ? rb_cut_placer_begin(panel->placer, panel->intake, row)
                            : rb_cut_placer_begin_move(panel->placer, panel->intake, row);
}

static void match(RbFilmPanel *panel)
{
    const GPtrArray *snaps = rb_session_get_snaps(panel->session);
    GPtrArray *copies = g_ptr_array_new_with_free_func((GDestroyNotify)rb_snap_free);
    for (guint i = 0; snaps != NULL && i < snaps->len; i++) {
        g_ptr_array_add(copies, rb_snap_copy(snaps->pdata[i]));
    }
    rb_intake_match(panel->intake, rb_session_get_game(panel->session), copies);
}

/* intake: taken. */
static void take_intake(RbFilmPanel *panel, RbIntake *intake)
{
    g_autoptr(RbIntake) before = panel->intake;
    const int chosen = rb_film_rows_get_chosen(panel->list);
    int row = chosen;
    panel->intake = intake;
    match(panel);
    if (panel->keeps && before != NULL) {
        row = rb_intake_keep_mends(intake, before, chosen);
        row = row >= 0 ? row : chosen;
    }
    show_table_at(panel, row);
}

/* The worker has news. */
static void on_news(void *data)
{
    RbFilmPanel *panel = data;
    if (panel->job == NULL) {
        return;
    }
    if (!rb_job_is_done(panel->job)) {
        gtk_progress_bar_set_fraction(
            panel->foot.bar, CLAMP(rb_job_get_progress(panel->job, NULL), 0.0, 1.0));
        return;
    }
    g_autoptr(GError) error = NULL;
    RbIntake *intake = rb_job_take_result(panel->job, &error);
    g_clear_pointer(&panel->job, rb_job_unref);
    if (intake == NULL) {
        gtk_label_set_text(panel->foot.summary, error->message);
    } else {
        rb_cut_placer_leave(panel->placer);
        take_intake(panel, intake);
    }
    show_busy(panel, false);
}

static void drop_job(RbFilmPanel *panel)
{
    if (panel->job != NULL) {
        rb_job_cancel(panel->job);
        g_clear_pointer(&panel->job, rb_job_unref);
    }
}

static void free_wanted(void *data)
{
    Wanted *wanted = data;
    g_ptr_array_unref(wanted->paths);
    g_free(wanted);
}

static void *copy_text(const void *text, void *nothing)
{
    (void)nothing;
    return g_strdup(text);
}

static void read_again(RbFilmPanel *panel)
{
    if (rb_session_get_game(panel->session).value == 0) {
        gtk_label_set_text(panel->foot.summary,
                           _("Choose the game that the film shows first."));
        return;
    }
    drop_job(panel);
    Wanted *wanted = g_new0(Wanted, 1);
    wanted->options.shape = (RbIntakeShape)gtk_drop_down_get_selected(panel->shape);
    wanted->options.tight_first = gtk_check_button_get_active(panel->tight_first);
    wanted->paths = g_ptr_array_copy(panel->paths, (GCopyFunc)copy_text, NULL);
    g_ptr_array_set_free_func(wanted->paths, g_free);
    g_ptr_array_add(wanted->paths, NULL);
    const RbJobSpec spec = { .run = read_films,
                             .data = wanted,
                             .free_data = free_wanted,
                             .free_result = free_intake,
                             .wake = rb_waker_wake,
                             .wake_data = panel->waker };
    panel->accepted = false;
    panel->keeps = false;
    gtk_label_set_text(panel->foot.summary, _("Looking at the films…"));
    panel->job = rb_jobs_submit(panel->jobs, &spec);
    show_busy(panel, true);
}

static void on_folder_changed(void *data)
{
    RbFilmPanel *panel = data;
    read_again(panel);
    panel->keeps = true;
}

/* Watches the folder that was named, if that is wanted. */
static void watch(RbFilmPanel *panel)
{
    g_clear_pointer(&panel->watching, rb_folder_watch_free);
    if (gtk_check_button_get_active(panel->watch) && panel->paths->len == 1) {
        panel->watching =
            rb_folder_watch_new(panel->paths->pdata[0], on_folder_changed, panel);
    }
}

/* Another way to read what is named already. */
static void on_option(RbFilmPanel *panel)
{
    if (panel->paths->len > 0) {
        read_again(panel);
    }
}

static void on_path(RbFilmPanel *panel)
{
    const char *path = rb_path_row_get_path(panel->path);
    if (*path != '\0') {
        g_ptr_array_set_size(panel->paths, 0);
        g_ptr_array_add(panel->paths, g_strdup(path));
        watch(panel);
        read_again(panel);
    }
}

/* Of GFile; those without a path here are passed over. False: none is left. */
static bool take_files(RbFilmPanel *panel, GSList *files)
{
    g_ptr_array_set_size(panel->paths, 0);
    for (GSList *at = files; at != NULL; at = at->next) {
        char *path = g_file_get_path(at->data);
        if (path != NULL) {
            g_ptr_array_add(panel->paths, path);
        }
    }
    if (panel->paths->len == 0) {
        return false;
    }
    rb_path_row_show(panel->path, panel->paths->len == 1 ? panel->paths->pdata[0] : "");
    watch(panel);
    read_again(panel);
    return true;
}

static gboolean on_drop(GtkDropTarget *target, const GValue *value, double x, double y,
                        RbFilmPanel *panel)
{
    (void)target;
    (void)x;
    (void)y;
    g_autoptr(GSList) files = gdk_file_list_get_files(g_value_get_boxed(value));
    return take_files(panel, files);
}

static void on_stop(RbFilmPanel *panel)
{
    drop_job(panel);
    gtk_label_set_text(panel->foot.summary, _("Stopped; nothing was changed."));
    show_busy(panel, false);
}

static void on_accept(RbFilmPanel *panel)
{
    if (panel->intake != NULL && panel->job == NULL) {
        RbIntakeAsk *ask = g_new0(RbIntakeAsk, 1);
        rb_cut_placer_leave(panel->placer);
        ask->copy = gtk_check_button_get_active(panel->copy);
        ask->intake = g_steal_pointer(&panel->intake);
        panel->accepted = true;
        gtk_widget_set_sensitive(panel->foot.accept, false);
        rb_cut_review_show(panel->review, NULL, -1);
        gtk_label_set_text(panel->foot.summary, ask->copy
                                                    ? _("Copying and checking the films…")
                                                    : _("Writing…"));
        rb_session_change(panel->session, rb_errand_save_intake, ask, rb_intake_ask_free);
    }
}

/* What came of it is said here too. */
static void on_said(RbFilmPanel *panel, const char *sentence)
{
    if (panel->accepted) {
        gtk_label_set_text(panel->foot.summary, sentence);
        gtk_widget_set_visible(panel->marks, true);
        gtk_widget_grab_focus(panel->marks);
    }
}

static void on_marks(RbFilmPanel *panel)
{
    rb_snap_marks_panel_open(gtk_window_get_transient_for(GTK_WINDOW(panel)),
                             panel->session);
    gtk_window_destroy(GTK_WINDOW(panel));
}

static gboolean on_key(GtkEventControllerKey *controller, guint key, guint code,
                       GdkModifierType state, RbFilmPanel *panel)
{
    (void)controller;
    (void)code;
    if ((state & (GDK_CONTROL_MASK | GDK_ALT_MASK)) != 0 || panel->intake == NULL) {
        return false;
    }
    if (place_cut(panel, key, state) || judge_cut(panel, key)) {
        return true;
    }
    if (!rb_film_rows_mend(panel->intake, rb_film_rows_get_chosen(panel->list), key)) {
        return false;
    }
    show_table(panel);
    return true;
}

static void rb_film_panel_dispose(GObject *object)
{
    RbFilmPanel *panel = RB_FILM_PANEL(object);
    drop_job(panel);
    g_clear_pointer(&panel->watching, rb_folder_watch_free);
    g_clear_pointer(&panel->jobs, rb_jobs_free);
    g_clear_pointer(&panel->waker, rb_waker_free);
    g_clear_pointer(&panel->placer, rb_cut_placer_free);
    g_clear_pointer(&panel->intake, rb_intake_free);
    g_clear_pointer(&panel->paths, g_ptr_array_unref);
    g_clear_object(&panel->session);
    G_OBJECT_CLASS(rb_film_panel_parent_class)->dispose(object);
}

static void rb_film_panel_class_init(RbFilmPanelClass *klass)
{
    G_OBJECT_CLASS(klass)->dispose = rb_film_panel_dispose;
    rb_task_window_class_init(GTK_WIDGET_CLASS(klass));
}

static GtkWidget *make_top(RbFilmPanel *panel)
{
    GtkWidget *row = gtk_box_new(GTK_ORIENTATION_HORIZONTAL, 10);
    GtkWidget *path = rb_path_row_new(
        _("Folder or file of the film"), _("A folder or a film; Enter reads it"),
        _("Choose the folder with the film"), GTK_FILE_CHOOSER_ACTION_SELECT_FOLDER);
    GtkWidget *check = rb_check_new(_("Wa_tch the folder"));
    panel->path = RB_PATH_ROW(path);
    panel->watch = GTK_CHECK_BUTTON(check);
    gtk_widget_set_hexpand(path, true);
    gtk_widget_set_tooltip_text(check, _("What is copied into it is read again"));
    g_signal_connect_swapped(path, "chosen", G_CALLBACK(on_path), panel);
    g_signal_connect_swapped(check, "toggled", G_CALLBACK(watch), panel);
    GtkWidget *copy = gtk_check_button_new_with_mnemonic(_("Co_py the films"));
    panel->copy = GTK_CHECK_BUTTON(copy);
    gtk_widget_set_tooltip_text(copy,
                                _("Into a folder beside the library, each copy "
                                  "compared with what was read; else the films stay "
                                  "where they are"));
    gtk_box_append(GTK_BOX(row), path);
    return row;
}

/* What the files are, where neither their length nor their names tell. */
static GtkWidget *make_options(RbFilmPanel *panel)
{
    static const char *const shapes[] = { N_("Told by its length"), N_("One snap"),
                                          N_("A recording to be cut"), NULL };
    GtkWidget *row = gtk_box_new(GTK_ORIENTATION_HORIZONTAL, 10);
    GtkStringList *words = gtk_string_list_new(NULL);
    for (int i = 0; shapes[i] != NULL; i++) {
        gtk_string_list_append(words, _(shapes[i]));
    }
    GtkWidget *shape = gtk_drop_down_new(G_LIST_MODEL(words), NULL);
    GtkWidget *label = gtk_label_new_with_mnemonic(_("_Each file is"));
    GtkWidget *tight = gtk_check_button_new_with_mnemonic(_("T_ight first"));
    panel->shape = GTK_DROP_DOWN(shape);
    panel->tight_first = GTK_CHECK_BUTTON(tight);
    gtk_label_set_mnemonic_widget(GTK_LABEL(label), shape);
    gtk_accessible_update_property(GTK_ACCESSIBLE(shape), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   _("What each file is"), -1);
    gtk_widget_set_tooltip_text(tight, _("Of two cameras that no name tells apart, the "
                                         "first film is the tight one"));
    g_signal_connect_swapped(shape, "notify::selected", G_CALLBACK(on_option), panel);
    g_signal_connect_swapped(tight, "toggled", G_CALLBACK(on_option), panel);
    gtk_box_append(GTK_BOX(row), label);
    gtk_box_append(GTK_BOX(row), shape);
    gtk_box_append(GTK_BOX(row), tight);
    gtk_box_append(GTK_BOX(row), GTK_WIDGET(panel->copy));
    gtk_box_append(GTK_BOX(row), GTK_WIDGET(panel->watch));
    return row;
}

static GtkWidget *make_foot(RbFilmPanel *panel)
{
    GtkWidget *row =
        rb_task_foot_new(&panel->foot, G_CALLBACK(on_stop), G_CALLBACK(on_accept), panel);
    gtk_label_set_text(panel->foot.summary,
                       _("Nothing is changed before you accept the table."));
    panel->marks = rb_button_new(_("_Find the snaps"));
    gtk_widget_set_valign(panel->marks, GTK_ALIGN_CENTER);
    gtk_widget_set_visible(panel->marks, false);
    gtk_widget_set_tooltip_text(panel->marks,
                                _("Looks in each clip for the moment of the snap"));
    g_signal_connect_swapped(panel->marks, "clicked", G_CALLBACK(on_marks), panel);
    gtk_box_append(GTK_BOX(row), panel->marks);
    return row;
}

static void rb_film_panel_init(RbFilmPanel *panel)
{
    rb_help_mark(GTK_WIDGET(panel), "tagging.html#film");
    GtkWidget *box = gtk_box_new(GTK_ORIENTATION_VERTICAL, 10);
    GtkDropTarget *drop = gtk_drop_target_new(GDK_TYPE_FILE_LIST, GDK_ACTION_COPY);
    panel->paths = g_ptr_array_new_with_free_func(g_free);
    panel->jobs = rb_jobs_new(1);
    panel->waker = rb_waker_new(on_news, panel);
    gtk_box_append(GTK_BOX(box), make_top(panel));
    gtk_box_append(GTK_BOX(box), make_options(panel));
    gtk_box_append(GTK_BOX(box), rb_film_rows_head_new());
    gtk_box_append(
        GTK_BOX(box),
        rb_task_table_new(
            &panel->list, _("Which clip shows which snap"),
            _("Name a folder with one file for each snap, or a long recording, "
              "or drop films here."),
            G_CALLBACK(on_key), G_CALLBACK(on_row), panel));
    panel->review = RB_CUT_REVIEW(rb_cut_review_new());
    panel->placer = rb_cut_placer_new(panel->review, on_placed, panel);
    gtk_box_append(GTK_BOX(box), GTK_WIDGET(panel->review));
    gtk_box_append(
        GTK_BOX(box),
        rb_caution_new(
            _("Many leagues restrict the exchange of film and the use of video "
              "during a game: their rules come first."),
            "privacy.html#film"));
    gtk_box_append(GTK_BOX(box), make_foot(panel));
    g_signal_connect(drop, "drop", G_CALLBACK(on_drop), panel);
    gtk_widget_add_controller(GTK_WIDGET(panel), GTK_EVENT_CONTROLLER(drop));
    rb_task_window_fill(GTK_WINDOW(panel), box, _("Load film"), 1080, 680);
}

static RbFilmPanel *show_panel(GtkWindow *parent, RbSession *session)
{
    RbFilmPanel *panel = RB_FILM_PANEL(rb_task_window_new(RB_TYPE_FILM_PANEL, parent));
    panel->session = g_object_ref(session);
    g_signal_connect_object(session, "said", G_CALLBACK(on_said), panel,
                            G_CONNECT_SWAPPED);
    gtk_window_present(GTK_WINDOW(panel));
    return panel;
}

void rb_film_panel_open(GtkWindow *parent, RbSession *session)
{
    show_panel(parent, session);
}

bool rb_film_panel_open_with(GtkWindow *parent, RbSession *session, GSList *files)
{
    return take_files(show_panel(parent, session), files);
}
