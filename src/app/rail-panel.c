/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rail-panel.h"

#include <glib/gi18n.h>
#include <string.h>

#include "rail-errands.h"
#include "rail-list.h"
#include "rail-memory.h"

/* Keys pressed while an answer is on its way to the disk. */
enum { WAITING_MAX = 16 };
/* The least height of the answers, in pixels. */
enum { LIST_PX = 90 };

struct _RbRailPanel {
    GtkWidget parent_instance;
    GtkWidget *box;     /* owned: the only child */
    GtkLabel *title;    /* the question */
    GtkLabel *pass;     /* which pass it belongs to */
    GtkLabel *typed;    /* what was typed to narrow or to answer */
    RbRailList *list;   /* the choices */
    GtkLabel *hint;     /* what the keys do here */
    GtkWidget *switch_; /* picture only, or both passes */

    RbSession *session;   /* owned, nullable */
    RbDeck *deck;         /* owned, nullable */
    RbRail *rail;         /* owned */
    RbRailMemory memory;  /* what was seen before */
    RbSnapId snap;        /* of the question */
    RbQuestion *question; /* owned, nullable: nothing is asked */
    GString *text;        /* owned: typed so far; starts with "/" when it narrows */

    bool busy;       /* an answer is not on disk yet */
    GPtrArray *sent; /* owned, nullable: field, value: what is on its way */
    GArray *waiting; /* owned, of guint: keys to be taken afterwards */
};

G_DEFINE_FINAL_TYPE(RbRailPanel, rb_rail_panel, GTK_TYPE_WIDGET)

enum { FINISHED, N_SIGNALS };
static guint signals[N_SIGNALS];

static bool is_narrowing(const RbRailPanel *panel)
{
    return panel->text->len > 0 && panel->text->str[0] == '/';
}

/* The options that stand, the first one being Enter's. Returns: (transfer full). */
static GPtrArray *standing(RbRailPanel *panel)
{
    return rb_question_narrow(panel->question,
                              is_narrowing(panel) ? panel->text->str + 1 : "");
}

/* What was typed as a value rather than a name. */
static const char *typed_value(const RbRailPanel *panel)
{
    return panel->question != NULL && panel->question->typed != NULL &&
                   !is_narrowing(panel) && panel->text->len > 0
               ? panel->text->str
               : NULL;
}

/* Whether a hit on the quarterback is among the answers. */
static bool asks_contact(const RbQuestion *question)
{
    for (guint i = 0; i < question->options->len; i++) {
        const RbOption *option = question->options->pdata[i];
        for (guint j = 0; j + 1 < option->tags->len; j += 2) {
            if (g_str_equal(option->tags->pdata[j], "contact") &&
                g_str_equal(option->tags->pdata[j + 1], "hit")) {
                return true;
            }
        }
    }
    return false;
}

static const char *hint_of(RbRailPanel *panel)
{
    if (panel->question == NULL) {
        return _("Enter: next dropback. Backspace: last question.");
    }
    if (asks_contact(panel->question)) {
        return _("A hit that may have hurt a player goes to the medical staff.");
    }
    if (panel->question->from_film && rb_deck_get_frame(panel->deck) >= 0) {
        return _("Enter takes the frame shown; or type seconds.");
    }
    if (panel->question->typed != NULL) {
        return _("Enter accepts, or type it. Tab leaves it open.");
    }
    if (panel->question->can_split) {
        return _("Enter accepts, ; sides differ, / finds, Tab leaves.");
    }
    return _("Enter accepts, / finds, Tab leaves it open.");
}

static const char *pass_name(RbAskPass pass)
{
    switch (pass) {
    case RB_ASK_FACTS:
        return _("Facts");
    case RB_ASK_PICTURE:
        return _("Picture");
    case RB_ASK_DECISION:
        return _("Decision");
    }
    return "";
}

