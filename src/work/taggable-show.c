/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A tag as text, for people and for rb_taggable_set(). */
#include "config.h"

#include "rb/base/told.h"
#include "rb/model/yardline.h"

#include "own-tags.h"
#include "taggable-private.h"

/* Tokens (or, for people, labels) of the kinds that hold an id. What is for people is told text here
 * (rb/base/told.h). */
static char *id_text(const RbTaggable *field, const RbNames *names, int64_t id,
                     bool people)
{
    if (field->kind == RB_VALUE_TERM) {
        const RbTermId term = { id };
        return g_strdup(people ? rb_names_term(names, term)
                               : rb_names_term_token(names, term));
    }
    if (field->kind == RB_VALUE_CONCEPT) {
        const RbConceptId concept = { id };
        return g_strdup(people ? rb_names_concept(names, concept)
                               : rb_names_concept_token(names, concept));
    }
    if (field->kind == RB_VALUE_TEAM) {
        const RbTeam *team = rb_names_find_team(names, (RbTeamId){ id });
        return g_strdup(team != NULL ? team->name : "?");
    }
    const RbPlayer *player = rb_names_find_player(names, (RbPlayerId){ id });
    if (player == NULL || people) {
        return rb_names_player_text(names, (RbPlayerId){ id });
    }
    return rb_taggable_player_token(names, player);
}

static char *ball_text(const RbChart *chart, bool people)
{
    if (chart->ball == RB_BALL_READ && chart->ball_read > 0) {
        return people ? rb_told("Read %d", chart->ball_read)
                      : g_strdup_printf("read-%d", chart->ball_read);
    }
    return people ? rb_words_tell(&rb_ball_words, (int)chart->ball)
                  : g_strdup(rb_words_token(&rb_ball_words, (int)chart->ball));
}

/* A known value, without its unit. */
static char *value_text(const RbTaggable *field, const RbNames *names, const RbSnap *snap,
                        const RbChart *chart, bool people)
{
    switch (field->kind) {
    case RB_VALUE_TERM:
    case RB_VALUE_CONCEPT:
    case RB_VALUE_PLAYER:
    case RB_VALUE_TEAM:
        return id_text(field, names, *rb_taggable_id(field, snap, chart), people);
    case RB_VALUE_TEXT:
        return g_strdup(*rb_taggable_string(field, snap, chart));
    case RB_VALUE_BALL:
        return ball_text(chart, people);
    case RB_VALUE_OWN_TAGS:
        return rb_own_tags_text(names, snap, people);
    case RB_VALUE_WORD:
    case RB_VALUE_NUMBER:
    case RB_VALUE_GAIN:
    case RB_VALUE_TENTHS:
    case RB_VALUE_SECONDS:
    case RB_VALUE_CLOCK:
    case RB_VALUE_YARDLINE:
        break;
    }
    const int number = *rb_taggable_number(field, snap, chart);
    if (field->kind == RB_VALUE_WORD) {
        return people ? rb_words_tell(field->words, number)
                      : g_strdup(rb_words_token(field->words, number));
    }
    if (field->kind == RB_VALUE_TENTHS) {
        return rb_decimal_text(number, 1);
    }
    if (field->kind == RB_VALUE_SECONDS) {
        return rb_decimal_text(number, 3);
    }
    if (field->kind == RB_VALUE_CLOCK) {
        return g_strdup_printf("%d:%02d", number / 60, number % 60);
    }
    if (field->kind == RB_VALUE_YARDLINE) {
        return people ? rb_yardline_tell(number) : rb_yardline_token(number);
    }
    return g_strdup_printf("%d", number);
}

char *rb_taggable_get(const RbTaggable *field, const RbNames *names, const RbSnap *snap,
                      const RbChart *chart)
{
    return rb_taggable_is_unknown(field, snap, chart)
               ? g_strdup("")
               : value_text(field, names, snap, chart, false);
}

char *rb_taggable_typed(const RbTaggable *field, const RbNames *names, const RbSnap *snap,
                        const RbChart *chart)
{
    const bool in_words = field->kind == RB_VALUE_YARDLINE;
    g_autofree char *told = rb_taggable_is_unknown(field, snap, chart)
                                ? g_strdup("")
                                : value_text(field, names, snap, chart, in_words);
    return rb_told_show(told);
}

char *rb_taggable_tell(const RbTaggable *field, const RbNames *names, const RbSnap *snap,
                       const RbChart *chart)
{
    if (rb_taggable_is_unknown(field, snap, chart)) {
        return rb_told("unknown");
    }
    g_autofree char *text = value_text(field, names, snap, chart, true);
    if (field->kind == RB_VALUE_TENTHS) {
        return rb_told("%s yd", text);
    }
    if (field->kind == RB_VALUE_SECONDS) {
        return rb_told("%s s", text);
    }
    return g_steal_pointer(&text);
}

char *rb_taggable_show(const RbTaggable *field, const RbNames *names, const RbSnap *snap,
                       const RbChart *chart)
{
    g_autofree char *told = rb_taggable_tell(field, names, snap, chart);
    return rb_told_show(told);
}

char *rb_taggable_tell_label(const RbTaggable *field)
{
    g_autofree char *label = rb_told_word(field->label);
    return rb_told_lower(label);
}
