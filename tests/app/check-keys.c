/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The table of keys and what a user makes of it. Needs a display only for the labels of keys. */
#include <glib/gstdio.h>
#include <string.h>

#include "cases.h"
#include "display.h"
#include "key-tips.h"
#include "keys.h"

static char *folder;
static char *file;

static void set_up(void)
{
    rb_display_start();
    folder = g_dir_make_tmp("rb-keys-XXXXXX", NULL);
    file = g_build_filename(folder, "keys.conf", NULL);
}

static void tear_down(void)
{
    g_remove(file);
    g_rmdir(folder);
    g_free(file);
    g_free(folder);
}

static int row_of(const char *action)
{
    for (int row = 0; row < rb_n_keys; row++) {
        if (g_strcmp0(rb_key_table[row].action, action) == 0) {
            return row;
        }
    }
    ck_abort_msg("%s is not in the table", action);
    return -1;
}

/* Writing is in the background. */
static void wait_for_file(const char *words)
{
    for (int i = 0; i < 500; i++) {
        g_autofree char *text = NULL;
        g_main_context_iteration(NULL, false);
        if (g_file_get_contents(file, &text, NULL, NULL) && strstr(text, words) != NULL) {
            return;
        }
        g_usleep(10000);
    }
    ck_abort_msg("%s was never written", words);
}

START_TEST(test_keys__every_row_can_be_bound_and_told)
{
    g_autoptr(RbKeys) keys = rb_keys_new_for(file);
    for (int row = 0; row < rb_n_keys; row++) {
        const RbKey *key = &rb_key_table[row];
        g_autofree char *text = rb_keys_text(keys, row);
        ck_assert(text[0] != '\0' && key->title[0] != '\0');
        ck_assert(rb_key_group_title(key->group)[0] != '\0');
        g_auto(GStrv) list = g_strsplit(key->keys, " ", -1);
        for (char **one = list; key->action != NULL && *one != NULL; one++) {
            guint keyval = 0;
            GdkModifierType state = 0;
            g_autofree char *name = NULL;
            g_autoptr(GVariant) target = NULL;
            ck_assert_msg(gtk_accelerator_parse(*one, &keyval, &state), "%s", *one);
            ck_assert_msg(g_action_parse_detailed_name(key->action, &name, &target, NULL),
                          "%s", key->action);
        }
    }
}
END_TEST

/* As delivered no key means two things at one place: giving back its own key is never refused. */
START_TEST(test_keys__as_delivered_nothing_conflicts)
{
    g_autoptr(RbKeys) keys = rb_keys_new_for(file);
    for (int row = 0; row < rb_n_keys; row++) {
        g_autoptr(GError) error = NULL;
        ck_assert_msg(
            rb_key_table[row].action == NULL || rb_keys_reset(keys, row, &error),
            "%s: %s", rb_key_table[row].title, error != NULL ? error->message : "");
    }
}
END_TEST

START_TEST(test_keys__a_changed_key_is_kept_for_the_user)
{
    const int loop = row_of("film.loop");
    g_autoptr(RbKeys) keys = rb_keys_new_for(file);
    ck_assert(rb_keys_change(keys, loop, GDK_KEY_u, 0, NULL));
    ck_assert_str_eq(rb_keys_of(keys, loop), "u");
    ck_assert(rb_keys_is_changed(keys, loop));
    wait_for_file("film.loop=u");
    g_autoptr(RbKeys) again = rb_keys_new_for(file);
    ck_assert_str_eq(rb_keys_of(again, loop), "u");
    /* A capital letter is its letter with Shift; a sign is what Shift makes of a key. */
    ck_assert(rb_keys_change(again, loop, GDK_KEY_U, GDK_SHIFT_MASK, NULL));
    ck_assert_str_eq(rb_keys_of(again, loop), "<Shift>u");
    ck_assert(rb_keys_change(again, loop, GDK_KEY_exclam, GDK_SHIFT_MASK, NULL));
    ck_assert_str_eq(rb_keys_of(again, loop), "exclam");
    ck_assert(rb_keys_reset(again, loop, NULL));
    ck_assert(!rb_keys_is_changed(again, loop));
    ck_assert_str_eq(rb_keys_of(again, loop), "o");
}
END_TEST

static void expect_refused(RbKeys *keys, int row, guint keyval, GdkModifierType state,
                           const char *words)
{
    g_autoptr(GError) error = NULL;
    g_autofree char *before = g_strdup(rb_keys_of(keys, row));
    ck_assert(!rb_keys_change(keys, row, keyval, state, &error));
    ck_assert_msg(strstr(error->message, words) != NULL, "%s", error->message);
    ck_assert_str_eq(rb_keys_of(keys, row), before);
}

