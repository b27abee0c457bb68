/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "filter-bar.h"

#include <glib/gi18n.h>

#include "rb/work/filter-text.h"
#include "rb/work/saved-filters.h"

#include "filter-ask.h"
#include "menu-focus.h"

struct _RbFilterBar {
    GtkWidget parent_instance;
    /* template children */
    GtkWidget *box;
    GtkBox *chips;
    GtkMenuButton *add;
    GtkLabel *count;
    GtkLabel *title;

    RbFilterAsk *ask;            /* owned child */
    bool asks_dates;             /* what it asks for: a span of dates, or a name */
    GSimpleActionGroup *actions; /* owned */
    RbNames *names;              /* owned, nullable */
    RbFilter *filter;            /* owned */
};

G_DEFINE_FINAL_TYPE(RbFilterBar, rb_filter_bar, GTK_TYPE_WIDGET)

enum { CHANGED, SAVE, FORGET, N_SIGNALS };
static guint signals[N_SIGNALS];

/* The fields that the menu offers, in the order of the questions a coordinator asks; a span of
 * dates is typed. */
static const RbField offered[] = {
    RB_FIELD_GAME,      RB_FIELD_OPPONENT,      RB_FIELD_DOWN,
    RB_FIELD_DISTANCE,  RB_FIELD_HASH,          RB_FIELD_QUARTER,
    RB_FIELD_CLOSE,     RB_FIELD_YARDS_TO_GOAL, RB_FIELD_PERSONNEL,
    RB_FIELD_FORMATION, RB_FIELD_MOTION,        RB_FIELD_CALL,
    RB_FIELD_CONCEPT,   RB_FIELD_SHELL,         RB_FIELD_SIDE_WORKED,
    RB_FIELD_COVERAGE,  RB_FIELD_FAMILY,        RB_FIELD_TECHNIQUE,
    RB_FIELD_RUSHERS,   RB_FIELD_PRESSURE,      RB_FIELD_QUARTERBACK,
    RB_FIELD_VERDICT,   RB_FIELD_STAGE,         RB_FIELD_RESULT,
    RB_FIELD_OWN_TAG,
};

/* Bands of distance, zones of the field, sizes of a rush: common practice, no source. */
static const struct {
    RbField field;
    int low;
    int high;
    const char *label;
} bands[] = {
    { RB_FIELD_DISTANCE, 1, 2, N_("1 to 2") },
    { RB_FIELD_DISTANCE, 3, 6, N_("3 to 6") },
    { RB_FIELD_DISTANCE, 7, 10, N_("7 to 10") },
    { RB_FIELD_DISTANCE, 11, 99, N_("11 or more") },
    { RB_FIELD_YARDS_TO_GOAL, 1, 10, N_("Goal line to 10") },
    { RB_FIELD_YARDS_TO_GOAL, 11, 20, N_("11 to 20") },
    { RB_FIELD_YARDS_TO_GOAL, 21, 50, N_("21 to midfield") },
    { RB_FIELD_YARDS_TO_GOAL, 51, 90, N_("Own half, past the 10") },
    { RB_FIELD_YARDS_TO_GOAL, 91, 99, N_("Backed up in our 10") },
    { RB_FIELD_RUSHERS, 1, 3, N_("3 or fewer") },
    { RB_FIELD_RUSHERS, 4, 4, N_("4") },
    { RB_FIELD_RUSHERS, 5, 5, N_("5") },
    { RB_FIELD_RUSHERS, 6, 99, N_("6 or more") },
};

static void add_choice(GMenu *menu, const char *label, RbField field, gint64 low,
                       gint64 high)
{
    g_autoptr(GMenuItem) item = g_menu_item_new(label, NULL);
    g_menu_item_set_action_and_target(item, "filter.add", "(ixx)", (gint32)field, low,
                                      high);
    g_menu_append_item(menu, item);
}

