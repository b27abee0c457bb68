/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "quarterback-desk.h"

#include <glib/gi18n.h>
#include <string.h>

#include "clock-chart.h"
#include "figure-list.h"
#include "help.h"
#include "notice.h"
#include "quarterback-rows.h"
#include "quiz-panel.h"
#include "snap-list.h"

struct _RbQuarterbackDesk {
    GtkWidget parent_instance;
    /* template children */
    GtkStack *stack;
    RbNotice *notice;
    GtkDropDown *who;
    GtkLabel *rate;
    GtkLabel *second;
    RbFigureList *habits;
    GtkWidget *no_habits;
    RbFigureList *decisions;
    RbFigureList *verdicts;
    RbClockChart *clock;
    GtkLabel *late;
    GtkDropDown *field;
    RbFigureList *groups;
    RbFigureList *games;
    GtkLabel *passing;
    GtkLabel *listed;
    RbSnapList *snaps;
    GtkButton *quiz;
    RbQuizPanel *asking;

    RbSession *session; /* owned, nullable */
    GArray *players;    /* owned, of RbPlayerId: what the drop-down lists, 0 first */
    char *what;         /* owned, nullable: which snaps are listed */
    RbFilter *finds;    /* owned, nullable: the filter that finds them */
    bool is_filling;
    bool wants_focus; /* shown before there was anything to focus */
};

G_DEFINE_FINAL_TYPE(RbQuarterbackDesk, rb_quarterback_desk, GTK_TYPE_WIDGET)

static const RbQuarterbackAnswer *answer_of(RbQuarterbackDesk *desk)
{
    return desk->session != NULL ? rb_session_get_quarterback(desk->session) : NULL;
}

static void fill_who(RbQuarterbackDesk *desk, const RbQuarterbackAnswer *answer)
{
    const RbNames *names = rb_session_get_names(desk->session);
    g_autoptr(GtkStringList) list = gtk_string_list_new(NULL);
    const RbPlayerId all = { 0 };
    guint chosen = 0;
    gtk_string_list_append(list, _("All quarterbacks"));
    g_array_set_size(desk->players, 0);
    g_array_append_val(desk->players, all);
    for (guint i = 0; i < answer->quarterbacks->len; i++) {
        const RbPlayerId id = g_array_index(answer->quarterbacks, RbPlayerId, i);
        g_autofree char *text = rb_names_player_text(names, id);
        gtk_string_list_append(list, text);
        g_array_append_val(desk->players, id);
        chosen = id.value == answer->quarterback.value ? i + 1 : chosen;
    }
    desk->is_filling = true;
    gtk_drop_down_set_model(desk->who, G_LIST_MODEL(list));
    gtk_drop_down_set_selected(desk->who, chosen);
    desk->is_filling = false;
}

static void show_text(GtkLabel *label, char *text)
{
    gtk_label_set_text(label, text);
    g_free(text);
}

static void show_groups(RbQuarterbackDesk *desk)
{
    const RbQuarterbackAnswer *answer = answer_of(desk);
    const guint field = gtk_drop_down_get_selected(desk->field);
    if (answer != NULL && field < RB_QUARTERBACK_FIELDS) {
        rb_figure_list_take(desk->groups, rb_quarterback_group_rows(answer, field));
    }
}

static void show_figures(RbQuarterbackDesk *desk, const RbQuarterbackAnswer *answer)
{
    const RbQuarterback *figures = answer->figures;
    const bool habits = figures->habits->len > 0;
    show_text(desk->rate, rb_quarterback_rate_text(figures));
    show_text(desk->second, rb_quarterback_counts_text(figures));
    rb_figure_list_take(desk->habits, rb_quarterback_habit_rows(figures));
    gtk_widget_set_visible(desk->no_habits, !habits);
    gtk_widget_set_visible(GTK_WIDGET(desk->habits), habits);
    rb_figure_list_take(desk->decisions, rb_quarterback_decision_rows(figures));
    rb_figure_list_take(desk->verdicts, rb_quarterback_verdict_rows(answer));
    rb_clock_chart_set(desk->clock, figures->throws);
    gtk_widget_set_visible(GTK_WIDGET(desk->clock), figures->throws->len > 0);
    show_text(desk->late, rb_quarterback_late_text(figures));
    show_groups(desk);
    rb_figure_list_take(desk->games, rb_quarterback_game_rows(answer));
    show_text(desk->passing, rb_quarterback_passing_text(&figures->passing));
}

