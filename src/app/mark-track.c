/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "mark-track.h"

#include <glib/gi18n.h>
#include <math.h>

#include "access.h"
#include "ink.h"

#define EDGE 12
#define LINE_Y 10
#define HEIGHT 34
#define MARKS_MAX 16

struct _RbMarkTrack {
    GtkWidget parent_instance;
    int64_t first;
    int64_t last;
    int64_t frame;
    RbTrackMark marks[MARKS_MAX]; /* by frame */
    int n_marks;
    GArray *spans; /* owned, of RbTrackSpan */
    int64_t part_first;
    int64_t part_last;
};

G_DEFINE_FINAL_TYPE(RbMarkTrack, rb_mark_track, GTK_TYPE_WIDGET)

enum { SCRUBBED, RESTED, N_SIGNALS };
static guint signals[N_SIGNALS];

static bool is_empty(const RbMarkTrack *track)
{
    return track->last <= track->first;
}

static double frame_x(RbMarkTrack *track, int64_t frame)
{
    const double width = gtk_widget_get_width(GTK_WIDGET(track)) - 2.0 * EDGE;
    const double share =
        (double)(frame - track->first) / (double)(track->last - track->first);
    return EDGE + CLAMP(share, 0, 1) * width;
}

/* Short enough to stand beside one another under the line. */
static const char *mark_name(RbMarkKind kind)
{
    switch (kind) {
    case RB_MARK_SET:
        return _("set");
    case RB_MARK_SNAP:
        return _("snap");
    case RB_MARK_TOP:
        return _("top");
    case RB_MARK_RELEASE:
        return _("release");
    case RB_MARK_ARRIVAL:
        return _("arrival");
    case RB_MARK_END:
        return _("end");
    }
    return "";
}

typedef struct {
    double left;
    double right;
} Taken;

/* A mark too close to one that was drawn before keeps its tick and loses its name. */
static void draw_mark(GtkSnapshot *snapshot, RbMarkTrack *track, const RbTrackMark *mark,
                      Taken *taken, int *n_taken)
{
    GtkWidget *widget = GTK_WIDGET(track);
    const double x = frame_x(track, mark->frame);
    const bool is_snap = mark->kind == RB_MARK_SNAP;
    const GdkRGBA ink = rb_ink(widget, RB_INK_INK);
    rb_ink_fill(snapshot, round(x) - (is_snap ? 1 : 0), LINE_Y - (is_snap ? 7 : 5),
                is_snap ? 2 : 1, is_snap ? 14 : 10, ink);
    g_autoptr(PangoLayout) layout =
        rb_ink_layout(widget, mark_name(mark->kind), 8.5,
                      is_snap ? PANGO_WEIGHT_SEMIBOLD : PANGO_WEIGHT_NORMAL);
    int width = 0;
    rb_ink_size(layout, &width, NULL);
    const double left =
        CLAMP(x - width / 2.0, 2, MAX(gtk_widget_get_width(widget) - 2.0 - width, 2));
    for (int i = 0; i < *n_taken; i++) {
        if (left < taken[i].right + 5 && left + width + 5 > taken[i].left) {
            return;
        }
    }
    taken[(*n_taken)++] = (Taken){ left, left + width };
    rb_ink_text(snapshot, layout, left, LINE_Y + 8,
                is_snap ? ink : rb_ink(widget, RB_INK_MUTED));
}

static void draw_spans(GtkSnapshot *snapshot, RbMarkTrack *track)
{
    const GdkRGBA ink = rb_ink(GTK_WIDGET(track), RB_INK_MUTED);
    for (guint i = 0; i < track->spans->len; i++) {
        const RbTrackSpan *span = &g_array_index(track->spans, RbTrackSpan, i);
        const double left = frame_x(track, span->first);
        const double right = frame_x(track, span->last);
        rb_ink_fill(snapshot, left, LINE_Y - 3, MAX(right - left, 1), 7, ink);
    }
}

