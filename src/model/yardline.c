/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/model/yardline.h"

#include <string.h>

#include "rb/base/error.h"

char *rb_yardline_text(int yards_to_goal)
{
    g_assert(yards_to_goal >= 1 && yards_to_goal <= 99);
    if (yards_to_goal == 50) {
        return g_strdup("50");
    }
    if (yards_to_goal > 50) {
        return g_strdup_printf("own %d", 100 - yards_to_goal);
    }
    return g_strdup_printf("opp %d", yards_to_goal);
}

typedef enum { HALF_NONE, HALF_OWN, HALF_OPPONENT, HALF_BAD } Half;

static Half half_from_word(const char *word)
{
    static const struct {
        const char *word;
        Half half;
    } rows[] = {
        { "", HALF_NONE },      { "own", HALF_OWN },      { "o", HALF_OWN },
        { "-", HALF_OWN },      { "opp", HALF_OPPONENT }, { "opponent", HALF_OPPONENT },
        { "+", HALF_OPPONENT },
    };
    for (size_t i = 0; i < G_N_ELEMENTS(rows); i++) {
        if (strcmp(word, rows[i].word) == 0) {
            return rows[i].half;
        }
    }
    return HALF_BAD;
}

/* The text in lower case without any white space. */
static char *squeeze(const char *text)
{
    GString *out = g_string_new(NULL);
    for (; *text != '\0'; text++) {
        if (!g_ascii_isspace(*text)) {
            g_string_append_c(out, g_ascii_tolower(*text));
        }
    }
    return g_string_free(out, FALSE);
}

static bool refuse(const char *text, GError **error)
{
    /* Only so much of it that the sentence stays readable. */
    g_autofree char *valid = g_utf8_make_valid(text, (gssize)strnlen(text, 40));
    return rb_error_set(error, RB_BASE_ERROR, RB_BASE_ERROR_FAILED,
                        "\"%s\" is not a yard line; write one like \"own 25\", "
                        "\"opp 40\" or \"50\".",
                        valid);
}

bool rb_yardline_parse(const char *text, int *yards_to_goal, GError **error)
{
    g_autofree char *squeezed = squeeze(text);
    const size_t letters = strcspn(squeezed, "0123456789");
    g_autofree char *word = g_strndup(squeezed, letters);
    const Half half = half_from_word(word);
    gint64 line = 0;
    if (half == HALF_BAD || squeezed[letters] == '\0' || strlen(squeezed + letters) > 2 ||
        !g_ascii_string_to_signed(squeezed + letters, 10, 1, 50, &line, NULL)) {
        return refuse(text, error);
    }
    if (half == HALF_NONE && line != 50) {
        return rb_error_set(error, RB_BASE_ERROR, RB_BASE_ERROR_FAILED,
                            "The yard line %d does not say which half; write \"own %d\" "
                            "or \"opp %d\".",
                            (int)line, (int)line, (int)line);
    }
    *yards_to_goal = half == HALF_OWN ? 100 - (int)line : (int)line;
    return true;
}
