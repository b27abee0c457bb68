/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "rb/stats/measure.h"

#include "cases.h"
#include "clock-chart.h"
#include "compare-view.h"
#include "cutups-export.h"
#include "display.h"
#include "drawer-two.h"
#include "exchange-panel.h"
#include "figure-list.h"
#include "film-panel.h"
#include "help-page.h"
#include "help-window.h"
#include "help.h"
#include "mirror-ladder.h"
#include "pairing-ladder.h"
#include "pairing-table.h"
#include "pairings-desk.h"
#include "quarterback-desk.h"
#include "quiz-panel.h"
#include "worklist-view.h"

static GPtrArray *page(const char *name)
{
    GError *error = NULL;
    g_autoptr(GBytes) bytes = rb_help_load(name);
    ck_assert_msg(bytes != NULL, "no page %s", name);
    GPtrArray *blocks = rb_help_page_parse(g_bytes_get_data(bytes, NULL),
                                           (gssize)g_bytes_get_size(bytes), &error);
    ck_assert_msg(blocks != NULL, "%s: %s", name, error != NULL ? error->message : "");
    return blocks;
}

/* A page that there is, with a heading of that id. */
static void assert_topic(const char *topic)
{
    g_auto(GStrv) parts = g_strsplit(topic, "#", 2);
    ck_assert_msg(g_strv_contains(rb_help_pages, parts[0]), "%s is not listed", topic);
    g_autoptr(GPtrArray) blocks = page(parts[0]);
    if (parts[1] != NULL) {
        const int at = rb_help_page_find(blocks, parts[1]);
        ck_assert_msg(at >= 0, "no heading %s", topic);
        ck_assert_int_eq(((const RbHelpBlock *)blocks->pdata[at])->kind, RB_HELP_HEADING);
    }
}

static void assert_links(const char *name, const char *markup)
{
    for (const char *at = markup; (at = strstr(at, "<a href=\"")) != NULL;) {
        at += strlen("<a href=\"");
        g_autofree char *target = g_strndup(at, (gsize)(strchr(at, '"') - at));
        g_autofree char *topic =
            *target == '#' ? g_strconcat(name, target, NULL) : g_strdup(target);
        assert_topic(topic);
    }
}

static void assert_whole(const char *name)
{
    g_autoptr(GPtrArray) blocks = page(name);
    const RbHelpBlock *first = blocks->pdata[0];
    ck_assert_int_eq(first->kind, RB_HELP_HEADING);
    ck_assert_int_eq(first->level, 1);
    for (guint j = 0; j < blocks->len; j++) {
        const RbHelpBlock *block = blocks->pdata[j];
        ck_assert_uint_gt(block->texts->len, 0);
        for (guint k = 0; k < block->texts->len; k++) {
            ck_assert_msg(*(const char *)block->texts->pdata[k] != '\0', "%s, block %u",
                          name, j);
            assert_links(name, block->texts->pdata[k]);
        }
    }
}

/* Else in English. */
static const struct {
    const char *user;
    const char *page;
} languages[] = { { "en", "en" }, { "xx", "en" }, { "es", "es" }, { "es_MX", "es" } };

START_TEST(test_help__each_page_is_whole_in_the_language_of_the_user)
{
    g_setenv("LANGUAGE", languages[_i].user, TRUE);
    g_autofree char *said = g_strdup_printf(" lang=\"%s\">", languages[_i].page);
    for (int i = 0; rb_help_pages[i] != NULL; i++) {
        g_autoptr(GBytes) bytes = rb_help_load(rb_help_pages[i]);
        ck_assert_msg(g_strstr_len(g_bytes_get_data(bytes, NULL),
                                   (gssize)g_bytes_get_size(bytes), said) != NULL,
                      "%s has not%s", rb_help_pages[i], said);
        assert_whole(rb_help_pages[i]);
    }
    g_unsetenv("LANGUAGE");
}
END_TEST

