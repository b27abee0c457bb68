/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/work/playbook-edit.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "rb/base/error.h"
#include "rb/base/told.h"
#include "rb/book/check.h"
#include "rb/book/playbook.h"
#include "rb/store/store.h"
#include "rb/work/error.h"

#include "library-private.h"

static const RbClock first_clock = { .kind = RB_CLOCK_FOOTWORK,
                                     .backfield = RB_BACKFIELD_GUN,
                                     .steps = 3,
                                     .tolerance_ms = 250 };

static const RbConcept *find_named(const RbNames *names, const char *name)
{
    const GPtrArray *concepts = rb_names_concepts(names);
    g_autofree char *wanted = g_utf8_casefold(name, -1);
    for (guint i = 0; i < concepts->len; i++) {
        const RbConcept *concept = concepts->pdata[i];
        g_autofree char *have = g_utf8_casefold(concept->name, -1);
        if (strcmp(have, wanted) == 0) {
            return concept;
        }
    }
    return NULL;
}

static bool has_token(const RbNames *names, const char *token)
{
    const GPtrArray *concepts = rb_names_concepts(names);
    for (guint i = 0; i < concepts->len; i++) {
        if (strcmp(((const RbConcept *)concepts->pdata[i])->token, token) == 0) {
            return true;
        }
    }
    return false;
}

/* Letters and digits, the rest as single hyphens. Returns: (transfer full). */
static char *slug(const char *name)
{
    g_autofree char *ascii = g_str_to_ascii(name, "C");
    g_autoptr(GString) token = g_string_new(NULL);
    for (const char *c = ascii; *c != '\0' && token->len < RB_BOOK_TOKEN_MAX - 8; c++) {
        if (g_ascii_isalnum(*c)) {
            g_string_append_c(token, g_ascii_tolower(*c));
        } else if (token->len > 0 && token->str[token->len - 1] != '-') {
            g_string_append_c(token, '-');
        }
    }
    while (token->len > 0 && token->str[token->len - 1] == '-') {
        g_string_truncate(token, token->len - 1);
    }
    return g_strdup(token->len > 0 ? token->str : "concept");
}

static char *free_token(const RbNames *names, const char *name)
{
    g_autofree char *base = slug(name);
    char *token = g_strdup(base);
    for (int i = 2; has_token(names, token); i++) {
        g_free(token);
        token = g_strdup_printf("%s-%d", base, i);
    }
    return token;
}

static bool check_name(const RbNames *names, const char *name, GError **error)
{
    if (name[0] == '\0') {
        return rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE,
                            _("A concept needs a name: type one."));
    }
    if (strlen(name) > RB_BOOK_NAME_MAX || !g_utf8_validate(name, -1, NULL)) {
        return rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE,
                            _("The name is too long: %d letters are room enough."),
                            RB_BOOK_NAME_MAX / 4);
    }
    const RbConcept *other = find_named(names, name);
    if (other != NULL) {
        return rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE,
                            other->hidden
                                ? _("There is a concept %s already, hidden: give another "
                                    "name.")
                                : _("There is a concept %s already: give another name."),
                            other->name);
    }
    return true;
}

RbConcept *rb_concept_start(const RbNames *names, const char *name, GError **error)
{
    g_autofree char *clean = g_strstrip(g_strdup(name));
    if (!check_name(names, clean, error)) {
        return NULL;
    }
    g_autofree char *token = free_token(names, clean);
    RbConcept *concept = rb_concept_new(token, clean);
    RbRead *read = rb_read_new(1, RB_ROUTE_HITCH);
    read->runner = RB_RUNNER_1;
    read->clock = first_clock;
    g_ptr_array_add(concept->reads, read);
    return concept;
}

RbConcept *rb_concept_twin(const RbNames *names, const RbConcept *concept)
{
    char *name = NULL;
    for (int i = 2; name == NULL || find_named(names, name) != NULL; i++) {
        g_free(name);
        name = g_strdup_printf("%s %d", concept->name, i);
    }
    RbConcept *twin = rb_concept_copy(concept);
    g_free(twin->name);
    g_free(twin->token);
    twin->name = name;
    twin->token = free_token(names, name);
    twin->id.value = rb_id_from_text("concept", twin->token, NULL);
    twin->revision = (RbRevisionId){ 0 };
    twin->hidden = false;
    return twin;
}

static RbRead *read_at(const RbConcept *concept, guint i)
{
    return concept->reads->pdata[i];
}

static bool find_place(const RbConcept *concept, int number, guint *place)
{
    for (guint i = 0; i < concept->reads->len; i++) {
        if (read_at(concept, i)->number == number) {
            *place = i;
            return true;
        }
    }
    return false;
}

