/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "drive-strip.h"

#include <glib/gi18n.h>

#include "access.h"
#include "ink.h"

#define HEIGHT 76
#define CAPTION 20 /* the drive's name above its tiles */
#define TILE 15    /* from one tile to the next */
#define BAR 9
#define DRIVE_GAP 18
#define MARGIN 14
#define LINE_Y 54 /* the line that bars stand on or hang from */
#define TALL 26
#define HALF 13
#define FOOT 4
#define BELOW 13
#define DOT_Y 22 /* film */
#define BREAK 3  /* the gap that tells a turnover from a sack */

struct _RbDriveStrip {
    GtkWidget parent_instance;
    GPtrArray *tiles; /* owned, nullable */
    int chosen;       /* index; -1 none */
    double offset;    /* scrolled so far, in pixels */
};

G_DEFINE_FINAL_TYPE(RbDriveStrip, rb_drive_strip, GTK_TYPE_WIDGET)

enum { CHOSEN, N_SIGNALS };
static guint signals[N_SIGNALS];

static guint n_tiles(const RbDriveStrip *strip)
{
    return strip->tiles != NULL ? strip->tiles->len : 0;
}

static const RbTile *tile_at(const RbDriveStrip *strip, int index)
{
    return strip->tiles->pdata[index];
}

/* Left edge of a tile before scrolling. */
static double tile_x(const RbDriveStrip *strip, int index)
{
    const int drive = tile_at(strip, index)->drive;
    return MARGIN + index * TILE + (drive - 1) * DRIVE_GAP;
}

static double content_width(const RbDriveStrip *strip)
{
    const guint n = n_tiles(strip);
    return n == 0 ? 0 : tile_x(strip, (int)n - 1) + TILE + MARGIN;
}

static int tile_under(const RbDriveStrip *strip, double x)
{
    for (int i = 0; i < (int)n_tiles(strip); i++) {
        const double left = tile_x(strip, i) - strip->offset;
        if (x >= left && x < left + TILE) {
            return i;
        }
    }
    return -1;
}

static void clamp_offset(RbDriveStrip *strip)
{
    const double most = content_width(strip) - gtk_widget_get_width(GTK_WIDGET(strip));
    strip->offset = CLAMP(strip->offset, 0, MAX(most, 0));
}

static void reveal_chosen(RbDriveStrip *strip)
{
    const int width = gtk_widget_get_width(GTK_WIDGET(strip));
    if (strip->chosen >= 0 && width > 0) {
        const double x = tile_x(strip, strip->chosen);
        const double room = MIN(6 * TILE, width / 3.0);
        if (x - room < strip->offset) {
            strip->offset = x - room;
        } else if (x + TILE + room > strip->offset + width) {
            strip->offset = x + TILE + room - width;
        }
    }
    clamp_offset(strip);
}

static void say_chosen(RbDriveStrip *strip)
{
    const guint n = n_tiles(strip);
    if (strip->chosen < 0) {
        rb_access_set_no_value(GTK_WIDGET(strip),
                               n == 0 ? _("no snaps") : _("no snap chosen"));
        return;
    }
    const RbTile *tile = tile_at(strip, strip->chosen);
    g_autofree char *text = g_strdup_printf(_("Drive %d. %s"), tile->drive, tile->text);
    rb_access_set_value(GTK_WIDGET(strip), 1, n, strip->chosen + 1, text);
}

static void draw_shape(GtkSnapshot *snapshot, RbDriveStrip *strip, RbTileShape shape,
                       double x)
{
    GtkWidget *widget = GTK_WIDGET(strip);
    const GdkRGBA above = rb_ink(widget, RB_INK_ABOVE);
    const GdkRGBA below = rb_ink(widget, RB_INK_BELOW);
    const GdkRGBA muted = rb_ink(widget, RB_INK_MUTED);
    const double left = x + (TILE - BAR) / 2.0;
    switch (shape) {
    case RB_TILE_SUCCESS:
        rb_ink_fill(snapshot, left, LINE_Y - TALL, BAR, TALL, above);
        break;
    case RB_TILE_SHORT:
        rb_ink_fill(snapshot, left, LINE_Y - HALF, BAR, HALF, muted);
        break;
    case RB_TILE_NOTHING:
        rb_ink_fill(snapshot, left, LINE_Y - FOOT, BAR, FOOT, muted);
        break;
    case RB_TILE_SACK:
        rb_ink_fill(snapshot, left, LINE_Y, BAR, BELOW, below);
        break;
    case RB_TILE_TURNOVER:
        rb_ink_fill(snapshot, left, LINE_Y, BAR, FOOT, below);
        rb_ink_fill(snapshot, left, LINE_Y + FOOT + BREAK, BAR, BELOW - FOOT, below);
        break;
    case RB_TILE_OTHER:
        rb_ink_fill(snapshot, x + TILE / 2.0 - 0.5, LINE_Y - 8, 1.5, 8, muted);
        break;
    case RB_TILE_UNKNOWN:
        rb_ink_frame(snapshot, left + 1, LINE_Y - 9, 7, 7, 1, 0, muted);
        break;
    }
}

