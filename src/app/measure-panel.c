/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "measure-panel.h"

#include <glib/gi18n.h>

#include "rb/base/text.h"

#include "choice.h"
#include "help.h"
#include "measure-keys.h"
#include "side-panel.h"

struct _RbMeasurePanel {
    GtkWidget parent_instance;
    GtkWidget *scrolled; /* owned child */
    GtkWidget *box;
    GtkListBox *list;
    GtkLabel *none;
    GtkLabel *times;
    RbChoice *lengths;
    GtkWidget *marks; /* which mark is clicked next */

    RbMeasureLayer *layer; /* owned, nullable */
    char *said;            /* owned, nullable: what the rows say */
    GPtrArray *shown;      /* owned, nullable: of RbFilmMeasure, by row */
};

G_DEFINE_FINAL_TYPE(RbMeasurePanel, rb_measure_panel, GTK_TYPE_WIDGET)

static RbSession *session_of(RbMeasurePanel *panel)
{
    return rb_film_layer_get_session(RB_FILM_LAYER(panel->layer));
}

static const RbClip *find_clip(RbMeasurePanel *panel, RbClipId id)
{
    const RbSheet *sheet = rb_session_get_sheet(session_of(panel));
    for (guint i = 0; sheet != NULL && i < sheet->clips->len; i++) {
        const RbClip *clip = sheet->clips->pdata[i];
        if (clip->id.value == id.value) {
            return clip;
        }
    }
    return NULL;
}

/* ---- what was measured */

/* "wide, frame 431", and whether the picture has it. Returns: (transfer full). */
static char *remark_of(RbMeasurePanel *panel, const RbFilmMeasure *measure)
{
    const RbSheet *sheet = rb_session_get_sheet(session_of(panel));
    const RbClip *clip = find_clip(panel, measure->clip);
    g_autofree char *frame = g_strdup_printf("%" G_GINT64_FORMAT, measure->frame_1);
    g_autofree char *angle = g_utf8_strdown(
        clip != NULL ? _(rb_words_label(&rb_angle_words, (int)clip->angle)) : "", -1);
    const bool feeds = sheet != NULL && rb_film_measure_feeds(measure, sheet->chart);
    return rb_text_fill(feeds ? _("{angle}, frame {frame}. The picture has it.")
                              : _("{angle}, frame {frame}."),
                        "angle", angle, "frame", frame, NULL);
}

static void take_off(RbMeasurePanel *panel, guint place)
{
    if (panel->shown != NULL && place < panel->shown->len) {
        const RbFilmMeasure *measure = panel->shown->pdata[place];
        rb_session_remove_measure(session_of(panel), measure->id);
    }
}

static void on_take_off(GtkButton *button, RbMeasurePanel *panel)
{
    GtkWidget *row = gtk_widget_get_ancestor(GTK_WIDGET(button), GTK_TYPE_LIST_BOX_ROW);
    take_off(panel, (guint)gtk_list_box_row_get_index(GTK_LIST_BOX_ROW(row)));
}

/* Returns: (transfer full). */
static char *what_of(RbMeasurePanel *panel, const RbFilmMeasure *measure)
{
    const RbSheet *sheet = rb_session_get_sheet(session_of(panel));
    const RbGame *game =
        sheet != NULL ? rb_names_find_game(sheet->names, sheet->snap->game) : NULL;
    return rb_film_measure_what(measure, game != NULL ? game->rules : RB_RULES_COLLEGE);
}

/* All that a row says, for those who hear it. Returns: (transfer full). */
static char *row_text(RbMeasurePanel *panel, const RbFilmMeasure *measure)
{
    g_autofree char *what = what_of(panel, measure);
    g_autofree char *value =
        rb_film_measure_text(measure, rb_measure_layer_get_unit(panel->layer));
    g_autofree char *remark = remark_of(panel, measure);
    return g_strdup_printf("%s: %s; %s", what, value, remark);
}

