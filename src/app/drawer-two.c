/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "drawer-two.h"

#include <glib/gi18n.h>

#include "form.h"
#include "help.h"
#include "wrap.h"

struct _RbDrawerTwo {
    GtkWidget parent_instance;
    GtkWidget *box;
    GtkDropDown *me;
    GtkEditable *newcomer;
    GtkCheckButton *blind;
    GtkDropDown *people[2];
    GtkListBox *differences;
    GtkLabel *agreement;
    GtkLabel *empty;

    RbSession *session; /* owned, nullable */
    GPtrArray *listed;  /* owned reference, nullable: the differences the rows point to */
    bool is_filling;
};

G_DEFINE_FINAL_TYPE(RbDrawerTwo, rb_drawer_two, GTK_TYPE_WIDGET)

static const GPtrArray *staff(RbDrawerTwo *two)
{
    const RbNames *names = rb_session_get_names(two->session);
    return names != NULL ? rb_names_people(names) : NULL;
}

static const RbPerson *person_at(RbDrawerTwo *two, GtkDropDown *list)
{
    const GPtrArray *people = staff(two);
    const guint at = gtk_drop_down_get_selected(list);
    return people != NULL && at < people->len ? people->pdata[at] : NULL;
}

RbReviewAsk rb_drawer_two_ask(RbDrawerTwo *two)
{
    const RbPerson *first = person_at(two, two->people[0]);
    const RbPerson *second = person_at(two, two->people[1]);
    RbReviewAsk ask = { .page = RB_REVIEW_TWO };
    ask.first = first != NULL ? first->id : (RbPersonId){ 0 };
    ask.second = second != NULL ? second->id : (RbPersonId){ 0 };
    return ask;
}

static void ask(RbDrawerTwo *two)
{
    if (!two->is_filling && two->session != NULL) {
        const RbReviewAsk wanted = rb_drawer_two_ask(two);
        rb_session_want_review(two->session, &wanted);
    }
}

/* A chart is compared with another one, as soon as there is another. Returns whether that changed
 * what is compared. */
static bool compare_two(RbDrawerTwo *two, const GPtrArray *people)
{
    const guint first = gtk_drop_down_get_selected(two->people[0]);
    if (people->len < 2 || gtk_drop_down_get_selected(two->people[1]) != first) {
        return false;
    }
    gtk_drop_down_set_selected(two->people[1], first == 0 ? 1 : 0);
    return true;
}

/* The staff in the three lists, each keeping its choice. Returns what compare_two() does. */
static bool fill_people(RbDrawerTwo *two)
{
    const GPtrArray *people = staff(two);
    if (people == NULL) {
        return false;
    }
    two->is_filling = true;
    const char *me = rb_session_get_person(two->session);
    GtkDropDown *const lists[] = { two->me, two->people[0], two->people[1] };
    for (guint k = 0; k < G_N_ELEMENTS(lists); k++) {
        GListModel *had = gtk_drop_down_get_model(lists[k]);
        const guint was = gtk_drop_down_get_selected(lists[k]);
        const bool fresh = had == NULL || g_list_model_get_n_items(had) == 0;
        g_autofree char *kept =
            !fresh && was < g_list_model_get_n_items(had)
                ? g_strdup(gtk_string_list_get_string(GTK_STRING_LIST(had), was))
                : NULL;
        g_autoptr(GtkStringList) names = gtk_string_list_new(NULL);
        guint chosen = k == 2 && people->len > 1 ? 1 : 0;
        for (guint i = 0; i < people->len; i++) {
            const RbPerson *person = people->pdata[i];
            gtk_string_list_append(names, person->name);
            if (g_strcmp0(person->name, k == 0 ? me : kept) == 0) {
                chosen = i;
            }
        }
        gtk_drop_down_set_model(lists[k], G_LIST_MODEL(names));
        gtk_drop_down_set_selected(lists[k], chosen);
    }
    const bool moved = compare_two(two, people);
    two->is_filling = false;
    return moved;
}

static void on_settle(GtkButton *button, gpointer data)
{
    RbDrawerTwo *two = data;
    const RbDifference *difference = g_object_get_data(G_OBJECT(button), "rb-difference");
    const char *value = g_object_get_data(G_OBJECT(button), "rb-value");
    const RbReviewAsk wanted = rb_drawer_two_ask(two);
    rb_session_settle(two->session, difference, wanted.first, wanted.second, value);
}

