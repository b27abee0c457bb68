/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lines into plays. A cell that cannot be read spoils its whole row: nothing is half imported. */
#include "config.h"

#include <glib/gi18n-lib.h>
#include <stdarg.h>
#include <string.h>

#include "rb/base/error.h"
#include "rb/work/error.h"

#include "log-guess.h"

typedef struct {
    const RbLogReading *reading;
    const LogTeams *teams;
    guint line;
    RbLogRow *row;
    RbLogSaid said;
    bool has_said;
} Making;

static void free_row(void *data)
{
    RbLogRow *row = data;
    rb_snap_free(row->snap);
    g_free(row->remark);
    g_free(row->trouble);
    g_free(row);
}

static void free_question(void *data)
{
    RbLogQuestion *question = data;
    g_free(question->sentence);
    g_free(question->asked);
    g_free(question);
}

void rb_log_reading_free(RbLogReading *reading)
{
    if (reading != NULL) {
        g_clear_pointer(&reading->questions, g_ptr_array_unref);
        g_clear_pointer(&reading->rows, g_ptr_array_unref);
        rb_log_table_free(reading->table);
        g_free(reading);
    }
}

/* The first trouble is told. */
static void spoil(Making *making, const char *format, ...) G_GNUC_PRINTF(2, 3);

static void spoil(Making *making, const char *format, ...)
{
    va_list args;
    if (making->row->trouble == NULL) {
        va_start(args, format);
        making->row->trouble =
            g_strdup_vprintf(g_dgettext(GETTEXT_PACKAGE, format), args);
        va_end(args);
    }
}

static const char *cell(const Making *making, RbLogField field)
{
    return rb_log_cell(making->reading, making->line, field);
}

static void make_time(Making *making)
{
    RbSituation *s = &making->row->snap->situation;
    const char *number = cell(making, RB_LOG_NUMBER);
    const char *quarter = cell(making, RB_LOG_QUARTER);
    const char *clock = cell(making, RB_LOG_CLOCK);
    if (*number != '\0' &&
        (!rb_log_cell_number(number, &making->row->number) || making->row->number < 1)) {
        spoil(making, _("the number \"%s\" is not a whole number above 0"), number);
    }
    if (*quarter != '\0' && !rb_log_cell_quarter(quarter, &s->quarter)) {
        spoil(making, _("the quarter \"%s\" is not 1 to 4 or overtime"), quarter);
    }
    if (*clock != '\0' && !rb_log_cell_clock(clock, &s->clock_s)) {
        spoil(making, _("the clock \"%s\" is not minutes and seconds up to 15:00"),
              clock);
    }
}

static void make_play(Making *making)
{
    RbSnap *snap = making->row->snap;
    const char *play = cell(making, RB_LOG_PLAY);
    const char *result = cell(making, RB_LOG_RESULT);
    const char *gain = cell(making, RB_LOG_GAIN);
    RbLogSaid said = { 0 };
    g_autofree char *plain = rb_log_plain(play);
    if (*play != '\0' && !rb_log_word_play(plain, &snap->play, &snap->situation.phase)) {
        spoil(making, _("the kind of play \"%s\" is not known"), play);
    }
    if (*result != '\0' && !rb_log_cell_result(result, &said)) {
        spoil(making, _("the result \"%s\" is not known"), result);
    }
    snap->result = said.result;
    snap->ending = said.ending;
    if (said.ending == RB_ENDING_TOUCHDOWN && said.result == RB_RESULT_UNKNOWN) {
        snap->result = snap->play == RB_PLAY_RUN          ? RB_RESULT_RUN
                       : rb_play_is_in_ladder(snap->play) ? RB_RESULT_COMPLETE
                                                          : RB_RESULT_UNKNOWN;
    }
    if (*gain != '\0') {
        if (!rb_log_cell_number(gain, &snap->gain) || ABS(snap->gain) > 99) {
            spoil(making, _("the gain \"%s\" is not a number of whole yards"), gain);
        }
        snap->has_gain = RB_YES;
    }
}

