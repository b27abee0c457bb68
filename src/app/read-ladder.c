/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "read-ladder.h"

#include <glib/gi18n.h>
#include <math.h>

#include "access.h"
#include "ink.h"

#define PAD 6
#define SIGN 16 /* the look */

struct _RbReadLadder {
    GtkWidget parent_instance;
    GPtrArray *rungs; /* owned, nullable */
    int chosen;       /* index */
    bool ahead;
};

G_DEFINE_FINAL_TYPE(RbReadLadder, rb_read_ladder, GTK_TYPE_WIDGET)

static double rung_height(GtkWidget *widget)
{
    return ceil(44 * rb_ink_unit(widget));
}

/* The read's number in its circle: the circle's width. */
static double badge_size(GtkWidget *widget)
{
    return ceil(24 * rb_ink_unit(widget));
}

enum { LOOK, N_SIGNALS };
static guint signals[N_SIGNALS];

static int n_rungs(const RbReadLadder *ladder)
{
    return ladder->rungs != NULL ? (int)ladder->rungs->len : 0;
}

static RbRungView *rung_at(const RbReadLadder *ladder, int index)
{
    return ladder->rungs->pdata[index];
}

static const char *look_words(RbLook look)
{
    switch (look) {
    case RB_LOOK_UNKNOWN:
        return _("not seen yet");
    case RB_LOOK_OPEN:
        return _("open");
    case RB_LOOK_COVERED:
        return _("covered");
    case RB_LOOK_CANT_TELL:
        return _("can't tell");
    }
    return "";
}

static char *spoken(const RbRungView *view)
{
    GString *text = g_string_new(NULL);
    if (view->off) {
        g_string_append_printf(text, _("Ball: %s"), view->title);
        return g_string_free(text, FALSE);
    }
    g_string_append_printf(text, _("Read %d, %s, %s"), view->slot, view->title,
                           look_words(view->look));
    if (view->right) {
        g_string_append_printf(text, ", %s", _("the right read"));
    }
    if (view->dead) {
        g_string_append_printf(text, ", %s", _("dead by rule"));
    }
    if (view->ball) {
        g_string_append_printf(text, ", %s", view->remark);
    }
    if (view->late) {
        g_string_append_printf(text, ", %s", _("late"));
    }
    return g_string_free(text, FALSE);
}

static void say_chosen(RbReadLadder *ladder)
{
    const int n = n_rungs(ladder);
    g_autofree char *text = n == 0 ? g_strdup(_("no reads: the concept is not tagged"))
                                   : spoken(rung_at(ladder, ladder->chosen));
    rb_access_set_value(GTK_WIDGET(ladder), 1, MAX(n, 1), ladder->chosen + 1, text);
}

static void source(cairo_t *cr, GdkRGBA colour)
{
    gdk_cairo_set_source_rgba(cr, &colour);
}

/* Open: a ring. Covered: a ring with a bar through it. Not seen: dotted. Can't tell: a ring
 * with a dot. */
static void draw_look(cairo_t *cr, RbLook look, double x, double y, GdkRGBA ink,
                      GdkRGBA muted)
{
    const double r = SIGN / 2.0 - 1;
    cairo_set_line_width(cr, 2);
    cairo_new_path(cr);
    source(cr, look == RB_LOOK_UNKNOWN ? muted : ink);
    if (look == RB_LOOK_UNKNOWN) {
        cairo_set_line_width(cr, 1.5);
        cairo_set_dash(cr, (double[]){ 1.5, 2.9 }, 2, 0);
    }
    cairo_arc(cr, x, y, r, 0, 2 * G_PI);
    cairo_stroke(cr);
    cairo_set_dash(cr, NULL, 0, 0);
    if (look == RB_LOOK_COVERED) {
        cairo_move_to(cr, x - r - 3, y);
        cairo_line_to(cr, x + r + 3, y);
        cairo_stroke(cr);
    } else if (look == RB_LOOK_CANT_TELL) {
        cairo_arc(cr, x, y, 2, 0, 2 * G_PI);
        cairo_fill(cr);
    }
}

