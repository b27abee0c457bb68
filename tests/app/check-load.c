/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "cases.h"
#include "display.h"
#include "film-panel.h"
#include "folder-watch.h"
#include "snap-mark-rows.h"

/* Drops files on a widget as a file manager does; what its target says. */
static gboolean drop(GtkWidget *widget, GFile **files, gsize n)
{
    g_autoptr(GListModel) controllers = gtk_widget_observe_controllers(widget);
    for (guint i = 0; i < g_list_model_get_n_items(controllers); i++) {
        g_autoptr(GObject) target = g_list_model_get_item(controllers, i);
        if (GTK_IS_DROP_TARGET(target)) {
            g_auto(GValue) value = G_VALUE_INIT;
            gboolean taken = FALSE;
            g_value_init(&value, GDK_TYPE_FILE_LIST);
            g_value_take_boxed(&value, gdk_file_list_new_from_array(files, n));
            g_signal_emit_by_name(target, "drop", &value, 1.0, 1.0, &taken);
            return taken;
        }
    }
    ck_abort_msg("nothing can be dropped here");
    return FALSE;
}

static bool shows(GtkWidget *widget, const char *text)
{
    if (GTK_IS_LABEL(widget) &&
        strstr(gtk_label_get_text(GTK_LABEL(widget)), text) != NULL) {
        return true;
    }
    if (GTK_IS_EDITABLE(widget) &&
        strstr(gtk_editable_get_text(GTK_EDITABLE(widget)), text) != NULL) {
        return true;
    }
    for (GtkWidget *child = gtk_widget_get_first_child(widget); child != NULL;
         child = gtk_widget_get_next_sibling(child)) {
        if (shows(child, text)) {
            return true;
        }
    }
    return false;
}

static GtkWidget *film_panel(void)
{
    GListModel *all = gtk_window_get_toplevels();
    for (guint i = 0; i < g_list_model_get_n_items(all); i++) {
        g_autoptr(GtkWidget) window = g_list_model_get_item(all, i);
        if (RB_IS_FILM_PANEL(window)) {
            return window;
        }
    }
    ck_abort_msg("no panel");
    return NULL;
}

/* Dropped films are named and would be read, if a game were chosen; nothing is no film. */
START_TEST(test_load__films_can_be_dropped)
{
    rb_display_start();
    g_autoptr(RbSession) session = rb_session_new();
    GtkWidget *parent = gtk_window_new();
    GFile *files[] = { g_file_new_for_path("/media/card/001 wide.mp4"),
                       g_file_new_for_path("/media/card/001 tight.mp4") };
    rb_film_panel_open(GTK_WINDOW(parent), session);
    GtkWidget *panel = film_panel();
    ck_assert(!shows(panel, "001 wide.mp4"));
    ck_assert(drop(panel, files, 1));
    ck_assert(shows(panel, "/media/card/001 wide.mp4"));
    ck_assert(shows(panel, "Choose the game that the film shows first."));
    ck_assert(drop(panel, files, 2));
    ck_assert(!shows(panel, "/media/card/001 wide.mp4"));
    gtk_window_destroy(GTK_WINDOW(panel));
    g_autoptr(GSList) list = g_slist_append(NULL, files[0]);
    ck_assert(rb_film_panel_open_with(GTK_WINDOW(parent), session, list));
    ck_assert(shows(film_panel(), "/media/card/001 wide.mp4"));
    gtk_window_destroy(GTK_WINDOW(parent));
    g_object_unref(files[0]);
    g_object_unref(files[1]);
}
END_TEST

enum { CLIPS = 4 };

static RbSnapSearch *search_of(const double sure[CLIPS])
{
    RbSnapSearch *search = g_new0(RbSnapSearch, 1);
    search->proposals = g_array_new(FALSE, FALSE, sizeof(RbSnapProposal));
    search->paths = g_ptr_array_new_with_free_func(g_free);
    for (int i = 0; i < CLIPS; i++) {
        const RbSnapProposal proposal = { .clip = { 10 + i },
                                          .number = CLIPS - i,
                                          .first = 100,
                                          .last = 200,
                                          .frame = sure[i] < 0 ? -1 : 150,
                                          .sure = sure[i],
                                          .marked = -1 };
        g_array_append_val(search->proposals, proposal);
        g_ptr_array_add(search->paths, g_strdup("/media/card/long.mp4"));
    }
    return search;
}

static const RbSnapProposal *at(const RbSnapSearch *search, guint i)
{
    return &g_array_index(search->proposals, RbSnapProposal, i);
}

/* The sure ones are taken beforehand; the others are judged by one key each, in the order of the
 * snaps; a moved one is judged apart. */
