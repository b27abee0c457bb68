/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "transport.h"

#include <glib/gi18n.h>

#include "mark-track.h"

struct _RbTransport {
    GtkWidget parent_instance;
    /* template children */
    GtkWidget *box;
    GtkButton *play;
    GtkLabel *clock;
    GtkLabel *since;
    GtkLabel *speed;
    RbMarkTrack *track;

    RbDeck *deck; /* owned, nullable */
};

G_DEFINE_FINAL_TYPE(RbTransport, rb_transport, GTK_TYPE_WIDGET)

static char *speed_text(double speed)
{
    if (speed == 0 || speed == 1) {
        return g_strdup("");
    }
    const double size = ABS(speed);
    g_autofree char *times = size == 0.125  ? g_strdup("⅛×")
                             : size == 0.25 ? g_strdup("¼×")
                             : size == 0.5  ? g_strdup("½×")
                                            : g_strdup_printf("%.0f×", size);
    return speed < 0 ? g_strdup_printf(_("backward %s"), times) : g_steal_pointer(&times);
}

/* The speed asked for, the one the film can be decoded at where that is less, and the loop. */
static char *running_text(RbDeck *deck)
{
    const double asked = rb_deck_get_speed(deck);
    const double real = rb_deck_get_real_speed(deck);
    g_autofree char *speed = speed_text(asked);
    g_autoptr(GString) text = g_string_new(speed);
    if (real != 0 && real != asked) {
        g_autofree char *slower = real == 1 ? g_strdup("1×") : speed_text(real);
        g_string_assign(text, "");
        g_string_append_printf(text, _("%s, all this film allows"), slower);
    }
    int64_t first = 0;
    int64_t last = 0;
    const bool span = rb_deck_get_span(deck, &first, &last);
    if (rb_deck_get_loop(deck)) {
        g_string_append_printf(text, "%s%s", text->len > 0 ? ", " : "",
                               span ? _("looping a span") : _("looping the clip"));
    } else if (span) {
        g_string_append_printf(text, "%s%s", text->len > 0 ? ", " : "", _("a span"));
    }
    return g_string_free(g_steal_pointer(&text), FALSE);
}

static void on_frame(RbTransport *transport)
{
    g_autofree char *clock = rb_deck_clock_text(transport->deck);
    g_autofree char *since = rb_deck_since_snap_text(transport->deck);
    gtk_label_set_text(transport->clock, clock);
    gtk_label_set_text(transport->since, since);
    g_autofree char *both = g_strdup_printf("%s, %s", clock, since);
    rb_mark_track_set_frame(transport->track, rb_deck_get_frame(transport->deck), both);
}

static void show_clip(RbTransport *transport)
{
    const RbClip *clip = rb_deck_get_clip(transport->deck);
    if (clip == NULL || rb_deck_get_projector(transport->deck) == NULL) {
        rb_mark_track_set_span(transport->track, 0, -1);
        return;
    }
    g_autoptr(GArray) marks = g_array_new(FALSE, FALSE, sizeof(RbTrackMark));
    for (guint i = 0; i < clip->marks->len; i++) {
        const RbMark *mark = &g_array_index(clip->marks, RbMark, i);
        const RbTrackMark shown = { mark->kind, mark->frame };
        g_array_append_val(marks, shown);
    }
    rb_mark_track_set_span(transport->track, clip->first, clip->last);
    int64_t first = 0;
    int64_t last = 0;
    const bool span = rb_deck_get_span(transport->deck, &first, &last);
    rb_mark_track_set_part(transport->track, first, span ? last : first - 1);
    rb_mark_track_set_marks(transport->track, (const RbTrackMark *)(void *)marks->data,
                            (int)marks->len);
}

static void on_changed(RbTransport *transport)
{
    const double speed = rb_deck_get_speed(transport->deck);
    g_autofree char *words = running_text(transport->deck);
    gtk_label_set_text(transport->speed, words);
    gtk_button_set_icon_name(transport->play, speed != 0
                                                  ? "media-playback-pause-symbolic"
                                                  : "media-playback-start-symbolic");
    gtk_accessible_update_property(
        GTK_ACCESSIBLE(transport->play), GTK_ACCESSIBLE_PROPERTY_LABEL,
        speed != 0 ? C_("command", "Pause") : C_("command", "Play"), -1);
    show_clip(transport);
    on_frame(transport);
}

static void on_scrubbed(RbTransport *transport, gint64 frame)
{
    rb_deck_scrub(transport->deck, frame);
}

static void on_rested(RbTransport *transport)
{
    rb_deck_scrub_end(transport->deck);
}

void rb_transport_set_deck(RbTransport *transport, RbDeck *deck)
{
    g_return_if_fail(RB_IS_TRANSPORT(transport));
    g_return_if_fail(transport->deck == NULL);
    transport->deck = g_object_ref(deck);
    g_signal_connect_object(deck, "changed", G_CALLBACK(on_changed), transport,
                            G_CONNECT_SWAPPED);
    g_signal_connect_object(deck, "frame", G_CALLBACK(on_frame), transport,
                            G_CONNECT_SWAPPED);
    on_changed(transport);
}

void rb_transport_set_spans(RbTransport *transport, const RbTrackSpan *spans, int n)
{
    g_return_if_fail(RB_IS_TRANSPORT(transport));
    rb_mark_track_set_spans(transport->track, spans, n);
}

static void rb_transport_dispose(GObject *object)
{
    RbTransport *transport = RB_TRANSPORT(object);
    gtk_widget_dispose_template(GTK_WIDGET(transport), RB_TYPE_TRANSPORT);
    g_clear_object(&transport->deck);
    G_OBJECT_CLASS(rb_transport_parent_class)->dispose(object);
}

static void rb_transport_class_init(RbTransportClass *klass)
{
    GtkWidgetClass *widget_class = GTK_WIDGET_CLASS(klass);
    G_OBJECT_CLASS(klass)->dispose = rb_transport_dispose;
    g_type_ensure(RB_TYPE_MARK_TRACK);
    gtk_widget_class_set_template_from_resource(widget_class,
                                                "/org/readbreak/Readbreak/transport.ui");
    gtk_widget_class_bind_template_child(widget_class, RbTransport, box);
    gtk_widget_class_bind_template_child(widget_class, RbTransport, play);
    gtk_widget_class_bind_template_child(widget_class, RbTransport, clock);
    gtk_widget_class_bind_template_child(widget_class, RbTransport, since);
    gtk_widget_class_bind_template_child(widget_class, RbTransport, speed);
    gtk_widget_class_bind_template_child(widget_class, RbTransport, track);
}

static void rb_transport_init(RbTransport *transport)
{
    gtk_widget_init_template(GTK_WIDGET(transport));
    g_signal_connect_swapped(transport->track, "scrubbed", G_CALLBACK(on_scrubbed),
                             transport);
    g_signal_connect_swapped(transport->track, "rested", G_CALLBACK(on_rested),
                             transport);
}