/* A small clock with its hand past twelve. */
static void draw_late(cairo_t *cr, double x, double y, GdkRGBA colour)
{
    source(cr, colour);
    cairo_set_line_width(cr, 1.3);
    cairo_arc(cr, x, y, 6, 0, 2 * G_PI);
    cairo_stroke(cr);
    cairo_move_to(cr, x, y);
    cairo_line_to(cr, x, y - 6);
    cairo_stroke(cr);
    cairo_set_line_width(cr, 2);
    cairo_move_to(cr, x, y);
    cairo_line_to(cr, x + 3.6, y - 2.2);
    cairo_stroke(cr);
}

static void draw_marks(cairo_t *cr, GtkWidget *widget, const RbRungView *view, double y,
                       double width, bool last)
{
    const GdkRGBA ink = rb_ink(widget, RB_INK_INK);
    const GdkRGBA muted = rb_ink(widget, RB_INK_MUTED);
    const double rung = rung_height(widget);
    const double badge = badge_size(widget);
    const double middle = y + rung / 2.0;
    const double badge_x = PAD + 4 + badge / 2.0;
    if (!last) { /* the stile from this rung to the next */
        source(cr, rb_ink(widget, RB_INK_LINE));
        cairo_set_line_width(cr, 1);
        cairo_move_to(cr, badge_x, middle + badge / 2.0);
        cairo_line_to(cr, badge_x, middle + rung - badge / 2.0);
        cairo_stroke(cr);
    }
    if (view->ball) { /* the filled disc */
        source(cr, ink);
        cairo_arc(cr, badge_x, middle, badge / 2.0, 0, 2 * G_PI);
        cairo_fill(cr);
    } else {
        source(cr, view->dead ? muted : ink);
        cairo_set_line_width(cr, 1);
        cairo_arc(cr, badge_x, middle, badge / 2.0 - 0.5, 0, 2 * G_PI);
        cairo_stroke(cr);
    }
    if (!view->off && !view->dead) {
        draw_look(cr, view->look, width - PAD - 8 - SIGN / 2.0, middle, ink, muted);
    }
    if (view->late) {
        draw_late(cr, width - PAD - 8 - SIGN - 20, middle, rb_ink(widget, RB_INK_BELOW));
    }
}

static void draw_words(GtkSnapshot *snapshot, GtkWidget *widget, const RbRungView *view,
                       double y, double width)
{
    const GdkRGBA ink = rb_ink(widget, RB_INK_INK);
    const GdkRGBA muted = rb_ink(widget, RB_INK_MUTED);
    const double rung = rung_height(widget);
    const double size = badge_size(widget);
    const double left = PAD + 4 + size + 10;
    const double right = width - PAD - 8 - SIGN - (view->late ? 36 : 12);
    int text_width = 0;
    int text_height = 0;
    if (!view->off) {
        g_autofree char *number = g_strdup_printf("%d", view->slot);
        g_autoptr(PangoLayout) badge =
            rb_ink_layout(widget, number, 11, PANGO_WEIGHT_SEMIBOLD);
        rb_ink_size(badge, &text_width, &text_height);
        rb_ink_text(snapshot, badge, PAD + 4 + (size - text_width) / 2.0,
                    y + (rung - text_height) / 2.0,
                    view->ball ? rb_ink(widget, RB_INK_PANEL) : ink);
    }
    double remark_x = right;
    if (view->remark != NULL) {
        g_autoptr(PangoLayout) remark =
            rb_ink_layout(widget, view->remark, 10,
                          view->ball ? PANGO_WEIGHT_SEMIBOLD : PANGO_WEIGHT_NORMAL);
        rb_ink_size(remark, &text_width, &text_height);
        remark_x = right - text_width;
        rb_ink_text(snapshot, remark, remark_x, y + (rung - text_height) / 2.0,
                    view->ball ? ink : muted);
    }
    const int room = (int)(remark_x - left - 8) * PANGO_SCALE;
    g_autoptr(PangoLayout) title =
        rb_ink_layout(widget, view->title, 11,
                      view->right ? PANGO_WEIGHT_SEMIBOLD : PANGO_WEIGHT_NORMAL);
    pango_layout_set_ellipsize(title, PANGO_ELLIPSIZE_END);
    pango_layout_set_width(title, MAX(room, 0));
    rb_ink_size(title, &text_width, &text_height);
    const bool two = view->detail != NULL && view->detail[0] != '\0';
    const double title_y = y + (rung - (two ? text_height * 1.85 : text_height)) / 2.0;
    rb_ink_text(snapshot, title, left, title_y, view->dead ? muted : ink);
    if (view->dead) {
        rb_ink_fill(snapshot, left - 2, title_y + text_height / 2.0, text_width + 4, 1,
                    muted);
    }
    if (two) {
        g_autoptr(PangoLayout) detail =
            rb_ink_layout(widget, view->detail, 9, PANGO_WEIGHT_NORMAL);
        pango_layout_set_ellipsize(detail, PANGO_ELLIPSIZE_END);
        pango_layout_set_width(detail, MAX(room, 0));
        rb_ink_text(snapshot, detail, left, title_y + text_height, muted);
    }
}

