/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>
#include <inttypes.h>
#include <string.h>

#include "rb/work/filter-text.h"
#include "rb/work/saved-filters.h"

#include "cli.h"

GQuark cli_error_usage_quark(void)
{
    return g_quark_from_static_string("rb-cli-error-usage");
}

bool cli_usage_error(GError **error, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    g_autofree char *text =
        g_strdup_vprintf(g_dgettext(GETTEXT_PACKAGE, format), arguments);
    va_end(arguments);
    g_set_error_literal(error, CLI_ERROR_USAGE, 0, text);
    return false;
}

/* The options that every field of a filter has, by the tokens of rb_field_words. */
const CliOption cli_filter_options[] = {
    { "filter", N_("NAME"),
      N_("one that was saved; another option on its field replaces that") },
    { "game", N_("GAME"), N_("number in order of date, date, or title") },
    { "opponent", N_("TEAM"), N_("name of the other team") },
    { "date", N_("DAYS"), N_("2026-09-12, or 2026-09-01..2026-09-30") },
    { "down", N_("DOWN"), N_("1 to 4; several apart by commas, as for all of these") },
    { "distance", N_("YARDS"), N_("to gain: 3, 7-10, 11+") },
    { "yards-to-goal", N_("YARDS"), N_("to the goal line: 1-20") },
    { "hash", N_("HASH"), N_("left, middle or right") },
    { "quarter", N_("QUARTER"), N_("1 to 4, 5 for overtime") },
    { "close", N_("YES"),
      N_("yes while the game was close: within 28, 24, 21, 16 points by quarter") },
    { "personnel", N_("GROUP"), N_("11, 12 …") },
    { "formation", N_("NAME"), N_("2x2, 3x1 …") },
    { "motion", N_("NAME"), N_("jet, across …") },
    { "quarterback", N_("JERSEY"), N_("his number") },
    { "call", N_("KIND"), N_("single, mirrored, split or across") },
    { "concept", N_("CONCEPT"), N_("curl-flat, smash …") },
    { "side-worked", N_("SIDE"), N_("left or right") },
    { "shell", N_("SHELL"), N_("one-high, two-high …") },
    { "coverage", N_("COVERAGE"), N_("cover-3, quarters …") },
    { "family", N_("FAMILY"), N_("man, zone or match") },
    { "technique", N_("TECHNIQUE"), N_("of the corner on the side worked") },
    { "rushers", N_("COUNT"), N_("4, 5+ …") },
    { "pressure", N_("PRESSURE"), N_("none or came") },
    { "result", N_("RESULT"), N_("complete, sack …") },
    { "verdict", N_("VERDICT"), N_("on-read, late, passed-up …") },
    { "stage", N_("STAGE"), N_("eyes, covered, throw …") },
    { "read", N_("READ"), N_("the read at which it ended; 0 for none") },
    { "counts", N_("YES"), N_("yes: only what counts in the ladder; no: the rest") },
    { "own-tag", N_("TAG"), N_("a tag of the staff's own") },
    { "practice", NULL, N_("count practice and 7-on-7 too") },
    { NULL, NULL, NULL },
};

/* Options of every command. */
const CliOption cli_common_options[] = {
    { "json", NULL, N_("print JSON") },
    { "help", NULL, N_("print this help") },
    { NULL, NULL, NULL },
};

static const CliOption *find_in(const CliOption *options, const char *name)
{
    for (; options != NULL && options->name != NULL; options++) {
        if (strcmp(options->name, name) == 0) {
            return options;
        }
    }
    return NULL;
}

static const CliOption *find_option(const CliCommand *command, const char *name)
{
    const CliOption *found = find_in(command->options, name);
    if (found == NULL && command->filters) {
        found = find_in(cli_filter_options, name);
    }
    if (found == NULL && command->tags) {
        found = find_in(cli_tag_options(), name);
    }
    return found != NULL ? found : find_in(cli_common_options, name);
}

/* One option at argv[*i]; moves *i over a value of its own. */
static bool parse_option(CliArgs *args, int argc, char **argv, int *i, GError **error)
{
    const char *text = argv[*i] + 2;
    const char *equals = strchr(text, '=');
    g_autofree char *name =
        equals != NULL ? g_strndup(text, (gsize)(equals - text)) : g_strdup(text);
    const CliOption *option = find_option(args->command, name);
    if (option == NULL) {
        return cli_usage_error(error, "%s has no option --%s.", args->command->name,
                               name);
    }
    const char *value = NULL;
    if (option->value == NULL && equals != NULL) {
        return cli_usage_error(error, "--%s takes no value.", name);
    }
    if (option->value != NULL && equals != NULL) {
        value = equals + 1;
    } else if (option->value != NULL) {
        if (*i + 1 >= argc) {
            return cli_usage_error(error, "--%s needs a value: --%s %s.", name, name,
                                   _(option->value));
        }
        value = argv[++*i];
    }
    g_ptr_array_add(args->names, (gpointer)option->name);
    g_ptr_array_add(args->values, (gpointer)value);
    return true;
}

