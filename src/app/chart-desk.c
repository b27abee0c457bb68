/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "chart-desk.h"

#include <glib/gi18n.h>

#include "access.h"
#include "draw-layer.h"
#include "drive-strip.h"
#include "film-log-panel.h"
#include "film-view.h"
#include "help.h"
#include "keys.h"
#include "measure-panel.h"
#include "notice.h"
#include "rail-panel.h"
#include "read-ladder.h"
#include "snap-words.h"
#include "tag-list.h"
#include "transport.h"

struct _RbChartDesk {
    GtkWidget parent_instance;
    /* template children */
    GtkStack *stack;
    RbNotice *notice;
    RbFilmView *film;
    RbTransport *transport;
    RbDriveStrip *strip;
    GtkLabel *number;
    GtkLabel *facts;
    GtkLabel *author;
    RbTagList *tags;
    RbRailPanel *rail;
    GtkStack *side;
    GtkStack *panel; /* the snap, the film that is logged, or what is measured */
    RbFilmLogPanel *log;
    RbMeasurePanel *measuring;
    GtkLabel *call;
    RbReadLadder *reads;
    GtkLabel *verdict;
    GtkLabel *outcome;
    GtkLabel *reasons;
    GtkButton *settle;

    RbSession *session;       /* owned, nullable */
    RbSnapId reads_of;        /* whose the rungs are */
    RbDeck *deck;             /* owned */
    RbDrawLayer *layer;       /* borrowed: over the film */
    RbMeasureLayer *measures; /* borrowed: of the film */
    RbFilmLogger *logger;     /* owned, nullable: no session yet */
};

G_DEFINE_FINAL_TYPE(RbChartDesk, rb_chart_desk, GTK_TYPE_WIDGET)

static bool is_logging(RbChartDesk *desk)
{
    return desk->logger != NULL && rb_film_logger_is_on(desk->logger);
}

/* The first snaps are there: keys go to the question, unless somebody types elsewhere by now. */
static void leave_empty(RbChartDesk *desk)
{
    GtkRoot *root = gtk_widget_get_root(GTK_WIDGET(desk));
    GtkWidget *focus = root != NULL ? gtk_root_get_focus(root) : NULL;
    const bool was_empty =
        g_strcmp0(gtk_stack_get_visible_child_name(desk->stack), "empty") == 0;
    gtk_stack_set_visible_child_name(desk->stack, "chart");
    if (was_empty && !GTK_IS_TEXT(focus) && gtk_widget_get_mapped(GTK_WIDGET(desk))) {
        rb_chart_desk_focus_rail(desk);
    }
}

/* Keys need somebody who has the focus. */
static void focus_notice(RbChartDesk *desk)
{
    if (gtk_widget_get_mapped(GTK_WIDGET(desk))) {
        rb_chart_desk_focus_rail(desk);
    }
}

static void show_empty(RbChartDesk *desk)
{
    const RbNames *names = rb_session_get_names(desk->session);
    const GPtrArray *snaps = rb_session_get_snaps(desk->session);
    if ((snaps != NULL && snaps->len > 0) || is_logging(desk)) {
        leave_empty(desk);
        return;
    }
    gtk_stack_set_visible_child_name(desk->stack, "empty");
    if (names == NULL) {
        rb_notice_set(desk->notice, _("No library is open"),
                      _("The film of a snap, its tags and its verdict will be here."),
                      NULL, NULL);
    } else if (rb_names_games(names)->len == 0) {
        rb_notice_set(desk->notice, _("This library has no game yet"),
                      _("The snaps of a game, with film and tags, will be here. The demo "
                        "season in the menu shows what that looks like."),
                      _("Add a game"), "win.new-game");
        focus_notice(desk);
    } else if (snaps != NULL) {
        rb_notice_set(
            desk->notice, _("No snap of this game is logged yet"),
            _("Load its film, then say on it where each one starts and ends, or "
              "take in a play log from the menu."),
            _("Log snaps on the film"), "log.film");
        rb_notice_add_other(desk->notice, _("Load film…"), "win.load-film");
        focus_notice(desk);
    } else {
        rb_notice_set(desk->notice, _("Reading the game"), NULL, NULL, NULL);
    }
}

