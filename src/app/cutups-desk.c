/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "cutups-desk.h"

#include <glib/gi18n.h>

#include "cutups-clips.h"
#include "cutups-editor.h"
#include "cutups-export.h"
#include "cutups-head.h"
#include "cutups-watch.h"
#include "drawn-layer.h"
#include "film-view.h"
#include "help.h"
#include "notice.h"
#include "transport.h"

struct _RbCutupsDesk {
    GtkWidget parent_instance;
    /* template children */
    GtkStack *stack;
    RbNotice *notice;
    RbCutupsHead *head;
    RbCutupsClips *clips;
    RbFilmView *film;
    RbTransport *transport;
    RbCutupsEditor *editor;
    RbCutupsExport *export;

    RbDrawnLayer *layer; /* of the film */
    RbSession *session;  /* owned, nullable */
    RbDeck *deck;        /* owned */
    RbCutupsWatch *watch;
    bool is_looking; /* at the card, whose words are being chosen */
};

G_DEFINE_FINAL_TYPE(RbCutupsDesk, rb_cutups_desk, GTK_TYPE_WIDGET)

static const RbCutupsAnswer *answer_of(RbCutupsDesk *desk)
{
    return desk->session != NULL ? rb_session_get_cutups(desk->session) : NULL;
}

static const RbCutupPlan *plan_of(RbCutupsDesk *desk)
{
    const RbCutupsAnswer *answer = answer_of(desk);
    return answer != NULL ? answer->plan : NULL;
}

static const RbCutupClip *chosen_clip(RbCutupsDesk *desk)
{
    const RbCutupPlan *plan = plan_of(desk);
    const int i = rb_cutups_clips_get_chosen(desk->clips);
    return plan != NULL && i >= 0 && i < (int)plan->clips->len ? plan->clips->pdata[i]
                                                               : NULL;
}

/* ---- changes */

/* An ask about the cut-up shown. Returns: (nullable): there is none. */
static RbCutupAsk *ask_new(RbCutupsDesk *desk, RbCutupAskKind kind)
{
    const RbCutupPlan *plan = plan_of(desk);
    return plan != NULL ? rb_cutup_ask_new(kind, plan->cutup->id) : NULL;
}

static void on_move(RbCutupsDesk *desk, int from, int to)
{
    RbCutupAsk *ask = ask_new(desk, RB_CUTUP_ASK_MOVE);
    if (ask != NULL) {
        ask->from = from;
        ask->to = to;
        rb_session_change_cutup(desk->session, ask);
    }
}

static void on_take_out(RbCutupsDesk *desk)
{
    const RbCutupClip *clip = chosen_clip(desk);
    RbCutupAsk *ask = clip != NULL ? ask_new(desk, RB_CUTUP_ASK_TAKE_OUT) : NULL;
    if (ask != NULL) {
        ask->entry = rb_cutup_entry_copy(clip->entry);
        rb_session_change_cutup(desk->session, ask);
    }
}

static void on_remove(RbCutupsDesk *desk)
{
    RbCutupAsk *ask = ask_new(desk, RB_CUTUP_ASK_REMOVE);
    if (ask != NULL) {
        rb_session_change_cutup(desk->session, ask);
    }
}

static void on_head_changed(RbCutupsDesk *desk)
{
    RbCutup *cutup = rb_cutups_head_dup_cutup(desk->head);
    if (cutup != NULL) {
        RbCutupAsk *ask = rb_cutup_ask_new(RB_CUTUP_ASK_SAVE, cutup->id);
        ask->cutup = cutup;
        rb_session_change_cutup(desk->session, ask);
    }
}

static void on_kind(RbCutupsDesk *desk, gboolean live)
{
    RbCutupAsk *ask = ask_new(desk, live ? RB_CUTUP_ASK_FOLLOW : RB_CUTUP_ASK_FIX);
    if (ask != NULL) {
        rb_session_change_cutup(desk->session, ask);
    }
}

static void on_edited(RbCutupsDesk *desk)
{
    RbCutupEntry *entry = rb_cutups_editor_dup_entry(desk->editor);
    if (entry != NULL) {
        RbCutupAsk *ask = rb_cutup_ask_new(RB_CUTUP_ASK_SAVE_ENTRY, entry->cutup);
        ask->entry = entry;
        rb_session_change_cutup(desk->session, ask);
    }
}