static int free_number(const RbConcept *concept)
{
    for (int number = 1; number <= RB_READS_MAX; number++) {
        if (rb_concept_find_read(concept, number) == NULL) {
            return number;
        }
    }
    return 0;
}

static bool is_run_by(const RbConcept *concept, RbRunner runner)
{
    for (guint i = 0; i < concept->reads->len; i++) {
        if (read_at(concept, i)->runner == runner) {
            return true;
        }
    }
    return false;
}

int rb_concept_add_read(RbConcept *concept)
{
    const int number = free_number(concept);
    if (number == 0) {
        return 0;
    }
    guint place = concept->reads->len;
    while (place > 0 && read_at(concept, place - 1)->outlet) {
        place--;
    }
    RbRead *read = rb_read_new(number, RB_ROUTE_HITCH);
    read->runner = RB_RUNNER_1;
    while (read->runner < RB_RUNNER_4 && is_run_by(concept, read->runner)) {
        read->runner++;
    }
    read->clock = place > 0 ? read_at(concept, place - 1)->clock : first_clock;
    if (place > 0 && read->clock.kind == RB_CLOCK_FOOTWORK && read->clock.hitches < 8) {
        read->clock.hitches++;
    }
    g_ptr_array_insert(concept->reads, (int)place, read);
    return number;
}

static bool move_item(GPtrArray *items, guint from, int by)
{
    const int to = (int)from + by;
    if (from >= items->len || to < 0 || to >= (int)items->len || by == 0) {
        return false;
    }
    void *item = g_ptr_array_steal_index(items, from);
    g_ptr_array_insert(items, to, item);
    return true;
}

bool rb_concept_move_read(RbConcept *concept, int number, int by)
{
    guint place = 0;
    return find_place(concept, number, &place) && move_item(concept->reads, place, by);
}

int rb_concept_remove_read(RbConcept *concept, int number)
{
    guint place = 0;
    if (concept->reads->len < 2 || !find_place(concept, number, &place)) {
        return -1;
    }
    g_ptr_array_remove_index(concept->reads, place);
    int gone = 0;
    for (guint i = concept->rules->len; i > 0; i--) {
        if (((const RbRule *)concept->rules->pdata[i - 1])->read == number) {
            g_ptr_array_remove_index(concept->rules, i - 1);
            gone++;
        }
    }
    return gone;
}

bool rb_concept_move_rule(RbConcept *concept, int index, int by)
{
    return index >= 0 && move_item(concept->rules, (guint)index, by);
}

static bool same_text(const char *a, const char *b)
{
    return g_strcmp0(a, b) == 0;
}

static bool same_clock(const RbClock *a, const RbClock *b)
{
    return a->kind == b->kind && a->ms == b->ms && a->drop == b->drop &&
           a->fake == b->fake && a->backfield == b->backfield && a->steps == b->steps &&
           a->hitches == b->hitches && a->tolerance_ms == b->tolerance_ms;
}

static bool same_points(const RbRead *a, const RbRead *b)
{
    bool same = a->n_points == b->n_points;
    for (int i = 0; same && i < a->n_points; i++) {
        same = a->points[i].deep_tenths == b->points[i].deep_tenths &&
               a->points[i].out_tenths == b->points[i].out_tenths;
    }
    return same;
}

static bool same_landmark(const RbRead *a, const RbRead *b)
{
    return same_text(a->landmark, b->landmark) && a->landmark_from == b->landmark_from &&
           a->landmark_tenths == b->landmark_tenths;
}

static bool same_read(const RbRead *a, const RbRead *b)
{
    return a->route == b->route && a->runner == b->runner && a->side == b->side &&
           a->depth_yd == b->depth_yd && same_landmark(a, b) && same_points(a, b) &&
           same_text(a->key, b->key) && a->clear_out == b->clear_out &&
           a->outlet == b->outlet && same_clock(&a->clock, &b->clock);
}

/* told: taken. */
static void note(GString *text, char *told)
{
    rb_told_list(text, told);
    g_free(told);
}

static void note_reads(GString *text, const RbConcept *old, const RbConcept *new)
{
    bool same_reads = old->reads->len == new->reads->len;
    bool same_order = true;
    for (guint i = 0; i < old->reads->len; i++) {
        if (rb_concept_find_read(new, read_at(old, i)->number) == NULL) {
            note(text, rb_told("read %d removed", read_at(old, i)->number));
            same_reads = false;
        }
    }
    for (guint i = 0; i < new->reads->len; i++) {
        const RbRead *read = read_at(new, i);
        const RbRead *before = rb_concept_find_read(old, read->number);
        if (before == NULL) {
            note(text, rb_told("read %d added", read->number));
            same_reads = false;
        } else if (!same_read(before, read)) {
            note(text, rb_told("read %d changed", read->number));
        }
        same_order =
            same_order && i < old->reads->len && read_at(old, i)->number == read->number;
    }
    if (same_reads && !same_order) {
        note(text, rb_told("reads in another order"));
    }
}