static void on_snaps(RbChartDesk *desk)
{
    GPtrArray *snaps = rb_session_get_snaps(desk->session);
    const RbNames *names = rb_session_get_names(desk->session);
    const RbGame *game =
        names != NULL ? rb_names_find_game(names, rb_session_get_game(desk->session))
                      : NULL;
    g_autoptr(GPtrArray) tiles =
        snaps != NULL ? rb_tiles_build(snaps, rb_session_get_filmed(desk->session),
                                       game != NULL ? game->rules : RB_RULES_COLLEGE)
                      : NULL;
    rb_drive_strip_set_tiles(desk->strip, tiles);
    rb_drive_strip_set_chosen(desk->strip, rb_session_get_snap(desk->session));
    show_empty(desk);
}

static void show_head(RbChartDesk *desk, const RbSheet *sheet)
{
    g_autofree char *number = g_strdup_printf(_("Snap %d"), sheet->snap->number);
    g_autofree char *facts = rb_snap_facts_text(sheet->names, sheet->snap);
    g_autofree char *author = rb_sheet_author_text(sheet);
    gtk_label_set_text(desk->author, author);
    gtk_widget_set_visible(GTK_WIDGET(desk->author), author[0] != '\0');
    gtk_label_set_text(desk->number, number);
    gtk_label_set_text(desk->facts, facts);
}

static void show_verdict(RbChartDesk *desk, const RbSheet *sheet)
{
    g_autofree char *verdict = rb_sheet_verdict_text(sheet);
    g_autofree char *outcome = rb_sheet_outcome_text(sheet);
    g_autofree char *reasons = rb_sheet_reasons_text(sheet);
    if (!g_str_equal(gtk_label_get_text(desk->verdict), verdict)) {
        rb_access_announce(desk->verdict, verdict);
    }
    gtk_label_set_text(desk->outcome, outcome);
    gtk_label_set_text(desk->reasons, reasons);
    gtk_widget_set_visible(GTK_WIDGET(desk->reasons), reasons[0] != '\0');
    const bool by_rail =
        g_strcmp0(gtk_stack_get_visible_child_name(desk->side), "rail") == 0;
    const bool asks = !by_rail && sheet->judged && sheet->settle != NULL &&
                      rb_taggable_for(&sheet->judgment.settle) != NULL;
    gtk_widget_set_visible(GTK_WIDGET(desk->settle), asks);
    if (asks) {
        g_autofree char *key = rb_keys_text_of(rb_keys_get(), "win.settle");
        g_autofree char *label = g_strdup_printf(_("Tag %s (%s)"), sheet->settle, key);
        gtk_button_set_label(desk->settle, label);
    }
}

/* A sheet from before the last look was pressed would take it back, and the next key would press
 * it again. */
static bool is_older(RbChartDesk *desk, const RbSheet *sheet)
{
    return rb_read_ladder_is_ahead(desk->reads) &&
           sheet->snap->id.value == desk->reads_of.value &&
           rb_session_is_behind(desk->session);
}

static void show_reads(RbChartDesk *desk, const RbSheet *sheet)
{
    if (is_older(desk, sheet)) {
        return;
    }
    desk->reads_of = sheet->snap->id;
    g_autofree char *call = rb_names_call_text(sheet->names, &sheet->chart->call);
    gtk_label_set_text(desk->call, sheet->chart->call.kind == RB_CALL_UNKNOWN
                                       ? _("Concept not tagged")
                                       : call);
    g_autoptr(GPtrArray) rungs =
        rb_rung_views_build(sheet->slots, sheet->n_slots, sheet->chart,
                            sheet->judged ? &sheet->judgment : NULL);
    rb_read_ladder_set_rungs(desk->reads, rungs);
    gtk_widget_set_visible(GTK_WIDGET(desk->reads), rungs->len > 0);
    gtk_widget_set_visible(GTK_WIDGET(desk->call), sheet->judged);
}

/* Of the snap, unless the deck is lent to the film that is logged. sheet: (nullable). */
static void show_clips(RbChartDesk *desk, const RbSheet *sheet)
{
    if (is_logging(desk)) {
        return;
    }
    g_autoptr(GPtrArray) none = g_ptr_array_new();
    rb_deck_set_clips(desk->deck, sheet != NULL ? sheet->clips : none,
                      sheet != NULL ? sheet->paths : none);
}

static void on_sheet(RbChartDesk *desk)
{
    const RbSheet *sheet = rb_session_get_sheet(desk->session);
    rb_tag_list_set_sheet(desk->tags, sheet);
    show_clips(desk, sheet);
    if (sheet == NULL) {
        return;
    }
    rb_drive_strip_set_chosen(desk->strip, sheet->snap->id);
    show_head(desk, sheet);
    show_reads(desk, sheet);
    show_verdict(desk, sheet);
}

