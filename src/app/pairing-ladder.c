/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "pairing-ladder.h"

#include <glib/gi18n.h>
#include <math.h>

#include "rb/report/ladder-chart.h"

#include "ink.h"

#define MARGIN 14
#define TEXT 12.4 /* pixels, at 11 points body text; see rb_ink_unit() */
#define WIDTH_LEAST 260
/* No text beside it asks for more, so that the side keeps its width from pairing to pairing. */
#define WIDTH_WISHED 624
#define PARTS_MAX ((RB_READS_MAX + 1) * RB_STAGES)

struct _RbPairingLadder {
    GtkWidget parent_instance;
    RbLadder figures;
    RbBreak found;
    char *reads[RB_READS_MAX + 1]; /* owned, each nullable */
    RbLadderPart parts[PARTS_MAX]; /* in reading order */
    int n_parts;
    int chosen; /* index into parts; -1 all */
};

G_DEFINE_FINAL_TYPE(RbPairingLadder, rb_pairing_ladder, GTK_TYPE_WIDGET)

enum { CHOSEN, OPENED, N_SIGNALS };
static guint signals[N_SIGNALS];

static RbLadderChart chart_of(RbPairingLadder *ladder)
{
    RbLadderChart chart = rb_ladder_chart(&ladder->figures, &ladder->found);
    const PangoFontDescription *font = pango_context_get_font_description(
        gtk_widget_get_pango_context(GTK_WIDGET(ladder)));
    chart.font = pango_font_description_get_family(font);
    chart.size = TEXT * rb_ink_unit(GTK_WIDGET(ladder));
    for (int i = 1; i <= RB_READS_MAX; i++) {
        chart.reads[i] = ladder->reads[i];
    }
    if (ladder->chosen >= 0) {
        chart.chosen_read = ladder->parts[ladder->chosen].read;
        chart.chosen_stage = ladder->parts[ladder->chosen].stage;
    }
    return chart;
}

static double chart_width(GtkWidget *widget)
{
    return gtk_widget_get_width(widget) - 2.0 * MARGIN;
}

static void rb_pairing_ladder_snapshot(GtkWidget *widget, GtkSnapshot *snapshot)
{
    RbPairingLadder *ladder = RB_PAIRING_LADDER(widget);
    if (ladder->n_parts == 0) {
        return;
    }
    const RbLadderChart chart = chart_of(ladder);
    /* It stands on a side panel. */
    const RbPalette palette = rb_ink_palette(widget, RB_INK_PANEL);
    cairo_t *cr = gtk_snapshot_append_cairo(
        snapshot, &GRAPHENE_RECT_INIT(0, 0, (float)gtk_widget_get_width(widget),
                                      (float)gtk_widget_get_height(widget)));
    rb_ladder_draw(cr, &chart, &palette, MARGIN, 0, chart_width(widget));
    cairo_destroy(cr);
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
        *minimum = WIDTH_LEAST;
        *natural = WIDTH_WISHED;
        return;
    }
    const RbLadderChart chart = chart_of(ladder);
    const int width =
        MAX(for_size > 0 ? for_size : WIDTH_WISHED, WIDTH_LEAST) - 2 * MARGIN;
    *minimum = *natural =
        ladder->n_parts > 0 ? (int)ceil(rb_ladder_height(&chart, width)) : 0;
}

/* In words, and for the look of its focus. */
static void say_chosen(RbPairingLadder *ladder)
{
    g_autofree char *text = NULL;
    gtk_widget_remove_css_class(GTK_WIDGET(ladder), "part");
    if (ladder->chosen >= 0) {
        gtk_widget_add_css_class(GTK_WIDGET(ladder), "part");
    }
    if (ladder->chosen < 0) {
        text = g_strdup(ladder->n_parts > 0 ? _("all reads and stages") : _("empty"));
    } else {
        const RbLadderPart *part = &ladder->parts[ladder->chosen];
        const int n = ladder->figures.cells[part->read][part->stage].dropbacks;
        const bool here = ladder->found.found && ladder->found.read == part->read &&
                          ladder->found.stage == part->stage;
        text = g_strdup_printf(
            ngettext("Read %d, %s: %d dropback%s", "Read %d, %s: %d dropbacks%s", n),
            part->read, rb_words_label(&rb_stage_words, part->stage), n,
            here ? _(", the break point") : "");
    }
    gtk_accessible_update_property(GTK_ACCESSIBLE(ladder),
                                   GTK_ACCESSIBLE_PROPERTY_DESCRIPTION, text, -1);
}

