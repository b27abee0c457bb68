/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "pairing-ladder.h"

#include <glib/gi18n.h>
#include <math.h>

#include "ink.h"

/* Lengths at 11 points; see rb_ink_unit(). */
#define TITLE 21
#define BAR 14
#define LABEL 21
#define GAP 12
#define BADGE 22
#define LEFT 40 /* of the bars */
#define RIGHT 12
#define SWATCH 10

/* One label of one rung: what a person chooses. */
typedef struct {
    int row;   /* index into the view's rows */
    int stage; /* -1: the whole read, the rung's title */
    double x;
    double y;
    double width;
    double height;
    char *text; /* owned */
} Part;

struct _RbPairingLadder {
    GtkWidget parent_instance;
    RbLadderView *view; /* owned, nullable */
    GArray *parts;      /* owned, of Part: for `laid_width` */
    double laid_width;
    double laid_height;
    int chosen; /* index into parts; -1 none */
};

G_DEFINE_FINAL_TYPE(RbPairingLadder, rb_pairing_ladder, GTK_TYPE_WIDGET)

enum { CHOSEN, OPENED, N_SIGNALS };
static guint signals[N_SIGNALS];

static void part_clear(void *pointer)
{
    g_free(((Part *)pointer)->text);
}

static int n_rows(const RbPairingLadder *ladder)
{
    return ladder->view != NULL ? (int)ladder->view->rows->len : 0;
}

static const RbLadderRow *row_at(const RbPairingLadder *ladder, int index)
{
    return ladder->view->rows->pdata[index];
}

static const Part *part_at(const RbPairingLadder *ladder, int index)
{
    return &g_array_index(ladder->parts, Part, index);
}

static bool is_break(const RbPairingLadder *ladder, const RbLadderRow *row, int stage)
{
    const RbBreak *found = &ladder->view->found;
    return found->found && found->read == row->read && (int)found->stage == stage;
}

static char *label_text(const RbLadderCell *cell, int stage)
{
    g_autofree char *word = g_utf8_strdown(rb_words_label(&rb_stage_words, stage), -1);
    if (cell->pointed == 0) {
        return g_strdup_printf("%s %d", word, cell->dropbacks);
    }
    g_autofree char *points = rb_ink_signed(cell->points);
    return g_strdup_printf("%s %d  %s", word, cell->dropbacks, points);
}

static void add_part(RbPairingLadder *ladder, int row, int stage, double x, double y,
                     double width, double height, char *text)
{
    const Part part = { row, stage, x, y, width, height, text };
    g_array_append_val(ladder->parts, part);
}

/* Lays the labels of one rung in lines under its bar. Returns the bottom. */
static double lay_labels(RbPairingLadder *ladder, int index, double y, double width,
                         double unit)
{
    const RbLadderRow *row = row_at(ladder, index);
    double x = LEFT * unit;
    bool first = true;
    for (int stage = 1; stage <= RB_STAGES; stage++) {
        const int shown = stage % RB_STAGES; /* not judged comes last */
        const RbLadderCell *cell = &row->cells[shown];
        if (cell->dropbacks == 0) {
            continue;
        }
        char *text = label_text(cell, shown);
        g_autoptr(PangoLayout) layout =
            rb_ink_layout(GTK_WIDGET(ladder), text, 9.5, PANGO_WEIGHT_SEMIBOLD);
        int text_width = 0;
        rb_ink_size(layout, &text_width, NULL);
        const double needs = text_width + (SWATCH + 14) * unit;
        if (!first && x + needs > width - RIGHT * unit) {
            x = LEFT * unit;
            y += LABEL * unit;
        }
        first = false;
        add_part(ladder, index, shown, x, y, needs, LABEL * unit, text);
        x += needs + 4 * unit;
    }
    return first ? y : y + LABEL * unit;
}

static void lay_out(RbPairingLadder *ladder, double width)
{
    if (ladder->laid_width == width) {
        return;
    }
    const double unit = rb_ink_unit(GTK_WIDGET(ladder));
    g_array_set_size(ladder->parts, 0);
    ladder->laid_width = width;
    double y = 0;
    for (int i = 0; i < n_rows(ladder); i++) {
        add_part(ladder, i, -1, 0, y, width, (TITLE + BAR) * unit,
                 g_strdup(row_at(ladder, i)->title));
        y += (TITLE + BAR + 3) * unit;
        y = lay_labels(ladder, i, y, width, unit) + GAP * unit;
    }
    ladder->laid_height = y;
}

