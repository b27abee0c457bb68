/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What must hold for any value, tried with many made at random. */
#include <string.h>

#include "rb/base/random.h"
#include "rb/model/concept.h"
#include "rb/model/cutup.h"
#include "rb/model/film-drawing.h"
#include "rb/model/filter.h"
#include "rb/model/route.h"
#include "rb/model/yardline.h"

#include "suite.h"

TCase *rb_case_properties(void);

enum { TRIES = 4000 };

static RbRandom dice;

static void make(void)
{
    rb_random_seed(&dice, rb_test_seed(61));
}

static int roll(int low, int high)
{
    return rb_random_int(&dice, low, high);
}

static bool coin(void)
{
    return roll(0, 1) == 1;
}

/* Filters over a row of small numbers, of which some are not known. */

typedef struct {
    int64_t values[RB_FIELDS]; /* -1: not known */
    int64_t second; /* of the fields that can have several; -1: there is none */
} Row;

static bool value_of(const void *data, RbField field, int index, int64_t *value)
{
    const Row *row = data;
    *value = index == 0                              ? row->values[field]
             : index == 1 && rb_field_is_many(field) ? row->second
                                                     : -1;
    return *value >= 0;
}

static Row some_row(void)
{
    Row row;
    for (int i = 0; i < RB_FIELDS; i++) {
        row.values[i] = roll(-1, 4);
    }
    row.second = roll(-1, 4);
    return row;
}

static RbFilter *some_filter(void)
{
    RbFilter *filter = rb_filter_new();
    for (int n = roll(0, 4); n > 0; n--) {
        const RbField field = (RbField)roll(0, RB_FIELDS - 1);
        if (coin()) {
            const int low = roll(0, 4);
            rb_filter_set_range(filter, field, low, roll(low, 5));
        } else {
            rb_filter_add_value(filter, field, roll(0, 4));
        }
    }
    return filter;
}

/* A clause, tried in words: known, and in the range or one of the values. */
static bool clause_accepts_value(const RbClause *clause, int64_t value)
{
    if (value < 0 || clause->is_range) {
        return value >= 0 && value >= clause->low && value <= clause->high;
    }
    for (guint i = 0; i < clause->values->len; i++) {
        if (g_array_index(clause->values, int64_t, i) == value) {
            return true;
        }
    }
    return false;
}

static bool clause_accepts(const RbClause *clause, const Row *row)
{
    const int64_t first = row->values[clause->field];
    return clause_accepts_value(clause, first) ||
           (first >= 0 && rb_field_is_many(clause->field) &&
            clause_accepts_value(clause, row->second));
}

static bool accepts(const RbFilter *filter, const Row *row)
{
    for (int field = 0; field < RB_FIELDS; field++) {
        const RbClause *clause = rb_filter_find(filter, (RbField)field);
        if (clause != NULL && !clause_accepts(clause, row)) {
            return false;
        }
    }
    return true;
}

START_TEST(test_properties__a_filter_accepts_what_its_clauses_do)
{
    int accepted = 0;
    for (int i = 0; i < TRIES; i++) {
        g_autoptr(RbFilter) filter = some_filter();
        const Row row = some_row();
        const bool matches = rb_filter_matches(filter, &row, value_of);
        ck_assert(matches == accepts(filter, &row));
        accepted += matches ? 1 : 0;
    }
    ck_assert_int_gt(accepted, TRIES / 20);
    ck_assert_int_lt(accepted, TRIES - TRIES / 20);
}
END_TEST

START_TEST(test_properties__a_filter_comes_back_from_its_line)
{
    for (int i = 0; i < TRIES; i++) {
        g_autoptr(RbFilter) filter = some_filter();
        g_autofree char *line = rb_filter_to_text(filter);
        GError *error = NULL;
        g_autoptr(RbFilter) read = rb_filter_from_text(line, &error);
        rb_assert_no_error(error);
        ck_assert(rb_filter_equal(filter, read));
        g_autofree char *again = rb_filter_to_text(read);
        ck_assert_str_eq(line, again);
    }
}
END_TEST