/* All that a page says, for looking something up. */
static char *all_of(const char *name)
{
    g_autoptr(GPtrArray) blocks = page(name);
    GString *text = g_string_new(NULL);
    for (guint i = 0; i < blocks->len; i++) {
        const RbHelpBlock *block = blocks->pdata[i];
        for (guint j = 0; j < block->texts->len; j++) {
            g_string_append_printf(text, "%s\n", (const char *)block->texts->pdata[j]);
        }
    }
    return g_string_free(text, FALSE);
}

START_TEST(test_help__each_measure_verdict_and_stage_is_defined)
{
    g_autofree char *all = all_of("figures.html");
    for (int i = 0; i < RB_MEASURES; i++) {
        assert_topic(rb_help_measure_topic(i));
    }
    const RbWords *const words[] = { &rb_verdict_words, &rb_stage_words };
    for (size_t i = 0; i < G_N_ELEMENTS(words); i++) {
        for (int j = 0; j < words[i]->n; j++) {
            g_autofree char *cell =
                g_strdup_printf("\n%s\n", rb_words_label(words[i], j));
            ck_assert_msg(strstr(all, cell) != NULL, "%s", cell);
        }
    }
}
END_TEST

/* What shows figures. */
static bool shows_figures(GtkWidget *widget)
{
    return RB_IS_FIGURE_LIST(widget) || RB_IS_PAIRING_TABLE(widget) ||
           RB_IS_PAIRING_LADDER(widget) || RB_IS_CLOCK_CHART(widget) ||
           RB_IS_COMPARE_VIEW(widget) || RB_IS_WORKLIST_VIEW(widget) ||
           RB_IS_MIRROR_LADDER(widget) || RB_IS_QUIZ_PANEL(widget) ||
           gtk_widget_has_css_class(widget, "figure");
}

/* Returns how many figures are below. */
static int assert_marked(GtkWidget *widget)
{
    int n = 0;
    if (shows_figures(widget)) {
        const char *topic = rb_help_topic_of(widget);
        ck_assert_msg(g_str_has_prefix(topic, "figures.html#"), "%s leads to %s",
                      G_OBJECT_TYPE_NAME(widget), topic);
        assert_topic(topic);
        n++;
    }
    for (GtkWidget *child = gtk_widget_get_first_child(widget); child != NULL;
         child = gtk_widget_get_next_sibling(child)) {
        n += assert_marked(child);
    }
    return n;
}

START_TEST(test_help__whatever_shows_a_figure_leads_to_its_definition)
{
    rb_display_start();
    const struct {
        GType type;
        int least;
    } places[] = {
        { RB_TYPE_PAIRINGS_DESK, 4 },
        { RB_TYPE_QUARTERBACK_DESK, 7 },
        { RB_TYPE_QUIZ_PANEL, 1 },
        { RB_TYPE_COMPARE_VIEW, 2 },
    };
    for (size_t i = 0; i < G_N_ELEMENTS(places); i++) {
        GtkWidget *widget = g_object_ref_sink(g_object_new(places[i].type, NULL));
        ck_assert_int_ge(assert_marked(widget), places[i].least);
        g_object_unref(widget);
    }
}
END_TEST

START_TEST(test_help__a_part_of_a_widget_leads_where_the_widget_does)
{
    rb_display_start();
    GtkWidget *box = g_object_ref_sink(gtk_box_new(GTK_ORIENTATION_VERTICAL, 0));
    GtkWidget *inner = gtk_button_new_with_label("x");
    gtk_box_append(GTK_BOX(box), inner);
    ck_assert_str_eq(rb_help_topic_of(inner), "index.html");
    ck_assert_str_eq(rb_help_topic_of(NULL), "index.html");
    rb_help_mark(box, "cutups.html");
    ck_assert_str_eq(rb_help_topic_of(gtk_widget_get_first_child(inner)), "cutups.html");
    rb_help_mark(inner, "figures.html#break");
    ck_assert_str_eq(rb_help_topic_of(inner), "figures.html#break");
    g_object_unref(box);
}
END_TEST

