/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>
#include <locale.h>
#include <signal.h>
#include <string.h>

#include "rb/base/error.h"
#include "rb/base/locale.h"

#include "cli.h"

const CliCommand *const cli_commands[] = {
    &cli_demo,
    &cli_new,
    &cli_game_add,
    &cli_film_add,
    &cli_film_import,
    &cli_film_cuts,
    &cli_film_snapfind,
    &cli_film_check,
    &cli_film_frame,
    &cli_film_dump,
    &cli_snaps,
    &cli_tag,
    &cli_verdicts,
    &cli_verdict_explain,
    &cli_verdict_try,
    &cli_pairings,
    &cli_ladder,
    &cli_compare,
    &cli_filter_list,
    &cli_filter_save,
    &cli_filter_remove,
    &cli_worklist,
    &cli_quarterback,
    &cli_quiz_report,
    &cli_agreement,
    &cli_measure_list,
    &cli_measure_times,
    &cli_measure_take,
    &cli_report,
    &cli_cutup_list,
    &cli_cutup_show,
    &cli_cutup_make,
    &cli_cutup_set,
    &cli_cutup_export,
    &cli_log_import,
    &cli_check,
    &cli_data,
    &cli_history,
    &cli_undo,
    &cli_redo,
    &cli_forget,
    &cli_backup,
    &cli_restore,
    &cli_playbook_import,
    &cli_playbook_export,
    &cli_playbook_check,
    &cli_playbook_show,
    &cli_playbook_page,
    &cli_footwork,
    &cli_required,
    &cli_exchange_send,
    &cli_exchange_receive,
    &cli_exchange_status,
    &cli_exchange_settle,
};
const int cli_n_commands = G_N_ELEMENTS(cli_commands);

/* Ctrl-C asks; what is running tidies up and ends. */
static RbCancel *interrupted;

static void on_interrupt(int number)
{
    (void)number;
    rb_cancel_cancel(interrupted);
}

/* The command that argv names with its first word or two. used: (out): how many. */
static const CliCommand *find_command(int argc, char **argv, int *used)
{
    for (int i = 0; i < cli_n_commands; i++) {
        g_auto(GStrv) words = g_strsplit(cli_commands[i]->name, " ", 2);
        const int n = (int)g_strv_length(words);
        bool same = argc >= n;
        for (int j = 0; same && j < n; j++) {
            same = strcmp(words[j], argv[j]) == 0;
        }
        if (same) {
            *used = n;
            return cli_commands[i];
        }
    }
    return NULL;
}

/* "film" alone is the start of several commands. */
static bool print_group(const char *word)
{
    bool found = false;
    for (int i = 0; i < cli_n_commands; i++) {
        const CliCommand *command = cli_commands[i];
        if (g_str_has_prefix(command->name, word) && command->name[strlen(word)] == ' ') {
            cli_print_usage(command, stderr);
            found = true;
        }
    }
    return found;
}

static CliExit no_command(int argc, char **argv)
{
    if (argc == 0) {
        cli_print_help(stderr);
        return CLI_USAGE;
    }
    const bool is_help = strcmp(argv[0], "--help") == 0 || strcmp(argv[0], "-h") == 0 ||
                         strcmp(argv[0], "help") == 0;
    if (is_help) {
        cli_print_help(stdout);
        return CLI_DONE;
    }
    if (strcmp(argv[0], "--version") == 0) {
        puts("Readbreak " RB_VERSION);
        return CLI_DONE;
    }
    if (strcmp(argv[0], "--manual") == 0) {
        cli_print_manual(stdout);
        return CLI_DONE;
    }
    if (strcmp(argv[0], "--completion") == 0) {
        cli_print_completion(stdout);
        return CLI_DONE;
    }
    if (!print_group(argv[0])) {
        fprintf(stderr, _("%s: there is no command \"%s\"; %s --help lists them.\n"),
                CLI_PROGRAM, argv[0], CLI_PROGRAM);
    }
    return CLI_USAGE;
}

static CliExit report_error(const CliCommand *command, const GError *error, CliExit code)
{
    /* What the system says of a file ends without a stop. */
    fprintf(stderr, CLI_PROGRAM ": %s%s\n", error->message,
            g_str_has_suffix(error->message, ".") ? "" : ".");
    if (error->domain == CLI_ERROR_USAGE) {
        cli_print_usage(command, stderr);
        return CLI_USAGE;
    }
    return code == CLI_DONE ? CLI_REFUSED : code;
}

static CliExit run(const CliCommand *command, int argc, char **argv)
{
    g_autoptr(GError) error = NULL;
    CliArgs args = { .cancel = interrupted };
    CliExit code = CLI_USAGE;
    if (cli_args_parse(&args, command, argc, argv, &error)) {
        if (cli_has(&args, "help")) {
            cli_print_command_help(command, stdout);
            code = CLI_DONE;
        } else {
            code = command->run(&args, &error);
        }
    }
    cli_args_clear(&args);
    if (error != NULL) {
        code = report_error(command, error, code);
    }
    if (fflush(stdout) != 0 || ferror(stdout)) {
        fprintf(stderr, _("%s: the output could not be written: the disk may be full.\n"),
                CLI_PROGRAM);
        return CLI_REFUSED;
    }
    return code;
}

int main(int argc, char **argv)
{
    rb_locale_start();
    setlocale(LC_NUMERIC, "C"); /* what is printed is read by programs too */
    interrupted = rb_cancel_new(NULL);
    struct sigaction action = { .sa_handler = on_interrupt };
    sigemptyset(&action.sa_mask);
    sigaction(SIGINT, &action, NULL);
    sigaction(SIGTERM, &action, NULL);
    int used = 0;
    const CliCommand *command = find_command(argc - 1, argv + 1, &used);
    const CliExit code = command != NULL ? run(command, argc - 1 - used, argv + 1 + used)
                                         : no_command(argc - 1, argv + 1);
    rb_cancel_unref(interrupted);
    return (int)code;
}
