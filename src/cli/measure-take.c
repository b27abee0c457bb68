/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>
#include <inttypes.h>
#include <math.h>
#include <string.h>

#include "rb/film/frames.h"
#include "rb/work/json.h"

#include "measure.h"

/* measure take: marks of the field on a frame of film, and what is measured there. */

#define PLACES_MAX 2

typedef struct {
    RbLibrary *library; /* owned */
    RbSnap *snap;       /* owned */
    GPtrArray *clips;   /* owned */
    RbReel *reel;       /* owned */
    const RbClip *clip; /* borrowed */
    RbFieldView *view;  /* owned */
    RbCalibration calibration;
    int n_places;
    RbPoint2 places[PLACES_MAX];
    int64_t frames[PLACES_MAX];
    RbCarriedView carried[PLACES_MAX];
} Take;

static void take_clear(Take *take)
{
    rb_field_view_free(take->view);
    rb_reel_close(take->reel);
    g_clear_pointer(&take->clips, g_ptr_array_unref);
    rb_snap_free(take->snap);
    rb_library_close(take->library);
}

static bool parse_pixel(const char *what, const char *text, RbPoint2 *pixel,
                        GError **error)
{
    return rb_pixel_parse(text, pixel) ||
           cli_usage_error(error,
                           "%s takes a place in pixels like 412.5,688, not \"%s\".", what,
                           text);
}

/* --mark NAME=X,Y, as many as there are; --at X,Y, one or two. */
static bool parse_marks(const CliArgs *args, Take *take, GError **error)
{
    for (guint i = 0; i < args->names->len; i++) {
        const char *value = args->values->pdata[i];
        RbPoint2 pixel;
        if (strcmp(args->names->pdata[i], "mark") == 0) {
            const char *equals = strchr(value, '=');
            if (equals == NULL) {
                return cli_usage_error(error, "--mark takes NAME=X,Y, not \"%s\".",
                                       value);
            }
            g_autofree char *name = g_strndup(value, (gsize)(equals - value));
            if (!parse_pixel("--mark", equals + 1, &pixel, error)) {
                return false;
            }
            rb_field_view_add(take->view, name, pixel.x, pixel.y);
        } else if (strcmp(args->names->pdata[i], "at") == 0) {
            if (!parse_pixel("--at", value, &pixel, error)) {
                return false;
            }
            if (take->n_places == PLACES_MAX) {
                return cli_usage_error(error, "--at is given at most twice.");
            }
            take->places[take->n_places++] = pixel;
        }
    }
    return true;
}

static bool find_clip(const CliArgs *args, Take *take, GError **error)
{
    int angle = RB_ANGLE_WIDE;
    const char *text = cli_value(args, "angle");
    if (text != NULL && !rb_words_parse(&rb_angle_words, text, &angle)) {
        return cli_usage_error(error, "--angle is wide, tight or other, not \"%s\".",
                               text);
    }
    for (guint i = 0; i < take->clips->len && take->clip == NULL; i++) {
        const RbClip *clip = take->clips->pdata[i];
        if ((int)clip->angle == angle && clip->film.value != 0) {
            take->clip = clip;
        }
    }
    if (take->clip == NULL) {
        g_autofree char *label =
            g_utf8_strdown(rb_words_label(&rb_angle_words, angle), -1);
        return cli_usage_error(error, "Snap %d has no film of the %s angle.",
                               take->snap->number, label);
    }
    return true;
}

static bool open_film(const CliArgs *args, Take *take, GError **error)
{
    g_autofree char *path = rb_library_film_path(take->library, take->clip->film, error);
    if (path == NULL) {
        if (*error == NULL) {
            cli_usage_error(error, "The film of this snap is not known on this computer; "
                                   "add it with film add.");
        }
        return false;
    }
    take->reel = rb_reel_open_wait(path, args->cancel, 0, NULL, error);
    return take->reel != NULL;
}

/* The frame of the view: given, else that of the snap mark. */
static bool find_frames(const CliArgs *args, Take *take, GError **error)
{
    const RbMark *mark = rb_clip_find_mark(take->clip, RB_MARK_SNAP);
    const int64_t usual = mark != NULL ? mark->frame : take->clip->first;
    return cli_number(args, "frame", 0, INT64_MAX, usual, &take->frames[0], error) &&
           cli_number(args, "frame-2", 0, INT64_MAX, take->frames[0], &take->frames[1],
                      error);
}

/* The view clicked now, else the kept one that is nearest in the film. */
static bool find_view(Take *take, GError **error)
{
    if (take->view->sights->len > 0) {
        return true;
    }
    g_autoptr(GPtrArray) kept =
        rb_library_load_field_views(take->library, take->clip->film, error);
    const RbFieldView *nearest = NULL;
    for (guint i = 0; kept != NULL && i < kept->len; i++) {
        const RbFieldView *view = kept->pdata[i];
        if (nearest == NULL || llabs(view->frame - take->frames[0]) <
                                   llabs(nearest->frame - take->frames[0])) {
            nearest = view;
        }
    }
    if (nearest == NULL || nearest->frame < take->clip->first ||
        nearest->frame > take->clip->last) {
        return kept != NULL &&
               cli_usage_error(error,
                               "No frame of this clip has marks of the field: give "
                               "four or more with --mark NAME=X,Y.");
    }
    rb_field_view_free(take->view);
    take->view = rb_field_view_copy(nearest);
    return true;
}

