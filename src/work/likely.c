/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/work/likely.h"

#include <math.h>
#include <string.h>

/* Circumstances besides the fields themselves. */
enum { DOWN_DISTANCE, ZONE, LAST_CONCEPT, LAST_COVERAGE, LAST_SHELL, DERIVED };
enum { FIELDS_MAX = 80, COLUMNS = FIELDS_MAX + DERIVED };

/* One charted snap: a code for every field's value, 0 where it is unknown. */
typedef struct {
    int64_t snap;
    guint codes[COLUMNS];
} Example;

struct RbLikely {
    GHashTable *codes; /* owned: text to code, 1 and up */
    GPtrArray *texts;  /* owned: text by code - 1 */
    GArray *examples;  /* owned, of Example: the oldest first */
};

static const double prior_count = 0.5;
static const double m_estimate = 2.0;

RbLikely *rb_likely_new(void)
{
    RbLikely *likely = g_new0(RbLikely, 1);
    likely->codes = g_hash_table_new(g_str_hash, g_str_equal);
    likely->texts = g_ptr_array_new_with_free_func(g_free);
    likely->examples = g_array_new(FALSE, FALSE, sizeof(Example));
    return likely;
}

void rb_likely_free(RbLikely *likely)
{
    if (likely != NULL) {
        g_hash_table_unref(likely->codes);
        g_ptr_array_unref(likely->texts);
        g_array_unref(likely->examples);
        g_free(likely);
    }
}

int rb_likely_count(const RbLikely *likely)
{
    return (int)likely->examples->len;
}

static guint find_code(const RbLikely *likely, const char *text)
{
    return GPOINTER_TO_UINT(g_hash_table_lookup(likely->codes, text));
}

/* The code of a text, new if need be; 0 for the empty one. */
static guint code_of(RbLikely *likely, const char *text)
{
    guint code = *text != '\0' ? find_code(likely, text) : 0;
    if (code == 0 && *text != '\0') {
        char *copy = g_strdup(text);
        g_ptr_array_add(likely->texts, copy);
        code = likely->texts->len;
        g_hash_table_insert(likely->codes, copy, GUINT_TO_POINTER(code));
    }
    return code;
}

/* Bands a coach speaks in: common practice, no source. */
static const char *distance_band(int distance)
{
    return distance <= 0    ? ""
           : distance <= 2  ? "1"
           : distance <= 6  ? "3"
           : distance <= 10 ? "7"
                            : "11";
}

static const char *zone_of(int yards_to_goal)
{
    return yards_to_goal <= 0    ? ""
           : yards_to_goal <= 3  ? "goal"
           : yards_to_goal <= 10 ? "ten"
           : yards_to_goal <= 20 ? "twenty"
           : yards_to_goal < 90  ? "field"
                                 : "backed up";
}

/* Text of a column; empty when unknown. Returns: (transfer full). */
static char *column_text(int column, const RbNames *names, const RbSnap *snap,
                         const RbChart *chart, const RbChart *before)
{
    const RbSituation *now = &snap->situation;
    if (column < FIELDS_MAX) {
        int n = 0;
        const RbTaggable *fields = rb_taggables(&n);
        const bool counts = column < n && fields[column].kind != RB_VALUE_TEXT &&
                            fields[column].kind != RB_VALUE_OWN_TAGS;
        return counts ? rb_taggable_get(&fields[column], names, snap, chart)
                      : g_strdup("");
    }
    switch (column - FIELDS_MAX) {
    case DOWN_DISTANCE:
        return now->down > 0
                   ? g_strdup_printf("%d & %s", now->down, distance_band(now->distance))
                   : g_strdup("");
    case ZONE:
        return g_strdup(zone_of(now->yards_to_goal));
    case LAST_CONCEPT:
        return g_strdup(before != NULL ? rb_names_concept_token(names, before->call.first)
                                       : "");
    case LAST_COVERAGE:
        return g_strdup(
            before != NULL ? rb_names_term_token(names, before->played.coverage) : "");
    case LAST_SHELL:
        return g_strdup(before != NULL
                            ? rb_words_token(&rb_shell_words, (int)before->shown.shell)
                            : "");
    default:
        g_assert_not_reached();
    }
}

static int example_of(const RbLikely *likely, RbSnapId snap)
{
    for (guint i = 0; i < likely->examples->len; i++) {
        if (g_array_index(likely->examples, Example, i).snap == snap.value) {
            return (int)i;
        }
    }
    return -1;
}

void rb_likely_learn(RbLikely *likely, const RbNames *names, const RbSnap *snap,
                     const RbChart *chart, const RbChart *before)
{
    Example example = { .snap = snap->id.value };
    for (int column = 0; column < COLUMNS; column++) {
        g_autofree char *text = column_text(column, names, snap, chart, before);
        example.codes[column] = code_of(likely, text);
    }
    const int old = example_of(likely, snap->id);
    if (old >= 0) {
        g_array_index(likely->examples, Example, old) = example;
        return;
    }
    if (likely->examples->len >= RB_LIKELY_MAX) {
        g_array_remove_index(likely->examples, 0);
    }
    g_array_append_val(likely->examples, example);
}

