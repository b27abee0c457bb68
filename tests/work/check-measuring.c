/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "rb/field/camera.h"
#include "rb/work/measuring.h"
#include "rb/work/tagging.h"

#include "library-sample.h"
#include "suite.h"

TCase *rb_case_measuring(void);

enum { WIDTH = 1920, HEIGHT = 1080 };

static RbHomography ground(void)
{
    RbCamera camera = { .position = { 50, -35, 16 }, .width = WIDTH, .height = HEIGHT };
    rb_camera_aim(&camera, (RbPoint3){ 42, 24, 0 });
    rb_camera_frame_width(&camera, (RbPoint3){ 42, 24, 0 }, 44);
    const RbProjection projection = rb_camera_projection(&camera);
    return rb_projection_ground(&projection);
}

static RbPoint2 show(RbPoint2 field)
{
    const RbHomography map = ground();
    RbPoint2 pixel = { 0.0, 0.0 };
    ck_assert(rb_homography_apply(&map, field, &pixel));
    return pixel;
}

/* A view with these marks of a field, clicked without error. */
static RbFieldView *view_of(RbRules clicked, RbRules said)
{
    static const char *const names[] = {
        "near-hash-l30", "near-hash-l40", "near-hash-l50", "far-hash-l30", "far-hash-l40",
        "far-hash-l50",  "far-top-l40",   "near-top-l40",  "line-l35"
    };
    RbFieldView *view = rb_field_view_new((RbFilmId){ 9 }, 100);
    view->rules = said;
    view->width = WIDTH;
    view->height = HEIGHT;
    for (size_t i = 0; i < G_N_ELEMENTS(names); i++) {
        RbFieldMark mark = { 0 };
        /* The 50 has no side. */
        const bool fifty = g_str_has_suffix(names[i], "-l50");
        g_autofree char *name =
            fifty ? g_strdup_printf("%.*s-50", (int)strlen(names[i]) - 4, names[i])
                  : g_strdup(names[i]);
        RbSighting sighting;
        ck_assert(rb_field_mark_parse((RbFieldCode)clicked, name, &mark));
        ck_assert(rb_field_mark_resolve((RbFieldCode)clicked, &mark, &sighting));
        const RbPoint2 on =
            mark.is_line ? (RbPoint2){ sighting.field[0].x, 30.0 } : sighting.field[0];
        const RbPoint2 pixel = show(on);
        rb_field_view_add(view, name, pixel.x, pixel.y);
    }
    return view;
}

static RbCalibration fit(const RbFieldView *view)
{
    RbCalibration c;
    GError *error = NULL;
    rb_field_view_fit(view, &c, &error);
    rb_assert_no_error(error);
    return c;
}

static RbUncertain take(const RbCalibration *c, RbMeasureKind kind, RbPoint2 a,
                        RbPoint2 b, const char *name)
{
    const RbMeasureAsk ask = { .kind = kind,
                               .rules = RB_RULES_COLLEGE,
                               .clicks = { { c, show(a), 1.5 }, { c, show(b), 1.5 } },
                               .name = name,
                               .seconds = 0.5,
                               .seconds_sd = 0.01 };
    RbUncertain measured = { 0 };
    GError *error = NULL;
    rb_measuring_take(&ask, &measured, &error);
    rb_assert_no_error(error);
    return measured;
}

/* Every measure of two places that are known, worked out by hand. Widths are from the college rules
 * (NCAA 1-2-1, Appendix D): 53 1/3 yd across, numbers 7 to 9 yd from the sideline. */
