/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "measure.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "rb/film/frames.h"
#include "rb/work/json.h"
#include "rb/work/measuring.h"

#include "cli.h"

/* measure list, measure times: what is measured on the film, and the times between marks. */

bool cli_unit(const CliArgs *args, RbLengthUnit *unit, GError **error)
{
    int value = RB_UNIT_YARDS;
    const char *text = cli_value(args, "unit");
    if (text != NULL && !rb_words_parse(&rb_length_unit_words, text, &value)) {
        return cli_usage_error(error, "--unit is yd, ft or m, not \"%s\".", text);
    }
    *unit = (RbLengthUnit)value;
    return true;
}

json_t *cli_measure_json(const RbFilmMeasure *measure, RbLengthUnit unit)
{
    double value = 0.0;
    double pm = 0.0;
    rb_film_measure_in(measure, unit, &value, &pm);
    return json_pack(
        "{s:o, s:o, s:o, s:s, s:o, s:o, s:I, s:f, s:f, s:s}", "measure",
        rb_json_id(measure->id.value), "snap", rb_json_id(measure->snap.value), "clip",
        rb_json_id(measure->clip.value), "kind",
        rb_words_token(&rb_film_measure_words, (int)measure->kind), "side",
        measure->side != RB_SIDE_UNKNOWN
            ? json_string(rb_words_token(&rb_side_words, (int)measure->side))
            : json_null(),
        "to", measure->name != NULL ? json_string(measure->name) : json_null(), "frame",
        (json_int_t)measure->frame_1, "value", value, "plus_minus", pm, "unit",
        rb_words_token(&rb_length_unit_words, (int)unit));
}

static GPtrArray *snaps_of(RbLibrary *library, const GPtrArray *measures, GError **error)
{
    g_autoptr(GPtrArray) snaps =
        g_ptr_array_new_with_free_func((GDestroyNotify)rb_snap_free);
    for (guint i = 0; i < measures->len; i++) {
        const RbFilmMeasure *measure = measures->pdata[i];
        const RbSnap *last = snaps->len > 0 ? snaps->pdata[snaps->len - 1] : NULL;
        if (last != NULL && last->id.value == measure->snap.value) {
            continue;
        }
        RbSnap *snap = rb_library_load_snap(library, measure->snap, error);
        if (snap == NULL) {
            return NULL;
        }
        g_ptr_array_add(snaps, snap);
    }
    return g_steal_pointer(&snaps);
}

static int number_of(const GPtrArray *snaps, RbSnapId id)
{
    for (guint i = 0; i < snaps->len; i++) {
        const RbSnap *snap = snaps->pdata[i];
        if (snap->id.value == id.value) {
            return snap->number;
        }
    }
    return 0;
}

static void print_measures(const GPtrArray *measures, const GPtrArray *snaps,
                           RbLengthUnit unit)
{
    CliTable table =
        cli_table("><<<>", (const char *const[]){ _("Snap"), _("Measure"), _("Side"),
                                                  _("To"), _("Measured"), NULL });
    for (guint i = 0; i < measures->len; i++) {
        const RbFilmMeasure *measure = measures->pdata[i];
        cli_table_add(
            &table, g_strdup_printf("%d", number_of(snaps, measure->snap)),
            g_strdup(rb_words_label(&rb_film_measure_words, (int)measure->kind)),
            g_strdup(measure->side != RB_SIDE_UNKNOWN
                         ? rb_words_label(&rb_side_words, (int)measure->side)
                         : ""),
            g_strdup(measure->name != NULL ? measure->name : ""),
            rb_film_measure_text(measure, unit));
    }
    cli_table_print(&table);
}

static CliExit run_list(const CliArgs *args, GError **error)
{
    RbLengthUnit unit = RB_UNIT_YARDS;
    if (!cli_unit(args, &unit, error)) {
        return CLI_USAGE;
    }
    g_autoptr(RbLibrary) library = rb_library_open(cli_word(args, 0), NULL, error);
    g_autoptr(RbNames) names =
        library != NULL ? rb_library_load_names(library, error) : NULL;
    RbGameId game = { 0 };
    if (names != NULL && cli_word(args, 1) != NULL) {
        const RbGame *found = rb_names_parse_game(names, cli_word(args, 1), error);
        game = found != NULL ? found->id : (RbGameId){ -1 };
    }
    g_autoptr(GPtrArray) measures =
        names != NULL && game.value >= 0
            ? rb_library_load_game_measures(library, game, error)
            : NULL;
    g_autoptr(GPtrArray) snaps =
        measures != NULL ? snaps_of(library, measures, error) : NULL;
    g_autoptr(GPtrArray) clips =
        snaps != NULL ? rb_library_load_game_clips(library, game, error) : NULL;
    if (clips == NULL) {
        return CLI_REFUSED;
    }
    if (cli_has(args, "json")) {
        json_t *array = json_array();
        for (guint i = 0; i < measures->len; i++) {
            json_array_append_new(array, cli_measure_json(measures->pdata[i], unit));
        }
        cli_print_json(json_pack("{s:o}", "measures", array));
    } else if (cli_has(args, "csv")) {
        g_autofree char *text = rb_film_measures_csv(measures, snaps, clips, unit);
        fputs(text, stdout);
    } else if (measures->len == 0) {
        puts(_(
            "Nothing is measured yet: measure on the Chart desk, or with measure take."));
    } else {
        print_measures(measures, snaps, unit);
    }
    return CLI_DONE;
}

