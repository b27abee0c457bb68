/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <jansson.h>
#include <math.h>
#include <string.h>

#include "rb/work/cutups.h"
#include "rb/work/error.h"
#include "rb/work/film-drawings.h"
#include "rb/work/snapshot.h"
#include "rb/work/tagging.h"

#include "cutup-drawings.h"
#include "library-sample.h"
#include "suite.h"

TCase *rb_case_cutups(void);

typedef struct {
    RandomSeason season;
    RbLibrary *library;
    GArray *snaps; /* of RbSnapId: some with film */
} Sample;

static Sample sample_new(uint64_t seed)
{
    RbRandom random;
    rb_random_seed(&random, seed);
    Sample sample = { 0 };
    sample.library = sample_library_new(&random, &sample.season);
    sample.snaps = g_array_new(FALSE, FALSE, sizeof(RbSnapId));
    for (guint i = 0; i < sample.season.clips->len && sample.snaps->len < 6; i++) {
        const RbClip *clip = sample.season.clips->pdata[i];
        bool known = false;
        for (guint j = 0; j < sample.snaps->len; j++) {
            known = known ||
                    g_array_index(sample.snaps, RbSnapId, j).value == clip->snap.value;
        }
        if (!known) {
            g_array_append_val(sample.snaps, clip->snap);
        }
    }
    ck_assert_uint_ge(sample.snaps->len, 4);
    return sample;
}

static void sample_clear(Sample *sample)
{
    rb_library_close(sample->library);
    random_season_clear(&sample->season);
    g_array_unref(sample->snaps);
}

static RbCutupId make_list(Sample *sample, const char *name)
{
    GError *error = NULL;
    RbCutupId id = { 0 };
    rb_library_make_cutup(sample->library, name, NULL, NULL,
                          (const RbSnapId *)(const void *)sample->snaps->data,
                          (int)sample->snaps->len, &id, &error);
    rb_assert_no_error(error);
    return id;
}

static GPtrArray *entries_of(Sample *sample, RbCutupId id)
{
    GError *error = NULL;
    g_autofree char *text = g_strdup_printf("%" G_GINT64_FORMAT, id.value);
    g_autoptr(RbCutup) cutup = rb_library_find_cutup(sample->library, text, &error);
    rb_assert_no_error(error);
    GPtrArray *entries = rb_library_load_cutup_entries(sample->library, cutup, &error);
    rb_assert_no_error(error);
    return entries;
}

static int64_t snap_at(const GPtrArray *entries, guint i)
{
    return ((const RbCutupEntry *)entries->pdata[i])->snap.value;
}

START_TEST(test_cutups__a_list_keeps_its_order_and_is_undone_whole)
{
    Sample sample = sample_new(401);
    const RbCutupId id = make_list(&sample, "Monday");
    g_autoptr(GPtrArray) entries = entries_of(&sample, id);
    ck_assert_uint_eq(entries->len, sample.snaps->len);
    for (guint i = 0; i < entries->len; i++) {
        ck_assert_int_eq(snap_at(entries, i),
                         g_array_index(sample.snaps, RbSnapId, i).value);
    }
    GError *error = NULL;
    char *words = NULL;
    ck_assert(rb_library_undo(sample.library, &words, &error));
    g_free(words);
    g_autoptr(GPtrArray) all = rb_library_load_cutups(sample.library, &error);
    ck_assert_uint_eq(all->len, 0);
    ck_assert(rb_library_redo(sample.library, &words, &error));
    g_free(words);
    g_autoptr(GPtrArray) again = entries_of(&sample, id);
    ck_assert_uint_eq(again->len, sample.snaps->len);
    sample_clear(&sample);
}
END_TEST

START_TEST(test_cutups__clips_move_anywhere)
{
    Sample sample = sample_new(402);
    const RbCutupId id = make_list(&sample, "Order");
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(5));
    g_autoptr(GPtrArray) now = entries_of(&sample, id);
    const int n = (int)now->len;
    g_autoptr(GArray) wanted = g_array_new(FALSE, FALSE, sizeof(int64_t));
    for (int i = 0; i < n; i++) {
        const int64_t snap = snap_at(now, (guint)i);
        g_array_append_val(wanted, snap);
    }
    for (int round = 0; round < 40; round++) {
        const int from = rb_random_int(&random, 0, n - 1);
        const int to = rb_random_int(&random, 0, n - 1);
        GError *error = NULL;
        rb_library_move_cutup_entry(sample.library, id, from, to, &error);
        rb_assert_no_error(error);
        const int64_t moved = g_array_index(wanted, int64_t, from);
        g_array_remove_index(wanted, (guint)from);
        g_array_insert_val(wanted, (guint)to, moved);
        g_autoptr(GPtrArray) entries = entries_of(&sample, id);
        for (int i = 0; i < n; i++) {
            ck_assert_int_eq(snap_at(entries, (guint)i),
                             g_array_index(wanted, int64_t, i));
        }
    }
    GError *error = NULL;
    ck_assert(!rb_library_move_cutup_entry(sample.library, id, 0, n, &error));
    ck_assert(g_error_matches(error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE));
    g_clear_error(&error);
    sample_clear(&sample);
}
END_TEST

