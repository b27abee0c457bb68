/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/model/vocabulary.h"

#include <string.h>

RbTermId rb_term_id(RbTermKind kind, const char *token)
{
    return (RbTermId){ rb_id_from_text(
        "term", rb_words_token(&rb_term_kind_words, (int)kind), token, NULL) };
}

char *rb_term_token(const char *name)
{
    g_autofree char *composed = g_utf8_normalize(name, -1, G_NORMALIZE_DEFAULT_COMPOSE);
    g_autofree char *folded = g_utf8_casefold(composed != NULL ? composed : "", -1);
    GString *token = g_string_new(NULL);
    bool gap = false;
    for (const char *at = folded; *at != '\0'; at = g_utf8_next_char(at)) {
        const gunichar c = g_utf8_get_char(at);
        if (g_unichar_isalnum(c) || g_unichar_ismark(c)) {
            if (gap && token->len > 0) {
                g_string_append_c(token, '-');
            }
            g_string_append_unichar(token, c);
        }
        gap = !g_unichar_isalnum(c) && !g_unichar_ismark(c);
    }
    return g_string_free(token, FALSE);
}

RbTerm *rb_term_new(RbTermKind kind, const char *token, const char *name)
{
    RbTerm *term = g_new0(RbTerm, 1);
    term->id = rb_term_id(kind, token);
    term->kind = kind;
    term->token = g_strdup(token);
    term->name = g_strdup(name);
    term->deep = -1;
    return term;
}

RbTerm *rb_term_copy(const RbTerm *term)
{
    RbTerm *copy = g_memdup2(term, sizeof *term);
    copy->token = g_strdup(term->token);
    copy->name = g_strdup(term->name);
    return copy;
}

void rb_term_free(RbTerm *term)
{
    if (term == NULL) {
        return;
    }
    g_free(term->token);
    g_free(term->name);
    g_free(term);
}

typedef struct {
    RbTermKind kind;
    const char *token;
    const char *name;
    RbFamily family;
    int deep;
} Default;

