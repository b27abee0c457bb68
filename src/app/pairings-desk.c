/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "pairings-desk.h"

#include <glib/gi18n.h>
#include <math.h>

#include "rb/report/words.h"

#include "compare-view.h"
#include "filter-bar.h"
#include "help.h"
#include "notice.h"
#include "pairing-ladder.h"
#include "pairing-table.h"
#include "pairing-words.h"
#include "snap-list.h"
#include "worklist-view.h"

struct _RbPairingsDesk {
    GtkWidget parent_instance;
    /* template children */
    GtkStack *stack;
    RbNotice *notice;
    RbFilterBar *filter;
    GtkDropDown *study;
    GtkWidget *choices; /* of the table alone */
    GtkStack *pages;
    RbWorklistView *worklist;
    RbCompareView *compare;
    GtkDropDown *measure;
    GtkDropDown *axis;
    RbPairingTable *table;
    GtkLabel *legend;
    GtkLabel *heading;
    GtkLabel *sums;
    RbPairingLadder *ladder;
    GtkLabel *sentence;
    GtkLabel *note;
    GtkLabel *listed;
    RbSnapList *snaps;

    RbSession *session; /* owned, nullable */
    bool has_chosen;    /* a pairing was chosen once: the first is chosen for the coach */
};

G_DEFINE_FINAL_TYPE(RbPairingsDesk, rb_pairings_desk, GTK_TYPE_WIDGET)

/* What can go across, in the order of the menu. */
static const RbField axes[] = { RB_FIELD_COVERAGE, RB_FIELD_FAMILY, RB_FIELD_SHELL,
                                RB_FIELD_TECHNIQUE };

/* What the two name functions of a table need. */
typedef struct {
    const RbNames *names;
    RbField axis;
} Naming;

static const char *concept_name(const void *data, RbConceptId id)
{
    return rb_names_concept(((const Naming *)data)->names, id);
}

static const char *column_name(const void *data, RbTermId id)
{
    const Naming *naming = data;
    return rb_across_name(naming->names, naming->axis, id);
}

/* The first look: the pairing with most dropbacks. */
static void choose_first(RbPairingsDesk *desk, const RbPairings *pairings)
{
    if (desk->has_chosen || pairings->n_cells == 0) {
        return;
    }
    const RbTally *best = &pairings->cells[0];
    for (int i = 1; i < pairings->n_cells; i++) {
        best =
            pairings->cells[i].dropbacks > best->dropbacks ? &pairings->cells[i] : best;
    }
    desk->has_chosen = true;
    rb_pairing_table_choose(desk->table, best->concept, best->coverage);
    rb_session_set_pairing(desk->session, best->concept, best->coverage);
}

static void show_stack(RbPairingsDesk *desk)
{
    const RbPairings *pairings = rb_session_get_pairings(desk->session);
    const bool filtered = rb_session_get_filter(desk->session)->clauses->len > 0;
    if (pairings != NULL && (pairings->all.dropbacks > 0 || filtered)) {
        gtk_stack_set_visible_child_name(desk->stack, "figures");
        return;
    }
    gtk_stack_set_visible_child_name(desk->stack, "empty");
    if (pairings != NULL && pairings->untagged > 0) {
        rb_notice_set(desk->notice, _("No dropback has both concept and coverage yet"),
                      _("Tag both on the Chart desk: each concept against each coverage, "
                        "and where it breaks, will be here."),
                      _("Go to Chart"), "win.desk::chart");
    } else if (rb_session_get_state(desk->session) == RB_SESSION_OPEN &&
               pairings == NULL) {
        rb_notice_set(desk->notice, _("Counting the dropbacks"), NULL, NULL, NULL);
    } else {
        rb_notice_set(
            desk->notice, _("No dropbacks yet"),
            _("Each concept against each coverage, and where it breaks, will be "
              "here as soon as a game is tagged. The demo season in the menu shows what "
              "that looks like."),
            _("Go to Chart"), "win.desk::chart");
    }
}