START_TEST(test_measuring__each_measure_is_what_it_says)
{
    g_autoptr(RbFieldView) view = view_of(RB_RULES_COLLEGE, RB_RULES_COLLEGE);
    const RbCalibration c = fit(view);
    const RbPoint2 a = { 38.0, 12.0 };
    const RbPoint2 b = { 44.0, 20.0 };
    static const double wanted[RB_MEASURE_KINDS] = {
        [RB_MEASURE_CUSHION] = 6.0,  [RB_MEASURE_SPLIT] = 8.0,
        [RB_MEASURE_NUMBERS] = 5.0,  [RB_MEASURE_SIDELINE] = 12.0,
        [RB_MEASURE_DEPTH] = 6.0,    [RB_MEASURE_WIDTH] = 8.0,
        [RB_MEASURE_LANDMARK] = 0.0, /* below */
        [RB_MEASURE_THROW] = 10.0,   [RB_MEASURE_SEPARATION] = 10.0,
        [RB_MEASURE_SPEED] = 20.0,   [RB_MEASURE_LENGTH] = 10.0,
    };
    for (int kind = 0; kind < RB_MEASURE_KINDS; kind++) {
        const bool landmark = kind == RB_MEASURE_LANDMARK;
        const RbUncertain m = take(&c, (RbMeasureKind)kind, a, b, "near-hash-l40");
        /* The near hash is 20 yd in: 2 along and 8 across from the first place. */
        const double truth = landmark ? hypot(2.0, 8.0) : wanted[kind];
        ck_assert_msg(fabs(m.value - truth) < 0.01, "%s: %.3f",
                      rb_words_token(&rb_film_measure_words, kind), m.value);
        ck_assert(m.sd > 0.005 && m.sd < 1.0);
    }
    ck_assert(fabs(take(&c, RB_MEASURE_LANDMARK, a, b, "line-l40").value - 2.0) < 0.01);
    ck_assert(fabs(take(&c, RB_MEASURE_CUSHION, b, a, NULL).value - 6.0) < 0.01);
    const RbPoint2 far = { 40.0, 160.0 / 3.0 - 5.0 };
    ck_assert(fabs(take(&c, RB_MEASURE_SIDELINE, far, b, NULL).value - 5.0) < 0.02);
    ck_assert(fabs(take(&c, RB_MEASURE_NUMBERS, far, b, NULL).value - 2.0) < 0.02);
}
END_TEST

START_TEST(test_measuring__what_cannot_be_measured_is_said)
{
    g_autoptr(RbFieldView) view = view_of(RB_RULES_COLLEGE, RB_RULES_COLLEGE);
    const RbCalibration c = fit(view);
    RbMeasureAsk ask = { .kind = RB_MEASURE_CUSHION,
                         .rules = RB_RULES_COLLEGE,
                         .clicks = { { &c, { 900, -4000 }, 1.5 },
                                     { &c, { 900, 600 }, 1.5 } } };
    RbUncertain measured;
    g_autoptr(GError) sky = NULL;
    ck_assert(!rb_measuring_take(&ask, &measured, &sky));
    ck_assert_ptr_nonnull(strstr(sky->message, "ground"));
    ask.clicks[0] = ask.clicks[1];
    ask.kind = RB_MEASURE_SPEED;
    g_autoptr(GError) still = NULL;
    ck_assert(!rb_measuring_take(&ask, &measured, &still));
    ck_assert_ptr_nonnull(strstr(still->message, "two moments"));
    ask.kind = RB_MEASURE_LANDMARK;
    ask.name = "the-bench";
    g_autoptr(GError) bench = NULL;
    ck_assert(!rb_measuring_take(&ask, &measured, &bench));
    ck_assert_ptr_nonnull(strstr(bench->message, "the-bench"));
    rb_field_view_add(view, "nowhere", 1, 1);
    RbCalibration none;
    g_autoptr(GError) name = NULL;
    ck_assert(!rb_field_view_fit(view, &none, &name));
    ck_assert_ptr_nonnull(strstr(name->message, "nowhere"));
}
END_TEST

START_TEST(test_measuring__the_wrong_field_and_the_worst_mark_are_said)
{
    g_autoptr(RbFieldView) right = view_of(RB_RULES_COLLEGE, RB_RULES_COLLEGE);
    const RbCalibration good = fit(right);
    ck_assert_ptr_null(rb_field_view_doubt(right, &good));
    g_autoptr(RbFieldView) school = view_of(RB_RULES_HIGH_SCHOOL, RB_RULES_COLLEGE);
    RbCalibration c;
    if (rb_field_view_fit(school, &c, NULL)) {
        g_autofree char *doubt = rb_field_view_doubt(school, &c);
        ck_assert_ptr_nonnull(doubt);
        ck_assert_msg(strstr(doubt, "high") != NULL, "%s", doubt);
    }
    g_array_index(right->sights, RbFieldSight, 4).x += 30 * RB_SIGHT_PART;
    const RbCalibration off = fit(right);
    g_autofree char *doubt = rb_field_view_doubt(right, &off);
    ck_assert_ptr_nonnull(doubt);
    ck_assert_msg(strstr(doubt, "far hash at the left 40") != NULL, "%s", doubt);
}
END_TEST