/* Which circumstances tell of a field. */
typedef struct {
    const char *field;
    const char *by[10]; /* fields; ":n" a derived column */
} Source;

/* clang-format off */
static const Source sources[] = {
    { "concept",         { ":situation", ":zone", "formation", "personnel", "strong", "play", "motion", ":last concept" } },
    { "side-worked",     { "hash", "concept", "left-technique", "right-technique", "rotation-shown", "shell" } },
    { "shell",           { ":situation", ":zone", ":last shell", ":last coverage", "formation" } },
    { "rotation-shown",  { "shell" } },
    { "left-technique",  { "shell", "right-technique", ":zone", ":situation" } },
    { "right-technique", { "shell", "left-technique", ":zone", ":situation" } },
    { "left-cushion",    { "left-technique" } },
    { "right-cushion",   { "right-technique" } },
    { "left-split",      { "formation", "right-split" } },
    { "right-split",     { "formation", "left-split" } },
    { "left-leverage",   { "left-technique", "shell" } },
    { "right-leverage",  { "right-technique", "shell" } },
    { "adjusted",        { "concept", "shell", "left-technique", "right-technique" } },
    { "adjustment",      { "concept" } },
    { "coverage",        { "shell", "left-technique", "right-technique", "left-leverage", "right-leverage", ":situation", ":zone", ":last coverage", "concept" } },
    { "rotation-played", { "coverage", "shell", "rotation-shown" } },
    { "left-technique-played",  { "left-technique", "coverage" } },
    { "right-technique-played", { "right-technique", "coverage" } },
    { "safety-left",     { "coverage" } },
    { "safety-right",    { "coverage" } },
    { "rushers",         { "coverage" } },
    { "unblocked",       { "rushers", "coverage" } },
    { "unblocked-side",  { "rushers" } },
    { "ball",            { "concept", "coverage", "result", "side-worked", "unblocked", "read-1", "read-2", "read-3", "pressure", "intended" } },
    { "pressure",        { "result", "rushers", "unblocked", "ball", "coverage", "contact" } },
    { "throw",           { "result", "ball", "pressure", "contact" } },
    { "catch",           { "result", "throw", "ball" } },
    { "contact",         { "ball", "pressure", "result" } },
    { "fault",           { "ball", "result" } },
    { "movement",        { "ball", "pressure", "result" } },
    { "play",            { ":situation", ":zone", "formation" } },
    { "formation",       { ":situation", ":zone", "personnel" } },
    { "personnel",       { ":situation", ":zone" } },
};
/* clang-format on */

static int column_of(const char *name)
{
    static const char *const derived[DERIVED] = { ":situation", ":zone", ":last concept",
                                                  ":last coverage", ":last shell" };
    int n = 0;
    const RbTaggable *fields = rb_taggables(&n);
    for (int i = 0; *name == ':' && i < DERIVED; i++) {
        if (strcmp(derived[i], name) == 0) {
            return FIELDS_MAX + i;
        }
    }
    for (int i = 0; i < n && i < FIELDS_MAX; i++) {
        if (strcmp(fields[i].token, name) == 0) {
            return i;
        }
    }
    g_assert_not_reached();
}

static const char *const *circumstances_of(const RbTaggable *field)
{
    static const char *const of_looks[] = { "concept", "coverage", "ball", "result",
                                            NULL };
    static const char *const none[] = { NULL };
    for (size_t i = 0; i < G_N_ELEMENTS(sources); i++) {
        if (strcmp(sources[i].field, field->token) == 0) {
            return sources[i].by;
        }
    }
    return field->slot != 0 ? of_looks : none;
}

/* A circumstance that holds now. */
typedef struct {
    int column;
    guint code; /* G_MAXUINT: a value never met */
} Holds;

typedef struct {
    int asked[RB_LIKELY_FIELDS_MAX]; /* columns */
    int n_asked;
    Holds holds[RB_LIKELY_FIELDS_MAX * 10];
    int n_holds;
} Inquiry;

static bool is_in(const Inquiry *inquiry, int column)
{
    for (int i = 0; i < inquiry->n_asked; i++) {
        if (inquiry->asked[i] == column) {
            return true;
        }
    }
    for (int i = 0; i < inquiry->n_holds; i++) {
        if (inquiry->holds[i].column == column) {
            return true;
        }
    }
    return false;
}

static void find_circumstances(const RbLikely *likely, const RbNames *names,
                               const RbSnap *snap, const RbChart *chart,
                               const RbChart *before, const RbLikelyFields *asked,
                               Inquiry *inquiry)
{
    for (int i = 0; i < asked->n; i++) {
        inquiry->asked[inquiry->n_asked++] = column_of(asked->fields[i]->token);
    }
    for (int i = 0; i < asked->n; i++) {
        const char *const *by = circumstances_of(asked->fields[i]);
        for (int k = 0; k < 10 && by[k] != NULL; k++) {
            const int column = column_of(by[k]);
            g_autofree char *text = column_text(column, names, snap, chart, before);
            if (*text != '\0' && !is_in(inquiry, column)) {
                const guint code = find_code(likely, text);
                inquiry->holds[inquiry->n_holds++] =
                    (Holds){ column, code != 0 ? code : G_MAXUINT };
            }
        }
    }
}

