/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "manual.h"

#include <glib/gi18n.h>

#include "rb/base/text.h"

#include "keys.h"

const char *const rb_manual_parameter = N_("[LIBRARY]");
const char *const rb_manual_summary =
    N_("Opens a library of game film, tags and verdicts; without one, a page from which "
       "a library is made or opened.");
const GOptionEntry rb_manual_entries[] = {
    { "demo", 0, 0, G_OPTION_ARG_NONE, NULL,
      N_("Open the demo season in your data folder, made on the first run"), NULL },
    { "version", 0, 0, G_OPTION_ARG_NONE, NULL, N_("Say which version this is"), NULL },
    { "manual", 0, 0, G_OPTION_ARG_NONE, NULL, N_("Print the manual page"), NULL },
    { 0 },
};

static void print_roff(const char *text, FILE *out)
{
    g_autofree char *roff = rb_text_to_roff(text);
    fputs(roff, out);
}

static void print_keys(FILE *out)
{
    g_autoptr(RbKeys) keys = rb_keys_new_for("/dev/null"); /* as delivered */
    int group = -1;
    for (int row = 0; row < rb_n_keys; row++) {
        if (group != (int)rb_key_table[row].group) {
            group = (int)rb_key_table[row].group;
            fputs(".SS ", out);
            print_roff(rb_key_group_title((RbKeyGroup)group), out);
            fputc('\n', out);
        }
        g_autofree char *text = rb_keys_text(keys, row);
        fputs(".TP\n.B ", out);
        print_roff(text, out);
        fputc('\n', out);
        print_roff(_(rb_key_table[row].title), out);
        fputc('\n', out);
    }
}

static void print_line(const char *before, const char *text, FILE *out)
{
    fputs(before, out);
    print_roff(text, out);
    fputc('\n', out);
}

void rb_print_manual(FILE *out)
{
    fputs(".\\\" SPDX-License-Identifier: GPL-3.0-or-later\n"
          ".\\\" Made by readbreak --manual.\n"
          ".TH READBREAK 1 \"\" \"Readbreak " RB_VERSION "\" \"",
          out);
    print_roff(_("User Commands"), out);
    print_line("\"\n.SH ", _("NAME"), out);
    print_line("readbreak \\- ", _("film study for a football staff"), out);
    print_line(".SH ", _("SYNOPSIS"), out);
    print_line(".B readbreak\n", _(rb_manual_parameter), out);
    print_line(".SH ", _("DESCRIPTION"), out);
    print_line("", _(rb_manual_summary), out);
    print_line(".SH ", _("OPTIONS"), out);
    for (const GOptionEntry *entry = rb_manual_entries; entry->long_name != NULL;
         entry++) {
        fprintf(out, ".TP\n.B \\-\\-%s\n", entry->long_name);
        print_line("", _(entry->description), out);
    }
    print_line(".SH ", _("KEYS"), out);
    print_line("", _("Those the program comes with; its window of keys changes them."),
               out);
    print_keys(out);
    print_line(".SH ", _("SEE ALSO"), out);
    fputs(".BR readbreak\\-cli (1)\n", out);
}
