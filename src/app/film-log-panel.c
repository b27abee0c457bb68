/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "film-log-panel.h"

#include <glib/gi18n.h>
#include <inttypes.h>

#include "rb/base/rational.h"

#include "help.h"
#include "keys.h"
#include "side-panel.h"

/* One step of a clip: its key, its name, its frame. */
typedef struct {
    GtkLabel *key;
    GtkLabel *value;
} Step;

static const struct {
    const char *action;
    const char *name;
    int mark; /* -1: the start, -2: the end */
} steps[] = {
    { "log.end(0)", N_("Start"), -1 },
    { "log.mark('snap')", N_("Snap"), RB_MARK_SNAP },
    { "log.mark('top')", N_("Top of the drop"), RB_MARK_TOP },
    { "log.mark('release')", N_("Release"), RB_MARK_RELEASE },
    { "log.mark('arrival')", N_("Arrival"), RB_MARK_ARRIVAL },
    { "log.end(1)", N_("End: logs it"), -2 },
};

struct _RbFilmLogPanel {
    GtkWidget parent_instance;
    GtkWidget *scrolled; /* owned: the only child */
    GtkWidget *box;
    GtkLabel *film;
    GtkLabel *next;
    GtkGrid *grid;
    Step steps[G_N_ELEMENTS(steps)];
    GtkLabel *proposal;
    GtkLabel *so_far;
    GtkLabel *hint;

    RbFilmLogger *logger; /* owned, nullable */
};

G_DEFINE_FINAL_TYPE(RbFilmLogPanel, rb_film_log_panel, GTK_TYPE_WIDGET)

/* "0:12.43, frame 745". Returns: (transfer full). */
static char *moment_text(RbTime time, int64_t frame)
{
    static const RbTime zero = { 0, { 1, 1 } };
    g_autofree char *clock = rb_time_text(rb_time_diff_us(time, zero));
    return g_strdup_printf(_("%s, frame %" PRId64), clock, frame);
}

static char *step_text(RbFilmLogPanel *panel, int mark)
{
    const RbClip *held = rb_film_logger_get_clip(panel->logger);
    const RbMoment *start = rb_film_logger_get_start(panel->logger);
    if (start != NULL) {
        const RbMoment *moment =
            mark == -1  ? start
            : mark >= 0 ? rb_film_logger_get_mark(panel->logger, (RbMarkKind)mark)
                        : NULL;
        return moment != NULL ? moment_text(moment->time, moment->frame) : g_strdup("–");
    }
    if (held == NULL) {
        return g_strdup("–");
    }
    if (mark < 0) {
        return mark == -1 ? moment_text(held->first_time, held->first)
                          : moment_text(held->last_time, held->last);
    }
    const RbMark *found = rb_clip_find_mark(held, (RbMarkKind)mark);
    return found != NULL ? moment_text(found->time, found->frame) : g_strdup("–");
}

static void show_steps(RbFilmLogPanel *panel)
{
    for (size_t i = 0; i < G_N_ELEMENTS(steps); i++) {
        g_autofree char *key = rb_keys_text_of(rb_keys_get(), steps[i].action);
        g_autofree char *value = step_text(panel, steps[i].mark);
        g_autofree char *spoken = g_strdup_printf("%s: %s", _(steps[i].name), value);
        gtk_label_set_text(panel->steps[i].key, key);
        gtk_label_set_text(panel->steps[i].value, value);
        gtk_accessible_update_property(GTK_ACCESSIBLE(panel->steps[i].value),
                                       GTK_ACCESSIBLE_PROPERTY_LABEL, spoken, -1);
    }
}

/* Returns: (transfer full). */
static char *next_text(RbFilmLogPanel *panel, const RbFilmLog *log)
{
    const RbClip *held = rb_film_logger_get_clip(panel->logger);
    const int next = rb_film_log_number(log, rb_film_logger_get_next(panel->logger));
    if (rb_film_logger_get_start(panel->logger) == NULL && held != NULL) {
        return g_strdup_printf(_("This frame is of snap %d"),
                               rb_film_log_number(log, held->snap));
    }
    return next > 0 ? g_strdup_printf(_("Next: snap %d"), next)
                    : g_strdup(_("Next: a new snap"));
}

