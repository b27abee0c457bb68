/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/work/filter-text.h"
#include "rb/work/json.h"
#include "rb/work/quarterback.h"

static json_t *ids(const GArray *snaps)
{
    json_t *array = json_array();
    for (guint i = 0; i < snaps->len; i++) {
        json_array_append_new(array, rb_json_id(g_array_index(snaps, RbSnapId, i).value));
    }
    return array;
}

static void set_rate(json_t *object, const RbRate *rate)
{
    json_object_set_new(object, "judged", json_integer(rate->judged));
    json_object_set_new(object, "right", json_integer(rate->right));
    json_object_set_new(object, "low", json_real(rate->low));
    json_object_set_new(object, "high", json_real(rate->high));
}

static json_t *verdicts(const RbQuarterback *quarterback)
{
    json_t *object = json_object();
    for (int i = 0; i < RB_VERDICTS; i++) {
        json_object_set_new(object, rb_words_token(&rb_verdict_words, i),
                            json_integer(quarterback->verdicts[i]));
    }
    return object;
}

static json_t *throws(const RbQuarterback *quarterback)
{
    json_t *array = json_array();
    for (guint i = 0; i < quarterback->throws->len; i++) {
        const RbThrowTime *time = quarterback->throws->pdata[i];
        json_array_append_new(
            array,
            json_pack("{s:o, s:i, s:s, s:i, s:i, s:i, s:b}", "snap",
                      rb_json_id(time->snap.value), "read", time->read, "route",
                      rb_words_token(&rb_route_words, (int)time->route), "release_ms",
                      time->release_ms, "due_ms", time->due_ms, "tolerance_ms",
                      time->tolerance_ms, "late", (int)time->late));
    }
    return array;
}

static json_t *games(const RbQuarterback *quarterback)
{
    json_t *array = json_array();
    for (guint i = 0; i < quarterback->games->len; i++) {
        const RbGameRate *game = quarterback->games->pdata[i];
        json_t *object =
            json_pack("{s:o, s:o, s:o}", "game", rb_json_id(game->game.value), "title",
                      rb_json_text(game->title), "date", rb_json_text(game->date));
        set_rate(object, &game->rate);
        json_array_append_new(array, object);
    }
    return array;
}

static json_t *habits(const RbQuarterback *quarterback)
{
    json_t *array = json_array();
    for (guint i = 0; i < quarterback->habits->len; i++) {
        const RbHabit *habit = quarterback->habits->pdata[i];
        json_array_append_new(
            array,
            json_pack("{s:s, s:s, s:i, s:s, s:s, s:i, s:i, s:f, s:o}", "sentence",
                      habit->sentence, "verdict",
                      rb_words_token(&rb_verdict_words, (int)habit->verdict), "read",
                      habit->read, "shell",
                      rb_words_token(&rb_shell_words, (int)habit->shell), "technique",
                      rb_words_token(&rb_technique_words, (int)habit->technique), "times",
                      habit->times, "of", habit->of, "cost", habit->cost, "snaps",
                      ids(habit->snaps)));
    }
    return array;
}

static json_t *groups(const RbSelection *selection)
{
    json_t *object = json_object();
    for (int i = 0; i < RB_QUARTERBACK_FIELDS; i++) {
        const RbField field = rb_quarterback_fields[i];
        g_autoptr(GPtrArray) found = rb_quarterback_groups(selection, field);
        json_t *array = json_array();
        for (guint j = 0; j < found->len; j++) {
            const RbDecisionGroup *group = found->pdata[j];
            json_t *one = json_pack("{s:o}", "value", rb_json_text(group->label));
            set_rate(one, &group->rate);
            json_array_append_new(array, one);
        }
        json_object_set_new(object, rb_words_token(&rb_field_words, (int)field), array);
    }
    return object;
}

static json_t *passing(const RbPassing *passing)
{
    json_t *object = json_pack("{s:i, s:i, s:i, s:i, s:i}", "attempts", passing->attempts,
                               "completions", passing->completions, "yards",
                               passing->yards, "touchdowns", passing->touchdowns,
                               "interceptions", passing->interceptions);
    double rating = 0.0;
    json_object_set_new(object, "rating_pro",
                        rb_passer_rating_pro(passing, &rating) ? json_real(rating)
                                                               : json_null());
    json_object_set_new(object, "rating_college",
                        rb_passer_rating_college(passing, &rating) ? json_real(rating)
                                                                   : json_null());
    return object;
}

json_t *rb_json_quarterback(const RbSelection *selection)
{
    g_autoptr(RbQuarterback) quarterback = rb_quarterback_new(selection);
    const RbNames *names = rb_snapshot_get_names(rb_selection_get_snapshot(selection));
    g_autofree char *filter = rb_filter_text(names, rb_selection_get_filter(selection));
    json_t *root = json_pack("{s:o, s:i}", "filter", rb_json_text(filter), "dropbacks",
                             quarterback->dropbacks);
    set_rate(root, &quarterback->rate);
    json_object_set_new(root, "verdicts", verdicts(quarterback));
    json_object_set_new(
        root, "decisions",
        json_pack("{s:i, s:i, s:i, s:i}", "right_good",
                  (int)quarterback->decisions[RB_DECISION_RIGHT_GOOD]->len, "right_bad",
                  (int)quarterback->decisions[RB_DECISION_RIGHT_BAD]->len, "wrong_good",
                  (int)quarterback->decisions[RB_DECISION_WRONG_GOOD]->len, "wrong_bad",
                  (int)quarterback->decisions[RB_DECISION_WRONG_BAD]->len));
    json_object_set_new(root, "throws", throws(quarterback));
    json_object_set_new(root, "games", games(quarterback));
    json_object_set_new(root, "habits", habits(quarterback));
    json_object_set_new(root, "groups", groups(selection));
    json_object_set_new(root, "passing", passing(&quarterback->passing));
    return root;
}
