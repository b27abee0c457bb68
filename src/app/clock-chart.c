/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "clock-chart.h"

#include <glib/gi18n.h>
#include <math.h>

#include "ink.h"

/* Pixels at 11 points body text. */
enum { ROW = 34, AXIS = 30, LABEL = 64, EDGE = 12, MARK = 4, WIDTH_MIN = 260 };
/* The axis, seconds after the clock; throws beyond stand at its ends. */
#define EARLIEST (-1.0)
#define LATEST 2.0

struct _RbClockChart {
    GtkWidget parent_instance;
    GArray *throws; /* owned, of RbThrowTime */
    int chosen;     /* -1 none */
    double left;    /* where time begins: what stands before it has this room */
};

G_DEFINE_FINAL_TYPE(RbClockChart, rb_clock_chart, GTK_TYPE_WIDGET)

enum { CHOSEN, OPENED, N_SIGNALS };
static guint signals[N_SIGNALS];

static const RbThrowTime *throw_at(const RbClockChart *chart, int i)
{
    return &g_array_index(chart->throws, RbThrowTime, (guint)i);
}

static int n_throws(const RbClockChart *chart)
{
    return (int)chart->throws->len;
}

/* Rows: the reads that were thrown to, in order. */
static int row_of(const RbClockChart *chart, int read)
{
    int row = 0;
    for (int i = 0; i < n_throws(chart) && throw_at(chart, i)->read < read; i++) {
        row += i == 0 || throw_at(chart, i)->read != throw_at(chart, i - 1)->read ? 1 : 0;
    }
    return row;
}

static int n_rows(const RbClockChart *chart)
{
    return n_throws(chart) > 0
               ? row_of(chart, throw_at(chart, n_throws(chart) - 1)->read) + 1
               : 0;
}

static double x_of(GtkWidget *widget, double seconds)
{
    const double unit = rb_ink_unit(widget);
    const double left = RB_CLOCK_CHART(widget)->left;
    const double span = gtk_widget_get_width(widget) - left - EDGE * unit;
    const double at = (seconds - EARLIEST) / (LATEST - EARLIEST);
    return left + span * CLAMP(at, 0.0, 1.0);
}

static double after(const RbThrowTime *time)
{
    return (time->release_ms - time->due_ms) / 1000.0;
}

/* Throws at one place stand apart: the second half a step higher, and so on. */
static double y_of(RbClockChart *chart, int i)
{
    const double unit = rb_ink_unit(GTK_WIDGET(chart));
    static const double shifts[] = { 0, -0.18, 0.18, -0.34, 0.34 };
    return (AXIS + ROW * (row_of(chart, throw_at(chart, i)->read) + 0.5 +
                          shifts[i % (int)G_N_ELEMENTS(shifts)])) *
           unit;
}

static void draw_text(GtkWidget *widget, GtkSnapshot *snapshot, const char *text,
                      double x, double y, bool centred, RbInk ink)
{
    g_autoptr(PangoLayout) layout = rb_ink_layout(widget, text, 9, PANGO_WEIGHT_NORMAL);
    int width = 0;
    int height = 0;
    rb_ink_size(layout, &width, &height);
    rb_ink_text(snapshot, layout, centred ? x - width / 2.0 : x, y - height / 2.0,
                rb_ink(widget, ink));
}

static void draw_axis(GtkWidget *widget, GtkSnapshot *snapshot)
{
    const double unit = rb_ink_unit(widget);
    const double bottom = gtk_widget_get_height(widget);
    for (int half = (int)(2 * EARLIEST); half <= (int)(2 * LATEST); half++) {
        const double x = x_of(widget, half / 2.0);
        const bool zero = half == 0;
        rb_ink_fill(snapshot, x - (zero ? 1 : 0.5), AXIS * unit - 4, zero ? 2 : 1,
                    bottom - AXIS * unit,
                    rb_ink(widget, zero ? RB_INK_ACCENT : RB_INK_LINE));
        if (half % 2 == 0) {
            g_autofree char *text =
                zero ? g_strdup(_("clock")) : g_strdup_printf(_("%+d s"), half / 2);
            draw_text(widget, snapshot, text, x, AXIS * unit / 2, true, RB_INK_MUTED);
        }
    }
}

static void draw_rows(RbClockChart *chart, GtkSnapshot *snapshot)
{
    GtkWidget *widget = GTK_WIDGET(chart);
    const double unit = rb_ink_unit(widget);
    int last = -1;
    for (int i = 0; i < n_throws(chart); i++) {
        const RbThrowTime *time = throw_at(chart, i);
        const int row = row_of(chart, time->read);
        if (row == last) {
            continue;
        }
        last = row;
        g_autofree char *text = g_strdup_printf(_("Read %d"), time->read);
        draw_text(widget, snapshot, text, 4, (AXIS + ROW * (row + 0.5)) * unit, false,
                  RB_INK_INK);
        rb_ink_fill(snapshot, 0, (AXIS + ROW * (row + 1)) * unit - 1,
                    gtk_widget_get_width(widget), 1, rb_ink(widget, RB_INK_LINE));
    }
}