/* Of each field the later filter's clause, else the earlier one's; the later one stays as it was. */
START_TEST(test_properties__merged_filters)
{
    for (int i = 0; i < TRIES; i++) {
        g_autoptr(RbFilter) one = some_filter();
        g_autoptr(RbFilter) other = some_filter();
        g_autoptr(RbFilter) merged = rb_filter_copy(one);
        g_autoptr(RbFilter) kept = rb_filter_copy(other);
        rb_filter_merge(merged, other);
        ck_assert(rb_filter_equal(other, kept));
        const Row row = some_row();
        bool wanted = true;
        for (int field = 0; field < RB_FIELDS; field++) {
            const RbClause *clause = rb_filter_find(other, (RbField)field);
            clause = clause != NULL ? clause : rb_filter_find(one, (RbField)field);
            wanted = wanted && (clause == NULL || clause_accepts(clause, &row));
        }
        ck_assert(rb_filter_matches(merged, &row, value_of) == wanted);
        for (int field = 0; field < RB_FIELDS; field++) {
            rb_filter_remove(merged, (RbField)field);
        }
        ck_assert(rb_filter_matches(merged, &row, value_of));
    }
}
END_TEST

/* Text made of the letters that its kind is made of. */
static char *some_text(const char *letters)
{
    char text[10];
    const int length = roll(0, (int)sizeof text - 1);
    for (int i = 0; i < length; i++) {
        text[i] = letters[roll(0, (int)strlen(letters) - 1)];
    }
    text[length] = '\0';
    return g_strdup(text);
}

static void expect_sentence(const GError *error, const char *text)
{
    ck_assert_ptr_nonnull(error);
    ck_assert_msg(strlen(error->message) > 20 &&
                      error->message[strlen(error->message) - 1] == '.',
                  "\"%s\": %s", text, error->message);
}

START_TEST(test_properties__any_text_is_a_range_or_refused)
{
    int taken = 0;
    for (int i = 0; i < TRIES; i++) {
        g_autofree char *text = some_text("0123456789-+ .a");
        g_autoptr(GError) error = NULL;
        int64_t low = -77;
        int64_t high = -77;
        if (!rb_filter_parse_range(text, &low, &high, &error)) {
            expect_sentence(error, text);
            continue;
        }
        ck_assert_msg(low <= high && low >= 0, "%s", text);
        g_autofree char *written =
            g_strdup_printf("%" G_GINT64_FORMAT "-%" G_GINT64_FORMAT, low,
                            MIN(high, INT64_C(1000000000)));
        int64_t low_again = 0;
        int64_t high_again = 0;
        ck_assert(rb_filter_parse_range(written, &low_again, &high_again, NULL));
        ck_assert(low == low_again && MIN(high, INT64_C(1000000000)) == high_again);
        taken++;
    }
    ck_assert_int_gt(taken, 0);
    ck_assert_int_lt(taken, TRIES);
}
END_TEST

START_TEST(test_properties__any_text_is_a_spot_or_refused)
{
    int taken = 0;
    for (int i = 0; i < TRIES; i++) {
        g_autofree char *text = some_text("0123456789 +-opwn");
        g_autoptr(GError) error = NULL;
        int yards = -77;
        if (!rb_yardline_parse(text, &yards, &error)) {
            expect_sentence(error, text);
            ck_assert_int_eq(yards, -77);
            continue;
        }
        ck_assert_msg(yards >= 1 && yards <= 99, "%s", text);
        g_autofree char *written = rb_yardline_token(yards);
        int again = 0;
        ck_assert(rb_yardline_parse(written, &again, NULL));
        ck_assert_int_eq(again, yards);
        taken++;
    }
    ck_assert_int_gt(taken, 0);
    ck_assert_int_lt(taken, TRIES);
}
END_TEST

/* Cuts and drawings that arrive in pieces. */