/* finds: (transfer full) (nullable): the filter that finds the snaps. */
static void list_snaps(RbQuarterbackDesk *desk, const char *what, const GArray *snaps,
                       RbFilter *finds)
{
    g_clear_pointer(&desk->finds, rb_filter_free);
    desk->finds = finds;
    const RbQuarterbackAnswer *answer = answer_of(desk);
    if (answer == NULL) {
        return;
    }
    rb_snap_list_set(desk->snaps, rb_selection_get_snapshot(answer->selection), snaps,
                     answer->filmed);
    g_autofree char *count = g_strdup_printf(
        ngettext("%d snap. Enter plays it, c makes a cut-up.",
                 "%d snaps. Enter plays one, c makes a cut-up.", (int)snaps->len),
        (int)snaps->len);
    /* A habit is a sentence of its own. */
    const bool sentence = g_str_has_suffix(what, ".");
    g_autofree char *text = sentence ? g_strdup_printf("%s %s", what, count)
                                     : g_strdup_printf(_("%s: %s"), what, count);
    gtk_label_set_text(desk->listed, text);
    g_free(desk->what);
    desk->what = g_strndup(what, strlen(what) - (sentence ? 1 : 0));
}

static bool is_asking(RbQuarterbackDesk *desk)
{
    return g_strcmp0(gtk_stack_get_visible_child_name(desk->stack), "quiz") == 0;
}

bool rb_quarterback_desk_make_cutup(RbQuarterbackDesk *desk, bool live)
{
    g_return_val_if_fail(RB_IS_QUARTERBACK_DESK(desk), false);
    bool part = false;
    g_autoptr(GArray) snaps = rb_snap_list_dup_snaps(desk->snaps, &part);
    if (is_asking(desk) || snaps->len == 0) {
        return false;
    }
    /* Chosen snaps, a habit or a throw are found by no filter: their list is fixed. */
    const RbFilter *finds = part ? NULL : desk->finds;
    RbCutupAsk *ask = rb_cutup_ask_new(live && finds != NULL ? RB_CUTUP_ASK_MAKE_LIVE
                                                             : RB_CUTUP_ASK_MAKE,
                                       (RbCutupId){ rb_id_random() });
    ask->name = g_strdup(desk->what);
    ask->filter = finds != NULL ? rb_filter_copy(finds) : NULL;
    ask->snaps = g_steal_pointer(&snaps);
    rb_session_make_cutup(desk->session, ask);
    return true;
}

static void on_quiz(RbQuarterbackDesk *desk)
{
    gtk_stack_set_visible_child_name(desk->stack, "quiz");
    rb_quiz_panel_open(desk->asking);
}

static void on_quiz_left(RbQuarterbackDesk *desk)
{
    gtk_stack_set_visible_child_name(desk->stack, "figures");
    rb_quarterback_desk_focus(desk);
}

static void show_stack(RbQuarterbackDesk *desk)
{
    const RbQuarterbackAnswer *answer = answer_of(desk);
    if (is_asking(desk)) {
        return;
    }
    if (answer != NULL && answer->quarterbacks->len > 0) {
        gtk_stack_set_visible_child_name(desk->stack, "figures");
        return;
    }
    gtk_stack_set_visible_child_name(desk->stack, "empty");
    if (rb_session_get_state(desk->session) == RB_SESSION_OPEN && answer == NULL) {
        rb_notice_set(desk->notice, _("Counting his decisions"), NULL, NULL, NULL);
        return;
    }
    rb_notice_set(
        desk->notice, _("No decisions yet"),
        _("Tag the quarterback, the picture, the reads and the ball on the Chart "
          "desk: his right and wrong decisions, his clock and his habits will be "
          "here."),
        _("Go to Chart"), "win.desk::chart");
}