START_TEST(test_cutups__a_live_list_follows_its_filter_and_a_fixed_one_does_not)
{
    Sample sample = sample_new(403);
    GError *error = NULL;
    g_autoptr(RbFilter) filter = rb_filter_new();
    rb_filter_set_range(filter, RB_FIELD_DISTANCE, 1, 99);
    RbCutupId id = { 0 };
    ck_assert(
        rb_library_make_live_cutup(sample.library, "Live", NULL, filter, &id, &error));
    g_autoptr(GPtrArray) before = entries_of(&sample, id);
    ck_assert_uint_ge(before->len, 3);
    const RbSnapId gone = { snap_at(before, 1) };
    /* What was set for a clip stays with its snap. */
    g_autoptr(RbCutupEntry) entry = rb_cutup_entry_copy(before->pdata[0]);
    entry->cut.speed = 50;
    entry->note = g_strdup("hips");
    ck_assert(rb_library_save_cutup_entry(sample.library, entry, &error));
    ck_assert(
        rb_library_move_cutup_entry(sample.library, id, 0, (int)before->len - 1, &error));
    RbCutupId kept = { 0 };
    ck_assert(rb_library_make_cutup(sample.library, "Kept", NULL, NULL, &gone, 1, &kept,
                                    &error));
    sample_tag(sample.library, gone, "distance", "");
    g_autoptr(GPtrArray) after = entries_of(&sample, id);
    ck_assert_uint_eq(after->len, before->len - 1);
    for (guint i = 0; i < after->len; i++) {
        ck_assert_int_ne(snap_at(after, i), gone.value);
    }
    const RbCutupEntry *last = after->pdata[after->len - 1];
    ck_assert_int_eq(last->snap.value, entry->snap.value);
    ck_assert_int_eq(last->cut.speed, 50);
    ck_assert_str_eq(last->note, "hips");
    g_autoptr(GPtrArray) fixed = entries_of(&sample, kept);
    ck_assert_uint_eq(fixed->len, 1);
    /* By hand only after it was fixed. */
    ck_assert(!rb_library_add_to_cutup(sample.library, id, &gone, 1, &error));
    g_clear_error(&error);
    ck_assert(rb_library_fix_cutup(sample.library, id, &error));
    ck_assert(rb_library_add_to_cutup(sample.library, id, &gone, 1, &error));
    rb_assert_no_error(error);
    g_autoptr(GPtrArray) whole = entries_of(&sample, id);
    ck_assert_uint_eq(whole->len, before->len);
    ck_assert_int_eq(snap_at(whole, whole->len - 1), gone.value);
    sample_clear(&sample);
}
END_TEST

/* A coach who reads a number on the ladder finds as many clips in both kinds of list. */
START_TEST(test_cutups__a_list_of_what_counts_is_as_long_as_the_ladder)
{
    Sample sample = sample_new(408);
    GError *error = NULL;
    g_autoptr(RbSnapshot) snapshot = rb_snapshot_take(sample.library, NULL, NULL, &error);
    rb_assert_no_error(error);
    g_autoptr(RbFilter) filter = rb_filter_new();
    int found[3];
    for (int counts = RB_YES_NO_UNKNOWN; counts <= RB_YES; counts++) {
        rb_filter_remove(filter, RB_FIELD_COUNTS);
        if (counts != RB_YES_NO_UNKNOWN) {
            rb_filter_add_value(filter, RB_FIELD_COUNTS, counts);
        }
        g_autofree char *name = g_strdup_printf("Live %d", counts);
        RbCutupId live = { 0 };
        ck_assert(rb_library_make_live_cutup(sample.library, name, NULL, filter, &live,
                                             &error));
        g_autoptr(GPtrArray) entries = entries_of(&sample, live);
        found[counts] = (int)entries->len;
    }
    RbLadder ladder;
    g_autoptr(RbSelection) all = rb_selection_new(snapshot, NULL);
    rb_selection_ladder(all, &ladder);
    ck_assert_int_eq(found[RB_YES], ladder.dropbacks);
    ck_assert_int_gt(found[RB_NO], 0);
    ck_assert_int_eq(found[RB_YES_NO_UNKNOWN], found[RB_YES] + found[RB_NO]);
    sample_clear(&sample);
}
END_TEST

START_TEST(test_cutups__names_are_kept_apart_and_found)
{
    Sample sample = sample_new(404);
    GError *error = NULL;
    make_list(&sample, " Monday ");
    make_list(&sample, "monday");
    g_autoptr(RbCutup) first = rb_library_find_cutup(sample.library, "MONDAY", &error);
    rb_assert_no_error(error);
    ck_assert_str_eq(first->name, "Monday");
    g_autoptr(RbCutup) second = rb_library_find_cutup(sample.library, "monday 2", &error);
    rb_assert_no_error(error);
    g_free(second->name);
    second->name = g_strdup("Monday");
    ck_assert(!rb_library_save_cutup(sample.library, second, &error));
    g_clear_error(&error);
    ck_assert(
        !rb_library_make_cutup(sample.library, "  ", NULL, NULL, NULL, 0, NULL, &error));
    g_clear_error(&error);
    ck_assert(rb_library_remove_cutup(sample.library, second->id, &error));
    ck_assert_ptr_null(rb_library_find_cutup(sample.library, "monday 2", &error));
    ck_assert_ptr_nonnull(strstr(error->message, "\"Monday\""));
    g_clear_error(&error);
    sample_clear(&sample);
}
END_TEST