static void on_figures(RbPairingsDesk *desk)
{
    const RbPairings *pairings = rb_session_get_pairings(desk->session);
    RbNames *names = rb_session_get_names(desk->session);
    show_stack(desk);
    if (pairings == NULL || names == NULL) {
        return;
    }
    rb_filter_bar_set(desk->filter, names, rb_session_get_filter(desk->session),
                      pairings->all.dropbacks);
    const RbTableAnswer *table = rb_session_get_table(desk->session);
    const Naming naming = { names, table->axis };
    RbPairingView *view =
        rb_pairing_view_new(pairings, &naming, concept_name, column_name);
    rb_pairing_view_set_measure(view, pairings, table->measure, table->figures);
    rb_pairing_table_take_view(desk->table, view);
    rb_help_mark(GTK_WIDGET(desk->table), rb_help_measure_topic((int)table->measure));
    g_autofree char *legend = rb_table_legend(table);
    gtk_label_set_text(desk->legend, legend);
    choose_first(desk, pairings);
}

/* Reads are named by the concept where one is chosen. */
static void show_ladder(RbPairingsDesk *desk, const RbLadderAnswer *answer)
{
    const RbNames *names = rb_session_get_names(desk->session);
    const RbConcept *concept = rb_names_find_concept(names, answer->concept);
    const char *reads[RB_READS_MAX + 1] = { NULL };
    for (guint i = 0; concept != NULL && i < concept->reads->len; i++) {
        const RbRead *read = concept->reads->pdata[i];
        if (read->number >= 1 && read->number <= RB_READS_MAX) {
            reads[read->number] = rb_words_label(&rb_route_words, read->route);
        }
    }
    rb_pairing_ladder_set(desk->ladder, &answer->ladder, &answer->found, reads);
}

static void show_break(RbPairingsDesk *desk, const RbLadderAnswer *answer)
{
    const RbBreak *found = &answer->found;
    const int n = answer->ladder.dropbacks;
    g_autofree char *sentence =
        n > 0 ? rb_selection_break_text(answer->selection, &answer->ladder, found)
              : g_strdup("");
    /* A few dropbacks drawn again are the same few: that they agree says nothing. */
    g_autofree char *note =
        n >= RB_PAIRING_MIN && found->found
            ? g_strdup_printf(_("Comes first again in %.0f %% of %d draws."),
                              round(100 * found->share), found->draws)
            : g_strdup("");
    gtk_label_set_text(desk->sentence, sentence);
    gtk_label_set_text(desk->note, note);
    gtk_widget_set_tooltip_text(GTK_WIDGET(desk->sentence), rb_break_curve_text());
}

static void list_snaps(RbPairingsDesk *desk)
{
    const RbLadderAnswer *answer = rb_session_get_ladder(desk->session);
    if (answer == NULL) {
        return;
    }
    int read = -1;
    int stage = -1;
    rb_pairing_ladder_get_chosen(desk->ladder, &read, &stage);
    g_autoptr(GArray) snaps = rb_selection_snaps(answer->selection, RB_ANY_CONCEPT,
                                                 RB_ANY_COVERAGE, read, stage);
    rb_snap_list_set(desk->snaps, rb_selection_get_snapshot(answer->selection), snaps,
                     answer->filmed);
    g_autofree char *listed = rb_snaps_listed((int)snaps->len, read, stage);
    gtk_label_set_text(desk->listed, listed);
}

/* What finds the part of the ladder that is chosen: only what counts there, so that a list that
 * follows it has as many clips as the ladder says. Returns: (transfer full). */
static RbFilter *filter_of_part(const RbLadderAnswer *answer, int read, int stage)
{
    RbFilter *filter = rb_filter_copy(rb_selection_get_filter(answer->selection));
    rb_filter_remove(filter, RB_FIELD_COUNTS);
    rb_filter_add_value(filter, RB_FIELD_COUNTS, RB_YES);
    if (read >= 0) {
        rb_filter_remove(filter, RB_FIELD_READ);
        rb_filter_add_value(filter, RB_FIELD_READ, read);
    }
    if (stage >= 0) {
        rb_filter_remove(filter, RB_FIELD_STAGE);
        rb_filter_add_value(filter, RB_FIELD_STAGE, stage);
    }
    return filter;
}