/* What finds every wrong decision that is counted. Returns: (transfer full). */
static RbFilter *filter_of_errors(const RbSelection *selection)
{
    RbFilter *filter = rb_filter_copy(rb_selection_get_filter(selection));
    rb_filter_remove(filter, RB_FIELD_COUNTS);
    rb_filter_add_value(filter, RB_FIELD_COUNTS, RB_YES);
    for (int i = 0; i < RB_VERDICTS; i++) {
        if (rb_verdict_is_error((RbVerdict)i)) {
            rb_filter_add_value(filter, RB_FIELD_VERDICT, i);
        }
    }
    return filter;
}

static void on_quarterback(RbQuarterbackDesk *desk)
{
    const RbQuarterbackAnswer *answer = answer_of(desk);
    show_stack(desk);
    if (answer == NULL || rb_session_get_names(desk->session) == NULL) {
        return;
    }
    fill_who(desk, answer);
    show_figures(desk, answer);
    g_autoptr(GArray) errors = rb_quarterback_errors(answer->selection);
    list_snaps(desk, _("His errors"), errors, filter_of_errors(answer->selection));
    if (desk->wants_focus && gtk_widget_get_mapped(GTK_WIDGET(desk))) {
        rb_quarterback_desk_focus(desk);
    }
    desk->wants_focus = false;
}

static void on_chosen(RbFigureList *list, guint index, RbQuarterbackDesk *desk)
{
    RbFigureList *const lists[] = { desk->habits, desk->decisions, desk->verdicts,
                                    desk->groups, desk->games };
    for (size_t i = 0; i < G_N_ELEMENTS(lists); i++) {
        if (lists[i] != list) {
            rb_figure_list_unchoose(lists[i]);
        }
    }
    const RbFigure *figure = rb_figure_list_get(list, index);
    if (figure != NULL) {
        list_snaps(desk, figure->label, figure->snaps, NULL);
    }
}

static void on_opened(RbFigureList *list, guint index, RbQuarterbackDesk *desk)
{
    on_chosen(list, index, desk);
    rb_snap_list_focus(desk->snaps);
}

static void on_throw(RbQuarterbackDesk *desk, gint64 snap)
{
    g_autoptr(GArray) one = g_array_new(FALSE, FALSE, sizeof(RbSnapId));
    const RbSnapId id = { snap };
    g_array_append_val(one, id);
    const char *what = gtk_widget_get_tooltip_text(GTK_WIDGET(desk->clock));
    list_snaps(desk, what != NULL ? what : "", one, NULL);
}

static void on_snap_opened(RbQuarterbackDesk *desk, gint64 snap)
{
    rb_session_open_snap(desk->session, (RbSnapId){ snap });
}

static void on_who(RbQuarterbackDesk *desk)
{
    const guint chosen = gtk_drop_down_get_selected(desk->who);
    if (!desk->is_filling && desk->session != NULL && chosen < desk->players->len) {
        rb_session_set_quarterback(desk->session,
                                   g_array_index(desk->players, RbPlayerId, chosen));
    }
}

static void on_mapped(RbQuarterbackDesk *desk)
{
    desk->wants_focus = true;
    if (desk->session != NULL) {
        rb_session_want_quarterback(desk->session);
    }
}

/* Another desk is looked at: the film stops, and the question is asked anew next time. */
static void on_unmapped(RbQuarterbackDesk *desk)
{
    if (is_asking(desk)) {
        rb_quiz_panel_stop(desk->asking);
        gtk_stack_set_visible_child_name(desk->stack, "figures");
    }
}

