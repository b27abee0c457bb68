/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>

#include "rb/base/error.h"
#include "rb/book/check.h"
#include "rb/work/error.h"
#include "rb/work/json.h"
#include "rb/work/playbook-try.h"
#include "rb/work/playbooks.h"

#include "cli.h"

static CliExit run_check(const CliArgs *args, GError **error)
{
    int count = 0;
    if (!rb_playbook_check_file(cli_word(args, 0), &count, error)) {
        return CLI_REFUSED;
    }
    if (cli_has(args, "json")) {
        cli_print_json(json_pack("{s:i}", "concepts", count));
    } else {
        printf(ngettext("%s is sound: %d concept.\n", "%s is sound: %d concepts.\n",
                        (gulong)count),
               cli_word(args, 0), count);
    }
    return CLI_DONE;
}

const CliCommand cli_playbook_check = {
    .name = "playbook check",
    .words = N_("FILE"),
    .least = 1,
    .most = 1,
    .summary = N_("Reads a playbook file and says what is wrong with it, by line."),
    .example = "playbook check passing.json",
    .run = run_check,
};

static CliExit run_import(const CliArgs *args, GError **error)
{
    int changed = 0;
    g_autoptr(RbLibrary) library =
        rb_library_open(cli_word(args, 0), cli_value(args, "as"), error);
    if (library == NULL ||
        !rb_library_import_playbook(library, cli_word(args, 1), &changed, error)) {
        return CLI_REFUSED;
    }
    if (cli_has(args, "json")) {
        cli_print_json(json_pack("{s:i}", "changed", changed));
    } else {
        printf(ngettext("%d concept new or different.\n",
                        "%d concepts new or different.\n", (gulong)changed),
               changed);
    }
    return CLI_DONE;
}

static const CliOption import_options[] = {
    { "as", N_("NAME"), N_("the member of the staff who asks (default: you)") },
    { NULL, NULL, NULL },
};

const CliCommand cli_playbook_import = {
    .name = "playbook import",
    .words = N_("LIBRARY FILE"),
    .least = 2,
    .most = 2,
    .summary = N_("Takes the concepts of a playbook file into a library."),
    .example = "playbook import season.readbreak passing.json",
    .options = import_options,
    .run = run_import,
};

static CliExit run_export(const CliArgs *args, GError **error)
{
    g_autoptr(RbLibrary) library = rb_library_open_to_read(cli_word(args, 0), error);
    if (library == NULL ||
        !rb_library_export_playbook(library, cli_word(args, 1), error)) {
        return CLI_REFUSED;
    }
    if (cli_has(args, "json")) {
        cli_print_json(json_pack("{s:o}", "file", rb_json_text(cli_word(args, 1))));
    } else {
        printf(_("Playbook written to %s\n"), cli_word(args, 1));
    }
    return CLI_DONE;
}

const CliCommand cli_playbook_export = {
    .name = "playbook export",
    .words = N_("LIBRARY FILE"),
    .least = 2,
    .most = 2,
    .summary = N_("Writes the playbook of a library to a file."),
    .example = "playbook export season.readbreak passing.json",
    .run = run_export,
};

static void print_concept(const RbConcept *concept, const RbNames *names)
{
    printf("%s (%s)\n\n", concept->name, concept->token);
    CliTable table =
        cli_table("><<><<<<",
                  (const char *const[]){ _("Read"), _("Route"), _("Run by"), _("Break"),
                                         _("Landmark"), _("Clock"), _("Key"), "", NULL });
    for (guint i = 0; i < concept->reads->len; i++) {
        const RbRead *read = concept->reads->pdata[i];
        cli_table_add(
            &table, g_strdup_printf("%d", read->number),
            g_strdup(rb_words_label(&rb_route_words, (int)read->route)),
            g_strdup(rb_words_label(&rb_runner_words, (int)read->runner)),
            read->depth_yd != 0 ? g_strdup_printf("%d yd", read->depth_yd) : g_strdup(""),
            rb_landmark_text(read), rb_clock_text(&read->clock, rb_names_footwork(names)),
            g_strdup(read->key != NULL ? read->key : ""),
            g_strdup(read->outlet      ? _("outlet")
                     : read->clear_out ? _("clear-out")
                                       : ""));
    }
    cli_table_print(&table);
    for (guint i = 0; i < concept->rules->len; i++) {
        const RbRule *rule = concept->rules->pdata[i];
        g_autofree char *sentence = rb_book_rule_text(rule, rb_names_terms(names));
        printf("%s", i == 0 ? "\n" : "");
        printf(_("Rule %u: %s\n"), i + 1, sentence);
    }
}

static void print_playbook(const RbNames *names)
{
    CliTable table =
        cli_table("<<>>", (const char *const[]){ _("Concept"), _("Token"), _("Reads"),
                                                 _("Rules"), NULL });
    for (guint i = 0; i < rb_names_concepts(names)->len; i++) {
        const RbConcept *concept = rb_names_concepts(names)->pdata[i];
        cli_table_add(&table, g_strdup(concept->name), g_strdup(concept->token),
                      g_strdup_printf("%u", concept->reads->len),
                      g_strdup_printf("%u", concept->rules->len));
    }
    cli_table_print(&table);
}