/* The pattern that tells stages apart without colour. */
typedef enum { PLAIN, RISING, FALLING, CROSSED, UPRIGHT, LEVEL, DOTTED, HOLLOW } Pattern;

static Pattern pattern_of(RbStage stage)
{
    switch (stage) {
    case RB_STAGE_SUCCESS:
        return PLAIN;
    case RB_STAGE_NOT_JUDGED:
        return HOLLOW;
    case RB_STAGE_EYES:
        return RISING;
    case RB_STAGE_CLOCK:
        return FALLING;
    case RB_STAGE_PROTECTION:
    case RB_STAGE_TIPPED:
        return CROSSED;
    case RB_STAGE_BEFORE_SNAP:
        return UPRIGHT;
    case RB_STAGE_COVERED:
        return LEVEL;
    case RB_STAGE_THROW:
    case RB_STAGE_CATCH:
    case RB_STAGE_AFTER:
        return DOTTED;
    }
    return HOLLOW;
}

static void hatch(cairo_t *cr, Pattern pattern, double x, double y, double w, double h)
{
    cairo_set_line_width(cr, 1);
    for (double at = -h; at < w + h; at += 4) {
        if (pattern == RISING || pattern == CROSSED) {
            cairo_move_to(cr, x + at, y + h);
            cairo_line_to(cr, x + at + h, y);
        }
        if (pattern == FALLING || pattern == CROSSED) {
            cairo_move_to(cr, x + at, y);
            cairo_line_to(cr, x + at + h, y + h);
        }
        if (pattern == UPRIGHT) {
            cairo_move_to(cr, x + at + 0.5, y);
            cairo_line_to(cr, x + at + 0.5, y + h);
        }
    }
    for (double at = 2.5; pattern == LEVEL && at < h; at += 3) {
        cairo_move_to(cr, x, y + at);
        cairo_line_to(cr, x + w, y + at);
    }
    cairo_stroke(cr);
    for (double dx = 2.5; pattern == DOTTED && dx < w; dx += 5) {
        for (double dy = 2.5; dy < h; dy += 4.5) {
            cairo_arc(cr, x + dx, y + dy, 1, 0, 2 * G_PI);
            cairo_fill(cr);
        }
    }
}

static void draw_segment(cairo_t *cr, GtkWidget *widget, RbStage stage, double x,
                         double y, double w, double h)
{
    const Pattern pattern = pattern_of(stage);
    const bool failure = stage != RB_STAGE_SUCCESS && stage != RB_STAGE_NOT_JUDGED;
    GdkRGBA colour = rb_ink(widget, failure ? RB_INK_BELOW : RB_INK_ABOVE);
    if (pattern == HOLLOW) {
        colour = rb_ink(widget, RB_INK_MUTED);
    }
    cairo_save(cr);
    cairo_rectangle(cr, x, y, w, h);
    cairo_clip(cr);
    gdk_cairo_set_source_rgba(cr, &colour);
    if (pattern == PLAIN) {
        cairo_paint(cr);
    } else if (pattern != HOLLOW) {
        hatch(cr, pattern, x, y, w, h);
    }
    cairo_restore(cr);
    gdk_cairo_set_source_rgba(cr, &colour);
    cairo_set_line_width(cr, 1);
    cairo_rectangle(cr, x + 0.5, y + 0.5, w - 1, h - 1);
    cairo_stroke(cr);
}

static double widest(const RbPairingLadder *ladder)
{
    int most = 1;
    for (int i = 0; i < n_rows(ladder); i++) {
        most = MAX(most, row_at(ladder, i)->sum.dropbacks);
    }
    return most;
}

static void draw_bar(cairo_t *cr, RbPairingLadder *ladder, const RbLadderRow *row,
                     double y, double width, double unit)
{
    GtkWidget *widget = GTK_WIDGET(ladder);
    const double each = (width - (LEFT + RIGHT) * unit) / widest(ladder);
    double x = LEFT * unit;
    if (row->sum.dropbacks == 0) {
        const GdkRGBA line = rb_ink(widget, RB_INK_LINE);
        gdk_cairo_set_source_rgba(cr, &line);
        cairo_rectangle(cr, x, y + BAR * unit - 1, each, 1);
        cairo_fill(cr);
    }
    for (int stage = 1; stage <= RB_STAGES; stage++) {
        const int shown = stage % RB_STAGES;
        const double w = row->cells[shown].dropbacks * each;
        if (w <= 0) {
            continue;
        }
        draw_segment(cr, widget, shown, x, y, w - 1, BAR * unit);
        if (is_break(ladder, row, shown)) { /* an accent rule under the break */
            const GdkRGBA accent = rb_ink(widget, RB_INK_ACCENT);
            gdk_cairo_set_source_rgba(cr, &accent);
            cairo_rectangle(cr, x, y + BAR * unit + 1, w - 1, 2);
            cairo_fill(cr);
        }
        x += w;
    }
}