/* The choice between fixed and live can be changed both ways; a list of chosen snaps has nothing
 * to follow. */
START_TEST(test_cutups__a_fixed_list_can_follow_its_filter_and_stop)
{
    Sample sample = sample_new(405);
    GError *error = NULL;
    g_autoptr(RbFilter) filter = rb_filter_new();
    rb_filter_set_range(filter, RB_FIELD_DISTANCE, 1, 99);
    RbCutupId live = { 0 };
    ck_assert(
        rb_library_make_live_cutup(sample.library, "All", NULL, filter, &live, &error));
    g_autoptr(GPtrArray) all = entries_of(&sample, live);
    ck_assert_uint_ge(all->len, 3);
    /* The second and the first of them, chosen by hand from what the filter found. */
    const RbSnapId two[] = { { snap_at(all, 1) }, { snap_at(all, 0) } };
    RbCutupId id = { 0 };
    ck_assert(
        rb_library_make_cutup(sample.library, "Two", NULL, filter, two, 2, &id, &error));
    g_autoptr(GPtrArray) fixed = entries_of(&sample, id);
    ck_assert_uint_eq(fixed->len, 2);
    g_autoptr(RbCutupEntry) entry = rb_cutup_entry_copy(fixed->pdata[0]);
    entry->note = g_strdup("eyes");
    ck_assert(rb_library_save_cutup_entry(sample.library, entry, &error));
    /* There and back: the first place of all can become 0. */
    ck_assert(rb_library_move_cutup_entry(sample.library, id, 1, 0, &error));
    ck_assert(rb_library_move_cutup_entry(sample.library, id, 1, 0, &error));
    ck_assert(rb_library_follow_cutup(sample.library, id, &error));
    rb_assert_no_error(error);
    g_autoptr(GPtrArray) followed = entries_of(&sample, id);
    ck_assert_uint_eq(followed->len, all->len);
    bool noted = false;
    ck_assert_int_eq(snap_at(followed, 0), two[0].value); /* its order stays */
    for (guint i = 0; i < followed->len; i++) {
        const RbCutupEntry *one = followed->pdata[i];
        noted = noted ||
                (one->snap.value == two[0].value && g_strcmp0(one->note, "eyes") == 0);
    }
    ck_assert(noted);
    ck_assert(rb_library_fix_cutup(sample.library, id, &error));
    sample_tag(sample.library, two[0], "distance", "");
    g_autoptr(GPtrArray) kept = entries_of(&sample, id);
    ck_assert_uint_eq(kept->len, all->len);
    ck_assert(rb_library_follow_cutup(sample.library, id, &error));
    g_autoptr(GPtrArray) again = entries_of(&sample, id);
    ck_assert_uint_eq(again->len, all->len - 1);
    const RbCutupId chosen = make_list(&sample, "Chosen");
    ck_assert(!rb_library_follow_cutup(sample.library, chosen, &error));
    ck_assert(g_error_matches(error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE));
    ck_assert(g_str_has_suffix(error->message, "."));
    g_clear_error(&error);
    sample_clear(&sample);
}
END_TEST

/* In a live list the clips that nobody moved stay in the order of the games, whatever is noted
 * about one of them; what a window read before a move does not move it back. */
START_TEST(test_cutups__what_is_set_for_a_clip_does_not_move_it)
{
    Sample sample = sample_new(406);
    GError *error = NULL;
    g_autoptr(RbFilter) filter = rb_filter_new();
    rb_filter_set_range(filter, RB_FIELD_DISTANCE, 1, 99);
    RbCutupId live = { 0 };
    ck_assert(
        rb_library_make_live_cutup(sample.library, "Live", NULL, filter, &live, &error));
    g_autoptr(GPtrArray) before = entries_of(&sample, live);
    const guint n = before->len;
    g_autoptr(RbCutupEntry) last = rb_cutup_entry_copy(before->pdata[n - 1]);
    last->note = g_strdup("last");
    ck_assert(rb_library_save_cutup_entry(sample.library, last, &error));
    const RbSnapId first = { snap_at(before, 0) };
    sample_tag(sample.library, first, "distance", "");
    g_autoptr(GPtrArray) less = entries_of(&sample, live);
    ck_assert_uint_eq(less->len, n - 1);
    sample_tag(sample.library, first, "distance", "7");
    g_autoptr(GPtrArray) after = entries_of(&sample, live);
    ck_assert_uint_eq(after->len, n);
    for (guint i = 0; i < n; i++) {
        ck_assert_int_eq(snap_at(after, i), snap_at(before, i));
    }
    const RbCutupId fixed = make_list(&sample, "Fixed");
    g_autoptr(GPtrArray) old = entries_of(&sample, fixed);
    ck_assert(rb_library_move_cutup_entry(sample.library, fixed, 0, 2, &error));
    g_autoptr(RbCutupEntry) stale = rb_cutup_entry_copy(old->pdata[0]);
    stale->cut.speed = 50;
    ck_assert(rb_library_save_cutup_entry(sample.library, stale, &error));
    g_autoptr(GPtrArray) moved = entries_of(&sample, fixed);
    ck_assert_int_eq(snap_at(moved, 2), stale->snap.value);
    ck_assert_int_eq(((RbCutupEntry *)moved->pdata[2])->cut.speed, 50);
    sample_clear(&sample);
}
END_TEST