void rb_quarterback_desk_set_session(RbQuarterbackDesk *desk, RbSession *session)
{
    g_return_if_fail(RB_IS_QUARTERBACK_DESK(desk));
    g_return_if_fail(desk->session == NULL);
    desk->session = g_object_ref(session);
    rb_quiz_panel_set_session(desk->asking, session);
    g_signal_connect_object(session, "quarterback", G_CALLBACK(on_quarterback), desk,
                            G_CONNECT_SWAPPED);
    g_signal_connect_object(session, "state", G_CALLBACK(show_stack), desk,
                            G_CONNECT_SWAPPED);
    show_stack(desk);
}

void rb_quarterback_desk_focus(RbQuarterbackDesk *desk)
{
    g_return_if_fail(RB_IS_QUARTERBACK_DESK(desk));
    if (is_asking(desk)) {
        gtk_widget_child_focus(GTK_WIDGET(desk->asking), GTK_DIR_TAB_FORWARD);
        return;
    }
    rb_figure_list_focus(rb_figure_list_get(desk->habits, 0) != NULL ? desk->habits
                                                                     : desk->decisions);
}

static void rb_quarterback_desk_dispose(GObject *object)
{
    RbQuarterbackDesk *desk = RB_QUARTERBACK_DESK(object);
    gtk_widget_dispose_template(GTK_WIDGET(desk), RB_TYPE_QUARTERBACK_DESK);
    g_clear_object(&desk->session);
    g_clear_pointer(&desk->players, g_array_unref);
    g_clear_pointer(&desk->what, g_free);
    g_clear_pointer(&desk->finds, rb_filter_free);
    G_OBJECT_CLASS(rb_quarterback_desk_parent_class)->dispose(object);
}

static void rb_quarterback_desk_class_init(RbQuarterbackDeskClass *klass)
{
    GtkWidgetClass *widget_class = GTK_WIDGET_CLASS(klass);
    G_OBJECT_CLASS(klass)->dispose = rb_quarterback_desk_dispose;
    g_type_ensure(RB_TYPE_NOTICE);
    g_type_ensure(RB_TYPE_FIGURE_LIST);
    g_type_ensure(RB_TYPE_CLOCK_CHART);
    g_type_ensure(RB_TYPE_SNAP_LIST);
    g_type_ensure(RB_TYPE_QUIZ_PANEL);
    gtk_widget_class_set_template_from_resource(
        widget_class, "/org/readbreak/Readbreak/quarterback-desk.ui");
    gtk_widget_class_bind_template_child(widget_class, RbQuarterbackDesk, stack);
    gtk_widget_class_bind_template_child(widget_class, RbQuarterbackDesk, notice);
    gtk_widget_class_bind_template_child(widget_class, RbQuarterbackDesk, who);
    gtk_widget_class_bind_template_child(widget_class, RbQuarterbackDesk, rate);
    gtk_widget_class_bind_template_child(widget_class, RbQuarterbackDesk, second);
    gtk_widget_class_bind_template_child(widget_class, RbQuarterbackDesk, habits);
    gtk_widget_class_bind_template_child(widget_class, RbQuarterbackDesk, no_habits);
    gtk_widget_class_bind_template_child(widget_class, RbQuarterbackDesk, decisions);
    gtk_widget_class_bind_template_child(widget_class, RbQuarterbackDesk, verdicts);
    gtk_widget_class_bind_template_child(widget_class, RbQuarterbackDesk, clock);
    gtk_widget_class_bind_template_child(widget_class, RbQuarterbackDesk, late);
    gtk_widget_class_bind_template_child(widget_class, RbQuarterbackDesk, field);
    gtk_widget_class_bind_template_child(widget_class, RbQuarterbackDesk, groups);
    gtk_widget_class_bind_template_child(widget_class, RbQuarterbackDesk, games);
    gtk_widget_class_bind_template_child(widget_class, RbQuarterbackDesk, passing);
    gtk_widget_class_bind_template_child(widget_class, RbQuarterbackDesk, listed);
    gtk_widget_class_bind_template_child(widget_class, RbQuarterbackDesk, snaps);
    gtk_widget_class_bind_template_child(widget_class, RbQuarterbackDesk, quiz);
    gtk_widget_class_bind_template_child(widget_class, RbQuarterbackDesk, asking);
}