bool rb_pairings_desk_make_cutup(RbPairingsDesk *desk, bool live)
{
    g_return_val_if_fail(RB_IS_PAIRINGS_DESK(desk), false);
    const RbLadderAnswer *answer = rb_session_get_ladder(desk->session);
    int read = -1;
    int stage = -1;
    bool part = false;
    rb_pairing_ladder_get_chosen(desk->ladder, &read, &stage);
    g_autoptr(GArray) snaps = rb_snap_list_dup_snaps(desk->snaps, &part);
    if (answer == NULL || snaps->len == 0) {
        return false;
    }
    RbCutupAsk *ask = rb_cutup_ask_new(live ? RB_CUTUP_ASK_MAKE_LIVE : RB_CUTUP_ASK_MAKE,
                                       (RbCutupId){ rb_id_random() });
    ask->name = rb_ladder_part_name(gtk_label_get_text(desk->heading), read, stage);
    ask->filter = live || !part ? filter_of_part(answer, read, stage) : NULL;
    ask->snaps = g_steal_pointer(&snaps);
    rb_session_make_cutup(desk->session, ask);
    return true;
}

static void on_ladder(RbPairingsDesk *desk)
{
    const RbLadderAnswer *answer = rb_session_get_ladder(desk->session);
    if (answer == NULL) {
        return;
    }
    g_autofree char *heading =
        rb_ladder_heading(rb_session_get_names(desk->session), answer);
    g_autofree char *sums = rb_ladder_sums(&answer->ladder);
    gtk_label_set_text(desk->heading, heading);
    gtk_label_set_text(desk->sums, sums);
    show_ladder(desk, answer);
    show_break(desk, answer);
    list_snaps(desk);
}

static void on_pairing(RbPairingsDesk *desk, gint64 concept, gint64 coverage)
{
    desk->has_chosen = true;
    rb_session_set_pairing(desk->session, (RbConceptId){ concept },
                           (RbTermId){ coverage });
}

static void on_table_opened(RbPairingsDesk *desk)
{
    gtk_widget_grab_focus(GTK_WIDGET(desk->ladder));
}

static void on_ladder_opened(RbPairingsDesk *desk)
{
    rb_snap_list_focus(desk->snaps);
}

static void on_snap_opened(RbPairingsDesk *desk, gint64 snap)
{
    rb_session_open_snap(desk->session, (RbSnapId){ snap });
}

static void on_filter(RbPairingsDesk *desk)
{
    rb_session_take_filter(desk->session, rb_filter_bar_dup_filter(desk->filter));
}

static void on_measure(RbPairingsDesk *desk)
{
    rb_session_set_measure(desk->session,
                           (RbMeasure)gtk_drop_down_get_selected(desk->measure));
}

static void on_axis(RbPairingsDesk *desk)
{
    rb_session_set_axis(desk->session, axes[gtk_drop_down_get_selected(desk->axis)]);
}

static void on_study(RbPairingsDesk *desk)
{
    static const char *const pages[] = { "table", "worklist", "compare" };
    const guint study = gtk_drop_down_get_selected(desk->study);
    gtk_stack_set_visible_child_name(desk->pages, pages[study]);
    gtk_widget_set_visible(desk->choices, study == RB_STUDY_TABLE);
    rb_filter_bar_set_title(desk->filter, study == RB_STUDY_COMPARE ? _("First") : "");
    rb_session_want_study(desk->session, (RbStudy)study);
}

static void on_save(RbPairingsDesk *desk, const char *name)
{
    rb_session_save_filter(desk->session, name, rb_session_get_filter(desk->session));
}

static void on_forget(RbPairingsDesk *desk, const char *name)
{
    rb_session_save_filter(desk->session, name, NULL);
}