START_TEST(test_cutups__all_clips_are_shown_alike_in_one_action)
{
    Sample sample = sample_new(407);
    GError *error = NULL;
    const RbCutupId id = make_list(&sample, "Alike");
    g_autoptr(GPtrArray) before = entries_of(&sample, id);
    g_autoptr(RbCutupEntry) noted = rb_cutup_entry_copy(before->pdata[1]);
    noted->note = g_strdup("feet");
    ck_assert(rb_library_save_cutup_entry(sample.library, noted, &error));
    g_auto(RbCut) cut = rb_cut_default();
    cut.start = RB_POINT_SNAP;
    cut.loops = 2;
    cut.freeze = RB_POINT_RELEASE;
    cut.card = g_strdup("snap,verdict");
    ck_assert(rb_library_set_all_cuts(sample.library, id, &cut, &error));
    rb_assert_no_error(error);
    g_autoptr(GPtrArray) after = entries_of(&sample, id);
    for (guint i = 0; i < after->len; i++) {
        const RbCutupEntry *entry = after->pdata[i];
        ck_assert_int_eq(entry->snap.value, snap_at(before, i));
        ck_assert(rb_cut_equal(&entry->cut, &cut));
        ck_assert_str_eq(entry->note != NULL ? entry->note : "", i == 1 ? "feet" : "");
    }
    char *words = NULL;
    ck_assert(rb_library_undo(sample.library, &words, &error));
    g_free(words);
    g_autoptr(GPtrArray) undone = entries_of(&sample, id);
    const RbCut usual = rb_cut_default();
    ck_assert(rb_cut_equal(&((RbCutupEntry *)undone->pdata[0])->cut, &usual));
    cut.stop = RB_POINT_SET;
    ck_assert(!rb_library_set_all_cuts(sample.library, id, &cut, &error));
    g_clear_error(&error);
    sample_clear(&sample);
}
END_TEST

/* ---- the lists for other programs */

static RbCutupClip *clip_new(const char *title, int64_t length_us)
{
    RbCutupClip *clip = g_new0(RbCutupClip, 1);
    clip->entry =
        rb_cutup_entry_new((RbCutupEntryId){ 1 }, (RbCutupId){ 2 }, (RbSnapId){ 3 });
    clip->title = g_strdup(title);
    clip->subtitle = g_strdup("3rd & 7, own 35");
    clip->card = g_ptr_array_new_with_free_func(g_free);
    clip->film_title = g_strdup("=wide, \"one\".mp4");
    clip->path = g_strdup("/films/wide one.mp4");
    clip->first = 120;
    clip->last = 239;
    clip->freeze = -1;
    clip->frame_us = 33333;
    clip->length_us = length_us;
    return clip;
}

static void clip_free(void *data)
{
    RbCutupClip *clip = data;
    rb_cutup_entry_free(clip->entry);
    g_free(clip->title);
    g_free(clip->subtitle);
    g_ptr_array_unref(clip->card);
    g_free(clip->film_title);
    g_free(clip->path);
    g_free(clip->missing);
    g_free(clip);
}

/* Three clips, one at half speed and shown twice, one missing, one with a stop and a card. */
static RbCutupPlan *plan_new(void)
{
    RbCutupPlan *plan = g_new0(RbCutupPlan, 1);
    plan->cutup = rb_cutup_new((RbCutupId){ 2 }, "Smash; eyes = #1\\2", RB_CUTUP_FIXED);
    plan->clips = g_ptr_array_new_with_free_func(clip_free);
    plan->names = true;
    RbCutupClip *slow = clip_new("A & B <--> C; snap 3", 4000000);
    slow->entry->cut.speed = 50;
    slow->entry->cut.loops = 2;
    slow->entry->note = g_strdup("He said \"wait\",\nthen --> threw");
    RbCutupClip *none = clip_new("Gone", 4000000);
    none->missing = g_strdup("No film.");
    RbCutupClip *stops = clip_new("Week 3 = snap 34", 3600000000);
    stops->freeze = 130;
    stops->entry->cut.freeze = RB_POINT_SNAP;
    stops->entry->cut.freeze_ms = 1500;
    g_ptr_array_add(stops->card, g_strdup("Week 3"));
    g_ptr_array_add(plan->clips, slow);
    g_ptr_array_add(plan->clips, none);
    g_ptr_array_add(plan->clips, stops);
    return plan;
}

