/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "cases.h"
#include "display.h"
#include "figure-list.h"
#include "samples.h"
#include "wrap.h"

typedef struct {
    int times;
    gint64 a;
    gint64 b;
} Heard;

static void on_two_ints(GtkWidget *widget, int a, int b, gpointer data)
{
    (void)widget;
    *(Heard *)data = (Heard){ ((Heard *)data)->times + 1, a, b };
}

static void on_two_ids(GtkWidget *widget, gint64 a, gint64 b, gpointer data)
{
    (void)widget;
    *(Heard *)data = (Heard){ ((Heard *)data)->times + 1, a, b };
}

static void on_id(GtkWidget *widget, gint64 id, gpointer data)
{
    (void)widget;
    *(Heard *)data = (Heard){ ((Heard *)data)->times + 1, id, 0 };
}

/* Runs the widget's own key binding, as the key would with the focus on it. */
static gboolean press(GtkWidget *widget, guint key)
{
    g_autoptr(GListModel) controllers = gtk_widget_observe_controllers(widget);
    for (guint i = 0; i < g_list_model_get_n_items(controllers); i++) {
        g_autoptr(GObject) controller = g_list_model_get_item(controllers, i);
        if (!GTK_IS_SHORTCUT_CONTROLLER(controller)) {
            continue;
        }
        for (guint j = 0; j < g_list_model_get_n_items(G_LIST_MODEL(controller)); j++) {
            g_autoptr(GtkShortcut) shortcut =
                g_list_model_get_item(G_LIST_MODEL(controller), j);
            GtkShortcutTrigger *trigger = gtk_shortcut_get_trigger(shortcut);
            if (GTK_IS_KEYVAL_TRIGGER(trigger) &&
                gtk_keyval_trigger_get_keyval(GTK_KEYVAL_TRIGGER(trigger)) == key) {
                return gtk_shortcut_action_activate(gtk_shortcut_get_action(shortcut), 0,
                                                    widget,
                                                    gtk_shortcut_get_arguments(shortcut));
            }
        }
    }
    ck_abort_msg("no such key on %s", G_OBJECT_TYPE_NAME(widget));
    return FALSE;
}

/* How many pixels are not the first one's colour: something was drawn. */
static int drawn_pixels(GtkWidget *widget)
{
    int width = 0;
    int height = 0;
    g_autofree guchar *pixels = rb_display_pixels(widget, &width, &height);
    int other = 0;
    for (int i = 0; i < width * height; i++) {
        other += memcmp(pixels + 4 * i, pixels, 4) != 0;
    }
    return other;
}

START_TEST(test_widgets__each_draws_its_values_and_nothing_when_empty)
{
    rb_display_start();
    GtkWidget *(*const makers[])(void) = { rb_sample_strip, rb_sample_track,
                                           rb_sample_table, rb_sample_read_ladder,
                                           rb_sample_pairing_ladder };
    for (size_t i = 0; i < G_N_ELEMENTS(makers); i++) {
        GtkWidget *widget = makers[i]();
        GtkWidget *window = rb_display_show(widget, 700, 400);
        ck_assert_msg(drawn_pixels(widget) > 300, "widget %zu draws nothing", i);
        gtk_window_destroy(GTK_WINDOW(window));
    }
    GtkWidget *empty = g_object_new(RB_TYPE_DRIVE_STRIP, NULL);
    GtkWidget *window = rb_display_show(empty, 300, 100);
    ck_assert_int_eq(drawn_pixels(empty), 0);
    gtk_window_destroy(GTK_WINDOW(window));
}
END_TEST

START_TEST(test_widgets__are_gone_when_their_window_is)
{
    rb_display_start();
    GtkWidget *(*const makers[])(void) = { rb_sample_strip, rb_sample_track,
                                           rb_sample_table, rb_sample_read_ladder,
                                           rb_sample_pairing_ladder };
    for (size_t i = 0; i < G_N_ELEMENTS(makers); i++) {
        gpointer watched = makers[i]();
        g_object_add_weak_pointer(watched, &watched);
        GtkWidget *window = rb_display_show(watched, 300, 200);
        gtk_window_destroy(GTK_WINDOW(window));
        rb_display_settle();
        ck_assert_msg(watched == NULL, "widget %zu leaks", i);
    }
}
END_TEST