static void rb_read_ladder_snapshot(GtkWidget *widget, GtkSnapshot *snapshot)
{
    RbReadLadder *ladder = RB_READ_LADDER(widget);
    const int width = gtk_widget_get_width(widget);
    const int height = gtk_widget_get_height(widget);
    const int n = n_rungs(ladder);
    const double rung = rung_height(widget);
    for (int i = 0; i < n; i++) {
        const RbRungView *view = rung_at(ladder, i);
        const double y = i * rung;
        if (i == ladder->chosen && gtk_widget_has_visible_focus(widget)) {
            GdkRGBA wash = rb_ink(widget, RB_INK_ACCENT);
            wash.alpha = 0.13f;
            rb_ink_fill(snapshot, 0, y, width, rung, wash);
        }
        if (view->right) {
            rb_ink_frame(snapshot, PAD - 3, y + 2, width - 2 * (PAD - 3), rung - 4, 2, 5,
                         rb_ink(widget, RB_INK_ACCENT));
        }
    }
    cairo_t *cr = gtk_snapshot_append_cairo(
        snapshot, &GRAPHENE_RECT_INIT(0, 0, (float)width, (float)height));
    for (int i = 0; i < n; i++) {
        draw_marks(cr, widget, rung_at(ladder, i), i * rung, width, i == n - 1);
    }
    cairo_destroy(cr);
    for (int i = 0; i < n; i++) {
        draw_words(snapshot, widget, rung_at(ladder, i), i * rung, width);
    }
}

static void rb_read_ladder_measure(GtkWidget *widget, GtkOrientation orientation,
                                   int for_size, int *minimum, int *natural,
                                   int *minimum_baseline, int *natural_baseline)
{
    (void)for_size;
    *minimum_baseline = *natural_baseline = -1;
    *minimum = *natural =
        orientation == GTK_ORIENTATION_HORIZONTAL
            ? 220
            : n_rungs(RB_READ_LADDER(widget)) * (int)rung_height(widget);
}

/* The next look a key or click gives: unknown → open → covered → can't tell → unknown. */
static RbLook next_look(RbLook look)
{
    switch (look) {
    case RB_LOOK_UNKNOWN:
        return RB_LOOK_OPEN;
    case RB_LOOK_OPEN:
        return RB_LOOK_COVERED;
    case RB_LOOK_COVERED:
        return RB_LOOK_CANT_TELL;
    case RB_LOOK_CANT_TELL:
        return RB_LOOK_UNKNOWN;
    }
    return RB_LOOK_UNKNOWN;
}

static bool cycle(RbReadLadder *ladder, int index)
{
    RbRungView *view = rung_at(ladder, index);
    if (view->slot == 0) {
        return false;
    }
    view->look = next_look(view->look);
    ladder->chosen = index;
    ladder->ahead = true;
    say_chosen(ladder);
    gtk_widget_queue_draw(GTK_WIDGET(ladder));
    g_signal_emit(ladder, signals[LOOK], 0, view->slot, (int)view->look);
    return true;
}

bool rb_read_ladder_is_ahead(const RbReadLadder *ladder)
{
    return ladder->ahead;
}

bool rb_read_ladder_cycle(RbReadLadder *ladder, int slot)
{
    g_return_val_if_fail(RB_IS_READ_LADDER(ladder), false);
    for (int i = 0; i < n_rungs(ladder); i++) {
        if (rung_at(ladder, i)->slot == slot) {
            return cycle(ladder, i);
        }
    }
    return false;
}