/* 16 s; then 3 s of card, an hour, 1.5 s. */
#define SLOW_MS 16000
#define STOPS_MS (SLOW_MS + 3000 + 3600000 + 1500)

/* A checker written from W3C WebVTT, section 4.1 ("Syntax"): the signature, a blank line, then
 * cues apart by blank lines; each an optional identifier, timings of at least two digits of
 * hours, two of minutes and seconds, three of fraction, and payload lines without "-->". */
typedef struct {
    int64_t start_ms;
    int64_t end_ms;
    char *payload; /* owned */
} Cue;

static bool vtt_number(const char **at, int least, int most_value, int64_t *value)
{
    int digits = 0;
    *value = 0;
    while (g_ascii_isdigit(**at)) {
        *value = *value * 10 + (*(*at)++ - '0');
        digits++;
    }
    return digits >= least &&
           (most_value < 0 || (digits == least && *value <= most_value));
}

static bool vtt_time(const char **at, int64_t *ms)
{
    int64_t h = 0;
    int64_t m = 0;
    int64_t s = 0;
    int64_t f = 0;
    if (!vtt_number(at, 2, -1, &h) || *(*at)++ != ':' || !vtt_number(at, 2, 59, &m) ||
        *(*at)++ != ':' || !vtt_number(at, 2, 59, &s) || *(*at)++ != '.' ||
        !vtt_number(at, 3, 999, &f)) {
        return false;
    }
    *ms = ((h * 60 + m) * 60 + s) * 1000 + f;
    return true;
}

static void cue_free(void *data)
{
    Cue *cue = data;
    g_free(cue->payload);
    g_free(cue);
}

static GPtrArray *vtt_parse(const char *text)
{
    ck_assert(g_utf8_validate(text, -1, NULL));
    ck_assert(g_str_has_prefix(text, "WEBVTT\n\n"));
    GPtrArray *cues = g_ptr_array_new_with_free_func(cue_free);
    g_auto(GStrv) blocks = g_strsplit(text + strlen("WEBVTT\n\n"), "\n\n", -1);
    for (char **block = blocks; *block != NULL; block++) {
        g_auto(GStrv) lines = g_strsplit(g_strchomp(*block), "\n", -1);
        char **line = lines;
        if (strstr(*line, "-->") == NULL) {
            line++; /* the identifier */
        }
        const char *at = *line;
        Cue *cue = g_new0(Cue, 1);
        ck_assert(vtt_time(&at, &cue->start_ms));
        ck_assert(g_str_has_prefix(at, " --> "));
        at += 5;
        ck_assert(vtt_time(&at, &cue->end_ms));
        ck_assert_int_eq(*at, '\0');
        ck_assert_int_gt(cue->end_ms, cue->start_ms);
        cue->payload = g_strjoinv("\n", line + 1);
        ck_assert_ptr_null(strstr(cue->payload, "-->"));
        ck_assert_str_ne(cue->payload, "");
        g_ptr_array_add(cues, cue);
    }
    return cues;
}

static void assert_cue_times(const GPtrArray *cues)
{
    ck_assert_uint_eq(cues->len, 2);
    const Cue *one = cues->pdata[0];
    const Cue *two = cues->pdata[1];
    ck_assert_int_eq(one->start_ms, 0);
    ck_assert_int_eq(one->end_ms, SLOW_MS);
    ck_assert_int_eq(two->start_ms, SLOW_MS);
    ck_assert_int_eq(two->end_ms, STOPS_MS);
}

START_TEST(test_cutups__webvtt_is_as_published)
{
    g_autoptr(RbCutupPlan) plan = plan_new();
    g_autofree char *chapters = rb_cutup_to_vtt(plan, true);
    g_autoptr(GPtrArray) cues = vtt_parse(chapters);
    assert_cue_times(cues);
    ck_assert_str_eq(((Cue *)cues->pdata[0])->payload, "A &amp; B &lt;--&gt; C; snap 3");
    g_autofree char *metadata = rb_cutup_to_vtt_metadata(plan, true);
    g_autoptr(GPtrArray) data = vtt_parse(metadata);
    assert_cue_times(data);
    json_t *object = json_loads(((Cue *)data->pdata[0])->payload, 0, NULL);
    ck_assert_ptr_nonnull(object);
    ck_assert_str_eq(json_string_value(json_object_get(object, "snap")), "3");
    ck_assert_str_eq(json_string_value(json_object_get(object, "note")),
                     "He said \"wait\",\nthen --> threw");
    json_decref(object);
    plan->names = false;
    g_autofree char *nameless = rb_cutup_to_vtt_metadata(plan, true);
    ck_assert_ptr_null(strstr(nameless, "wait"));
}
END_TEST

