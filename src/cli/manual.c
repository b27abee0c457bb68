/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The manual page and what a shell completes, from the tables of --help. */
#include "config.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "rb/base/text.h"

#include "cli.h"

#define PROGRAM CLI_PROGRAM

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
            print_roff(_(options->value), out);
            fputs("\\fR", out);
        }
        fputc('\n', out);
        print_line("", _(options->help), "", out);
    }
}

static void print_command(const CliCommand *command, FILE *out)
{
    print_line(".SS ", command->name, "", out);
    fputs(".B " PROGRAM " ", out);
    print_line("", command->name, "", out);
    print_roff(_(command->words), out);
    if (command->filters || command->tags || command->options != NULL) {
        fputs("\\fI", out);
        print_roff(_(" [OPTION…]"), out);
        fputs("\\fR", out);
    }
    fputs("\n.PP\n", out);
    print_line("", _(command->summary), "", out);
    if (command->options != NULL) {
        print_options(command->options, out);
    }
    if (command->filters) {
        print_line(".PP\n", _("Also takes the options that say which dropbacks."), "",
                   out);
    }
    if (command->tags) {
        print_line(".PP\n", _("Also takes an option for each tag."), "", out);
    }
    print_line(".PP\n", _("Example:"), "", out);
    print_line(".PP\n.nf\n.RS 4\n" PROGRAM " ", command->example, "\n.RE\n.fi", out);
}

static void print_head(const char *title, FILE *out)
{
    print_line(".SH ", title, "", out);
}

static void print_start(FILE *out)
{
    fputs(".\\\" SPDX-License-Identifier: GPL-3.0-or-later\n"
          ".\\\" Made by " PROGRAM " --manual.\n"
          ".TH READBREAK\\-CLI 1 \"\" \"Readbreak " RB_VERSION "\" \"",
          out);
    print_line("", _("User Commands"), "\"", out);
    print_head(_("NAME"), out);
    fputs(PROGRAM " \\- ", out);
    print_line("", _("what works against which coverage, and where it breaks"), "", out);
    print_head(_("SYNOPSIS"), out);
    fputs(".B " PROGRAM "\n\\fI", out);
    print_line("", _("COMMAND"), "\\fR …", out);
    print_head(_("DESCRIPTION"), out);
    print_line(
        "",
        _("All that Readbreak counts, for the terminal: film, snaps, tags, verdicts, "
          "pairings, ladders, cut-ups and reports of a library."),
        "", out);
}

static void print_end(FILE *out)
{
    static const char *const ends[] = {
        N_("Done."),
        N_("The input was refused; one sentence says why."),
        N_("The command line makes no sense."),
    };
    print_head(_("EXIT STATUS"), out);
    for (int i = 0; i < (int)G_N_ELEMENTS(ends); i++) {
        fprintf(out, ".TP\n%d\n", i);
        print_line("", _(ends[i]), "", out);
    }
    print_head(_("ENVIRONMENT"), out);
    print_line(".TP\nREADBREAK_DECODE\n",
               _("The program that reads films, if it is not the one installed."), "",
               out);
    print_head(_("CAUTION"), out);
    print_line("", cli_caution(), "", out);
    print_head(_("SEE ALSO"), out);
    fputs(".BR readbreak (1)\n", out);
}

void cli_print_manual(FILE *out)
{
    print_start(out);
    print_head(_("COMMANDS"), out);
    for (int i = 0; i < cli_n_commands; i++) {
        print_command(cli_commands[i], out);
    }
    print_head(_("OPTIONS OF EVERY COMMAND"), out);
    print_options(cli_common_options, out);
    print_head(_("WHICH DROPBACKS"), out);
    print_options(cli_filter_options, out);
    print_head(_("WHAT IS TAGGED"), out);
    print_options(cli_tag_options(), out);
    print_end(out);
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