void rb_quarterback_desk_begin_quiz(RbQuarterbackDesk *desk)
{
    g_return_if_fail(RB_IS_QUARTERBACK_DESK(desk));
    if (g_strcmp0(gtk_stack_get_visible_child_name(desk->stack), "figures") == 0) {
        on_quiz(desk);
    }
}

static void fill_fields(RbQuarterbackDesk *desk)
{
    g_autoptr(GtkStringList) list = gtk_string_list_new(NULL);
    for (int i = 0; i < RB_QUARTERBACK_FIELDS; i++) {
        gtk_string_list_append(
            list, rb_words_label(&rb_field_words, (int)rb_quarterback_fields[i]));
    }
    gtk_drop_down_set_model(desk->field, G_LIST_MODEL(list));
}

static void rb_quarterback_desk_init(RbQuarterbackDesk *desk)
{
    gtk_widget_init_template(GTK_WIDGET(desk));
    desk->players = g_array_new(FALSE, FALSE, sizeof(RbPlayerId));
    fill_fields(desk);
    RbFigureList *const lists[] = { desk->habits, desk->decisions, desk->verdicts,
                                    desk->groups, desk->games };
    const char *const titles[] = { _("What costs most"), _("Decision and result"),
                                   _("Verdicts"), _("Right decisions by"),
                                   _("Right decisions game by game") };
    for (size_t i = 0; i < G_N_ELEMENTS(lists); i++) {
        rb_figure_list_set_title(lists[i], titles[i]);
        g_signal_connect(lists[i], "chosen", G_CALLBACK(on_chosen), desk);
        g_signal_connect(lists[i], "opened", G_CALLBACK(on_opened), desk);
    }
    g_signal_connect(desk, "map", G_CALLBACK(on_mapped), NULL);
    g_signal_connect(desk, "unmap", G_CALLBACK(on_unmapped), NULL);
    g_signal_connect_swapped(desk->asking, "left", G_CALLBACK(on_quiz_left), desk);
    g_signal_connect_swapped(desk->clock, "chosen", G_CALLBACK(on_throw), desk);
    g_signal_connect_swapped(desk->clock, "opened", G_CALLBACK(on_snap_opened), desk);
    g_signal_connect_swapped(desk->snaps, "opened", G_CALLBACK(on_snap_opened), desk);
    g_signal_connect_swapped(desk->who, "notify::selected", G_CALLBACK(on_who), desk);
    g_signal_connect_swapped(desk->field, "notify::selected", G_CALLBACK(show_groups),
                             desk);
    rb_help_mark(GTK_WIDGET(desk), "figures.html#right-decision");
    rb_help_mark(GTK_WIDGET(desk->rate), "figures.html#right-decision");
    rb_help_mark(GTK_WIDGET(desk->second), "figures.html#right-decision");
    rb_help_mark(GTK_WIDGET(desk->habits), "figures.html#habits");
    rb_help_mark(GTK_WIDGET(desk->decisions), "figures.html#process");
    rb_help_mark(GTK_WIDGET(desk->verdicts), "figures.html#verdicts");
    rb_help_mark(GTK_WIDGET(desk->clock), "figures.html#clock");
    rb_help_mark(GTK_WIDGET(desk->late), "figures.html#clock");
    rb_help_mark(GTK_WIDGET(desk->groups), "figures.html#right-decision");
    rb_help_mark(GTK_WIDGET(desk->games), "figures.html#right-decision");
    rb_help_mark(GTK_WIDGET(desk->passing), "figures.html#passing");
}