/* ffprobe reads the chapters back. */
START_TEST(test_cutups__chapters_are_read_by_ffprobe)
{
    g_autoptr(RbCutupPlan) plan = plan_new();
    g_autofree char *path = rb_test_path("list.ffmeta");
    GError *error = NULL;
    ck_assert(rb_cutup_write_list(plan, path, true, &error));
    char *argv[] = { (char *)"ffprobe",
                     (char *)"-v",
                     (char *)"error",
                     (char *)"-f",
                     (char *)"ffmetadata",
                     (char *)"-show_chapters",
                     (char *)"-show_format",
                     (char *)"-of",
                     (char *)"json",
                     path,
                     NULL };
    g_autofree char *output = NULL;
    ck_assert(g_spawn_sync(NULL, argv, NULL, G_SPAWN_SEARCH_PATH, NULL, NULL, &output,
                           NULL, NULL, &error));
    json_t *root = json_loads(output, 0, NULL);
    const json_t *chapters = json_object_get(root, "chapters");
    ck_assert_uint_eq(json_array_size(chapters), 2);
    const json_t *second = json_array_get(chapters, 1);
    ck_assert_int_eq(json_integer_value(json_object_get(second, "start")), SLOW_MS);
    ck_assert_int_eq(json_integer_value(json_object_get(second, "end")), STOPS_MS);
    const json_t *tags = json_object_get(second, "tags");
    ck_assert_str_eq(json_string_value(json_object_get(tags, "title")),
                     "Week 3 = snap 34");
    tags = json_object_get(json_object_get(root, "format"), "tags");
    ck_assert_str_eq(json_string_value(json_object_get(tags, "title")),
                     "Smash; eyes = #1\\2");
    json_decref(root);
}
END_TEST

/* A reader written from RFC 4180, section 2. Returns: rows of fields. */
static GPtrArray *csv_parse(const char *text)
{
    GPtrArray *rows = g_ptr_array_new_with_free_func((GDestroyNotify)g_ptr_array_unref);
    GPtrArray *row = g_ptr_array_new_with_free_func(g_free);
    g_autoptr(GString) field = g_string_new(NULL);
    for (const char *c = text; *c != '\0';) {
        if (*c == '"' && field->len == 0) {
            for (c++; !(c[0] == '"' && c[1] != '"'); c++) {
                ck_assert_int_ne(*c, '\0');
                g_string_append_c(field, *c);
                c += *c == '"';
            }
            c++;
        } else if (*c == ',' || *c == '\r') {
            g_ptr_array_add(row, g_strdup(field->str));
            g_string_truncate(field, 0);
            if (*c == '\r') {
                ck_assert_int_eq(c[1], '\n');
                g_ptr_array_add(rows, row);
                row = g_ptr_array_new_with_free_func(g_free);
                c++;
            }
            c++;
        } else {
            ck_assert_int_ne(*c, '"');
            g_string_append_c(field, *c++);
        }
    }
    ck_assert_uint_eq(row->len, 0);
    g_ptr_array_unref(row);
    return rows;
}

START_TEST(test_cutups__csv_is_as_published)
{
    g_autoptr(RbCutupPlan) plan = plan_new();
    g_autofree char *text = rb_cutup_to_csv(plan, true);
    g_autoptr(GPtrArray) rows = csv_parse(text);
    ck_assert_uint_eq(rows->len, 3);
    for (guint i = 0; i < rows->len; i++) {
        ck_assert_uint_eq(((GPtrArray *)rows->pdata[i])->len, 12);
    }
    const GPtrArray *slow = rows->pdata[1];
    ck_assert_str_eq(slow->pdata[0], "1");
    ck_assert_str_eq(slow->pdata[3], "'=wide, \"one\".mp4"); /* no formula */
    ck_assert_str_eq(slow->pdata[4], "120");
    ck_assert_str_eq(slow->pdata[7], "00:00:16.000");
    ck_assert_str_eq(slow->pdata[11], "He said \"wait\",\nthen --> threw");
    ck_assert_str_eq(((GPtrArray *)rows->pdata[2])->pdata[0], "3");
}
END_TEST

/* A checker written from OpenTimelineIO's schema documentation ("Serialized Data Documentation",
 * fields of each schema): every object names its schema, and has the fields of it with their
 * types. */
static const json_t *otio_is(const json_t *object, const char *schema)
{
    ck_assert_str_eq(json_string_value(json_object_get(object, "OTIO_SCHEMA")), schema);
    return object;
}

static double otio_time(const json_t *time)
{
    otio_is(time, "RationalTime.1");
    const double rate = json_number_value(json_object_get(time, "rate"));
    ck_assert(rate > 0.0);
    ck_assert(json_is_number(json_object_get(time, "value")));
    return json_number_value(json_object_get(time, "value")) / rate;
}

static void otio_item(const json_t *item)
{
    ck_assert(json_is_string(json_object_get(item, "name")));
    ck_assert(json_is_object(json_object_get(item, "metadata")));
    ck_assert(json_is_array(json_object_get(item, "effects")));
    ck_assert(json_is_array(json_object_get(item, "markers")));
    ck_assert(json_is_boolean(json_object_get(item, "enabled")));
}

