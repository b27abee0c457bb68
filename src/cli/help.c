/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>

#include "cli.h"

enum { COMMAND_WIDTH = 16, OPTION_WIDTH = 24 };

const char *cli_caution(void)
{
    return _(
        "Tags about players are personal data. Share a library, a report or a film only\n"
        "with people who may see it, and keep to your league's rules on exchanging film\n"
        "and on video during a game.");
}

const char *cli_caution_notes(void)
{
    static char *text;
    if (text == NULL) {
        text = g_strconcat(cli_caution(), "\n", NULL);
    }
    return text;
}

void cli_print_help(FILE *out)
{
    fprintf(out,
            _("Readbreak %s: what works against which coverage, and where it breaks.\n"),
            RB_VERSION);
    fprintf(out, _("\nUsage: %s COMMAND …\n\n"), CLI_PROGRAM);
    for (int i = 0; i < cli_n_commands; i++) {
        g_autofree char *name = cli_pad(cli_commands[i]->name, COMMAND_WIDTH);
        fprintf(out, "  %s %s\n", name, _(cli_commands[i]->summary));
    }
    fprintf(out, _("\n%s COMMAND --help tells more about one.\n"), CLI_PROGRAM);
    fputs(
        _("Every command prints JSON for machines with --json, and ends with 0 when it is\n"
          "done, 1 when the input was refused and 2 when the command line makes no sense.\n"
          "Commands, options, codes, keys of JSON and columns of CSV are the same in every\n"
          "language; sentences for people are in yours.\n"),
        out);
    fprintf(out, "\n%s\n", cli_caution());
}

void cli_print_usage(const CliCommand *command, FILE *out)
{
    fprintf(out, _("Usage: %s"), CLI_PROGRAM);
    fprintf(out, " %s %s%s\n", command->name, _(command->words),
            command->filters || command->tags || command->options != NULL
                ? _(" [OPTION…]")
                : "");
}

static void print_options(const CliOption *options, FILE *out)
{
    for (; options->name != NULL; options++) {
        g_autofree char *left =
            g_strdup_printf("--%s%s%s", options->name, options->value != NULL ? " " : "",
                            options->value != NULL ? _(options->value) : "");
        g_autofree char *padded = cli_pad(left, OPTION_WIDTH);
        fprintf(out, "  %s %s\n", padded, _(options->help));
    }
}

void cli_print_command_help(const CliCommand *command, FILE *out)
{
    cli_print_usage(command, out);
    fprintf(out, "%s\n\n%s\n", _(command->summary), _("Options:"));
    if (command->options != NULL) {
        print_options(command->options, out);
    }
    print_options(cli_common_options, out);
    if (command->filters) {
        fprintf(out, "\n%s\n", _("Which dropbacks:"));
        print_options(cli_filter_options, out);
    }
    if (command->tags) {
        fprintf(out, "\n%s\n", _("What is tagged:"));
        print_options(cli_tag_options(), out);
    }
    fprintf(out, "\n%s\n  %s %s\n", _("Example:"), CLI_PROGRAM, command->example);
    if (command->notes != NULL) {
        fprintf(out, "\n%s", command->notes());
    }
}
