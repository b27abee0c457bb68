/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "terms.h"

#include <glib/gi18n-lib.h>

char *rb_book_term_print(RbTermId id, RbTermKind kind, const GPtrArray *terms)
{
    const RbTerm *term = rb_vocabulary_find(terms, id);
    if (term != NULL && term->kind == kind && term->token[0] != '#') {
        return g_strdup(term->token);
    }
    return g_strdup_printf("#%" G_GINT64_FORMAT, id.value);
}

static const RbTerm *find_token(const GPtrArray *terms, RbTermKind kind,
                                const char *token)
{
    for (guint i = 0; i < terms->len; i++) {
        const RbTerm *term = g_ptr_array_index(terms, i);
        if (term->kind == kind && g_strcmp0(term->token, token) == 0) {
            return term;
        }
    }
    return NULL;
}

static char *known_tokens(const GPtrArray *terms, RbTermKind kind)
{
    g_autoptr(GString) text = g_string_new(NULL);
    for (guint i = 0; i < terms->len; i++) {
        const RbTerm *term = g_ptr_array_index(terms, i);
        if (term->kind == kind) {
            g_string_append_printf(text, "%s%s", text->len > 0 ? ", " : "", term->token);
        }
    }
    return g_strdup(text->len > 0 ? text->str : _("none yet"));
}

bool rb_book_term_parse(const RbNode *node, RbTermKind kind, const GPtrArray *terms,
                        RbTermId *id, GError **error)
{
    const char *token = json_string_value(node->json);
    const char *what = rb_words_token(&rb_term_kind_words, (int)kind);
    if (token == NULL) {
        return rb_node_refuse(node, error, "The %s must be a text.", what);
    }
    if (token[0] == '#' && rb_id_parse(token + 1, &id->value)) {
        return true;
    }
    const RbTerm *term = find_token(terms, kind, token);
    if (term == NULL) {
        g_autofree char *known = known_tokens(terms, kind);
        return rb_node_refuse(node, error,
                              "The vocabulary has no %s \"%s\"; add it there, or use one "
                              "of: %s.",
                              what, token, known);
    }
    *id = term->id;
    return true;
}

/* clang-format off */
static const RbConditionForm forms[] = {
    [RB_IF_SHELL] = { RB_FORM_WORD, false, .words = &rb_shell_words },
    [RB_IF_COVERAGE] = { RB_FORM_TERM, false, .term = RB_TERM_COVERAGE },
    [RB_IF_FAMILY] = { RB_FORM_WORD, false, .words = &rb_family_words },
    [RB_IF_TECHNIQUE] = { RB_FORM_WORD, true, .words = &rb_technique_words },
    [RB_IF_CUSHION_AT_MOST] = { RB_FORM_NUMBER, true, .low = 0, .high = 500 },
    [RB_IF_CUSHION_AT_LEAST] = { RB_FORM_NUMBER, true, .low = 0, .high = 500 },
    [RB_IF_SPLIT_AT_MOST] = { RB_FORM_NUMBER, true, .low = 0, .high = 500 },
    [RB_IF_SPLIT_AT_LEAST] = { RB_FORM_NUMBER, true, .low = 0, .high = 500 },
    [RB_IF_LEVERAGE] = { RB_FORM_WORD, true, .words = &rb_leverage_words },
    [RB_IF_SAFETY_OVER] = { RB_FORM_WORD, true, .words = &rb_yes_no_words },
    [RB_IF_ROTATION] = { RB_FORM_FLAG, true, .yes = "toward", .no = "away" },
    [RB_IF_RUSHERS_AT_LEAST] = { RB_FORM_NUMBER, false, .low = 0, .high = 11 },
    [RB_IF_UNBLOCKED] = { RB_FORM_NONE, true, NULL },
    [RB_IF_HASH] = { RB_FORM_WORD, false, .words = &rb_hash_words },
    [RB_IF_FIELD_SIDE] = { RB_FORM_FLAG, true, .yes = "field", .no = "boundary" },
    [RB_IF_DOWN] = { RB_FORM_NUMBER, false, .low = 1, .high = 4 },
    [RB_IF_DISTANCE_AT_MOST] = { RB_FORM_NUMBER, false, .low = 1, .high = 99 },
    [RB_IF_DISTANCE_AT_LEAST] = { RB_FORM_NUMBER, false, .low = 1, .high = 99 },
    [RB_IF_WIDTH] = { RB_FORM_WORD, false, .words = &rb_width_words },
    [RB_IF_FORMATION] = { RB_FORM_TERM, false, .term = RB_TERM_FORMATION },
    [RB_IF_STRONG_SIDE] = { RB_FORM_FLAG, true, .yes = "strong", .no = "weak" },
};
/* clang-format on */

const RbConditionForm *rb_book_condition_form(RbConditionKind kind)
{
    g_assert((size_t)kind < G_N_ELEMENTS(forms));
    return &forms[kind];
}