START_TEST(test_cutups__opentimelineio_is_as_published)
{
    g_autoptr(RbCutupPlan) plan = plan_new();
    g_autofree char *text = rb_cutup_to_otio(plan);
    json_t *timeline = json_loads(text, 0, NULL);
    otio_is(timeline, "Timeline.1");
    ck_assert(json_is_null(json_object_get(timeline, "global_start_time")));
    const json_t *stack = otio_is(json_object_get(timeline, "tracks"), "Stack.1");
    otio_item(stack);
    ck_assert_uint_eq(json_array_size(json_object_get(stack, "children")), 1);
    const json_t *track =
        otio_is(json_array_get(json_object_get(stack, "children"), 0), "Track.1");
    otio_item(track);
    ck_assert_str_eq(json_string_value(json_object_get(track, "kind")), "Video");
    const json_t *clips = json_object_get(track, "children");
    ck_assert_uint_eq(json_array_size(clips), 3); /* one is shown twice */
    for (size_t i = 0; i < 3; i++) {
        const json_t *clip = otio_is(json_array_get(clips, i), "Clip.2");
        otio_item(clip);
        const json_t *range =
            otio_is(json_object_get(clip, "source_range"), "TimeRange.1");
        ck_assert(fabs(otio_time(json_object_get(range, "start_time")) - 4.0) < 0.001);
        ck_assert(fabs(otio_time(json_object_get(range, "duration")) - 4.0) < 0.001);
        const char *key =
            json_string_value(json_object_get(clip, "active_media_reference_key"));
        const json_t *media =
            otio_is(json_object_get(json_object_get(clip, "media_references"), key),
                    "ExternalReference.1");
        ck_assert_str_eq(json_string_value(json_object_get(media, "target_url")),
                         "file:///films/wide%20one.mp4");
    }
    const json_t *effects = json_object_get(json_array_get(clips, 0), "effects");
    const json_t *warp = otio_is(json_array_get(effects, 0), "LinearTimeWarp.1");
    ck_assert(fabs(json_number_value(json_object_get(warp, "time_scalar")) - 0.5) < 1e-9);
    const json_t *marker =
        otio_is(json_array_get(json_object_get(json_array_get(clips, 2), "markers"), 0),
                "Marker.2");
    otio_is(json_object_get(marker, "marked_range"), "TimeRange.1");
    json_decref(timeline);
}
END_TEST

START_TEST(test_cutups__a_list_of_no_known_kind_is_refused)
{
    g_autoptr(RbCutupPlan) plan = plan_new();
    g_autoptr(GError) error = NULL;
    g_autofree char *path = rb_test_path("list.doc");
    ck_assert(!rb_cutup_write_list(plan, path, true, &error));
    ck_assert(g_error_matches(error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE));
    ck_assert(!g_file_test(path, G_FILE_TEST_EXISTS));
}
END_TEST

START_TEST(test_cutups__a_plan_says_what_is_missing)
{
    Sample sample = sample_new(405);
    GError *error = NULL;
    const RbCutupId id = make_list(&sample, "Missing");
    g_autoptr(RbCutupPlan) plan = rb_library_plan_cutup(sample.library, id, true, &error);
    rb_assert_no_error(error);
    ck_assert_uint_eq(plan->clips->len, sample.snaps->len);
    for (guint i = 0; i < plan->clips->len; i++) {
        const RbCutupClip *clip = plan->clips->pdata[i];
        ck_assert_ptr_nonnull(clip->missing); /* the sample's film lies nowhere */
        ck_assert(g_str_has_suffix(clip->missing, "."));
        ck_assert_int_eq(rb_cutup_clip_us(clip, true), 0);
    }
    g_autofree char *out = rb_test_path("out.mp4");
    ck_assert(!rb_cutup_export(plan, out, &(RbCutupExport){ 0 }, NULL, NULL, NULL, NULL,
                               &error));
    ck_assert(g_str_has_prefix(error->message, "Clip 1 "));
    g_clear_error(&error);
    g_autoptr(GPtrArray) log = NULL;
    RbCutupMade made;
    ck_assert(!rb_cutup_export(plan, out, &(RbCutupExport){ .skip = true }, NULL, NULL,
                               &log, &made, &error));
    g_clear_error(&error);
    ck_assert_int_eq(made.files, 0);
    ck_assert_int_eq(made.left_out, (int)plan->clips->len);
    ck_assert_uint_eq(log->len, plan->clips->len);
    sample_clear(&sample);
}
END_TEST

/* Heads of arrows and letters keep their shape in the export, whatever the film's: the picture
 * that is laid over has the film's. */
START_TEST(test_cutups__drawings_have_the_shape_of_their_film)
{
    static const struct {
        int shown[2];
        int size[2];
    } films[] = {
        { { 1920, 1080 }, { 1280, 720 } }, { { 640, 480 }, { 640, 480 } },
        { { 768, 576 }, { 768, 576 } },    { { 1440, 1080 }, { 1280, 960 } },
        { { 1080, 1920 }, { 720, 1280 } }, { { 4096, 3 }, { 1280, 1 } },
        { { 0, 0 }, { 1280, 720 } },
    };
    for (size_t i = 0; i < G_N_ELEMENTS(films); i++) {
        int width = 0;
        int height = 0;
        rb_cutup_drawing_size(films[i].shown[0], films[i].shown[1], &width, &height);
        ck_assert_int_eq(width, films[i].size[0]);
        ck_assert_int_eq(height, films[i].size[1]);
    }
}
END_TEST