static void draw_late(cairo_t *cr, double x, double y, double size)
{
    cairo_move_to(cr, x, y - size);
    cairo_line_to(cr, x + size, y + size);
    cairo_line_to(cr, x - size, y + size);
    cairo_close_path(cr);
    cairo_fill(cr);
}

static void draw_throws(RbClockChart *chart, GtkSnapshot *snapshot)
{
    GtkWidget *widget = GTK_WIDGET(chart);
    const double unit = rb_ink_unit(widget);
    const graphene_rect_t bounds = GRAPHENE_RECT_INIT(
        0, 0, (float)gtk_widget_get_width(widget), (float)gtk_widget_get_height(widget));
    cairo_t *cr = gtk_snapshot_append_cairo(snapshot, &bounds);
    cairo_set_line_width(cr, 1.2 * unit);
    for (int i = 0; i < n_throws(chart); i++) {
        const RbThrowTime *time = throw_at(chart, i);
        const double x = x_of(widget, after(time));
        const double y = y_of(chart, i);
        const GdkRGBA ink = rb_ink(widget, time->late ? RB_INK_BELOW : RB_INK_INK);
        gdk_cairo_set_source_rgba(cr, &ink);
        if (time->late) {
            draw_late(cr, x, y, (MARK + 1) * unit);
        } else {
            cairo_arc(cr, x, y, MARK * unit, 0, 2 * G_PI);
            cairo_stroke(cr);
        }
    }
    cairo_destroy(cr);
    if (chart->chosen >= 0) {
        const double size = (MARK + 5) * unit;
        rb_ink_frame(snapshot, x_of(widget, after(throw_at(chart, chart->chosen))) - size,
                     y_of(chart, chart->chosen) - size, 2 * size, 2 * size, 2, 3,
                     rb_ink(widget, RB_INK_ACCENT));
    }
}

static void rb_clock_chart_snapshot(GtkWidget *widget, GtkSnapshot *snapshot)
{
    RbClockChart *chart = RB_CLOCK_CHART(widget);
    if (n_throws(chart) == 0) {
        draw_text(widget, snapshot, _("No throw with a release mark and a clock yet."), 4,
                  AXIS * rb_ink_unit(widget) / 2, false, RB_INK_MUTED);
        return;
    }
    draw_axis(widget, snapshot);
    draw_rows(chart, snapshot);
    draw_throws(chart, snapshot);
}

/* What stands before the rows, in the reader's language. */
static double label_width(GtkWidget *widget)
{
    g_autofree char *text = g_strdup_printf(_("Read %d"), RB_READS_MAX);
    g_autoptr(PangoLayout) layout = rb_ink_layout(widget, text, 9, PANGO_WEIGHT_NORMAL);
    int width = 0;
    rb_ink_size(layout, &width, NULL);
    return MAX(width + 10, LABEL * rb_ink_unit(widget));
}

static void rb_clock_chart_measure(GtkWidget *widget, GtkOrientation orientation,
                                   int for_size, int *minimum, int *natural,
                                   int *minimum_baseline, int *natural_baseline)
{
    (void)for_size;
    const double unit = rb_ink_unit(widget);
    RB_CLOCK_CHART(widget)->left = label_width(widget);
    *minimum = *natural =
        orientation == GTK_ORIENTATION_HORIZONTAL
            ? (int)(WIDTH_MIN * unit)
            : (int)ceil((AXIS + ROW * n_rows(RB_CLOCK_CHART(widget))) * unit);
    *minimum_baseline = *natural_baseline = -1;
}

static void say_chosen(RbClockChart *chart)
{
    g_autofree char *text = NULL;
    if (chart->chosen >= 0) {
        const RbThrowTime *time = throw_at(chart, chart->chosen);
        text = g_strdup_printf(
            time->late ? _("Read %d, %s, %+.2f s from its clock: late")
                       : _("Read %d, %s, %+.2f s from its clock"),
            time->read, rb_words_label(&rb_route_words, (int)time->route), after(time));
    } else {
        text = g_strdup_printf(ngettext("%d throw", "%d throws", n_throws(chart)),
                               n_throws(chart));
    }
    gtk_widget_set_tooltip_text(GTK_WIDGET(chart), chart->chosen >= 0 ? text : NULL);
    gtk_accessible_update_property(GTK_ACCESSIBLE(chart),
                                   GTK_ACCESSIBLE_PROPERTY_DESCRIPTION, text, -1);
}

static void choose(RbClockChart *chart, int i)
{
    if (i < 0 || i >= n_throws(chart) || i == chart->chosen) {
        return;
    }
    chart->chosen = i;
    gtk_widget_queue_draw(GTK_WIDGET(chart));
    say_chosen(chart);
    g_signal_emit(chart, signals[CHOSEN], 0, throw_at(chart, i)->snap.value);
}

