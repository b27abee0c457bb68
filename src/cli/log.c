/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "rb/base/error.h"
#include "rb/work/error.h"
#include "rb/work/json.h"
#include "rb/work/log-import.h"

#include "cli.h"

/* log import: a play log of any layout into a game. */

enum { SAMPLES = 3 };

static const char *sample(const RbLogReading *reading, guint column, guint row)
{
    const GPtrArray *lines = reading->table->lines;
    return row < lines->len ? ((const RbLogLine *)lines->pdata[row])->cells[column] : "";
}

static void print_columns(const RbLogReading *reading)
{
    CliTable table =
        cli_table("<<<<<", (const char *const[]){ _("Column"), _("Read as"), _("First"),
                                                  _("Second"), _("Third"), NULL });
    for (guint i = 0; i < reading->table->heads->len; i++) {
        const char *label = rb_words_label(&rb_log_field_words, (int)reading->fields[i]);
        cli_table_add(&table, g_strdup(reading->table->heads->pdata[i]),
                      g_strdup_printf("%s%s", label,
                                      reading->by_values[i] ? _(" (by its values)") : ""),
                      g_strdup(sample(reading, i, 0)), g_strdup(sample(reading, i, 1)),
                      g_strdup(sample(reading, i, 2)));
    }
    cli_table_print(&table);
    g_autofree char *yards = rb_log_yards_text(reading);
    if (yards != NULL) {
        printf("%s\n", yards);
    }
}

static void print_plan(const RbLogPlan *plan)
{
    print_columns(plan->reading);
    for (guint i = 0; i < plan->reading->questions->len; i++) {
        const RbLogQuestion *question = plan->reading->questions->pdata[i];
        printf(_("Asked: %s\n"), question->sentence);
    }
    for (guint i = 0; i < plan->reading->rows->len; i++) {
        const RbLogRow *row = plan->reading->rows->pdata[i];
        if (row->trouble != NULL) {
            printf(_("Line %d is left out: %s.\n"), row->line, row->trouble);
        }
    }
    for (guint i = 0; i < plan->remarks->len; i++) {
        printf("%s\n", (const char *)plan->remarks->pdata[i]);
    }
}

static json_t *columns_json(const RbLogReading *reading)
{
    json_t *array = json_array();
    for (guint i = 0; i < reading->table->heads->len; i++) {
        json_t *samples = json_array();
        for (guint row = 0; row < SAMPLES && row < reading->table->lines->len; row++) {
            json_array_append_new(samples, json_string(sample(reading, i, row)));
        }
        json_array_append_new(
            array, json_pack("{s:s, s:s, s:b, s:o}", "column",
                             (const char *)reading->table->heads->pdata[i], "field",
                             rb_words_token(&rb_log_field_words, (int)reading->fields[i]),
                             "by_values", reading->by_values[i], "samples", samples));
    }
    return array;
}

static json_t *rows_json(const RbLogReading *reading)
{
    json_t *array = json_array();
    for (guint i = 0; i < reading->rows->len; i++) {
        const RbLogRow *row = reading->rows->pdata[i];
        if (row->trouble != NULL) {
            json_array_append_new(array, json_pack("{s:i, s:s}", "line", row->line,
                                                   "reason", row->trouble));
        }
    }
    return array;
}

static json_t *plan_json(const RbLogPlan *plan, bool done, const char *rejected)
{
    const RbLogReading *reading = plan->reading;
    json_t *questions = json_array();
    json_t *remarks = json_array();
    for (guint i = 0; i < reading->questions->len; i++) {
        const RbLogQuestion *question = reading->questions->pdata[i];
        json_array_append_new(questions, json_string(question->sentence));
    }
    for (guint i = 0; i < plan->remarks->len; i++) {
        json_array_append_new(remarks, json_string(plan->remarks->pdata[i]));
    }
    return json_pack(
        "{s:b, s:o, s:s, s:s, s:i, s:i, s:o, s:o, s:o, s:i, s:i, s:i, s:i, s:s?}", "done",
        done, "columns", columns_json(reading), "encoding", reading->table->encoding,
        "yard_lines", rb_words_token(&rb_log_yards_words, (int)reading->yards), "steps",
        reading->steps, "steps_agree", reading->steps_agree, "questions", questions,
        "left_out", rows_json(reading), "remarks", remarks, "added", plan->added,
        "filled", plan->filled, "differ", plan->replaced, "findings", plan->findings,
        "left_out_file", rejected);
}

