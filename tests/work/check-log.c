/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Play logs of any layout: read right, or asked about. */
#include <stdio.h>
#include <string.h>

#include "rb/work/error.h"
#include "rb/work/season.h"

#include "../model/game-log.h"
#include "log-writer.h"
#include "suite.h"

TCase *rb_case_log(void);

enum { LAYOUTS = 60, MUTATIONS = 5000 };

/* A game of plays to write and to hold against. */
typedef struct {
    GPtrArray *snaps; /* owned */
    RbGame *game;     /* owned */
} Truth;

static void free_snap(void *snap)
{
    rb_snap_free(snap);
}

static Truth truth_of_season(uint64_t seed, int which)
{
    g_autoptr(RbSeason) season = rb_season_new(seed);
    const RbSeasonGame *from = season->games->pdata[which];
    Truth truth = { g_ptr_array_new_with_free_func(free_snap),
                    rb_game_new((RbGameId){ 1 }, "Game") };
    truth.game->us = from->game->us;
    truth.game->them = from->game->them;
    truth.game->ours_only = true;
    for (guint i = 0; i < from->snaps->len; i++) {
        const RbSeasonSnap *one = from->snaps->pdata[i];
        g_ptr_array_add(truth.snaps, rb_snap_copy(one->snap));
    }
    return truth;
}

static Truth truth_of_both(void)
{
    Truth truth = { log_read("chain/whole-game.tsv"),
                    rb_game_new((RbGameId){ 1 }, "Game") };
    truth.game->us = (RbTeamId){ 1 };
    truth.game->them = (RbTeamId){ 2 };
    return truth;
}

static void truth_clear(Truth *truth)
{
    g_ptr_array_unref(truth->snaps);
    rb_game_free(truth->game);
}

static RbLogReading *read_bytes(GBytes *bytes, const Truth *truth, char *const *maps,
                                RbLogYards yards, const char *us, GError **error)
{
    RbLogTable *table = rb_log_table_parse(bytes, "log.csv", error);
    RbLogChoice choice = { .yards = yards, .us = us };
    if (table == NULL) {
        return NULL;
    }
    for (int i = 0; maps != NULL && maps[i] != NULL; i++) {
        if (!rb_log_choice_map(&choice, table, maps[i], error)) {
            rb_log_table_free(table);
            return NULL;
        }
    }
    return rb_log_read(table, NULL, truth->game, &choice, error);
}

/* A fact that was read must be the true one; what the layout leaves out is not there. */
static void compare(const char *what, int64_t read, int64_t unknown, int64_t truth,
                    const RbSnap *snap, const char *layout)
{
    ck_assert_msg(read == unknown || read == truth,
                  "%s: snap %d: %s read as %" G_GINT64_FORMAT
                  ", but is %" G_GINT64_FORMAT,
                  layout, snap->number, what, read, truth);
}

static int compare_snap(const RbSnap *read, const RbSnap *truth, const char *layout)
{
    const RbSituation *s = &read->situation;
    const RbSituation *t = &truth->situation;
    const bool scrimmage = t->phase == RB_PHASE_SCRIMMAGE;
    compare("quarter", s->quarter, 0, t->quarter, truth, layout);
    compare("clock", s->clock_s, -1, t->clock_s, truth, layout);
    compare("down", s->down, 0, t->down, truth, layout);
    if (scrimmage) {
        compare("distance", s->distance, 0, t->distance, truth, layout);
    }
    compare("spot", s->yards_to_goal, 0, t->yards_to_goal, truth, layout);
    compare("hash", s->hash, 0, t->hash, truth, layout);
    compare("offense", s->offense.value, 0, t->offense.value, truth, layout);
    compare("play", read->play, 0, truth->play, truth, layout);
    compare("result", read->result, 0, truth->result, truth, layout);
    compare("ending", read->ending, 0, truth->ending, truth, layout);
    if (read->has_gain == RB_YES) {
        compare("gain", read->gain, 1000, truth->gain, truth, layout);
    }
    return (s->down > 0) + (s->yards_to_goal > 0) + (s->distance > 0) +
           (read->result > 0) + (read->has_gain == RB_YES);
}