static const char *title_of(const RbFilmLog *log, RbFilmId id)
{
    for (guint i = 0; i < log->films->len; i++) {
        const RbFilm *film = log->films->pdata[i];
        if (film->id.value == id.value) {
            return film->title;
        }
    }
    return "";
}

static void show_proposal(RbFilmLogPanel *panel, const RbFilmLog *log)
{
    int64_t first = 0;
    int64_t last = 0;
    const RbSnapId next = rb_film_logger_get_next(panel->logger);
    const bool is = rb_film_logger_get_proposal(panel->logger, &first, &last);
    gtk_widget_set_visible(GTK_WIDGET(panel->proposal), is);
    if (is) {
        const char *like = "";
        for (guint i = 0; i < log->clips->len; i++) {
            const RbClip *clip = log->clips->pdata[i];
            like = clip->snap.value == next.value ? title_of(log, clip->film) : like;
        }
        g_autofree char *text =
            g_strdup_printf(_("Proposed for snap %d: frames %" PRId64 " to %" PRId64
                              ", by the order and length of %s. Enter logs it."),
                            rb_film_log_number(log, next), first, last, like);
        gtk_label_set_text(panel->proposal, text);
    }
}

static void show_so_far(RbFilmLogPanel *panel, const RbFilmLog *log, const RbFilm *film)
{
    int here = 0;
    for (guint i = 0; i < log->clips->len; i++) {
        here += ((const RbClip *)log->clips->pdata[i])->film.value == film->id.value;
    }
    g_autofree char *clips =
        g_strdup_printf(ngettext("%d clip is logged on this film",
                                 "%d clips are logged on this film", (gulong)here),
                        here);
    g_autofree char *text =
        g_strdup_printf(ngettext("%s; the game has %u snap.",
                                 "%s; the game has %u snaps.", log->snaps->len),
                        clips, log->snaps->len);
    gtk_label_set_text(panel->so_far, text);
}

static void show(RbFilmLogPanel *panel)
{
    const RbFilmLog *log = rb_film_logger_get_log(panel->logger);
    const RbFilm *film = rb_film_logger_get_film(panel->logger);
    gtk_widget_set_visible(GTK_WIDGET(panel->grid), film != NULL);
    if (film == NULL) {
        gtk_label_set_text(panel->film,
                           log == NULL
                               ? _("Reading what the films show")
                               : _("This game has no film yet. “Load film” in the menu "
                                   "brings it in."));
        gtk_label_set_text(panel->next, "");
        gtk_label_set_text(panel->so_far, "");
        gtk_widget_set_visible(GTK_WIDGET(panel->proposal), FALSE);
        return;
    }
    g_autofree char *key = rb_keys_text_of(rb_keys_get(), "win.switch-angle");
    const char *angle = _(rb_words_label(&rb_angle_words, (int)film->angle));
    g_autofree char *title =
        log->films->len > 1 ? g_strdup_printf(_("%s (%s). %s: the next of %u films"),
                                              film->title, angle, key, log->films->len)
                            : g_strdup_printf("%s (%s)", film->title, angle);
    g_autofree char *next = next_text(panel, log);
    gtk_label_set_text(panel->film, title);
    gtk_label_set_text(panel->next, next);
    show_steps(panel);
    show_proposal(panel, log);
    show_so_far(panel, log, film);
}

void rb_film_log_panel_set_logger(RbFilmLogPanel *panel, RbFilmLogger *logger)
{
    g_return_if_fail(RB_IS_FILM_LOG_PANEL(panel));
    panel->logger = g_object_ref(logger);
    g_signal_connect_object(logger, "changed", G_CALLBACK(show), panel,
                            G_CONNECT_SWAPPED);
    g_signal_connect_object(rb_keys_get(), "changed", G_CALLBACK(show), panel,
                            G_CONNECT_SWAPPED);
    show(panel);
}

static GtkLabel *add_label(GtkWidget *box, const char *style)
{
    GtkWidget *label = rb_side_label_new("", style);
    gtk_box_append(GTK_BOX(box), label);
    return GTK_LABEL(label);
}