static void show_question(RbRailPanel *panel)
{
    const RbQuestion *question = panel->question;
    const RbSheet *sheet = rb_session_get_sheet(panel->session);
    g_autofree char *title = question != NULL ? g_strdup_printf(_("%s?"), question->label)
                             : sheet == NULL  ? g_strdup("")
                                              : g_strdup(_("Nothing left to ask"));
    gtk_label_set_text(panel->title, title);
    gtk_label_set_text(panel->pass, question != NULL ? pass_name(question->pass) : "");
    gtk_label_set_text(panel->typed, panel->text->str);
    gtk_widget_set_visible(GTK_WIDGET(panel->typed), panel->text->len > 0);
    gtk_label_set_text(panel->hint, hint_of(panel));
    g_autoptr(GPtrArray) options = question != NULL ? standing(panel) : g_ptr_array_new();
    rb_rail_list_set_options(panel->list, options, question != NULL && question->follows);
    /* With nothing to ask, the room is the verdict's reasons'. */
    gtk_widget_set_size_request(GTK_WIDGET(panel->list), -1,
                                question != NULL ? LIST_PX : 0);
    gtk_accessible_update_property(GTK_ACCESSIBLE(panel), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   title, -1);
}

static void ask(RbRailPanel *panel)
{
    const RbSheet *sheet = rb_session_get_sheet(panel->session);
    g_clear_pointer(&panel->question, rb_question_free);
    g_string_truncate(panel->text, 0);
    if (sheet != NULL) {
        const GPtrArray *snaps = rb_session_get_snaps(panel->session);
        const RbRailView view = {
            .names = sheet->names,
            .snap = sheet->snap,
            .chart = sheet->chart,
            .clips = sheet->clips,
            .last_snap = rb_rail_memory_snap_before(snaps, sheet->snap),
            .last_chart = rb_rail_memory_chart_before(&panel->memory, snaps, sheet->snap),
            .likely = panel->memory.likely
        };
        panel->question = rb_rail_ask(panel->rail, &view);
    }
    show_question(panel);
}

static void send(RbRailPanel *panel, GPtrArray *tags)
{
    panel->busy = true;
    g_string_truncate(panel->text, 0);
    panel->sent = g_ptr_array_ref(tags);
    rb_rail_answered(panel->rail, panel->question);
    rb_session_change(panel->session, rb_errand_tags,
                      rb_tags_ask_new(rb_session_get_snap(panel->session), tags),
                      rb_tags_ask_free);
}

/* The value as it will be stored, by which it is known when it has arrived. Returns: (transfer full)
 * (nullable): NULL when it was refused, which the hint says. */
static char *read_value(RbRailPanel *panel, const char *value)
{
    const RbSheet *sheet = rb_session_get_sheet(panel->session);
    const RbTaggable *field = panel->question->typed;
    g_autoptr(RbSnap) snap = rb_snap_copy(sheet->snap);
    g_autoptr(RbChart) chart = rb_chart_copy(sheet->chart);
    g_autoptr(GError) error = NULL;
    if (rb_taggable_set(field, sheet->names, snap, chart, value, &error)) {
        return rb_taggable_get(field, sheet->names, snap, chart);
    }
    gtk_label_set_text(panel->hint, error->message); /* where the work is */
    return NULL;
}

static void send_value(RbRailPanel *panel, const char *value)
{
    char *stored = read_value(panel, value);
    if (stored != NULL) {
        g_autoptr(GPtrArray) tags = g_ptr_array_new_with_free_func(g_free);
        g_ptr_array_add(tags, g_strdup(panel->question->typed->token));
        g_ptr_array_add(tags, stored);
        send(panel, tags);
    }
}

static void accept_first(RbRailPanel *panel)
{
    g_autoptr(GPtrArray) options = standing(panel);
    const int chosen = rb_rail_list_get_chosen(panel->list);
    if (options->len > 0) {
        const RbOption *option = options->pdata[CLAMP(chosen, 0, (int)options->len - 1)];
        send(panel, option->tags);
    }
}

static void accept(RbRailPanel *panel)
{
    if (panel->question == NULL) {
        g_signal_emit(panel, signals[FINISHED], 0);
        return;
    }
    const char *value = typed_value(panel);
    g_autofree char *shown = value == NULL && panel->question->from_film
                                 ? rb_deck_dup_seconds(panel->deck)
                                 : NULL;
    if (value != NULL || shown != NULL) {
        send_value(panel, value != NULL ? value : shown);
    } else {
        accept_first(panel);
    }
}