/* The sentence fills what the columns leave open, and must not deny what they say. */
static void make_text(Making *making)
{
    RbSnap *snap = making->row->snap;
    RbLogSaid said;
    if (!rb_log_text_parse(cell(making, RB_LOG_TEXT), &said)) {
        return;
    }
    const bool thrown_away =
        snap->result == RB_RESULT_THROWN_AWAY && said.result == RB_RESULT_INCOMPLETE;
    const bool ran = snap->result == RB_RESULT_RUN && said.result == RB_RESULT_SCRAMBLE;
    if (snap->result != RB_RESULT_UNKNOWN && said.result != snap->result &&
        !thrown_away && !ran) {
        spoil(making, _("the result is \"%s\", but the sentence says \"%s\""),
              rb_words_label(&rb_result_words, (int)snap->result),
              rb_words_label(&rb_result_words, (int)said.result));
    }
    if (snap->has_gain == RB_YES && said.has_gain && said.gain != snap->gain) {
        spoil(making, _("the gain is %d, but the sentence says %d"), snap->gain,
              said.gain);
    }
    if (snap->result == RB_RESULT_UNKNOWN) {
        snap->result = said.result;
    }
    if (snap->ending == RB_ENDING_NONE) {
        snap->ending = said.ending;
    }
    if (snap->has_gain != RB_YES && said.has_gain) {
        snap->has_gain = RB_YES;
        snap->gain = said.gain;
    }
    if (snap->play == RB_PLAY_UNKNOWN) {
        snap->play = said.play;
        snap->situation.phase = MAX(snap->situation.phase, said.phase);
    }
}

static void make_team(Making *making, const LogStep *step)
{
    const RbGame *game = making->teams->game;
    const char *text = cell(making, RB_LOG_OFFENSE);
    if (*text != '\0' && step->team == 0) {
        spoil(making, _("\"%s\" is neither of the two teams"), text);
    }
    making->row->snap->situation.offense = step->team == 1   ? game->us
                                           : step->team == 2 ? game->them
                                                             : (RbTeamId){ 0 };
}

static void make_down(Making *making)
{
    RbSituation *s = &making->row->snap->situation;
    const char *both = cell(making, RB_LOG_DOWN_DISTANCE);
    const char *down = cell(making, RB_LOG_DOWN);
    const char *distance = cell(making, RB_LOG_DISTANCE);
    int to_go = -1;
    if (*both != '\0' && !rb_log_cell_down_distance(both, &s->down, &to_go)) {
        spoil(making, _("\"%s\" is not a down and distance"), both);
    }
    /* 0 is how a log says "no down". */
    if (*down != '\0' && strcmp(down, "0") != 0 && !rb_log_cell_down(down, &s->down)) {
        spoil(making, _("the down \"%s\" is not 1 to 4"), down);
    }
    if (*distance != '\0' && strcmp(distance, "0") != 0 &&
        !rb_log_cell_distance(distance, &to_go)) {
        spoil(making, _("the distance \"%s\" is not 1 to 99 or goal"), distance);
    }
    if (s->phase != RB_PHASE_SCRIMMAGE) {
        s->down = 0;
        return;
    }
    s->distance = to_go == 0 ? s->yards_to_goal : MAX(to_go, 0);
}

static void make_spot(Making *making, const LogStep *step)
{
    RbSituation *s = &making->row->snap->situation;
    const char *text = cell(making, RB_LOG_SPOT);
    if (*text == '\0') {
        return;
    }
    const int to_goal = step->has_spot
                            ? rb_log_spot_to_goal(&step->spot, making->reading->yards,
                                                  step->has_half ? &step->own : NULL)
                            : 0;
    if (to_goal == 0 && making->reading->yards != RB_YARDS_UNKNOWN) {
        spoil(making, _("the yard line \"%s\" is not one"), text);
    }
    s->yards_to_goal = to_goal;
}

static void remark(Making *making, const char *what, const char *text)
{
    if (making->row->remark == NULL) {
        making->row->remark = g_strdup_printf(
            _("the %s \"%s\" is not among the staff's own and is left out"), what, text);
    }
}

