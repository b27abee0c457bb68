/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "quiz-panel.h"

#include <glib/gi18n.h>

#include "figure-list.h"
#include "film-view.h"
#include "help.h"
#include "quiz-film.h"
#include "quiz-words.h"

struct _RbQuizPanel {
    GtkWidget parent_instance;
    /* template children */
    GtkStack *stack;
    GtkLabel *heading;
    GtkLabel *about;
    GtkButton *start;
    GtkButton *leave;
    GtkWidget *report_title;
    RbFigureList *report;
    RbFilmView *film;
    GtkLabel *number;
    GtkLabel *facts;
    GtkLabel *question;
    GtkListBox *choices;
    GtkLabel *told;
    GtkButton *next;
    GtkLabel *hint;

    RbSession *session; /* owned, nullable */
    RbDeck *deck;       /* owned */
    RbQuizFilm *play;   /* owned */
    RbQuizRun *run;     /* owned, nullable: a question is being asked */
    int index;          /* of that question */
    int right;          /* reads named right in this round */
    int asked;          /* … of so many */
    gint64 since_us;    /* the film stands, or the last answer was given */
};

G_DEFINE_FINAL_TYPE(RbQuizPanel, rb_quiz_panel, GTK_TYPE_WIDGET)

enum { LEFT, N_SIGNALS };
static guint signals[N_SIGNALS];

static const RbQuizSet *set_of(RbQuizPanel *panel)
{
    return panel->session != NULL ? rb_session_get_quiz(panel->session) : NULL;
}

static const RbQuizQuestion *question_of(RbQuizPanel *panel)
{
    return set_of(panel)->questions->pdata[panel->index];
}

/* ---- the front page */

static void show_report(RbQuizPanel *panel, const RbQuizSet *set)
{
    GPtrArray *rows = g_ptr_array_new_with_free_func((GDestroyNotify)rb_figure_free);
    const guint n = set->report->len;
    for (guint i = 0; n > 1 && i < n; i++) {
        const RbQuizLine *line = set->report->pdata[i];
        const char *label = i + 1 == n              ? _("All")
                            : line->name[0] != '\0' ? line->name
                                                    : _("Not tagged");
        RbFigure *row = rb_figure_new(
            label, g_strdup_printf(_("%d of %d"), line->reads_right, line->asked), NULL);
        row->value = line->asked > 0 ? (double)line->reads_right / line->asked : -1;
        row->said = g_strdup_printf(
            _("%s: %d of %d reads right, shell %d of %d, side or first read %d of %d, "
              "median %.1f s"),
            label, line->reads_right, line->asked, line->shells_right, line->shells,
            line->firsts_right, line->firsts, line->median_ms / 1000.0);
        row->low = 2; /* no interval: these are answers, not a rate of his */
        row->high = 1;
        g_ptr_array_add(rows, row);
    }
    gtk_widget_set_visible(panel->report_title, rows->len > 0);
    rb_figure_list_take(panel->report, rows);
}

static void show_front(RbQuizPanel *panel)
{
    const RbQuizSet *set = set_of(panel);
    gtk_stack_set_visible_child_name(panel->stack, "front");
    g_autofree char *about =
        set != NULL ? rb_quiz_about_text(set) : g_strdup(_("Looking for snaps to ask."));
    gtk_label_set_text(panel->about, about);
    g_autofree char *heading =
        panel->asked > 0
            ? g_strdup_printf(_("%d of %d reads right"), panel->right, panel->asked)
            : g_strdup(_("Quiz"));
    gtk_label_set_text(panel->heading, heading);
    if (set != NULL) {
        show_report(panel, set);
    }
    const bool some = set != NULL && set->questions->len > 0;
    gtk_widget_set_sensitive(GTK_WIDGET(panel->start), some);
    if (gtk_widget_get_mapped(GTK_WIDGET(panel))) {
        gtk_widget_grab_focus(GTK_WIDGET(some ? panel->start : panel->leave));
    }
}

/* ---- asking */