START_TEST(test_measuring__units_and_text)
{
    g_autoptr(RbFilmMeasure) measure =
        rb_film_measure_new((RbSnapId){ 1 }, (RbClipId){ 2 }, RB_MEASURE_CUSHION);
    rb_film_measure_set(measure, &(RbUncertain){ 6.2, 0.31 });
    g_autofree char *yards = rb_film_measure_text(measure, RB_UNIT_YARDS);
    ck_assert_str_eq(yards, "6.2 ± 0.4 yd"); /* 0.31 by the normal deviate 1.2816 */
    g_autofree char *feet = rb_film_measure_text(measure, RB_UNIT_FEET);
    ck_assert_str_eq(feet, "18.6 ± 1.2 ft");
    g_autofree char *metres = rb_film_measure_text(measure, RB_UNIT_METRES);
    ck_assert_str_eq(metres, "5.7 ± 0.4 m"); /* 6.2 by 0.9144 is 5.669 */
    measure->kind = RB_MEASURE_SPEED;
    g_autofree char *speed = rb_film_measure_text(measure, RB_UNIT_YARDS);
    ck_assert_str_eq(speed, "6.2 ± 0.4 yd/s");
    g_autoptr(GPtrArray) measures = g_ptr_array_new();
    g_autoptr(GPtrArray) none = g_ptr_array_new();
    g_ptr_array_add(measures, measure);
    measure->name = g_strdup("near-hash-l40");
    g_autofree char *csv = rb_film_measures_csv(measures, none, none, RB_UNIT_FEET);
    ck_assert_str_eq(csv, "snap,angle,measure,side,to,frame,value,plus_minus,unit\r\n"
                          "0,,speed,,near-hash-l40,0,18.600,1.191,ft/s\r\n");
}
END_TEST

static double half_length(const RbMark *mark, void *data)
{
    (void)data;
    return mark->kind == RB_MARK_SNAP ? 0.02 : 0.04;
}

/* Frames of 1/50 s. A uniform error of one frame has a standard deviation of its length by the root
 * of twelve (JCGM 100:2008, 4.3.7). */
START_TEST(test_measuring__times_have_the_error_of_their_frames)
{
    g_autoptr(RbClip) clip =
        rb_clip_new((RbClipId){ 1 }, (RbSnapId){ 1 }, (RbFilmId){ 1 }, RB_ANGLE_WIDE);
    static const struct {
        RbMarkKind kind;
        int64_t frame;
    } set[] = { { RB_MARK_SNAP, 100 },
                { RB_MARK_TOP, 190 },
                { RB_MARK_RELEASE, 220 },
                { RB_MARK_ARRIVAL, 270 } };
    for (size_t i = 0; i < G_N_ELEMENTS(set); i++) {
        const RbMark mark = { .kind = set[i].kind,
                              .frame = set[i].frame,
                              .time = { set[i].frame, { 1, 50 } } };
        g_array_append_val(clip->marks, mark);
    }
    RbMarkTime times[RB_MARK_TIMES_MAX];
    ck_assert_int_eq(rb_clip_times(clip, NULL, NULL, times), 4);
    static const double wanted[] = { 1.8, 2.4, 3.4, 1.0 };
    for (int i = 0; i < 4; i++) {
        ck_assert_double_eq_tol(times[i].seconds.value, wanted[i], 1e-9);
        ck_assert_double_eq_tol(times[i].seconds.sd, 0.02 * sqrt(2.0 / 12.0), 1e-9);
    }
    /* Film of a rate that varies: each mark with its own. */
    ck_assert_int_eq(rb_clip_times(clip, half_length, NULL, times), 4);
    ck_assert_double_eq_tol(times[1].seconds.sd, hypot(0.02, 0.04) / sqrt(12.0), 1e-9);
    g_array_remove_index(clip->marks, 3);
    ck_assert_int_eq(rb_clip_times(clip, NULL, NULL, times), 2);
}
END_TEST

static char *tag_of(RbLibrary *library, RbSnapId snap, const char *token)
{
    GError *error = NULL;
    g_autoptr(RbSheet) sheet = rb_library_load_sheet(library, snap, &error);
    rb_assert_no_error(error);
    const RbTaggable *field = rb_taggable_parse(token, NULL);
    return rb_taggable_get(field, sheet->names, sheet->snap, sheet->chart);
}