static void make_hash(Making *making)
{
    const char *text = cell(making, RB_LOG_HASH);
    g_autofree char *plain = rb_log_plain(text);
    if (*text != '\0' && !rb_log_word_hash(plain, &making->row->snap->situation.hash)) {
        spoil(making, _("the hash \"%s\" is not left, middle or right"), text);
    }
}

static void make_term(Making *making, RbLogField field, RbTermKind kind, RbTermId *id)
{
    const char *text = cell(making, field);
    if (*text == '\0' || making->teams->names == NULL) {
        return;
    }
    const RbTerm *term = rb_names_parse_term(making->teams->names, kind, text, NULL);
    if (term == NULL) {
        remark(making, rb_words_token(&rb_log_field_words, (int)field), text);
    } else {
        *id = term->id;
    }
}

static void make_people(Making *making)
{
    RbSnap *snap = making->row->snap;
    const char *text = cell(making, RB_LOG_QUARTERBACK);
    make_term(making, RB_LOG_PERSONNEL, RB_TERM_PERSONNEL, &snap->personnel);
    make_term(making, RB_LOG_FORMATION, RB_TERM_FORMATION, &snap->formation);
    make_term(making, RB_LOG_MOTION, RB_TERM_MOTION, &snap->motion);
    if (*text == '\0' || making->teams->names == NULL) {
        return;
    }
    const RbPlayer *player =
        rb_names_parse_player(making->teams->names, snap->situation.offense, text, NULL);
    if (player == NULL) {
        remark(making, "quarterback", text);
    } else {
        snap->quarterback = player->id;
    }
}

static bool says_nothing(const RbLogRow *row)
{
    const RbSnap *snap = row->snap;
    const RbSituation *s = &snap->situation;
    return s->down == 0 && s->distance == 0 && s->yards_to_goal == 0 &&
           snap->play == RB_PLAY_UNKNOWN && snap->result == RB_RESULT_UNKNOWN &&
           snap->has_gain != RB_YES;
}

static RbLogRow *make_row(const RbLogReading *reading, const LogTeams *teams, guint line)
{
    const RbLogLine *from = reading->table->lines->pdata[line];
    RbLogRow *row = g_new0(RbLogRow, 1);
    Making making = { reading, teams, line, row, { 0 }, false };
    LogStep step;
    row->line = from->line;
    row->row = (int)line;
    row->snap = rb_snap_new((RbSnapId){ 0 }, (RbGameId){ 0 }, 0);
    if (from->n != reading->table->usual && from->n != (int)reading->table->heads->len) {
        spoil(&making, _("it has %d cells where the others have %d"), from->n,
              reading->table->usual);
    }
    rb_log_step_read(reading, line, teams, &step);
    make_team(&making, &step);
    make_time(&making);
    make_play(&making);
    make_text(&making);
    make_spot(&making, &step);
    make_down(&making);
    make_hash(&making);
    make_people(&making);
    if (says_nothing(row)) {
        spoil(&making, _("it tells nothing of a play"));
    }
    return row;
}

void rb_log_make_rows(RbLogReading *reading, const LogTeams *teams)
{
    for (guint line = 0; line < reading->table->lines->len; line++) {
        RbLogRow *row = make_row(reading, teams, line);
        reading->bad += row->trouble != NULL;
        g_ptr_array_add(reading->rows, row);
    }
}

static bool tells_plays(const RbLogReading *reading)
{
    static const RbLogField fields[] = {
        RB_LOG_DOWN,   RB_LOG_DOWN_DISTANCE, RB_LOG_SPOT,
        RB_LOG_RESULT, RB_LOG_TEXT,          RB_LOG_PLAY
    };
    for (size_t i = 0; i < G_N_ELEMENTS(fields); i++) {
        if (rb_log_find_column(reading, fields[i]) >= 0) {
            return true;
        }
    }
    return reading->questions->len > 0;
}