static bool start_view(const CliArgs *args, Take *take, GError **error)
{
    g_autoptr(RbNames) names = rb_library_load_names(take->library, error);
    if (names == NULL) {
        return false;
    }
    const RbGame *game = rb_names_find_game(names, take->snap->game);
    const RbFrameOptions options = { .pixels = RB_PIXELS_GRAY };
    g_autoptr(RbPicture) picture =
        rb_reel_wait_frame(take->reel, take->frames[0], &options, args->cancel, 0, error);
    if (picture == NULL) {
        return false;
    }
    take->view = rb_field_view_new(take->clip->film, take->frames[0]);
    take->view->rules = game != NULL ? game->rules : RB_RULES_COLLEGE;
    take->view->width = rb_picture_get_width(picture);
    take->view->height = rb_picture_get_height(picture);
    take->view->time = rb_picture_get_time(picture);
    return parse_marks(args, take, error) && find_view(take, error) &&
           rb_field_view_fit(take->view, &take->calibration, error);
}

static bool carry_view(const CliArgs *args, Take *take, GError **error)
{
    const int views = take->frames[1] == take->frames[0] ? 1 : 2;
    for (int i = 0; i < views; i++) {
        if (!rb_film_carry(take->reel, take->view->rules, &take->calibration,
                           take->view->frame, take->frames[i],
                           !cli_has(args, "clicks-only"), &take->carried[i], args->cancel,
                           error)) {
            return false;
        }
        if (take->carried[i].state != RB_CARRY_GOOD) {
            return cli_usage_error(error,
                                   "On frame %" PRId64
                                   " the view is too loose to measure: "
                                   "click marks nearer to it.",
                                   take->frames[i]);
        }
    }
    return true;
}

static bool measure(const CliArgs *args, Take *take, RbFilmMeasure *measure,
                    GError **error)
{
    const double first = (double)rb_reel_get_frame_us(take->reel, take->frames[0]) / 1e6;
    const double second = (double)rb_reel_get_frame_us(take->reel, take->frames[1]) / 1e6;
    const RbMark marks[2] = { { .frame = take->frames[0] },
                              { .frame = take->frames[1] } };
    const RbUncertain time =
        rb_measure_time(first, rb_reel_moment_length(&marks[0], take->reel), second,
                        rb_reel_moment_length(&marks[1], take->reel));
    RbMeasureAsk ask = { .kind = measure->kind,
                         .rules = take->view->rules,
                         .name = measure->name,
                         .seconds = time.value,
                         .seconds_sd = time.sd };
    for (int i = 0; i < PLACES_MAX; i++) {
        const bool same = take->frames[1] == take->frames[0];
        ask.clicks[i] = (RbClick){ &take->carried[same ? 0 : i].calibration,
                                   take->places[i], RB_CLICK_SIGMA_PX };
    }
    RbUncertain measured;
    (void)args;
    if (take->n_places < rb_measure_places(measure->kind)) {
        return cli_usage_error(error, "This takes %d places: give --at X,Y for each.",
                               rb_measure_places(measure->kind));
    }
    if (!rb_measuring_take(&ask, &measured, error)) {
        return false;
    }
    rb_film_measure_set(measure, &measured);
    measure->frame_1 = take->frames[0];
    measure->frame_2 = take->frames[1];
    measure->x1 = (int)lround(take->places[0].x * RB_SIGHT_PART);
    measure->y1 = (int)lround(take->places[0].y * RB_SIGHT_PART);
    measure->x2 = (int)lround(take->places[1].x * RB_SIGHT_PART);
    measure->y2 = (int)lround(take->places[1].y * RB_SIGHT_PART);
    return true;
}

static void print_take(const CliArgs *args, const Take *take,
                       const RbFilmMeasure *measure, RbLengthUnit unit, const char *saved)
{
    const RbCalibration *c = &take->calibration;
    g_autofree char *doubt = rb_field_view_doubt(take->view, c);
    if (cli_has(args, "json")) {
        json_t *root = cli_measure_json(measure, unit);
        json_object_set_new(root, "rms_px", json_real(c->rms));
        json_object_set_new(root, "marks", json_integer(c->n));
        json_object_set_new(root, "doubt",
                            doubt != NULL ? json_string(doubt) : json_null());
        json_object_set_new(root, "saved",
                            saved != NULL ? json_string(saved) : json_null());
        cli_print_json(root);
        return;
    }
    g_autofree char *text = rb_film_measure_text(measure, unit);
    printf("%s: %s\n", rb_words_label(&rb_film_measure_words, (int)measure->kind), text);
    printf(_("%d marks, %.1f pixels off on average.\n"), c->n, c->rms);
    if (doubt != NULL) {
        puts(doubt);
    }
    puts(saved != NULL ? saved : _("Nothing is written: give --save to keep it."));
}

