/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a tag can be: the answers to offer. */
#include "config.h"

#include <glib/gi18n-lib.h>

#include "taggable-private.h"

void rb_answer_free(RbAnswer *answer)
{
    if (answer != NULL) {
        g_free(answer->token);
        g_free(answer->label);
        g_free(answer);
    }
}

static void add_answer(GPtrArray *answers, const char *token, const char *label)
{
    RbAnswer *answer = g_new0(RbAnswer, 1);
    answer->token = g_strdup(token);
    answer->label = g_strdup(label);
    g_ptr_array_add(answers, answer);
}

static void add_players(GPtrArray *answers, const RbNames *names, RbTeamId team)
{
    const GPtrArray *players = rb_names_players(names);
    for (guint i = 0; i < players->len; i++) {
        const RbPlayer *player = players->pdata[i];
        if (player->team.value == team.value) {
            g_autofree char *token = rb_taggable_player_token(names, player);
            g_autofree char *label = rb_names_player_text(names, player->id);
            add_answer(answers, token, label);
        }
    }
}

static void add_teams(GPtrArray *answers, const RbNames *names, const RbSnap *snap)
{
    const RbGame *game = rb_names_find_game(names, snap->game);
    const RbTeamId both[] = { game != NULL ? game->us : (RbTeamId){ 0 },
                              game != NULL ? game->them : (RbTeamId){ 0 } };
    for (size_t i = 0; i < G_N_ELEMENTS(both); i++) {
        const RbTeam *team = rb_names_find_team(names, both[i]);
        if (team != NULL) {
            add_answer(answers, team->name, team->name);
        }
    }
}

static void add_balls(GPtrArray *answers)
{
    for (int i = 1; i <= RB_READS_MAX; i++) {
        g_autofree char *token = g_strdup_printf("read-%d", i);
        g_autofree char *label = g_strdup_printf(_("Read %d"), i);
        add_answer(answers, token, label);
    }
    for (int i = RB_BALL_READ + 1; i < rb_ball_words.n; i++) {
        add_answer(answers, rb_words_token(&rb_ball_words, i),
                   rb_words_label(&rb_ball_words, i));
    }
}

GPtrArray *rb_taggable_answers(const RbTaggable *field, const RbNames *names,
                               const RbSnap *snap)
{
    GPtrArray *answers = g_ptr_array_new_with_free_func((GDestroyNotify)rb_answer_free);
    const GPtrArray *terms = rb_names_terms(names);
    const GPtrArray *concepts = rb_names_concepts(names);
    switch (field->kind) {
    case RB_VALUE_WORD:
        for (int i = field->always ? 0 : 1; i < field->words->n; i++) {
            add_answer(answers, rb_words_token(field->words, i),
                       rb_words_label(field->words, i));
        }
        break;
    case RB_VALUE_TERM:
        for (guint i = 0; i < terms->len; i++) {
            const RbTerm *term = terms->pdata[i];
            if (term->kind == field->terms && !term->hidden) {
                add_answer(answers, term->token, term->name);
            }
        }
        break;
    case RB_VALUE_CONCEPT:
        for (guint i = 0; i < concepts->len; i++) {
            const RbConcept *concept = concepts->pdata[i];
            if (!concept->hidden) {
                add_answer(answers, concept->token, concept->name);
            }
        }
        break;
    case RB_VALUE_PLAYER:
        add_players(answers, names, rb_taggable_offense(names, snap));
        break;
    case RB_VALUE_TEAM:
        add_teams(answers, names, snap);
        break;
    case RB_VALUE_BALL:
        add_balls(answers);
        break;
    case RB_VALUE_NUMBER:
    case RB_VALUE_GAIN:
    case RB_VALUE_TENTHS:
    case RB_VALUE_SECONDS:
    case RB_VALUE_CLOCK:
    case RB_VALUE_YARDLINE:
    case RB_VALUE_OWN_TAGS:
    case RB_VALUE_TEXT:
        break;
    }
    return answers;
}
