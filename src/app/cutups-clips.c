/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "cutups-clips.h"

#include <glib/gi18n.h>

#include "thumb-view.h"

struct _RbCutupsClips {
    GtkWidget parent_instance;
    GtkWidget *scrolled; /* owned child */
    GtkListBox *list;
    GPtrArray *thumbs; /* owned, of RbThumbView, borrowed: of each row */
    guint looking;     /* 0: it is known which rows are in view */
    bool to_sight;     /* the chosen row, when the rows have their places */
    bool is_filling;   /* what changes is not the user's doing */
    bool want_focus;
    int wanted; /* -1: none */
};

G_DEFINE_FINAL_TYPE(RbCutupsClips, rb_cutups_clips, GTK_TYPE_WIDGET)

enum { SELECTED, OPENED, MOVE, TAKE_OUT, N_SIGNALS };
static guint signals[N_SIGNALS];

int rb_cutups_clips_get_chosen(RbCutupsClips *clips)
{
    GtkListBoxRow *row = gtk_list_box_get_selected_row(clips->list);
    return row != NULL ? gtk_list_box_row_get_index(row) : -1;
}

/* The film moves on while the keyboard is elsewhere: its row is to be seen all the same. */
static void bring_to_sight(RbCutupsClips *clips, GtkListBoxRow *row)
{
    double y = 0;
    GtkAdjustment *down =
        gtk_scrolled_window_get_vadjustment(GTK_SCROLLED_WINDOW(clips->scrolled));
    if (row != NULL && gtk_widget_translate_coordinates(
                           GTK_WIDGET(row), GTK_WIDGET(clips->list), 0, 0, NULL, &y)) {
        gtk_adjustment_clamp_page(down, y, y + gtk_widget_get_height(GTK_WIDGET(row)));
    }
}

void rb_cutups_clips_choose(RbCutupsClips *clips, int clip, bool focus)
{
    GtkListBoxRow *row =
        clip >= 0 ? gtk_list_box_get_row_at_index(clips->list, clip) : NULL;
    if (row == NULL) {
        return;
    }
    const bool was = clips->is_filling;
    clips->is_filling = true;
    gtk_list_box_select_row(clips->list, row);
    clips->is_filling = was;
    if (focus) {
        gtk_widget_grab_focus(GTK_WIDGET(row));
    } else {
        bring_to_sight(clips, row);
    }
}

void rb_cutups_clips_want(RbCutupsClips *clips, int clip)
{
    clips->wanted = clip;
}

void rb_cutups_clips_focus(RbCutupsClips *clips)
{
    GtkListBoxRow *row = gtk_list_box_get_selected_row(clips->list);
    clips->want_focus = row == NULL; /* or a later list would take the keyboard back */
    if (row != NULL) {
        gtk_widget_grab_focus(GTK_WIDGET(row));
    }
}

/* ---- stills */

/* Rows in view get their stills, the others let go of theirs. */
static void share_out(RbCutupsClips *clips)
{
    rb_thumb_views_share_out(clips->thumbs, clips->scrolled,
                             gtk_widget_get_mapped(GTK_WIDGET(clips)));
}

/* Once a frame, and not before new rows have got their places. */
static gboolean on_frame(GtkWidget *widget, GdkFrameClock *clock, void *data)
{
    (void)clock;
    (void)data;
    RbCutupsClips *clips = RB_CUTUPS_CLIPS(widget);
    GtkListBoxRow *row = gtk_list_box_get_row_at_index(clips->list, 0);
    const bool shown = gtk_widget_get_mapped(widget);
    if (shown && row != NULL && gtk_widget_get_height(GTK_WIDGET(row)) == 0) {
        return G_SOURCE_CONTINUE;
    }
    clips->looking = 0;
    if (shown && clips->to_sight) {
        clips->to_sight = false;
        bring_to_sight(clips, gtk_list_box_get_selected_row(clips->list));
    }
    share_out(clips);
    return G_SOURCE_REMOVE;
}

static void look(RbCutupsClips *clips)
{
    if (clips->looking == 0) {
        clips->looking =
            gtk_widget_add_tick_callback(GTK_WIDGET(clips), on_frame, NULL, NULL);
    }
}

/* The snap, where it is shown, stands for the clip. */
static GtkWidget *thumb_new(RbCutupsClips *clips, const RbCutupClip *clip)
{
    const bool has_snap = clip->anchor >= clip->first && clip->anchor <= clip->last;
    GtkWidget *thumb = rb_thumb_view_new(
        clip->missing == NULL ? clip->path : NULL,
        has_snap ? clip->anchor : clip->first + (clip->last - clip->first) / 2);
    g_ptr_array_add(clips->thumbs, thumb);
    return thumb;
}