static bool prepare(const CliArgs *args, int64_t number, Take *take, GError **error)
{
    take->library = rb_library_open(cli_word(args, 0), cli_value(args, "as"), error);
    take->snap =
        take->library != NULL ? cli_find_snap(args, take->library, number, error) : NULL;
    take->clips = take->snap != NULL
                      ? rb_library_load_clips(take->library, take->snap->id, error)
                      : NULL;
    return take->clips != NULL && find_clip(args, take, error) &&
           open_film(args, take, error) && find_frames(args, take, error) &&
           start_view(args, take, error) && carry_view(args, take, error);
}

static CliExit run_with(const CliArgs *args, Take *take, RbMeasureKind kind, RbSide side,
                        RbLengthUnit unit, GError **error)
{
    g_autoptr(RbFilmMeasure) kept =
        rb_film_measure_new(take->snap->id, take->clip->id, kind);
    g_autofree char *words = NULL;
    kept->side = side;
    kept->name = g_strdup(cli_value(args, "to"));
    if (!measure(args, take, kept, error) ||
        (cli_has(args, "save") &&
         !rb_library_save_measure(take->library, take->view, kept, &words, error))) {
        return CLI_REFUSED;
    }
    print_take(args, take, kept, unit, words);
    return CLI_DONE;
}

static CliExit run_take(const CliArgs *args, GError **error)
{
    int64_t number = 0;
    int kind = 0;
    int side = RB_SIDE_UNKNOWN;
    RbLengthUnit unit = RB_UNIT_YARDS;
    const char *side_text = cli_value(args, "side");
    if (!cli_parse_number(_("SNAP"), cli_word(args, 1), 1, INT64_MAX, &number, error) ||
        !cli_unit(args, &unit, error)) {
        return CLI_USAGE;
    }
    if (!rb_words_parse(&rb_film_measure_words, cli_word(args, 2), &kind) ||
        (side_text != NULL && !rb_words_parse(&rb_side_words, side_text, &side))) {
        cli_usage_error(error,
                        "A measure is cushion, split, numbers, sideline, depth, width, "
                        "landmark, throw, separation, speed or length; --side is left "
                        "or right.");
        return CLI_USAGE;
    }
    Take take = { 0 };
    GError *failure = NULL;
    CliExit result = CLI_REFUSED;
    if (prepare(args, number, &take, &failure)) {
        result = run_with(args, &take, (RbMeasureKind)kind, (RbSide)side, unit, &failure);
    }
    take_clear(&take);
    if (failure != NULL) {
        result = g_error_matches(failure, CLI_ERROR_USAGE, 0) ? CLI_USAGE : CLI_REFUSED;
        g_propagate_error(error, failure);
    }
    return result;
}

static const CliOption take_options[] = {
    { "game", N_("GAME"), N_("SNAP is a number in this game") },
    { "angle", N_("ANGLE"), N_("wide, tight or other (default: wide)") },
    { "frame", N_("FRAME"), N_("of the film (default: that of the snap mark)") },
    { "frame-2", N_("FRAME"), N_("of the second place (default: the same)") },
    { "mark", N_("NAME=X,Y"),
      N_("a mark of the field on that frame, in pixels: near-hash-l35, "
         "far-sideline-50, line-l40; four or more (default: those kept)") },
    { "at", N_("X,Y"), N_("what is measured: one place or two") },
    { "side", N_("SIDE"),
      N_("left or right: whose cushion, or whose outside receiver's split") },
    { "to", N_("NAME"), N_("the landmark or line that is measured to") },
    { "clicks-only", NULL, N_("the marks as clicked, not drawn onto the painted lines") },
    { "unit", N_("UNIT"), N_("yd, ft or m (default: yd)") },
    { "save", NULL,
      N_("keep it with the snap; a cushion or split with a side becomes its tag") },
    { "as", N_("NAME"), N_("the member of the staff who measures (default: you)") },
    { "json", NULL, N_("for programs") },
    { NULL, NULL, NULL },
};

const CliCommand cli_measure_take = {
    .name = "measure take",
    .words = N_("LIBRARY SNAP MEASURE"),
    .least = 3,
    .most = 3,
    .summary = N_("Measures on a frame of film: cushion, split, depth, throw and more."),
    .example = "measure take season.readbreak 34 cushion --game 3 --side left "
               "--mark near-hash-l35=412,688 --mark near-hash-l45=1523,702 "
               "--mark far-hash-l45=1291,371 --mark far-hash-l35=598,364 "
               "--at 700,600 --at 760,590 --save",
    .options = take_options,
    .run = run_take,
};