static GtkWidget *row_new(RbMeasurePanel *panel, const RbFilmMeasure *measure)
{
    g_autofree char *what = what_of(panel, measure);
    g_autofree char *value =
        rb_film_measure_text(measure, rb_measure_layer_get_unit(panel->layer));
    g_autofree char *remark = remark_of(panel, measure);
    g_autofree char *whole = row_text(panel, measure);
    g_autofree char *off = g_strdup_printf(_("Take off: %s"), what);
    GtkWidget *row = gtk_list_box_row_new();
    GtkWidget *grid = gtk_grid_new();
    GtkWidget *head = rb_side_label_new(what, NULL);
    GtkWidget *figure = gtk_label_new(value);
    GtkWidget *button = gtk_button_new_from_icon_name("window-close-symbolic");
    gtk_widget_set_hexpand(head, TRUE);
    gtk_widget_add_css_class(figure, "section");
    gtk_widget_add_css_class(button, "bare");
    gtk_widget_set_valign(button, GTK_ALIGN_CENTER);
    gtk_widget_set_tooltip_text(button, off);
    gtk_button_set_has_frame(GTK_BUTTON(button), FALSE);
    gtk_widget_set_focusable(button, FALSE); /* Delete does it by key */
    g_signal_connect(button, "clicked", G_CALLBACK(on_take_off), panel);
    gtk_grid_set_column_spacing(GTK_GRID(grid), 8);
    gtk_widget_set_margin_start(grid, 6);
    gtk_widget_set_margin_top(grid, 3);
    gtk_widget_set_margin_bottom(grid, 3);
    gtk_grid_attach(GTK_GRID(grid), head, 0, 0, 1, 1);
    gtk_grid_attach(GTK_GRID(grid), figure, 1, 0, 1, 1);
    gtk_grid_attach(GTK_GRID(grid), rb_side_label_new(remark, "small"), 0, 1, 2, 1);
    gtk_grid_attach(GTK_GRID(grid), button, 2, 0, 1, 2);
    gtk_list_box_row_set_child(GTK_LIST_BOX_ROW(row), grid);
    gtk_accessible_update_property(GTK_ACCESSIBLE(row), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   whole, -1);
    gtk_accessible_update_property(GTK_ACCESSIBLE(button), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   off, -1);
    return row;
}

static bool has_keyboard(RbMeasurePanel *panel)
{
    GtkRoot *root = gtk_widget_get_root(GTK_WIDGET(panel));
    GtkWidget *focus = root != NULL ? gtk_root_get_focus(root) : NULL;
    return focus != NULL && gtk_widget_is_ancestor(focus, GTK_WIDGET(panel));
}

static void focus_row(RbMeasurePanel *panel, int place)
{
    const int n = panel->shown != NULL ? (int)panel->shown->len : 0;
    GtkListBoxRow *row =
        n > 0 ? gtk_list_box_get_row_at_index(panel->list, CLAMP(place, 0, n - 1)) : NULL;
    if (row != NULL) {
        gtk_list_box_select_row(panel->list, row);
        gtk_widget_grab_focus(GTK_WIDGET(row));
    } else {
        gtk_widget_child_focus(panel->box, GTK_DIR_TAB_FORWARD);
    }
}

/* False: the list says the same as before, and keeps its rows and the keyboard. */
static bool is_different(RbMeasurePanel *panel, const RbMeasuresAnswer *answer)
{
    g_autoptr(GString) text = g_string_new(NULL);
    for (guint i = 0; answer != NULL && i < answer->measures->len; i++) {
        g_autofree char *row = row_text(panel, answer->measures->pdata[i]);
        g_string_append_printf(text, "%s\n", row);
    }
    if (g_strcmp0(panel->said, text->str) == 0) {
        return false;
    }
    g_free(panel->said);
    panel->said = g_strdup(text->str);
    return true;
}