/* Measure, marks and tags come and go together. */
START_TEST(test_measuring__a_cushion_is_one_action_with_its_tags)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(92));
    RandomSeason season;
    g_autoptr(RbLibrary) library = sample_library_new(&random, &season);
    GError *error = NULL;
    const RbClip *clip = NULL;
    for (guint i = 0; i < season.clips->len && clip == NULL; i++) {
        const RbClip *one = season.clips->pdata[i];
        clip = one->film.value != 0 ? one : NULL;
    }
    ck_assert_ptr_nonnull(clip);
    g_autofree char *before = tag_of(library, clip->snap, "left-cushion");
    g_autoptr(RbFieldView) view = view_of(RB_RULES_COLLEGE, RB_RULES_COLLEGE);
    view->film = clip->film;
    view->id = rb_field_view_id(clip->film, view->frame);
    g_autoptr(RbFilmMeasure) measure =
        rb_film_measure_new(clip->snap, clip->id, RB_MEASURE_CUSHION);
    measure->side = RB_SIDE_LEFT;
    rb_film_measure_set(measure, &(RbUncertain){ 6.21, 0.31 });
    g_autofree char *words = NULL;
    rb_library_save_measure(library, view, measure, &words, &error);
    rb_assert_no_error(error);
    ck_assert_msg(strstr(words, "left cushion of snap") != NULL &&
                      strstr(words, "measured 6.2 ± 0.4 yd") != NULL,
                  "%s", words);
    g_autofree char *value = tag_of(library, clip->snap, "left-cushion");
    g_autofree char *pm = tag_of(library, clip->snap, "left-cushion-error");
    ck_assert_str_eq(value, "6.2");
    ck_assert_str_eq(pm, "0.4");
    g_autoptr(GPtrArray) views = rb_library_load_field_views(library, clip->film, &error);
    ck_assert_uint_eq(views->len, 1);
    /* Measured again it takes the first one's place. */
    rb_film_measure_set(measure, &(RbUncertain){ 5.0, 0.0 });
    rb_library_save_measure(library, NULL, measure, NULL, &error);
    rb_assert_no_error(error);
    g_autoptr(GPtrArray) measures = rb_library_load_measures(library, clip->snap, &error);
    ck_assert_uint_eq(measures->len, 1);
    g_autofree char *least = tag_of(library, clip->snap, "left-cushion-error");
    ck_assert_str_eq(least, "0.1"); /* none is exact */
    rb_library_undo(library, NULL, &error);
    rb_assert_no_error(error);
    g_autofree char *again = tag_of(library, clip->snap, "left-cushion");
    ck_assert_str_eq(again, "6.2");
    rb_library_undo(library, NULL, &error);
    rb_assert_no_error(error);
    g_autoptr(GPtrArray) gone = rb_library_load_measures(library, clip->snap, &error);
    g_autoptr(GPtrArray) unseen =
        rb_library_load_field_views(library, clip->film, &error);
    ck_assert(gone->len == 0 && unseen->len == 0);
    g_autofree char *after = tag_of(library, clip->snap, "left-cushion");
    ck_assert_str_eq(after, before);
    random_season_clear(&season);
}
END_TEST

static bool feeds(RbLibrary *library, const RbFilmMeasure *measure)
{
    GError *error = NULL;
    g_autoptr(RbSheet) sheet = rb_library_load_sheet(library, measure->snap, &error);
    rb_assert_no_error(error);
    return rb_film_measure_feeds(measure, sheet->chart);
}

/* Taken off, a cushion leaves the picture; typed over, it feeds it no more. */
START_TEST(test_measuring__a_cushion_feeds_the_picture_until_it_is_taken_off)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(94));
    RandomSeason season;
    g_autoptr(RbLibrary) library = sample_library_new(&random, &season);
    GError *error = NULL;
    const RbClip *clip = season.clips->pdata[0];
    g_autoptr(RbFilmMeasure) measure =
        rb_film_measure_new(clip->snap, clip->id, RB_MEASURE_CUSHION);
    measure->side = RB_SIDE_RIGHT;
    rb_film_measure_set(measure, &(RbUncertain){ 7.34, 0.2 });
    g_autofree char *what = rb_film_measure_what(measure, RB_RULES_COLLEGE);
    ck_assert_str_eq(what, "Right cushion");
    ck_assert(!feeds(library, measure));
    rb_library_save_measure(library, NULL, measure, NULL, &error);
    rb_assert_no_error(error);
    ck_assert(feeds(library, measure));
    measure->side = RB_SIDE_LEFT;
    ck_assert(!feeds(library, measure));
    measure->side = RB_SIDE_RIGHT;

    g_autoptr(GPtrArray) kept = rb_library_load_measures(library, clip->snap, &error);
    const RbFilmMeasureId id = ((RbFilmMeasure *)kept->pdata[0])->id;
    rb_library_remove_measure(library, id, &error);
    rb_assert_no_error(error);
    g_autofree char *gone = tag_of(library, clip->snap, "right-cushion");
    g_autofree char *gone_pm = tag_of(library, clip->snap, "right-cushion-error");
    ck_assert_str_eq(gone, "");
    ck_assert_msg(gone_pm[0] == '\0' || strcmp(gone_pm, "0.0") == 0, "%s", gone_pm);
    rb_library_undo(library, NULL, &error);
    rb_assert_no_error(error);
    ck_assert(feeds(library, measure));

    const RbTagChange typed = { "right-cushion", "5" };
    rb_library_tag(library, clip->snap, &typed, 1, NULL, &error);
    rb_assert_no_error(error);
    ck_assert(!feeds(library, measure)); /* a person said so */
    rb_library_remove_measure(library, id, &error);
    rb_assert_no_error(error);
    g_autofree char *stays = tag_of(library, clip->snap, "right-cushion");
    ck_assert_str_eq(stays, "5");
    random_season_clear(&season);
}
END_TEST