START_TEST(test_drive_strip__arrows_choose_the_neighbour_and_stop_at_the_end)
{
    rb_display_start();
    GtkWidget *strip = g_object_ref_sink(rb_sample_strip());
    Heard heard = { 0 };
    g_signal_connect(strip, "chosen", G_CALLBACK(on_id), &heard);
    press(strip, GDK_KEY_Right);
    ck_assert_int_eq(heard.a, 6);
    rb_drive_strip_set_chosen(RB_DRIVE_STRIP(strip), (RbSnapId){ 24 });
    press(strip, GDK_KEY_Right);
    ck_assert_int_eq(heard.times, 1);
    press(strip, GDK_KEY_Home);
    ck_assert_int_eq(heard.a, 1);
    ck_assert_int_eq(rb_drive_strip_get_neighbour(RB_DRIVE_STRIP(strip), -1).value, 23);
    g_object_unref(strip);
}
END_TEST

START_TEST(test_drive_strip__new_tiles_keep_the_chosen_snap)
{
    rb_display_start();
    GtkWidget *strip = g_object_ref_sink(rb_sample_strip());
    g_autoptr(GPtrArray) snaps = rb_sample_snaps();
    g_ptr_array_remove_index(snaps, 0);
    g_autoptr(GPtrArray) tiles = rb_tiles_build(snaps, NULL, RB_RULES_COLLEGE);
    rb_drive_strip_set_tiles(RB_DRIVE_STRIP(strip), tiles);
    ck_assert_int_eq(rb_drive_strip_get_neighbour(RB_DRIVE_STRIP(strip), 0).value, 5);
    rb_drive_strip_set_tiles(RB_DRIVE_STRIP(strip), NULL);
    ck_assert_int_eq(rb_drive_strip_get_neighbour(RB_DRIVE_STRIP(strip), 1).value, 0);
    g_object_unref(strip);
}
END_TEST

START_TEST(test_read_ladder__a_reads_number_goes_through_its_looks)
{
    rb_display_start();
    GtkWidget *ladder = g_object_ref_sink(rb_sample_read_ladder());
    Heard heard = { 0 };
    g_signal_connect(ladder, "look", G_CALLBACK(on_two_ints), &heard);
    /* read 1 is covered in the sample, read 2 open, read 4 not seen */
    ck_assert(rb_read_ladder_cycle(RB_READ_LADDER(ladder), 1));
    ck_assert_int_eq(heard.a, 1);
    ck_assert_int_eq(heard.b, RB_LOOK_CANT_TELL);
    ck_assert(rb_read_ladder_cycle(RB_READ_LADDER(ladder), 2));
    ck_assert_int_eq(heard.b, RB_LOOK_COVERED);
    ck_assert(rb_read_ladder_cycle(RB_READ_LADDER(ladder), 4));
    ck_assert_int_eq(heard.b, RB_LOOK_OPEN);
    ck_assert(!rb_read_ladder_cycle(RB_READ_LADDER(ladder), 7));
    ck_assert_int_eq(heard.times, 3);
    /* the next press goes on from the last, whether its answer has come or not */
    ck_assert(rb_read_ladder_is_ahead(RB_READ_LADDER(ladder)));
    ck_assert(rb_read_ladder_cycle(RB_READ_LADDER(ladder), 2));
    ck_assert_int_eq(heard.b, RB_LOOK_CANT_TELL);
    rb_read_ladder_set_rungs(RB_READ_LADDER(ladder), NULL);
    ck_assert(!rb_read_ladder_is_ahead(RB_READ_LADDER(ladder)));
    g_object_unref(ladder);
}
END_TEST

