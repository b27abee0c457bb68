/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/model/yardline.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "rb/base/error.h"
#include "rb/base/told.h"

char *rb_yardline_token(int yards_to_goal)
{
    g_assert(yards_to_goal >= 1 && yards_to_goal <= 99);
    if (yards_to_goal == 50) {
        return g_strdup("50");
    }
    return yards_to_goal > 50 ? g_strdup_printf("own %d", 100 - yards_to_goal)
                              : g_strdup_printf("opp %d", yards_to_goal);
}

char *rb_yardline_tell(int yards_to_goal)
{
    g_assert(yards_to_goal >= 1 && yards_to_goal <= 99);
    if (yards_to_goal == 50) {
        return g_strdup("50");
    }
    return yards_to_goal > 50 ? rb_told_in("yard line", "own %d", 100 - yards_to_goal)
                              : rb_told_in("yard line", "opp %d", yards_to_goal);
}

char *rb_yardline_label(int yards_to_goal)
{
    g_autofree char *told = rb_yardline_tell(yards_to_goal);
    return rb_told_show(told);
}

typedef enum { HALF_NONE, HALF_OWN, HALF_OPPONENT, HALF_BAD } Half;

/* words: apart by spaces. word: folded. */
static bool is_among(const char *words, const char *word)
{
    g_auto(GStrv) all = g_strsplit(words, " ", -1);
    for (int i = 0; all[i] != NULL; i++) {
        g_autofree char *folded = g_utf8_casefold(all[i], -1);
        if (*folded != '\0' && strcmp(folded, word) == 0) {
            return true;
        }
    }
    return false;
}

/* The words of every language, then those of the reader's. */
static Half half_from_word(const char *word)
{
    if (*word == '\0') {
        return HALF_NONE;
    }
    if (is_among("own o -", word)) {
        return HALF_OWN;
    }
    if (is_among("opp opponent +", word)) {
        return HALF_OPPONENT;
    }
    /* Translators: what people type before the number of a yard line, each of them one word. */
    if (is_among(C_("own half, apart by spaces", "own o"), word)) {
        return HALF_OWN;
    }
    return is_among(C_("opponent's half, apart by spaces", "opp opponent"), word)
               ? HALF_OPPONENT
               : HALF_BAD;
}

/* The text folded, without any white space. Returns: (transfer full). */
static char *squeeze(const char *text)
{
    g_autofree char *valid = g_utf8_make_valid(text, -1);
    g_autofree char *folded = g_utf8_casefold(valid, -1);
    GString *out = g_string_new(NULL);
    for (const char *c = folded; *c != '\0'; c++) {
        if (!g_ascii_isspace(*c)) {
            g_string_append_c(out, *c);
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
