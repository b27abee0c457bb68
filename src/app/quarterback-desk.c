/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "quarterback-desk.h"

#include <glib/gi18n.h>
#include <math.h>

#include "clock-chart.h"
#include "figure-list.h"
#include "notice.h"
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
    bool is_filling;
    bool wants_focus; /* shown before there was anything to focus */
};

G_DEFINE_FINAL_TYPE(RbQuarterbackDesk, rb_quarterback_desk, GTK_TYPE_WIDGET)

static const RbQuarterbackAnswer *answer_of(RbQuarterbackDesk *desk)
{
    return desk->session != NULL ? rb_session_get_quarterback(desk->session) : NULL;
}

static int percent(int part, int whole)
{
    return whole > 0 ? (int)lround(100.0 * part / whole) : 0;
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

static void show_rate(RbQuarterbackDesk *desk, const RbQuarterback *figures)
{
    const RbRate *rate = &figures->rate;
    g_autofree char *text = rate->judged > 0
                                ? g_strdup_printf(_("%d %% right decisions, %d of %d"),
                                                  percent(rate->right, rate->judged),
                                                  rate->right, rate->judged)
                                : g_strdup(_("No decision is judged yet"));
    gtk_label_set_text(desk->rate, text);
    g_autofree char *second =
        g_strdup_printf(ngettext("%d dropback. ", "%d dropbacks. ", figures->dropbacks),
                        figures->dropbacks);
    g_autofree char *interval =
        rate->judged > 0
            ? g_strdup_printf(_("80 %% interval %d to %d %%. Ungraded %d, spoiled %d."),
                              (int)lround(100 * rate->low), (int)lround(100 * rate->high),
                              figures->verdicts[RB_VERDICT_UNGRADED],
                              figures->verdicts[RB_VERDICT_SPOILED])
            : g_strdup("");
    g_autofree char *line = g_strconcat(second, interval, NULL);
    gtk_label_set_text(desk->second, line);
}

static GPtrArray *figures_new(void)
{
    return g_ptr_array_new_with_free_func((GDestroyNotify)rb_figure_free);
}

static void show_habits(RbQuarterbackDesk *desk, const RbQuarterback *figures)
{
    GPtrArray *rows = figures_new();
    for (guint i = 0; i < figures->habits->len; i++) {
        const RbHabit *habit = figures->habits->pdata[i];
        g_ptr_array_add(rows, rb_figure_new(habit->sentence,
                                            g_strdup_printf("%.1f", habit->cost),
                                            habit->snaps));
    }
    gtk_widget_set_visible(desk->no_habits, rows->len == 0);
    gtk_widget_set_visible(GTK_WIDGET(desk->habits), rows->len > 0);
    rb_figure_list_take(desk->habits, rows);
}

static void show_decisions(RbQuarterbackDesk *desk, const RbQuarterback *figures)
{
    static const struct {
        const char *label;
        RbTone tone;
    } kinds[RB_DECISIONS] = {
        [RB_DECISION_RIGHT_GOOD] = { N_("Right, worked"), RB_TONE_GOOD },
        [RB_DECISION_RIGHT_BAD] = { N_("Right, failed"), RB_TONE_PLAIN },
        [RB_DECISION_WRONG_GOOD] = { N_("Wrong, worked"), RB_TONE_PLAIN },
        [RB_DECISION_WRONG_BAD] = { N_("Wrong, failed"), RB_TONE_BAD },
    };
    guint most = 1;
    for (int i = 0; i < RB_DECISIONS; i++) {
        most = MAX(most, figures->decisions[i]->len);
    }
    GPtrArray *rows = figures_new();
    for (int i = 0; i < RB_DECISIONS; i++) {
        const GArray *snaps = figures->decisions[i];
        RbFigure *row =
            rb_figure_new(_(kinds[i].label), g_strdup_printf("%u", snaps->len), snaps);
        row->value = (double)snaps->len / most;
        row->tone = kinds[i].tone;
        g_ptr_array_add(rows, row);
    }
    rb_figure_list_take(desk->decisions, rows);
}

static RbTone tone_of(RbVerdict verdict)
{
    if (rb_verdict_is_right(verdict)) {
        return RB_TONE_GOOD;
    }
    return rb_verdict_is_judged(verdict) && verdict != RB_VERDICT_NO_TIME ? RB_TONE_BAD
                                                                          : RB_TONE_PLAIN;
}

static void show_verdicts(RbQuarterbackDesk *desk, const RbQuarterbackAnswer *answer)
{
    int most = 1;
    for (int i = 0; i < RB_VERDICTS; i++) {
        most = MAX(most, answer->figures->verdicts[i]);
    }
    GPtrArray *rows = figures_new();
    for (int i = 0; i < RB_VERDICTS; i++) {
        const int n = answer->figures->verdicts[i];
        if (n > 0) {
            g_autoptr(GArray) snaps =
                rb_quarterback_snaps(answer->selection, (RbVerdict)i);
            RbFigure *row = rb_figure_new(rb_words_label(&rb_verdict_words, i),
                                          g_strdup_printf("%d", n), snaps);
            row->value = (double)n / most;
            row->tone = tone_of((RbVerdict)i);
            g_ptr_array_add(rows, row);
        }
    }
    rb_figure_list_take(desk->verdicts, rows);
}

static void show_clock(RbQuarterbackDesk *desk, const RbQuarterback *figures)
{
    rb_clock_chart_set(desk->clock, figures->throws);
    int late = 0;
    for (guint i = 0; i < figures->throws->len; i++) {
        late += ((const RbThrowTime *)figures->throws->pdata[i])->late ? 1 : 0;
    }
    g_autofree char *text =
        g_strdup_printf(_("%d of %u left after the clock and its tolerance (triangles). "
                          "Page Down goes to the next late one."),
                        late, figures->throws->len);
    gtk_label_set_text(desk->late, text);
    gtk_widget_set_visible(GTK_WIDGET(desk->late), figures->throws->len > 0);
}

static RbFigure *rate_row(const char *label, const RbRate *rate, double norm,
                          const GArray *snaps)
{
    RbFigure *row = rb_figure_new(
        label,
        rate->judged > 0
            ? g_strdup_printf(_("%d %% of %d"), percent(rate->right, rate->judged),
                              rate->judged)
            : g_strdup(_("none")),
        snaps);
    row->value = rate->judged > 0 ? (double)rate->right / rate->judged : -1;
    row->low = rate->low;
    row->high = rate->high;
    row->norm = norm;
    row->said =
        g_strdup_printf(_("%s: %d %% of %d decisions right, 80 %% interval %d to %d %%"),
                        label, percent(rate->right, rate->judged), rate->judged,
                        (int)lround(100 * rate->low), (int)lround(100 * rate->high));
    return row;
}

static double norm_of(const RbQuarterback *figures)
{
    return figures->rate.judged > 0 ? (double)figures->rate.right / figures->rate.judged
                                    : -1;
}

static void show_groups(RbQuarterbackDesk *desk)
{
    const RbQuarterbackAnswer *answer = answer_of(desk);
    const guint field = gtk_drop_down_get_selected(desk->field);
    if (answer == NULL || field >= RB_QUARTERBACK_FIELDS) {
        return;
    }
    const GPtrArray *groups = answer->groups[field];
    GPtrArray *rows = figures_new();
    for (guint i = 0; i < groups->len; i++) {
        const RbDecisionGroup *group = groups->pdata[i];
        g_ptr_array_add(rows, rate_row(group->label, &group->rate,
                                       norm_of(answer->figures), group->snaps));
    }
    rb_figure_list_take(desk->groups, rows);
}

static GArray *snaps_of_game(const RbQuarterbackAnswer *answer, RbGameId game)
{
    GArray *snaps = g_array_new(FALSE, FALSE, sizeof(RbSnapId));
    int n = 0;
    const RbDropback *rows = rb_selection_get_rows(answer->selection, &n);
    for (int i = 0; i < n; i++) {
        if (rows[i].in_ladder && rows[i].game.value == game.value &&
            rb_verdict_is_judged(rows[i].verdict)) {
            g_array_append_val(snaps, rows[i].snap);
        }
    }
    return snaps;
}

static void show_games(RbQuarterbackDesk *desk, const RbQuarterbackAnswer *answer)
{
    GPtrArray *rows = figures_new();
    for (guint i = 0; i < answer->figures->games->len; i++) {
        const RbGameRate *game = answer->figures->games->pdata[i];
        g_autoptr(GArray) snaps = snaps_of_game(answer, game->game);
        g_ptr_array_add(
            rows, rate_row(game->title, &game->rate, norm_of(answer->figures), snaps));
    }
    rb_figure_list_take(desk->games, rows);
}

static void show_passing(RbQuarterbackDesk *desk, const RbPassing *passing)
{
    double pro = 0;
    double college = 0;
    g_autofree char *text =
        rb_passer_rating_pro(passing, &pro) && rb_passer_rating_college(passing, &college)
            ? g_strdup_printf(
                  _("%d of %d for %d yards, %d touchdowns, %d intercepted. Passer rating "
                    "%.1f by the professional formula, %.1f by the college one."),
                  passing->completions, passing->attempts, passing->yards,
                  passing->touchdowns, passing->interceptions, pro, college)
            : g_strdup("");
    gtk_label_set_text(desk->passing, text);
}

static void list_snaps(RbQuarterbackDesk *desk, const char *what, const GArray *snaps)
{
    const RbQuarterbackAnswer *answer = answer_of(desk);
    if (answer == NULL) {
        return;
    }
    rb_snap_list_set(desk->snaps, rb_selection_get_snapshot(answer->selection), snaps);
    g_autofree char *count =
        g_strdup_printf(ngettext("%d snap. Enter plays it.", "%d snaps. Enter plays one.",
                                 (int)snaps->len),
                        (int)snaps->len);
    /* A habit is a sentence of its own. */
    g_autofree char *text = g_str_has_suffix(what, ".")
                                ? g_strdup_printf("%s %s", what, count)
                                : g_strdup_printf(_("%s: %s"), what, count);
    gtk_label_set_text(desk->listed, text);
}

static bool is_asking(RbQuarterbackDesk *desk)
{
    return g_strcmp0(gtk_stack_get_visible_child_name(desk->stack), "quiz") == 0;
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

static void on_quarterback(RbQuarterbackDesk *desk)
{
    const RbQuarterbackAnswer *answer = answer_of(desk);
    show_stack(desk);
    if (answer == NULL || rb_session_get_names(desk->session) == NULL) {
        return;
    }
    fill_who(desk, answer);
    show_rate(desk, answer->figures);
    show_habits(desk, answer->figures);
    show_decisions(desk, answer->figures);
    show_verdicts(desk, answer);
    show_clock(desk, answer->figures);
    show_groups(desk);
    show_games(desk, answer);
    show_passing(desk, &answer->figures->passing);
    g_autoptr(GArray) errors = rb_quarterback_errors(answer->selection);
    list_snaps(desk, _("His errors"), errors);
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
        list_snaps(desk, figure->label, figure->snaps);
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
    list_snaps(desk, what != NULL ? what : "", one);
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
    RbFigureList *first =
        rb_figure_list_get(desk->habits, 0) != NULL ? desk->habits : desk->decisions;
    gtk_widget_child_focus(GTK_WIDGET(first), GTK_DIR_TAB_FORWARD);
}

static void rb_quarterback_desk_dispose(GObject *object)
{
    RbQuarterbackDesk *desk = RB_QUARTERBACK_DESK(object);
    gtk_widget_dispose_template(GTK_WIDGET(desk), RB_TYPE_QUARTERBACK_DESK);
    g_clear_object(&desk->session);
    g_clear_pointer(&desk->players, g_array_unref);
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
    g_signal_connect_swapped(desk->quiz, "clicked", G_CALLBACK(on_quiz), desk);
    g_signal_connect_swapped(desk->asking, "left", G_CALLBACK(on_quiz_left), desk);
    g_signal_connect_swapped(desk->clock, "chosen", G_CALLBACK(on_throw), desk);
    g_signal_connect_swapped(desk->clock, "opened", G_CALLBACK(on_snap_opened), desk);
    g_signal_connect_swapped(desk->snaps, "opened", G_CALLBACK(on_snap_opened), desk);
    g_signal_connect_swapped(desk->who, "notify::selected", G_CALLBACK(on_who), desk);
    g_signal_connect_swapped(desk->field, "notify::selected", G_CALLBACK(show_groups),
                             desk);
}