static void draw_drive(GtkSnapshot *snapshot, RbDriveStrip *strip, int first, int last)
{
    GtkWidget *widget = GTK_WIDGET(strip);
    const double left = tile_x(strip, first) - strip->offset;
    const double right = tile_x(strip, last) + TILE - strip->offset;
    rb_ink_fill(snapshot, left, LINE_Y, right - left, 1, rb_ink(widget, RB_INK_MUTED));
    g_autofree char *name = g_strdup_printf(right - left > 60 ? _("Drive %d") : "%d",
                                            tile_at(strip, first)->drive);
    g_autoptr(PangoLayout) layout = rb_ink_layout(widget, name, 9, PANGO_WEIGHT_NORMAL);
    rb_ink_text(snapshot, layout, left + 3, 4, rb_ink(widget, RB_INK_MUTED));
}

static void rb_drive_strip_snapshot(GtkWidget *widget, GtkSnapshot *snapshot)
{
    RbDriveStrip *strip = RB_DRIVE_STRIP(widget);
    const int width = gtk_widget_get_width(widget);
    const int n = (int)n_tiles(strip);
    gtk_snapshot_push_clip(
        snapshot,
        &GRAPHENE_RECT_INIT(0, 0, (float)width, (float)gtk_widget_get_height(widget)));
    for (int first = 0; first < n;) {
        int last = first;
        while (last + 1 < n &&
               tile_at(strip, last + 1)->drive == tile_at(strip, first)->drive) {
            last++;
        }
        draw_drive(snapshot, strip, first, last);
        first = last + 1;
    }
    for (int i = 0; i < n; i++) {
        const double x = tile_x(strip, i) - strip->offset;
        if (x > -TILE && x < width) {
            draw_shape(snapshot, strip, tile_at(strip, i)->shape, x);
        }
        if (tile_at(strip, i)->filmed) {
            rb_ink_fill(snapshot, x + TILE / 2.0 - 1.5, DOT_Y, 3, 3,
                        rb_ink(widget, RB_INK_ACCENT));
        }
        if (i == strip->chosen) {
            rb_ink_frame(snapshot, x - 1, LINE_Y - TALL - 5, TILE + 2, TALL + BELOW + 10,
                         2, 3, rb_ink(widget, RB_INK_ACCENT));
        }
    }
    gtk_snapshot_pop(snapshot);
}

static void rb_drive_strip_measure(GtkWidget *widget, GtkOrientation orientation,
                                   int for_size, int *minimum, int *natural,
                                   int *minimum_baseline, int *natural_baseline)
{
    (void)widget;
    (void)for_size;
    *minimum_baseline = *natural_baseline = -1;
    *minimum = *natural = orientation == GTK_ORIENTATION_HORIZONTAL ? 120 : HEIGHT;
}

static void rb_drive_strip_size_allocate(GtkWidget *widget, int width, int height,
                                         int baseline)
{
    (void)width;
    (void)height;
    (void)baseline;
    reveal_chosen(RB_DRIVE_STRIP(widget));
}

static void choose(RbDriveStrip *strip, int index)
{
    if (index < 0 || index >= (int)n_tiles(strip) || index == strip->chosen) {
        return;
    }
    g_signal_emit(strip, signals[CHOSEN], 0, tile_at(strip, index)->snap.value);
}

static void on_pressed(GtkGestureClick *click, int n_press, double x, double y,
                       gpointer data)
{
    (void)click;
    (void)n_press;
    (void)y;
    RbDriveStrip *strip = data;
    gtk_widget_grab_focus(GTK_WIDGET(strip));
    choose(strip, tile_under(strip, x));
}

static gboolean on_scroll(GtkEventControllerScroll *scroll, double dx, double dy,
                          gpointer data)
{
    (void)scroll;
    RbDriveStrip *strip = data;
    strip->offset += (dx + dy) * 3 * TILE;
    clamp_offset(strip);
    gtk_widget_queue_draw(GTK_WIDGET(strip));
    return TRUE;
}

static gboolean on_tooltip(GtkWidget *widget, int x, int y, gboolean keyboard,
                           GtkTooltip *tooltip, gpointer data)
{
    (void)y;
    (void)data;
    RbDriveStrip *strip = RB_DRIVE_STRIP(widget);
    const int index = keyboard ? strip->chosen : tile_under(strip, x);
    if (index < 0) {
        return FALSE;
    }
    gtk_tooltip_set_text(tooltip, tile_at(strip, index)->text);
    return TRUE;
}

