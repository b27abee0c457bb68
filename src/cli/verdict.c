/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "rb/base/error.h"
#include "rb/work/decision-try.h"
#include "rb/work/error.h"
#include "rb/work/explain.h"
#include "rb/work/json.h"

#include "cli.h"

/* verdict explain and verdict try: one decision, step by step. */

const CliOption *cli_tag_options(void)
{
    static CliOption *options = NULL;
    if (options == NULL) {
        int n = 0;
        const RbTaggable *fields = rb_taggables(&n);
        options = g_new0(CliOption, n + 1); /* kept as long as the program */
        for (int i = 0; i < n; i++) {
            options[i] = (CliOption){ fields[i].token, N_("VALUE"), fields[i].label };
        }
    }
    return options;
}

static char *step_label(RbStepKind kind)
{
    return cli_pad(rb_words_label(&rb_step_words, (int)kind), 12);
}

static void print_explanation(const RbExplanation *explanation)
{
    for (guint i = 0; i < explanation->steps->len; i++) {
        const RbStep *step = explanation->steps->pdata[i];
        g_autofree char *label = step_label(step->kind);
        printf("%s %s\n", label, step->text);
    }
    for (guint i = 0; i < explanation->reasons->len; i++) {
        printf("%s%s\n", i == 0 ? "\n" : "",
               (const char *)explanation->reasons->pdata[i]);
    }
    if (!explanation->judged) {
        g_autofree char *label = step_label(RB_STEP_VERDICT);
        printf("%s %s\n", label, _("This is no pass play: nothing is judged."));
    }
}

static CliExit run_explain(const CliArgs *args, GError **error)
{
    int64_t number = 0;
    if (!cli_parse_number(_("SNAP"), cli_word(args, 1), 1, INT64_MAX, &number, error)) {
        return CLI_USAGE;
    }
    g_autoptr(RbLibrary) library = rb_library_open_to_read(cli_word(args, 0), error);
    g_autoptr(RbSnap) snap =
        library != NULL ? cli_find_snap(args, library, number, error) : NULL;
    g_autoptr(RbSheet) sheet =
        snap != NULL ? rb_library_load_sheet(library, snap->id, error) : NULL;
    if (sheet == NULL) {
        return CLI_REFUSED;
    }
    RbExplanation explanation;
    rb_explain(sheet->names, sheet->snap,
               sheet->counts != NULL ? sheet->counts : sheet->chart, sheet->clips,
               &explanation);
    if (cli_has(args, "json")) {
        json_t *root = rb_json_explanation(&explanation);
        json_object_set_new(root, "snap", rb_json_id(sheet->snap->id.value));
        json_object_set_new(root, "game", rb_json_id(sheet->snap->game.value));
        json_object_set_new(root, "number", json_integer(sheet->snap->number));
        cli_print_json(root);
    } else {
        g_autofree char *title = rb_names_snap_text(sheet->names, sheet->snap);
        g_autofree char *situation = rb_situation_text(&sheet->snap->situation);
        printf("%s: %s\n\n", title, situation);
        print_explanation(&explanation);
    }
    rb_explanation_clear(&explanation);
    return CLI_DONE;
}

static const CliOption explain_options[] = {
    { "game", N_("GAME"),
      N_("number in order of date, date, or title: SNAP is its number there") },
    { NULL, NULL, NULL },
};

const CliCommand cli_verdict_explain = {
    .name = "verdict explain",
    .words = N_("LIBRARY SNAP"),
    .least = 2,
    .most = 2,
    .summary = N_("Tells step by step why a decision is judged as it is."),
    .example = "verdict explain season.readbreak 34 --game 3",
    .options = explain_options,
    .run = run_explain,
};

/* The tags of --file, "-" for what comes in. (transfer full) (nullable): with `error`. */
static json_t *load_tags(const char *path, GError **error)
{
    json_error_t fault;
    json_t *root = strcmp(path, "-") == 0
                       ? json_loadf(stdin, JSON_REJECT_DUPLICATES, &fault)
                       : json_load_file(path, JSON_REJECT_DUPLICATES, &fault);
    if (root == NULL) {
        rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE,
                     "%s cannot be read as JSON: line %d: %s.", path, fault.line,
                     fault.text);
    }
    return root;
}

/* The concept of the word, else the one among the tags. */
static const RbConcept *concept_of(const CliArgs *args, const RbNames *names,
                                   const json_t *root, GError **error)
{
    const json_t *tags = json_object_get(root, "tags");
    const char *named =
        json_string_value(json_object_get(tags != NULL ? tags : root, "concept"));
    named = cli_word(args, 1) != NULL            ? cli_word(args, 1)
            : cli_value(args, "concept") != NULL ? cli_value(args, "concept")
                                                 : named;
    if (named == NULL) {
        cli_usage_error(error,
                        "verdict try needs a concept: verdict try LIBRARY CONCEPT.");
        return NULL;
    }
    return rb_names_parse_concept(names, named, error);
}

static bool take_options(const CliArgs *args, const RbNames *names, RbSnap *snap,
                         RbChart *chart, GError **error)
{
    for (guint i = 0; i < args->names->len; i++) {
        const RbTaggable *field = rb_taggable_parse(args->names->pdata[i], NULL);
        if (field != NULL &&
            !rb_taggable_set(field, names, snap, chart, args->values->pdata[i], error)) {
            return false;
        }
    }
    return true;
}

static CliExit explain_try(const CliArgs *args, const RbNames *names, const json_t *root,
                           GError **error)
{
    const RbConcept *concept = concept_of(args, names, root, error);
    if (concept == NULL) {
        return CLI_REFUSED;
    }
    g_autoptr(RbSnap) snap = NULL;
    g_autoptr(RbChart) chart = NULL;
    rb_try_new(concept, &snap, &chart);
    if ((root != NULL &&
         !rb_try_take_json(names, root, cli_value(args, "file"), snap, chart, error)) ||
        !take_options(args, names, snap, chart, error)) {
        return CLI_REFUSED;
    }
    rb_try_fill_played(chart);
    RbExplanation explanation;
    rb_explain(names, snap, chart, NULL, &explanation);
    if (cli_has(args, "json")) {
        cli_print_json(rb_json_explanation(&explanation));
    } else {
        print_explanation(&explanation);
    }
    rb_explanation_clear(&explanation);
    return CLI_DONE;
}

static CliExit run_try(const CliArgs *args, GError **error)
{
    g_autoptr(RbLibrary) library = rb_library_open_to_read(cli_word(args, 0), error);
    g_autoptr(RbNames) names =
        library != NULL ? rb_library_load_names(library, error) : NULL;
    const char *path = cli_value(args, "file");
    json_t *root = names != NULL && path != NULL ? load_tags(path, error) : NULL;
    const CliExit code = names != NULL && (path == NULL || root != NULL)
                             ? explain_try(args, names, root, error)
                             : CLI_REFUSED;
    json_decref(root);
    return code;
}

static const CliOption try_options[] = {
    { "file", N_("FILE"),
      N_("tags as JSON, as tag --json prints them; - reads what comes in") },
    { NULL, NULL, NULL },
};

const CliCommand cli_verdict_try = {
    .name = "verdict try",
    .words = N_("LIBRARY [CONCEPT]"),
    .least = 1,
    .most = 2,
    .summary =
        N_("Judges a decision that nobody filmed, from a picture and read states."),
    .example = "verdict try season.readbreak smash --right-technique squat --read-1 open "
               "--ball read-2 --release 2.6",
    .options = try_options,
    .tags = true,
    .run = run_try,
};