static void on_pressed(GtkGestureClick *click, int n_press, double x, double y,
                       gpointer data)
{
    (void)click;
    (void)n_press;
    RbReadLadder *ladder = data;
    const int index = (int)floor(y / rung_height(GTK_WIDGET(ladder)));
    if (index < 0 || index >= n_rungs(ladder)) {
        return;
    }
    gtk_widget_grab_focus(GTK_WIDGET(ladder));
    ladder->chosen = index;
    say_chosen(ladder);
    gtk_widget_queue_draw(GTK_WIDGET(ladder));
    if (x > gtk_widget_get_width(GTK_WIDGET(ladder)) - PAD - SIGN - 20) {
        cycle(ladder, index);
    }
}

static gboolean on_move(GtkWidget *widget, GVariant *step, gpointer data)
{
    (void)data;
    RbReadLadder *ladder = RB_READ_LADDER(widget);
    const int to = ladder->chosen + g_variant_get_int32(step);
    if (to < 0 || to >= n_rungs(ladder)) {
        return FALSE;
    }
    ladder->chosen = to;
    say_chosen(ladder);
    gtk_widget_queue_draw(widget);
    return TRUE;
}

static gboolean on_activate(GtkWidget *widget, GVariant *arguments, gpointer data)
{
    (void)arguments;
    (void)data;
    RbReadLadder *ladder = RB_READ_LADDER(widget);
    return n_rungs(ladder) > 0 && cycle(ladder, ladder->chosen);
}

void rb_read_ladder_set_rungs(RbReadLadder *ladder, GPtrArray *rungs)
{
    g_return_if_fail(RB_IS_READ_LADDER(ladder));
    if (rungs != NULL) {
        g_ptr_array_ref(rungs);
    }
    g_clear_pointer(&ladder->rungs, g_ptr_array_unref);
    ladder->rungs = rungs;
    ladder->ahead = false;
    ladder->chosen = CLAMP(ladder->chosen, 0, MAX(n_rungs(ladder) - 1, 0));
    say_chosen(ladder);
    gtk_widget_queue_resize(GTK_WIDGET(ladder));
}

static void rb_read_ladder_finalize(GObject *object)
{
    g_clear_pointer(&RB_READ_LADDER(object)->rungs, g_ptr_array_unref);
    G_OBJECT_CLASS(rb_read_ladder_parent_class)->finalize(object);
}

static void rb_read_ladder_class_init(RbReadLadderClass *klass)
{
    GtkWidgetClass *widget_class = GTK_WIDGET_CLASS(klass);
    G_OBJECT_CLASS(klass)->finalize = rb_read_ladder_finalize;
    widget_class->snapshot = rb_read_ladder_snapshot;
    widget_class->measure = rb_read_ladder_measure;
    gtk_widget_class_set_css_name(widget_class, "readladder");
    gtk_widget_class_set_accessible_role(widget_class, GTK_ACCESSIBLE_ROLE_SLIDER);
    signals[LOOK] = g_signal_new("look", RB_TYPE_READ_LADDER, G_SIGNAL_RUN_LAST, 0, NULL,
                                 NULL, NULL, G_TYPE_NONE, 2, G_TYPE_INT, G_TYPE_INT);
    gtk_widget_class_add_binding(widget_class, GDK_KEY_Up, 0, on_move, "i", -1);
    gtk_widget_class_add_binding(widget_class, GDK_KEY_Down, 0, on_move, "i", 1);
    gtk_widget_class_add_binding(widget_class, GDK_KEY_Return, 0, on_activate, NULL);
    gtk_widget_class_add_binding(widget_class, GDK_KEY_KP_Enter, 0, on_activate, NULL);
}

static void rb_read_ladder_init(RbReadLadder *ladder)
{
    GtkWidget *widget = GTK_WIDGET(ladder);
    gtk_widget_set_focusable(widget, TRUE);
    gtk_accessible_update_property(GTK_ACCESSIBLE(ladder), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   _("Ladder of reads"), -1);
    GtkGesture *click = gtk_gesture_click_new();
    g_signal_connect(click, "pressed", G_CALLBACK(on_pressed), ladder);
    gtk_widget_add_controller(widget, GTK_EVENT_CONTROLLER(click));
}