/* "6 dropbacks, +2.1 points". Returns: (transfer full). */
static char *sum_text(const RbLadderCell *sum)
{
    g_autofree char *count = g_strdup_printf(
        ngettext("%d dropback", "%d dropbacks", sum->dropbacks), sum->dropbacks);
    if (sum->pointed == 0) {
        return g_steal_pointer(&count);
    }
    g_autofree char *points = rb_ink_signed(sum->points);
    return g_strdup_printf(_("%s, %s points"), count, points);
}

static void draw_title(GtkSnapshot *snapshot, RbPairingLadder *ladder,
                       const RbLadderRow *row, double y, double width, double unit)
{
    GtkWidget *widget = GTK_WIDGET(ladder);
    const GdkRGBA ink = rb_ink(widget, RB_INK_INK);
    int w = 0;
    int h = 0;
    g_autoptr(PangoLayout) title =
        rb_ink_layout(widget, row->title, 10.5, PANGO_WEIGHT_NORMAL);
    rb_ink_text(snapshot, title, LEFT * unit, y, ink);
    g_autofree char *figures = sum_text(&row->sum);
    g_autoptr(PangoLayout) right =
        rb_ink_layout(widget, figures, 9.5, PANGO_WEIGHT_NORMAL);
    rb_ink_size(right, &w, NULL);
    rb_ink_text(snapshot, right, width - RIGHT * unit - w, y,
                rb_ink(widget, RB_INK_MUTED));
    if (row->read > 0) {
        g_autofree char *number = g_strdup_printf("%d", row->read);
        g_autoptr(PangoLayout) badge =
            rb_ink_layout(widget, number, 10.5, PANGO_WEIGHT_SEMIBOLD);
        rb_ink_size(badge, &w, &h);
        const double size = BADGE * unit;
        rb_ink_frame(snapshot, 8 * unit, y + 6 * unit, size, size, 1, size / 2, ink);
        rb_ink_text(snapshot, badge, 8 * unit + (size - w) / 2,
                    y + 6 * unit + (size - h) / 2, ink);
    }
}

static void draw_label(GtkSnapshot *snapshot, RbPairingLadder *ladder, const Part *part,
                       double unit)
{
    GtkWidget *widget = GTK_WIDGET(ladder);
    const bool here = is_break(ladder, row_at(ladder, part->row), part->stage);
    g_autoptr(PangoLayout) layout = rb_ink_layout(
        widget, part->text, 9.5, here ? PANGO_WEIGHT_SEMIBOLD : PANGO_WEIGHT_NORMAL);
    int h = 0;
    rb_ink_size(layout, NULL, &h);
    rb_ink_text(snapshot, layout, part->x + (SWATCH + 8) * unit,
                part->y + (part->height - h) / 2,
                rb_ink(widget, here ? RB_INK_INK : RB_INK_MUTED));
}

static void rb_pairing_ladder_snapshot(GtkWidget *widget, GtkSnapshot *snapshot)
{
    RbPairingLadder *ladder = RB_PAIRING_LADDER(widget);
    const int width = gtk_widget_get_width(widget);
    const double unit = rb_ink_unit(widget);
    lay_out(ladder, width);
    cairo_t *cr = gtk_snapshot_append_cairo(
        snapshot,
        &GRAPHENE_RECT_INIT(0, 0, (float)width, (float)gtk_widget_get_height(widget)));
    for (int i = 0; i < (int)ladder->parts->len; i++) {
        const Part *part = part_at(ladder, i);
        if (part->stage < 0) {
            draw_bar(cr, ladder, row_at(ladder, part->row), part->y + TITLE * unit, width,
                     unit);
        } else {
            draw_segment(cr, widget, part->stage, part->x + 4 * unit,
                         part->y + (part->height - SWATCH * unit) / 2, SWATCH * unit,
                         SWATCH * unit);
        }
    }
    cairo_destroy(cr);
    for (int i = 0; i < (int)ladder->parts->len; i++) {
        const Part *part = part_at(ladder, i);
        if (part->stage < 0) {
            draw_title(snapshot, ladder, row_at(ladder, part->row), part->y, width, unit);
        } else {
            draw_label(snapshot, ladder, part, unit);
        }
        if (i == ladder->chosen) {
            rb_ink_frame(snapshot, part->x + 0.5, part->y, part->width - 1, part->height,
                         gtk_widget_has_focus(widget) ? 2 : 1, 4,
                         rb_ink(widget, RB_INK_ACCENT));
        }
    }
}