/* Every row that is not left out says the truth. Returns how many facts were read. */
static int compare_all(const RbLogReading *reading, const Truth *truth,
                       const char *layout)
{
    int facts = 0;
    ck_assert_uint_eq(reading->rows->len, truth->snaps->len);
    for (guint i = 0; i < reading->rows->len; i++) {
        const RbLogRow *row = reading->rows->pdata[i];
        if (row->trouble == NULL) {
            facts += compare_snap(row->snap, truth->snaps->pdata[i], layout);
        }
    }
    return facts;
}

static char *layout_text(const Layout *layout, GBytes *bytes)
{
    g_autoptr(RbLogTable) table = rb_log_table_parse(bytes, "log", NULL);
    GString *text = g_string_new(rb_words_token(&rb_log_yards_words, (int)layout->yards));
    for (guint i = 0; table != NULL && i < table->heads->len; i++) {
        const RbLogLine *line = table->lines->pdata[3];
        g_string_append_printf(text, " [%s: %s]", (char *)table->heads->pdata[i],
                               line->cells[i]);
    }
    return g_string_free(text, FALSE);
}

/* 1: understood at once; 0: asked, and then understood. */
static int try_layout(RbRandom *random, const Truth *truth, bool both)
{
    Layout layout = layout_random(random, both);
    g_autoptr(GBytes) bytes = layout_write(&layout, truth->snaps, truth->game->us);
    g_autofree char *text = layout_text(&layout, bytes);
    const bool teams = both || layout.forms[RB_LOG_SPOT] == 3;
    const char *us = teams && rb_random_chance(random, 0.7) ? LAYOUT_US : NULL;
    GError *error = NULL;
    g_autoptr(RbLogReading) first =
        read_bytes(bytes, truth, NULL, RB_YARDS_UNKNOWN, us, &error);
    rb_assert_no_error(error);
    const int understood = first->questions->len == 0;
    if (understood) {
        ck_assert_msg(compare_all(first, truth, text) > (int)truth->snaps->len, "%s",
                      text);
    }
    /* All that could be asked is answered. */
    g_auto(GStrv) maps = layout_maps(&layout);
    g_autoptr(RbLogReading) told =
        read_bytes(bytes, truth, maps, layout.yards, LAYOUT_US, &error);
    rb_assert_no_error(error);
    const char *asks = told->questions->len > 0
                           ? ((const RbLogQuestion *)told->questions->pdata[0])->sentence
                           : "";
    ck_assert_msg(*asks == '\0', "%s asks: %s", text, asks);
    compare_all(told, truth, text);
    for (guint i = 0; i < told->rows->len; i++) {
        const RbLogRow *row = told->rows->pdata[i];
        ck_assert_msg(row->trouble == NULL, "%s: %s", text, row->trouble);
        if (row->trouble == NULL && layout.yards != RB_YARDS_UNKNOWN) {
            const RbSnap *snap = truth->snaps->pdata[i];
            ck_assert_int_eq(row->snap->situation.yards_to_goal,
                             snap->situation.yards_to_goal);
        }
    }
    layout_clear(&layout);
    return understood;
}

START_TEST(test_log__layouts_are_understood_or_asked_about)
{
    RbRandom random;
    const uint64_t seed = rb_test_seed(8);
    int understood = 0;
    rb_random_seed(&random, seed);
    const int layouts = rb_test_some(LAYOUTS);
    for (int i = 0; i < layouts; i++) {
        const bool both = i % 3 == 2;
        Truth truth = both ? truth_of_both() : truth_of_season(seed + (uint64_t)i, i % 6);
        understood += try_layout(&random, &truth, both);
        truth_clear(&truth);
    }
    printf("%d of %d layouts understood without a question\n", understood, layouts);
    ck_assert_int_ge(understood * 2, layouts);
}
END_TEST

