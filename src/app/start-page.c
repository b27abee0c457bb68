/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "start-page.h"

#include <glib/gi18n.h>

enum { DOOR_CHARS = 24, TEXT_CHARS = 68 };

struct _RbStartPage {
    GtkWidget parent_instance;
    GtkWidget *box;
    GtkLabel *trouble;
    GtkWidget *doors;
    GtkWidget *last; /* the door of the library used last */
    GtkLabel *last_name;
};

G_DEFINE_FINAL_TYPE(RbStartPage, rb_start_page, GTK_TYPE_WIDGET)

static GtkLabel *add_text(GtkWidget *box, const char *text, const char *class, int chars)
{
    GtkLabel *label = GTK_LABEL(gtk_label_new(text));
    gtk_label_set_wrap(label, TRUE);
    gtk_label_set_xalign(label, 0);
    gtk_label_set_max_width_chars(label, chars);
    gtk_widget_add_css_class(GTK_WIDGET(label), class);
    gtk_box_append(GTK_BOX(box), GTK_WIDGET(label));
    return label;
}

/* Returns the label of what is behind it. */
static GtkLabel *add_door(RbStartPage *page, const char *title, const char *behind,
                          const char *action)
{
    GtkWidget *door = gtk_button_new();
    GtkWidget *box = gtk_box_new(GTK_ORIENTATION_VERTICAL, 4);
    g_autofree char *said = g_strdup_printf("%s: %s", title, behind);
    add_text(box, title, "section", DOOR_CHARS);
    GtkLabel *label = add_text(box, behind, "second", DOOR_CHARS);
    gtk_button_set_child(GTK_BUTTON(door), box);
    gtk_widget_add_css_class(door, "plain");
    gtk_widget_add_css_class(door, "door");
    gtk_widget_set_hexpand(door, TRUE);
    gtk_actionable_set_action_name(GTK_ACTIONABLE(door), action);
    gtk_accessible_update_property(GTK_ACCESSIBLE(door), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   said, -1);
    gtk_box_append(GTK_BOX(page->doors), door);
    return label;
}

static void add_doors(RbStartPage *page)
{
    page->last_name = add_door(page, _("Go on"), "", "win.open-last");
    page->last = gtk_widget_get_first_child(page->doors);
    gtk_widget_set_visible(page->last, FALSE);
    add_door(page, _("Make a library"),
             _("For your season. Add a game, load its film, and tag."),
             "win.new-library");
    add_door(page, _("Open the demo season"),
             _("An invented team with film of one game. Look around; nothing can break."),
             "app.open-demo");
    add_door(page, _("Open a library"), _("One that you or your staff made."),
             "win.open-library");
}

static void add_first_game(RbStartPage *page)
{
    GtkWidget *link = gtk_button_new_with_label(_("Your first game, in ten minutes"));
    gtk_widget_add_css_class(link, "bare");
    gtk_widget_add_css_class(link, "link");
    gtk_widget_set_halign(link, GTK_ALIGN_START);
    gtk_actionable_set_action_target(GTK_ACTIONABLE(link), "s", "first-game.html");
    gtk_actionable_set_action_name(GTK_ACTIONABLE(link), "win.help-on");
    gtk_box_append(GTK_BOX(page->box), link);
}

void rb_start_page_set_trouble(RbStartPage *page, const char *sentence)
{
    g_return_if_fail(RB_IS_START_PAGE(page));
    gtk_label_set_text(page->trouble, sentence != NULL ? sentence : "");
    gtk_widget_set_visible(GTK_WIDGET(page->trouble), sentence != NULL);
}

void rb_start_page_set_last(RbStartPage *page, const char *path)
{
    g_return_if_fail(RB_IS_START_PAGE(page));
    gtk_widget_set_visible(page->last, path != NULL);
    if (path != NULL) {
        g_autofree char *name = g_filename_display_basename(path);
        g_autofree char *said = g_strdup_printf(_("Go on: %s"), name);
        gtk_label_set_text(page->last_name, name);
        gtk_widget_set_tooltip_text(page->last, path);
        gtk_accessible_update_property(GTK_ACCESSIBLE(page->last),
                                       GTK_ACCESSIBLE_PROPERTY_LABEL, said, -1);
        rb_start_page_focus(page);
    }
}

void rb_start_page_focus(RbStartPage *page)
{
    g_return_if_fail(RB_IS_START_PAGE(page));
    GtkWidget *door = page->last;
    gtk_widget_grab_focus(
        gtk_widget_get_visible(door) ? door : gtk_widget_get_next_sibling(door));
}

static void rb_start_page_dispose(GObject *object)
{
    RbStartPage *page = RB_START_PAGE(object);
    g_clear_pointer(&page->box, gtk_widget_unparent);
    G_OBJECT_CLASS(rb_start_page_parent_class)->dispose(object);
}

static void rb_start_page_class_init(RbStartPageClass *klass)
{
    G_OBJECT_CLASS(klass)->dispose = rb_start_page_dispose;
    gtk_widget_class_set_layout_manager_type(GTK_WIDGET_CLASS(klass),
                                             GTK_TYPE_BIN_LAYOUT);
}

static void rb_start_page_init(RbStartPage *page)
{
    page->box = gtk_box_new(GTK_ORIENTATION_VERTICAL, 10);
    page->doors = gtk_box_new(GTK_ORIENTATION_HORIZONTAL, 12);
    gtk_widget_set_parent(page->box, GTK_WIDGET(page));
    gtk_widget_set_halign(page->box, GTK_ALIGN_CENTER);
    gtk_widget_set_valign(page->box, GTK_ALIGN_CENTER);
    gtk_widget_set_margin_start(page->box, 24);
    gtk_widget_set_margin_end(page->box, 24);
    page->trouble = add_text(page->box, "", "trouble", TEXT_CHARS);
    gtk_widget_set_visible(GTK_WIDGET(page->trouble), FALSE);
    add_text(page->box, _("What works against which coverage, and where it breaks"),
             "desk-title", TEXT_CHARS);
    add_text(page->box,
             _("Readbreak turns game film into answers about your passing game. You tag "
               "each dropback by keyboard, and it judges the quarterback’s decision by "
               "your own playbook, with its reasons. Then it shows how often each "
               "concept works against each coverage, and at which read the others stop: "
               "every figure opens the snaps behind it."),
             "start-text", TEXT_CHARS);
    gtk_widget_set_margin_top(page->doors, 12);
    gtk_box_set_homogeneous(GTK_BOX(page->doors), TRUE);
    gtk_box_append(GTK_BOX(page->box), page->doors);
    add_doors(page);
    add_first_game(page);
}
