/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "cutups-desk.h"

#include <glib/gi18n.h>

#include "cutups-export.h"
#include "cutups-watch.h"
#include "film-view.h"
#include "notice.h"
#include "transport.h"

struct _RbCutupsDesk {
    GtkWidget parent_instance;
    /* template children */
    GtkStack *stack;
    RbNotice *notice;
    GtkDropDown *cutups;
    GtkButton *remove;
    GtkLabel *sums;
    GtkListBox *clips;
    RbFilmView *film;
    RbTransport *transport;
    GtkGrid *editor;
    RbCutupsExport *export;
    /* made here, in the grid */
    GtkDropDown *view;
    GtkDropDown *start;
    GtkDropDown *stop;
    GtkDropDown *freeze;
    GtkSpinButton *speed;
    GtkSpinButton *loops;
    GtkCheckButton *card;
    GtkEditable *note;

    RbSession *session; /* owned, nullable */
    RbDeck *deck;       /* owned */
    RbCutupsWatch *watch;
    bool is_filling; /* what changes is not the person's doing */
    bool want_focus; /* the keyboard is to go to the list as soon as there is one */
    int wanted;      /* clip to be chosen when the list is there again; -1: none */
};

G_DEFINE_FINAL_TYPE(RbCutupsDesk, rb_cutups_desk, GTK_TYPE_WIDGET)

/* What the card of a clip says when it has one. */
#define USUAL_CARD "game,snap,situation,call,coverage,verdict,result,note"

static const RbCutupPlan *plan_of(RbCutupsDesk *desk)
{
    const RbCutupsAnswer *answer =
        desk->session != NULL ? rb_session_get_cutups(desk->session) : NULL;
    return answer != NULL ? answer->plan : NULL;
}

static int chosen(RbCutupsDesk *desk)
{
    GtkListBoxRow *row = gtk_list_box_get_selected_row(desk->clips);
    return row != NULL ? gtk_list_box_row_get_index(row) : -1;
}

static const RbCutupClip *chosen_clip(RbCutupsDesk *desk)
{
    const RbCutupPlan *plan = plan_of(desk);
    const int i = chosen(desk);
    return plan != NULL && i >= 0 && i < (int)plan->clips->len ? plan->clips->pdata[i]
                                                               : NULL;
}

static void choose(RbCutupsDesk *desk, int i, bool focus)
{
    GtkListBoxRow *row = gtk_list_box_get_row_at_index(desk->clips, i);
    if (row != NULL) {
        gtk_list_box_select_row(desk->clips, row);
        if (focus) {
            gtk_widget_grab_focus(GTK_WIDGET(row));
        }
    }
}

/* ---- changes */

static void move(RbCutupsDesk *desk, int from, int to)
{
    const RbCutupPlan *plan = plan_of(desk);
    if (plan == NULL || from < 0 || to < 0 || to >= (int)plan->clips->len || from == to) {
        return;
    }
    RbCutupAsk *ask = rb_cutup_ask_new(RB_CUTUP_ASK_MOVE, plan->cutup->id);
    ask->from = from;
    ask->to = to;
    desk->wanted = to;
    rb_session_change_cutup(desk->session, ask);
}

static void take_out(RbCutupsDesk *desk)
{
    const RbCutupClip *clip = chosen_clip(desk);
    if (clip != NULL) {
        RbCutupAsk *ask = rb_cutup_ask_new(RB_CUTUP_ASK_TAKE_OUT, clip->entry->cutup);
        ask->entry = rb_cutup_entry_copy(clip->entry);
        desk->wanted = chosen(desk);
        rb_session_change_cutup(desk->session, ask);
    }
}

static void on_remove(RbCutupsDesk *desk)
{
    const RbCutupPlan *plan = plan_of(desk);
    if (plan != NULL) {
        rb_session_change_cutup(desk->session,
                                rb_cutup_ask_new(RB_CUTUP_ASK_REMOVE, plan->cutup->id));
    }
}