void rb_pairing_ladder_get_chosen(RbPairingLadder *ladder, int *read, int *stage)
{
    g_return_if_fail(RB_IS_PAIRING_LADDER(ladder));
    const bool all = ladder->chosen < 0;
    *read = all ? -1 : ladder->parts[ladder->chosen].read;
    *stage = all ? -1 : (int)ladder->parts[ladder->chosen].stage;
}

static void choose(RbPairingLadder *ladder, int index)
{
    if (index == ladder->chosen) {
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

/* A press on no part chooses all of them again. */
static void on_pressed(GtkGestureClick *click, int n_press, double x, double y,
                       gpointer data)
{
    (void)click;
    RbPairingLadder *ladder = data;
    const RbLadderChart chart = chart_of(ladder);
    int read = 0;
    RbStage stage = RB_STAGE_NOT_JUDGED;
    int index = -1;
    gtk_widget_grab_focus(GTK_WIDGET(ladder));
    if (ladder->n_parts > 0 && rb_ladder_find(&chart, chart_width(GTK_WIDGET(ladder)),
                                              x - MARGIN, y, &read, &stage)) {
        for (int i = 0; i < ladder->n_parts; i++) {
            if (ladder->parts[i].read == read && ladder->parts[i].stage == stage) {
                index = i;
            }
        }
    }
    choose(ladder, index);
    if (n_press == 2) {
        g_signal_emit(ladder, signals[OPENED], 0);
    }
}

static gboolean on_move(GtkWidget *widget, GVariant *step, gpointer data)
{
    (void)data;
    RbPairingLadder *ladder = RB_PAIRING_LADDER(widget);
    const int index = ladder->chosen + g_variant_get_int32(step);
    if (index < -1 || index >= ladder->n_parts) {
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

void rb_pairing_ladder_set(RbPairingLadder *ladder, const RbLadder *figures,
                           const RbBreak *found,
                           const char *const reads[RB_READS_MAX + 1])
{
    g_return_if_fail(RB_IS_PAIRING_LADDER(ladder));
    ladder->figures = *figures;
    ladder->found = found != NULL ? *found : (RbBreak){ 0 };
    for (int i = 1; i <= RB_READS_MAX; i++) {
        g_free(ladder->reads[i]);
        ladder->reads[i] = g_strdup(reads[i]);
    }
    ladder->n_parts = rb_ladder_parts(figures, ladder->parts, PARTS_MAX);
    ladder->chosen = -1;
    say_chosen(ladder);
    gtk_widget_queue_resize(GTK_WIDGET(ladder));
}

static void rb_pairing_ladder_finalize(GObject *object)
{
    RbPairingLadder *ladder = RB_PAIRING_LADDER(object);
    for (int i = 0; i <= RB_READS_MAX; i++) {
        g_free(ladder->reads[i]);
    }
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
    gtk_widget_class_add_binding(widget_class, GDK_KEY_Up, 0, on_move, "i", -1);
    gtk_widget_class_add_binding(widget_class, GDK_KEY_Down, 0, on_move, "i", 1);
    gtk_widget_class_add_binding(widget_class, GDK_KEY_Return, 0, on_open, NULL);
    gtk_widget_class_add_binding(widget_class, GDK_KEY_KP_Enter, 0, on_open, NULL);
}

static void rb_pairing_ladder_init(RbPairingLadder *ladder)
{
    GtkWidget *widget = GTK_WIDGET(ladder);
    ladder->chosen = -1;
    gtk_widget_set_focusable(widget, TRUE);
    gtk_accessible_update_property(GTK_ACCESSIBLE(ladder), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   _("Ladder of the pairing"), -1);
    GtkGesture *click = gtk_gesture_click_new();
    g_signal_connect(click, "pressed", G_CALLBACK(on_pressed), ladder);
    gtk_widget_add_controller(widget, GTK_EVENT_CONTROLLER(click));
}