static void keep(RbLibrary *library, const RbFilmMeasure *measure, char **words)
{
    GError *error = NULL;
    rb_library_save_measure(library, NULL, measure, words, &error);
    rb_assert_no_error(error);
}

static void expect_tag(RbLibrary *library, RbSnapId snap, const char *token,
                       const char *wanted)
{
    g_autofree char *found = tag_of(library, snap, token);
    const bool none = strcmp(found, "0.0") == 0 && *wanted == '\0'; /* plus or minus */
    ck_assert_msg(none || strcmp(found, wanted) == 0, "%s is \"%s\", not \"%s\"", token,
                  found, wanted);
}

/* A split with a side is tagged and goes with its measure; without one it is only kept. */
START_TEST(test_measuring__a_split_feeds_the_picture)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(95));
    RandomSeason season;
    g_autoptr(RbLibrary) library = sample_library_new(&random, &season);
    GError *error = NULL;
    const RbClip *clip = season.clips->pdata[0];
    const RbTagChange none = { "left-split", "" };
    rb_library_tag(library, clip->snap, &none, 1, NULL, &error);
    rb_assert_no_error(error);
    g_autoptr(RbFilmMeasure) measure =
        rb_film_measure_new(clip->snap, clip->id, RB_MEASURE_SPLIT);
    rb_film_measure_set(measure, &(RbUncertain){ 8.21, 0.31 });
    keep(library, measure, NULL);
    expect_tag(library, clip->snap, "left-split", "");
    ck_assert(!feeds(library, measure));
    measure->side = RB_SIDE_LEFT;
    g_autofree char *what = rb_film_measure_what(measure, RB_RULES_COLLEGE);
    ck_assert_str_eq(what, "Left split");
    g_autofree char *words = NULL;
    keep(library, measure, &words);
    ck_assert_msg(strstr(words, "left split") != NULL &&
                      g_str_has_suffix(words, "measured 8.2 ± 0.4 yd"),
                  "%s", words);
    expect_tag(library, clip->snap, "left-split", "8.2");
    expect_tag(library, clip->snap, "left-split-error", "0.4");
    ck_assert(feeds(library, measure));
    /* Measured again it takes the first one's place: nobody has told it. */
    rb_film_measure_set(measure, &(RbUncertain){ 9.0, 0.2 });
    keep(library, measure, NULL);
    expect_tag(library, clip->snap, "left-split", "9");
    g_autoptr(GPtrArray) two = rb_library_load_measures(library, clip->snap, &error);
    ck_assert_uint_eq(two->len, 2); /* with the one without a side */
    rb_library_undo(library, NULL, &error);
    rb_assert_no_error(error);
    expect_tag(library, clip->snap, "left-split", "8.2");
    for (guint i = 0; i < two->len; i++) {
        const RbFilmMeasure *one = two->pdata[i];
        if (one->side == RB_SIDE_LEFT) {
            rb_library_remove_measure(library, one->id, &error);
            rb_assert_no_error(error);
        }
    }
    expect_tag(library, clip->snap, "left-split", "");
    expect_tag(library, clip->snap, "left-split-error", "");
    random_season_clear(&season);
}
END_TEST