/* The editor's fields into the clip. */
static void on_edited(RbCutupsDesk *desk)
{
    const RbCutupClip *clip = chosen_clip(desk);
    if (desk->is_filling || clip == NULL) {
        return;
    }
    g_autoptr(RbCutupEntry) entry = rb_cutup_entry_copy(clip->entry);
    RbCut *cut = &entry->cut;
    cut->view = (RbView)gtk_drop_down_get_selected(desk->view);
    cut->start = (RbPoint)(gtk_drop_down_get_selected(desk->start) + RB_POINT_FIRST);
    cut->stop = (RbPoint)(gtk_drop_down_get_selected(desk->stop) + RB_POINT_SET);
    cut->freeze = (RbPoint)gtk_drop_down_get_selected(desk->freeze);
    cut->speed = gtk_spin_button_get_value_as_int(desk->speed);
    cut->loops = gtk_spin_button_get_value_as_int(desk->loops);
    const bool card = gtk_check_button_get_active(desk->card);
    if (card != (cut->card != NULL)) {
        g_free(cut->card);
        cut->card = card ? g_strdup(USUAL_CARD) : NULL;
    }
    const char *note = gtk_editable_get_text(desk->note);
    g_free(entry->note);
    entry->note = note[0] != '\0' ? g_strdup(note) : NULL;
    if (rb_cut_equal(cut, &clip->entry->cut) &&
        g_strcmp0(entry->note, clip->entry->note) == 0) {
        return;
    }
    RbCutupAsk *ask = rb_cutup_ask_new(RB_CUTUP_ASK_SAVE_ENTRY, entry->cutup);
    ask->entry = g_steal_pointer(&entry);
    desk->wanted = chosen(desk);
    rb_session_change_cutup(desk->session, ask);
}

/* ---- showing */

static void fill_editor(RbCutupsDesk *desk)
{
    const RbCutupClip *clip = chosen_clip(desk);
    gtk_widget_set_sensitive(GTK_WIDGET(desk->editor), clip != NULL);
    if (clip == NULL) {
        return;
    }
    const RbCut *cut = &clip->entry->cut;
    desk->is_filling = true;
    gtk_drop_down_set_selected(desk->view, cut->view);
    gtk_drop_down_set_selected(desk->start, cut->start - RB_POINT_FIRST);
    gtk_drop_down_set_selected(desk->stop, cut->stop - RB_POINT_SET);
    gtk_drop_down_set_selected(desk->freeze, cut->freeze);
    gtk_spin_button_set_value(desk->speed, cut->speed);
    gtk_spin_button_set_value(desk->loops, cut->loops);
    gtk_check_button_set_active(desk->card, cut->card != NULL);
    gtk_editable_set_text(desk->note, clip->entry->note != NULL ? clip->entry->note : "");
    desk->is_filling = false;
}

static void on_selected(RbCutupsDesk *desk)
{
    if (!desk->is_filling) {
        rb_cutups_watch_show(desk->watch, chosen(desk));
        fill_editor(desk);
    }
}

static void on_moved(int clip, void *data)
{
    RbCutupsDesk *desk = data;
    desk->is_filling = true; /* the film is there already */
    choose(desk, clip, false);
    desk->is_filling = false;
    fill_editor(desk);
}

static GdkContentProvider *on_drag(GtkDragSource *source, double x, double y,
                                   GtkListBoxRow *row)
{
    (void)source;
    (void)x;
    (void)y;
    return gdk_content_provider_new_typed(G_TYPE_INT, gtk_list_box_row_get_index(row));
}

static gboolean on_drop(GtkDropTarget *target, const GValue *value, double x, double y,
                        GtkListBoxRow *row)
{
    (void)x;
    (void)y;
    RbCutupsDesk *desk = g_object_get_data(G_OBJECT(target), "desk");
    move(desk, g_value_get_int(value), gtk_list_box_row_get_index(row));
    return TRUE;
}