static void fill(RbMeasurePanel *panel)
{
    const RbMeasuresAnswer *answer = rb_session_get_measures(session_of(panel));
    if (!is_different(panel, answer)) {
        g_clear_pointer(&panel->shown, g_ptr_array_unref);
        panel->shown = answer != NULL ? g_ptr_array_ref(answer->measures) : NULL;
        return;
    }
    GtkListBoxRow *chosen = gtk_list_box_get_selected_row(panel->list);
    const int place = chosen != NULL ? gtk_list_box_row_get_index(chosen) : 0;
    const bool focused = has_keyboard(panel);
    GtkListBoxRow *row = NULL;
    while ((row = gtk_list_box_get_row_at_index(panel->list, 0)) != NULL) {
        gtk_list_box_remove(panel->list, GTK_WIDGET(row));
    }
    g_clear_pointer(&panel->shown, g_ptr_array_unref);
    panel->shown = answer != NULL ? g_ptr_array_ref(answer->measures) : NULL;
    for (guint i = 0; panel->shown != NULL && i < panel->shown->len; i++) {
        gtk_list_box_append(panel->list, row_new(panel, panel->shown->pdata[i]));
    }
    const bool any = panel->shown != NULL && panel->shown->len > 0;
    gtk_widget_set_visible(GTK_WIDGET(panel->list), any);
    gtk_widget_set_visible(GTK_WIDGET(panel->none), !any);
    if (focused && answer != NULL) {
        focus_row(panel, place);
    }
}

/* ---- times between marks */

static void show_times(RbMeasurePanel *panel)
{
    RbFilmLayer *layer = RB_FILM_LAYER(panel->layer);
    RbProjector *projector = rb_film_layer_get_projector(layer);
    const RbClip *clip = rb_deck_get_clip(rb_film_layer_get_deck(layer));
    RbMarkTime times[RB_MARK_TIMES_MAX];
    const int n = clip != NULL && projector != NULL
                      ? rb_clip_times(clip, rb_reel_moment_length,
                                      rb_projector_get_reel(projector), times)
                      : 0;
    g_autoptr(GString) text = g_string_new(NULL);
    for (int i = 0; i < n; i++) {
        g_autofree char *seconds =
            g_strdup_printf("%.2f ± %.2f s", times[i].seconds.value,
                            MAX(rb_measured_half_width(&times[i].seconds), 0.01));
        g_autofree char *to =
            g_utf8_strdown(rb_words_label(&rb_mark_words, (int)times[i].to), -1);
        g_autofree char *line =
            rb_text_fill(_("{from} to {to}: {seconds}"), "from",
                         rb_words_label(&rb_mark_words, (int)times[i].from), "to", to,
                         "seconds", seconds, NULL);
        g_string_append_printf(text, "%s%s", i > 0 ? "\n" : "", line);
    }
    gtk_label_set_text(
        panel->times, n > 0 ? text->str
                            : _("With marks for snap, top, release and arrival the times "
                                "between them stand here."));
}

static void on_layer(RbMeasurePanel *panel)
{
    if (rb_film_layer_is_on(RB_FILM_LAYER(panel->layer))) {
        rb_choice_set(panel->lengths, rb_measure_layer_get_unit(panel->layer));
        gtk_widget_set_visible(panel->marks, rb_measure_layer_wants_mark(panel->layer));
        show_times(panel);
    }
}

static void on_lengths(RbMeasurePanel *panel)
{
    const int unit = (int)rb_choice_get(panel->lengths);
    g_action_group_activate_action(
        rb_measure_layer_get_actions(panel->layer), "lengths",
        g_variant_new_string(rb_words_token(&rb_length_unit_words, unit)));
    fill(panel);
}

/* ---- keys of the list */

static void on_activated(RbMeasurePanel *panel, GtkListBoxRow *row)
{
    const int place = gtk_list_box_row_get_index(row);
    if (panel->shown != NULL && place < (int)panel->shown->len) {
        rb_measure_layer_go(panel->layer, panel->shown->pdata[place]);
        gtk_widget_grab_focus(GTK_WIDGET(panel->layer));
    }
}