/* The words of the menus. */
static void fill_menus(RbPairingsDesk *desk)
{
    g_autoptr(GtkStringList) studies = gtk_string_list_new(NULL);
    gtk_string_list_append(studies, _("All pairings"));
    gtk_string_list_append(studies, _("What to work on"));
    gtk_string_list_append(studies, _("Compare two filters"));
    gtk_drop_down_set_model(desk->study, G_LIST_MODEL(studies));
    gtk_accessible_update_property(GTK_ACCESSIBLE(desk->study),
                                   GTK_ACCESSIBLE_PROPERTY_LABEL, _("Shown"), -1);
    g_autoptr(GtkStringList) measures = gtk_string_list_new(NULL);
    g_autoptr(GtkStringList) across = gtk_string_list_new(NULL);
    for (int i = 0; i < RB_MEASURES; i++) {
        gtk_string_list_append(measures, rb_words_label(&rb_measure_words, i));
    }
    for (size_t i = 0; i < G_N_ELEMENTS(axes); i++) {
        gtk_string_list_append(across, rb_words_label(&rb_field_words, (int)axes[i]));
    }
    gtk_drop_down_set_model(desk->measure, G_LIST_MODEL(measures));
    gtk_drop_down_set_model(desk->axis, G_LIST_MODEL(across));
    gtk_accessible_update_property(GTK_ACCESSIBLE(desk->measure),
                                   GTK_ACCESSIBLE_PROPERTY_LABEL, _("Measure"), -1);
    gtk_accessible_update_property(GTK_ACCESSIBLE(desk->axis),
                                   GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   C_("of the table", "Across"), -1);
}

static void on_mapped(RbPairingsDesk *desk)
{
    if (desk->session != NULL) {
        rb_session_want_figures(desk->session);
    }
}

void rb_pairings_desk_set_session(RbPairingsDesk *desk, RbSession *session)
{
    g_return_if_fail(RB_IS_PAIRINGS_DESK(desk));
    g_return_if_fail(desk->session == NULL);
    desk->session = g_object_ref(session);
    g_signal_connect_object(session, "figures", G_CALLBACK(on_figures), desk,
                            G_CONNECT_SWAPPED);
    g_signal_connect_object(session, "ladder", G_CALLBACK(on_ladder), desk,
                            G_CONNECT_SWAPPED);
    g_signal_connect_object(session, "state", G_CALLBACK(show_stack), desk,
                            G_CONNECT_SWAPPED);
    rb_worklist_view_set_session(desk->worklist, session);
    rb_compare_view_set_session(desk->compare, session);
    g_signal_connect_object(desk->study, "notify::selected", G_CALLBACK(on_study), desk,
                            G_CONNECT_SWAPPED);
    g_signal_connect_object(desk->measure, "notify::selected", G_CALLBACK(on_measure),
                            desk, G_CONNECT_SWAPPED);
    g_signal_connect_object(desk->axis, "notify::selected", G_CALLBACK(on_axis), desk,
                            G_CONNECT_SWAPPED);
    show_stack(desk);
}

/* What stands at the left: the table, the list, or the other side's filter. */
static void focus_page(RbPairingsDesk *desk)
{
    switch ((RbStudy)gtk_drop_down_get_selected(desk->study)) {
    case RB_STUDY_TABLE:
        gtk_widget_grab_focus(GTK_WIDGET(desk->table));
        break;
    case RB_STUDY_WORKLIST:
        gtk_widget_grab_focus(GTK_WIDGET(desk->worklist));
        break;
    case RB_STUDY_COMPARE:
        gtk_widget_child_focus(GTK_WIDGET(desk->compare), GTK_DIR_TAB_FORWARD);
        break;
    }
}

void rb_pairings_desk_focus_table(RbPairingsDesk *desk)
{
    g_return_if_fail(RB_IS_PAIRINGS_DESK(desk));
    focus_page(desk);
}

void rb_pairings_desk_step_out(RbPairingsDesk *desk)
{
    g_return_if_fail(RB_IS_PAIRINGS_DESK(desk));
    GtkRoot *root = gtk_widget_get_root(GTK_WIDGET(desk));
    GtkWidget *focus = root != NULL ? gtk_root_get_focus(root) : NULL;
    if (focus != NULL && gtk_widget_is_ancestor(focus, GTK_WIDGET(desk->snaps))) {
        gtk_widget_grab_focus(GTK_WIDGET(desk->ladder));
    } else {
        focus_page(desk);
    }
}

static void rb_pairings_desk_dispose(GObject *object)
{
    RbPairingsDesk *desk = RB_PAIRINGS_DESK(object);
    gtk_widget_dispose_template(GTK_WIDGET(desk), RB_TYPE_PAIRINGS_DESK);
    g_clear_object(&desk->session);
    G_OBJECT_CLASS(rb_pairings_desk_parent_class)->dispose(object);
}