static GtkSizeRequestMode rb_pairing_ladder_get_request_mode(GtkWidget *widget)
{
    (void)widget;
    return GTK_SIZE_REQUEST_HEIGHT_FOR_WIDTH;
}

static void rb_pairing_ladder_measure(GtkWidget *widget, GtkOrientation orientation,
                                      int for_size, int *minimum, int *natural,
                                      int *minimum_baseline, int *natural_baseline)
{
    RbPairingLadder *ladder = RB_PAIRING_LADDER(widget);
    *minimum_baseline = *natural_baseline = -1;
    if (orientation == GTK_ORIENTATION_HORIZONTAL) {
        *minimum = *natural = 260;
        return;
    }
    lay_out(ladder, for_size > 0 ? for_size : 400);
    *minimum = *natural = (int)ceil(ladder->laid_height);
}

static void say_chosen(RbPairingLadder *ladder)
{
    g_autofree char *text = NULL;
    if (ladder->chosen < 0) {
        text = n_rows(ladder) > 0 ? g_strdup(_("all reads")) : g_strdup(_("empty"));
    } else {
        const Part *part = part_at(ladder, ladder->chosen);
        const RbLadderRow *row = row_at(ladder, part->row);
        const char *here = part->stage >= 0 && is_break(ladder, row, part->stage)
                               ? _(", the break point")
                               : "";
        const int n =
            part->stage < 0 ? row->sum.dropbacks : row->cells[part->stage].dropbacks;
        text = g_strdup_printf(
            ngettext("Read %d, %s: %d dropback%s", "Read %d, %s: %d dropbacks%s", n),
            row->read, part->text, n, here);
    }
    gtk_accessible_update_property(GTK_ACCESSIBLE(ladder),
                                   GTK_ACCESSIBLE_PROPERTY_DESCRIPTION, text, -1);
}

void rb_pairing_ladder_get_chosen(RbPairingLadder *ladder, int *read, int *stage)
{
    g_return_if_fail(RB_IS_PAIRING_LADDER(ladder));
    *read = -1;
    *stage = -1;
    if (ladder->chosen >= 0) {
        const Part *part = part_at(ladder, ladder->chosen);
        *read = row_at(ladder, part->row)->read;
        *stage = part->stage;
    }
}

static void choose(RbPairingLadder *ladder, int index)
{
    if (index < -1 || index >= (int)ladder->parts->len || index == ladder->chosen) {
        return;
    }
    int read = 0;
    int stage = 0;
    ladder->chosen = index;
    say_chosen(ladder);
    gtk_widget_queue_draw(GTK_WIDGET(ladder));
    rb_pairing_ladder_get_chosen(ladder, &read, &stage);
    g_signal_emit(ladder, signals[CHOSEN], 0, read, stage);
}

static void on_pressed(GtkGestureClick *click, int n_press, double x, double y,
                       gpointer data)
{
    (void)click;
    RbPairingLadder *ladder = data;
    int found = -1;
    gtk_widget_grab_focus(GTK_WIDGET(ladder));
    for (int i = 0; i < (int)ladder->parts->len; i++) {
        const Part *part = part_at(ladder, i);
        if (x >= part->x && x < part->x + part->width && y >= part->y &&
            y < part->y + part->height) {
            found = i;
        }
    }
    choose(ladder, found);
    if (n_press == 2) {
        g_signal_emit(ladder, signals[OPENED], 0);
    }
}