/* The rail asks for what would settle it; beside the list of tags a button does. */
static void on_side(RbChartDesk *desk)
{
    const RbSheet *sheet =
        desk->session != NULL ? rb_session_get_sheet(desk->session) : NULL;
    if (sheet != NULL) {
        show_verdict(desk, sheet);
    }
}

static void go_to(RbChartDesk *desk, RbSnapId snap)
{
    rb_session_set_snap(desk->session, snap);
    if (is_logging(desk)) {
        rb_film_logger_go(desk->logger, snap);
    }
}

static void on_chosen(RbChartDesk *desk, gint64 snap)
{
    go_to(desk, (RbSnapId){ snap });
}

static void on_answered(RbChartDesk *desk, const char *field, const char *value)
{
    rb_session_tag(desk->session, field, value);
}

static void on_look(RbChartDesk *desk, int slot, int look)
{
    const RbTag tag = { .kind = RB_TAG_LOOK, .slot = slot };
    const RbTaggable *field = rb_taggable_for(&tag);
    if (field != NULL) {
        rb_session_tag(desk->session, field->token,
                       look == RB_LOOK_UNKNOWN ? ""
                                               : rb_words_token(&rb_look_words, look));
    }
}

/* What the film shows already stands on its track. */
static void on_logger(RbChartDesk *desk)
{
    const RbFilmLog *log = rb_film_logger_get_log(desk->logger);
    const RbFilm *film = rb_film_logger_get_film(desk->logger);
    g_autoptr(GArray) spans = g_array_new(FALSE, FALSE, sizeof(RbTrackSpan));
    for (guint i = 0; film != NULL && i < log->clips->len; i++) {
        const RbClip *clip = log->clips->pdata[i];
        const RbTrackSpan span = { clip->first, clip->last };
        if (clip->film.value == film->id.value) {
            g_array_append_val(spans, span);
        }
    }
    rb_transport_set_spans(desk->transport, (const RbTrackSpan *)(void *)spans->data,
                           (int)spans->len);
}

/* Beside the film: what is done with it now. */
static void show_panel(RbChartDesk *desk)
{
    const bool measuring = rb_film_layer_is_on(RB_FILM_LAYER(desk->measures));
    gtk_stack_set_visible_child_name(desk->panel, measuring          ? "measure"
                                                  : is_logging(desk) ? "log"
                                                                     : "snap");
}

void rb_chart_desk_set_session(RbChartDesk *desk, RbSession *session)
{
    g_return_if_fail(RB_IS_CHART_DESK(desk));
    g_return_if_fail(desk->session == NULL);
    desk->session = g_object_ref(session);
    g_signal_connect_object(session, "snaps", G_CALLBACK(on_snaps), desk,
                            G_CONNECT_SWAPPED);
    g_signal_connect_object(session, "sheet", G_CALLBACK(on_sheet), desk,
                            G_CONNECT_SWAPPED);
    g_signal_connect_object(session, "state", G_CALLBACK(show_empty), desk,
                            G_CONNECT_SWAPPED);
    g_signal_connect_object(rb_keys_get(), "changed", G_CALLBACK(on_side), desk,
                            G_CONNECT_SWAPPED);
    rb_rail_panel_set_session(desk->rail, session, desk->deck);
    desk->layer = rb_draw_layer_add(desk->film, desk->deck, session);
    desk->measures = rb_measure_layer_add(desk->film, desk->deck, session);
    g_signal_connect_object(desk->measures, "changed", G_CALLBACK(show_panel), desk,
                            G_CONNECT_SWAPPED);
    g_signal_connect_object(desk->measures, "list", G_CALLBACK(gtk_widget_grab_focus),
                            desk->measuring, G_CONNECT_SWAPPED);
    rb_measure_panel_set_layer(desk->measuring, desk->measures);
    desk->logger = rb_film_logger_new(session, desk->deck);
    g_signal_connect_object(desk->logger, "changed", G_CALLBACK(on_logger), desk,
                            G_CONNECT_SWAPPED);
    rb_film_log_panel_set_logger(desk->log, desk->logger);
    show_empty(desk);
}

RbFilmView *rb_chart_desk_get_film(RbChartDesk *desk)
{
    return desk->film;
}

RbDeck *rb_chart_desk_get_deck(RbChartDesk *desk)
{
    return desk->deck;
}

void rb_chart_desk_draw(RbChartDesk *desk)
{
    g_return_if_fail(RB_IS_CHART_DESK(desk));
    rb_draw_layer_toggle(desk->layer);
}

void rb_chart_desk_measure(RbChartDesk *desk)
{
    g_return_if_fail(RB_IS_CHART_DESK(desk));
    rb_measure_layer_toggle(desk->measures);
}