static void add_drag(RbCutupsDesk *desk, GtkWidget *row)
{
    GtkDragSource *source = gtk_drag_source_new();
    g_signal_connect(source, "prepare", G_CALLBACK(on_drag), row);
    gtk_drag_source_set_actions(source, GDK_ACTION_MOVE);
    gtk_widget_add_controller(row, GTK_EVENT_CONTROLLER(source));
    GtkDropTarget *target = gtk_drop_target_new(G_TYPE_INT, GDK_ACTION_MOVE);
    g_object_set_data(G_OBJECT(target), "desk", desk);
    g_signal_connect(target, "drop", G_CALLBACK(on_drop), row);
    gtk_widget_add_controller(row, GTK_EVENT_CONTROLLER(target));
}

static GtkWidget *line(const char *text, const char *css)
{
    GtkWidget *label = gtk_label_new(text);
    gtk_label_set_xalign(GTK_LABEL(label), 0);
    gtk_label_set_ellipsize(GTK_LABEL(label), PANGO_ELLIPSIZE_END);
    gtk_label_set_max_width_chars(GTK_LABEL(label), 40);
    if (css != NULL) {
        gtk_widget_add_css_class(label, css);
    }
    return label;
}

static GtkWidget *row_new(RbCutupsDesk *desk, const RbCutupClip *clip, guint number)
{
    GtkWidget *box = gtk_box_new(GTK_ORIENTATION_VERTICAL, 0);
    g_autofree char *length = rb_time_text(rb_cutup_clip_us(clip, false));
    g_autofree char *title = g_strdup_printf(_("%u. %s"), number + 1, clip->title);
    g_autofree char *second = clip->missing != NULL
                                  ? g_strdup(clip->missing)
                                  : g_strdup_printf(_("%s. %s"), length, clip->subtitle);
    gtk_box_append(GTK_BOX(box), line(title, NULL));
    gtk_box_append(GTK_BOX(box), line(second, "second"));
    gtk_widget_set_margin_start(box, 12);
    gtk_widget_set_margin_end(box, 12);
    gtk_widget_set_margin_top(box, 4);
    gtk_widget_set_margin_bottom(box, 4);
    GtkWidget *row = gtk_list_box_row_new();
    gtk_list_box_row_set_child(GTK_LIST_BOX_ROW(row), box);
    g_autofree char *spoken = g_strdup_printf("%s, %s", title, second);
    gtk_accessible_update_property(GTK_ACCESSIBLE(row), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   spoken, -1);
    add_drag(desk, row);
    return row;
}

static void fill_clips(RbCutupsDesk *desk, const RbCutupPlan *plan)
{
    const int was = desk->wanted >= 0 ? desk->wanted : MAX(chosen(desk), 0);
    const bool focus =
        desk->want_focus || gtk_widget_get_focus_child(GTK_WIDGET(desk->clips)) != NULL;
    GtkListBoxRow *row = NULL;
    int64_t whole = 0;
    desk->is_filling = true;
    while ((row = gtk_list_box_get_row_at_index(desk->clips, 0)) != NULL) {
        gtk_list_box_remove(desk->clips, GTK_WIDGET(row));
    }
    for (guint i = 0; i < plan->clips->len; i++) {
        gtk_list_box_append(desk->clips, row_new(desk, plan->clips->pdata[i], i));
        whole += rb_cutup_clip_us(plan->clips->pdata[i], false);
    }
    desk->wanted = -1;
    desk->want_focus = false;
    choose(desk, MIN(was, (int)plan->clips->len - 1), focus);
    desk->is_filling = false;
    g_autofree char *length = rb_time_text(whole);
    g_autofree char *sums = g_strdup_printf(
        ngettext("%u clip, %s. %s.", "%u clips, %s. %s.", plan->clips->len),
        plan->clips->len, length,
        rb_words_label(&rb_cutup_kind_words, (int)plan->cutup->kind));
    gtk_label_set_text(desk->sums, sums);
}

