/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>
#include <inttypes.h>
#include <string.h>

#include "rb/base/error.h"
#include "rb/work/error.h"
#include "rb/work/films.h"
#include "rb/work/json.h"

#include "cli.h"

static void print_look(const RbFilmLook *look)
{
    g_autofree char *text = rb_film_look_text(look);
    printf("%s: %s\n", look->title, text);
    for (guint i = 0; i < look->remarks->len; i++) {
        printf("  %s\n", (const char *)look->remarks->pdata[i]);
    }
}

static RbFilmLook *look_at(const CliArgs *args, const char *path, GError **error)
{
    RbProgress *progress = cli_progress_new();
    RbFilmLook *look = rb_film_look(path, args->cancel, progress, error);
    cli_progress_end(progress);
    return look;
}

/* All files are looked at before the library is touched: a bad one among them changes
 * nothing. Returns: (transfer full): of RbFilmLook. */
static GPtrArray *look_at_all(const CliArgs *args, guint from, GError **error)
{
    g_autoptr(GPtrArray) looks =
        g_ptr_array_new_with_free_func((GDestroyNotify)rb_film_look_free);
    for (guint i = from; i < args->words->len; i++) {
        RbFilmLook *look = look_at(args, args->words->pdata[i], error);
        if (look == NULL) {
            return NULL;
        }
        g_ptr_array_add(looks, look);
    }
    return g_steal_pointer(&looks);
}

static bool parse_place(const CliArgs *args, RbLibrary *library, RbAngle *angle,
                        RbGameId *game, GError **error)
{
    int value = RB_ANGLE_WIDE;
    const char *angle_text = cli_value(args, "angle");
    if (angle_text != NULL && !rb_words_parse(&rb_angle_words, angle_text, &value)) {
        return cli_usage_error(error, "--angle is wide, tight or other, not \"%s\".",
                               angle_text);
    }
    *angle = (RbAngle)value;
    *game = (RbGameId){ 0 };
    if (cli_value(args, "game") == NULL) {
        return true;
    }
    g_autoptr(RbNames) names = rb_library_load_names(library, error);
    const RbGame *found =
        names != NULL ? rb_names_parse_game(names, cli_value(args, "game"), error) : NULL;
    if (found == NULL) {
        return false;
    }
    *game = found->id;
    return true;
}

static CliExit run_add(const CliArgs *args, GError **error)
{
    RbAngle angle = RB_ANGLE_WIDE;
    RbGameId game = { 0 };
    g_autoptr(RbLibrary) library =
        rb_library_open(cli_word(args, 0), cli_value(args, "as"), error);
    if (library == NULL || !parse_place(args, library, &angle, &game, error)) {
        return CLI_REFUSED;
    }
    g_autoptr(GPtrArray) looks = look_at_all(args, 1, error);
    if (looks == NULL) {
        return CLI_REFUSED;
    }
    json_t *array = json_array();
    for (guint i = 0; i < looks->len; i++) {
        const RbFilmLook *look = looks->pdata[i];
        bool added = false;
        if (!rb_library_add_film(library, look, angle, game, &added, error)) {
            json_decref(array);
            return CLI_REFUSED;
        }
        json_t *object = rb_json_film_look(look);
        json_object_set_new(object, "added", json_boolean(added));
        json_array_append_new(array, object);
        if (!cli_has(args, "json")) {
            print_look(look);
            printf("  %s\n", added ? _("added") : _("known already; its place is noted"));
        }
    }
    if (cli_has(args, "json")) {
        cli_print_json(json_pack("{s:O}", "films", array));
    }
    json_decref(array);
    return CLI_DONE;
}

static const CliOption add_options[] = {
    { "angle", N_("ANGLE"), N_("wide, tight or other (default: wide)") },
    { "game", N_("GAME"),
      N_("the game it shows: number in order of date, date, or title") },
    { "as", N_("NAME"), N_("the member of the staff who adds it (default: you)") },
    { NULL, NULL, NULL },
};

