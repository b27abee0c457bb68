/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "rb/base/error.h"
#include "rb/work/error.h"
#include "rb/work/intake.h"
#include "rb/work/json.h"
#include "rb/work/log-import.h"

#include "cli.h"

/* What is to be read, with its angle. */
typedef struct {
    GPtrArray *paths; /* owned, of borrowed char *; NULL-ended */
    GArray *angles;   /* owned, of RbAngle */
} Sources;

static void add_source(Sources *sources, const char *path, RbAngle angle)
{
    g_ptr_array_add(sources->paths, (char *)path);
    g_array_append_val(sources->angles, angle);
}

static Sources collect_sources(const CliArgs *args)
{
    Sources sources = { g_ptr_array_new(), g_array_new(FALSE, FALSE, sizeof(RbAngle)) };
    for (guint i = 1; i < args->words->len; i++) {
        add_source(&sources, args->words->pdata[i], RB_ANGLE_OTHER);
    }
    for (guint i = 0; i < args->names->len; i++) {
        const char *name = args->names->pdata[i];
        if (strcmp(name, "wide") == 0) {
            add_source(&sources, args->values->pdata[i], RB_ANGLE_WIDE);
        } else if (strcmp(name, "tight") == 0) {
            add_source(&sources, args->values->pdata[i], RB_ANGLE_TIGHT);
        }
    }
    g_ptr_array_add(sources.paths, NULL);
    return sources;
}

static bool parse_shape(const CliArgs *args, RbIntakeOptions *options, GError **error)
{
    if (cli_has(args, "long") && cli_has(args, "clips")) {
        return cli_usage_error(error, "A film is --long or made of --clips, not both.");
    }
    options->shape = cli_has(args, "long")    ? RB_SHAPE_LONG
                     : cli_has(args, "clips") ? RB_SHAPE_CLIPS
                                              : RB_SHAPE_TELL;
    options->tight_first = cli_has(args, "tight-first");
    return true;
}

static RbIntake *read_sources(const CliArgs *args, const RbIntakeOptions *options,
                              GError **error)
{
    Sources sources = collect_sources(args);
    RbProgress *progress = cli_progress_new();
    RbIntake *intake = NULL;
    if (sources.paths->len > 1) {
        intake = rb_intake_read((const char *const *)sources.paths->pdata,
                                (const RbAngle *)(void *)sources.angles->data, options,
                                args->cancel, progress, error);
    } else {
        cli_usage_error(error, "Name a folder or films to load.");
    }
    cli_progress_end(progress);
    g_ptr_array_unref(sources.paths);
    g_array_unref(sources.angles);
    return intake;
}

/* "12-15, 18": snaps that nobody filmed, since most of a log may be such. */
static char *unfilmed_text(const RbIntake *intake)
{
    GString *text = g_string_new(NULL);
    for (guint i = 0; i < intake->rows->len; i++) {
        const RbIntakeRow *row = &g_array_index(intake->rows, RbIntakeRow, i);
        if (row->kind != RB_INTAKE_NO_FILM) {
            continue;
        }
        guint last = i;
        while (last + 1 < intake->rows->len &&
               g_array_index(intake->rows, RbIntakeRow, last + 1).kind ==
                   RB_INTAKE_NO_FILM) {
            last++;
        }
        g_string_append_printf(text, "%s%d", text->len > 0 ? ", " : "", row->number);
        if (last > i) {
            g_string_append_printf(text, "-%d",
                                   g_array_index(intake->rows, RbIntakeRow, last).number);
        }
        i = last;
    }
    return g_string_free(text, FALSE);
}

static char *sure_text(const RbIntakeRow *row)
{
    return row->kind == RB_INTAKE_BOTH ? g_strdup_printf("%.0f %%", 100 * row->sure)
                                       : g_strdup("");
}

static char *length_text(const RbIntake *intake, const RbIntakeRow *row)
{
    const int any = row->wide >= 0 ? row->wide : row->tight;
    const RbIntakeClip *clip = intake->clips->pdata[any];
    return g_strdup_printf("%.1f s", (double)clip->length_us / 1e6);
}

static void print_table(const RbIntake *intake)
{
    CliTable table =
        cli_table("><<>><", (const char *const[]){ _("Snap"), _("Wide"), _("Tight"),
                                                   C_("clip", "Length"), _("Sure"),
                                                   _("To be seen to"), NULL });
    for (guint i = 0; i < intake->rows->len; i++) {
        const RbIntakeRow *row = &g_array_index(intake->rows, RbIntakeRow, i);
        if (row->kind == RB_INTAKE_NO_FILM) {
            continue;
        }
        cli_table_add(
            &table, row->number > 0 ? g_strdup_printf("%d", row->number) : g_strdup("-"),
            rb_intake_clip_text(intake, row->wide),
            rb_intake_clip_text(intake, row->tight), length_text(intake, row),
            sure_text(row), rb_intake_row_text(intake, row));
    }
    cli_table_print(&table);
    g_autofree char *unfilmed = unfilmed_text(intake);
    if (unfilmed[0] != '\0') {
        printf(_("Without film: %s\n"), unfilmed);
    }
    for (guint i = 0; i < intake->refused->len; i++) {
        printf(_("Left out: %s\n"), (const char *)intake->refused->pdata[i]);
    }
}