/* What a person has told of a split stays, before the measure and after. */
START_TEST(test_measuring__a_split_that_a_person_told_stays)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(96));
    RandomSeason season;
    g_autoptr(RbLibrary) library = sample_library_new(&random, &season);
    GError *error = NULL;
    const RbClip *clip = season.clips->pdata[0];
    const RbTagChange told = { "right-split", "12.5" };
    rb_library_tag(library, clip->snap, &told, 1, NULL, &error);
    rb_assert_no_error(error);
    g_autoptr(RbFilmMeasure) measure =
        rb_film_measure_new(clip->snap, clip->id, RB_MEASURE_SPLIT);
    measure->side = RB_SIDE_RIGHT;
    rb_film_measure_set(measure, &(RbUncertain){ 11.6, 0.3 });
    g_autofree char *words = NULL;
    keep(library, measure, &words);
    ck_assert_msg(g_str_has_suffix(words, "measured 11.6 ± 0.4 yd; its tag stays at "
                                          "12.5 yd, as a person said"),
                  "%s", words);
    expect_tag(library, clip->snap, "right-split", "12.5");
    expect_tag(library, clip->snap, "right-split-error", "");
    ck_assert(!feeds(library, measure));
    g_autoptr(GPtrArray) kept = rb_library_load_measures(library, clip->snap, &error);
    ck_assert_uint_eq(kept->len, 1);
    rb_library_remove_measure(library, ((RbFilmMeasure *)kept->pdata[0])->id, &error);
    rb_assert_no_error(error);
    expect_tag(library, clip->snap, "right-split", "12.5");
    /* Taken off, it makes room. */
    const RbTagChange none = { "right-split", "" };
    rb_library_tag(library, clip->snap, &none, 1, NULL, &error);
    rb_assert_no_error(error);
    keep(library, measure, NULL);
    expect_tag(library, clip->snap, "right-split", "11.6");
    /* Told in its place: the plus or minus is gone, and a new measure does not bring it back. */
    rb_library_tag(library, clip->snap, &told, 1, NULL, &error);
    rb_assert_no_error(error);
    expect_tag(library, clip->snap, "right-split-error", "");
    keep(library, measure, NULL);
    expect_tag(library, clip->snap, "right-split", "12.5");
    random_season_clear(&season);
}
END_TEST

START_TEST(test_measuring__others_are_kept_and_taken_off)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(93));
    RandomSeason season;
    g_autoptr(RbLibrary) library = sample_library_new(&random, &season);
    GError *error = NULL;
    const RbClip *clip = season.clips->pdata[0];
    for (int i = 0; i < 2; i++) {
        g_autoptr(RbFilmMeasure) measure =
            rb_film_measure_new(clip->snap, clip->id, RB_MEASURE_THROW);
        rb_film_measure_set(measure, &(RbUncertain){ 31.0, 0.5 });
        rb_library_save_measure(library, NULL, measure, NULL, &error);
        rb_assert_no_error(error);
    }
    g_autoptr(GPtrArray) two = rb_library_load_measures(library, clip->snap, &error);
    ck_assert_uint_eq(two->len, 2);
    const RbFilmMeasureId first = ((RbFilmMeasure *)two->pdata[0])->id;
    rb_library_remove_measure(library, first, &error);
    rb_assert_no_error(error);
    g_autoptr(GError) twice = NULL;
    ck_assert(!rb_library_remove_measure(library, first, &twice));
    ck_assert_str_eq(twice->message, "This measure is gone already.");
    rb_library_undo(library, NULL, &error);
    rb_assert_no_error(error);
    g_autoptr(GPtrArray) again =
        rb_library_load_game_measures(library, (RbGameId){ 0 }, &error);
    ck_assert_uint_eq(again->len, 2);
    random_season_clear(&season);
}
END_TEST

TCase *rb_case_measuring(void)
{
    TCase *tcase = rb_case_new("measuring");
    tcase_add_test(tcase, test_measuring__each_measure_is_what_it_says);
    tcase_add_test(tcase, test_measuring__what_cannot_be_measured_is_said);
    tcase_add_test(tcase, test_measuring__the_wrong_field_and_the_worst_mark_are_said);
    tcase_add_test(tcase, test_measuring__units_and_text);
    tcase_add_test(tcase, test_measuring__times_have_the_error_of_their_frames);
    tcase_add_test(tcase, test_measuring__a_cushion_is_one_action_with_its_tags);
    tcase_add_test(tcase,
                   test_measuring__a_cushion_feeds_the_picture_until_it_is_taken_off);
    tcase_add_test(tcase, test_measuring__a_split_feeds_the_picture);
    tcase_add_test(tcase, test_measuring__a_split_that_a_person_told_stays);
    tcase_add_test(tcase, test_measuring__others_are_kept_and_taken_off);
    return tcase;
}