START_TEST(test_load__snap_marks_are_judged_by_key)
{
    static const double sure[CLIPS] = { 0.95, 0.5, -1, 0.3 };
    rb_display_start();
    RbSnapRows *rows = rb_snap_rows_new(search_of(sure));
    GtkListBox *list = GTK_LIST_BOX(g_object_ref_sink(gtk_list_box_new()));
    rb_snap_rows_fill(rows, list);
    ck_assert_int_eq(rb_snap_rows_count(rows), 1);
    /* Snap 1 is the last clip: the first that is to be judged. */
    ck_assert(rb_snap_rows_judge(rows, list, GDK_KEY_y, false));
    ck_assert_int_eq(rb_snap_rows_count(rows), 2);
    /* Snap 2 has no frame: it cannot be taken before it is moved into its clip. */
    ck_assert(!rb_snap_rows_judge(rows, list, GDK_KEY_y, false));
    ck_assert(rb_snap_rows_judge(rows, list, GDK_KEY_Right, true));
    ck_assert(rb_snap_rows_judge(rows, list, GDK_KEY_Left, false));
    ck_assert_int_eq(rb_snap_rows_count(rows), 2);
    ck_assert(rb_snap_rows_judge(rows, list, GDK_KEY_y, false));
    /* Snap 3 is left out. */
    ck_assert(rb_snap_rows_judge(rows, list, GDK_KEY_n, false));
    ck_assert(!rb_snap_rows_judge(rows, list, GDK_KEY_x, false));
    g_autoptr(RbSnapSearch) taken = rb_snap_rows_dup_taken(rows);
    ck_assert_uint_eq(taken->proposals->len, 3);
    ck_assert_int_eq(at(taken, 0)->clip.value, 10);
    ck_assert_int_eq(at(taken, 1)->clip.value, 12);
    ck_assert_int_eq(at(taken, 1)->frame, 149);
    ck_assert(at(taken, 1)->moved && !at(taken, 2)->moved);
    ck_assert_int_eq(at(taken, 2)->clip.value, 13);
    g_autofree char *text = rb_snap_rows_text(rows);
    ck_assert_msg(g_str_has_prefix(text, "Taken: 3, to be judged: 0, left out: 1."), "%s",
                  text);
    rb_snap_rows_free(rows);
    g_object_unref(list);
}
END_TEST

typedef struct {
    GMainLoop *loop;
    int told;
} Told;

static void on_told(void *data)
{
    Told *told = data;
    told->told++;
    g_main_loop_quit(told->loop);
}

static gboolean stop(void *loop)
{
    g_main_loop_quit(loop);
    return G_SOURCE_REMOVE;
}

static gboolean grow(void *path)
{
    g_autofree char *text = NULL;
    gsize length = 0;
    g_assert_true(g_file_get_contents(path, &text, &length, NULL));
    g_autofree char *more = g_strconcat(text, "more", NULL);
    g_assert_true(g_file_set_contents(path, more, -1, NULL));
    return length < 40;
}

/* A film that is still being written is told of once, when it is whole. */
START_TEST(test_load__a_watched_folder_tells_when_it_is_quiet)
{
    g_autofree char *film = rb_test_path("1.mp4");
    ck_assert(g_file_set_contents(film, "film", -1, NULL));
    g_autoptr(GMainLoop) loop = g_main_loop_new(NULL, FALSE);
    Told told = { loop, 0 };
    RbFolderWatch *watch = rb_folder_watch_new(rb_test_folder(), on_told, &told);
    g_timeout_add(1000, stop, loop);
    g_main_loop_run(loop);
    ck_assert_int_eq(told.told, 0);
    g_timeout_add(400, grow, film);
    const guint late = g_timeout_add(30000, stop, loop);
    g_main_loop_run(loop);
    g_source_remove(late);
    ck_assert_int_eq(told.told, 1);
    g_autofree char *text = NULL;
    ck_assert(g_file_get_contents(film, &text, NULL, NULL));
    ck_assert_uint_eq(strlen(text), 44);
    g_timeout_add(4000, stop, loop);
    g_main_loop_run(loop);
    ck_assert_int_eq(told.told, 1);
    rb_folder_watch_free(watch);
    rb_folder_watch_free(NULL);
}
END_TEST

TCase *rb_case_load(void)
{
    TCase *tcase = rb_case_new("load");
    tcase_add_test(tcase, test_load__a_watched_folder_tells_when_it_is_quiet);
    tcase_add_test(tcase, test_load__films_can_be_dropped);
    tcase_add_test(tcase, test_load__snap_marks_are_judged_by_key);
    return tcase;
}