/* ---- moving */

static void move(RbCutupsClips *clips, int from, int to)
{
    if (from >= 0 && to >= 0 && from != to &&
        gtk_list_box_get_row_at_index(clips->list, to) != NULL) {
        clips->wanted = to;
        g_signal_emit(clips, signals[MOVE], 0, from, to);
    }
}

static GdkContentProvider *on_drag(GtkDragSource *source, double x, double y,
                                   GtkListBoxRow *row)
{
    (void)source;
    (void)x;
    (void)y;
    return gdk_content_provider_new_typed(G_TYPE_INT, gtk_list_box_row_get_index(row));
}

/* The row itself hangs at the pointer. */
static void on_drag_begin(GtkDragSource *source, GdkDrag *drag, GtkWidget *row)
{
    (void)drag;
    g_autoptr(GdkPaintable) picture = gtk_widget_paintable_new(row);
    gtk_drag_source_set_icon(source, picture, 12, 12);
}

static gboolean on_drop(GtkDropTarget *target, const GValue *value, double x, double y,
                        GtkListBoxRow *row)
{
    (void)x;
    (void)y;
    GtkWidget *clips = gtk_widget_get_ancestor(GTK_WIDGET(row), RB_TYPE_CUTUPS_CLIPS);
    (void)target;
    move(RB_CUTUPS_CLIPS(clips), g_value_get_int(value), gtk_list_box_row_get_index(row));
    return TRUE;
}

static void add_drag(GtkWidget *row)
{
    GtkDragSource *source = gtk_drag_source_new();
    g_signal_connect(source, "prepare", G_CALLBACK(on_drag), row);
    g_signal_connect(source, "drag-begin", G_CALLBACK(on_drag_begin), row);
    gtk_drag_source_set_actions(source, GDK_ACTION_MOVE);
    gtk_widget_add_controller(row, GTK_EVENT_CONTROLLER(source));
    GtkDropTarget *target = gtk_drop_target_new(G_TYPE_INT, GDK_ACTION_MOVE);
    g_signal_connect(target, "drop", G_CALLBACK(on_drop), row);
    gtk_widget_add_controller(row, GTK_EVENT_CONTROLLER(target));
}

static gboolean on_key(GtkEventControllerKey *keys, guint keyval, guint code,
                       GdkModifierType state, RbCutupsClips *clips)
{
    (void)keys;
    (void)code;
    const int chosen = rb_cutups_clips_get_chosen(clips);
    const bool alt = (state & GDK_ALT_MASK) != 0;
    if (alt && (keyval == GDK_KEY_Up || keyval == GDK_KEY_Down)) {
        move(clips, chosen, chosen + (keyval == GDK_KEY_Up ? -1 : 1));
        return GDK_EVENT_STOP;
    }
    if (keyval == GDK_KEY_Delete && chosen >= 0) {
        clips->wanted = chosen;
        g_signal_emit(clips, signals[TAKE_OUT], 0);
        return GDK_EVENT_STOP;
    }
    return GDK_EVENT_PROPAGATE;
}

/* ---- rows */

static GtkWidget *line(const char *text, PangoEllipsizeMode cut, const char *css)
{
    GtkWidget *label = gtk_label_new(text);
    gtk_label_set_xalign(GTK_LABEL(label), 0);
    gtk_label_set_ellipsize(GTK_LABEL(label), cut);
    gtk_label_set_max_width_chars(GTK_LABEL(label), 40);
    if (css != NULL) {
        gtk_widget_add_css_class(label, css);
    }
    return label;
}

/* How the clip is shown, where that is not the usual. Returns: (transfer full). */
static char *manner(const RbCutupClip *clip)
{
    const RbCut *cut = &clip->entry->cut;
    GString *words = g_string_new(NULL);
    if (cut->view != RB_VIEW_WIDE) {
        g_string_append_printf(words, ", %s", rb_words_label(&rb_view_words, cut->view));
    }
    if (cut->speed != 100) {
        g_string_append_printf(words, _(", %d %% speed"), cut->speed);
    }
    if (cut->loops > 1) {
        g_string_append_printf(
            words, ngettext(", %d time", ", %d times", (gulong)cut->loops), cut->loops);
    }
    if (clip->freeze >= 0) {
        g_string_append(words, _(", stands still"));
    }
    if (clip->card->len > 0) {
        g_string_append(words, _(", card"));
    }
    return g_string_free(words, FALSE);
}