static char *rule_key(const RbRule *rule, const GPtrArray *terms)
{
    g_autofree char *sentence = rb_book_rule_text(rule, terms);
    return g_strconcat(rule->name, "\n", sentence, NULL);
}

static void note_rules(GString *text, const RbConcept *old, const RbConcept *new,
                       const GPtrArray *terms)
{
    const guint before = old->rules->len;
    const guint after = new->rules->len;
    if (before != after) {
        note(text, after > before ? rb_told("a rule added") : rb_told("a rule removed"));
        return;
    }
    int different = 0;
    guint where = 0;
    for (guint i = 0; i < after; i++) {
        g_autofree char *a = rule_key(old->rules->pdata[i], terms);
        g_autofree char *b = rule_key(new->rules->pdata[i], terms);
        if (!same_text(a, b)) {
            different++;
            where = i;
        }
    }
    if (different == 1) {
        note(text, rb_told("rule %u changed", where + 1));
    } else if (different > 1) {
        note(text, rb_told("rules in another order"));
    }
}

static bool same_picks(const RbConcept *a, const RbConcept *b)
{
    if (a->picks->len != b->picks->len) {
        return false;
    }
    for (guint i = 0; i < a->picks->len; i++) {
        const RbPick *x = &g_array_index(a->picks, RbPick, i);
        const RbPick *y = &g_array_index(b->picks, RbPick, i);
        if (x->kind != y->kind || x->cushion_tenths != y->cushion_tenths) {
            return false;
        }
    }
    return true;
}

/* What is different, told; NULL: nothing. */
static char *tell_change(const RbConcept *old, const RbConcept *new,
                         const GPtrArray *terms)
{
    if (old == NULL) {
        return rb_told("%s added to the playbook", new->name);
    }
    g_autoptr(GString) text = g_string_new(NULL);
    if (!same_text(old->name, new->name)) {
        note(text, rb_told("the name was %s", old->name));
    }
    if (old->hidden != new->hidden) {
        note(text,
             new->hidden ? rb_told_in("concept", "hidden") : rb_told("shown again"));
    }
    if (old->full_field != new->full_field) {
        note(text,
             new->full_field ? rb_told("reads both sides") : rb_told("reads one side"));
    }
    note_reads(text, old, new);
    note_rules(text, old, new, terms);
    if (!same_picks(old, new)) {
        note(text, rb_told("another way to pick the side"));
    }
    if (!same_text(old->notes, new->notes)) {
        note(text, rb_told("notes changed"));
    }
    return text->len > 0 ? rb_told("%s: %s", new->name, text->str) : NULL;
}

char *rb_concept_change_text(const RbConcept *old, const RbConcept *new,
                             const GPtrArray *terms)
{
    g_autofree char *told = tell_change(old, new, terms);
    return told != NULL ? rb_told_show(told) : NULL;
}

static bool check(const RbConcept *concept, const RbNames *names, GError **error)
{
    g_autoptr(GPtrArray) findings =
        rb_book_check(concept, rb_names_terms(names), rb_names_footwork(names));
    const RbBookFinding *first = findings->len > 0 ? findings->pdata[0] : NULL;
    if (first != NULL && first->is_error) {
        return rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE,
                            _("%s is not saved. %s"), concept->name, first->sentence);
    }
    return true;
}

bool rb_library_put_concept(RbLibrary *library, const RbConcept *concept, char **words,
                            GError **error)
{
    g_autoptr(RbNames) names = rb_library_load_names(library, error);
    if (names == NULL || !check(concept, names, error)) {
        return false;
    }
    const RbConcept *old = rb_names_find_concept(names, concept->id);
    g_autofree char *text = tell_change(old, concept, rb_names_terms(names));
    if (text != NULL) {
        if (!rb_library_begin(library, text, error)) {
            return false;
        }
        if (!rb_library_save_concept(rb_library_store(library), concept,
                                     rb_names_terms(names), error)) {
            rb_library_rollback(library);
            return false;
        }
        if (!rb_library_commit(library, true, error)) {
            return false;
        }
    }
    if (words != NULL) {
        *words = text != NULL ? rb_told_show(text) : NULL;
    }
    return true;
}