static void add_steps(RbFilmLogPanel *panel)
{
    for (int i = 0; i < (int)G_N_ELEMENTS(steps); i++) {
        GtkWidget *key = gtk_label_new("");
        GtkWidget *name = gtk_label_new(_(steps[i].name));
        GtkWidget *value = gtk_label_new("");
        gtk_widget_add_css_class(key, "key");
        gtk_widget_set_valign(key, GTK_ALIGN_CENTER);
        gtk_label_set_xalign(GTK_LABEL(name), 0);
        gtk_label_set_xalign(GTK_LABEL(value), 1);
        gtk_label_set_ellipsize(GTK_LABEL(name), PANGO_ELLIPSIZE_END);
        gtk_label_set_width_chars(GTK_LABEL(value), 18);
        gtk_widget_set_hexpand(name, TRUE);
        gtk_widget_add_css_class(value, "small");
        gtk_grid_attach(panel->grid, key, 0, i, 1, 1);
        gtk_grid_attach(panel->grid, name, 1, i, 1, 1);
        gtk_grid_attach(panel->grid, value, 2, i, 1, 1);
        panel->steps[i] = (Step){ GTK_LABEL(key), GTK_LABEL(value) };
    }
}

static gboolean on_key(RbFilmLogPanel *panel, guint keyval, guint keycode,
                       GdkModifierType state)
{
    (void)keycode;
    if ((state & (GDK_CONTROL_MASK | GDK_ALT_MASK | GDK_SHIFT_MASK)) != 0) {
        return FALSE;
    }
    if (keyval == GDK_KEY_Return || keyval == GDK_KEY_KP_Enter) {
        return gtk_widget_activate_action(GTK_WIDGET(panel), "log.accept", NULL);
    }
    if (keyval == GDK_KEY_BackSpace) {
        return rb_film_logger_drop(panel->logger);
    }
    return rb_side_panel_roll(panel->scrolled, keyval);
}

/* One stop of Tab: nothing in it takes the keyboard. A scrolled window that takes none either would
 * say it did, and Tab would end here. */
static gboolean rb_film_log_panel_focus(GtkWidget *widget, GtkDirectionType direction)
{
    (void)direction;
    return !gtk_widget_is_focus(widget) && gtk_widget_grab_focus(widget);
}

static void rb_film_log_panel_dispose(GObject *object)
{
    RbFilmLogPanel *panel = RB_FILM_LOG_PANEL(object);
    g_clear_pointer(&panel->scrolled, gtk_widget_unparent);
    g_clear_object(&panel->logger);
    G_OBJECT_CLASS(rb_film_log_panel_parent_class)->dispose(object);
}

static void rb_film_log_panel_class_init(RbFilmLogPanelClass *klass)
{
    GtkWidgetClass *widget_class = GTK_WIDGET_CLASS(klass);
    G_OBJECT_CLASS(klass)->dispose = rb_film_log_panel_dispose;
    widget_class->focus = rb_film_log_panel_focus;
    gtk_widget_class_set_layout_manager_type(widget_class, GTK_TYPE_BIN_LAYOUT);
    gtk_widget_class_set_css_name(widget_class, "filmlogpanel");
    gtk_widget_class_set_accessible_role(widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
}

static void rb_film_log_panel_init(RbFilmLogPanel *panel)
{
    panel->scrolled =
        rb_side_panel_fill(GTK_WIDGET(panel), _("Log snaps"), 8, &panel->box);
    rb_help_mark(GTK_WIDGET(panel), "tagging.html#film");
    GtkLabel *title = add_label(panel->box, "desk-title");
    gtk_label_set_text(title, _("Log snaps"));
    panel->film = add_label(panel->box, "second");
    panel->next = add_label(panel->box, "section");
    panel->grid = GTK_GRID(gtk_grid_new());
    gtk_grid_set_column_spacing(panel->grid, 8);
    gtk_grid_set_row_spacing(panel->grid, 6);
    gtk_box_append(GTK_BOX(panel->box), GTK_WIDGET(panel->grid));
    add_steps(panel);
    panel->proposal = add_label(panel->box, "section");
    panel->so_far = add_label(panel->box, "second");
    panel->hint = add_label(panel->box, "small");
    gtk_label_set_text(panel->hint,
                       _("Every key takes the frame shown, while the film plays at any "
                         "speed. A mark or an end given again is moved. Backspace gives "
                         "up a clip that is begun, Escape ends logging."));
    gtk_widget_set_focusable(GTK_WIDGET(panel), TRUE);
    GtkEventController *keys = gtk_event_controller_key_new();
    g_signal_connect_swapped(keys, "key-pressed", G_CALLBACK(on_key), panel);
    gtk_widget_add_controller(GTK_WIDGET(panel), keys);
}