static GMenu *field_menu(RbFilterBar *bar, RbField field)
{
    GMenu *menu = g_menu_new();
    for (size_t i = 0; i < G_N_ELEMENTS(bands); i++) {
        if (bands[i].field == field) {
            add_choice(menu, _(bands[i].label), field, bands[i].low, bands[i].high);
        }
    }
    g_autoptr(GArray) values = rb_filter_choices(bar->names, field);
    for (guint i = 0; i < values->len; i++) {
        const int64_t value = g_array_index(values, int64_t, i);
        g_autofree char *label = rb_filter_value_text(bar->names, field, value);
        add_choice(menu, label, field, value, value);
    }
    return menu;
}

static void add_named(GMenu *menu, const char *name, const char *action)
{
    g_autoptr(GMenuItem) item = g_menu_item_new(name, NULL);
    g_menu_item_set_action_and_target(item, action, "s", name);
    g_menu_append_item(menu, item);
}

/* The saved filters, to be taken, kept and forgotten. */
static GMenu *saved_menu(RbFilterBar *bar)
{
    GMenu *menu = g_menu_new();
    g_autoptr(GMenu) use = g_menu_new();
    g_autoptr(GMenu) forget = g_menu_new();
    const GPtrArray *all = rb_names_filters(bar->names);
    for (guint i = 0; i < all->len; i++) {
        const RbSavedFilter *saved = all->pdata[i];
        add_named(use, saved->name, "filter.use");
        add_named(forget, saved->name, "filter.forget");
    }
    g_menu_append_section(menu, NULL, G_MENU_MODEL(use));
    g_menu_append(menu, _("Save this filter as…"), "filter.save");
    if (all->len > 0) {
        g_menu_append_submenu(menu, _("Forget"), G_MENU_MODEL(forget));
    }
    return menu;
}

static void build_menu(RbFilterBar *bar)
{
    g_autoptr(GMenu) menu = g_menu_new();
    if (bar->names != NULL) {
        g_autoptr(GMenu) saved = saved_menu(bar);
        g_menu_append_submenu(menu, _("Saved filters"), G_MENU_MODEL(saved));
        g_menu_append(menu, _("Span of dates…"), "filter.dates");
    }
    for (size_t i = 0; bar->names != NULL && i < G_N_ELEMENTS(offered); i++) {
        g_autoptr(GMenu) values = field_menu(bar, offered[i]);
        if (g_menu_model_get_n_items(G_MENU_MODEL(values)) > 0) {
            g_menu_append_submenu(menu, rb_words_label(&rb_field_words, offered[i]),
                                  G_MENU_MODEL(values));
        }
    }
    gtk_menu_button_set_menu_model(bar->add, G_MENU_MODEL(menu));
}

static GtkWidget *chip(const char *text, RbField field)
{
    g_autofree char *label = g_strdup_printf("%s  ×", text);
    g_autofree char *spoken = g_strdup_printf(_("Remove the filter %s"), text);
    GtkWidget *button = gtk_button_new_with_label(label);
    gtk_widget_add_css_class(button, "plain");
    gtk_widget_set_tooltip_text(button, spoken);
    gtk_actionable_set_action_name(GTK_ACTIONABLE(button), "filter.remove");
    gtk_actionable_set_action_target(GTK_ACTIONABLE(button), "i", (gint32)field);
    gtk_accessible_update_property(GTK_ACCESSIBLE(button), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   spoken, -1);
    return button;
}

static void build_chips(RbFilterBar *bar)
{
    GtkWidget *old = NULL;
    while ((old = gtk_widget_get_first_child(GTK_WIDGET(bar->chips))) != NULL) {
        gtk_box_remove(bar->chips, old);
    }
    for (guint i = 0; bar->names != NULL && i < bar->filter->clauses->len; i++) {
        const RbClause *clause = bar->filter->clauses->pdata[i];
        g_autofree char *text = rb_clause_text(bar->names, clause);
        gtk_box_append(bar->chips, chip(text, clause->field));
    }
}

static void changed(RbFilterBar *bar)
{
    build_chips(bar);
    g_signal_emit(bar, signals[CHANGED], 0);
}

static void on_add(GSimpleAction *action, GVariant *target, gpointer data)
{
    (void)action;
    RbFilterBar *bar = data;
    gint32 field = 0;
    gint64 low = 0;
    gint64 high = 0;
    g_variant_get(target, "(ixx)", &field, &low, &high);
    if (rb_field_is_range((RbField)field)) {
        rb_filter_set_range(bar->filter, (RbField)field, low, high);
    } else {
        rb_filter_add_value(bar->filter, (RbField)field, low);
    }
    changed(bar);
}