START_TEST(test_properties__a_mended_cut_is_a_good_one)
{
    static const char *const cards[] = {
        NULL, "", "game", "game,note", "x", "game,game,", ",", "verdict,situation"
    };
    int good = 0;
    for (int i = 0; i < TRIES; i++) {
        RbCut cut = { .view = (RbView)roll(0, rb_view_words.n - 1),
                      .start = (RbPoint)roll(0, rb_point_words.n - 1),
                      .stop = (RbPoint)roll(0, rb_point_words.n - 1),
                      .speed = roll(-10, 500),
                      .loops = roll(-1, 25),
                      .freeze = (RbPoint)roll(0, rb_point_words.n - 1),
                      .freeze_ms = roll(-100, 70000),
                      .card = g_strdup(cards[roll(0, G_N_ELEMENTS(cards) - 1)]) };
        g_auto(RbCut) before = rb_cut_copy(&cut);
        const bool was_good = rb_cut_check(&cut, NULL);
        rb_cut_mend(&cut);
        g_autoptr(GError) error = NULL;
        rb_cut_check(&cut, &error);
        rb_assert_no_error(error);
        ck_assert(!was_good || rb_cut_equal(&before, &cut));
        g_auto(RbCut) once = rb_cut_copy(&cut);
        rb_cut_mend(&cut);
        ck_assert(rb_cut_equal(&once, &cut));
        good += was_good ? 1 : 0;
        rb_cut_clear(&cut);
    }
    ck_assert_int_gt(good, 0);
    ck_assert_int_lt(good, TRIES);
}
END_TEST

START_TEST(test_properties__every_card_comes_back)
{
    for (unsigned bits = 0; bits < 1u << rb_card_words.n; bits++) {
        g_autofree char *text = rb_card_text(bits);
        unsigned again = ~0u;
        ck_assert(rb_card_parse(text, &again, NULL));
        ck_assert_uint_eq(again, bits);
    }
}
END_TEST

START_TEST(test_properties__a_mended_drawing_lies_in_the_picture)
{
    for (int i = 0; i < TRIES; i++) {
        g_autoptr(RbFilmDrawing) drawing =
            rb_film_drawing_new((RbFilmDrawingId){ 1 }, (RbClipId){ 2 });
        drawing->kind = RB_DRAW_LINE;
        drawing->x1 = roll(-2000, 12000);
        drawing->y1 = roll(-2000, 12000);
        drawing->x2 = drawing->x1 + roll(500, 2000); /* long enough before it is mended */
        drawing->y2 = roll(-2000, 12000);
        drawing->first = roll(-50, 50);
        drawing->last = roll(-50, 50);
        const bool was_good = rb_film_drawing_check(drawing, NULL);
        g_autoptr(RbFilmDrawing) before = rb_film_drawing_copy(drawing);
        rb_film_drawing_mend(drawing);
        ck_assert(drawing->x1 >= 0 && drawing->x1 <= RB_DRAW_WHOLE);
        ck_assert(drawing->y2 >= 0 && drawing->y2 <= RB_DRAW_WHOLE);
        ck_assert(drawing->first >= 0 && drawing->first <= drawing->last);
        ck_assert(rb_film_drawing_is_seen(drawing, drawing->first) &&
                  rb_film_drawing_is_seen(drawing, drawing->last) &&
                  !rb_film_drawing_is_seen(drawing, drawing->last + 1));
        ck_assert(!was_good ||
                  (drawing->x1 == before->x1 && drawing->y1 == before->y1 &&
                   drawing->x2 == before->x2 && drawing->y2 == before->y2 &&
                   drawing->first == before->first && drawing->last == before->last));
    }
}
END_TEST

/* A list that grows at any place stays in order; when there is no room it is numbered anew. */
START_TEST(test_properties__places_stay_in_order)
{
    g_autoptr(GArray) places = g_array_new(FALSE, FALSE, sizeof(int64_t));
    int anew = 0;
    for (int i = 0; i < TRIES; i++) {
        /* Often the same spot, where the room runs out first. */
        const guint at = coin() ? MIN(places->len, 3u) : (guint)roll(0, (int)places->len);
        const int64_t *before = at > 0 ? &g_array_index(places, int64_t, at - 1) : NULL;
        const int64_t *after =
            at < places->len ? &g_array_index(places, int64_t, at) : NULL;
        int64_t place = 0;
        if (!rb_place_between(before, after, &place)) {
            for (guint k = 0; k < places->len; k++) {
                g_array_index(places, int64_t, k) = (int64_t)(k + 1) * RB_PLACE_STEP;
            }
            anew++;
            continue;
        }
        ck_assert(before == NULL || *before < place);
        ck_assert(after == NULL || place < *after);
        g_array_insert_val(places, at, place);
    }
    ck_assert_int_gt(anew, 0);
    ck_assert_int_lt(anew, TRIES / 20);
}
END_TEST