static bool read_options(const CliArgs *args, RbLogOptions *options, GPtrArray *maps,
                         GError **error)
{
    int value = 0;
    const char *yards = cli_value(args, "yard-lines");
    const char *align = cli_value(args, "align");
    for (guint i = 0; i < args->names->len; i++) {
        if (strcmp(args->names->pdata[i], "map") == 0) {
            g_ptr_array_add(maps, args->values->pdata[i]);
        }
    }
    g_ptr_array_add(maps, NULL);
    options->maps = (const char *const *)maps->pdata;
    options->us = cli_value(args, "us");
    options->overwrite = cli_has(args, "overwrite");
    options->forget = cli_has(args, "anew");
    if (yards != NULL && (!rb_words_parse(&rb_log_yards_words, yards, &value) ||
                          value == RB_YARDS_UNKNOWN)) {
        g_autofree char *list = rb_words_list(&rb_log_yards_words);
        return cli_usage_error(error, "--yard-lines is one of %s.", list);
    }
    options->yards = (RbLogYards)value;
    value = RB_LOG_ALIGN_FIND;
    if (align != NULL && !rb_words_parse(&rb_log_align_words, align, &value)) {
        g_autofree char *list = rb_words_list(&rb_log_align_words);
        return cli_usage_error(error, "--align is one of %s.", list);
    }
    options->align = (RbLogAlign)value;
    return true;
}

static CliExit carry_out(const CliArgs *args, RbLibrary *library, const RbLogPlan *plan,
                         GError **error)
{
    g_autofree char *rejected = NULL;
    g_autofree char *text = rb_log_plan_text(plan);
    const bool preview = cli_has(args, "preview");
    const bool json = cli_has(args, "json");
    GError *failure = NULL;
    if (!json && (preview || plan->reading->questions->len == 0)) {
        print_plan(plan);
    }
    if (!preview) {
        if (!rb_library_apply_log(library, plan, NULL, error)) {
            return CLI_REFUSED;
        }
        rejected = rb_log_write_rejected(plan, cli_word(args, 2), &failure);
    }
    if (json) {
        cli_print_json(plan_json(plan, !preview, rejected));
    } else if (plan->reading->questions->len == 0) {
        printf("%s%s\n", text, preview ? _(" Nothing is changed yet.") : "");
    }
    if (failure != NULL) {
        g_propagate_prefixed_error(error, failure,
                                   _("The log is imported, but not what was left out: "));
        return CLI_REFUSED;
    }
    if (rejected != NULL && !json) {
        printf(_("The rows that were left out are in %s\n"), rejected);
    }
    return CLI_DONE;
}

static RbLogPlan *make_plan(const CliArgs *args, RbLibrary *library,
                            const RbLogOptions *options, GError **error)
{
    g_autoptr(RbNames) names = rb_library_load_names(library, error);
    const RbGame *game =
        names != NULL ? rb_names_parse_game(names, cli_word(args, 1), error) : NULL;
    g_autoptr(GBytes) bytes =
        game != NULL ? rb_log_read_file(cli_word(args, 2), error) : NULL;
    return bytes != NULL ? rb_library_plan_log(library, game->id, bytes,
                                               cli_word(args, 2), options, error)
                         : NULL;
}

/* A library is opened to be changed only when there is nothing left to ask. */
static CliExit run_import(const CliArgs *args, GError **error)
{
    RbLogOptions options = { 0 };
    g_autoptr(GPtrArray) maps = g_ptr_array_new();
    if (!read_options(args, &options, maps, error)) {
        return CLI_USAGE;
    }
    g_autoptr(RbLibrary) library = rb_library_open_to_read(cli_word(args, 0), error);
    g_autoptr(RbLogPlan) plan =
        library != NULL ? make_plan(args, library, &options, error) : NULL;
    if (plan != NULL && !cli_has(args, "preview") && plan->reading->questions->len == 0) {
        g_clear_pointer(&plan, rb_log_plan_free);
        g_clear_pointer(&library, rb_library_close);
        library = rb_library_open(cli_word(args, 0), cli_value(args, "as"), error);
        plan = library != NULL ? make_plan(args, library, &options, error) : NULL;
    }
    return plan != NULL ? carry_out(args, library, plan, error) : CLI_REFUSED;
}

static const CliOption import_options[] = {
    { "map", N_("COLUMN=FIELD"),
      N_("what a column holds, by its name or number; \"-\" leaves it out (again for more)") },
    { "yard-lines", N_("WAY"),
      N_("own-opp, to-goal, from-own, minus-own, plus-own or midfield (default: found out)") },
    { "us", N_("NAME"), N_("what the log calls our team") },
    { "align", N_("HOW"),
      N_("find, order or numbers: how plays go to the game's snaps (default: find)") },
    { "overwrite", NULL, N_("the log's word takes the place of what is tagged") },
    { "anew", NULL, N_("use nothing of earlier files of this layout") },
    { "preview", NULL, N_("show what would be done, and change nothing") },
    { "as", N_("NAME"), N_("the member of the staff who works (default: you)") },
    { NULL, NULL, NULL },
};

const CliCommand cli_log_import = {
    .name = "log import",
    .words = N_("LIBRARY GAME FILE"),
    .least = 3,
    .most = 3,
    .summary = N_(
        "Takes a play log (CSV, TSV) of any layout into a game; asks what is unclear."),
    .example = "log import season.readbreak 3 week-3.csv --preview",
    .options = import_options,
    .run = run_import,
};