/* A changed file is read, asked about or refused; no crash, and no row without its reason. */
START_TEST(test_log__mutated_files_do_no_harm)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(88));
    Truth truth = truth_of_season(5, 1);
    g_ptr_array_set_size(truth.snaps, 16);
    const int files = rb_test_some(MUTATIONS / 50);
    for (int i = 0; i < files; i++) {
        Layout layout = layout_random(&random, false);
        g_autoptr(GBytes) bytes = layout_write(&layout, truth.snaps, truth.game->us);
        gsize size = 0;
        const uint8_t *data = g_bytes_get_data(bytes, &size);
        for (int j = 0; j < 50; j++) {
            g_autofree uint8_t *copy = g_memdup2(data, size);
            gsize length = rb_random_chance(&random, 0.2)
                               ? (gsize)rb_random_int(&random, 0, (int)size)
                               : size;
            for (int k = rb_random_int(&random, 1, 6); k > 0 && length > 0; k--) {
                copy[rb_random_int(&random, 0, (int)length - 1)] =
                    (uint8_t)rb_random_int(&random, 0, 255);
            }
            g_autoptr(GBytes) changed = g_bytes_new(copy, length);
            g_autoptr(GError) error = NULL;
            g_autoptr(RbLogReading) reading =
                read_bytes(changed, &truth, NULL, RB_YARDS_UNKNOWN, NULL, &error);
            ck_assert((reading == NULL) == (error != NULL));
            if (reading != NULL) {
                g_autofree char *rejected = rb_log_rejected_text(reading);
                ck_assert(g_utf8_validate(rejected, -1, NULL));
            }
        }
        layout_clear(&layout);
    }
    truth_clear(&truth);
}
END_TEST