/* Sentences of care below: each leads to a page. */
static int count_cautions(GtkWidget *widget)
{
    int n = 0;
    if (gtk_widget_has_css_class(widget, "caution")) {
        assert_links("", gtk_label_get_label(GTK_LABEL(widget)));
        ck_assert_ptr_nonnull(strstr(gtk_label_get_label(GTK_LABEL(widget)), "<a "));
        n++;
    }
    for (GtkWidget *child = gtk_widget_get_first_child(widget); child != NULL;
         child = gtk_widget_get_next_sibling(child)) {
        n += count_cautions(child);
    }
    return n;
}

START_TEST(test_help__what_leaves_the_staff_has_one_caution)
{
    rb_display_start();
    const GType places[] = { RB_TYPE_CUTUPS_EXPORT, RB_TYPE_EXCHANGE_PANEL,
                             RB_TYPE_FILM_PANEL };
    for (size_t i = 0; i < G_N_ELEMENTS(places); i++) {
        GtkWidget *widget = g_object_ref_sink(g_object_new(places[i], NULL));
        ck_assert_int_eq(count_cautions(widget), 1);
        if (GTK_IS_WINDOW(widget)) {
            gtk_window_destroy(GTK_WINDOW(widget));
        }
        g_object_unref(widget);
    }
}
END_TEST

static const RbHelpBlock *only_block(const char *body)
{
    GError *error = NULL;
    g_autofree char *text = g_strdup_printf("<html><body>%s</body></html>", body);
    GPtrArray *blocks = rb_help_page_parse(text, -1, &error);
    rb_assert_no_error(error);
    ck_assert_uint_eq(blocks->len, 1);
    return blocks->pdata[0];
}

START_TEST(test_help__text_is_read_as_a_browser_does)
{
    static const struct {
        const char *body;
        RbHelpKind kind;
        const char *markup;
    } table[] = {
        { "<p> One\n  two &amp; <em>three</em>. </p>", RB_HELP_TEXT,
          "One two &amp; <i>three</i>." },
        { "<h2 id=\"x\">A <code>b</code></h2>", RB_HELP_HEADING, "A <tt>b</tt>" },
        { "<pre>a\n  b &lt; c</pre>", RB_HELP_CODE, "a\n  b &lt; c" },
        { "<ol><li><a href=\"p.html#q\">see</a></li></ol>", RB_HELP_ITEM,
          "<a href=\"p.html#q\">see</a>" },
        { "<table><tr><td>1</td><td>2</td></tr></table>", RB_HELP_ROW, "1" },
    };
    for (size_t i = 0; i < G_N_ELEMENTS(table); i++) {
        const RbHelpBlock *block = only_block(table[i].body);
        ck_assert_int_eq(block->kind, table[i].kind);
        ck_assert_str_eq(block->texts->pdata[0], table[i].markup);
    }
}
END_TEST

START_TEST(test_help__what_it_cannot_show_is_an_error)
{
    static const char *const bad[] = {
        "<html><body><img src=\"x\"/></body></html>",
        "<html><body><p>a <blink>b</blink></p></body></html>",
        "<html><body><p>a</body></html>",
        "<html><body><td>a</td></body></html>",
        "<html><body><p><p>a</p></p></body></html>",
        "<html><body>",
        "",
    };
    for (size_t i = 0; i < G_N_ELEMENTS(bad); i++) {
        GError *error = NULL;
        ck_assert_msg(rb_help_page_parse(bad[i], -1, &error) == NULL, "%s", bad[i]);
        ck_assert_ptr_nonnull(error);
        g_clear_error(&error);
    }
}
END_TEST

/* The one help window of a parent. */
static RbHelpWindow *help_window(void)
{
    g_autoptr(GListModel) all = G_LIST_MODEL(g_object_ref(gtk_window_get_toplevels()));
    RbHelpWindow *found = NULL;
    for (guint i = 0; i < g_list_model_get_n_items(all); i++) {
        g_autoptr(GObject) one = g_list_model_get_item(all, i);
        if (RB_IS_HELP_WINDOW(one)) {
            ck_assert_ptr_null(found);
            found = RB_HELP_WINDOW(one);
        }
    }
    ck_assert_ptr_nonnull(found);
    return found;
}