static GtkWidget *choice_row(const RbQuizChoice *choice, guint number)
{
    const char *words = rb_quiz_choice_text(choice);
    GtkWidget *box = gtk_box_new(GTK_ORIENTATION_HORIZONTAL, 10);
    g_autofree char *key = g_strdup_printf("%u", number);
    GtkWidget *sign = gtk_label_new(key);
    gtk_widget_add_css_class(sign, "key");
    GtkWidget *label = gtk_label_new(words);
    gtk_label_set_xalign(GTK_LABEL(label), 0);
    gtk_label_set_wrap(GTK_LABEL(label), TRUE);
    gtk_box_append(GTK_BOX(box), sign);
    gtk_box_append(GTK_BOX(box), label);
    GtkWidget *row = gtk_list_box_row_new();
    gtk_list_box_row_set_child(GTK_LIST_BOX_ROW(row), box);
    gtk_accessible_update_property(GTK_ACCESSIBLE(row), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   words, -1);
    return row;
}

static void clear_choices(RbQuizPanel *panel)
{
    GtkListBoxRow *row = NULL;
    while ((row = gtk_list_box_get_row_at_index(panel->choices, 0)) != NULL) {
        gtk_list_box_remove(panel->choices, GTK_WIDGET(row));
    }
}

static void show_choices(RbQuizPanel *panel)
{
    g_autoptr(GPtrArray) choices = rb_quiz_run_choices(panel->run);
    clear_choices(panel);
    for (guint i = 0; i < choices->len; i++) {
        gtk_list_box_append(panel->choices, choice_row(choices->pdata[i], i + 1));
    }
    gtk_widget_set_visible(GTK_WIDGET(panel->choices), TRUE);
    GtkListBoxRow *first = gtk_list_box_get_row_at_index(panel->choices, 0);
    gtk_list_box_select_row(panel->choices, first);
    gtk_widget_grab_focus(GTK_WIDGET(first));
    gtk_label_set_text(panel->question,
                       rb_quiz_ask_text(rb_quiz_run_get_ask(panel->run)));
    gtk_label_set_text(panel->hint, _("A digit or Enter answers. Space shows the film "
                                      "again. Escape leaves the quiz."));
    panel->since_us = g_get_monotonic_time();
}

static void run_film(RbQuizPanel *panel)
{
    clear_choices(panel);
    gtk_widget_set_visible(GTK_WIDGET(panel->choices), FALSE);
    gtk_label_set_text(panel->question, _("Watch"));
    gtk_label_set_text(panel->hint, _("Space goes to the next stop."));
    gtk_widget_grab_focus(GTK_WIDGET(panel));
    rb_quiz_film_run_to(panel->play, rb_quiz_run_stop_ms(panel->run));
}

static void on_stopped(void *data)
{
    RbQuizPanel *panel = data;
    if (panel->run != NULL && rb_quiz_run_get_ask(panel->run) != RB_QUIZ_ASK_NOTHING) {
        show_choices(panel);
    }
}

static void ask(RbQuizPanel *panel, int index)
{
    const RbQuizSet *set = set_of(panel);
    g_clear_pointer(&panel->run, rb_quiz_run_free);
    if (set == NULL || index >= (int)set->questions->len) {
        rb_quiz_film_stop(panel->play);
        rb_session_want_quiz(panel->session);
        show_front(panel);
        return;
    }
    panel->index = index;
    const RbSheet *sheet = set->sheets->pdata[index];
    panel->run = rb_quiz_run_new(question_of(panel), set->person, set->today);
    gtk_stack_set_visible_child_name(panel->stack, "film");
    g_autofree char *number =
        g_strdup_printf(_("Snap %d of %u"), index + 1, set->questions->len);
    g_autofree char *facts = rb_quiz_facts_text(sheet);
    gtk_label_set_text(panel->number, number);
    gtk_label_set_text(panel->facts, facts);
    gtk_label_set_text(panel->told, "");
    gtk_widget_set_visible(GTK_WIDGET(panel->next), FALSE);
    rb_quiz_film_load(panel->play, sheet->clips, sheet->paths);
    run_film(panel);
}

static RbQuizAnswer *answer_copy(const RbQuizAnswer *answer)
{
    RbQuizAnswer *copy = g_memdup2(answer, sizeof *answer);
    copy->asked_on = g_strdup(answer->asked_on);
    return copy;
}