void rb_chart_desk_go(RbChartDesk *desk, int step)
{
    g_return_if_fail(RB_IS_CHART_DESK(desk));
    go_to(desk, rb_drive_strip_get_neighbour(desk->strip, step));
}

void rb_chart_desk_cycle_read(RbChartDesk *desk, int slot)
{
    g_return_if_fail(RB_IS_CHART_DESK(desk));
    rb_read_ladder_cycle(desk->reads, slot);
}

void rb_chart_desk_log_film(RbChartDesk *desk, bool on)
{
    g_return_if_fail(RB_IS_CHART_DESK(desk));
    if (desk->logger == NULL || rb_session_get_game(desk->session).value == 0) {
        return;
    }
    rb_film_logger_set_on(desk->logger, on);
    show_panel(desk);
    show_empty(desk);
    if (!on) {
        show_clips(desk, rb_session_get_sheet(desk->session));
    }
    rb_chart_desk_focus_rail(desk);
}

RbFilmLogger *rb_chart_desk_get_logger(RbChartDesk *desk)
{
    return desk->logger;
}

void rb_chart_desk_jump(RbChartDesk *desk, int direction)
{
    g_return_if_fail(RB_IS_CHART_DESK(desk));
    if (direction == 0) {
        rb_deck_jump_to(desk->deck, RB_MARK_SNAP);
    } else if (is_logging(desk)) {
        rb_film_logger_jump(desk->logger, direction);
    } else {
        rb_deck_jump(desk->deck, direction);
    }
}

void rb_chart_desk_switch_angle(RbChartDesk *desk)
{
    g_return_if_fail(RB_IS_CHART_DESK(desk));
    if (is_logging(desk)) {
        rb_film_logger_next_film(desk->logger);
    } else {
        rb_deck_switch_angle(desk->deck);
    }
}

void rb_chart_desk_step_out(RbChartDesk *desk)
{
    g_return_if_fail(RB_IS_CHART_DESK(desk));
    if (!is_logging(desk)) {
        rb_chart_desk_focus_rail(desk);
    } else if (!rb_film_logger_drop(desk->logger)) {
        rb_chart_desk_log_film(desk, false);
    }
}

void rb_chart_desk_focus_rail(RbChartDesk *desk)
{
    g_return_if_fail(RB_IS_CHART_DESK(desk));
    if (is_logging(desk)) {
        gtk_widget_grab_focus(GTK_WIDGET(desk->log));
        return;
    }
    if (g_strcmp0(gtk_stack_get_visible_child_name(desk->stack), "empty") == 0) {
        gtk_widget_child_focus(GTK_WIDGET(desk->notice), GTK_DIR_TAB_FORWARD);
        return;
    }
    gtk_stack_set_visible_child_name(desk->side, "rail");
    gtk_widget_grab_focus(GTK_WIDGET(desk->rail));
}

void rb_chart_desk_focus_tags(RbChartDesk *desk)
{
    g_return_if_fail(RB_IS_CHART_DESK(desk));
    gtk_stack_set_visible_child_name(desk->side, "tags");
    rb_tag_list_focus(desk->tags);
}

void rb_chart_desk_settle(RbChartDesk *desk)
{
    g_return_if_fail(RB_IS_CHART_DESK(desk));
    const RbSheet *sheet = rb_session_get_sheet(desk->session);
    const RbTaggable *field =
        sheet != NULL && sheet->judged ? rb_taggable_for(&sheet->judgment.settle) : NULL;
    if (field != NULL) {
        gtk_stack_set_visible_child_name(desk->side, "tags");
        rb_tag_list_open(desk->tags, field->token);
    }
}

/* The next dropback; past the last one it stays. */
static void on_finished(RbChartDesk *desk)
{
    const GPtrArray *snaps = rb_session_get_snaps(desk->session);
    const RbSnapId now = rb_session_get_snap(desk->session);
    bool after = false;
    for (guint i = 0; snaps != NULL && i < snaps->len; i++) {
        const RbSnap *snap = snaps->pdata[i];
        const bool unlogged =
            snap->play == RB_PLAY_UNKNOWN && snap->result == RB_RESULT_UNKNOWN;
        if (after && (rb_snap_is_dropback(snap) || unlogged)) {
            rb_session_set_snap(desk->session, snap->id);
            return;
        }
        after = after || snap->id.value == now.value;
    }
}

