/* SPDX-License-Identifier: GPL-3.0-or-later */

#include "config.h"

#include <glib/gi18n-lib.h>

#include "rb/work/cutups.h"
#include "rb/work/json.h"

#include "cli.h"

/* cutup: the lists of snaps to watch, and their export. */

static CliExit run_list(const CliArgs *args, GError **error)
{
    g_autoptr(RbLibrary) library = rb_library_open_to_read(cli_word(args, 0), error);
    g_autoptr(GPtrArray) cutups =
        library != NULL ? rb_library_load_cutups(library, error) : NULL;
    if (cutups == NULL) {
        return CLI_REFUSED;
    }
    CliTable table = cli_table(
        "<<>", (const char *const[]){ _("Cut-up"), _("Kind"), _("Clips"), NULL });
    json_t *array = json_array();
    for (guint i = 0; i < cutups->len; i++) {
        const RbCutup *cutup = cutups->pdata[i];
        g_autoptr(GPtrArray) entries =
            rb_library_load_cutup_entries(library, cutup, error);
        if (entries == NULL) {
            json_decref(array);
            cli_table_drop(&table);
            return CLI_REFUSED;
        }
        cli_table_add(&table, g_strdup(cutup->name),
                      g_strdup(rb_words_label(&rb_cutup_kind_words, (int)cutup->kind)),
                      g_strdup_printf("%u", entries->len));
        json_array_append_new(
            array, json_pack("{s:o, s:o, s:s, s:i}", "id", rb_json_id(cutup->id.value),
                             "name", rb_json_text(cutup->name), "kind",
                             rb_words_token(&rb_cutup_kind_words, (int)cutup->kind),
                             "clips", (int)entries->len));
    }
    if (cli_has(args, "json")) {
        cli_print_json(json_pack("{s:O}", "cutups", array));
        cli_table_drop(&table);
    } else {
        cli_table_print(&table);
    }
    json_decref(array);
    return CLI_DONE;
}

const CliCommand cli_cutup_list = {
    .name = "cutup list",
    .words = N_("LIBRARY"),
    .least = 1,
    .most = 1,
    .summary = N_("The cut-ups of a library."),
    .example = "cutup list season.readbreak",
    .run = run_list,
};

/* The plan that the words and options of a command ask for. */
static RbCutupPlan *load_plan(const CliArgs *args, GError **error)
{
    g_autoptr(RbLibrary) library = rb_library_open_to_read(cli_word(args, 0), error);
    g_autoptr(RbCutup) cutup =
        library != NULL ? rb_library_find_cutup(library, cli_word(args, 1), error) : NULL;
    return cutup != NULL ? rb_library_plan_cutup(library, cutup->id,
                                                 !cli_has(args, "no-names"), error)
                         : NULL;
}

static json_t *clip_json(const RbCutupClip *clip)
{
    const RbCut *cut = &clip->entry->cut;
    json_t *object = json_pack(
        "{s:o, s:o, s:o, s:o, s:o, s:I, s:I, s:s, s:s, s:s, s:i, s:i, s:s, s:i, s:o}",
        "snap", rb_json_id(clip->entry->snap.value), "title", rb_json_text(clip->title),
        "subtitle", rb_json_text(clip->subtitle), "film", rb_json_text(clip->film_title),
        "note", rb_json_text(clip->entry->note), "first", (json_int_t)clip->first, "last",
        (json_int_t)clip->last, "view", rb_words_token(&rb_view_words, (int)cut->view),
        "start", rb_words_token(&rb_point_words, (int)cut->start), "stop",
        rb_words_token(&rb_point_words, (int)cut->stop), "speed", cut->speed, "loops",
        cut->loops, "freeze", rb_words_token(&rb_point_words, (int)cut->freeze),
        "freeze_ms", cut->freeze_ms, "card", rb_json_text(cut->card));
    json_object_set_new(object, "missing", rb_json_text(clip->missing));
    return object;
}

static char *seconds_text(int64_t us)
{
    return g_strdup_printf("%.2f", (double)us / 1e6);
}

/* Its note, and why it cannot be shown. Returns: (transfer full). */
static char *note_text(const RbCutupPlan *plan, const RbCutupClip *clip)
{
    const char *note = plan->names && clip->entry->note != NULL ? clip->entry->note : "";
    const char *missing = clip->missing != NULL ? clip->missing : "";
    return g_strconcat(note, *note != '\0' && *missing != '\0' ? "; " : "", missing,
                       NULL);
}

static void print_plan(const RbCutupPlan *plan)
{
    CliTable table = cli_table(
        "><<<><", (const char *const[]){ _("Clip"), _("Snap"), _("Situation"), _("View"),
                                         _("Seconds"), _("Note"), NULL });
    int64_t whole = 0;
    for (guint i = 0; i < plan->clips->len; i++) {
        const RbCutupClip *clip = plan->clips->pdata[i];
        const int64_t us = rb_cutup_clip_us(clip, false);
        whole += us;
        cli_table_add(
            &table, g_strdup_printf("%u", i + 1), g_strdup(clip->title),
            g_strdup(clip->subtitle),
            g_strdup(rb_words_label(&rb_view_words, (int)clip->entry->cut.view)),
            seconds_text(us), note_text(plan, clip));
    }
    cli_table_print(&table);
    g_autofree char *length = rb_time_text(whole);
    printf(_("%s: %u clips, %s\n"), plan->cutup->name, plan->clips->len, length);
}