/* "Ana: Cover 3", pressed: both charts say so. */
static GtkWidget *value_button(RbDrawerTwo *two, RbDifference *difference,
                               const RbPerson *person, const char *shown, char *value)
{
    g_autofree char *label = g_strdup_printf("%s: %s", person->name, shown);
    GtkWidget *button = gtk_button_new_with_label(label);
    gtk_widget_add_css_class(button, "plain");
    gtk_widget_set_tooltip_text(button, _("Settle on this: both charts will say so"));
    g_object_set_data(G_OBJECT(button), "rb-difference", difference);
    g_object_set_data(G_OBJECT(button), "rb-value", value);
    g_signal_connect(button, "clicked", G_CALLBACK(on_settle), two);
    return button;
}

static void on_show(GtkButton *button, gpointer data)
{
    const RbDifference *difference = g_object_get_data(G_OBJECT(button), "rb-difference");
    rb_session_open_snap(RB_DRAWER_TWO(data)->session, difference->snap);
}

static GtkWidget *difference_row(RbDrawerTwo *two, RbDifference *difference,
                                 const RbPerson *first, const RbPerson *second)
{
    GtkWidget *row = gtk_box_new(GTK_ORIENTATION_HORIZONTAL, 8);
    g_autofree char *what = g_strdup_printf(_("Snap %d, %s"), difference->number,
                                            _(difference->field->label));
    GtkWidget *show = gtk_button_new_with_label(what);
    gtk_widget_add_css_class(show, "bare");
    gtk_widget_set_hexpand(show, TRUE);
    gtk_widget_set_halign(show, GTK_ALIGN_START);
    gtk_widget_set_tooltip_text(show, _("Show the film of this snap"));
    g_object_set_data(G_OBJECT(show), "rb-difference", difference);
    g_signal_connect(show, "clicked", G_CALLBACK(on_show), two);
    gtk_box_append(GTK_BOX(row), show);
    gtk_box_append(
        GTK_BOX(row),
        value_button(two, difference, first, difference->first_shown, difference->first));
    gtk_box_append(GTK_BOX(row),
                   value_button(two, difference, second, difference->second_shown,
                                difference->second));
    return row;
}

/* The buttons of a row. */
static GtkWidget *buttons_of(GtkListBoxRow *row)
{
    return gtk_list_box_row_get_child(row);
}

typedef struct {
    int row; /* negative: the keyboard is elsewhere */
    int button;
} Place;

static Place find_focus(GtkListBox *list)
{
    GtkListBoxRow *row = NULL;
    for (int i = 0; (row = gtk_list_box_get_row_at_index(list, i)) != NULL; i++) {
        if (!rb_focus_is_inside(GTK_WIDGET(row))) {
            continue;
        }
        int at = 0;
        GtkWidget *button = gtk_widget_get_first_child(buttons_of(row));
        while (button != NULL && !rb_focus_is_inside(button)) {
            button = gtk_widget_get_next_sibling(button);
            at++;
        }
        return (Place){ i, button != NULL ? at : 0 };
    }
    return (Place){ -1, 0 };
}

/* The same place in the rows from `first` on, or the last one. */
static void put_focus(RbDrawerTwo *two, int first, int n, Place place)
{
    if (place.row < 0) {
        return;
    }
    GtkListBoxRow *row =
        gtk_list_box_get_row_at_index(two->differences, first + MIN(place.row, n - 1));
    if (row == NULL || n == 0) {
        gtk_widget_grab_focus(GTK_WIDGET(two->people[1]));
        return;
    }
    GtkWidget *button = gtk_widget_get_first_child(buttons_of(row));
    for (int i = 0; i < place.button; i++) {
        button = gtk_widget_get_next_sibling(button);
    }
    gtk_widget_grab_focus(button);
}

/* New rows come behind the old ones, which go last: a key that comes while its row is gone would be
 * lost. */
static void fill_differences(RbDrawerTwo *two, const GPtrArray *differences, guint n,
                             const RbPerson *first, const RbPerson *second)
{
    g_autoptr(GPtrArray) old = g_ptr_array_new();
    GtkListBoxRow *row = NULL;
    while ((row = gtk_list_box_get_row_at_index(two->differences, (int)old->len)) !=
           NULL) {
        g_ptr_array_add(old, row);
    }
    const Place place = find_focus(two->differences);
    for (guint i = 0; i < n; i++) {
        gtk_list_box_append(two->differences,
                            difference_row(two, differences->pdata[i], first, second));
    }
    put_focus(two, (int)old->len, (int)n, place);
    for (guint i = 0; i < old->len; i++) {
        gtk_list_box_remove(two->differences, old->pdata[i]);
    }
}