const CliCommand cli_film_add = {
    .name = "film add",
    .words = N_("LIBRARY FILE…"),
    .least = 2,
    .most = -1,
    .summary = N_("Makes films known to a library; the files stay where they are."),
    .example = "film add season.readbreak --angle wide --game 3 wide.mp4",
    .options = add_options,
    .run = run_add,
};

/* One film of a library: where it is. Returns false with `error`. */
static bool check_film(const CliArgs *args, RbLibrary *library, const RbFilm *film,
                       json_t *array, int *missing, GError **error)
{
    const char *folders[] = { cli_value(args, "search"), NULL };
    RbFilmStand stand = RB_FILM_MISSING;
    g_autofree char *path = NULL;
    if (!rb_library_find_film(library, film->id, folders[0] != NULL ? folders : NULL,
                              &stand, &path, args->cancel, error)) {
        return false;
    }
    *missing += path == NULL ? 1 : 0;
    if (array == NULL) {
        printf("%s: %s%s%s\n", film->title,
               rb_words_label(&rb_film_stand_words, (int)stand), path != NULL ? ": " : "",
               path != NULL ? path : "");
        return true;
    }
    json_t *object = json_object();
    json_object_set_new(object, "film", rb_json_id(film->id.value));
    json_object_set_new(object, "title", rb_json_text(film->title));
    json_object_set_new(object, "stand",
                        json_string(rb_words_token(&rb_film_stand_words, (int)stand)));
    json_object_set_new(object, "path", rb_json_text(path));
    json_array_append_new(array, object);
    return true;
}

static CliExit check_library(const CliArgs *args, GError **error)
{
    g_autoptr(RbLibrary) library = rb_library_open(cli_word(args, 0), NULL, error);
    g_autoptr(GPtrArray) films =
        library != NULL ? rb_library_load_films(library, error) : NULL;
    if (films == NULL) {
        return CLI_REFUSED;
    }
    json_t *array = cli_has(args, "json") ? json_array() : NULL;
    int missing = 0;
    for (guint i = 0; i < films->len; i++) {
        if (!check_film(args, library, films->pdata[i], array, &missing, error)) {
            json_decref(array);
            return CLI_REFUSED;
        }
    }
    if (array != NULL) {
        cli_print_json(json_pack("{s:o}", "films", array));
    }
    if (missing > 0) {
        g_set_error(
            error, RB_WORK_ERROR, RB_WORK_ERROR_NOT_FOUND,
            _("%d of %u films of %s cannot be found: connect the drive they are on, "
              "or name a folder to look in with --search."),
            missing, films->len, cli_word(args, 0));
        return CLI_REFUSED;
    }
    return CLI_DONE;
}

/* A film that cannot be used does not keep the others from being looked at; the exit code and
 * a sentence each say so. */
static CliExit check_files(const CliArgs *args, GError **error)
{
    json_t *array = json_array();
    for (guint i = 0; i < args->words->len; i++) {
        const char *path = args->words->pdata[i];
        GError *failure = NULL;
        g_autoptr(RbFilmLook) look = look_at(args, path, &failure);
        if (look != NULL) {
            json_array_append_new(array, rb_json_film_look(look));
        } else {
            json_array_append_new(array,
                                  json_pack("{s:o, s:o}", "path", rb_json_text(path),
                                            "refused", rb_json_text(failure->message)));
        }
        if (look != NULL && !cli_has(args, "json")) {
            print_look(look);
        }
        if (failure != NULL && *error != NULL) {
            g_printerr("%s\n", (*error)->message);
            g_clear_error(error);
        }
        if (failure != NULL) {
            g_propagate_error(error, failure);
        }
    }
    if (cli_has(args, "json") && (*error == NULL || args->words->len > 1)) {
        cli_print_json(json_pack("{s:O}", "films", array));
    }
    json_decref(array);
    return *error == NULL ? CLI_DONE : CLI_REFUSED;
}