static json_t *plan_json(const RbCutupPlan *plan)
{
    json_t *clips = json_array();
    for (guint i = 0; i < plan->clips->len; i++) {
        json_array_append_new(clips, clip_json(plan->clips->pdata[i]));
    }
    const RbCutup *cutup = plan->cutup;
    return json_pack("{s:o, s:o, s:s, s:o, s:b, s:o}", "id", rb_json_id(cutup->id.value),
                     "name", rb_json_text(cutup->name), "kind",
                     rb_words_token(&rb_cutup_kind_words, (int)cutup->kind), "note",
                     rb_json_text(plan->names ? cutup->note : NULL), "has_filter",
                     cutup->filter != NULL, "clips", clips);
}

static CliExit run_show(const CliArgs *args, GError **error)
{
    g_autoptr(RbCutupPlan) plan = load_plan(args, error);
    if (plan == NULL) {
        return CLI_REFUSED;
    }
    if (!cli_has(args, "json")) {
        print_plan(plan);
        return CLI_DONE;
    }
    cli_print_json(plan_json(plan));
    return CLI_DONE;
}

static const CliOption show_options[] = {
    { "no-names", NULL, N_("leave out players and notes") },
    { NULL, NULL, NULL },
};

const CliCommand cli_cutup_show = {
    .name = "cutup show",
    .words = N_("LIBRARY CUT-UP"),
    .least = 2,
    .most = 2,
    .summary = N_("The clips of a cut-up, in order."),
    .example = "cutup show season.readbreak \"Monday\"",
    .options = show_options,
    .run = run_show,
};

/* ---- export */

static CliExit write_list(const CliArgs *args, const RbCutupPlan *plan, const char *out,
                          GError **error)
{
    if ((!cli_has(args, "replace") && !rb_cutup_check_free(out, error)) ||
        !rb_cutup_write_list(plan, out, cli_has(args, "cards"), error)) {
        return CLI_REFUSED;
    }
    if (cli_has(args, "json")) {
        cli_print_json(json_pack("{s:o, s:i}", "out", rb_json_text(out), "files", 1));
    } else {
        printf(_("List written to %s\n"), out);
    }
    return CLI_DONE;
}

static void print_log(const CliArgs *args, const GPtrArray *log, const char *out,
                      int files)
{
    if (!cli_has(args, "json")) {
        for (guint i = 0; i < log->len; i++) {
            printf("%s\n", (const char *)log->pdata[i]);
        }
        printf(ngettext("%d file written to %s\n", "%d files written to %s\n",
                        (gulong)files),
               files, out);
        return;
    }
    json_t *lines = json_array();
    for (guint i = 0; i < log->len; i++) {
        json_array_append_new(lines, rb_json_text(log->pdata[i]));
    }
    cli_print_json(json_pack("{s:o, s:i, s:o}", "out", rb_json_text(out), "files", files,
                             "log", lines));
}

static CliExit write_film(const CliArgs *args, const RbCutupPlan *plan, const char *out,
                          GError **error)
{
    const RbCutupExport options = { .each = cli_has(args, "each"),
                                    .sound = !cli_has(args, "no-sound"),
                                    .cards = cli_has(args, "cards"),
                                    .drawings = cli_has(args, "drawings"),
                                    .encode = cli_has(args, "encode"),
                                    .skip = cli_has(args, "skip"),
                                    .keep = !cli_has(args, "replace") };
    g_autoptr(GPtrArray) log = NULL;
    RbCutupMade made;
    RbProgress *progress = cli_progress_new();
    const bool done =
        rb_cutup_export(plan, out, &options, args->cancel, progress, &log, &made, error);
    cli_progress_end(progress);
    if (!done) {
        return CLI_REFUSED;
    }
    print_log(args, log, out, made.files);
    return CLI_DONE;
}

static CliExit run_export(const CliArgs *args, GError **error)
{
    const char *out = cli_value(args, "out");
    if (out == NULL) {
        cli_usage_error(error,
                        "cutup export needs --out FILE (or, with --each, a folder).");
        return CLI_USAGE;
    }
    const bool film = cli_has(args, "each") || g_str_has_suffix(out, ".mp4");
    g_autoptr(RbCutupPlan) plan = load_plan(args, error);
    if (plan == NULL) {
        return CLI_REFUSED;
    }
    return film ? write_film(args, plan, out, error) : write_list(args, plan, out, error);
}

static const CliOption export_options[] = {
    { "out", N_("FILE"),
      N_("name.mp4, or a list: .vtt .metadata.vtt .otio .csv .ffmeta") },
    { "each", NULL, N_("a file for each clip in the folder --out") },
    { "no-sound", NULL, N_("the picture only") },
    { "cards", NULL, N_("a title card before each clip that has one") },
    { "drawings", NULL, N_("burn in what is drawn over the film") },
    { "encode", NULL, N_("encode everything, copy nothing") },
    { "replace", NULL, N_("a file that is there already is replaced") },
    { "skip", NULL, N_("go on when a clip cannot be made") },
    { "no-names", NULL, N_("leave out players and notes") },
    { NULL, NULL, NULL },
};

const CliCommand cli_cutup_export = {
    .name = "cutup export",
    .words = N_("LIBRARY CUT-UP"),
    .least = 2,
    .most = 2,
    .summary = N_("Writes a cut-up as film, or its list for other programs."),
    .example = "cutup export season.readbreak \"Monday\" --out monday.mp4 --cards",
    .notes = cli_caution_notes,
    .options = export_options,
    .run = run_export,
};
