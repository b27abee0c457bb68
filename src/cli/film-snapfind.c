/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>

#include "rb/work/json.h"
#include "rb/work/snap-marks.h"

#include "cli.h"

#define SURE 0.9

static json_t *proposal_json(const RbSnapProposal *proposal)
{
    return json_pack("{s:i, s:o, s:o, s:s, s:I, s:f, s:I}", "number", proposal->number,
                     "snap", rb_json_id(proposal->snap.value), "clip",
                     rb_json_id(proposal->clip.value), "angle",
                     rb_words_token(&rb_angle_words, (int)proposal->angle), "frame",
                     (json_int_t)proposal->frame, "sure", proposal->sure, "marked",
                     (json_int_t)proposal->marked);
}

static char *frame_text(int64_t frame)
{
    return frame < 0 ? g_strdup("-") : g_strdup_printf("%" G_GINT64_FORMAT, frame);
}

static void print_table(const GArray *proposals)
{
    CliTable table =
        cli_table("><>>>", (const char *const[]){ _("Snap"), _("Angle"), _("Found"),
                                                  _("Sure"), _("Marked"), NULL });
    for (guint i = 0; i < proposals->len; i++) {
        const RbSnapProposal *proposal = &g_array_index(proposals, RbSnapProposal, i);
        cli_table_add(&table, g_strdup_printf("%d", proposal->number),
                      g_strdup(rb_words_label(&rb_angle_words, (int)proposal->angle)),
                      frame_text(proposal->frame),
                      g_strdup_printf("%.0f %%", 100 * proposal->sure),
                      frame_text(proposal->marked));
    }
    cli_table_print(&table);
}

static void print_end(const CliArgs *args, guint looked_at, int missing, int written)
{
    const guint looked = looked_at - (guint)missing;
    printf(ngettext("%u clip looked at.\n", "%u clips looked at.\n", looked), looked);
    if (missing > 0) {
        printf(ngettext("The film of %d clip is not in its place.\n",
                        "The film of %d clips is not in its place.\n", (gulong)missing),
               missing);
    }
    if (cli_has(args, "write")) {
        printf(_("Snap marks written: %d; the others are to be set by hand.\n"), written);
    } else {
        puts(_("Nothing is written: give --write to accept those that are sure."));
    }
}

static bool read_least(const CliArgs *args, double *least, GError **error)
{
    const char *text = cli_value(args, "sure");
    char *end = NULL;
    *least = text != NULL ? g_ascii_strtod(text, &end) / 100 : SURE;
    if (text != NULL && (end == text || *end != '\0' || !(*least >= 0 && *least <= 1))) {
        return cli_usage_error(error, "--sure is a number of percent, not \"%s\".", text);
    }
    return true;
}

static CliExit run_snapfind(const CliArgs *args, GError **error)
{
    double least = SURE;
    if (!read_least(args, &least, error)) {
        return CLI_USAGE;
    }
    g_autoptr(RbLibrary) library =
        rb_library_open(cli_word(args, 0), cli_value(args, "as"), error);
    g_autoptr(RbNames) names =
        library != NULL ? rb_library_load_names(library, error) : NULL;
    const RbGame *game =
        names != NULL ? rb_names_parse_game(names, cli_word(args, 1), error) : NULL;
    if (game == NULL) {
        return CLI_REFUSED;
    }
    int missing = 0;
    int written = 0;
    RbProgress *progress = cli_progress_new();
    g_autoptr(GArray) proposals = rb_library_propose_snap_marks(
        library, game->id, cli_has(args, "all"), &missing, args->cancel, progress, error);
    cli_progress_end(progress);
    if (proposals == NULL ||
        (cli_has(args, "write") &&
         !rb_library_save_snap_marks(library, proposals, least, &written, error))) {
        return CLI_REFUSED;
    }
    if (cli_has(args, "json")) {
        json_t *array = json_array();
        for (guint i = 0; i < proposals->len; i++) {
            json_array_append_new(
                array, proposal_json(&g_array_index(proposals, RbSnapProposal, i)));
        }
        cli_print_json(json_pack("{s:o, s:i, s:i}", "clips", array, "missing", missing,
                                 "written", written));
        return CLI_DONE;
    }
    print_table(proposals);
    print_end(args, proposals->len, missing, written);
    return CLI_DONE;
}

static const CliOption snapfind_options[] = {
    { "all", NULL, N_("clips with a snap mark too, to compare") },
    { "write", NULL, N_("set the snap mark where there is none and the finder is sure") },
    { "sure", N_("PERCENT"), N_("how sure is sure (default: 90)") },
    { "as", N_("NAME"), N_("the member of the staff who accepts them (default: you)") },
    { NULL, NULL, NULL },
};

const CliCommand cli_film_snapfind = {
    .name = "film snapfind",
    .words = N_("LIBRARY GAME"),
    .least = 2,
    .most = 2,
    .summary = N_("Finds in each clip of a game the moment the ball leaves the ground."),
    .example = "film snapfind season.readbreak 3 --write",
    .options = snapfind_options,
    .run = run_snapfind,
};
