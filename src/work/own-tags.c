/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "own-tags.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "rb/base/error.h"
#include "rb/work/error.h"

#define NAME_MAX_BYTES 120

/* One piece of the text: '+' puts the tag on, '-' takes it off, 0: it is one of the whole. */
typedef struct {
    char sign;
    const char *name;
} Piece;

/* piece: changed. */
static Piece read_piece(char *piece)
{
    char *name = g_strstrip(piece);
    const char sign = *name == '+' || *name == '-' ? *name : '\0';
    return (Piece){ sign, sign != '\0' ? g_strchug(name + 1) : name };
}

static const RbTerm *find(const RbNames *names, const char *name)
{
    const RbTerm *term =
        rb_vocabulary_find_text(rb_names_terms(names), RB_TERM_OWN_TAG, name);
    g_autofree char *token = rb_term_token(name);
    return term != NULL ? term
                        : rb_names_find_term(names, rb_term_id(RB_TERM_OWN_TAG, token));
}

char *rb_own_tags_text(const RbNames *names, const RbSnap *snap, bool people)
{
    GString *text = g_string_new(NULL);
    const GPtrArray *terms = rb_names_terms(names);
    for (guint i = 0; i < terms->len; i++) {
        const RbTerm *term = terms->pdata[i];
        if (term->kind == RB_TERM_OWN_TAG && rb_snap_has_tag(snap, term->id)) {
            g_string_append_printf(text, "%s%s", text->len > 0 ? ", " : "",
                                   people ? term->name : term->token);
        }
    }
    return g_string_free(text, FALSE);
}

static bool check_piece(const Piece *piece, bool any_sign, bool all_signs, GError **error)
{
    g_autofree char *token =
        g_utf8_validate(piece->name, -1, NULL) ? rb_term_token(piece->name) : NULL;
    if (token == NULL || *token == '\0' || strlen(piece->name) > NAME_MAX_BYTES ||
        strpbrk(piece->name, ";=#") != NULL) {
        return rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE,
                            _("\"%s\" cannot be a tag: give a short name of letters and "
                              "digits, with commas between several."),
                            token != NULL ? piece->name : "?");
    }
    return any_sign == all_signs ||
           rb_error_set(
               error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE,
               _("Give either all tags of the snap (\"trick play, two-minute\") or "
                 "changes (\"+trick play, -two-minute\"), not both."));
}

static bool check(char *const *pieces, bool *changes, GError **error)
{
    bool any_sign = false;
    bool all_signs = true;
    for (char *const *at = pieces; *at != NULL; at++) {
        g_autofree char *copy = g_strdup(*at);
        const Piece piece = read_piece(copy);
        any_sign = any_sign || piece.sign != '\0';
        all_signs = all_signs && piece.sign != '\0';
    }
    for (char *const *at = pieces; *at != NULL; at++) {
        g_autofree char *copy = g_strdup(*at);
        const Piece piece = read_piece(copy);
        if (!check_piece(&piece, any_sign, all_signs, error)) {
            return false;
        }
    }
    *changes = any_sign;
    return true;
}

static RbTermId id_of(const RbNames *names, const char *name)
{
    const RbTerm *term = find(names, name);
    g_autofree char *token = rb_term_token(name);
    return term != NULL ? term->id : rb_term_id(RB_TERM_OWN_TAG, token);
}

bool rb_own_tags_set(const RbNames *names, RbSnap *snap, const char *text, GError **error)
{
    g_auto(GStrv) pieces = g_strsplit(text, ",", -1);
    bool changes = false;
    if (!check(pieces, &changes, error)) {
        return false;
    }
    if (!changes) {
        g_array_set_size(snap->own_tags, 0);
    }
    for (char **at = pieces; *at != NULL; at++) {
        const Piece piece = read_piece(*at);
        rb_snap_set_tag(snap, id_of(names, piece.name), piece.sign != '-');
    }
    return true;
}

static void free_term(void *term)
{
    rb_term_free(term);
}

GPtrArray *rb_own_tags_new(const RbNames *names, const char *text)
{
    GPtrArray *terms = g_ptr_array_new_with_free_func(free_term);
    g_auto(GStrv) pieces = g_strsplit(text, ",", -1);
    for (char **at = pieces; *at != NULL; at++) {
        const Piece piece = read_piece(*at);
        if (!g_utf8_validate(piece.name, -1, NULL) || piece.sign == '-' ||
            find(names, piece.name) != NULL) {
            continue;
        }
        g_autofree char *token = rb_term_token(piece.name);
        RbTerm *term = rb_term_new(RB_TERM_OWN_TAG, token, piece.name);
        if (*token == '\0' || rb_vocabulary_find(terms, term->id) != NULL) {
            rb_term_free(term);
        } else {
            g_ptr_array_add(terms, term);
        }
    }
    return terms;
}