bool cli_args_parse(CliArgs *args, const CliCommand *command, int argc, char **argv,
                    GError **error)
{
    args->command = command;
    args->words = g_ptr_array_new();
    args->open = g_ptr_array_new_with_free_func((GDestroyNotify)rb_library_close);
    args->names = g_ptr_array_new();
    args->values = g_ptr_array_new();
    bool only_words = false;
    for (int i = 0; i < argc; i++) {
        if (!only_words && strcmp(argv[i], "--") == 0) {
            only_words = true;
        } else if (!only_words && strcmp(argv[i], "-h") == 0) {
            g_ptr_array_add(args->names, (gpointer) "help");
            g_ptr_array_add(args->values, NULL);
        } else if (!only_words && g_str_has_prefix(argv[i], "--")) {
            if (!parse_option(args, argc, argv, &i, error)) {
                return false;
            }
        } else if (!only_words && argv[i][0] == '-' && argv[i][1] != '\0') {
            return cli_usage_error(error, "%s has no option %s: options start with --.",
                                   command->name, argv[i]);
        } else {
            g_ptr_array_add(args->words, argv[i]);
        }
    }
    const int n = (int)args->words->len;
    if (cli_has(args, "help")) {
        return true;
    }
    if (n < command->least) {
        return cli_usage_error(error, "%s needs %s.", command->name, _(command->words));
    }
    if (command->most >= 0 && n > command->most) {
        return cli_usage_error(error, "%s does not know what to do with \"%s\".",
                               command->name, cli_word(args, command->most));
    }
    return true;
}

void cli_args_clear(CliArgs *args)
{
    g_clear_pointer(&args->words, g_ptr_array_unref);
    g_clear_pointer(&args->open, g_ptr_array_unref);
    g_clear_pointer(&args->names, g_ptr_array_unref);
    g_clear_pointer(&args->values, g_ptr_array_unref);
}

const char *cli_word(const CliArgs *args, int i)
{
    return i < (int)args->words->len ? args->words->pdata[i] : NULL;
}

bool cli_has(const CliArgs *args, const char *option)
{
    for (guint i = 0; i < args->names->len; i++) {
        if (strcmp(args->names->pdata[i], option) == 0) {
            return true;
        }
    }
    return false;
}

const char *cli_value(const CliArgs *args, const char *option)
{
    for (guint i = args->names->len; i > 0; i--) {
        if (strcmp(args->names->pdata[i - 1], option) == 0) {
            return args->values->pdata[i - 1];
        }
    }
    return NULL;
}

bool cli_parse_number(const char *what, const char *text, int64_t low, int64_t high,
                      int64_t *number, GError **error)
{
    if (g_ascii_string_to_signed(text, 10, low, high, number, NULL)) {
        return true;
    }
    return cli_usage_error(error,
                           "%s is \"%s\", which is not a whole number from "
                           "%" PRId64 " to %" PRId64 ".",
                           what, text, low, high);
}

bool cli_number(const CliArgs *args, const char *option, int64_t low, int64_t high,
                int64_t fallback, int64_t *number, GError **error)
{
    *number = fallback;
    const char *text = cli_value(args, option);
    if (text == NULL) {
        return true;
    }
    g_autofree char *what = g_strconcat("--", option, NULL);
    return cli_parse_number(what, text, low, high, number, error);
}

/* What the options for fields say. */
static RbFilter *written_filter(const CliArgs *args, const RbNames *names, GError **error)
{
    g_autoptr(RbFilter) filter = rb_filter_new();
    for (guint i = 0; i < args->names->len; i++) {
        int field = 0;
        const char *text = args->values->pdata[i];
        if (text == NULL || find_in(cli_filter_options, args->names->pdata[i]) == NULL ||
            !rb_words_parse(&rb_field_words, args->names->pdata[i], &field)) {
            continue;
        }
        if (!rb_filter_add_text(filter, names, (RbField)field, text, error)) {
            return NULL;
        }
    }
    return g_steal_pointer(&filter);
}

RbFilter *cli_filter(const CliArgs *args, const RbNames *names, GError **error)
{
    g_autoptr(RbFilter) filter = rb_filter_new();
    g_autoptr(RbFilter) written = written_filter(args, names, error);
    if (written == NULL) {
        return NULL;
    }
    for (guint i = 0; i < args->names->len; i++) {
        if (strcmp(args->names->pdata[i], "filter") != 0) {
            continue;
        }
        g_autoptr(RbFilter) saved =
            rb_names_parse_filter(names, args->values->pdata[i], error);
        if (saved == NULL) {
            return NULL;
        }
        rb_filter_merge(filter, saved);
    }
    rb_filter_merge(filter, written);
    return g_steal_pointer(&filter);
}