RbLogReading *rb_log_read(RbLogTable *table, const RbNames *names, const RbGame *game,
                          const RbLogChoice *choice, GError **error)
{
    static const RbLogChoice none = { 0 };
    const RbLogChoice *said = choice != NULL ? choice : &none;
    const LogTeams teams = { names, game, said->us };
    g_autoptr(RbLogReading) reading = g_new0(RbLogReading, 1);
    reading->table = table;
    reading->questions = g_ptr_array_new_with_free_func(free_question);
    reading->rows = g_ptr_array_new_with_free_func(free_row);
    rb_log_guess(reading, &teams, said);
    if (!tells_plays(reading)) {
        rb_error_set(
            error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE,
            _("No column of this file looks like a down, a yard line, a result or a "
              "play in words. Say what its columns hold: --map \"COLUMN=down\" and "
              "the like."));
        return NULL;
    }
    rb_log_make_rows(reading, &teams);
    return g_steal_pointer(&reading);
}

static int find_head(const RbLogTable *table, const char *name)
{
    g_autofree char *plain = rb_log_plain(name);
    for (guint i = 0; i < table->heads->len; i++) {
        if (strcmp(table->heads->pdata[i], name) == 0) {
            return (int)i;
        }
    }
    for (guint i = 0; i < table->heads->len; i++) {
        g_autofree char *head = rb_log_plain(table->heads->pdata[i]);
        if (*plain != '\0' && strcmp(head, plain) == 0) {
            return (int)i;
        }
    }
    int number = 0;
    if (rb_log_cell_number(name, &number) && number >= 1 &&
        number <= (int)table->heads->len) {
        return number - 1;
    }
    return -1;
}

bool rb_log_choice_map(RbLogChoice *choice, const RbLogTable *table, const char *text,
                       GError **error)
{
    const char *equals = strrchr(text, '=');
    int field = 0;
    if (equals == NULL || !rb_words_parse(&rb_log_field_words, equals + 1, &field)) {
        g_autofree char *list = rb_words_list(&rb_log_field_words);
        return rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE,
                            _("\"%s\" is not COLUMN=FIELD, where FIELD is %s."), text,
                            list);
    }
    g_autofree char *name = g_strndup(text, (gsize)(equals - text));
    const int column = find_head(table, name);
    if (column < 0) {
        g_ptr_array_add(table->heads, NULL);
        g_autofree char *list = g_strjoinv("\", \"", (char **)table->heads->pdata);
        g_ptr_array_set_size(table->heads, (int)table->heads->len - 1);
        return rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_NOT_FOUND,
                            _("The log has no column \"%s\"; it has \"%s\"."), name,
                            list);
    }
    choice->said[column] = true;
    choice->fields[column] = (RbLogField)field;
    return true;
}

static void append_cell(GString *out, const char *text)
{
    g_autofree char *quoted = g_strdup(text);
    g_auto(GStrv) parts = g_strsplit(quoted, "\"", -1);
    g_autofree char *doubled = g_strjoinv("\"\"", parts);
    g_string_append_printf(out, "\"%s\"", doubled);
}

char *rb_log_rejected_text(const RbLogReading *reading)
{
    const RbLogTable *table = reading->table;
    GString *out = g_string_new("\"line\",\"reason\"");
    for (guint i = 0; i < table->heads->len; i++) {
        g_string_append_c(out, ',');
        append_cell(out, table->heads->pdata[i]);
    }
    g_string_append(out, "\r\n");
    for (guint i = 0; i < reading->rows->len; i++) {
        const RbLogRow *row = reading->rows->pdata[i];
        const RbLogLine *line = table->lines->pdata[row->row];
        if (row->trouble == NULL) {
            continue;
        }
        g_string_append_printf(out, "%d,", row->line);
        append_cell(out, row->trouble);
        for (int j = 0; line->cells[j] != NULL; j++) {
            g_string_append_c(out, ',');
            append_cell(out, line->cells[j]);
        }
        g_string_append(out, "\r\n");
    }
    return g_string_free(out, FALSE);
}