/* What was not read at all is told too: that is what most reports are about. */
static CliExit report_files(const CliArgs *args, GError **error)
{
    json_t *array = json_array();
    for (guint i = 0; i < args->words->len; i++) {
        const char *path = args->words->pdata[i];
        g_autoptr(GError) failure = NULL;
        g_autoptr(RbFilmLook) look = look_at(args, path, &failure);
        if (rb_error_is_cancelled(failure)) {
            g_propagate_error(error, g_steal_pointer(&failure));
            break;
        }
        g_autofree char *text = rb_film_report(path, look, failure);
        json_array_append_new(array, rb_json_text(text));
        if (!cli_has(args, "json")) {
            printf("%s%s", i > 0 ? "\n" : "", text);
        }
    }
    if (cli_has(args, "json") && *error == NULL) {
        cli_print_json(json_pack("{s:O}", "reports", array));
    }
    json_decref(array);
    return *error == NULL ? CLI_DONE : CLI_REFUSED;
}

static CliExit run_film_check(const CliArgs *args, GError **error)
{
    if (cli_has(args, "report")) {
        return report_files(args, error);
    }
    if (g_str_has_suffix(cli_word(args, 0), ".readbreak") && args->words->len == 1) {
        return check_library(args, error);
    }
    return check_files(args, error);
}

static const CliOption check_options[] = {
    { "search", N_("FOLDER"), N_("for a library: look here for films that moved") },
    { "report", NULL,
      N_("text to paste in a fault report: no picture, name or folder of the film") },
    { NULL, NULL, NULL },
};

const CliCommand cli_film_check = {
    .name = "film check",
    .words = N_("LIBRARY | FILE…"),
    .least = 1,
    .most = -1,
    .summary =
        N_("Says what a film is, or whether each film of a library is in its place."),
    .example = "film check season.readbreak --search /media/film",
    .options = check_options,
    .run = run_film_check,
};

static CliExit print_frame(const CliArgs *args, const RbPicture *picture)
{
    g_autofree char *md5 = rb_picture_md5(picture);
    const RbTime time = rb_picture_get_time(picture);
    if (cli_has(args, "json")) {
        g_autofree char *base = g_strdup_printf("%d/%d", time.base.num, time.base.den);
        cli_print_json(json_pack("{s:I, s:I, s:s, s:i, s:i, s:b, s:s}", "frame",
                                 (json_int_t)rb_picture_get_ordinal(picture), "pts",
                                 (json_int_t)time.ticks, "time_base", base, "width",
                                 rb_picture_get_width(picture), "height",
                                 rb_picture_get_height(picture), "doubtful",
                                 (int)rb_picture_is_doubtful(picture), "md5", md5));
        return CLI_DONE;
    }
    printf(
        _("Frame %" PRId64 ": %dx%d, pts %" PRId64 " in %d/%d s, MD5 of its planes %s\n"),
        rb_picture_get_ordinal(picture), rb_picture_get_width(picture),
        rb_picture_get_height(picture), time.ticks, time.base.num, time.base.den, md5);
    return CLI_DONE;
}

static CliExit run_frame(const CliArgs *args, GError **error)
{
    const char *path = cli_word(args, 0);
    const char *out = cli_value(args, "out");
    int64_t frame = 0;
    if (!cli_parse_number(_("FRAME"), cli_word(args, 1), 0, INT64_MAX, &frame, error)) {
        return CLI_USAGE;
    }
    if (out != NULL) {
        g_autoptr(RbPicture) shown =
            rb_film_still(path, frame, RB_PIXELS_BGRA, args->cancel, error);
        if (shown == NULL || !rb_picture_write_png(shown, out, error)) {
            return CLI_REFUSED;
        }
    }
    g_autoptr(RbPicture) planes =
        rb_film_still(path, frame, RB_PIXELS_I420, args->cancel, error);
    return planes != NULL ? print_frame(args, planes) : CLI_REFUSED;
}