START_TEST(test_log__a_sentence_fills_result_and_gain)
{
    static const struct {
        const char *text;
        RbResult result;
        RbEnding ending;
        int gain; /* 1000: not said */
    } rows[] = {
        { "Ruiz pass complete to Okafor for 12 yards.", RB_RESULT_COMPLETE,
          RB_ENDING_NONE, 12 },
        { "12 pass to 84 complete for no gain", RB_RESULT_COMPLETE, RB_ENDING_NONE, 0 },
        { "pass complete to 7 for a loss of 3 yards", RB_RESULT_COMPLETE, RB_ENDING_NONE,
          -3 },
        { "Pass incomplete, intended for 11", RB_RESULT_INCOMPLETE, RB_ENDING_NONE, 0 },
        { "12 sacked for a loss of 7 yards", RB_RESULT_SACK, RB_ENDING_NONE, -7 },
        { "12 sacked for 7 yards", RB_RESULT_SACK, RB_ENDING_NONE, -7 },
        { "22 rush for 4 yards, touchdown", RB_RESULT_RUN, RB_ENDING_TOUCHDOWN, 4 },
        { "22 runs for 6 yards loss", RB_RESULT_RUN, RB_ENDING_NONE, -6 },
        { "Pass intercepted by 21, returned for 30 yards, touchdown",
          RB_RESULT_INTERCEPTED, RB_ENDING_TOUCHDOWN_AGAINST, 1000 },
        { "22 rush for 4 yards, fumble lost", RB_RESULT_RUN, RB_ENDING_FUMBLE_LOST,
          1000 },
        { "12 scrambles for 8 yards", RB_RESULT_SCRAMBLE, RB_ENDING_NONE, 8 },
        { "12 throws the ball away", RB_RESULT_THROWN_AWAY, RB_ENDING_NONE, 0 },
        { "Punt of 41 yards", RB_RESULT_KICKED, RB_ENDING_NONE, 1000 },
        { "32 yard field goal is good", RB_RESULT_KICK_GOOD, RB_ENDING_NONE, 1000 },
        { "Field goal no good", RB_RESULT_KICK_MISSED, RB_ENDING_NONE, 1000 },
        { "Pass complete for 20 yards, penalty holding, no play", RB_RESULT_NO_PLAY,
          RB_ENDING_NONE, 1000 },
        { "Rush for 9 yards, penalty on the offense", RB_RESULT_RUN, RB_ENDING_NONE,
          1000 },
        { "Rush for 9 yards, penalty declined", RB_RESULT_RUN, RB_ENDING_NONE, 9 },
        { "Rush for 9 yards, then a lateral for 3 yards", RB_RESULT_RUN, RB_ENDING_NONE,
          1000 },
        { "The band plays", RB_RESULT_UNKNOWN, RB_ENDING_NONE, 1000 },
        /* As official descriptions are worded in general; the men are invented. */
        { "(12:34) (Shotgun) A.Ruiz pass short right to B.Okafor to WB 35 for 7 yards "
          "(C.Lund).",
          RB_RESULT_COMPLETE, RB_ENDING_NONE, 7 },
        { "A.Ruiz pass deep left to B.Okafor for 31 yards, TOUCHDOWN.",
          RB_RESULT_COMPLETE, RB_ENDING_TOUCHDOWN, 31 },
        { "(2:00) A.Ruiz pass incomplete deep middle to B.Okafor (C.Lund).",
          RB_RESULT_INCOMPLETE, RB_ENDING_NONE, 0 },
        { "A.Ruiz pass short middle intended for B.Okafor INTERCEPTED by C.Lund at WB 40. "
          "C.Lund to WB 45 for 5 yards.",
          RB_RESULT_INTERCEPTED, RB_ENDING_NONE, 1000 },
        { "A.Ruiz sacked at WB 20 for -7 yards (C.Lund).", RB_RESULT_SACK, RB_ENDING_NONE,
          -7 },
        { "D.Hale left end to WB 30 for -2 yards (C.Lund).", RB_RESULT_RUN,
          RB_ENDING_NONE, -2 },
        { "D.Hale up the middle to WB 31 for no gain (C.Lund).", RB_RESULT_RUN,
          RB_ENDING_NONE, 0 },
        { "D.Hale right tackle for 1 yard, TOUCHDOWN.", RB_RESULT_RUN,
          RB_ENDING_TOUCHDOWN, 1 },
        { "A.Ruiz scrambles right end ran ob at WB 44 for 9 yards.", RB_RESULT_SCRAMBLE,
          RB_ENDING_NONE, 9 },
        { "A.Ruiz kneels to WB 29 for \u22121 yards.", RB_RESULT_RUN, RB_ENDING_NONE,
          -1 },
        { "A.Ruiz spiked the ball to stop the clock.", RB_RESULT_INCOMPLETE,
          RB_ENDING_NONE, 0 },
        { "RUIZ, Al pass complete to OKAFOR for loss of 3 yards to the FAL22 (LUND).",
          RB_RESULT_COMPLETE, RB_ENDING_NONE, -3 },
        { "HALE, Di rush for 12 yards to the RID38, 1ST DOWN FAL (LUND).", RB_RESULT_RUN,
          RB_ENDING_NONE, 12 },
        { "RUIZ field goal attempt from 35 GOOD, clock 04:11.", RB_RESULT_KICK_GOOD,
          RB_ENDING_NONE, 1000 },
        { "RUIZ field goal attempt from 47 MISSED - wide left, spot at RID30.",
          RB_RESULT_KICK_MISSED, RB_ENDING_NONE, 1000 },
        { "E.Moss 33 yard field goal is BLOCKED (C.Lund).", RB_RESULT_KICK_MISSED,
          RB_ENDING_NONE, 1000 },
        { "MOSS kick attempt good.", RB_RESULT_KICK_GOOD, RB_ENDING_NONE, 1000 },
        { "E.Moss extra point is No Good, Hit Right Upright.", RB_RESULT_KICK_MISSED,
          RB_ENDING_NONE, 1000 },
        { "TWO-POINT CONVERSION ATTEMPT. A.Ruiz pass to B.Okafor is complete. ATTEMPT "
          "SUCCEEDS.",
          RB_RESULT_COMPLETE, RB_ENDING_NONE, 1000 },
        { "A.Ruiz pass short left to B.Okafor to WB 35 for 8 yards. PENALTY on FAL-D.Hale, "
          "Offensive Holding, 10 yards, enforced at WB 43 - No Play.",
          RB_RESULT_NO_PLAY, RB_ENDING_NONE, 1000 },
        { "PENALTY on RID-C.Lund, Defensive Pass Interference, for 15 yards.",
          RB_RESULT_UNKNOWN, RB_ENDING_NONE, 1000 },
        { "A.Ruiz pass short right to B.Okafor for 6 yards. FUMBLES (C.Lund), recovered by "
          "the defense.",
          RB_RESULT_COMPLETE, RB_ENDING_FUMBLE_LOST, 1000 },
        { "A.Ruiz sacked in the end zone for a safety.", RB_RESULT_SACK, RB_ENDING_SAFETY,
          1000 },
        { "Onside kick recovered by FAL.", RB_RESULT_KICKED, RB_ENDING_NONE, 1000 },
    };
    for (size_t i = 0; i < G_N_ELEMENTS(rows); i++) {
        RbLogSaid said;
        const bool found = rb_log_text_parse(rows[i].text, &said);
        ck_assert_msg(found == (rows[i].result != RB_RESULT_UNKNOWN), "%s", rows[i].text);
        ck_assert_msg(said.result == rows[i].result && said.ending == rows[i].ending,
                      "%s: %d %d", rows[i].text, said.result, said.ending);
        ck_assert_msg(said.has_gain == (rows[i].gain != 1000), "%s", rows[i].text);
        ck_assert_msg(!said.has_gain || said.gain == rows[i].gain, "%s: %d", rows[i].text,
                      said.gain);
    }
}
END_TEST