START_TEST(test_pairing_table__arrows_walk_cells_and_margins)
{
    rb_display_start();
    GtkWidget *table = g_object_ref_sink(rb_sample_table());
    Heard heard = { 0 };
    g_signal_connect(table, "chosen", G_CALLBACK(on_two_ids), &heard);
    press(table, GDK_KEY_Right);
    ck_assert_int_eq(heard.a, 1);
    ck_assert_int_eq(heard.b, 2);
    press(table, GDK_KEY_Down);
    ck_assert_int_eq(heard.a, 2);
    press(table, GDK_KEY_Home);
    ck_assert_int_eq(heard.b, 0);
    press(table, GDK_KEY_Page_Up);
    ck_assert_int_eq(heard.a, 0);
    const int before = heard.times;
    press(table, GDK_KEY_Up);
    ck_assert_int_eq(heard.times, before);
    press(table, GDK_KEY_End);
    press(table, GDK_KEY_Page_Down);
    ck_assert_int_eq(heard.a, 5);
    ck_assert_int_eq(heard.b, 6);
    g_object_unref(table);
}
END_TEST

START_TEST(test_pairing_table__a_new_table_keeps_the_chosen_pairing)
{
    rb_display_start();
    GtkWidget *table = g_object_ref_sink(rb_sample_table());
    rb_pairing_table_choose(RB_PAIRING_TABLE(table), (RbConceptId){ 3 }, (RbTermId){ 2 });
    rb_pairing_table_take_view(RB_PAIRING_TABLE(table), rb_sample_pairing_view());
    Heard heard = { 0 };
    g_signal_connect(table, "chosen", G_CALLBACK(on_two_ids), &heard);
    press(table, GDK_KEY_Down);
    ck_assert_int_eq(heard.a, 4);
    ck_assert_int_eq(heard.b, 2);
    rb_pairing_table_take_view(RB_PAIRING_TABLE(table), NULL);
    press(table, GDK_KEY_Down);
    ck_assert_int_eq(heard.times, 1);
    g_object_unref(table);
}
END_TEST

START_TEST(test_pairing_ladder__arrows_walk_the_parts_and_back_to_all)
{
    rb_display_start();
    GtkWidget *ladder = g_object_ref_sink(rb_sample_pairing_ladder());
    Heard heard = { 0 };
    g_signal_connect(ladder, "chosen", G_CALLBACK(on_two_ints), &heard);
    press(ladder, GDK_KEY_Down);
    ck_assert_int_eq(heard.a, 1);
    ck_assert_int_eq(heard.b, RB_STAGE_SUCCESS);
    press(ladder, GDK_KEY_Down);
    ck_assert_int_eq(heard.b, RB_STAGE_EYES);
    press(ladder, GDK_KEY_Up);
    press(ladder, GDK_KEY_Up);
    ck_assert_int_eq(heard.a, -1);
    ck_assert(!press(ladder, GDK_KEY_Up));
    int steps = 0;
    while (press(ladder, GDK_KEY_Down)) {
        ck_assert_int_lt(steps++, 100);
    }
    ck_assert_int_eq(steps, 9); /* one a part of the sample that is not empty */
    ck_assert_int_eq(heard.a, 0);
    g_object_unref(ladder);
}
END_TEST

static void on_row(RbFigureList *list, guint row, void *data)
{
    (void)list;
    *(int *)data = (int)row;
}

START_TEST(test_figure_list__the_keyboard_goes_where_there_are_snaps)
{
    rb_display_start();
    g_autoptr(GArray) snaps = g_array_new(FALSE, FALSE, sizeof(RbSnapId));
    const RbSnapId snap = { 7 };
    g_array_append_val(snaps, snap);
    RbFigureList *list = g_object_new(RB_TYPE_FIGURE_LIST, NULL);
    GtkWidget *window = rb_display_show(GTK_WIDGET(list), 300, 200);
    int chosen = -1;
    g_signal_connect(list, "chosen", G_CALLBACK(on_row), &chosen);
    rb_figure_list_focus(list); /* nothing to go to */
    ck_assert_int_eq(chosen, -1);
    for (int last = 2; last >= 0; last--) { /* the last time none has a snap */
        GPtrArray *figures =
            g_ptr_array_new_with_free_func((GDestroyNotify)rb_figure_free);
        for (int i = 0; i < 3; i++) {
            g_ptr_array_add(figures, rb_figure_new("Right", g_strdup("1"),
                                                   last > 0 && i == last ? snaps : NULL));
        }
        rb_figure_list_unchoose(list);
        rb_figure_list_take(list, figures);
        rb_figure_list_focus(list);
        ck_assert_int_eq(chosen, last);
    }
    gtk_window_destroy(GTK_WINDOW(window));
}
END_TEST