static void fill_cutups(RbCutupsDesk *desk, const RbCutupsAnswer *answer)
{
    g_autoptr(GtkStringList) names = gtk_string_list_new(NULL);
    guint now = 0;
    for (guint i = 0; i < answer->cutups->len; i++) {
        const RbCutup *cutup = answer->cutups->pdata[i];
        gtk_string_list_append(names, cutup->name);
        now = cutup->id.value == answer->plan->cutup->id.value ? i : now;
    }
    desk->is_filling = true;
    gtk_drop_down_set_model(desk->cutups, G_LIST_MODEL(names));
    gtk_drop_down_set_selected(desk->cutups, now);
    desk->is_filling = false;
}

/* The answer lives until the next one: the export gets a plan of its own. */
static RbCutupPlan *plan_for_export(bool names, void *owner)
{
    RbCutupsDesk *desk = owner;
    const RbCutupsAnswer *answer = rb_session_get_cutups(desk->session);
    return answer != NULL && answer->plan != NULL
               ? rb_cutup_plan_copy(names ? answer->plan : answer->nameless)
               : NULL;
}

static void on_cutups(RbCutupsDesk *desk)
{
    const RbCutupsAnswer *answer = rb_session_get_cutups(desk->session);
    const bool some = answer != NULL && answer->plan != NULL;
    gtk_stack_set_visible_child_name(desk->stack, some ? "list" : "empty");
    rb_cutups_watch_set_plan(desk->watch, some ? answer->plan : NULL);
    if (!some) {
        rb_notice_set(
            desk->notice, _("No cut-ups yet"),
            _("Lists of snaps to watch and to export will be here. On the "
              "Pairings desk, choose a part of the ladder and press c: its snaps "
              "become a cut-up."),
            _("Go to Pairings"), "win.desk::pairings");
        return;
    }
    fill_cutups(desk, answer);
    fill_clips(desk, answer->plan);
    rb_cutups_watch_show(desk->watch, chosen(desk));
    fill_editor(desk);
    rb_cutups_export_set(desk->export, answer->plan->cutup->name, plan_for_export, desk);
}

static void on_cutup_chosen(RbCutupsDesk *desk)
{
    const RbCutupsAnswer *answer =
        desk->session != NULL ? rb_session_get_cutups(desk->session) : NULL;
    const guint i = gtk_drop_down_get_selected(desk->cutups);
    if (!desk->is_filling && answer != NULL && i < answer->cutups->len) {
        desk->wanted = 0;
        rb_session_choose_cutup(desk->session,
                                ((const RbCutup *)answer->cutups->pdata[i])->id);
    }
}

static void on_opened(RbCutupsDesk *desk)
{
    rb_cutups_desk_toggle(desk);
}

static gboolean on_key(GtkEventControllerKey *keys, guint keyval, guint code,
                       GdkModifierType state, RbCutupsDesk *desk)
{
    (void)keys;
    (void)code;
    const bool alt = (state & GDK_ALT_MASK) != 0;
    if (alt && (keyval == GDK_KEY_Up || keyval == GDK_KEY_Down)) {
        move(desk, chosen(desk), chosen(desk) + (keyval == GDK_KEY_Up ? -1 : 1));
        return GDK_EVENT_STOP;
    }
    if (keyval == GDK_KEY_Delete) {
        take_out(desk);
        return GDK_EVENT_STOP;
    }
    if (keyval == GDK_KEY_e && (state & gtk_accelerator_get_default_mod_mask()) == 0) {
        rb_cutups_export_focus(desk->export);
        return GDK_EVENT_STOP;
    }
    return GDK_EVENT_PROPAGATE;
}

static void on_mapped(RbCutupsDesk *desk)
{
    if (desk->session != NULL) {
        rb_session_want_cutups(desk->session);
    }
}