/* "Coverage: 34 of 40 the same, kappa 0.78 ± 0.16" a line. */
static void show_agreement(RbDrawerTwo *two, const GArray *agreement)
{
    g_autoptr(GString) text = g_string_new(NULL);
    for (guint i = 0; i < agreement->len; i++) {
        const RbTagAgreement *tag = &g_array_index(agreement, RbTagAgreement, i);
        g_string_append_printf(text, _("%s: %d of %d the same"), _(tag->field->label),
                               tag->same, tag->both);
        if (tag->both < 5) {
            g_string_append(text, _(", too few to say more"));
        } else if (tag->has_kappa) {
            g_string_append_printf(text, _(", kappa %.2f ± %.2f"), tag->kappa,
                                   1.96 * tag->error);
        }
        g_string_append_c(text, '\n');
    }
    gtk_label_set_text(two->agreement, text->str);
}

void rb_drawer_two_show(RbDrawerTwo *two)
{
    g_return_if_fail(RB_IS_DRAWER_TWO(two));
    if (fill_people(two)) {
        ask(two); /* the answer at hand is about one person */
        return;
    }
    const RbReviewAnswer *answer = rb_session_get_review(two->session);
    const RbPerson *first = person_at(two, two->people[0]);
    const RbPerson *second = person_at(two, two->people[1]);
    if (answer == NULL || answer->differences == NULL || first == NULL ||
        second == NULL) {
        fill_differences(two, NULL, 0, NULL, NULL);
        g_clear_pointer(&two->listed, g_ptr_array_unref);
        return;
    }
    two->is_filling = true;
    gtk_check_button_set_active(two->blind, answer->blind);
    two->is_filling = false;
    /* While a chart is blind, a comparison would show the other. */
    const guint n = answer->blind ? 0 : answer->differences->len;
    fill_differences(two, answer->differences, n, first, second);
    g_ptr_array_ref(answer->differences);
    g_clear_pointer(&two->listed, g_ptr_array_unref);
    two->listed = answer->differences;
    gtk_widget_set_visible(GTK_WIDGET(two->empty), n == 0);
    gtk_label_set_text(
        two->empty,
        answer->blind ? _("A blind chart shows nothing of the others: finish it, then "
                          "untick “blind” to compare.")
        : first == second
            ? _("Nobody else has a chart in this library: a second person says "
                "who they are on the left, and tags.")
        : answer->agreement->len == 0
            ? _("These two have tagged no snap of this game in common.")
            : _("These two charts do not differ in this game."));
    if (answer->blind || first == second) {
        gtk_label_set_text(two->agreement, "");
    } else {
        show_agreement(two, answer->agreement);
    }
}

static void work_as_chosen(RbDrawerTwo *two)
{
    const RbPerson *me = person_at(two, two->me);
    const char *now = rb_session_get_person(two->session);
    const char *name = me != NULL ? me->name : now;
    if (!two->is_filling && name != NULL) {
        rb_session_work_as(two->session, name, gtk_check_button_get_active(two->blind));
    }
}

static void on_newcomer(RbDrawerTwo *two)
{
    g_autofree char *name = g_strstrip(g_strdup(gtk_editable_get_text(two->newcomer)));
    if (*name != '\0') {
        rb_session_work_as(two->session, name, gtk_check_button_get_active(two->blind));
        gtk_editable_set_text(two->newcomer, "");
    }
}

void rb_drawer_two_set_session(RbDrawerTwo *two, RbSession *session)
{
    g_set_object(&two->session, session);
}

void rb_drawer_two_focus(RbDrawerTwo *two)
{
    gtk_widget_grab_focus(GTK_WIDGET(two->me));
}

static void name(GtkWidget *widget, const char *words)
{
    gtk_accessible_update_property(GTK_ACCESSIBLE(widget), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   words, -1);
}

static GtkDropDown *make_people(GtkWidget *bar, const char *label, const char *spoken)
{
    GtkWidget *list = gtk_drop_down_new(NULL, NULL);
    g_autoptr(GtkStringList) none = gtk_string_list_new(NULL);
    gtk_drop_down_set_model(GTK_DROP_DOWN(list), G_LIST_MODEL(none));
    rb_drop_down_may_shrink(GTK_DROP_DOWN(list), 12, -1);
    name(list, spoken);
    GtkWidget *pair = gtk_box_new(GTK_ORIENTATION_HORIZONTAL, 8);
    gtk_box_append(GTK_BOX(pair), gtk_label_new(label));
    gtk_box_append(GTK_BOX(pair), list);
    rb_wrap_add(RB_WRAP(bar), pair);
    return GTK_DROP_DOWN(list);
}