static void on_all(RbCutupsDesk *desk)
{
    const RbCutupEntry *entry = rb_cutups_editor_get_entry(desk->editor);
    if (entry != NULL) {
        RbCutupAsk *ask = rb_cutup_ask_new(RB_CUTUP_ASK_SET_ALL, entry->cutup);
        ask->entry = rb_cutup_entry_copy(entry);
        rb_session_change_cutup(desk->session, ask);
    }
}

/* ---- showing */

/* What goes with the clip shown. */
static void show_clip(RbCutupsDesk *desk)
{
    const RbCutupClip *clip = chosen_clip(desk);
    rb_drawn_layer_set(desk->layer, clip != NULL ? clip->drawings : NULL,
                       clip != NULL ? clip->beside_drawings : NULL);
    rb_cutups_editor_set(desk->editor, clip);
}

static void on_selected(RbCutupsDesk *desk)
{
    rb_cutups_watch_show(desk->watch, rb_cutups_clips_get_chosen(desk->clips));
    show_clip(desk);
}

static void on_watched(int clip, void *data)
{
    RbCutupsDesk *desk = data;
    rb_cutups_clips_choose(desk->clips, clip, false);
    show_clip(desk);
}

static void on_card(const RbCutupClip *clip, void *data)
{
    RbCutupsDesk *desk = data;
    rb_drawn_layer_set_card(desk->layer, clip != NULL ? clip->card : NULL);
}

/* The card is seen while its words are chosen. */
static void show_card(RbCutupsDesk *desk)
{
    const RbCutupClip *clip = chosen_clip(desk);
    on_card(desk->is_looking ? clip : NULL, desk);
}

static void on_looking(RbCutupsDesk *desk, gboolean looking)
{
    desk->is_looking = looking;
    show_card(desk);
}

/* The answer lives until the next one: the export gets a plan of its own. */
static RbCutupPlan *plan_for_export(bool names, void *owner)
{
    const RbCutupsAnswer *answer = answer_of(owner);
    return answer != NULL && answer->plan != NULL
               ? rb_cutup_plan_copy(names ? answer->plan : answer->nameless)
               : NULL;
}

static void on_cutups(RbCutupsDesk *desk)
{
    const RbCutupsAnswer *answer = answer_of(desk);
    const bool some = answer != NULL && answer->plan != NULL;
    gtk_stack_set_visible_child_name(desk->stack, some ? "list" : "empty");
    rb_cutups_watch_set_plan(desk->watch, some ? answer->plan : NULL);
    if (!some) {
        rb_drawn_layer_set(desk->layer, NULL, NULL);
        rb_notice_set(
            desk->notice, _("No cut-ups yet"),
            _("Lists of snaps to watch and to export will be here. On the "
              "Pairings desk, choose a part of the ladder and press c: its snaps "
              "become a cut-up; with Shift the cut-up follows its filter."),
            _("Go to Pairings"), "win.desk::pairings");
        return;
    }
    rb_cutups_head_set(desk->head, answer);
    rb_cutups_clips_set(desk->clips, answer->plan);
    on_selected(desk);
    show_card(desk);
    rb_cutups_export_set(desk->export, answer->plan->cutup->name, plan_for_export, desk);
}

static void on_chosen(RbCutupsDesk *desk, guint i)
{
    const RbCutupsAnswer *answer = answer_of(desk);
    if (answer != NULL && i < answer->cutups->len) {
        rb_cutups_clips_want(desk->clips, 0);
        rb_session_choose_cutup(desk->session,
                                ((const RbCutup *)answer->cutups->pdata[i])->id);
    }
}