/* All is named: keep it, tell it, and let the film run to its end. */
static void finish(RbQuizPanel *panel)
{
    const RbQuizAnswer *answer = rb_quiz_run_get_answer(panel->run);
    const RbQuizQuestion *question = question_of(panel);
    panel->asked++;
    panel->right += answer->read_right == RB_YES;
    rb_session_keep_quiz(panel->session, answer_copy(answer));
    clear_choices(panel);
    gtk_widget_set_visible(GTK_WIDGET(panel->choices), FALSE);
    g_autofree char *result = rb_quiz_result_text(question, answer);
    g_autofree char *told = rb_quiz_told_text(question, panel->run,
                                              set_of(panel)->sheets->pdata[panel->index]);
    gtk_label_set_text(panel->question, result);
    gtk_label_set_text(panel->told, told);
    gtk_label_set_text(panel->hint,
                       _("Space shows the film again. Escape leaves the quiz."));
    gtk_widget_set_visible(GTK_WIDGET(panel->next), TRUE);
    gtk_widget_grab_focus(GTK_WIDGET(panel->next));
    rb_quiz_film_run_to(panel->play, RB_QUIZ_FILM_END);
}

static void answer_with(RbQuizPanel *panel, int index)
{
    if (panel->run == NULL || !rb_quiz_film_is_standing(panel->play)) {
        return;
    }
    g_autoptr(GPtrArray) choices = rb_quiz_run_choices(panel->run);
    if (index < 0 || index >= (int)choices->len) {
        return;
    }
    const gint64 us = g_get_monotonic_time() - panel->since_us;
    rb_quiz_run_answer(panel->run, ((const RbQuizChoice *)choices->pdata[index])->value,
                       (int)MIN(us / 1000, G_MAXINT / 2));
    if (rb_quiz_run_get_ask(panel->run) == RB_QUIZ_ASK_NOTHING) {
        finish(panel);
    } else if (rb_quiz_run_has_moved(panel->run)) {
        run_film(panel);
    } else {
        show_choices(panel);
    }
}

/* ---- keys */

static void leave(RbQuizPanel *panel)
{
    rb_quiz_panel_stop(panel);
    g_signal_emit(panel, signals[LEFT], 0);
}

static gboolean on_key(GtkEventControllerKey *keys, guint keyval, guint code,
                       GdkModifierType state, RbQuizPanel *panel)
{
    (void)keys;
    (void)code;
    if ((state & gtk_accelerator_get_default_mod_mask()) != 0) {
        return GDK_EVENT_PROPAGATE;
    }
    if (keyval == GDK_KEY_Escape) {
        leave(panel);
        return GDK_EVENT_STOP;
    }
    if (panel->run == NULL) {
        return GDK_EVENT_PROPAGATE;
    }
    if (keyval == GDK_KEY_space) {
        rb_quiz_film_skip(panel->play);
        return GDK_EVENT_STOP;
    }
    if (keyval >= GDK_KEY_1 && keyval <= GDK_KEY_9) {
        answer_with(panel, (int)(keyval - GDK_KEY_1));
        return GDK_EVENT_STOP;
    }
    if (keyval >= GDK_KEY_KP_1 && keyval <= GDK_KEY_KP_9) {
        answer_with(panel, (int)(keyval - GDK_KEY_KP_1));
        return GDK_EVENT_STOP;
    }
    return GDK_EVENT_PROPAGATE;
}

static void on_row(RbQuizPanel *panel, GtkListBoxRow *row)
{
    answer_with(panel, gtk_list_box_row_get_index(row));
}

static void on_start(RbQuizPanel *panel)
{
    panel->right = 0;
    panel->asked = 0;
    ask(panel, 0);
}

static void on_next(RbQuizPanel *panel)
{
    ask(panel, panel->index + 1);
}

static void on_quiz(RbQuizPanel *panel)
{
    if (panel->run == NULL) {
        show_front(panel);
    }
}

void rb_quiz_panel_set_session(RbQuizPanel *panel, RbSession *session)
{
    g_return_if_fail(RB_IS_QUIZ_PANEL(panel));
    panel->session = g_object_ref(session);
    g_signal_connect_object(session, "quiz", G_CALLBACK(on_quiz), panel,
                            G_CONNECT_SWAPPED);
}

void rb_quiz_panel_open(RbQuizPanel *panel)
{
    g_return_if_fail(RB_IS_QUIZ_PANEL(panel));
    panel->asked = 0;
    rb_quiz_panel_stop(panel);
    rb_session_want_quiz(panel->session);
    show_front(panel);
}