/* What cannot be a log is refused with a sentence that says what to do. */
START_TEST(test_log__foreign_files_are_refused)
{
    static const struct {
        const char *bytes;
        size_t n;
        const char *says;
    } rows[] = {
        { "", 0, "is no table" },
        { "PK\x03\x04zip", 7, "save it as CSV" },
        { "one line of prose", 17, "is no table" },
        { "down,distance\n", 14, "no plays under them" },
        { "a,b\n\"1,2\n3,4\n", 13, "quotation mark" },
        { "a,b\n\x81\x8d,2\n", 9, "encoding" },
    };
    for (size_t i = 0; i < G_N_ELEMENTS(rows); i++) {
        g_autoptr(GError) error = NULL;
        g_autoptr(GBytes) bytes = g_bytes_new_static(rows[i].bytes, rows[i].n);
        g_autoptr(RbLogTable) table = rb_log_table_parse(bytes, "x.csv", &error);
        ck_assert_msg(table == NULL, "row %zu", i);
        ck_assert_msg(strstr(error->message, rows[i].says) != NULL, "%s", error->message);
    }
}
END_TEST

static RbLogReading *read_text(const char *text, GError **error)
{
    RbGame *game = rb_game_new((RbGameId){ 1 }, "Game");
    game->us = (RbTeamId){ 1 };
    game->ours_only = true;
    Truth truth = { NULL, game };
    g_autoptr(GBytes) bytes = g_bytes_new_static(text, strlen(text));
    RbLogReading *reading =
        read_bytes(bytes, &truth, NULL, RB_YARDS_UNKNOWN, NULL, error);
    rb_game_free(game);
    return reading;
}

/* Each bad row says which cell is wrong, and only that row is left out. */
START_TEST(test_log__bad_rows_have_reasons)
{
    static const char text[] = "Down,Distance,Yard line,Result,Gain,Clock\n"
                               "1,10,own 25,Run,4,12:00\n"
                               "2,6,own 29,Flew,0,11:20\n"
                               "2,6,own 29,Run,2.5,11:20\n"
                               "3,6,own 61,Run,2,11:20\n"
                               "3,x,own 29,Run,2,11:20\n"
                               "3,4,own 31,Run,2,16:20\n"
                               "3,4,own 31,Run,2\n"
                               ",,,,,9:00\n"
                               "3,4,own 31,Incomplete,0,11:00\n"
                               "4,4,own 31,Kicked,,10:40\n"
                               "1,10,own 25,Run,4,9:00\n"
                               "2,6,own 29,Run,4,8:40\n"
                               "3,2,own 33,Run,4,8:20\n"
                               "1,10,own 37,Run,4,8:00\n"
                               "2,6,own 41,Run,4,7:40\n"
                               "3,2,own 45,Run,4,7:20\n"
                               "1,10,own 49,Run,4,7:00\n"
                               "2,6,opp 47,Run,4,6:40\n"
                               "3,2,opp 43,Run,4,6:20\n"
                               "1,10,opp 39,Run,4,6:00\n"
                               "2,6,opp 35,Run,4,5:40\n"
                               "3,2,opp 31,Run,4,5:20\n"
                               "1,10,opp 27,Run,4,5:00\n"
                               "2,6,opp 23,Run,4,4:40\n"
                               "3,2,opp 19,Run,4,4:20\n";
    static const struct {
        int line;
        const char *says;
    } rows[] = {
        { 3, "result \"Flew\"" },      { 4, "gain \"2.5\"" },
        { 5, "yard line \"own 61\"" }, { 6, "distance \"x\"" },
        { 7, "clock \"16:20\"" },      { 8, "5 cells" },
        { 9, "nothing of a play" },
    };
    GError *error = NULL;
    g_autoptr(RbLogReading) reading = read_text(text, &error);
    rb_assert_no_error(error);
    ck_assert_msg(reading->questions->len == 0, "%s",
                  ((const RbLogQuestion *)reading->questions->pdata[0])->sentence);
    ck_assert_int_eq(reading->bad, G_N_ELEMENTS(rows));
    size_t found = 0;
    for (guint i = 0; i < reading->rows->len; i++) {
        const RbLogRow *row = reading->rows->pdata[i];
        if (row->trouble != NULL) {
            ck_assert_int_eq(row->line, rows[found].line);
            ck_assert_msg(strstr(row->trouble, rows[found].says) != NULL, "%s",
                          row->trouble);
            found++;
        }
    }
    g_autofree char *rejected = rb_log_rejected_text(reading);
    ck_assert(g_str_has_prefix(rejected, "\"line\",\"reason\",\"Down\","));
    ck_assert(strstr(rejected, "3,\"the result \"\"Flew\"\" is not known\",\"2\"") !=
              NULL);
}
END_TEST

