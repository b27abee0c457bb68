/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "rb/base/random.h"
#include "rb/model/cutup.h"

#include "suite.h"

TCase *rb_case_cutup(void);

START_TEST(test_cutup__the_usual_cut_is_a_good_one)
{
    g_auto(RbCut) cut = rb_cut_default();
    GError *error = NULL;
    ck_assert(rb_cut_check(&cut, &error));
    rb_assert_no_error(error);
    g_auto(RbCut) copy = rb_cut_copy(&cut);
    ck_assert(rb_cut_equal(&cut, &copy));
    copy.card = g_strdup("game");
    ck_assert(!rb_cut_equal(&cut, &copy));
}
END_TEST

START_TEST(test_cutup__what_cannot_be_is_refused_and_mended)
{
    static const RbCut bad[] = {
        { RB_VIEW_WIDE, RB_POINT_FIRST, RB_POINT_LAST, 4, 1, RB_POINT_NONE, 0, NULL },
        { RB_VIEW_WIDE, RB_POINT_FIRST, RB_POINT_LAST, 401, 1, RB_POINT_NONE, 0, NULL },
        { RB_VIEW_WIDE, RB_POINT_FIRST, RB_POINT_LAST, 100, 0, RB_POINT_NONE, 0, NULL },
        { RB_VIEW_WIDE, RB_POINT_FIRST, RB_POINT_LAST, 100, 21, RB_POINT_NONE, 0, NULL },
        { RB_VIEW_WIDE, RB_POINT_FIRST, RB_POINT_LAST, 100, 1, RB_POINT_NONE, -1, NULL },
        { RB_VIEW_WIDE, RB_POINT_SNAP, RB_POINT_SNAP, 100, 1, RB_POINT_NONE, 0, NULL },
        { RB_VIEW_WIDE, RB_POINT_RELEASE, RB_POINT_SET, 100, 1, RB_POINT_NONE, 0, NULL },
        { RB_VIEW_WIDE, RB_POINT_NONE, RB_POINT_LAST, 100, 1, RB_POINT_NONE, 0, NULL },
        { RB_VIEW_WIDE, RB_POINT_FIRST, RB_POINT_LAST, 100, 1, RB_POINT_NONE, 0,
          (char *)(uintptr_t) "game,weather" },
    };
    for (size_t i = 0; i < G_N_ELEMENTS(bad); i++) {
        g_autoptr(GError) error = NULL;
        ck_assert_msg(!rb_cut_check(&bad[i], &error), "cut %zu", i);
        ck_assert(g_str_has_suffix(error->message, "."));
        g_auto(RbCut) mended = rb_cut_copy(&bad[i]);
        rb_cut_mend(&mended);
        ck_assert(rb_cut_check(&mended, NULL));
    }
}
END_TEST

START_TEST(test_cutup__card_words_go_to_text_and_back)
{
    for (unsigned bits = 0; bits < 1U << (RB_CARD_NOTE + 1); bits++) {
        g_autofree char *text = rb_card_text(bits);
        unsigned back = 99;
        ck_assert(rb_card_parse(text, &back, NULL));
        ck_assert_uint_eq(back, bits);
    }
    unsigned bits = 0;
    g_autoptr(GError) error = NULL;
    ck_assert(rb_card_parse(" snap , game,", &bits, NULL));
    ck_assert_uint_eq(bits, 1U << RB_CARD_GAME | 1U << RB_CARD_SNAP);
    ck_assert(!rb_card_parse("jersey", &bits, &error));
    ck_assert_ptr_nonnull(strstr(error->message, "jersey"));
}
END_TEST

START_TEST(test_cutup__points_are_marks_or_ends_of_the_clip)
{
    g_autoptr(RbClip) clip =
        rb_clip_new((RbClipId){ 1 }, (RbSnapId){ 2 }, (RbFilmId){ 3 }, RB_ANGLE_WIDE);
    clip->first = 100;
    clip->last = 300;
    const RbMark snap = { .kind = RB_MARK_SNAP, .frame = 150 };
    const RbMark end = { .kind = RB_MARK_END,
                         .frame = 310 }; /* the clip was made shorter */
    g_array_append_val(clip->marks, snap);
    g_array_append_val(clip->marks, end);
    static const struct {
        RbPoint point;
        bool there;
        int64_t frame;
    } cases[] = {
        { RB_POINT_FIRST, true, 100 },    { RB_POINT_SET, false, 100 },
        { RB_POINT_SNAP, true, 150 },     { RB_POINT_TOP, false, 300 },
        { RB_POINT_RELEASE, false, 300 }, { RB_POINT_END, true, 300 },
        { RB_POINT_LAST, true, 300 },
    };
    for (size_t i = 0; i < G_N_ELEMENTS(cases); i++) {
        int64_t frame = -1;
        ck_assert_int_eq(rb_clip_find_point(clip, cases[i].point, &frame),
                         cases[i].there);
        ck_assert_int_eq(frame, cases[i].frame);
    }
}
END_TEST