void rb_cutups_desk_set_session(RbCutupsDesk *desk, RbSession *session)
{
    g_return_if_fail(RB_IS_CUTUPS_DESK(desk));
    desk->session = g_object_ref(session);
    g_signal_connect_object(session, "cutups", G_CALLBACK(on_cutups), desk,
                            G_CONNECT_SWAPPED);
    on_cutups(desk);
}

RbDeck *rb_cutups_desk_get_deck(RbCutupsDesk *desk)
{
    return desk->deck;
}

void rb_cutups_desk_go(RbCutupsDesk *desk, int direction)
{
    g_return_if_fail(RB_IS_CUTUPS_DESK(desk));
    choose(desk, chosen(desk) + direction, true);
}

void rb_cutups_desk_toggle(RbCutupsDesk *desk)
{
    g_return_if_fail(RB_IS_CUTUPS_DESK(desk));
    rb_cutups_watch_toggle(desk->watch);
}

void rb_cutups_desk_focus(RbCutupsDesk *desk)
{
    g_return_if_fail(RB_IS_CUTUPS_DESK(desk));
    GtkListBoxRow *row = gtk_list_box_get_selected_row(desk->clips);
    desk->want_focus = true; /* the list is being read again */
    gtk_widget_grab_focus(row != NULL ? GTK_WIDGET(row) : GTK_WIDGET(desk->notice));
}

/* ---- the editor */

static void place(RbCutupsDesk *desk, int number, const char *label, GtkWidget *field)
{
    const int column = number % 2 * 2;
    GtkWidget *words = gtk_label_new(label);
    gtk_label_set_xalign(GTK_LABEL(words), 0);
    gtk_widget_add_css_class(words, "second");
    gtk_grid_attach(desk->editor, words, column, number / 2, 1, 1);
    gtk_grid_attach(desk->editor, field, column + 1, number / 2, 1, 1);
    gtk_accessible_update_property(GTK_ACCESSIBLE(field), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   label, -1);
}

static GtkDropDown *add_words(RbCutupsDesk *desk, int number, const char *label,
                              const RbWords *words, int first)
{
    GtkStringList *list = gtk_string_list_new(NULL);
    for (int i = first; i < words->n; i++) {
        gtk_string_list_append(list, rb_words_label(words, i));
    }
    GtkWidget *field = gtk_drop_down_new(G_LIST_MODEL(list), NULL);
    place(desk, number, label, field);
    g_signal_connect_swapped(field, "notify::selected", G_CALLBACK(on_edited), desk);
    return GTK_DROP_DOWN(field);
}

static GtkSpinButton *add_number(RbCutupsDesk *desk, int number, const char *label,
                                 int low, int high, int step)
{
    GtkWidget *field = gtk_spin_button_new_with_range(low, high, step);
    place(desk, number, label, field);
    g_signal_connect_swapped(field, "value-changed", G_CALLBACK(on_edited), desk);
    return GTK_SPIN_BUTTON(field);
}

static void make_editor(RbCutupsDesk *desk)
{
    desk->view = add_words(desk, 0, _("Angle"), &rb_view_words, 0);
    desk->speed =
        add_number(desk, 1, _("Speed in percent"), RB_SPEED_MIN, RB_SPEED_MAX, 5);
    desk->start = add_words(desk, 2, _("From"), &rb_point_words, RB_POINT_FIRST);
    desk->loops = add_number(desk, 3, _("Times shown"), 1, RB_LOOPS_MAX, 1);
    desk->stop = add_words(desk, 4, _("To"), &rb_point_words, RB_POINT_SET);
    desk->freeze = add_words(desk, 5, _("Stands still at"), &rb_point_words, 0);
    GtkWidget *note = gtk_entry_new();
    desk->note = GTK_EDITABLE(note);
    gtk_widget_set_hexpand(note, TRUE);
    place(desk, 6, _("Note"), note);
    g_signal_connect_swapped(note, "activate", G_CALLBACK(on_edited), desk);
    GtkWidget *card = gtk_check_button_new_with_label(_("Title card"));
    desk->card = GTK_CHECK_BUTTON(card);
    gtk_grid_attach(desk->editor, card, 3, 3, 1, 1);
    g_signal_connect_swapped(card, "toggled", G_CALLBACK(on_edited), desk);
}