START_TEST(test_log__what_is_unclear_is_asked)
{
    static const struct {
        const char *text;
        const char *asks;
    } rows[] = {
        /* Two columns of one name that differ. */
        { "Down,Down,Result\n1,2,Run\n2,3,Run\n3,4,Run\n", "--map \"Down=down\"" },
        /* A name that its values deny. */
        { "Down,Gain,Result\n1,four,Run\n2,five,Run\n", "--map \"Gain=gain\"" },
        /* Painted numbers without a half. */
        { "Down,Distance,Yard line\n1,10,25\n2,6,29\n3,2,33\n", "--yard-lines" },
        /* A team that nobody knows. */
        { "Down,Distance,Yard line\n1,10,TRN 25\n2,6,TRN 29\n3,2,TRN 33\n",
          "--us \"trn\"" },
    };
    for (size_t i = 0; i < G_N_ELEMENTS(rows); i++) {
        GError *error = NULL;
        g_autoptr(RbLogReading) reading = read_text(rows[i].text, &error);
        rb_assert_no_error(error);
        ck_assert_msg(reading->questions->len > 0, "%s", rows[i].text);
        const RbLogQuestion *question = reading->questions->pdata[0];
        ck_assert_msg(strstr(question->sentence, rows[i].asks) != NULL, "%s",
                      question->sentence);
    }
}
END_TEST

START_TEST(test_log__a_table_without_heads_keeps_its_first_play)
{
    static const char text[] = "1;10;own 25;Lauf\n2;6;own 29;Lauf\n3;2;own 33;Lauf\n";
    GError *error = NULL;
    g_autoptr(RbLogReading) reading = read_text(text, &error);
    rb_assert_no_error(error);
    ck_assert_uint_eq(reading->rows->len, 3);
    const RbLogRow *row = reading->rows->pdata[0];
    ck_assert_int_eq(row->line, 1);
    ck_assert_int_eq(row->snap->situation.yards_to_goal, 75);
}
END_TEST

TCase *rb_case_log(void)
{
    TCase *tc = rb_case_new("log");
    tcase_add_test(tc, test_log__layouts_are_understood_or_asked_about);
    tcase_add_test(tc, test_log__mutated_files_do_no_harm);
    tcase_add_test(tc, test_log__a_sentence_fills_result_and_gain);
    tcase_add_test(tc, test_log__foreign_files_are_refused);
    tcase_add_test(tc, test_log__bad_rows_have_reasons);
    tcase_add_test(tc, test_log__what_is_unclear_is_asked);
    tcase_add_test(tc, test_log__a_table_without_heads_keeps_its_first_play);
    return tc;
}