static void on_remove(GSimpleAction *action, GVariant *target, gpointer data)
{
    (void)action;
    RbFilterBar *bar = data;
    rb_filter_remove(bar->filter, (RbField)g_variant_get_int32(target));
    changed(bar);
    gtk_widget_grab_focus(GTK_WIDGET(bar->add));
}

static void on_use(GSimpleAction *action, GVariant *target, gpointer data)
{
    (void)action;
    RbFilterBar *bar = data;
    g_autoptr(RbFilter) saved =
        rb_names_parse_filter(bar->names, g_variant_get_string(target, NULL), NULL);
    if (saved != NULL) {
        rb_filter_free(bar->filter);
        bar->filter = g_steal_pointer(&saved);
        changed(bar);
    }
}

static void on_forget(GSimpleAction *action, GVariant *target, gpointer data)
{
    (void)action;
    g_signal_emit(data, signals[FORGET], 0, g_variant_get_string(target, NULL));
}

/* Beside the button that was pressed, not under the middle of the bar. */
static void open_ask(RbFilterBar *bar, const char *question, const char *text)
{
    graphene_rect_t bounds;
    if (gtk_widget_compute_bounds(GTK_WIDGET(bar->add), bar->box, &bounds)) {
        const GdkRectangle at = { (int)bounds.origin.x, (int)bounds.origin.y,
                                  (int)bounds.size.width, (int)bounds.size.height };
        gtk_popover_set_pointing_to(GTK_POPOVER(bar->ask), &at);
    }
    rb_filter_ask_open(bar->ask, question, text);
}

static void on_save(GSimpleAction *action, GVariant *target, gpointer data)
{
    (void)action;
    (void)target;
    RbFilterBar *bar = data;
    bar->asks_dates = false;
    open_ask(bar, _("Name for this filter"), "");
}

/* "2026-09-04..2026-11-20": from the first game to the last. Returns: (transfer full). */
static char *all_dates(const RbNames *names)
{
    const GPtrArray *games = rb_names_games(names);
    const char *first = NULL;
    const char *last = NULL;
    for (guint i = 0; i < games->len; i++) {
        const char *day = ((const RbGame *)games->pdata[i])->played_on;
        first = first == NULL ? day : first;
        last = day != NULL ? day : last;
    }
    return first != NULL ? g_strdup_printf("%s..%s", first, last) : g_strdup("");
}

static void on_dates(GSimpleAction *action, GVariant *target, gpointer data)
{
    (void)action;
    (void)target;
    RbFilterBar *bar = data;
    bar->asks_dates = true;
    g_autofree char *dates = all_dates(bar->names);
    open_ask(bar, _("First and last day, with two dots between"), dates);
}

static void on_asked(RbFilterBar *bar, const char *text)
{
    g_autoptr(GError) error = NULL;
    if (!bar->asks_dates) {
        gtk_popover_popdown(GTK_POPOVER(bar->ask));
        g_signal_emit(bar, signals[SAVE], 0, text);
        return;
    }
    if (!rb_filter_add_text(bar->filter, bar->names, RB_FIELD_DATE, text, &error)) {
        rb_filter_ask_refuse(bar->ask, error->message);
        return;
    }
    gtk_popover_popdown(GTK_POPOVER(bar->ask));
    changed(bar);
    gtk_widget_grab_focus(GTK_WIDGET(bar->add));
}

void rb_filter_bar_set_title(RbFilterBar *bar, const char *title)
{
    g_return_if_fail(RB_IS_FILTER_BAR(bar));
    gtk_label_set_text(bar->title, title);
    gtk_widget_set_visible(GTK_WIDGET(bar->title), title[0] != '\0');
}