static void rb_pairings_desk_class_init(RbPairingsDeskClass *klass)
{
    GtkWidgetClass *widget_class = GTK_WIDGET_CLASS(klass);
    G_OBJECT_CLASS(klass)->dispose = rb_pairings_desk_dispose;
    g_type_ensure(RB_TYPE_NOTICE);
    g_type_ensure(RB_TYPE_FILTER_BAR);
    g_type_ensure(RB_TYPE_PAIRING_TABLE);
    g_type_ensure(RB_TYPE_PAIRING_LADDER);
    g_type_ensure(RB_TYPE_SNAP_LIST);
    g_type_ensure(RB_TYPE_WORKLIST_VIEW);
    g_type_ensure(RB_TYPE_COMPARE_VIEW);
    gtk_widget_class_set_template_from_resource(
        widget_class, "/org/readbreak/Readbreak/pairings-desk.ui");
    gtk_widget_class_bind_template_child(widget_class, RbPairingsDesk, stack);
    gtk_widget_class_bind_template_child(widget_class, RbPairingsDesk, notice);
    gtk_widget_class_bind_template_child(widget_class, RbPairingsDesk, filter);
    gtk_widget_class_bind_template_child(widget_class, RbPairingsDesk, study);
    gtk_widget_class_bind_template_child(widget_class, RbPairingsDesk, choices);
    gtk_widget_class_bind_template_child(widget_class, RbPairingsDesk, pages);
    gtk_widget_class_bind_template_child(widget_class, RbPairingsDesk, worklist);
    gtk_widget_class_bind_template_child(widget_class, RbPairingsDesk, compare);
    gtk_widget_class_bind_template_child(widget_class, RbPairingsDesk, table);
    gtk_widget_class_bind_template_child(widget_class, RbPairingsDesk, measure);
    gtk_widget_class_bind_template_child(widget_class, RbPairingsDesk, axis);
    gtk_widget_class_bind_template_child(widget_class, RbPairingsDesk, legend);
    gtk_widget_class_bind_template_child(widget_class, RbPairingsDesk, heading);
    gtk_widget_class_bind_template_child(widget_class, RbPairingsDesk, sums);
    gtk_widget_class_bind_template_child(widget_class, RbPairingsDesk, ladder);
    gtk_widget_class_bind_template_child(widget_class, RbPairingsDesk, sentence);
    gtk_widget_class_bind_template_child(widget_class, RbPairingsDesk, note);
    gtk_widget_class_bind_template_child(widget_class, RbPairingsDesk, listed);
    gtk_widget_class_bind_template_child(widget_class, RbPairingsDesk, snaps);
}

static void rb_pairings_desk_init(RbPairingsDesk *desk)
{
    gtk_widget_init_template(GTK_WIDGET(desk));
    fill_menus(desk);
    g_signal_connect(desk, "map", G_CALLBACK(on_mapped), NULL);
    g_signal_connect_swapped(desk->table, "chosen", G_CALLBACK(on_pairing), desk);
    g_signal_connect_swapped(desk->table, "opened", G_CALLBACK(on_table_opened), desk);
    g_signal_connect_swapped(desk->ladder, "chosen", G_CALLBACK(list_snaps), desk);
    g_signal_connect_swapped(desk->ladder, "opened", G_CALLBACK(on_ladder_opened), desk);
    g_signal_connect_swapped(desk->snaps, "opened", G_CALLBACK(on_snap_opened), desk);
    g_signal_connect_swapped(desk->worklist, "opened", G_CALLBACK(on_table_opened), desk);
    g_signal_connect_swapped(desk->filter, "changed", G_CALLBACK(on_filter), desk);
    g_signal_connect_swapped(desk->filter, "save", G_CALLBACK(on_save), desk);
    g_signal_connect_swapped(desk->filter, "forget", G_CALLBACK(on_forget), desk);
    rb_help_mark(GTK_WIDGET(desk), "pairings.html");
    rb_help_mark(GTK_WIDGET(desk->table), rb_help_measure_topic(RB_MEASURE_SUCCESS));
    rb_help_mark(GTK_WIDGET(desk->ladder), "figures.html#stages");
    rb_help_mark(GTK_WIDGET(desk->sums), "figures.html#points");
    rb_help_mark(GTK_WIDGET(desk->sentence), "figures.html#break");
    rb_help_mark(GTK_WIDGET(desk->legend), "figures.html#estimate");
}