static const CliOption frame_options[] = {
    { "out", N_("FILE"), N_("write it as PNG; refuses a name that is taken") },
    { NULL, NULL, NULL },
};

const CliCommand cli_film_frame = {
    .name = "film frame",
    .words = N_("FILE FRAME"),
    .least = 2,
    .most = 2,
    .summary = N_("One frame by its number in the order shown, from 0."),
    .example = "film frame wide.mp4 1234 --out frame.png",
    .options = frame_options,
    .run = run_frame,
};

static const struct {
    const char *name;
    RbDumpOrder order;
} dump_orders[] = {
    { "forward", RB_DUMP_FORWARD },
    { "backward", RB_DUMP_BACKWARD },
    { "shuffle", RB_DUMP_SHUFFLE },
};

static bool parse_order(const CliArgs *args, RbDumpOptions *options, GError **error)
{
    const char *text = cli_value(args, "order");
    for (size_t i = 0; i < G_N_ELEMENTS(dump_orders); i++) {
        if (text == NULL || strcmp(text, dump_orders[i].name) == 0) {
            options->order = dump_orders[i].order;
            return true;
        }
    }
    return cli_usage_error(error, "--order is forward, backward or shuffle, not \"%s\".",
                           text);
}

static bool parse_size(const CliArgs *args, RbDumpOptions *options, GError **error)
{
    const char *text = cli_value(args, "size");
    if (text == NULL) {
        return true;
    }
    g_auto(GStrv) sides = g_strsplit(text, "x", 2);
    guint64 width = 0;
    guint64 height = 0;
    if (g_strv_length(sides) != 2 ||
        !g_ascii_string_to_unsigned(sides[0], 10, 1, 16384, &width, NULL) ||
        !g_ascii_string_to_unsigned(sides[1], 10, 1, 16384, &height, NULL)) {
        return cli_usage_error(error,
                               "--size is WIDTHxHEIGHT with both from 1 to 16384, "
                               "not \"%s\".",
                               text);
    }
    options->width = (int)width;
    options->height = (int)height;
    return true;
}

static CliExit run_dump(const CliArgs *args, GError **error)
{
    RbDumpOptions options = { .order = RB_DUMP_FORWARD };
    int64_t seed = 1;
    const char *out = cli_value(args, "out");
    const char *list = cli_value(args, "list");
    if (out == NULL || list == NULL) {
        cli_usage_error(error,
                        "film dump needs --out FRAMES.gray and --list FRAMES.tsv.");
        return CLI_USAGE;
    }
    if (!parse_order(args, &options, error) || !parse_size(args, &options, error) ||
        !cli_number(args, "seed", 0, INT64_MAX, 1, &seed, error)) {
        return CLI_USAGE;
    }
    options.seed = (uint64_t)seed;
    RbProgress *progress = cli_progress_new();
    const bool done = rb_film_dump(cli_word(args, 0), &options, out, list, args->cancel,
                                   progress, error);
    cli_progress_end(progress);
    return done ? CLI_DONE : CLI_REFUSED;
}

static const CliOption dump_options[] = {
    { "order", N_("ORDER"), N_("forward, backward or shuffle (default: forward)") },
    { "seed", N_("N"), N_("of the shuffle (default: 1)") },
    { "size", N_("WxH"), N_("size of every picture (default: as coded)") },
    { "out", N_("FILE"), N_("pictures, 8-bit grey as coded, one after the other") },
    { "list", N_("FILE"), N_("a line for each: number, pts, time base, size, doubtful") },
    { NULL, NULL, NULL },
};

const CliCommand cli_film_dump = {
    .name = "film dump",
    .words = N_("FILE"),
    .least = 1,
    .most = 1,
    .summary = N_("Every frame, asked one by one in some order: for testing."),
    .example = "film dump wide.mp4 --order backward --size 320x180 --out frames.gray "
               "--list frames.tsv",
    .options = dump_options,
    .run = run_dump,
};