static gboolean on_key(GtkEventControllerKey *keys, guint keyval, guint code,
                       GdkModifierType state, RbCutupsDesk *desk)
{
    (void)keys;
    (void)code;
    const bool plain = (state & gtk_accelerator_get_default_mod_mask()) == 0;
    if (plain && keyval == GDK_KEY_F2 && plan_of(desk) != NULL) {
        rb_cutups_head_rename(desk->head);
        return GDK_EVENT_STOP;
    }
    if (plain && keyval == GDK_KEY_e && plan_of(desk) != NULL) {
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
    const int to = rb_cutups_clips_get_chosen(desk->clips) + direction;
    const RbCutupPlan *plan = plan_of(desk);
    if (plan == NULL || to < 0 || to >= (int)plan->clips->len) {
        return;
    }
    const bool ran = rb_cutups_watch_is_running(desk->watch);
    rb_cutups_clips_choose(desk->clips, to, true);
    on_selected(desk);
    if (ran) { /* the next one is watched, too */
        rb_cutups_watch_toggle(desk->watch);
    }
}

void rb_cutups_desk_toggle(RbCutupsDesk *desk)
{
    g_return_if_fail(RB_IS_CUTUPS_DESK(desk));
    rb_cutups_watch_toggle(desk->watch);
}

void rb_cutups_desk_focus(RbCutupsDesk *desk)
{
    g_return_if_fail(RB_IS_CUTUPS_DESK(desk));
    rb_cutups_clips_focus(desk->clips);
    if (plan_of(desk) == NULL) {
        gtk_widget_grab_focus(GTK_WIDGET(desk->notice));
    }
}

static void rb_cutups_desk_dispose(GObject *object)
{
    RbCutupsDesk *desk = RB_CUTUPS_DESK(object);
    g_clear_pointer(&desk->watch, rb_cutups_watch_free);
    gtk_widget_dispose_template(GTK_WIDGET(desk), RB_TYPE_CUTUPS_DESK);
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
    g_type_ensure(RB_TYPE_CUTUPS_CLIPS);
    g_type_ensure(RB_TYPE_CUTUPS_EDITOR);
    g_type_ensure(RB_TYPE_CUTUPS_EXPORT);
    g_type_ensure(RB_TYPE_CUTUPS_HEAD);
    gtk_widget_class_set_template_from_resource(
        widget_class, "/org/readbreak/Readbreak/cutups-desk.ui");
    gtk_widget_class_bind_template_child(widget_class, RbCutupsDesk, stack);
    gtk_widget_class_bind_template_child(widget_class, RbCutupsDesk, notice);
    gtk_widget_class_bind_template_child(widget_class, RbCutupsDesk, head);
    gtk_widget_class_bind_template_child(widget_class, RbCutupsDesk, clips);
    gtk_widget_class_bind_template_child(widget_class, RbCutupsDesk, film);
    gtk_widget_class_bind_template_child(widget_class, RbCutupsDesk, transport);
    gtk_widget_class_bind_template_child(widget_class, RbCutupsDesk, editor);
    gtk_widget_class_bind_template_child(widget_class, RbCutupsDesk, export);
}

static void follow(RbCutupsDesk *desk)
{
    g_signal_connect_swapped(desk->head, "chosen", G_CALLBACK(on_chosen), desk);
    g_signal_connect_swapped(desk->head, "changed", G_CALLBACK(on_head_changed), desk);
    g_signal_connect_swapped(desk->head, "kind", G_CALLBACK(on_kind), desk);
    g_signal_connect_swapped(desk->head, "remove", G_CALLBACK(on_remove), desk);
    g_signal_connect_swapped(desk->head, "left", G_CALLBACK(rb_cutups_desk_focus), desk);
    g_signal_connect_swapped(desk->clips, "selected", G_CALLBACK(on_selected), desk);
    g_signal_connect_swapped(desk->clips, "opened", G_CALLBACK(rb_cutups_desk_toggle),
                             desk);
    g_signal_connect_swapped(desk->clips, "move", G_CALLBACK(on_move), desk);
    g_signal_connect_swapped(desk->clips, "take-out", G_CALLBACK(on_take_out), desk);
    g_signal_connect_swapped(desk->editor, "edited", G_CALLBACK(on_edited), desk);
    g_signal_connect_swapped(desk->editor, "all", G_CALLBACK(on_all), desk);
    g_signal_connect_swapped(desk->editor, "looking", G_CALLBACK(on_looking), desk);
    g_signal_connect(desk, "map", G_CALLBACK(on_mapped), NULL);
}

static void rb_cutups_desk_init(RbCutupsDesk *desk)
{
    gtk_widget_init_template(GTK_WIDGET(desk));
    desk->deck = rb_deck_new();
    desk->watch = rb_cutups_watch_new(desk->deck, on_watched, on_card, desk);
    rb_film_view_set_lack(desk->film, _("Its clip is left out when the cut-up is watched "
                                        "and exported."));
    rb_film_view_set_deck(desk->film, desk->deck);
    rb_transport_set_deck(desk->transport, desk->deck);
    desk->layer = rb_drawn_layer_add(desk->film, desk->deck);
    follow(desk);
    GtkEventController *keys = gtk_event_controller_key_new();
    g_signal_connect(keys, "key-pressed", G_CALLBACK(on_key), desk);
    gtk_widget_add_controller(GTK_WIDGET(desk), keys);
    rb_help_mark(GTK_WIDGET(desk), "cutups.html");
}
