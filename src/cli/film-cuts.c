/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>
#include <inttypes.h>

#include "rb/film/frames.h"
#include "rb/film/scene-cuts.h"
#include "rb/work/json.h"

#include "cli.h"

static const char *kind_token(RbSceneKind kind)
{
    switch (kind) {
    case RB_SCENE_CLOCK:
        return "clock";
    case RB_SCENE_PICTURE:
        return "picture";
    case RB_SCENE_FADE:
        return "fade";
    }
    return "";
}

static const char *kind_text(RbSceneKind kind)
{
    switch (kind) {
    case RB_SCENE_CLOCK:
        return _("the film's clock jumps");
    case RB_SCENE_PICTURE:
        return _("another picture");
    case RB_SCENE_FADE:
        return _("a fade");
    }
    return "";
}

static void print_json(RbReel *reel, const GArray *cuts, const RbSceneStats *stats)
{
    json_t *array = json_array();
    for (guint i = 0; i < cuts->len; i++) {
        const RbSceneCut *cut = &g_array_index(cuts, RbSceneCut, i);
        json_array_append_new(
            array,
            json_pack("{s:I, s:f, s:s, s:f}", "frame", (json_int_t)cut->frame, "seconds",
                      (double)rb_reel_get_frame_us(reel, cut->frame) / 1e6, "kind",
                      kind_token(cut->kind), "sure", cut->sure));
    }
    cli_print_json(json_pack("{s:o, s:I, s:I, s:i, s:i}", "cuts", array, "frames",
                             (json_int_t)stats->frames, "decoded",
                             (json_int_t)stats->decoded, "looked_into",
                             stats->looked_into, "left", stats->left));
}

static void print_table(RbReel *reel, const GArray *cuts, const RbSceneStats *stats)
{
    CliTable table =
        cli_table(">>><", (const char *const[]){ _("Frame"), _("Time"), _("Sure"),
                                                 _("Why"), NULL });
    for (guint i = 0; i < cuts->len; i++) {
        const RbSceneCut *cut = &g_array_index(cuts, RbSceneCut, i);
        const double seconds = (double)rb_reel_get_frame_us(reel, cut->frame) / 1e6;
        cli_table_add(&table, g_strdup_printf("%" G_GINT64_FORMAT, cut->frame),
                      g_strdup_printf("%d:%05.2f", (int)seconds / 60,
                                      seconds - 60 * ((int)seconds / 60)),
                      g_strdup_printf("%.0f %%", 100 * cut->sure),
                      g_strdup(kind_text(cut->kind)));
    }
    cli_table_print(&table);
    printf(ngettext("%u cut; %" PRId64 " of %" PRId64 " frames decoded (%.1f %%).\n",
                    "%u cuts; %" PRId64 " of %" PRId64 " frames decoded (%.1f %%).\n",
                    cuts->len),
           cuts->len, stats->decoded, stats->frames,
           100.0 * (double)stats->decoded / (double)MAX(stats->frames, 1));
}

static CliExit run_cuts(const CliArgs *args, GError **error)
{
    RbProgress *progress = cli_progress_new();
    g_autoptr(GArray) cuts = NULL;
    RbSceneStats stats;
    g_autoptr(RbReel) reel =
        rb_reel_open_wait(cli_word(args, 0), args->cancel, 0, progress, error);
    const bool ok = reel != NULL && rb_scene_find_cuts(reel, &cuts, &stats, args->cancel,
                                                       progress, error);
    cli_progress_end(progress);
    if (!ok) {
        return CLI_REFUSED;
    }
    if (cli_has(args, "json")) {
        print_json(reel, cuts, &stats);
    } else {
        print_table(reel, cuts, &stats);
    }
    return CLI_DONE;
}

const CliCommand cli_film_cuts = {
    .name = "film cuts",
    .words = N_("FILE"),
    .least = 1,
    .most = 1,
    .summary = N_("Where the camera of a long recording was stopped and started again."),
    .example = "film cuts wide.mp4 --json",
    .run = run_cuts,
};