static GtkWidget *make_bar(RbDrawerTwo *two)
{
    GtkWidget *bar = rb_wrap_new();
    two->me = make_people(bar, _("I am"), _("Who charts"));
    GtkWidget *newcomer = gtk_entry_new();
    g_object_set(newcomer, "placeholder-text", _("or a new name, Enter"), NULL);
    name(newcomer, _("New member of the staff"));
    two->newcomer = GTK_EDITABLE(newcomer);
    rb_wrap_add(RB_WRAP(bar), newcomer);
    GtkWidget *blind = rb_check_new(_("_Blind"));
    gtk_widget_set_tooltip_text(blind,
                                _("My chart starts empty, and the charts of others "
                                  "are not shown"));
    two->blind = GTK_CHECK_BUTTON(blind);
    rb_wrap_add(RB_WRAP(bar), blind);
    two->people[0] = make_people(bar, _("Compare"), _("First chart"));
    two->people[1] = make_people(bar, _("with"), _("Second chart"));
    g_signal_connect_swapped(two->me, "notify::selected", G_CALLBACK(work_as_chosen),
                             two);
    g_signal_connect_swapped(newcomer, "activate", G_CALLBACK(on_newcomer), two);
    g_signal_connect_swapped(blind, "toggled", G_CALLBACK(work_as_chosen), two);
    for (int i = 0; i < 2; i++) {
        g_signal_connect_swapped(two->people[i], "notify::selected", G_CALLBACK(ask),
                                 two);
    }
    return bar;
}

static GtkWidget *scrolled(GtkWidget *child)
{
    GtkWidget *window = gtk_scrolled_window_new();
    gtk_scrolled_window_set_child(GTK_SCROLLED_WINDOW(window), child);
    gtk_widget_set_vexpand(window, TRUE);
    gtk_widget_set_hexpand(window, TRUE);
    return window;
}

static GtkWidget *make_sides(RbDrawerTwo *two)
{
    GtkWidget *sides = gtk_box_new(GTK_ORIENTATION_HORIZONTAL, 16);
    GtkWidget *list = gtk_list_box_new();
    two->differences = GTK_LIST_BOX(list);
    gtk_list_box_set_selection_mode(two->differences, GTK_SELECTION_NONE);
    name(list, _("Differences"));
    GtkWidget *empty = gtk_label_new(NULL);
    gtk_label_set_wrap(GTK_LABEL(empty), TRUE);
    gtk_label_set_xalign(GTK_LABEL(empty), 0);
    gtk_widget_add_css_class(empty, "second");
    two->empty = GTK_LABEL(empty);
    GtkWidget *left = gtk_box_new(GTK_ORIENTATION_VERTICAL, 6);
    gtk_box_append(GTK_BOX(left), empty);
    GtkWidget *rows = scrolled(list);
    gtk_scrolled_window_set_policy(
        GTK_SCROLLED_WINDOW(rows), GTK_POLICY_NEVER,
        GTK_POLICY_AUTOMATIC); /* both values are always seen */
    gtk_box_append(GTK_BOX(left), rows);
    GtkWidget *agreement = gtk_label_new(NULL);
    g_object_set(agreement, "xalign", 0.0, "yalign", 0.0, "wrap", TRUE, NULL);
    gtk_widget_add_css_class(agreement, "second");
    two->agreement = GTK_LABEL(agreement);
    gtk_box_append(GTK_BOX(sides), left);
    GtkWidget *tags = scrolled(agreement);
    gtk_scrolled_window_set_policy(GTK_SCROLLED_WINDOW(tags), GTK_POLICY_NEVER,
                                   GTK_POLICY_AUTOMATIC);
    gtk_box_append(GTK_BOX(sides), tags);
    return sides;
}

static void rb_drawer_two_dispose(GObject *object)
{
    RbDrawerTwo *two = RB_DRAWER_TWO(object);
    two->is_filling = true; /* what goes away chooses nothing */
    g_clear_pointer(&two->box, gtk_widget_unparent);
    g_clear_pointer(&two->listed, g_ptr_array_unref);
    g_clear_object(&two->session);
    G_OBJECT_CLASS(rb_drawer_two_parent_class)->dispose(object);
}

static void rb_drawer_two_class_init(RbDrawerTwoClass *klass)
{
    G_OBJECT_CLASS(klass)->dispose = rb_drawer_two_dispose;
    gtk_widget_class_set_layout_manager_type(GTK_WIDGET_CLASS(klass),
                                             GTK_TYPE_BIN_LAYOUT);
}

static void rb_drawer_two_init(RbDrawerTwo *two)
{
    two->box = gtk_box_new(GTK_ORIENTATION_VERTICAL, 6);
    gtk_widget_set_parent(two->box, GTK_WIDGET(two));
    gtk_box_append(GTK_BOX(two->box), make_bar(two));
    gtk_box_append(GTK_BOX(two->box), make_sides(two));
    rb_help_mark(GTK_WIDGET(two), "tagging.html#two");
    rb_help_mark(GTK_WIDGET(two->differences), "figures.html#agreement");
    rb_help_mark(GTK_WIDGET(two->agreement), "figures.html#agreement");
}
