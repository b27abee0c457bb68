/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where a tag lies in a snap or chart, and what of it more than one file needs. */
#include <string.h>

#include "taggable-private.h"

int *rb_taggable_number(const RbTaggable *field, const RbSnap *snap, const RbChart *chart)
{
    char *base = field->is_fact ? (char *)snap : (char *)chart;
    return (int *)(void *)(base + field->offset);
}

int64_t *rb_taggable_id(const RbTaggable *field, const RbSnap *snap, const RbChart *chart)
{
    char *base = field->is_fact ? (char *)snap : (char *)chart;
    return (int64_t *)(void *)(base + field->offset);
}

char **rb_taggable_string(const RbTaggable *field, const RbSnap *snap,
                          const RbChart *chart)
{
    char *base = field->is_fact ? (char *)snap : (char *)chart;
    return (char **)(void *)(base + field->offset);
}

bool rb_taggable_is_unknown(const RbTaggable *field, const RbSnap *snap,
                            const RbChart *chart)
{
    switch (field->kind) {
    case RB_VALUE_TERM:
    case RB_VALUE_CONCEPT:
    case RB_VALUE_PLAYER:
    case RB_VALUE_TEAM:
        return *rb_taggable_id(field, snap, chart) == 0;
    case RB_VALUE_TEXT: {
        const char *text = *rb_taggable_string(field, snap, chart);
        return text == NULL || *text == '\0';
    }
    case RB_VALUE_OWN_TAGS:
        return snap->own_tags->len == 0;
    case RB_VALUE_GAIN:
        return snap->has_gain != RB_YES;
    case RB_VALUE_WORD:
    case RB_VALUE_BALL:
        return !field->always && *rb_taggable_number(field, snap, chart) == 0;
    case RB_VALUE_NUMBER:
    case RB_VALUE_TENTHS:
    case RB_VALUE_SECONDS:
    case RB_VALUE_CLOCK:
    case RB_VALUE_YARDLINE:
        break;
    }
    return *rb_taggable_number(field, snap, chart) == field->unknown;
}

RbTeamId rb_taggable_offense(const RbNames *names, const RbSnap *snap)
{
    const RbGame *game = rb_names_find_game(names, snap->game);
    if (snap->situation.offense.value == 0 && game != NULL) {
        return game->us;
    }
    return snap->situation.offense;
}

char *rb_taggable_player_token(const RbNames *names, const RbPlayer *player)
{
    const GPtrArray *players = rb_names_players(names);
    for (guint i = 0; i < players->len; i++) {
        const RbPlayer *other = players->pdata[i];
        if (other != player && other->team.value == player->team.value &&
            strcmp(other->jersey, player->jersey) == 0) {
            return g_strdup_printf("%" G_GINT64_FORMAT, player->id.value);
        }
    }
    return g_strdup(player->jersey);
}

char *rb_decimal_text(int value, int places)
{
    int unit = 1;
    for (int i = 0; i < places; i++) {
        unit *= 10;
    }
    char *text = g_strdup_printf("%d.%0*d", value / unit, places, value % unit);
    char *end = text + strlen(text) - 1;
    while (*end == '0') {
        *end-- = '\0';
    }
    if (*end == '.') {
        *end = '\0';
    }
    return text;
}