static GtkWidget *row_new(RbCutupsClips *clips, const RbCutupClip *clip, guint number)
{
    GtkWidget *box = gtk_box_new(GTK_ORIENTATION_VERTICAL, 0);
    g_autofree char *length = rb_time_text(rb_cutup_clip_us(clip, false));
    g_autofree char *how = manner(clip);
    g_autofree char *title = g_strdup_printf(_("%u. %s"), number + 1, clip->title);
    g_autofree char *second =
        clip->missing != NULL ? g_strdup(_("No film: left out"))
                              : g_strdup_printf("%s%s. %s", length, how, clip->subtitle);
    /* Both the number and the snap, at its end, are to be read. */
    gtk_box_append(GTK_BOX(box), line(title, PANGO_ELLIPSIZE_MIDDLE, NULL));
    gtk_box_append(GTK_BOX(box), line(second, PANGO_ELLIPSIZE_END, "second"));
    if (clip->entry->note != NULL) {
        gtk_box_append(GTK_BOX(box),
                       line(clip->entry->note, PANGO_ELLIPSIZE_END, "second"));
    }
    gtk_widget_set_valign(box, GTK_ALIGN_CENTER);
    GtkWidget *across = gtk_box_new(GTK_ORIENTATION_HORIZONTAL, 8);
    gtk_box_append(GTK_BOX(across), thumb_new(clips, clip));
    gtk_box_append(GTK_BOX(across), box);
    gtk_widget_set_margin_start(across, 12);
    gtk_widget_set_margin_end(across, 12);
    gtk_widget_set_margin_top(across, 4);
    gtk_widget_set_margin_bottom(across, 4);
    GtkWidget *row = gtk_list_box_row_new();
    gtk_list_box_row_set_child(GTK_LIST_BOX_ROW(row), across);
    g_autofree char *spoken = g_strdup_printf("%s, %s", title, second);
    gtk_accessible_update_property(GTK_ACCESSIBLE(row), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   spoken, -1);
    gtk_widget_set_tooltip_text(row, clip->missing);
    add_drag(row);
    return row;
}

void rb_cutups_clips_set(RbCutupsClips *clips, const RbCutupPlan *plan)
{
    g_return_if_fail(RB_IS_CUTUPS_CLIPS(clips));
    const int was =
        clips->wanted >= 0 ? clips->wanted : MAX(rb_cutups_clips_get_chosen(clips), 0);
    const bool focus =
        clips->want_focus || gtk_widget_get_focus_child(GTK_WIDGET(clips->list)) != NULL;
    g_autoptr(GPtrArray) old = g_ptr_array_new();
    GtkListBoxRow *row = NULL;
    for (int i = 0; (row = gtk_list_box_get_row_at_index(clips->list, i)) != NULL; i++) {
        g_ptr_array_add(old, row);
    }
    clips->is_filling = true;
    g_ptr_array_set_size(clips->thumbs, 0);
    for (guint i = 0; i < plan->clips->len; i++) {
        gtk_list_box_append(clips->list, row_new(clips, plan->clips->pdata[i], i));
    }
    const int chosen = MIN(was, (int)plan->clips->len - 1);
    if (chosen >= 0) {
        rb_cutups_clips_choose(clips, (int)old->len + chosen, focus);
    }
    /* The old rows go last: keys that come while the row they go to is gone would be lost. */
    for (guint i = 0; i < old->len; i++) {
        gtk_list_box_remove(clips->list, old->pdata[i]);
    }
    clips->is_filling = false;
    clips->wanted = -1;
    clips->want_focus = false;
    clips->to_sight = true;
    look(clips);
}

static void on_selected(RbCutupsClips *clips)
{
    if (!clips->is_filling) {
        g_signal_emit(clips, signals[SELECTED], 0);
    }
}

static void on_opened(RbCutupsClips *clips)
{
    g_signal_emit(clips, signals[OPENED], 0);
}