static void rb_chart_desk_dispose(GObject *object)
{
    RbChartDesk *desk = RB_CHART_DESK(object);
    if (desk->tags != NULL) {
        rb_tag_list_set_sheet(desk->tags, NULL); /* the sheet dies with the session */
    }
    if (desk->side != NULL) { /* its pages go one by one, and nobody is to hear of it */
        g_signal_handlers_disconnect_by_data(desk->side, desk);
    }
    gtk_widget_dispose_template(GTK_WIDGET(desk), RB_TYPE_CHART_DESK);
    desk->side = NULL;
    desk->tags = NULL;
    g_clear_object(&desk->session);
    g_clear_object(&desk->logger);
    g_clear_object(&desk->deck);
    G_OBJECT_CLASS(rb_chart_desk_parent_class)->dispose(object);
}

static void rb_chart_desk_class_init(RbChartDeskClass *klass)
{
    GtkWidgetClass *widget_class = GTK_WIDGET_CLASS(klass);
    G_OBJECT_CLASS(klass)->dispose = rb_chart_desk_dispose;
    g_type_ensure(RB_TYPE_NOTICE);
    g_type_ensure(RB_TYPE_FILM_VIEW);
    g_type_ensure(RB_TYPE_TRANSPORT);
    g_type_ensure(RB_TYPE_DRIVE_STRIP);
    g_type_ensure(RB_TYPE_TAG_LIST);
    g_type_ensure(RB_TYPE_RAIL_PANEL);
    g_type_ensure(RB_TYPE_READ_LADDER);
    g_type_ensure(RB_TYPE_FILM_LOG_PANEL);
    g_type_ensure(RB_TYPE_MEASURE_PANEL);
    gtk_widget_class_set_template_from_resource(widget_class,
                                                "/org/readbreak/Readbreak/chart-desk.ui");
    gtk_widget_class_bind_template_child(widget_class, RbChartDesk, stack);
    gtk_widget_class_bind_template_child(widget_class, RbChartDesk, notice);
    gtk_widget_class_bind_template_child(widget_class, RbChartDesk, film);
    gtk_widget_class_bind_template_child(widget_class, RbChartDesk, transport);
    gtk_widget_class_bind_template_child(widget_class, RbChartDesk, strip);
    gtk_widget_class_bind_template_child(widget_class, RbChartDesk, number);
    gtk_widget_class_bind_template_child(widget_class, RbChartDesk, facts);
    gtk_widget_class_bind_template_child(widget_class, RbChartDesk, author);
    gtk_widget_class_bind_template_child(widget_class, RbChartDesk, tags);
    gtk_widget_class_bind_template_child(widget_class, RbChartDesk, rail);
    gtk_widget_class_bind_template_child(widget_class, RbChartDesk, side);
    gtk_widget_class_bind_template_child(widget_class, RbChartDesk, panel);
    gtk_widget_class_bind_template_child(widget_class, RbChartDesk, log);
    gtk_widget_class_bind_template_child(widget_class, RbChartDesk, measuring);
    gtk_widget_class_bind_template_child(widget_class, RbChartDesk, call);
    gtk_widget_class_bind_template_child(widget_class, RbChartDesk, reads);
    gtk_widget_class_bind_template_child(widget_class, RbChartDesk, verdict);
    gtk_widget_class_bind_template_child(widget_class, RbChartDesk, outcome);
    gtk_widget_class_bind_template_child(widget_class, RbChartDesk, reasons);
    gtk_widget_class_bind_template_child(widget_class, RbChartDesk, settle);
}

static void rb_chart_desk_init(RbChartDesk *desk)
{
    gtk_widget_init_template(GTK_WIDGET(desk));
    desk->deck = rb_deck_new();
    rb_film_view_set_deck(desk->film, desk->deck);
    rb_transport_set_deck(desk->transport, desk->deck);
    g_signal_connect_swapped(desk->strip, "chosen", G_CALLBACK(on_chosen), desk);
    g_signal_connect_swapped(desk->tags, "answered", G_CALLBACK(on_answered), desk);
    g_signal_connect_swapped(desk->side, "notify::visible-child", G_CALLBACK(on_side),
                             desk);
    g_signal_connect_swapped(desk->rail, "finished", G_CALLBACK(on_finished), desk);
    g_signal_connect_swapped(desk->reads, "look", G_CALLBACK(on_look), desk);
    rb_help_mark(GTK_WIDGET(desk), "tagging.html");
    rb_help_mark(GTK_WIDGET(desk->reads), "tagging.html#looks");
    rb_help_mark(GTK_WIDGET(desk->verdict), "figures.html#verdicts");
    rb_help_mark(GTK_WIDGET(desk->outcome), "figures.html#points");
}