static void rb_cutups_desk_dispose(GObject *object)
{
    RbCutupsDesk *desk = RB_CUTUPS_DESK(object);
    /* The lists lose their rows one by one, and nobody is to hear of it. */
    if (desk->clips != NULL) {
        g_signal_handlers_disconnect_by_data(desk->clips, desk);
    }
    if (desk->cutups != NULL) {
        g_signal_handlers_disconnect_by_data(desk->cutups, desk);
    }
    g_clear_pointer(&desk->watch, rb_cutups_watch_free);
    gtk_widget_dispose_template(GTK_WIDGET(desk), RB_TYPE_CUTUPS_DESK);
    desk->clips = NULL;
    desk->cutups = NULL;
    g_clear_object(&desk->deck);
    g_clear_object(&desk->session);
    G_OBJECT_CLASS(rb_cutups_desk_parent_class)->dispose(object);
}

static void rb_cutups_desk_class_init(RbCutupsDeskClass *klass)
{
    GtkWidgetClass *widget_class = GTK_WIDGET_CLASS(klass);
    G_OBJECT_CLASS(klass)->dispose = rb_cutups_desk_dispose;
    g_type_ensure(RB_TYPE_NOTICE);
    g_type_ensure(RB_TYPE_FILM_VIEW);
    g_type_ensure(RB_TYPE_TRANSPORT);
    g_type_ensure(RB_TYPE_CUTUPS_EXPORT);
    gtk_widget_class_set_template_from_resource(
        widget_class, "/org/readbreak/Readbreak/cutups-desk.ui");
    gtk_widget_class_bind_template_child(widget_class, RbCutupsDesk, stack);
    gtk_widget_class_bind_template_child(widget_class, RbCutupsDesk, notice);
    gtk_widget_class_bind_template_child(widget_class, RbCutupsDesk, cutups);
    gtk_widget_class_bind_template_child(widget_class, RbCutupsDesk, remove);
    gtk_widget_class_bind_template_child(widget_class, RbCutupsDesk, sums);
    gtk_widget_class_bind_template_child(widget_class, RbCutupsDesk, clips);
    gtk_widget_class_bind_template_child(widget_class, RbCutupsDesk, film);
    gtk_widget_class_bind_template_child(widget_class, RbCutupsDesk, transport);
    gtk_widget_class_bind_template_child(widget_class, RbCutupsDesk, editor);
    gtk_widget_class_bind_template_child(widget_class, RbCutupsDesk, export);
}

static void rb_cutups_desk_init(RbCutupsDesk *desk)
{
    gtk_widget_init_template(GTK_WIDGET(desk));
    desk->wanted = -1;
    desk->deck = rb_deck_new();
    desk->watch = rb_cutups_watch_new(desk->deck, on_moved, desk);
    rb_film_view_set_deck(desk->film, desk->deck);
    rb_transport_set_deck(desk->transport, desk->deck);
    make_editor(desk);
    g_signal_connect(desk, "map", G_CALLBACK(on_mapped), NULL);
    g_signal_connect_swapped(desk->clips, "row-selected", G_CALLBACK(on_selected), desk);
    g_signal_connect_swapped(desk->clips, "row-activated", G_CALLBACK(on_opened), desk);
    gtk_list_box_set_activate_on_single_click(desk->clips, FALSE);
    g_signal_connect_swapped(desk->cutups, "notify::selected",
                             G_CALLBACK(on_cutup_chosen), desk);
    g_signal_connect_swapped(desk->remove, "clicked", G_CALLBACK(on_remove), desk);
    GtkEventController *keys = gtk_event_controller_key_new();
    g_signal_connect(keys, "key-pressed", G_CALLBACK(on_key), desk);
    gtk_widget_add_controller(GTK_WIDGET(desk->clips), keys);
}