static void rb_mark_track_snapshot(GtkWidget *widget, GtkSnapshot *snapshot)
{
    RbMarkTrack *track = RB_MARK_TRACK(widget);
    const int width = gtk_widget_get_width(widget);
    rb_ink_fill(snapshot, EDGE, LINE_Y, width - 2 * EDGE, 1,
                rb_ink(widget, RB_INK_MUTED));
    if (is_empty(track)) {
        return;
    }
    draw_spans(snapshot, track);
    if (track->part_first <= track->part_last) {
        /* A bracket at each end, and a line between. */
        const GdkRGBA ink = rb_ink(widget, RB_INK_INK);
        const double left = round(frame_x(track, track->part_first));
        const double right = round(frame_x(track, track->part_last));
        rb_ink_fill(snapshot, left, 1, right - left, 2, ink);
        rb_ink_fill(snapshot, left, 1, 2, 6, ink);
        rb_ink_fill(snapshot, right - 2, 1, 2, 6, ink);
    }
    /* The marks that matter most get their names first. */
    static const RbMarkKind order[] = { RB_MARK_SNAP, RB_MARK_RELEASE, RB_MARK_ARRIVAL,
                                        RB_MARK_TOP,  RB_MARK_SET,     RB_MARK_END };
    Taken taken[MARKS_MAX];
    int n_taken = 0;
    for (size_t k = 0; k < G_N_ELEMENTS(order); k++) {
        for (int i = 0; i < track->n_marks; i++) {
            if (track->marks[i].kind == order[k]) {
                draw_mark(snapshot, track, &track->marks[i], taken, &n_taken);
            }
        }
    }
    const GdkRGBA accent = rb_ink(widget, RB_INK_ACCENT);
    const double x = frame_x(track, track->frame);
    rb_ink_fill(snapshot, EDGE, LINE_Y - 0.5, x - EDGE, 2, accent);
    GskRoundedRect knob;
    gsk_rounded_rect_init_from_rect(
        &knob, &GRAPHENE_RECT_INIT((float)(x - 6), LINE_Y - 5.5f, 12, 12), 6);
    gtk_snapshot_push_rounded_clip(snapshot, &knob);
    gtk_snapshot_append_color(snapshot, &accent, &knob.bounds);
    gtk_snapshot_pop(snapshot);
}

static void rb_mark_track_measure(GtkWidget *widget, GtkOrientation orientation,
                                  int for_size, int *minimum, int *natural,
                                  int *minimum_baseline, int *natural_baseline)
{
    (void)for_size;
    *minimum_baseline = *natural_baseline = -1;
    *minimum = *natural = orientation == GTK_ORIENTATION_HORIZONTAL
                              ? 200
                              : (int)ceil(HEIGHT + 13 * (rb_ink_unit(widget) - 1));
}

static void scrub_to(RbMarkTrack *track, double x)
{
    const double width = gtk_widget_get_width(GTK_WIDGET(track)) - 2.0 * EDGE;
    if (is_empty(track) || width <= 0) {
        return;
    }
    const double share = CLAMP((x - EDGE) / width, 0, 1);
    const int64_t frame =
        track->first + llround(share * (double)(track->last - track->first));
    g_signal_emit(track, signals[SCRUBBED], 0, frame);
}

static void on_begin(GtkGestureDrag *drag, double x, double y, gpointer data)
{
    (void)drag;
    (void)y;
    scrub_to(data, x);
}

static void on_update(GtkGestureDrag *drag, double dx, double dy, gpointer data)
{
    (void)dy;
    double x = 0;
    double y = 0;
    gtk_gesture_drag_get_start_point(drag, &x, &y);
    scrub_to(data, x + dx);
}

static void on_end(GtkGestureDrag *drag, double dx, double dy, gpointer data)
{
    on_update(drag, dx, dy, data);
    g_signal_emit(data, signals[RESTED], 0);
}

void rb_mark_track_set_part(RbMarkTrack *track, int64_t first, int64_t last)
{
    g_return_if_fail(RB_IS_MARK_TRACK(track));
    track->part_first = first;
    track->part_last = last;
    gtk_widget_queue_draw(GTK_WIDGET(track));
}