void rb_filter_bar_set(RbFilterBar *bar, RbNames *names, const RbFilter *filter,
                       int dropbacks)
{
    g_return_if_fail(RB_IS_FILTER_BAR(bar));
    const bool new_names = names != bar->names;
    if (new_names) {
        rb_names_unref(bar->names);
        bar->names = rb_names_ref(names);
    }
    if (new_names || !rb_filter_equal(filter, bar->filter)) {
        rb_filter_free(bar->filter);
        bar->filter = rb_filter_copy(filter);
        build_chips(bar);
    }
    if (new_names) {
        build_menu(bar);
    }
    g_autofree char *count =
        dropbacks < 0
            ? g_strdup("")
            : g_strdup_printf(ngettext("%d dropback", "%d dropbacks", dropbacks),
                              dropbacks);
    gtk_label_set_text(bar->count, count);
}

RbFilter *rb_filter_bar_dup_filter(RbFilterBar *bar)
{
    g_return_val_if_fail(RB_IS_FILTER_BAR(bar), NULL);
    return rb_filter_copy(bar->filter);
}

static void rb_filter_bar_dispose(GObject *object)
{
    RbFilterBar *bar = RB_FILTER_BAR(object);
    if (bar->ask != NULL) {
        gtk_widget_unparent(GTK_WIDGET(bar->ask));
        bar->ask = NULL;
    }
    gtk_widget_dispose_template(GTK_WIDGET(bar), RB_TYPE_FILTER_BAR);
    g_clear_object(&bar->actions);
    g_clear_pointer(&bar->names, rb_names_unref);
    g_clear_pointer(&bar->filter, rb_filter_free);
    G_OBJECT_CLASS(rb_filter_bar_parent_class)->dispose(object);
}

static void rb_filter_bar_class_init(RbFilterBarClass *klass)
{
    GtkWidgetClass *widget_class = GTK_WIDGET_CLASS(klass);
    G_OBJECT_CLASS(klass)->dispose = rb_filter_bar_dispose;
    gtk_widget_class_set_template_from_resource(widget_class,
                                                "/org/readbreak/Readbreak/filter-bar.ui");
    gtk_widget_class_bind_template_child(widget_class, RbFilterBar, box);
    gtk_widget_class_bind_template_child(widget_class, RbFilterBar, chips);
    gtk_widget_class_bind_template_child(widget_class, RbFilterBar, add);
    gtk_widget_class_bind_template_child(widget_class, RbFilterBar, count);
    gtk_widget_class_bind_template_child(widget_class, RbFilterBar, title);
    signals[SAVE] = g_signal_new("save", RB_TYPE_FILTER_BAR, G_SIGNAL_RUN_LAST, 0, NULL,
                                 NULL, NULL, G_TYPE_NONE, 1, G_TYPE_STRING);
    signals[FORGET] = g_signal_new("forget", RB_TYPE_FILTER_BAR, G_SIGNAL_RUN_LAST, 0,
                                   NULL, NULL, NULL, G_TYPE_NONE, 1, G_TYPE_STRING);
    signals[CHANGED] = g_signal_new("changed", RB_TYPE_FILTER_BAR, G_SIGNAL_RUN_LAST, 0,
                                    NULL, NULL, NULL, G_TYPE_NONE, 0);
}

static void rb_filter_bar_init(RbFilterBar *bar)
{
    static const GActionEntry entries[] = {
        { .name = "add", .activate = on_add, .parameter_type = "(ixx)" },
        { .name = "remove", .activate = on_remove, .parameter_type = "i" },
        { .name = "use", .activate = on_use, .parameter_type = "s" },
        { .name = "forget", .activate = on_forget, .parameter_type = "s" },
        { .name = "save", .activate = on_save },
        { .name = "dates", .activate = on_dates },
    };
    gtk_widget_init_template(GTK_WIDGET(bar));
    rb_menu_gives_keyboard_back(bar->add);
    bar->filter = rb_filter_new();
    bar->ask = rb_filter_ask_new();
    gtk_widget_set_parent(GTK_WIDGET(bar->ask), bar->box);
    g_signal_connect_swapped(bar->ask, "answered", G_CALLBACK(on_asked), bar);
    bar->actions = g_simple_action_group_new();
    g_action_map_add_action_entries(G_ACTION_MAP(bar->actions), entries,
                                    G_N_ELEMENTS(entries), bar);
    gtk_widget_insert_action_group(GTK_WIDGET(bar), "filter",
                                   G_ACTION_GROUP(bar->actions));
}