/* Counts of one combination. */
typedef struct {
    guint codes[RB_LIKELY_FIELDS_MAX];
    int n;
    int with[RB_LIKELY_FIELDS_MAX * 10]; /* circumstance i held as well */
    int of[RB_LIKELY_FIELDS_MAX * 10];   /* circumstance i was known */
} Tally;

static Tally *tally_of(GArray *tallies, const Inquiry *inquiry, const Example *example)
{
    Tally fresh = { 0 };
    for (int i = 0; i < inquiry->n_asked; i++) {
        fresh.codes[i] = example->codes[inquiry->asked[i]];
        if (fresh.codes[i] == 0) {
            return NULL;
        }
    }
    for (guint i = 0; i < tallies->len; i++) {
        Tally *tally = &g_array_index(tallies, Tally, i);
        if (memcmp(tally->codes, fresh.codes, sizeof fresh.codes) == 0) {
            return tally;
        }
    }
    g_array_append_val(tallies, fresh);
    return &g_array_index(tallies, Tally, tallies->len - 1);
}

/* Counts every example but the snap's own. all: the same over all combinations. */
static GArray *count(const RbLikely *likely, const Inquiry *inquiry, RbSnapId own,
                     Tally *all)
{
    GArray *tallies = g_array_new(FALSE, FALSE, sizeof(Tally));
    for (guint i = 0; i < likely->examples->len; i++) {
        const Example *example = &g_array_index(likely->examples, Example, i);
        Tally *tally =
            example->snap != own.value ? tally_of(tallies, inquiry, example) : NULL;
        if (tally == NULL) {
            continue;
        }
        tally->n++;
        all->n++;
        for (int k = 0; k < inquiry->n_holds; k++) {
            const guint code = example->codes[inquiry->holds[k].column];
            const bool held = code == inquiry->holds[k].code;
            tally->of[k] += code != 0;
            all->of[k] += code != 0;
            tally->with[k] += held;
            all->with[k] += held;
        }
    }
    return tallies;
}

static double log_score(const Tally *tally, const Tally *all, int n_holds, guint n_values)
{
    double score = log((tally->n + prior_count) / (all->n + prior_count * n_values));
    for (int k = 0; k < n_holds; k++) {
        const double overall = (all->with[k] + 1.0) / (all->of[k] + 2.0);
        score +=
            log((tally->with[k] + m_estimate * overall) / (tally->of[k] + m_estimate));
    }
    return score;
}

void rb_likely_value_free(RbLikelyValue *value)
{
    if (value != NULL) {
        for (int i = 0; i < RB_LIKELY_FIELDS_MAX; i++) {
            g_free(value->values[i]);
        }
        g_free(value);
    }
}

static void free_value(void *value)
{
    rb_likely_value_free(value);
}

static int compare_shares(const void *a, const void *b)
{
    const RbLikelyValue *x = *(RbLikelyValue *const *)a;
    const RbLikelyValue *y = *(RbLikelyValue *const *)b;
    return x->share != y->share ? (x->share < y->share ? 1 : -1)
                                : strcmp(x->values[0], y->values[0]);
}

static GPtrArray *to_values(const RbLikely *likely, const GArray *tallies,
                            const Tally *all, const Inquiry *inquiry)
{
    GPtrArray *values = g_ptr_array_new_with_free_func(free_value);
    double sum = 0.0;
    double best = -INFINITY;
    for (guint i = 0; i < tallies->len; i++) {
        const Tally *tally = &g_array_index(tallies, Tally, i);
        RbLikelyValue *value = g_new0(RbLikelyValue, 1);
        for (int k = 0; k < inquiry->n_asked; k++) {
            value->values[k] = g_strdup(likely->texts->pdata[tally->codes[k] - 1]);
        }
        value->share = log_score(tally, all, inquiry->n_holds, tallies->len);
        best = MAX(best, value->share);
        g_ptr_array_add(values, value);
    }
    for (guint i = 0; i < values->len; i++) {
        RbLikelyValue *value = values->pdata[i];
        value->share = exp(value->share - best);
        sum += value->share;
    }
    for (guint i = 0; i < values->len; i++) {
        ((RbLikelyValue *)values->pdata[i])->share /= sum;
    }
    g_ptr_array_sort(values, compare_shares);
    return values;
}

GPtrArray *rb_likely_rank(const RbLikely *likely, const RbNames *names,
                          const RbSnap *snap, const RbChart *chart, const RbChart *before,
                          const RbLikelyFields *asked)
{
    Inquiry inquiry = { 0 };
    Tally all = { 0 };
    find_circumstances(likely, names, snap, chart, before, asked, &inquiry);
    g_autoptr(GArray) tallies = count(likely, &inquiry, snap->id, &all);
    return to_values(likely, tallies, &all, &inquiry);
}