/* With nothing left to ask, Tab goes on to the next control. */
static bool skip(RbRailPanel *panel)
{
    if (panel->question == NULL) {
        return false;
    }
    rb_rail_skip(panel->rail, panel->question);
    ask(panel);
    return true;
}

static void back(RbRailPanel *panel)
{
    if (panel->text->len > 0) {
        const char *end =
            g_utf8_find_prev_char(panel->text->str, panel->text->str + panel->text->len);
        g_string_truncate(panel->text, end != NULL ? (gsize)(end - panel->text->str) : 0);
        show_question(panel);
    } else if (rb_rail_back(panel->rail)) {
        ask(panel);
    }
}

static void add_text(RbRailPanel *panel, gunichar c)
{
    g_string_append_unichar(panel->text, c);
    show_question(panel);
}

/* A letter or digit. Returns whether the rail had a use for it. */
static bool take_character(RbRailPanel *panel, gunichar c)
{
    const RbQuestion *question = panel->question;
    if (question == NULL) {
        return false;
    }
    if (is_narrowing(panel) || (panel->text->len == 0 && c == '/')) {
        add_text(panel, c);
        return true;
    }
    const RbOption *option =
        panel->text->len == 0 ? rb_question_find_key(question, c) : NULL;
    if (option != NULL) {
        send(panel, option->tags);
        return true;
    }
    if (c == ';' && question->can_split) {
        rb_rail_split(panel->rail, question);
        ask(panel);
        return true;
    }
    if (question->typed != NULL && (g_unichar_isdigit(c) || c == '.' || c == ':' ||
                                    c == '-' || panel->text->len > 0)) {
        add_text(panel, c);
        return true;
    }
    return false;
}

/* One key. Returns whether it was the rail's. */
static bool take_key(RbRailPanel *panel, guint keyval)
{
    switch (keyval) {
    case GDK_KEY_Return:
    case GDK_KEY_KP_Enter:
        accept(panel);
        return true;
    case GDK_KEY_Tab:
        return skip(panel);
    case GDK_KEY_BackSpace:
        back(panel);
        return true;
    case GDK_KEY_Up:
    case GDK_KEY_Down:
        rb_rail_list_move(panel->list, keyval == GDK_KEY_Up ? -1 : 1);
        return true;
    case GDK_KEY_Escape:
        if (panel->text->len > 0) {
            g_string_truncate(panel->text, 0);
            show_question(panel);
            return true;
        }
        return false;
    default:
        break;
    }
    const gunichar c = gdk_keyval_to_unicode(keyval);
    return c > ' ' && take_character(panel, c);
}

static bool is_rail_key(guint keyval)
{
    return keyval == GDK_KEY_Return || keyval == GDK_KEY_KP_Enter ||
           keyval == GDK_KEY_Tab || keyval == GDK_KEY_BackSpace ||
           (gdk_keyval_to_unicode(keyval) > ' ' &&
            strchr("jkl", (int)gdk_keyval_to_unicode(keyval)) == NULL);
}

static gboolean on_key(RbRailPanel *panel, guint keyval, guint keycode,
                       GdkModifierType state)
{
    (void)keycode;
    if ((state & (GDK_CONTROL_MASK | GDK_ALT_MASK)) != 0 || panel->session == NULL) {
        return FALSE;
    }
    if (!panel->busy) {
        return take_key(panel, keyval);
    }
    if (is_rail_key(keyval) && panel->waiting->len < WAITING_MAX) {
        g_array_append_val(panel->waiting, keyval);
        return TRUE;
    }
    return FALSE;
}

/* Whether the answer on its way is what the sheet holds. */
static bool has_arrived(RbRailPanel *panel, const RbSheet *sheet)
{
    for (guint i = 0; panel->sent != NULL && i + 1 < panel->sent->len; i += 2) {
        const RbTaggable *field = rb_taggable_parse(panel->sent->pdata[i], NULL);
        g_autofree char *value =
            rb_taggable_get(field, sheet->names, sheet->snap, sheet->chart);
        if (strcmp(value, panel->sent->pdata[i + 1]) != 0) {
            return false;
        }
    }
    return true;
}