static gboolean on_key(RbMeasurePanel *panel, guint keyval, guint code,
                       GdkModifierType state)
{
    (void)code;
    GtkListBoxRow *row = gtk_list_box_get_selected_row(panel->list);
    if ((state & (GDK_CONTROL_MASK | GDK_ALT_MASK)) != 0) {
        return GDK_EVENT_PROPAGATE;
    }
    if (keyval == GDK_KEY_Escape) {
        gtk_widget_grab_focus(GTK_WIDGET(panel->layer));
        return GDK_EVENT_STOP;
    }
    if ((keyval == GDK_KEY_Delete || keyval == GDK_KEY_BackSpace) && row != NULL) {
        take_off(panel, (guint)gtk_list_box_row_get_index(row));
        return GDK_EVENT_STOP;
    }
    return GDK_EVENT_PROPAGATE;
}

void rb_measure_panel_set_layer(RbMeasurePanel *panel, RbMeasureLayer *layer)
{
    g_return_if_fail(RB_IS_MEASURE_PANEL(panel));
    panel->layer = g_object_ref(layer);
    gtk_widget_insert_action_group(GTK_WIDGET(panel), "measure",
                                   rb_measure_layer_get_actions(layer));
    g_signal_connect_object(layer, "changed", G_CALLBACK(on_layer), panel,
                            G_CONNECT_SWAPPED);
    g_signal_connect_object(session_of(panel), "measures", G_CALLBACK(fill), panel,
                            G_CONNECT_SWAPPED);
    g_signal_connect_object(session_of(panel), "sheet", G_CALLBACK(fill), panel,
                            G_CONNECT_SWAPPED);
    fill(panel);
}

static gboolean rb_measure_panel_grab_focus(GtkWidget *widget)
{
    focus_row(RB_MEASURE_PANEL(widget), 0);
    return TRUE;
}

/* ---- making it */

static GtkWidget *button_new(const RbMeasureCommand *command, const char *action)
{
    GtkWidget *button = gtk_button_new();
    GtkWidget *box = gtk_box_new(GTK_ORIENTATION_HORIZONTAL, 6);
    GtkWidget *key = gtk_label_new(_(command->key));
    GtkWidget *name = gtk_label_new(_(command->label));
    gtk_widget_add_css_class(key, "key");
    /* Longer ones take two lines: half a name is no name. */
    gtk_label_set_wrap(GTK_LABEL(name), TRUE);
    gtk_label_set_wrap_mode(GTK_LABEL(name), PANGO_WRAP_WORD_CHAR);
    gtk_label_set_max_width_chars(GTK_LABEL(name), 1);
    gtk_widget_set_hexpand(name, TRUE);
    gtk_label_set_xalign(GTK_LABEL(name), 0);
    gtk_widget_set_valign(key, GTK_ALIGN_CENTER);
    gtk_box_append(GTK_BOX(box), key);
    gtk_box_append(GTK_BOX(box), name);
    gtk_button_set_child(GTK_BUTTON(button), box);
    gtk_widget_set_focus_on_click(button, FALSE);
    gtk_widget_set_hexpand(button, TRUE);
    gtk_widget_add_css_class(button, "bare");
    gtk_actionable_set_action_name(GTK_ACTIONABLE(button), action);
    if (command->token != NULL) {
        gtk_actionable_set_action_target(GTK_ACTIONABLE(button), "s", command->token);
    }
    gtk_accessible_update_property(GTK_ACCESSIBLE(button), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   _(command->label), -1);
    return button;
}

static void add_title(GtkWidget *box, const char *text, const char *style)
{
    gtk_box_append(GTK_BOX(box), rb_side_label_new(text, style));
}

static GtkGrid *add_buttons(GtkWidget *box, const RbMeasureCommand *commands,
                            const char *action)
{
    GtkGrid *grid = GTK_GRID(gtk_grid_new());
    gtk_grid_set_column_homogeneous(grid, TRUE);
    for (int i = 0; commands[i].token != NULL; i++) {
        gtk_grid_attach(grid, button_new(&commands[i], action), i % 2, i / 2, 1, 1);
    }
    gtk_box_append(GTK_BOX(box), GTK_WIDGET(grid));
    return grid;
}