START_TEST(test_keys__what_would_conflict_is_refused_in_a_sentence)
{
    const int loop = row_of("film.loop");
    const int cutup = row_of("win.make-live-cutup");
    g_autoptr(RbKeys) keys = rb_keys_new_for(file);
    expect_refused(keys, loop, GDK_KEY_s, 0, "To the snap");
    expect_refused(keys, loop, GDK_KEY_1, 0, "Look of read 1");
    expect_refused(keys, loop, GDK_KEY_z, GDK_CONTROL_MASK, "Undo");
    expect_refused(keys, loop, GDK_KEY_Return, 0, "another one");
    expect_refused(keys, loop, GDK_KEY_Escape, 0, "another one");
    /* At another place the same key is another thing. */
    expect_refused(keys, cutup, GDK_KEY_s, 0, "Sort the table");
    ck_assert(rb_keys_change(keys, cutup, GDK_KEY_o, 0, NULL));
    /* What was given away cannot be had back before it is free again. */
    const int snap = row_of("win.jump(0)");
    ck_assert(rb_keys_change(keys, snap, GDK_KEY_u, 0, NULL));
    ck_assert(rb_keys_change(keys, loop, GDK_KEY_s, 0, NULL));
    g_autoptr(GError) error = NULL;
    ck_assert(!rb_keys_reset(keys, snap, &error));
    ck_assert(strstr(error->message, "Loop") != NULL);
    rb_keys_reset_all(keys);
    ck_assert_str_eq(rb_keys_of(keys, snap), "s");
    ck_assert_str_eq(rb_keys_of(keys, loop), "o");
    for (int row = 0; row < rb_n_keys; row++) {
        if (rb_key_table[row].action == NULL) {
            expect_refused(keys, row, GDK_KEY_u, 0, "stays");
        }
    }
}
END_TEST

START_TEST(test_keys__a_damaged_file_changes_nothing)
{
    static const char *const texts[] = {
        "", "[keys", "\x01\xff", "[keys]\nfilm.loop=\nwin.nothing=q\nfilm.both=Return\n",
        "[keys]\nfilm.loop=s\nfilm.both=nokey\nwin.keys=<Control>z\n"
    };
    for (size_t i = 0; i < G_N_ELEMENTS(texts); i++) {
        ck_assert(g_file_set_contents(file, texts[i], -1, NULL));
        g_autoptr(RbKeys) keys = rb_keys_new_for(file);
        for (int row = 0; row < rb_n_keys; row++) {
            ck_assert_str_eq(rb_keys_of(keys, row), rb_key_table[row].keys);
        }
    }
}
END_TEST

START_TEST(test_keys__bound_keys_follow_a_change)
{
    const int loop = row_of("film.loop");
    g_autoptr(RbKeys) keys = rb_keys_new_for(file);
    GtkEventController *controller = gtk_shortcut_controller_new();
    rb_keys_bind(keys, GTK_SHORTCUT_CONTROLLER(controller));
    const guint n = g_list_model_get_n_items(G_LIST_MODEL(controller));
    ck_assert_uint_gt(n, 40);
    ck_assert(
        rb_keys_change(keys, loop, GDK_KEY_l, GDK_CONTROL_MASK | GDK_ALT_MASK, NULL));
    ck_assert_uint_eq(g_list_model_get_n_items(G_LIST_MODEL(controller)), n - 1);
    ck_assert(rb_keys_reset(keys, loop, NULL));
    ck_assert_uint_eq(g_list_model_get_n_items(G_LIST_MODEL(controller)), n);
    g_object_unref(controller);
}
END_TEST

START_TEST(test_keys__buttons_tell_the_key_of_their_action)
{
    g_autoptr(RbKeys) keys = rb_keys_new_for(file);
    GtkWidget *box = g_object_ref_sink(gtk_box_new(GTK_ORIENTATION_HORIZONTAL, 0));
    GtkWidget *next = gtk_button_new();
    GtkWidget *quiz = gtk_button_new_with_label("Quiz (%s)");
    GtkWidget *plain = gtk_button_new_with_label("50 %");
    gtk_widget_set_tooltip_text(next, "Next snap (%s)");
    gtk_actionable_set_detailed_action_name(GTK_ACTIONABLE(next), "win.go(1)");
    gtk_actionable_set_detailed_action_name(GTK_ACTIONABLE(quiz), "win.quiz");
    gtk_box_append(GTK_BOX(box), next);
    gtk_box_append(GTK_BOX(box), quiz);
    gtk_box_append(GTK_BOX(box), plain);
    rb_key_tips_follow(box, keys);
    ck_assert_str_eq(gtk_widget_get_tooltip_text(next), "Next snap (N)");
    ck_assert_str_eq(gtk_button_get_label(GTK_BUTTON(quiz)), "Quiz (Q)");
    ck_assert_str_eq(gtk_button_get_label(GTK_BUTTON(plain)), "50 %");
    GError *error = NULL;
    ck_assert(rb_keys_change(keys, row_of("win.go(1)"), GDK_KEY_y, 0, &error));
    ck_assert_str_eq(gtk_widget_get_tooltip_text(next), "Next snap (Y)");
    rb_keys_reset_all(keys);
    ck_assert_str_eq(gtk_widget_get_tooltip_text(next), "Next snap (N)");
    g_autofree char *none = rb_key_tip_text(keys, "Other (%s)", "win.no-such-action");
    ck_assert_str_eq(none, "Other");
    g_object_unref(box);
}
END_TEST

TCase *rb_case_keys(void)
{
    TCase *tests = rb_case_new("keys");
    tcase_add_checked_fixture(tests, set_up, tear_down);
    tcase_add_test(tests, test_keys__every_row_can_be_bound_and_told);
    tcase_add_test(tests, test_keys__as_delivered_nothing_conflicts);
    tcase_add_test(tests, test_keys__a_changed_key_is_kept_for_the_user);
    tcase_add_test(tests, test_keys__what_would_conflict_is_refused_in_a_sentence);
    tcase_add_test(tests, test_keys__a_damaged_file_changes_nothing);
    tcase_add_test(tests, test_keys__bound_keys_follow_a_change);
    tcase_add_test(tests, test_keys__buttons_tell_the_key_of_their_action);
    return tests;
}