static void take_waiting(RbRailPanel *panel)
{
    while (!panel->busy && panel->waiting->len > 0) {
        const guint keyval = g_array_index(panel->waiting, guint, 0);
        g_array_remove_index(panel->waiting, 0);
        take_key(panel, keyval);
    }
}

static void on_sheet(RbRailPanel *panel)
{
    const RbSheet *sheet = rb_session_get_sheet(panel->session);
    const bool moved = sheet != NULL && sheet->snap->id.value != panel->snap.value;
    if (sheet != NULL && panel->busy && !moved && !has_arrived(panel, sheet) &&
        rb_session_is_changing(panel->session)) {
        return; /* as it was before the answer */
    }
    panel->busy = false;
    g_clear_pointer(&panel->sent, g_ptr_array_unref);
    panel->snap = sheet != NULL ? sheet->snap->id : (RbSnapId){ 0 };
    if (sheet != NULL) {
        rb_rail_memory_see(&panel->memory, sheet);
    }
    if (sheet != NULL && panel->question != NULL && !moved && panel->text->len > 0) {
        return; /* somebody is typing; the same snap was read again */
    }
    ask(panel);
    if (sheet != NULL && panel->question == NULL) {
        rb_rail_memory_learn(&panel->memory, rb_session_get_snaps(panel->session), sheet);
    }
    take_waiting(panel);
}

static void on_likely(RbRailPanel *panel, RbRailSeed *seed)
{
    rb_rail_memory_take_likely(&panel->memory, g_steal_pointer(&seed->likely));
    rb_rail_set_required(panel->rail, seed->required);
    if (!panel->busy && panel->text->len == 0) {
        ask(panel);
    }
}

static void on_state(RbRailPanel *panel)
{
    if (rb_session_get_state(panel->session) == RB_SESSION_OPEN) {
        rb_rail_memory_forget(&panel->memory);
        rb_session_ask_rail_seed(panel->session);
    }
}

static void on_switch(RbRailPanel *panel)
{
    const bool all = gtk_check_button_get_active(GTK_CHECK_BUTTON(panel->switch_));
    rb_rail_set_pass(panel->rail, all ? RB_ASK_PICTURE : RB_ASK_DECISION);
    if (!panel->busy) {
        ask(panel);
    }
    gtk_widget_grab_focus(GTK_WIDGET(panel));
}

static void on_row(RbRailPanel *panel, int index)
{
    if (!panel->busy && panel->question != NULL) {
        g_autoptr(GPtrArray) options = standing(panel);
        if (index < (int)options->len) {
            send(panel, ((const RbOption *)options->pdata[index])->tags);
        }
    }
}

static void on_pressed(RbRailPanel *panel)
{
    gtk_widget_grab_focus(GTK_WIDGET(panel));
}

void rb_rail_panel_set_session(RbRailPanel *panel, RbSession *session, RbDeck *deck)
{
    g_return_if_fail(RB_IS_RAIL_PANEL(panel));
    g_return_if_fail(panel->session == NULL);
    panel->session = g_object_ref(session);
    panel->deck = g_object_ref(deck);
    g_signal_connect_object(session, "sheet", G_CALLBACK(on_sheet), panel,
                            G_CONNECT_SWAPPED);
    g_signal_connect_object(session, "state", G_CALLBACK(on_state), panel,
                            G_CONNECT_SWAPPED);
    g_signal_connect_object(session, "rail-seed", G_CALLBACK(on_likely), panel,
                            G_CONNECT_SWAPPED);
}

static GtkLabel *add_label(GtkWidget *box, const char *style)
{
    GtkWidget *label = gtk_label_new("");
    gtk_label_set_xalign(GTK_LABEL(label), 0);
    gtk_label_set_wrap(GTK_LABEL(label), TRUE);
    gtk_widget_add_css_class(label, style);
    gtk_box_append(GTK_BOX(box), label);
    return GTK_LABEL(label);
}

