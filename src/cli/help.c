/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "cli.h"

#define PROGRAM "readbreak-cli"

const char cli_caution[] =
    "Tags about players are personal data. Share a library, a report or a film only\n"
    "with people who may see it, and keep to your league's rules on exchanging film\n"
    "and on video during a game.";

const char *cli_caution_notes(void)
{
    static char *text;
    if (text == NULL) {
        text = g_strconcat(cli_caution, "\n", NULL);
    }
    return text;
}

void cli_print_help(FILE *out)
{
    fprintf(out,
            "Readbreak %s: what works against which coverage, and where it breaks.\n\n"
            "Usage: " PROGRAM " COMMAND …\n\n",
            RB_VERSION);
    for (int i = 0; i < cli_n_commands; i++) {
        fprintf(out, "  %-16s %s\n", cli_commands[i]->name, cli_commands[i]->summary);
    }
    fprintf(
        out,
        "\n" PROGRAM " COMMAND --help tells more about one.\n"
        "Every command prints JSON for machines with --json, and ends with 0 when it is\n"
        "done, 1 when the input was refused and 2 when the command line makes no sense.\n"
        "\n%s\n",
        cli_caution);
}

void cli_print_usage(const CliCommand *command, FILE *out)
{
    fprintf(out, "Usage: " PROGRAM " %s %s%s\n", command->name, command->words,
            command->filters || command->tags || command->options != NULL ? " [OPTION…]"
                                                                          : "");
}

static void print_options(const CliOption *options, FILE *out)
{
    for (; options->name != NULL; options++) {
        g_autofree char *left =
            g_strdup_printf("--%s%s%s", options->name, options->value != NULL ? " " : "",
                            options->value != NULL ? options->value : "");
        fprintf(out, "  %-24s %s\n", left, options->help);
    }
}

void cli_print_command_help(const CliCommand *command, FILE *out)
{
    cli_print_usage(command, out);
    fprintf(out, "%s\n\nOptions:\n", command->summary);
    if (command->options != NULL) {
        print_options(command->options, out);
    }
    print_options(cli_common_options, out);
    if (command->filters) {
        fprintf(out, "\nWhich dropbacks:\n");
        print_options(cli_filter_options, out);
    }
    if (command->tags) {
        fprintf(out, "\nWhat is tagged:\n");
        print_options(cli_tag_options(), out);
    }
    fprintf(out, "\nExample:\n  " PROGRAM " %s\n", command->example);
    if (command->notes != NULL) {
        fprintf(out, "\n%s", command->notes());
    }
}