/* A drawing goes with the clip into every cut-up, its words with the names only; undone, it is
 * gone. */
START_TEST(test_cutups__drawings_go_with_their_clip)
{
    Sample sample = sample_new(rb_test_seed(77));
    GError *error = NULL;
    const RbCutupId id = make_list(&sample, "Monday");
    g_autoptr(RbCutupPlan) before =
        rb_library_plan_cutup(sample.library, id, true, &error);
    rb_assert_no_error(error);
    guint at = 0;
    const RbClip *clip = NULL;
    for (; at < before->clips->len && clip == NULL; at++) {
        const RbCutupClip *one = before->clips->pdata[at];
        for (guint i = 0; i < sample.season.clips->len; i++) {
            const RbClip *film = sample.season.clips->pdata[i];
            const bool shown = film->snap.value == one->entry->snap.value &&
                               film->angle == RB_ANGLE_WIDE && film->film.value != 0;
            clip = shown ? film : clip;
        }
    }
    at--;
    ck_assert_ptr_nonnull(clip);
    for (int kind = RB_DRAW_LINE; kind <= RB_DRAW_TEXT; kind += RB_DRAW_TEXT) {
        g_autoptr(RbFilmDrawing) drawing =
            rb_film_drawing_new((RbFilmDrawingId){ 0 }, clip->id);
        drawing->kind = (RbDrawKind)kind;
        drawing->x2 = 5000;
        drawing->words = kind == RB_DRAW_TEXT ? g_strdup("Hale late") : NULL;
        rb_library_save_drawing(sample.library, drawing, &error);
        rb_assert_no_error(error);
    }
    for (int names = 0; names < 2; names++) {
        g_autoptr(RbCutupPlan) plan =
            rb_library_plan_cutup(sample.library, id, names == 1, &error);
        g_autoptr(RbCutupPlan) copy = rb_cutup_plan_copy(plan);
        const RbCutupClip *shown = copy->clips->pdata[at];
        ck_assert_uint_eq(shown->drawings->len, names == 1 ? 2 : 1);
    }
    g_autoptr(RbFilmDrawing) outside =
        rb_film_drawing_new((RbFilmDrawingId){ 0 }, clip->id);
    ck_assert(!rb_library_save_drawing(sample.library, outside, &error));
    g_clear_error(&error);
    g_autoptr(GPtrArray) two = rb_library_load_drawings(sample.library, clip->id, &error);
    rb_library_remove_drawing(sample.library, ((RbFilmDrawing *)two->pdata[0])->id,
                              &error);
    rb_assert_no_error(error);
    g_autoptr(GPtrArray) one = rb_library_load_drawings(sample.library, clip->id, &error);
    ck_assert_uint_eq(one->len, 1);
    rb_library_undo(sample.library, NULL, &error);
    rb_assert_no_error(error);
    g_autoptr(GPtrArray) again =
        rb_library_load_drawings(sample.library, clip->id, &error);
    ck_assert_uint_eq(again->len, 2);
    sample_clear(&sample);
}
END_TEST

TCase *rb_case_cutups(void)
{
    TCase *tcase = rb_case_new("cutups");
    tcase_add_test(tcase, test_cutups__a_list_keeps_its_order_and_is_undone_whole);
    tcase_add_test(tcase, test_cutups__clips_move_anywhere);
    tcase_add_test(tcase,
                   test_cutups__a_live_list_follows_its_filter_and_a_fixed_one_does_not);
    tcase_add_test(tcase, test_cutups__a_list_of_what_counts_is_as_long_as_the_ladder);
    tcase_add_test(tcase, test_cutups__names_are_kept_apart_and_found);
    tcase_add_test(tcase, test_cutups__a_fixed_list_can_follow_its_filter_and_stop);
    tcase_add_test(tcase, test_cutups__what_is_set_for_a_clip_does_not_move_it);
    tcase_add_test(tcase, test_cutups__all_clips_are_shown_alike_in_one_action);
    tcase_add_test(tcase, test_cutups__webvtt_is_as_published);
    tcase_add_test(tcase, test_cutups__chapters_are_read_by_ffprobe);
    tcase_add_test(tcase, test_cutups__csv_is_as_published);
    tcase_add_test(tcase, test_cutups__opentimelineio_is_as_published);
    tcase_add_test(tcase, test_cutups__a_list_of_no_known_kind_is_refused);
    tcase_add_test(tcase, test_cutups__a_plan_says_what_is_missing);
    tcase_add_test(tcase, test_cutups__drawings_have_the_shape_of_their_film);
    tcase_add_test(tcase, test_cutups__drawings_go_with_their_clip);
    return tcase;
}
