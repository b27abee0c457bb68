/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <jansson.h>
#include <stdbool.h>
#include <stdio.h>

#include "rb/base/cancel.h"
#include "rb/base/jobs.h"
#include "rb/model/filter.h"
#include "rb/report/text.h"
#include "rb/work/names.h"
#include "rb/work/snapshot.h"

#define CLI_PROGRAM "readbreak-cli"

/* The exit codes are a promise to scripts. */
typedef enum {
    CLI_DONE = 0,
    CLI_REFUSED = 1, /* input that cannot be used: one sentence on stderr */
    CLI_USAGE = 2,   /* a command line that makes no sense */
} CliExit;

/* One option of a command. */
typedef struct {
    const char *name; /* without the dashes */
    const char *
        value; /* what stands for its value in the help, translated there; NULL: a flag */
    const char *help; /* translated where it is shown */
} CliOption;

/* A command line, taken apart by its command's own tables. */
typedef struct CliCommand CliCommand;
typedef struct {
    const CliCommand *command;
    GPtrArray *words;  /* owned, of const char *: what is not an option */
    GPtrArray *names;  /* owned, of const char *: options in the order given … */
    GPtrArray *values; /* … and their values; NULL for flags */
    GPtrArray *open;   /* owned, of RbLibrary: selections read from them until the end */
    RbCancel *cancel;  /* borrowed: set by Ctrl-C */
} CliArgs;

struct CliCommand {
    const char *name;    /* "pairings", "film add" */
    const char *words;   /* for the usage line: "LIBRARY FILE…"; translated there */
    int least;           /* how many words it takes */
    int most;            /* -1: any number */
    const char *summary; /* one line; translated where it is shown */
    const char *example; /* without the program's name */
    const char *(*notes)(void); /* nullable: what its help says at the end */
    const CliOption *options;   /* ends with a NULL name; nullable */
    bool filters;               /* takes the options of filters too */
    bool tags;                  /* takes an option for each tag of a snap */
    CliExit (*run)(const CliArgs *args, GError **error);
};

/* Every command, in the order of the help. */
extern const CliCommand *const cli_commands[];
extern const int cli_n_commands;

extern const CliCommand cli_cutup_list, cli_cutup_show, cli_cutup_make, cli_cutup_set,
    cli_cutup_export;
extern const CliCommand cli_demo, cli_data, cli_forget, cli_new, cli_film_add,
    cli_film_check, cli_film_frame, cli_snaps, cli_tag, cli_verdicts, cli_pairings,
    cli_ladder, cli_report, cli_check, cli_history, cli_undo, cli_redo, cli_backup,
    cli_restore, cli_playbook_import, cli_playbook_export, cli_playbook_check,
    cli_playbook_show, cli_playbook_page, cli_quarterback, cli_exchange_send,
    cli_exchange_receive, cli_exchange_status, cli_exchange_settle, cli_log_import;
extern const CliCommand cli_film_cuts;
extern const CliCommand cli_film_snapfind;
extern const CliCommand cli_film_import;
extern const CliCommand cli_filter_list, cli_filter_save, cli_filter_remove;
extern const CliCommand cli_film_dump, cli_verdict_explain, cli_verdict_try,
    cli_quiz_report, cli_compare, cli_worklist, cli_footwork, cli_agreement;
extern const CliCommand cli_required, cli_game_add;
extern const CliCommand cli_measure_list, cli_measure_times, cli_measure_take;

/* args.c */
#define CLI_ERROR_USAGE (cli_error_usage_quark())
GQuark cli_error_usage_quark(void);
/* Takes `argv` apart; false with CLI_ERROR_USAGE. `args` is to be cleared either way. */
bool cli_args_parse(CliArgs *args, const CliCommand *command, int argc, char **argv,
                    GError **error);
void cli_args_clear(CliArgs *args);
const char *cli_word(const CliArgs *args, int i); /* NULL past the end */
bool cli_has(const CliArgs *args, const char *option);
/* The value given last; NULL when the option was not given. */
const char *cli_value(const CliArgs *args, const char *option);
/* A whole number; `fallback` when not given. False with CLI_ERROR_USAGE. */
bool cli_number(const CliArgs *args, const char *option, int64_t low, int64_t high,
                int64_t fallback, int64_t *number, GError **error);
bool cli_parse_number(const char *what, const char *text, int64_t low, int64_t high,
                      int64_t *number, GError **error);
/* "a command line that makes no sense": returns false. */
bool cli_usage_error(GError **error, const char *format, ...) G_GNUC_PRINTF(2, 3);
/* The filter of the command's filter options; NULL with `error`. (transfer full) */
RbFilter *cli_filter(const CliArgs *args, const RbNames *names, GError **error);

/* An option for each tag of a snap; ends with a NULL name. */
const CliOption *cli_tag_options(void);
/* The snap of that id, or with --game of that number there. (transfer full) (nullable) */
RbSnap *cli_find_snap(const CliArgs *args, RbLibrary *library, int64_t number,
                      GError **error);

/* help.c */
void cli_print_help(FILE *out);
void cli_print_command_help(const CliCommand *command, FILE *out);
void cli_print_usage(const CliCommand *command, FILE *out);
const char *cli_caution_notes(void); /* the same for the help of one command */
const char *cli_caution(void);       /* about players, minors and leagues */

/* manual.c: made from the same tables when the program is built */
void cli_print_manual(FILE *out);     /* a page for man */
void cli_print_completion(FILE *out); /* for bash */

/* output.c: what people and machines read. */
typedef struct {
    RbTextTable *text; /* owned */
    int columns;
} CliTable;
/* aligns: "<" or ">" a column, ">" for numbers. heads: NULL-ended, translated. */
CliTable cli_table(const char *aligns, const char *const *heads);
/* Takes as many texts as there are columns. (transfer full) each. */
void cli_table_add(const CliTable *table, ...);
void cli_table_print(CliTable *table); /* and frees it */
void cli_table_drop(CliTable *table);  /* unprinted */
/* The text and spaces up to `width` places. (transfer full) */
char *cli_pad(const char *text, int width);
/* Prints and drops. */
void cli_print_json(json_t *root);
/* "+1.25", or "-" without points. (transfer full) */
char *cli_points(double points, bool has_points);
/* Places in a line of the terminal; 0, no limit, when the output goes elsewhere. */
int cli_width(void);
/* A progress that writes to a terminal's last line; nothing when stderr is none. */
RbProgress *cli_progress_new(void);
void cli_progress_end(RbProgress *progress);

/* The selection of the command's filters from a library, which stays open as long as `args`.
 * Returns: (transfer full): NULL with `error`. */
RbSelection *cli_select(const CliArgs *args, const char *path, GError **error);
extern const CliOption cli_filter_options[]; /* ends with a NULL name */
extern const CliOption cli_common_options[]; /* the same: of every command */