static void print_counts(const RbIntake *intake)
{
    printf(
        _("%d snaps with both angles, %d with the tight clip missing, %d with the wide "
          "clip missing, %d without film; %d extra clips, %d duplicates.\n"),
        rb_intake_count(intake, RB_INTAKE_BOTH),
        rb_intake_count(intake, RB_INTAKE_WIDE_ONLY),
        rb_intake_count(intake, RB_INTAKE_TIGHT_ONLY),
        rb_intake_count(intake, RB_INTAKE_NO_FILM),
        rb_intake_count(intake, RB_INTAKE_EXTRA),
        rb_intake_count(intake, RB_INTAKE_DUPLICATE));
}

static json_t *clip_json(const RbIntake *intake, int at)
{
    if (at < 0) {
        return json_null();
    }
    const RbIntakeClip *clip = intake->clips->pdata[at];
    const RbIntakeFile *file = intake->files->pdata[clip->file];
    return json_pack(
        "{s:o, s:o, s:I, s:I, s:f, s:f, s:b}", "path", rb_json_text(file->look->path),
        "film", rb_json_id(file->look->film.value), "first", (json_int_t)clip->first,
        "last", (json_int_t)clip->last, "seconds", (double)clip->length_us / 1e6,
        "cut_sure", clip->cut_sure, "goes_on", (int)clip->goes_on);
}

static json_t *rows_json(const RbIntake *intake)
{
    json_t *rows = json_array();
    for (guint i = 0; i < intake->rows->len; i++) {
        const RbIntakeRow *row = &g_array_index(intake->rows, RbIntakeRow, i);
        g_autofree char *text = rb_intake_row_text(intake, row);
        json_array_append_new(
            rows, json_pack("{s:i, s:o, s:s, s:f, s:o, s:o, s:o}", "number", row->number,
                            "snap", rb_json_id(row->snap.value), "kind",
                            rb_words_token(&rb_intake_kind_words, (int)row->kind), "sure",
                            row->sure, "wide", clip_json(intake, row->wide), "tight",
                            clip_json(intake, row->tight), "text", rb_json_text(text)));
    }
    return rows;
}

static json_t *intake_json(const RbIntake *intake, bool written,
                           const RbIntakeSaved *saved)
{
    json_t *counts = json_object();
    for (int kind = RB_INTAKE_BOTH; kind <= RB_INTAKE_DUPLICATE; kind++) {
        json_object_set_new(counts, rb_words_token(&rb_intake_kind_words, kind),
                            json_integer(rb_intake_count(intake, (RbIntakeKind)kind)));
    }
    json_t *refused = json_array();
    for (guint i = 0; i < intake->refused->len; i++) {
        json_array_append_new(refused, rb_json_text(intake->refused->pdata[i]));
    }
    return json_pack("{s:o, s:o, s:o, s:b, s:b, s:i, s:i, s:i}", "rows",
                     rows_json(intake), "counts", counts, "refused", refused, "by_number",
                     (int)intake->by_number, "written", (int)written, "films_added",
                     saved->films, "clips_added", saved->clips, "snaps_made",
                     saved->snaps);
}

static int compare_snaps(const void *a, const void *b)
{
    return (*(RbSnap *const *)a)->number - (*(RbSnap *const *)b)->number;
}

/* The game's snaps as they will be when the log is in. */
static void add_planned(GPtrArray *snaps, const RbLogPlan *plan)
{
    for (guint i = 0; i < plan->changed->len; i++) {
        const RbSnap *changed = plan->changed->pdata[i];
        bool known = false;
        for (guint k = 0; k < snaps->len; k++) {
            known = known || ((RbSnap *)snaps->pdata[k])->id.value == changed->id.value;
        }
        if (!known) {
            g_ptr_array_add(snaps, rb_snap_copy(changed));
        }
    }
    g_ptr_array_sort(snaps, compare_snaps);
}