/* Clocks. */

START_TEST(test_properties__a_hitch_later_is_a_hitch_later)
{
    for (int i = 0; i < TRIES; i++) {
        RbFootwork footwork = *rb_footwork_defaults();
        footwork.hitch_ms = roll(1, 900);
        footwork.fake_ms = roll(1, 900);
        footwork.boot_ms = roll(1000, 4000);
        footwork.sprint_ms = roll(1000, 4000);
        RbClock clock = { .kind = RB_CLOCK_FOOTWORK,
                          .drop = (RbDrop)roll(RB_DROP_STRAIGHT, RB_DROP_SPRINT),
                          .backfield = (RbBackfield)roll(0, 1),
                          .steps = 1 + 2 * roll(0, 4),
                          .hitches = roll(0, 8) };
        int ms = -1;
        if (!rb_clock_ms(&clock, &footwork, &ms)) {
            ck_assert_int_eq(clock.drop, RB_DROP_STRAIGHT); /* steps not in the table */
            continue;
        }
        int later = -1;
        clock.hitches++;
        clock.tolerance_ms = roll(0, 500); /* no part of the time */
        ck_assert(rb_clock_ms(&clock, &footwork, &later));
        ck_assert_int_eq(later, ms + footwork.hitch_ms);
        if (clock.drop == RB_DROP_STRAIGHT) {
            int faked = -1;
            clock.fake = true;
            ck_assert(rb_clock_ms(&clock, &footwork, &faked));
            ck_assert_int_eq(faked, later + footwork.fake_ms);
        }
    }
}
END_TEST

/* A drawn route is where it was drawn, whatever its break. */
START_TEST(test_properties__a_drawn_route_passes_its_points)
{
    for (int i = 0; i < TRIES; i++) {
        RbDrawnPoint points[RB_POINTS_MAX];
        const int n = roll(1, RB_POINTS_MAX);
        for (int k = 0; k < n; k++) {
            points[k] = (RbDrawnPoint){ roll(-50, 300), roll(-200, 200) };
        }
        RbRoutePath path;
        rb_route_path_drawn(points, n, roll(0, 30), -1.0, &path);
        ck_assert_int_ge(path.n, n + 1);
        ck_assert(path.points[0].out == 0.0 && path.points[0].deep == -1.0);
        ck_assert(path.break_at >= 1 && path.break_at < path.n);
        int met = 0;
        for (int k = 0; k < path.n && met < n; k++) {
            const double deep = points[met].deep_tenths / 10.0;
            const double out = points[met].out_tenths / 10.0;
            met += path.points[k].deep == deep && path.points[k].out == out ? 1 : 0;
        }
        ck_assert_int_eq(met, n);
    }
}
END_TEST

TCase *rb_case_properties(void)
{
    TCase *tcase = rb_case_new("properties");
    tcase_add_checked_fixture(tcase, make, NULL);
    tcase_add_test(tcase, test_properties__a_filter_accepts_what_its_clauses_do);
    tcase_add_test(tcase, test_properties__a_filter_comes_back_from_its_line);
    tcase_add_test(tcase, test_properties__merged_filters);
    tcase_add_test(tcase, test_properties__any_text_is_a_range_or_refused);
    tcase_add_test(tcase, test_properties__any_text_is_a_spot_or_refused);
    tcase_add_test(tcase, test_properties__a_mended_cut_is_a_good_one);
    tcase_add_test(tcase, test_properties__every_card_comes_back);
    tcase_add_test(tcase, test_properties__a_mended_drawing_lies_in_the_picture);
    tcase_add_test(tcase, test_properties__places_stay_in_order);
    tcase_add_test(tcase, test_properties__a_hitch_later_is_a_hitch_later);
    tcase_add_test(tcase, test_properties__a_drawn_route_passes_its_points);
    return tcase;
}