/* Left and Right go through the parts, Up and Down from rung to rung. */
static gboolean on_move(GtkWidget *widget, GVariant *steps, gpointer data)
{
    (void)data;
    RbPairingLadder *ladder = RB_PAIRING_LADDER(widget);
    int rungs = 0;
    int parts = 0;
    g_variant_get(steps, "(ii)", &rungs, &parts);
    int index = ladder->chosen + parts;
    if (rungs != 0) {
        do {
            index += rungs;
        } while (index >= 0 && index < (int)ladder->parts->len &&
                 part_at(ladder, index)->stage >= 0);
    }
    if (index < -1 || index >= (int)ladder->parts->len) {
        return FALSE; /* past an end: the focus may move on */
    }
    choose(ladder, index);
    return TRUE;
}

static gboolean on_open(GtkWidget *widget, GVariant *arguments, gpointer data)
{
    (void)arguments;
    (void)data;
    g_signal_emit(widget, signals[OPENED], 0);
    return TRUE;
}

void rb_pairing_ladder_take_view(RbPairingLadder *ladder, RbLadderView *view)
{
    g_return_if_fail(RB_IS_PAIRING_LADDER(ladder));
    g_clear_pointer(&ladder->view, rb_ladder_view_free);
    ladder->view = view;
    ladder->chosen = -1;
    ladder->laid_width = -1;
    g_array_set_size(ladder->parts, 0);
    lay_out(ladder, MAX(gtk_widget_get_width(GTK_WIDGET(ladder)), 260));
    say_chosen(ladder);
    gtk_widget_queue_resize(GTK_WIDGET(ladder));
}

static void rb_pairing_ladder_finalize(GObject *object)
{
    RbPairingLadder *ladder = RB_PAIRING_LADDER(object);
    g_clear_pointer(&ladder->view, rb_ladder_view_free);
    g_array_unref(ladder->parts);
    G_OBJECT_CLASS(rb_pairing_ladder_parent_class)->finalize(object);
}

static void rb_pairing_ladder_class_init(RbPairingLadderClass *klass)
{
    GtkWidgetClass *widget_class = GTK_WIDGET_CLASS(klass);
    G_OBJECT_CLASS(klass)->finalize = rb_pairing_ladder_finalize;
    widget_class->snapshot = rb_pairing_ladder_snapshot;
    widget_class->measure = rb_pairing_ladder_measure;
    widget_class->get_request_mode = rb_pairing_ladder_get_request_mode;
    gtk_widget_class_set_css_name(widget_class, "pairingladder");
    gtk_widget_class_set_accessible_role(widget_class, GTK_ACCESSIBLE_ROLE_LIST);
    signals[CHOSEN] =
        g_signal_new("chosen", RB_TYPE_PAIRING_LADDER, G_SIGNAL_RUN_LAST, 0, NULL, NULL,
                     NULL, G_TYPE_NONE, 2, G_TYPE_INT, G_TYPE_INT);
    signals[OPENED] = g_signal_new("opened", RB_TYPE_PAIRING_LADDER, G_SIGNAL_RUN_LAST, 0,
                                   NULL, NULL, NULL, G_TYPE_NONE, 0);
    gtk_widget_class_add_binding(widget_class, GDK_KEY_Up, 0, on_move, "(ii)", -1, 0);
    gtk_widget_class_add_binding(widget_class, GDK_KEY_Down, 0, on_move, "(ii)", 1, 0);
    gtk_widget_class_add_binding(widget_class, GDK_KEY_Left, 0, on_move, "(ii)", 0, -1);
    gtk_widget_class_add_binding(widget_class, GDK_KEY_Right, 0, on_move, "(ii)", 0, 1);
    gtk_widget_class_add_binding(widget_class, GDK_KEY_Return, 0, on_open, NULL);
    gtk_widget_class_add_binding(widget_class, GDK_KEY_KP_Enter, 0, on_open, NULL);
}

static void rb_pairing_ladder_init(RbPairingLadder *ladder)
{
    GtkWidget *widget = GTK_WIDGET(ladder);
    ladder->parts = g_array_new(FALSE, FALSE, sizeof(Part));
    g_array_set_clear_func(ladder->parts, part_clear);
    ladder->chosen = -1;
    ladder->laid_width = -1;
    gtk_widget_set_focusable(widget, TRUE);
    gtk_accessible_update_property(GTK_ACCESSIBLE(ladder), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   _("Ladder of the pairing"), -1);
    GtkGesture *click = gtk_gesture_click_new();
    g_signal_connect(click, "pressed", G_CALLBACK(on_pressed), ladder);
    gtk_widget_add_controller(widget, GTK_EVENT_CONTROLLER(click));
}
