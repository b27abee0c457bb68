/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "snap-stills.h"

#include "film-settings.h"

/* Little more than a line of the table high: it is read row by row, and the still is only to know the
 * snap again by. */
#define WIDTH 53
#define HEIGHT 30
/* So long after the last move the table rests. */
#define REST_MS 120

struct RbSnapStills {
    GPtrArray *thumbs;         /* owned, of borrowed RbThumbView */
    GtkScrolledWindow *window; /* owned, NULL: none yet */
    GtkAdjustment *down;       /* owned: of window */
    guint resting;             /* 0: none */
    bool any;                  /* the table has a film at all */
    bool shown;                /* and they are not hidden */
};

/* Cells go with their rows, and with the table. */
static void on_thumb_gone(void *data, GObject *thumb)
{
    RbSnapStills *stills = data;
    g_ptr_array_remove_fast(stills->thumbs, thumb);
}

static gboolean on_rest(void *data)
{
    RbSnapStills *stills = data;
    stills->resting = 0;
    if (stills->window != NULL) {
        rb_thumb_views_share_out(stills->thumbs, GTK_WIDGET(stills->window),
                                 stills->shown);
    }
    return G_SOURCE_REMOVE;
}

static void look(RbSnapStills *stills)
{
    g_clear_handle_id(&stills->resting, g_source_remove);
    stills->resting = g_timeout_add(REST_MS, on_rest, stills);
}

static void show_or_hide(RbSnapStills *stills)
{
    stills->shown = stills->any && rb_film_settings_get_stills(rb_film_settings_get());
    for (guint i = 0; i < stills->thumbs->len; i++) {
        gtk_widget_set_visible(stills->thumbs->pdata[i], stills->shown);
    }
    look(stills);
}

RbSnapStills *rb_snap_stills_new(void)
{
    RbSnapStills *stills = g_new0(RbSnapStills, 1);
    stills->thumbs = g_ptr_array_new();
    g_signal_connect_swapped(rb_film_settings_get(), "changed", G_CALLBACK(show_or_hide),
                             stills);
    return stills;
}

void rb_snap_stills_free(RbSnapStills *stills)
{
    if (stills == NULL) {
        return;
    }
    g_signal_handlers_disconnect_by_data(rb_film_settings_get(), stills);
    if (stills->window != NULL) {
        g_signal_handlers_disconnect_by_data(stills->down, stills);
        g_signal_handlers_disconnect_by_data(stills->window, stills);
        g_object_unref(stills->down);
        g_object_unref(stills->window);
    }
    g_clear_handle_id(&stills->resting, g_source_remove);
    for (guint i = 0; i < stills->thumbs->len; i++) {
        g_object_weak_unref(stills->thumbs->pdata[i], on_thumb_gone, stills);
    }
    g_ptr_array_unref(stills->thumbs);
    g_free(stills);
}

void rb_snap_stills_watch(RbSnapStills *stills, GtkScrolledWindow *window)
{
    g_return_if_fail(stills->window == NULL);
    stills->window = g_object_ref(window);
    stills->down = g_object_ref(gtk_scrolled_window_get_vadjustment(window));
    g_signal_connect_swapped(stills->down, "value-changed", G_CALLBACK(look), stills);
    g_signal_connect_swapped(stills->down, "changed", G_CALLBACK(look), stills);
    g_signal_connect_swapped(window, "map", G_CALLBACK(look), stills);
    g_signal_connect_swapped(window, "unmap", G_CALLBACK(look), stills);
}

void rb_snap_stills_set_any(RbSnapStills *stills, bool any)
{
    if (stills->any != any) {
        stills->any = any;
        show_or_hide(stills);
    }
}

RbThumbView *rb_snap_stills_add(RbSnapStills *stills)
{
    GtkWidget *thumb = rb_thumb_view_new(NULL, 0);
    gtk_widget_set_size_request(thumb, WIDTH, HEIGHT);
    gtk_widget_set_visible(thumb, stills->shown);
    g_ptr_array_add(stills->thumbs, thumb);
    g_object_weak_ref(G_OBJECT(thumb), on_thumb_gone, stills);
    return RB_THUMB_VIEW(thumb);
}

void rb_snap_stills_show(RbSnapStills *stills, RbThumbView *thumb, const char *film,
                         int64_t frame)
{
    rb_thumb_view_set(thumb, film, frame);
    look(stills);
}