static void add_list(RbMeasurePanel *panel)
{
    panel->list = GTK_LIST_BOX(gtk_list_box_new());
    gtk_list_box_set_selection_mode(panel->list, GTK_SELECTION_BROWSE);
    gtk_accessible_update_property(GTK_ACCESSIBLE(panel->list),
                                   GTK_ACCESSIBLE_PROPERTY_LABEL, _("What was measured"),
                                   -1);
    g_signal_connect_swapped(panel->list, "row-activated", G_CALLBACK(on_activated),
                             panel);
    gtk_box_append(GTK_BOX(panel->box), GTK_WIDGET(panel->list));
    panel->none = GTK_LABEL(rb_side_label_new(_("Nothing yet."), "second"));
    gtk_box_append(GTK_BOX(panel->box), GTK_WIDGET(panel->none));
}

static void add_lengths(RbMeasurePanel *panel)
{
    GtkWidget *row = gtk_box_new(GTK_ORIENTATION_HORIZONTAL, 8);
    panel->lengths = rb_choice_new(_("Lengths in"));
    for (int unit = RB_UNIT_YARDS; unit <= RB_UNIT_METRES; unit++) {
        rb_choice_add(panel->lengths, unit,
                      _(rb_words_label(&rb_length_unit_words, unit)));
    }
    g_signal_connect_swapped(panel->lengths, "changed", G_CALLBACK(on_lengths), panel);
    gtk_box_append(GTK_BOX(row), gtk_label_new(_("Lengths in")));
    gtk_box_append(GTK_BOX(row), GTK_WIDGET(panel->lengths));
    gtk_box_append(GTK_BOX(panel->box), row);
}

static void add_parts(RbMeasurePanel *panel)
{
    static const RbMeasureCommand anew = { GDK_KEY_n, "N", NULL,
                                           N_("Mark this frame anew") };
    add_title(panel->box, _("Measure"), "desk-title");
    GtkGrid *takes = add_buttons(panel->box, rb_measure_takes(), "measure.take");
    gtk_grid_attach(takes, button_new(&anew, "measure.anew"), 0, 7, 2, 1);
    panel->marks = gtk_box_new(GTK_ORIENTATION_VERTICAL, 6);
    gtk_box_append(GTK_BOX(panel->box), panel->marks);
    add_title(panel->marks, _("Another mark or landmark"), "section");
    add_buttons(panel->marks, rb_measure_marks(), "measure.mark");
    add_title(panel->box, _("What was measured"), "section");
    add_list(panel);
    add_lengths(panel);
    add_title(panel->box, _("Times"), "section");
    panel->times = GTK_LABEL(rb_side_label_new("", "second"));
    gtk_box_append(GTK_BOX(panel->box), GTK_WIDGET(panel->times));
}

static void rb_measure_panel_dispose(GObject *object)
{
    RbMeasurePanel *panel = RB_MEASURE_PANEL(object);
    g_clear_pointer(&panel->scrolled, gtk_widget_unparent);
    g_clear_pointer(&panel->shown, g_ptr_array_unref);
    g_clear_pointer(&panel->said, g_free);
    g_clear_object(&panel->layer);
    G_OBJECT_CLASS(rb_measure_panel_parent_class)->dispose(object);
}

static void rb_measure_panel_class_init(RbMeasurePanelClass *klass)
{
    GtkWidgetClass *widget_class = GTK_WIDGET_CLASS(klass);
    G_OBJECT_CLASS(klass)->dispose = rb_measure_panel_dispose;
    widget_class->grab_focus = rb_measure_panel_grab_focus;
    gtk_widget_class_set_layout_manager_type(widget_class, GTK_TYPE_BIN_LAYOUT);
    gtk_widget_class_set_css_name(widget_class, "measurepanel");
    gtk_widget_class_set_accessible_role(widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
}

static void rb_measure_panel_init(RbMeasurePanel *panel)
{
    panel->scrolled = rb_side_panel_fill(GTK_WIDGET(panel), _("Measure"), 6, &panel->box);
    rb_help_mark(GTK_WIDGET(panel), "measuring.html");
    add_parts(panel);
    GtkEventController *keys = gtk_event_controller_key_new();
    g_signal_connect_swapped(keys, "key-pressed", G_CALLBACK(on_key), panel);
    gtk_widget_add_controller(GTK_WIDGET(panel), keys);
}