START_TEST(test_help__one_window_a_parent_goes_where_it_is_sent)
{
    rb_display_start();
    GtkWidget *parent = gtk_window_new();
    for (int i = 0; rb_help_pages[i] != NULL; i++) {
        rb_help_window_open(GTK_WINDOW(parent), rb_help_pages[i]);
        ck_assert_str_eq(rb_help_window_get_topic(help_window()), rb_help_pages[i]);
    }
    rb_help_window_open(GTK_WINDOW(parent), "figures.html#break");
    ck_assert_str_eq(rb_help_window_get_topic(help_window()), "figures.html#break");
    gtk_window_destroy(GTK_WINDOW(parent));
}
END_TEST

/* The scrolled part that is not the contents. */
static GtkScrolledWindow *scroll_of(GtkWidget *widget)
{
    GtkScrolledWindow *found = NULL;
    if (GTK_IS_SCROLLED_WINDOW(widget)) {
        GtkWidget *view = gtk_scrolled_window_get_child(GTK_SCROLLED_WINDOW(widget));
        GtkWidget *inner = gtk_widget_get_first_child(view);
        found = GTK_IS_BOX(inner) ? GTK_SCROLLED_WINDOW(widget) : NULL;
    }
    for (GtkWidget *child = gtk_widget_get_first_child(widget);
         found == NULL && child != NULL; child = gtk_widget_get_next_sibling(child)) {
        found = scroll_of(child);
    }
    return found;
}

static bool is_laid_out(void *data)
{
    GtkScrolledWindow *scroll = scroll_of(GTK_WIDGET(help_window()));
    GtkWidget *row = gtk_widget_get_first_child(gtk_scrolled_window_get_child(scroll));
    GtkWidget *last = gtk_widget_get_last_child(gtk_widget_get_first_child(row));
    double x = 0;
    double y = 0;
    gtk_widget_translate_coordinates(last, row, 0, 0, &x, &y);
    const double end = y + gtk_widget_get_height(last);
    *(double *)data =
        gtk_adjustment_get_upper(gtk_scrolled_window_get_vadjustment(scroll)) - end;
    return gtk_widget_get_height(last) > 0 && *(double *)data >= 0;
}

START_TEST(test_help__the_end_of_each_page_can_be_seen)
{
    rb_display_start();
    GtkWidget *parent = gtk_window_new();
    gtk_window_present(GTK_WINDOW(parent));
    for (int i = 0; rb_help_pages[i] != NULL; i++) {
        double room = 0;
        rb_help_window_open(GTK_WINDOW(parent), rb_help_pages[i]);
        ck_assert_msg(rb_display_run_until(is_laid_out, &room), "%s: %f out of sight",
                      rb_help_pages[i], -room);
    }
    gtk_window_destroy(GTK_WINDOW(parent));
}
END_TEST

TCase *rb_case_help(void)
{
    TCase *tcase = rb_case_new("help");
    tcase_add_loop_test(tcase, test_help__each_page_is_whole_in_the_language_of_the_user,
                        0, G_N_ELEMENTS(languages));
    tcase_add_test(tcase, test_help__each_measure_verdict_and_stage_is_defined);
    tcase_add_test(tcase, test_help__whatever_shows_a_figure_leads_to_its_definition);
    tcase_add_test(tcase, test_help__a_part_of_a_widget_leads_where_the_widget_does);
    tcase_add_test(tcase, test_help__what_leaves_the_staff_has_one_caution);
    tcase_add_test(tcase, test_help__text_is_read_as_a_browser_does);
    tcase_add_test(tcase, test_help__what_it_cannot_show_is_an_error);
    tcase_add_test(tcase, test_help__one_window_a_parent_goes_where_it_is_sent);
    tcase_add_test(tcase, test_help__the_end_of_each_page_can_be_seen);
    return tcase;
}