static CliExit run_show(const CliArgs *args, GError **error)
{
    g_autoptr(RbLibrary) library = rb_library_open_to_read(cli_word(args, 0), error);
    g_autoptr(RbNames) names =
        library != NULL ? rb_library_load_names(library, error) : NULL;
    if (names == NULL) {
        return CLI_REFUSED;
    }
    const char *wanted = cli_word(args, 1);
    const RbConcept *concept =
        wanted != NULL ? rb_names_parse_concept(names, wanted, error) : NULL;
    if (wanted != NULL && concept == NULL) {
        return CLI_REFUSED;
    }
    if (cli_has(args, "json")) {
        json_t *root = rb_json_playbook(names, concept, error);
        if (root == NULL) {
            return CLI_REFUSED;
        }
        cli_print_json(root);
    } else if (concept != NULL) {
        print_concept(concept, names);
    } else {
        print_playbook(names);
    }
    return CLI_DONE;
}

const CliCommand cli_playbook_show = {
    .name = "playbook show",
    .words = N_("LIBRARY [CONCEPT]"),
    .least = 1,
    .most = 2,
    .summary = N_("The concepts of a library, or the reads and rules of one."),
    .example = "playbook show season.readbreak curl-flat",
    .run = run_show,
};

/* A word of a set by option; `*value` stays when the option is not given. */
static bool take_word(const CliArgs *args, const char *option, const RbWords *words,
                      int *value, GError **error)
{
    const char *given = cli_value(args, option);
    if (given == NULL || rb_words_parse(words, given, value)) {
        return true;
    }
    g_autofree char *list = rb_words_list(words);
    return cli_usage_error(error, "--%s is not %s: it is %s.", option, given, list);
}

static bool take_picture(const CliArgs *args, const RbNames *names, RbPictureTry *picture,
                         GError **error)
{
    int side = RB_SIDE_RIGHT;
    int shell = RB_SHELL_UNKNOWN;
    int left = RB_TECHNIQUE_UNKNOWN;
    int right = RB_TECHNIQUE_UNKNOWN;
    if (!take_word(args, "side", &rb_side_words, &side, error) ||
        !take_word(args, "shell", &rb_shell_words, &shell, error) ||
        !take_word(args, "left", &rb_technique_words, &left, error) ||
        !take_word(args, "right", &rb_technique_words, &right, error)) {
        return false;
    }
    const char *coverage = cli_value(args, "coverage");
    if (coverage != NULL) {
        const RbTerm *term =
            rb_names_parse_term(names, RB_TERM_COVERAGE, coverage, error);
        if (term == NULL) {
            return false;
        }
        picture->coverage = term->id;
    }
    picture->side = (RbSide)side;
    picture->shown.shell = (RbShell)shell;
    picture->shown.left.technique = (RbTechnique)left;
    picture->shown.right.technique = (RbTechnique)right;
    return true;
}

static CliExit run_page(const CliArgs *args, GError **error)
{
    const char *path = cli_word(args, 2);
    RbPictureTry picture = rb_picture_try();
    int rules = RB_RULES_HIGH_SCHOOL;
    g_autoptr(RbLibrary) library = rb_library_open_to_read(cli_word(args, 0), error);
    g_autoptr(RbNames) names =
        library != NULL ? rb_library_load_names(library, error) : NULL;
    const RbConcept *concept =
        names != NULL ? rb_names_parse_concept(names, cli_word(args, 1), error) : NULL;
    if (concept == NULL || !take_picture(args, names, &picture, error) ||
        !take_word(args, "rules", &rb_rules_words, &rules, error)) {
        return CLI_REFUSED;
    }
    if (g_file_test(path, G_FILE_TEST_EXISTS)) {
        rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_EXISTS,
                     "%s exists already: give another name or remove it.", path);
        return CLI_REFUSED;
    }
    if (!rb_concept_write_page(concept, names, (RbRules)rules, &picture, path, error)) {
        return CLI_REFUSED;
    }
    if (cli_has(args, "json")) {
        cli_print_json(json_pack("{s:s}", "file", path));
    } else {
        printf(_("%s written to %s\n"), concept->name, path);
    }
    return CLI_DONE;
}

static const CliOption page_options[] = {
    { "side", N_("SIDE"), N_("worked to: left or right (default: right)") },
    { "shell", N_("SHELL"), N_("one-high, two-high …") },
    { "left", N_("TECHNIQUE"), N_("of the left corner: press, off, squat …") },
    { "right", N_("TECHNIQUE"), N_("of the right corner") },
    { "coverage", N_("COVERAGE"), N_("cover-3, quarters …") },
    { "rules", N_("RULES"), N_("of the field: high-school, college or pro") },
    { NULL, NULL, NULL },
};

const CliCommand cli_playbook_page = {
    .name = "playbook page",
    .words = N_("LIBRARY CONCEPT FILE"),
    .least = 3,
    .most = 3,
    .summary =
        N_("Draws a concept on one page, as .pdf, .svg or .png, against a picture."),
    .example = "playbook page season.readbreak smash smash.pdf --shell two-high",
    .options = page_options,
    .run = run_page,
};