void rb_quiz_panel_stop(RbQuizPanel *panel)
{
    g_return_if_fail(RB_IS_QUIZ_PANEL(panel));
    rb_quiz_film_stop(panel->play);
    g_clear_pointer(&panel->run, rb_quiz_run_free);
}

static void rb_quiz_panel_dispose(GObject *object)
{
    RbQuizPanel *panel = RB_QUIZ_PANEL(object);
    g_clear_pointer(&panel->play, rb_quiz_film_free);
    g_clear_pointer(&panel->run, rb_quiz_run_free);
    gtk_widget_dispose_template(GTK_WIDGET(panel), RB_TYPE_QUIZ_PANEL);
    g_clear_object(&panel->deck);
    g_clear_object(&panel->session);
    G_OBJECT_CLASS(rb_quiz_panel_parent_class)->dispose(object);
}

static void rb_quiz_panel_class_init(RbQuizPanelClass *klass)
{
    GtkWidgetClass *widget_class = GTK_WIDGET_CLASS(klass);
    G_OBJECT_CLASS(klass)->dispose = rb_quiz_panel_dispose;
    g_type_ensure(RB_TYPE_FILM_VIEW);
    g_type_ensure(RB_TYPE_FIGURE_LIST);
    signals[LEFT] = g_signal_new("left", RB_TYPE_QUIZ_PANEL, G_SIGNAL_RUN_LAST, 0, NULL,
                                 NULL, NULL, G_TYPE_NONE, 0);
    gtk_widget_class_set_template_from_resource(widget_class,
                                                "/org/readbreak/Readbreak/quiz-panel.ui");
    gtk_widget_class_bind_template_child(widget_class, RbQuizPanel, stack);
    gtk_widget_class_bind_template_child(widget_class, RbQuizPanel, heading);
    gtk_widget_class_bind_template_child(widget_class, RbQuizPanel, about);
    gtk_widget_class_bind_template_child(widget_class, RbQuizPanel, start);
    gtk_widget_class_bind_template_child(widget_class, RbQuizPanel, leave);
    gtk_widget_class_bind_template_child(widget_class, RbQuizPanel, report_title);
    gtk_widget_class_bind_template_child(widget_class, RbQuizPanel, report);
    gtk_widget_class_bind_template_child(widget_class, RbQuizPanel, film);
    gtk_widget_class_bind_template_child(widget_class, RbQuizPanel, number);
    gtk_widget_class_bind_template_child(widget_class, RbQuizPanel, facts);
    gtk_widget_class_bind_template_child(widget_class, RbQuizPanel, question);
    gtk_widget_class_bind_template_child(widget_class, RbQuizPanel, choices);
    gtk_widget_class_bind_template_child(widget_class, RbQuizPanel, told);
    gtk_widget_class_bind_template_child(widget_class, RbQuizPanel, next);
    gtk_widget_class_bind_template_child(widget_class, RbQuizPanel, hint);
}

static void rb_quiz_panel_init(RbQuizPanel *panel)
{
    gtk_widget_init_template(GTK_WIDGET(panel));
    panel->deck = rb_deck_new();
    panel->play = rb_quiz_film_new(panel->deck, on_stopped, panel);
    rb_film_view_set_deck(panel->film, panel->deck);
    rb_figure_list_set_title(panel->report, _("Reads named right, by coverage"));
    gtk_list_box_set_activate_on_single_click(panel->choices, TRUE);
    g_signal_connect_swapped(panel->choices, "row-activated", G_CALLBACK(on_row), panel);
    g_signal_connect_swapped(panel->start, "clicked", G_CALLBACK(on_start), panel);
    g_signal_connect_swapped(panel->leave, "clicked", G_CALLBACK(leave), panel);
    g_signal_connect_swapped(panel->next, "clicked", G_CALLBACK(on_next), panel);
    GtkEventController *keys = gtk_event_controller_key_new();
    gtk_event_controller_set_propagation_phase(keys, GTK_PHASE_CAPTURE);
    g_signal_connect(keys, "key-pressed", G_CALLBACK(on_key), panel);
    gtk_widget_add_controller(GTK_WIDGET(panel), keys);
    rb_help_mark(GTK_WIDGET(panel), "figures.html#quiz");
}