static void rb_rail_panel_dispose(GObject *object)
{
    RbRailPanel *panel = RB_RAIL_PANEL(object);
    g_clear_pointer(&panel->box, gtk_widget_unparent);
    g_clear_object(&panel->session);
    g_clear_object(&panel->deck);
    G_OBJECT_CLASS(rb_rail_panel_parent_class)->dispose(object);
}

static void rb_rail_panel_finalize(GObject *object)
{
    RbRailPanel *panel = RB_RAIL_PANEL(object);
    rb_question_free(panel->question);
    rb_rail_free(panel->rail);
    rb_rail_memory_clear(&panel->memory);
    g_string_free(panel->text, TRUE);
    g_array_unref(panel->waiting);
    g_clear_pointer(&panel->sent, g_ptr_array_unref);
    G_OBJECT_CLASS(rb_rail_panel_parent_class)->finalize(object);
}

static void rb_rail_panel_class_init(RbRailPanelClass *klass)
{
    GtkWidgetClass *widget_class = GTK_WIDGET_CLASS(klass);
    G_OBJECT_CLASS(klass)->dispose = rb_rail_panel_dispose;
    G_OBJECT_CLASS(klass)->finalize = rb_rail_panel_finalize;
    gtk_widget_class_set_layout_manager_type(widget_class, GTK_TYPE_BIN_LAYOUT);
    gtk_widget_class_set_css_name(widget_class, "railpanel");
    gtk_widget_class_set_accessible_role(widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
    signals[FINISHED] = g_signal_new("finished", RB_TYPE_RAIL_PANEL, G_SIGNAL_RUN_LAST, 0,
                                     NULL, NULL, NULL, G_TYPE_NONE, 0);
}

static void rb_rail_panel_init(RbRailPanel *panel)
{
    panel->rail = rb_rail_new(NULL);
    panel->text = g_string_new(NULL);
    panel->waiting = g_array_new(FALSE, FALSE, sizeof(guint));
    rb_rail_memory_init(&panel->memory);
    panel->box = gtk_box_new(GTK_ORIENTATION_VERTICAL, 2);
    gtk_widget_add_css_class(panel->box, "rail");
    gtk_widget_set_parent(panel->box, GTK_WIDGET(panel));
    GtkWidget *head = gtk_box_new(GTK_ORIENTATION_HORIZONTAL, 8);
    gtk_widget_add_css_class(head, "rail-head");
    gtk_box_append(GTK_BOX(panel->box), head);
    panel->title = add_label(head, "rail-question");
    gtk_widget_set_hexpand(GTK_WIDGET(panel->title), TRUE);
    panel->pass = add_label(head, "small");
    panel->typed = add_label(panel->box, "rail-typed");
    panel->list = rb_rail_list_new();
    gtk_widget_set_vexpand(GTK_WIDGET(panel->list), TRUE);
    gtk_box_append(GTK_BOX(panel->box), GTK_WIDGET(panel->list));
    g_signal_connect_swapped(panel->list, "chosen", G_CALLBACK(on_row), panel);
    panel->hint = add_label(panel->box, "small");
    panel->switch_ = gtk_check_button_new_with_label(_("Picture only"));
    gtk_widget_add_css_class(panel->switch_, "small");
    gtk_widget_set_focusable(panel->switch_, TRUE);
    gtk_widget_set_tooltip_text(panel->switch_,
                                _("Ask for the picture now, for the decision later"));
    gtk_box_append(GTK_BOX(head), panel->switch_);
    g_signal_connect_swapped(panel->switch_, "toggled", G_CALLBACK(on_switch), panel);
    gtk_widget_set_focusable(GTK_WIDGET(panel), TRUE);
    GtkEventController *keys = gtk_event_controller_key_new();
    g_signal_connect_swapped(keys, "key-pressed", G_CALLBACK(on_key), panel);
    gtk_widget_add_controller(GTK_WIDGET(panel), keys);
    GtkGesture *press = gtk_gesture_click_new();
    g_signal_connect_swapped(press, "pressed", G_CALLBACK(on_pressed), panel);
    gtk_widget_add_controller(GTK_WIDGET(panel), GTK_EVENT_CONTROLLER(press));
}