/* plan: (out) (transfer full) (nullable): of the log that was named, if one was. */
static bool match(const CliArgs *args, RbLibrary *library, RbIntake *intake,
                  RbLogPlan **plan, GError **error)
{
    const char *path = cli_value(args, "log");
    g_autoptr(RbNames) names = rb_library_load_names(library, error);
    const RbGame *game =
        names != NULL ? rb_names_parse_game(names, cli_value(args, "game"), error) : NULL;
    g_autoptr(GPtrArray) snaps =
        game != NULL ? rb_library_load_snaps(library, game->id, error) : NULL;
    if (snaps == NULL) {
        return false;
    }
    if (path != NULL) {
        const RbLogOptions options = { 0 };
        g_autoptr(GBytes) bytes = rb_log_read_file(path, error);
        *plan = bytes != NULL
                    ? rb_library_plan_log(library, game->id, bytes, path, &options, error)
                    : NULL;
        if (*plan == NULL) {
            return false;
        }
        add_planned(snaps, *plan);
    }
    rb_intake_match(intake, game->id, g_steal_pointer(&snaps));
    return true;
}

/* The log first, since clips are of its snaps; a log that asks is refused before anything. */
static bool accept(const CliArgs *args, RbLibrary *library, const RbIntake *intake,
                   const RbLogPlan *plan, RbIntakeSaved *saved, GError **error)
{
    if (plan != NULL && !rb_library_apply_log(library, plan, NULL, error)) {
        return false;
    }
    RbProgress *progress = cli_progress_new();
    const bool ok = rb_library_save_intake(library, intake, cli_value(args, "copy"),
                                           saved, args->cancel, progress, error);
    cli_progress_end(progress);
    return ok;
}

static void print_saved(const CliArgs *args, const RbIntakeSaved *saved)
{
    if (!cli_has(args, "accept")) {
        puts(_("Nothing is written yet: mend what is wrong, then give --accept."));
    } else if (saved->films + saved->clips + saved->snaps == 0) {
        puts(_("All of it was in the library already; nothing was changed."));
    } else {
        printf(_("Written: %d films, %d clips, %d new snaps.\n"), saved->films,
               saved->clips, saved->snaps);
    }
}

static CliExit run_import(const CliArgs *args, GError **error)
{
    RbIntakeOptions options = { 0 };
    RbIntakeSaved saved = { 0 };
    if (!parse_shape(args, &options, error)) {
        return CLI_USAGE;
    }
    if (cli_value(args, "game") == NULL) {
        cli_usage_error(error, "Say which game the film shows, with --game.");
        return CLI_USAGE;
    }
    g_autoptr(RbLibrary) library =
        rb_library_open(cli_word(args, 0), cli_value(args, "as"), error);
    g_autoptr(RbIntake) intake =
        library != NULL ? read_sources(args, &options, error) : NULL;
    g_autoptr(RbLogPlan) plan = NULL;
    if (intake == NULL || !match(args, library, intake, &plan, error)) {
        return g_error_matches(*error, CLI_ERROR_USAGE, 0) ? CLI_USAGE : CLI_REFUSED;
    }
    if (cli_has(args, "accept") && !accept(args, library, intake, plan, &saved, error)) {
        return CLI_REFUSED;
    }
    if (cli_has(args, "json")) {
        cli_print_json(intake_json(intake, cli_has(args, "accept"), &saved));
        return CLI_DONE;
    }
    print_table(intake);
    print_counts(intake);
    if (plan != NULL) {
        g_autofree char *text = rb_log_plan_text(plan);
        printf(_("Play log: %s\n"), text);
    }
    print_saved(args, &saved);
    return CLI_DONE;
}

static const CliOption import_options[] = {
    { "game", N_("GAME"),
      N_("the game it shows: number in order of date, date, or title") },
    { "wide", N_("PATH"), N_("a film or folder of the wide camera; may be given again") },
    { "tight", N_("PATH"),
      N_("a film or folder of the tight camera; may be given again") },
    { "clips", NULL, N_("each file is one snap (default: if it is at most 90 s long)") },
    { "long", NULL, N_("each file is a recording, to be cut where the camera stopped") },
    { "tight-first", NULL, N_("of two cameras no name tells apart the first is tight") },
    { "copy", N_("FOLDER"),
      N_("copy the films into this folder and compare the copies") },
    { "log", N_("FILE"), N_("the game's play log, taken in first (see log import)") },
    { "accept", NULL, N_("write what the table shows; without it nothing is written") },
    { "as", N_("NAME"), N_("the member of the staff who loads it (default: you)") },
    { NULL, NULL, NULL },
};

const CliCommand cli_film_import = {
    .name = "film import",
    .words = N_("LIBRARY [FILM | FOLDER…]"),
    .least = 1,
    .most = -1,
    .summary =
        N_("Loads a game's film: which clip shows which snap, then all of it at once."),
    .example = "film import season.readbreak /media/card --game 3 --accept",
    .options = import_options,
    .run = run_import,
};