void rb_mark_track_set_span(RbMarkTrack *track, int64_t first, int64_t last)
{
    g_return_if_fail(RB_IS_MARK_TRACK(track));
    track->first = first;
    track->last = last;
    gtk_widget_queue_draw(GTK_WIDGET(track));
}

void rb_mark_track_set_spans(RbMarkTrack *track, const RbTrackSpan *spans, int n)
{
    g_return_if_fail(RB_IS_MARK_TRACK(track));
    g_array_set_size(track->spans, 0);
    if (n > 0) {
        g_array_append_vals(track->spans, spans, (guint)n);
    }
    gtk_widget_queue_draw(GTK_WIDGET(track));
}

static int by_frame(const void *a, const void *b)
{
    const int64_t x = ((const RbTrackMark *)a)->frame;
    const int64_t y = ((const RbTrackMark *)b)->frame;
    return (x > y) - (x < y);
}

void rb_mark_track_set_marks(RbMarkTrack *track, const RbTrackMark *marks, int n)
{
    g_return_if_fail(RB_IS_MARK_TRACK(track));
    track->n_marks = MIN(n, MARKS_MAX);
    for (int i = 0; i < track->n_marks; i++) {
        track->marks[i] = marks[i];
    }
    qsort(track->marks, (size_t)track->n_marks, sizeof track->marks[0], by_frame);
    gtk_widget_queue_draw(GTK_WIDGET(track));
}

void rb_mark_track_set_frame(RbMarkTrack *track, int64_t frame, const char *text)
{
    g_return_if_fail(RB_IS_MARK_TRACK(track));
    track->frame = frame;
    rb_access_set_value(GTK_WIDGET(track), (double)track->first,
                        (double)MAX(track->last, track->first), (double)frame, text);
    gtk_widget_queue_draw(GTK_WIDGET(track));
}

static void rb_mark_track_finalize(GObject *object)
{
    g_array_unref(RB_MARK_TRACK(object)->spans);
    G_OBJECT_CLASS(rb_mark_track_parent_class)->finalize(object);
}

static void rb_mark_track_class_init(RbMarkTrackClass *klass)
{
    GtkWidgetClass *widget_class = GTK_WIDGET_CLASS(klass);
    G_OBJECT_CLASS(klass)->finalize = rb_mark_track_finalize;
    widget_class->snapshot = rb_mark_track_snapshot;
    widget_class->measure = rb_mark_track_measure;
    gtk_widget_class_set_css_name(widget_class, "marktrack");
    gtk_widget_class_set_accessible_role(widget_class, GTK_ACCESSIBLE_ROLE_SLIDER);
    signals[SCRUBBED] = g_signal_new("scrubbed", RB_TYPE_MARK_TRACK, G_SIGNAL_RUN_LAST, 0,
                                     NULL, NULL, NULL, G_TYPE_NONE, 1, G_TYPE_INT64);
    signals[RESTED] = g_signal_new("rested", RB_TYPE_MARK_TRACK, G_SIGNAL_RUN_LAST, 0,
                                   NULL, NULL, NULL, G_TYPE_NONE, 0);
}

static void rb_mark_track_init(RbMarkTrack *track)
{
    track->last = -1;
    track->part_last = -1;
    track->spans = g_array_new(FALSE, FALSE, sizeof(RbTrackSpan));
    gtk_accessible_update_property(GTK_ACCESSIBLE(track), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   _("Position in the clip"), -1);
    GtkGesture *drag = gtk_gesture_drag_new();
    g_signal_connect(drag, "drag-begin", G_CALLBACK(on_begin), track);
    g_signal_connect(drag, "drag-update", G_CALLBACK(on_update), track);
    g_signal_connect(drag, "drag-end", G_CALLBACK(on_end), track);
    gtk_widget_add_controller(GTK_WIDGET(track), GTK_EVENT_CONTROLLER(drag));
}