START_TEST(test_cutup__a_place_between_is_between)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(71));
    for (int i = 0; i < 2000; i++) {
        const int64_t a = (int64_t)rb_random_next(&random);
        const int64_t b = (int64_t)rb_random_next(&random);
        const int64_t low = MIN(a, b);
        const int64_t high = MAX(a, b);
        int64_t place = 0;
        if (rb_place_between(&low, &high, &place)) {
            ck_assert(low < place && place < high);
        } else {
            ck_assert(low == high || low + 1 == high);
        }
        if (rb_place_between(&low, NULL, &place)) {
            ck_assert_int_gt(place, low);
        }
        if (rb_place_between(NULL, &low, &place)) {
            ck_assert_int_lt(place, low);
        }
    }
    const int64_t ends[] = { INT64_MIN, INT64_MAX };
    int64_t place = 1;
    ck_assert(rb_place_between(&ends[0], &ends[1], &place));
    ck_assert(!rb_place_between(&ends[1], NULL, &place));
    ck_assert(!rb_place_between(NULL, &ends[0], &place));
    ck_assert(rb_place_between(NULL, NULL, &place));
    ck_assert_int_eq(place, 0);
}
END_TEST

START_TEST(test_cutup__copies_own_what_they_hold)
{
    g_autoptr(RbCutup) cutup = rb_cutup_new((RbCutupId){ 4 }, "Monday", RB_CUTUP_LIVE);
    cutup->filter = g_strdup("down=3");
    cutup->cut.card = g_strdup("game");
    g_autoptr(RbCutup) copy = rb_cutup_copy(cutup);
    ck_assert_str_eq(copy->name, "Monday");
    ck_assert_str_eq(copy->filter, "down=3");
    ck_assert_ptr_ne(copy->cut.card, cutup->cut.card);
    g_autoptr(RbCutupEntry) entry =
        rb_cutup_entry_new((RbCutupEntryId){ 5 }, cutup->id, (RbSnapId){ 6 });
    entry->note = g_strdup("eyes");
    g_autoptr(RbCutupEntry) second = rb_cutup_entry_copy(entry);
    ck_assert_str_eq(second->note, "eyes");
    ck_assert_int_eq(rb_cutup_entry_id(cutup->id, entry->snap).value,
                     rb_cutup_entry_id(copy->id, second->snap).value);
}
END_TEST

START_TEST(test_cutup__a_filter_comes_back_from_its_line)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(72));
    for (int i = 0; i < 500; i++) {
        g_autoptr(RbFilter) filter = rb_filter_new();
        for (int n = rb_random_int(&random, 0, 6); n > 0; n--) {
            const RbField field = (RbField)rb_random_int(&random, 0, RB_FIELDS - 1);
            if (rb_filter_find(filter, field) != NULL) {
                continue;
            }
            if (rb_random_chance(&random, 0.3)) {
                const int low = rb_random_int(&random, -20, 20);
                rb_filter_set_range(filter, field, low,
                                    low + rb_random_int(&random, 0, 90));
            } else {
                for (int m = rb_random_int(&random, 1, 4); m > 0; m--) {
                    rb_filter_add_value(filter, field,
                                        (int64_t)(rb_random_next(&random) >> 1));
                }
            }
        }
        g_autofree char *text = rb_filter_to_text(filter);
        GError *error = NULL;
        g_autoptr(RbFilter) back = rb_filter_from_text(text, &error);
        rb_assert_no_error(error);
        g_autofree char *again = rb_filter_to_text(back);
        ck_assert_str_eq(again, text);
        ck_assert(rb_filter_equal(filter, back));
    }
}
END_TEST

START_TEST(test_cutup__a_damaged_line_is_refused)
{
    static const char *const bad[] = { "down",         "down=",         "down=x",
                                       "weather=1",    "down=1;;",      "distance=9..7",
                                       "distance=1..", "down=1;down=2", "down=1,,2" };
    for (size_t i = 0; i < G_N_ELEMENTS(bad); i++) {
        g_autoptr(GError) error = NULL;
        ck_assert_msg(rb_filter_from_text(bad[i], &error) == NULL, "%s", bad[i]);
        ck_assert(g_str_has_suffix(error->message, "."));
    }
}
END_TEST

TCase *rb_case_cutup(void)
{
    TCase *tcase = rb_case_new("cutup");
    tcase_add_test(tcase, test_cutup__the_usual_cut_is_a_good_one);
    tcase_add_test(tcase, test_cutup__what_cannot_be_is_refused_and_mended);
    tcase_add_test(tcase, test_cutup__card_words_go_to_text_and_back);
    tcase_add_test(tcase, test_cutup__points_are_marks_or_ends_of_the_clip);
    tcase_add_test(tcase, test_cutup__a_place_between_is_between);
    tcase_add_test(tcase, test_cutup__copies_own_what_they_hold);
    tcase_add_test(tcase, test_cutup__a_filter_comes_back_from_its_line);
    tcase_add_test(tcase, test_cutup__a_damaged_line_is_refused);
    return tcase;
}