static GtkWidget *box_of(int width, int height)
{
    GtkWidget *box = gtk_box_new(GTK_ORIENTATION_HORIZONTAL, 0);
    gtk_widget_set_size_request(box, width, height);
    return box;
}

static int wrap_height(GtkWidget *wrap, int width)
{
    int least = 0;
    int wanted = 0;
    gtk_widget_measure(wrap, GTK_ORIENTATION_VERTICAL, width, &least, &wanted, NULL,
                       NULL);
    ck_assert_int_eq(least, wanted);
    return wanted;
}

/* Three controls of 100, 60 and 80 points, 8 between two in a line and 4 between lines; one that is
 * hidden takes no room. */
START_TEST(test_wrap__goes_on_in_another_line_where_there_is_no_room)
{
    static const int widths[] = { 100, 60, 80 };
    static const int heights[] = { 20, 30, 10 };
    rb_display_start();
    GtkWidget *wrap = rb_wrap_new();
    GtkWidget *boxes[3] = { NULL };
    for (int i = 0; i < 3; i++) {
        boxes[i] = box_of(widths[i], heights[i]);
        rb_wrap_add(RB_WRAP(wrap), boxes[i]);
    }
    int least = 0;
    int wanted = 0;
    gtk_widget_measure(wrap, GTK_ORIENTATION_HORIZONTAL, -1, &least, &wanted, NULL, NULL);
    ck_assert_int_eq(least, 100);
    ck_assert_int_eq(wanted, 100 + 8 + 60 + 8 + 80);
    ck_assert_int_eq(wrap_height(wrap, 256), 30);
    ck_assert_int_eq(wrap_height(wrap, 255), 30 + 4 + 10);
    ck_assert_int_eq(wrap_height(wrap, 167), 20 + 4 + 30);
    ck_assert_int_eq(wrap_height(wrap, 147), 20 + 4 + 30 + 4 + 10);

    GtkWidget *window = rb_display_show(wrap, 180, 200);
    graphene_rect_t place;
    ck_assert(gtk_widget_compute_bounds(boxes[1], wrap, &place));
    ck_assert_int_eq((int)place.origin.x, 108);
    ck_assert(gtk_widget_compute_bounds(boxes[2], wrap, &place));
    ck_assert_int_eq((int)place.origin.x, 0);
    ck_assert_int_ge((int)place.origin.y, 34);
    ck_assert_int_eq((int)place.size.width, 80);
    gtk_widget_set_visible(boxes[0], FALSE);
    ck_assert_int_eq(wrap_height(wrap, 148), 30);
    gtk_window_destroy(GTK_WINDOW(window));
}
END_TEST

TCase *rb_case_widgets(void)
{
    TCase *tcase = rb_case_new("widgets");
    tcase_add_test(tcase, test_widgets__each_draws_its_values_and_nothing_when_empty);
    tcase_add_test(tcase, test_widgets__are_gone_when_their_window_is);
    tcase_add_test(tcase,
                   test_drive_strip__arrows_choose_the_neighbour_and_stop_at_the_end);
    tcase_add_test(tcase, test_drive_strip__new_tiles_keep_the_chosen_snap);
    tcase_add_test(tcase, test_read_ladder__a_reads_number_goes_through_its_looks);
    tcase_add_test(tcase, test_pairing_table__arrows_walk_cells_and_margins);
    tcase_add_test(tcase, test_pairing_table__a_new_table_keeps_the_chosen_pairing);
    tcase_add_test(tcase, test_pairing_ladder__arrows_walk_the_parts_and_back_to_all);
    tcase_add_test(tcase, test_figure_list__the_keyboard_goes_where_there_are_snaps);
    tcase_add_test(tcase, test_wrap__goes_on_in_another_line_where_there_is_no_room);
    return tcase;
}