static bool open_chosen(RbClockChart *chart)
{
    if (chart->chosen < 0) {
        return false;
    }
    g_signal_emit(chart, signals[OPENED], 0, throw_at(chart, chart->chosen)->snap.value);
    return true;
}

/* The next throw with the same lateness filter: Page keys go from late one to late one. */
static void choose_late(RbClockChart *chart, int step)
{
    for (int i = chart->chosen + step; i >= 0 && i < n_throws(chart); i += step) {
        if (throw_at(chart, i)->late) {
            choose(chart, i);
            return;
        }
    }
}

static gboolean on_key(RbClockChart *chart, guint key)
{
    switch (key) {
    case GDK_KEY_Right:
    case GDK_KEY_Down:
        choose(chart, chart->chosen + 1);
        return TRUE;
    case GDK_KEY_Left:
    case GDK_KEY_Up:
        choose(chart, chart->chosen - 1);
        return TRUE;
    case GDK_KEY_Home:
        choose(chart, 0);
        return TRUE;
    case GDK_KEY_End:
        choose(chart, n_throws(chart) - 1);
        return TRUE;
    case GDK_KEY_Page_Down:
        choose_late(chart, 1);
        return TRUE;
    case GDK_KEY_Page_Up:
        choose_late(chart, -1);
        return TRUE;
    case GDK_KEY_Return:
    case GDK_KEY_KP_Enter:
        return open_chosen(chart);
    default:
        return FALSE;
    }
}

static void on_pressed(RbClockChart *chart, int n, double x, double y)
{
    GtkWidget *widget = GTK_WIDGET(chart);
    int best = -1;
    double least = 16 * rb_ink_unit(widget);
    for (int i = 0; i < n_throws(chart); i++) {
        const double far =
            hypot(x_of(widget, after(throw_at(chart, i))) - x, y_of(chart, i) - y);
        if (far < least) {
            least = far;
            best = i;
        }
    }
    gtk_widget_grab_focus(widget);
    choose(chart, best);
    if (n == 2 && best >= 0) {
        open_chosen(chart);
    }
}

void rb_clock_chart_set(RbClockChart *chart, const GPtrArray *throws)
{
    g_return_if_fail(RB_IS_CLOCK_CHART(chart));
    g_array_set_size(chart->throws, 0);
    for (guint i = 0; i < throws->len; i++) {
        g_array_append_val(chart->throws, *(const RbThrowTime *)throws->pdata[i]);
    }
    chart->chosen = -1;
    say_chosen(chart);
    gtk_widget_queue_resize(GTK_WIDGET(chart));
}

static void rb_clock_chart_finalize(GObject *object)
{
    g_array_unref(RB_CLOCK_CHART(object)->throws);
    G_OBJECT_CLASS(rb_clock_chart_parent_class)->finalize(object);
}

static void rb_clock_chart_class_init(RbClockChartClass *klass)
{
    GtkWidgetClass *widget_class = GTK_WIDGET_CLASS(klass);
    G_OBJECT_CLASS(klass)->finalize = rb_clock_chart_finalize;
    widget_class->snapshot = rb_clock_chart_snapshot;
    widget_class->measure = rb_clock_chart_measure;
    gtk_widget_class_set_css_name(widget_class, "clockchart");
    gtk_widget_class_set_accessible_role(widget_class, GTK_ACCESSIBLE_ROLE_IMG);
    signals[CHOSEN] = g_signal_new("chosen", RB_TYPE_CLOCK_CHART, G_SIGNAL_RUN_LAST, 0,
                                   NULL, NULL, NULL, G_TYPE_NONE, 1, G_TYPE_INT64);
    signals[OPENED] = g_signal_new("opened", RB_TYPE_CLOCK_CHART, G_SIGNAL_RUN_LAST, 0,
                                   NULL, NULL, NULL, G_TYPE_NONE, 1, G_TYPE_INT64);
}

static void rb_clock_chart_init(RbClockChart *chart)
{
    chart->throws = g_array_new(FALSE, FALSE, sizeof(RbThrowTime));
    chart->chosen = -1;
    gtk_widget_set_focusable(GTK_WIDGET(chart), TRUE);
    gtk_accessible_update_property(GTK_ACCESSIBLE(chart), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   _("Release against the clock"), -1);
    GtkEventController *keys = gtk_event_controller_key_new();
    g_signal_connect_swapped(keys, "key-pressed", G_CALLBACK(on_key), chart);
    gtk_widget_add_controller(GTK_WIDGET(chart), keys);
    GtkGesture *press = gtk_gesture_click_new();
    g_signal_connect_swapped(press, "pressed", G_CALLBACK(on_pressed), chart);
    gtk_widget_add_controller(GTK_WIDGET(chart), GTK_EVENT_CONTROLLER(press));
}