/* Families and deep defenders of coverages: common practice, no source. */
static const Default defaults[] = {
    { RB_TERM_COVERAGE, "cover-0", "Cover 0", RB_FAMILY_MAN, 0 },
    { RB_TERM_COVERAGE, "cover-1", "Cover 1", RB_FAMILY_MAN, 1 },
    { RB_TERM_COVERAGE, "cover-1-robber", "Cover 1 robber", RB_FAMILY_MAN, 1 },
    { RB_TERM_COVERAGE, "cover-2", "Cover 2", RB_FAMILY_ZONE, 2 },
    { RB_TERM_COVERAGE, "two-man", "Two-man", RB_FAMILY_MAN, 2 },
    { RB_TERM_COVERAGE, "tampa-2", "Tampa 2", RB_FAMILY_ZONE, 2 },
    { RB_TERM_COVERAGE, "cover-3", "Cover 3", RB_FAMILY_ZONE, 3 },
    { RB_TERM_COVERAGE, "cover-3-cloud", "Cover 3 cloud", RB_FAMILY_ZONE, 3 },
    { RB_TERM_COVERAGE, "quarters", "Quarters", RB_FAMILY_MATCH, 4 },
    { RB_TERM_COVERAGE, "two-read", "Two-read", RB_FAMILY_MATCH, 2 },
    { RB_TERM_COVERAGE, "quarter-quarter-half", "Quarter-quarter-half", RB_FAMILY_ZONE,
      3 },
    { RB_TERM_COVERAGE, "fire-zone", "Fire zone", RB_FAMILY_ZONE, 3 },
    { RB_TERM_COVERAGE, "drop-eight", "Drop eight", RB_FAMILY_ZONE, -1 },
    { RB_TERM_COVERAGE, "goal-line-man", "Goal-line man", RB_FAMILY_MAN, 0 },
    { RB_TERM_COVERAGE, "other", "Other", RB_FAMILY_UNKNOWN, -1 },

    { RB_TERM_FORMATION, "2x2", "2x2", 0, -1 },
    { RB_TERM_FORMATION, "3x1", "3x1", 0, -1 },
    { RB_TERM_FORMATION, "1x3", "1x3", 0, -1 },
    { RB_TERM_FORMATION, "2x1", "2x1", 0, -1 },
    { RB_TERM_FORMATION, "1x2", "1x2", 0, -1 },
    { RB_TERM_FORMATION, "empty-3x2", "Empty 3x2", 0, -1 },
    { RB_TERM_FORMATION, "empty-2x3", "Empty 2x3", 0, -1 },
    { RB_TERM_FORMATION, "bunch-right", "Bunch right", 0, -1 },
    { RB_TERM_FORMATION, "bunch-left", "Bunch left", 0, -1 },
    { RB_TERM_FORMATION, "stack", "Stack", 0, -1 },
    { RB_TERM_FORMATION, "condensed", "Condensed", 0, -1 },
    { RB_TERM_FORMATION, "other", "Other", 0, -1 },

    { RB_TERM_PERSONNEL, "10", "10", 0, -1 },
    { RB_TERM_PERSONNEL, "11", "11", 0, -1 },
    { RB_TERM_PERSONNEL, "12", "12", 0, -1 },
    { RB_TERM_PERSONNEL, "13", "13", 0, -1 },
    { RB_TERM_PERSONNEL, "20", "20", 0, -1 },
    { RB_TERM_PERSONNEL, "21", "21", 0, -1 },
    { RB_TERM_PERSONNEL, "22", "22", 0, -1 },
    { RB_TERM_PERSONNEL, "00", "00", 0, -1 },

    { RB_TERM_MOTION, "none", "No motion", 0, -1 },
    { RB_TERM_MOTION, "jet", "Jet", 0, -1 },
    { RB_TERM_MOTION, "orbit", "Orbit", 0, -1 },
    { RB_TERM_MOTION, "short-in", "Short, toward the ball", 0, -1 },
    { RB_TERM_MOTION, "short-out", "Short, out", 0, -1 },
    { RB_TERM_MOTION, "across", "Across", 0, -1 },
    { RB_TERM_MOTION, "back-out", "Back out", 0, -1 },
    { RB_TERM_MOTION, "shift", "Shift", 0, -1 },

    { RB_TERM_ADJUSTMENT, "route-signal", "Route signal", 0, -1 },
    { RB_TERM_ADJUSTMENT, "protection-change", "Protection change", 0, -1 },
    { RB_TERM_ADJUSTMENT, "new-play", "New play at the line", 0, -1 },
    { RB_TERM_ADJUSTMENT, "flip", "Flip the call", 0, -1 },

    { RB_TERM_PROTECTION, "five-man", "Five-man", 0, -1 },
    { RB_TERM_PROTECTION, "six-man", "Six-man", 0, -1 },
    { RB_TERM_PROTECTION, "seven-man", "Seven-man", 0, -1 },
    { RB_TERM_PROTECTION, "man", "Man", 0, -1 },
    { RB_TERM_PROTECTION, "slide-left", "Slide left", 0, -1 },
    { RB_TERM_PROTECTION, "slide-right", "Slide right", 0, -1 },
    { RB_TERM_PROTECTION, "half-slide", "Half slide", 0, -1 },

    { RB_TERM_FOUL, "false-start", "False start", 0, -1 },
    { RB_TERM_FOUL, "offside", "Offside", 0, -1 },
    { RB_TERM_FOUL, "holding", "Holding", 0, -1 },
    { RB_TERM_FOUL, "pass-interference", "Pass interference", 0, -1 },
    { RB_TERM_FOUL, "delay-of-game", "Delay of game", 0, -1 },
    { RB_TERM_FOUL, "illegal-formation", "Illegal formation", 0, -1 },
    { RB_TERM_FOUL, "illegal-motion", "Illegal motion", 0, -1 },
    { RB_TERM_FOUL, "illegal-substitution", "Illegal substitution", 0, -1 },
    { RB_TERM_FOUL, "ineligible-downfield", "Ineligible man downfield", 0, -1 },
    { RB_TERM_FOUL, "intentional-grounding", "Intentional grounding", 0, -1 },
    { RB_TERM_FOUL, "illegal-block", "Illegal block", 0, -1 },
    { RB_TERM_FOUL, "illegal-contact", "Illegal contact", 0, -1 },
    { RB_TERM_FOUL, "face-mask", "Face mask", 0, -1 },
    { RB_TERM_FOUL, "roughing-the-passer", "Roughing the passer", 0, -1 },
    { RB_TERM_FOUL, "roughing-the-kicker", "Roughing the kicker", 0, -1 },
    { RB_TERM_FOUL, "personal-foul", "Personal foul", 0, -1 },
    { RB_TERM_FOUL, "unsportsmanlike", "Unsportsmanlike conduct", 0, -1 },
    { RB_TERM_FOUL, "other", "Other", 0, -1 },
};

static void free_term(void *term)
{
    rb_term_free(term);
}

GPtrArray *rb_vocabulary_defaults(void)
{
    GPtrArray *terms = g_ptr_array_new_with_free_func(free_term);
    int sort = 0;
    for (size_t i = 0; i < G_N_ELEMENTS(defaults); i++) {
        const Default *row = &defaults[i];
        if (i > 0 && row->kind != defaults[i - 1].kind) {
            sort = 0;
        }
        RbTerm *term = rb_term_new(row->kind, row->token, row->name);
        term->family = row->family;
        term->deep = row->deep;
        term->sort = ++sort;
        g_ptr_array_add(terms, term);
    }
    return terms;
}

const RbTerm *rb_vocabulary_find(const GPtrArray *terms, RbTermId id)
{
    for (guint i = 0; i < terms->len; i++) {
        const RbTerm *term = g_ptr_array_index(terms, i);
        if (term->id.value == id.value) {
            return term;
        }
    }
    return NULL;
}

static bool name_equal(const char *a, const char *b)
{
    g_autofree char *folded_a = g_utf8_casefold(a, -1);
    g_autofree char *folded_b = g_utf8_casefold(b, -1);
    return strcmp(folded_a, folded_b) == 0;
}

const RbTerm *rb_vocabulary_find_text(const GPtrArray *terms, RbTermKind kind,
                                      const char *text)
{
    const RbTerm *by_name = NULL;
    for (guint i = 0; i < terms->len; i++) {
        const RbTerm *term = g_ptr_array_index(terms, i);
        if (term->kind != kind) {
            continue;
        }
        if (name_equal(term->token, text)) {
            return term;
        }
        if (by_name == NULL && name_equal(term->name, text)) {
            by_name = term;
        }
    }
    return by_name;
}

const char *rb_vocabulary_name(const GPtrArray *terms, RbTermId id)
{
    const RbTerm *term = rb_vocabulary_find(terms, id);
    return term != NULL ? term->name : "?";
}
