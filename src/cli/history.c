/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>

#include "rb/store/backup.h"
#include "rb/work/json.h"
#include "rb/work/library.h"

#include "cli.h"

/* history, undo, redo, backup, restore. */

/* "2026-09-13 01:42". Returns: (transfer full). */
static char *stamp_text(int64_t stamp_us)
{
    g_autoptr(GDateTime) moment = g_date_time_new_from_unix_local(stamp_us / 1000000);
    return moment != NULL ? g_date_time_format(moment, "%Y-%m-%d %H:%M") : g_strdup("?");
}

static void print_history_json(const GPtrArray *lines)
{
    json_t *array = json_array();
    for (guint i = 0; i < lines->len; i++) {
        const RbHistoryLine *line = lines->pdata[i];
        json_array_append_new(array, json_pack("{s:I, s:I, s:s, s:s, s:b}", "number",
                                               (json_int_t)line->number, "stamp_us",
                                               (json_int_t)line->stamp_us, "who",
                                               line->who, "words", line->words, "undone",
                                               (int)line->undone));
    }
    cli_print_json(json_pack("{s:o}", "history", array));
}

static void print_history(const GPtrArray *lines)
{
    CliTable table =
        cli_table("><<<<", (const char *const[]){ _("No."), _("When"), _("Who"),
                                                  _("What"), "", NULL });
    for (guint i = 0; i < lines->len; i++) {
        const RbHistoryLine *line = lines->pdata[i];
        cli_table_add(&table, g_strdup_printf("%" G_GINT64_FORMAT, line->number),
                      stamp_text(line->stamp_us), g_strdup(line->who),
                      g_strdup(line->words),
                      g_strdup(line->undone ? C_("action", "undone") : ""));
    }
    cli_table_print(&table);
}

static CliExit run_history(const CliArgs *args, GError **error)
{
    int64_t limit = 0;
    if (!cli_number(args, "limit", 1, G_MAXINT, 0, &limit, error)) {
        return CLI_USAGE;
    }
    g_autoptr(RbLibrary) library = rb_library_open_to_read(cli_word(args, 0), error);
    g_autoptr(GPtrArray) lines =
        library != NULL ? rb_library_load_history(library, (int)limit, error) : NULL;
    if (lines == NULL) {
        return CLI_REFUSED;
    }
    if (cli_has(args, "json")) {
        print_history_json(lines);
    } else {
        print_history(lines);
    }
    return CLI_DONE;
}

static const CliOption history_options[] = {
    { "limit", N_("N"), N_("only the newest N") },
    { NULL, NULL, NULL },
};

const CliCommand cli_history = {
    .name = "history",
    .words = N_("LIBRARY"),
    .least = 1,
    .most = 1,
    .summary = N_("Who changed what and when, the newest first."),
    .example = "history season.readbreak --limit 20",
    .options = history_options,
    .run = run_history,
};

typedef bool (*Step)(RbLibrary *library, char **words, GError **error);

static CliExit run_step(const CliArgs *args, Step step, GError **error)
{
    int64_t steps = 1;
    if (!cli_number(args, "steps", 1, 100000, 1, &steps, error)) {
        return CLI_USAGE;
    }
    g_autoptr(RbLibrary) library =
        rb_library_open(cli_word(args, 0), cli_value(args, "as"), error);
    if (library == NULL) {
        return CLI_REFUSED;
    }
    json_t *done = json_array();
    for (int64_t i = 0; i < steps; i++) {
        g_autofree char *words = NULL;
        if (!step(library, &words, error)) {
            /* Fewer steps than asked is no failure once there was one. */
            if (i > 0) {
                g_clear_error(error);
                break;
            }
            json_decref(done);
            return CLI_REFUSED;
        }
        json_array_append_new(done, json_string(words));
        if (!cli_has(args, "json")) {
            puts(words);
        }
    }
    if (cli_has(args, "json")) {
        cli_print_json(json_pack("{s:O}", "done", done));
    }
    json_decref(done);
    return CLI_DONE;
}

static CliExit run_undo(const CliArgs *args, GError **error)
{
    return run_step(args, rb_library_undo, error);
}

static CliExit run_redo(const CliArgs *args, GError **error)
{
    return run_step(args, rb_library_redo, error);
}

static const CliOption step_options[] = {
    { "steps", N_("N"), N_("that many, or as many as there are (default: 1)") },
    { "as", N_("NAME"), N_("the member of the staff who asks (default: you)") },
    { NULL, NULL, NULL },
};

const CliCommand cli_undo = {
    .name = "undo",
    .words = N_("LIBRARY"),
    .least = 1,
    .most = 1,
    .summary = N_("Takes back the last action made on this computer."),
    .example = "undo season.readbreak --steps 3",
    .options = step_options,
    .run = run_undo,
};

const CliCommand cli_redo = {
    .name = "redo",
    .words = N_("LIBRARY"),
    .least = 1,
    .most = 1,
    .summary = N_("Does again what was undone last."),
    .example = "redo season.readbreak",
    .options = step_options,
    .run = run_redo,
};

static CliExit list_backups(const CliArgs *args, GError **error)
{
    g_autoptr(GPtrArray) paths = rb_backup_list(cli_word(args, 0), error);
    if (paths == NULL) {
        return CLI_REFUSED;
    }
    json_t *array = json_array();
    for (guint i = 0; i < paths->len; i++) {
        json_array_append_new(array, rb_json_text(paths->pdata[i]));
        if (!cli_has(args, "json")) {
            puts(paths->pdata[i]);
        }
    }
    if (cli_has(args, "json")) {
        cli_print_json(json_pack("{s:O}", "backups", array));
    }
    json_decref(array);
    return CLI_DONE;
}

static CliExit run_backup(const CliArgs *args, GError **error)
{
    if (cli_has(args, "list")) {
        return list_backups(args, error);
    }
    g_autoptr(RbLibrary) library = rb_library_open(cli_word(args, 0), NULL, error);
    g_autofree char *path = NULL;
    if (library == NULL || !rb_library_backup(library, &path, error)) {
        return CLI_REFUSED;
    }
    if (cli_has(args, "json")) {
        cli_print_json(json_pack("{s:o}", "backup", rb_json_text(path)));
    } else {
        printf(_("Backed up to %s\n"), path);
    }
    return CLI_DONE;
}

static const CliOption backup_options[] = {
    { "list", NULL, N_("list the backups there are") },
    { NULL, NULL, NULL },
};

const CliCommand cli_backup = {
    .name = "backup",
    .words = N_("LIBRARY"),
    .least = 1,
    .most = 1,
    .summary = N_("Copies a library, safely while others use it, or lists the copies."),
    .example = "backup season.readbreak",
    .options = backup_options,
    .run = run_backup,
};

static CliExit run_restore(const CliArgs *args, GError **error)
{
    if (!rb_backup_restore(cli_word(args, 0), cli_word(args, 1), error)) {
        return CLI_REFUSED;
    }
    if (cli_has(args, "json")) {
        cli_print_json(json_pack("{s:o}", "library", rb_json_text(cli_word(args, 1))));
    } else {
        printf(_("Restored to %s\n"), cli_word(args, 1));
    }
    return CLI_DONE;
}

const CliCommand cli_restore = {
    .name = "restore",
    .words = N_("BACKUP LIBRARY"),
    .least = 2,
    .most = 2,
    .summary = N_("Makes a new library from a backup; nothing is replaced."),
    .example = "restore \"season backups/2026-09-13.readbreak\" again.readbreak",
    .run = run_restore,
};
