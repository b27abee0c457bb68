/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The manual page and what a shell completes, from the tables of --help. */
#include "config.h"

#include <string.h>

#include "rb/base/text.h"

#include "cli.h"

#define PROGRAM "readbreak-cli"

static void print_roff(const char *text, FILE *out)
{
    g_autofree char *roff = rb_text_to_roff(text);
    fputs(roff, out);
}

static void print_line(const char *before, const char *text, const char *after, FILE *out)
{
    fputs(before, out);
    print_roff(text, out);
    fprintf(out, "%s\n", after);
}

static void print_options(const CliOption *options, FILE *out)
{
    for (; options->name != NULL; options++) {
        g_autofree char *name = g_strconcat("--", options->name, NULL);
        fputs(".TP\n\\fB", out);
        print_roff(name, out);
        fputs("\\fR", out);
        if (options->value != NULL) {
            fputs(" \\fI", out);
            print_roff(options->value, out);
            fputs("\\fR", out);
        }
        fputc('\n', out);
        print_line("", options->help, "", out);
    }
}

static void print_command(const CliCommand *command, FILE *out)
{
    print_line(".SS ", command->name, "", out);
    fputs(".B " PROGRAM " ", out);
    print_line("", command->name, "", out);
    print_line("", command->words,
               command->filters || command->tags || command->options != NULL
                   ? " [\\fIOPTION\\fR…]"
                   : "",
               out);
    fputs(".PP\n", out);
    print_line("", command->summary, "", out);
    if (command->options != NULL) {
        print_options(command->options, out);
    }
    if (command->filters || command->tags) {
        fprintf(out, ".PP\nAlso takes %s%s%s.\n",
                command->filters ? "the options that say which dropbacks" : "",
                command->filters && command->tags ? ", and " : "",
                command->tags ? "an option for each tag" : "");
    }
    print_line(".PP\nExample:\n.PP\n.nf\n.RS 4\n" PROGRAM " ", command->example,
               "\n.RE\n.fi", out);
}

void cli_print_manual(FILE *out)
{
    fputs(
        ".\\\" SPDX-License-Identifier: GPL-3.0-or-later\n"
        ".\\\" Made by " PROGRAM " --manual.\n"
        ".TH READBREAK\\-CLI 1 \"\" \"Readbreak " RB_VERSION "\" \"User Commands\"\n"
        ".SH NAME\n" PROGRAM
        " \\- what works against which coverage, and where it breaks\n"
        ".SH SYNOPSIS\n.B " PROGRAM "\n\\fICOMMAND\\fR …\n"
        ".SH DESCRIPTION\n"
        "All that Readbreak counts, for the terminal: film, snaps, tags, verdicts, pairings, "
        "ladders, cut\\-ups and reports of a library.\n",
        out);
    fputs(".SH COMMANDS\n", out);
    for (int i = 0; i < cli_n_commands; i++) {
        print_command(cli_commands[i], out);
    }
    fputs(".SH OPTIONS OF EVERY COMMAND\n", out);
    print_options(cli_common_options, out);
    fputs(".SH WHICH DROPBACKS\n", out);
    print_options(cli_filter_options, out);
    fputs(".SH WHAT IS TAGGED\n", out);
    print_options(cli_tag_options(), out);
    fputs(
        ".SH EXIT STATUS\n.TP\n0\nDone.\n.TP\n1\nThe input was refused; one sentence says why.\n"
        ".TP\n2\nThe command line makes no sense.\n"
        ".SH ENVIRONMENT\n.TP\nREADBREAK_DECODE\nThe program that reads films, if it is not the "
        "one installed.\n"
        ".SH CAUTION\n",
        out);
    print_line("", cli_caution, "", out);
    fputs(".SH SEE ALSO\n.BR readbreak (1)\n", out);
}

static void print_words(const CliOption *options, FILE *out)
{
    for (; options != NULL && options->name != NULL; options++) {
        fprintf(out, " --%s", options->name);
    }
}

void cli_print_completion(FILE *out)
{
    fputs("# SPDX-License-Identifier: GPL-3.0-or-later\n"
          "# Made by " PROGRAM " --completion.\n"
          "_readbreak_cli()\n{\n"
          "    local current=${COMP_WORDS[COMP_CWORD]} first=${COMP_WORDS[1]:-}\n"
          "    local second=${COMP_WORDS[2]:-} options\n"
          "    if [ \"$COMP_CWORD\" -eq 1 ]; then\n"
          "        COMPREPLY=($(compgen -W '",
          out);
    const char *last = "";
    for (int i = 0; i < cli_n_commands;
         i++) { /* commands of one group follow one another */
        const size_t n = strcspn(cli_commands[i]->name, " ");
        if (strncmp(last, cli_commands[i]->name, n) != 0 ||
            (last[n] != ' ' && last[n] != '\0')) {
            fprintf(out, "%.*s ", (int)n, cli_commands[i]->name);
        }
        last = cli_commands[i]->name;
    }
    fputs("--help --version' -- \"$current\"))\n        return\n    fi\n", out);
    fputs("    case \"$first $second\" in\n", out);
    for (int i = 0; i < cli_n_commands; i++) {
        const CliCommand *command = cli_commands[i];
        const bool two = strchr(command->name, ' ') != NULL;
        fprintf(out, "    '%s%s) options='", command->name, two ? "'*" : " '*");
        print_words(command->options, out);
        print_words(cli_common_options, out);
        print_words(command->filters ? cli_filter_options : NULL, out);
        print_words(command->tags ? cli_tag_options() : NULL, out);
        fputs("' ;;\n", out);
    }
    fputs("    *) options= ;;\n    esac\n"
          "    if [ \"$COMP_CWORD\" -eq 2 ]; then\n"
          "        case $first in\n",
          out);
    for (int i = 0; i < cli_n_commands; i++) {
        const char *blank = strchr(cli_commands[i]->name, ' ');
        if (blank != NULL) {
            fprintf(out, "        %.*s) options=\"$options %s\" ;;&\n",
                    (int)(blank - cli_commands[i]->name), cli_commands[i]->name,
                    blank + 1);
        }
    }
    fputs(
        "        esac\n    fi\n"
        "    COMPREPLY=($(compgen -W \"$options\" -- \"$current\"))\n"
        "    case $current in\n    -*) ;;\n"
        "    *) compopt -o filenames; COMPREPLY+=($(compgen -f -- \"$current\")) ;;\n    esac\n"
        "}\ncomplete -F _readbreak_cli " PROGRAM "\n",
        out);
}