/* Tab goes into the list and out of it, not from clip to clip: that is what the arrows do. */
static gboolean rb_cutups_clips_tab(GtkWidget *widget, GtkDirectionType direction)
{
    const RbCutupsClips *clips = RB_CUTUPS_CLIPS(widget);
    const bool tab =
        direction == GTK_DIR_TAB_FORWARD || direction == GTK_DIR_TAB_BACKWARD;
    GtkListBoxRow *row = gtk_list_box_get_selected_row(clips->list);
    if (tab && gtk_widget_get_focus_child(widget) != NULL) {
        return FALSE;
    }
    return tab && row != NULL
               ? gtk_widget_grab_focus(GTK_WIDGET(row))
               : GTK_WIDGET_CLASS(rb_cutups_clips_parent_class)->focus(widget, direction);
}

static void rb_cutups_clips_dispose(GObject *object)
{
    RbCutupsClips *clips = RB_CUTUPS_CLIPS(object);
    clips->is_filling =
        true; /* it loses its rows one by one, and nobody is to hear of it */
    g_ptr_array_set_size(clips->thumbs, 0);
    g_clear_pointer(&clips->scrolled, gtk_widget_unparent);
    if (clips->looking != 0) {
        gtk_widget_remove_tick_callback(GTK_WIDGET(clips), clips->looking);
        clips->looking = 0;
    }
    G_OBJECT_CLASS(rb_cutups_clips_parent_class)->dispose(object);
}

static void rb_cutups_clips_finalize(GObject *object)
{
    g_ptr_array_unref(RB_CUTUPS_CLIPS(object)->thumbs);
    G_OBJECT_CLASS(rb_cutups_clips_parent_class)->finalize(object);
}

static void rb_cutups_clips_class_init(RbCutupsClipsClass *klass)
{
    const GType type = RB_TYPE_CUTUPS_CLIPS;
    G_OBJECT_CLASS(klass)->dispose = rb_cutups_clips_dispose;
    G_OBJECT_CLASS(klass)->finalize = rb_cutups_clips_finalize;
    GTK_WIDGET_CLASS(klass)->focus = rb_cutups_clips_tab;
    gtk_widget_class_set_layout_manager_type(GTK_WIDGET_CLASS(klass),
                                             GTK_TYPE_BIN_LAYOUT);
    signals[SELECTED] = g_signal_new("selected", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL,
                                     NULL, G_TYPE_NONE, 0);
    signals[OPENED] = g_signal_new("opened", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
                                   G_TYPE_NONE, 0);
    signals[MOVE] = g_signal_new("move", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
                                 G_TYPE_NONE, 2, G_TYPE_INT, G_TYPE_INT);
    signals[TAKE_OUT] = g_signal_new("take-out", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL,
                                     NULL, G_TYPE_NONE, 0);
}

/* Whatever changes which rows are in view. */
static void follow_view(RbCutupsClips *clips)
{
    GtkAdjustment *down =
        gtk_scrolled_window_get_vadjustment(GTK_SCROLLED_WINDOW(clips->scrolled));
    g_signal_connect_swapped(down, "changed", G_CALLBACK(look), clips);
    g_signal_connect_swapped(down, "value-changed", G_CALLBACK(look), clips);
    g_signal_connect(clips, "map", G_CALLBACK(look), NULL);
    g_signal_connect_after(clips, "unmap", G_CALLBACK(share_out), NULL);
}

static void rb_cutups_clips_init(RbCutupsClips *clips)
{
    clips->wanted = -1;
    clips->thumbs = g_ptr_array_new();
    GtkWidget *list = gtk_list_box_new();
    clips->list = GTK_LIST_BOX(list);
    gtk_list_box_set_selection_mode(clips->list, GTK_SELECTION_BROWSE);
    gtk_list_box_set_activate_on_single_click(clips->list, FALSE);
    gtk_accessible_update_property(GTK_ACCESSIBLE(list), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   _("Clips"), -1);
    g_signal_connect_swapped(list, "row-selected", G_CALLBACK(on_selected), clips);
    g_signal_connect_swapped(list, "row-activated", G_CALLBACK(on_opened), clips);
    GtkEventController *keys = gtk_event_controller_key_new();
    g_signal_connect(keys, "key-pressed", G_CALLBACK(on_key), clips);
    gtk_widget_add_controller(list, keys);
    clips->scrolled = gtk_scrolled_window_new();
    gtk_scrolled_window_set_policy(GTK_SCROLLED_WINDOW(clips->scrolled), GTK_POLICY_NEVER,
                                   GTK_POLICY_AUTOMATIC);
    gtk_scrolled_window_set_child(GTK_SCROLLED_WINDOW(clips->scrolled), list);
    gtk_widget_set_parent(clips->scrolled, GTK_WIDGET(clips));
    follow_view(clips);
}