static const CliOption list_options[] = {
    { "unit", N_("UNIT"), N_("yd, ft or m (default: yd)") },
    { "csv", NULL, N_("a line a measure, for a spreadsheet") },
    { "json", NULL, N_("for programs") },
    { NULL, NULL, NULL },
};

const CliCommand cli_measure_list = {
    .name = "measure list",
    .words = N_("LIBRARY [GAME]"),
    .least = 1,
    .most = 2,
    .summary = N_("What was measured on the film, each with its plus or minus."),
    .example = "measure list season.readbreak 3 --unit ft --csv",
    .options = list_options,
    .run = run_list,
};

/* ---- times */

static json_t *time_json(const RbClip *clip, const RbMarkTime *time)
{
    return json_pack("{s:o, s:s, s:s, s:s, s:f, s:f}", "clip", rb_json_id(clip->id.value),
                     "angle", rb_words_token(&rb_angle_words, (int)clip->angle), "from",
                     rb_words_token(&rb_mark_words, (int)time->from), "to",
                     rb_words_token(&rb_mark_words, (int)time->to), "seconds",
                     time->seconds.value, "plus_minus",
                     rb_measured_half_width(&time->seconds));
}

/* With the film at hand the lengths of its own frames count; without, their average. */
static int times_of(const CliArgs *args, RbLibrary *library, const RbClip *clip,
                    RbMarkTime times[RB_MARK_TIMES_MAX])
{
    g_autofree char *path = rb_library_film_path(library, clip->film, NULL);
    g_autoptr(RbReel) reel = path != NULL && g_file_test(path, G_FILE_TEST_EXISTS)
                                 ? rb_reel_open_wait(path, args->cancel, 0, NULL, NULL)
                                 : NULL;
    return rb_clip_times(clip, reel != NULL ? rb_reel_moment_length : NULL, reel, times);
}

static CliExit run_times(const CliArgs *args, GError **error)
{
    int64_t number = 0;
    if (!cli_parse_number(_("SNAP"), cli_word(args, 1), 1, INT64_MAX, &number, error)) {
        return CLI_USAGE;
    }
    g_autoptr(RbLibrary) library = rb_library_open(cli_word(args, 0), NULL, error);
    g_autoptr(RbSnap) snap =
        library != NULL ? cli_find_snap(args, library, number, error) : NULL;
    g_autoptr(GPtrArray) clips =
        snap != NULL ? rb_library_load_clips(library, snap->id, error) : NULL;
    if (clips == NULL) {
        return CLI_REFUSED;
    }
    json_t *array = json_array();
    CliTable table = cli_table(
        "<<<>>", (const char *const[]){ _("Angle"), _("From"), _("To"), _("Seconds"),
                                        _("Plus or minus"), NULL });
    for (guint i = 0; i < clips->len; i++) {
        RbMarkTime times[RB_MARK_TIMES_MAX];
        const int n = times_of(args, library, clips->pdata[i], times);
        const RbClip *clip = clips->pdata[i];
        for (int k = 0; k < n; k++) {
            json_array_append_new(array, time_json(clip, &times[k]));
            cli_table_add(
                &table, g_strdup(rb_words_label(&rb_angle_words, (int)clip->angle)),
                g_strdup(rb_words_label(&rb_mark_words, (int)times[k].from)),
                g_strdup(rb_words_label(&rb_mark_words, (int)times[k].to)),
                g_strdup_printf("%.3f", times[k].seconds.value),
                g_strdup_printf("%.3f", rb_measured_half_width(&times[k].seconds)));
        }
    }
    if (cli_has(args, "json")) {
        cli_table_drop(&table);
        cli_print_json(json_pack("{s:o}", "times", array));
        return CLI_DONE;
    }
    if (json_array_size(array) == 0) {
        cli_table_drop(&table);
        puts(
            _("No two marks of this snap are set that make a time: mark the snap and the "
              "release."));
    } else {
        cli_table_print(&table);
    }
    json_decref(array);
    return CLI_DONE;
}

static const CliOption times_options[] = {
    { "game", N_("GAME"), N_("SNAP is a number in this game") },
    { "json", NULL, N_("for programs") },
    { NULL, NULL, NULL },
};

const CliCommand cli_measure_times = {
    .name = "measure times",
    .words = N_("LIBRARY SNAP"),
    .least = 2,
    .most = 2,
    .summary = N_("Times from the marks of a snap: drop, release, arrival, flight."),
    .example = "measure times season.readbreak 34 --game 3",
    .options = times_options,
    .run = run_times,
};
