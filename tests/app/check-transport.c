/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the line under the film says of a machine that cannot show it at its own speed. */
#include <signal.h>

#include "rb/film/reel.h"
#include "rb/work/tagging.h"

#include "cases.h"
#include "display.h"
#include "sample-library.h"
#include "transport.h"

/* The film's helper runs now and then: it answers no more than six frames at a time, so that ten
 * come in a second, and thirty are needed. */
#define RUNS_MS 30
#define RESTS_MS 600

typedef struct {
    RbDeck *deck;
    GtkWidget *window;
    GtkLabel *label;
    RbSheet *sheet; /* owned */
} Stand;

static bool is_ready(void *data)
{
    RbProjector *projector = rb_deck_get_projector(((Stand *)data)->deck);
    return projector != NULL && rb_projector_get_texture(projector) != NULL &&
           rb_projector_is_exact(projector);
}

static bool is_later(void *data)
{
    return g_get_monotonic_time() >= *(const int64_t *)data;
}

static void run_for(int ms)
{
    int64_t until = g_get_monotonic_time() + (int64_t)ms * 1000;
    ck_assert(rb_display_run_until(is_later, &until));
}

/* The label after the time since the snap. */
static GtkLabel *find_label(GtkWidget *transport)
{
    return GTK_LABEL(
        gtk_widget_get_template_child(transport, RB_TYPE_TRANSPORT, "speed"));
}

static void stand_start(Stand *stand, const char *path)
{
    GError *error = NULL;
    g_autoptr(RbLibrary) library = rb_library_open_to_read(path, &error);
    rb_assert_no_error(error);
    stand->sheet = rb_library_load_sheet(library, rb_sample_snap_id(2), &error);
    rb_assert_no_error(error);
    stand->deck = rb_deck_new();
    GtkWidget *transport = g_object_new(RB_TYPE_TRANSPORT, NULL);
    stand->window = rb_display_show(transport, 900, 100);
    rb_transport_set_deck(RB_TRANSPORT(transport), stand->deck);
    rb_deck_set_clips(stand->deck, stand->sheet->clips, stand->sheet->paths);
    stand->label = find_label(transport);
    ck_assert(rb_display_run_until(is_ready, stand));
}

static void stand_end(Stand *stand)
{
    gtk_window_destroy(GTK_WINDOW(stand->window));
    g_object_unref(stand->deck);
    rb_sheet_free(stand->sheet);
    ck_assert(rb_reel_wait_all_closed(10000));
}

/* What the line says once it says anything. Returns: (transfer full). */
static char *first_words(Stand *stand)
{
    const int64_t limit = g_get_monotonic_time() + G_USEC_PER_SEC * 40;
    RbReel *reel = rb_projector_get_reel(rb_deck_get_projector(stand->deck));
    const char *words = gtk_label_get_text(stand->label);
    g_autofree char *before = g_strdup(words);
    while (g_str_equal(words, before) && g_get_monotonic_time() < limit) {
        RbReelStatus status;
        rb_reel_get_status(reel, &status);
        ck_assert_int_gt(status.helper_pid, 0);
        kill((pid_t)status.helper_pid, SIGSTOP);
        run_for(RESTS_MS);
        kill((pid_t)status.helper_pid, SIGCONT);
        run_for(RUNS_MS);
        words = gtk_label_get_text(stand->label);
    }
    return g_strdup(words);
}

START_TEST(test_transport__half_the_speed_is_said_when_the_film_cannot_run_at_its_own)
{
    static const struct {
        int way;
        const char *at_first; /* what is said of the speed asked for */
        const char *then;
    } ways[] = { { 1, "looping the clip", "½×, all this film allows, looping the clip" },
                 { -1, "backward 1×, looping the clip",
                   "backward ½×, all this film allows, looping the clip" } };
    g_autofree char *path = rb_test_path("sample.readbreak");
    ck_assert(rb_sample_library_make(path, true, NULL));
    rb_display_start();
    for (size_t i = 0; i < G_N_ELEMENTS(ways); i++) {
        Stand stand;
        stand_start(&stand, path);
        rb_deck_set_loop(stand.deck, true);
        rb_deck_shuttle(stand.deck, ways[i].way);
        ck_assert(rb_deck_get_speed(stand.deck) == ways[i].way);
        ck_assert_str_eq(gtk_label_get_text(stand.label), ways[i].at_first);
        g_autofree char *words = first_words(&stand);
        ck_assert_str_eq(words, ways[i].then);
        ck_assert(rb_deck_get_speed(stand.deck) == ways[i].way); /* still what is asked */
        /* Asked anew it is tried again. */
        rb_deck_toggle(stand.deck);
        rb_deck_shuttle(stand.deck, ways[i].way);
        ck_assert_str_eq(gtk_label_get_text(stand.label), ways[i].at_first);
        stand_end(&stand);
    }
}
END_TEST

TCase *rb_case_transport(void)
{
    TCase *tcase = rb_case_new("transport");
    tcase_add_test(
        tcase,
        test_transport__half_the_speed_is_said_when_the_film_cannot_run_at_its_own);
    return tcase;
}