static gboolean on_move(GtkWidget *widget, GVariant *step, gpointer data)
{
    (void)data;
    RbDriveStrip *strip = RB_DRIVE_STRIP(widget);
    const int n = (int)n_tiles(strip);
    if (n > 0) {
        choose(strip, CLAMP(strip->chosen + g_variant_get_int32(step), 0, n - 1));
    }
    return TRUE;
}

void rb_drive_strip_set_tiles(RbDriveStrip *strip, GPtrArray *tiles)
{
    g_return_if_fail(RB_IS_DRIVE_STRIP(strip));
    const RbSnapId before =
        strip->chosen >= 0 ? tile_at(strip, strip->chosen)->snap : (RbSnapId){ 0 };
    if (tiles != NULL) {
        g_ptr_array_ref(tiles);
    }
    g_clear_pointer(&strip->tiles, g_ptr_array_unref);
    strip->tiles = tiles;
    strip->chosen = -1;
    rb_drive_strip_set_chosen(strip, before);
}

void rb_drive_strip_set_chosen(RbDriveStrip *strip, RbSnapId snap)
{
    g_return_if_fail(RB_IS_DRIVE_STRIP(strip));
    strip->chosen = -1;
    for (int i = 0; i < (int)n_tiles(strip); i++) {
        if (tile_at(strip, i)->snap.value == snap.value) {
            strip->chosen = i;
        }
    }
    reveal_chosen(strip);
    say_chosen(strip);
    gtk_widget_queue_draw(GTK_WIDGET(strip));
}

RbSnapId rb_drive_strip_get_neighbour(RbDriveStrip *strip, int step)
{
    g_return_val_if_fail(RB_IS_DRIVE_STRIP(strip), (RbSnapId){ 0 });
    const int n = (int)n_tiles(strip);
    if (n == 0) {
        return (RbSnapId){ 0 };
    }
    const int from = strip->chosen < 0 ? 0 : strip->chosen + step;
    return tile_at(strip, CLAMP(from, 0, n - 1))->snap;
}

static void rb_drive_strip_finalize(GObject *object)
{
    g_clear_pointer(&RB_DRIVE_STRIP(object)->tiles, g_ptr_array_unref);
    G_OBJECT_CLASS(rb_drive_strip_parent_class)->finalize(object);
}

static void rb_drive_strip_class_init(RbDriveStripClass *klass)
{
    GtkWidgetClass *widget_class = GTK_WIDGET_CLASS(klass);
    G_OBJECT_CLASS(klass)->finalize = rb_drive_strip_finalize;
    widget_class->snapshot = rb_drive_strip_snapshot;
    widget_class->measure = rb_drive_strip_measure;
    widget_class->size_allocate = rb_drive_strip_size_allocate;
    gtk_widget_class_set_css_name(widget_class, "drivestrip");
    gtk_widget_class_set_accessible_role(widget_class, GTK_ACCESSIBLE_ROLE_SLIDER);
    signals[CHOSEN] = g_signal_new("chosen", RB_TYPE_DRIVE_STRIP, G_SIGNAL_RUN_LAST, 0,
                                   NULL, NULL, NULL, G_TYPE_NONE, 1, G_TYPE_INT64);
    gtk_widget_class_add_binding(widget_class, GDK_KEY_Left, 0, on_move, "i", -1);
    gtk_widget_class_add_binding(widget_class, GDK_KEY_Right, 0, on_move, "i", 1);
    gtk_widget_class_add_binding(widget_class, GDK_KEY_Home, 0, on_move, "i", -10000);
    gtk_widget_class_add_binding(widget_class, GDK_KEY_End, 0, on_move, "i", 10000);
}

static void rb_drive_strip_init(RbDriveStrip *strip)
{
    GtkWidget *widget = GTK_WIDGET(strip);
    strip->chosen = -1;
    gtk_widget_set_focusable(widget, TRUE);
    gtk_widget_set_has_tooltip(widget, TRUE);
    g_signal_connect(widget, "query-tooltip", G_CALLBACK(on_tooltip), NULL);
    gtk_accessible_update_property(GTK_ACCESSIBLE(strip), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   _("Drive strip"), -1);
    GtkGesture *click = gtk_gesture_click_new();
    g_signal_connect(click, "pressed", G_CALLBACK(on_pressed), strip);
    gtk_widget_add_controller(widget, GTK_EVENT_CONTROLLER(click));
    GtkEventController *scroll =
        gtk_event_controller_scroll_new(GTK_EVENT_CONTROLLER_SCROLL_BOTH_AXES);
    g_signal_connect(scroll, "scroll", G_CALLBACK(on_scroll), strip);
    gtk_widget_add_controller(widget, scroll);
}
