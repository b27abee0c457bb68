/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/work/many-charts.h"

#include <math.h>
#include <string.h>

#include "rb/stats/agreement.h"
#include "rb/store/snaps.h"

#include "library-private.h"

/* All charts of a game as a table: people down, snaps across. */
typedef struct {
    RbManyCharts *result;
    GPtrArray *snaps; /* owned, of RbSnap */
    GPtrArray *lists; /* owned, of GPtrArray of RbChart: keeps the charts */
    RbChart **charts; /* owned: people x snaps, borrowed charts; NULL without one */
} Table;

static void free_disagreement(void *data)
{
    RbDisagreement *one = data;
    g_array_unref(one->said);
    g_free(one);
}

static void clear_said(void *data)
{
    g_free(((RbSaid *)data)->shown);
}

static void free_habit(void *data)
{
    g_free(((RbHabit *)data)->shown);
    g_free(data);
}

void rb_many_charts_free(RbManyCharts *charts)
{
    if (charts != NULL) {
        rb_names_unref(charts->names);
        g_clear_pointer(&charts->people, g_array_unref);
        g_clear_pointer(&charts->tags, g_array_unref);
        g_clear_pointer(&charts->disagreements, g_ptr_array_unref);
        g_clear_pointer(&charts->habits, g_ptr_array_unref);
        g_free(charts);
    }
}

static int people_of(const Table *table)
{
    return (int)table->result->people->len;
}

static const RbChart *chart_of(const Table *table, int person, guint snap)
{
    return table->charts[(guint)person * table->snaps->len + snap];
}

/* What a person said, as text; NULL for nothing. Returns: (transfer full) (nullable). */
static char *said_by(const Table *table, const RbTaggable *field, int person, guint snap)
{
    const RbChart *chart = chart_of(table, person, snap);
    if (chart == NULL) {
        return NULL;
    }
    char *text =
        rb_taggable_get(field, table->result->names, table->snaps->pdata[snap], chart);
    if (*text == '\0') {
        g_clear_pointer(&text, g_free);
    }
    return text;
}

static bool load_people(Table *table, RbLibrary *library, RbGameId game,
                        const GArray *people, GError **error)
{
    const GPtrArray *staff = rb_names_people(table->result->names);
    for (guint i = 0; i < (people != NULL ? people->len : staff->len); i++) {
        const RbPersonId id = people != NULL ? g_array_index(people, RbPersonId, i)
                                             : ((const RbPerson *)staff->pdata[i])->id;
        GPtrArray *charts =
            rb_store_list_charts(rb_library_store(library), game, id, error);
        if (charts == NULL) {
            return false;
        }
        if (charts->len == 0 && people == NULL) {
            g_ptr_array_unref(charts);
            continue;
        }
        g_array_append_val(table->result->people, id);
        g_ptr_array_add(table->lists, charts);
    }
    return true;
}

static void place_charts(Table *table)
{
    g_autoptr(GHashTable) places = g_hash_table_new(g_int64_hash, g_int64_equal);
    for (guint i = 0; i < table->snaps->len; i++) {
        RbSnap *snap = table->snaps->pdata[i];
        g_hash_table_insert(places, &snap->id.value, GUINT_TO_POINTER(i + 1));
    }
    table->charts = g_new0(RbChart *, (gsize)table->snaps->len * table->lists->len + 1);
    for (guint person = 0; person < table->lists->len; person++) {
        const GPtrArray *charts = table->lists->pdata[person];
        for (guint i = 0; i < charts->len; i++) {
            RbChart *chart = charts->pdata[i];
            const guint at =
                GPOINTER_TO_UINT(g_hash_table_lookup(places, &chart->snap.value));
            if (at > 0) {
                table->charts[person * table->snaps->len + at - 1] = chart;
            }
        }
    }
}

static void add_disagreement(Table *table, const RbTaggable *field, guint at)
{
    const RbSnap *snap = table->snaps->pdata[at];
    RbDisagreement *one = g_new0(RbDisagreement, 1);
    one->snap = snap->id;
    one->number = snap->number;
    one->field = field;
    one->said = g_array_new(FALSE, FALSE, sizeof(RbSaid));
    g_array_set_clear_func(one->said, clear_said);
    for (int person = 0; person < people_of(table); person++) {
        g_autofree char *text = said_by(table, field, person, at);
        if (text != NULL) {
            const RbSaid said = {
                g_array_index(table->result->people, RbPersonId, person),
                rb_taggable_show(field, table->result->names, snap,
                                 chart_of(table, person, at)),
            };
            g_array_append_val(one->said, said);
        }
    }
    g_ptr_array_add(table->result->disagreements, one);
}

/* The values that were said, as numbers for the formula: words by their place among those seen,
 * numbers by their size. */
typedef struct {
    int *said;        /* owned: people x snaps; RB_MISSING */
    GPtrArray *texts; /* owned, of char *: by number */
    GPtrArray *shown; /* owned, of char * */
} Values;

static int place_of(Values *values, const char *text, char *shown)
{
    guint at = 0;
    if (g_ptr_array_find_with_equal_func(values->texts, text, g_str_equal, &at)) {
        g_free(shown);
        return (int)at;
    }
    g_ptr_array_add(values->texts, g_strdup(text));
    g_ptr_array_add(values->shown, shown);
    return (int)values->texts->len - 1;
}

static Values collect(const Table *table, const RbTaggable *field)
{
    const gsize n = (gsize)people_of(table) * table->snaps->len;
    Values values = { g_new(int, n + 1), g_ptr_array_new_with_free_func(g_free),
                      g_ptr_array_new_with_free_func(g_free) };
    for (int person = 0; person < people_of(table); person++) {
        for (guint i = 0; i < table->snaps->len; i++) {
            g_autofree char *text = said_by(table, field, person, i);
            values.said[(guint)person * table->snaps->len + i] =
                text == NULL ? RB_MISSING
                             : place_of(&values, text,
                                        rb_taggable_show(field, table->result->names,
                                                         table->snaps->pdata[i],
                                                         chart_of(table, person, i)));
        }
    }
    return values;
}

static void values_clear(Values *values)
{
    g_free(values->said);
    g_ptr_array_unref(values->texts);
    g_ptr_array_unref(values->shown);
}

/* How many said something of the snap; same: all of them the same. */
static int count_said(const Table *table, const Values *values, guint snap, bool *same)
{
    int n = 0;
    int first = RB_MISSING;
    *same = true;
    for (int person = 0; person < people_of(table); person++) {
        const int said = values->said[(guint)person * table->snaps->len + snap];
        if (said != RB_MISSING) {
            *same = *same && (n == 0 || said == first);
            first = n == 0 ? said : first;
            n++;
        }
    }
    return n;
}

static bool is_number(const RbTaggable *field)
{
    return field->kind == RB_VALUE_NUMBER || field->kind == RB_VALUE_TENTHS ||
           field->kind == RB_VALUE_SECONDS;
}

/* For numbers: steps of the field's own unit above its lowest value. */
static double measure_alpha(const Table *table, const RbTaggable *field,
                            const Values *values, bool *known)
{
    const gsize n = (gsize)people_of(table) * table->snaps->len;
    g_autofree int *said = g_memdup2(values->said, (n + 1) * sizeof *said);
    int n_values = (int)values->texts->len;
    double alpha = 0.0;
    const double scale = field->kind == RB_VALUE_TENTHS    ? 10.0
                         : field->kind == RB_VALUE_SECONDS ? 10.0
                                                           : 1.0;
    for (gsize i = 0; i < n && is_number(field); i++) {
        if (said[i] != RB_MISSING) {
            const double value =
                g_ascii_strtod(values->texts->pdata[values->said[i]], NULL);
            said[i] = (int)lround(value * scale);
            n_values = MAX(n_values, said[i] + 1);
        }
    }
    *known = rb_alpha(said, people_of(table), (int)table->snaps->len, n_values,
                      is_number(field) ? RB_SCALE_INTERVAL : RB_SCALE_NOMINAL, &alpha);
    return alpha;
}

static void measure(Table *table, const RbTaggable *field, const Values *values)
{
    RbTagAlpha tag = { .field = field };
    for (guint i = 0; i < table->snaps->len; i++) {
        bool same = false;
        if (count_said(table, values, i, &same) >= 2) {
            tag.snaps++;
            tag.alike += same;
        }
    }
    if (tag.snaps > 0) {
        tag.alpha = measure_alpha(table, field, values, &tag.has_alpha);
        g_array_append_val(table->result->tags, tag);
    }
}

/* What a person says against what the others say of the same snaps. */
static void find_habit(Table *table, const RbTaggable *field, const Values *values,
                       int person, int value)
{
    RbHabit habit = { .field = field };
    for (guint i = 0; i < table->snaps->len; i++) {
        const int mine = values->said[(guint)person * table->snaps->len + i];
        int others = 0;
        int same = 0;
        for (int other = 0; other < people_of(table) && mine != RB_MISSING; other++) {
            const int theirs = values->said[(guint)other * table->snaps->len + i];
            if (other != person && theirs != RB_MISSING) {
                others++;
                same += theirs == value;
            }
        }
        if (others > 0) {
            habit.snaps++;
            habit.said += mine == value;
            habit.others += (double)same / others;
        }
    }
    /* Two snaps more or less than the others is where a habit starts to be seen. */
    if (habit.snaps >= RB_HABIT_SNAPS_MIN && fabs(habit.said - habit.others) >= 2.0) {
        habit.person = g_array_index(table->result->people, RbPersonId, person);
        habit.shown = g_strdup(values->shown->pdata[value]);
        g_ptr_array_add(table->result->habits, g_memdup2(&habit, sizeof habit));
    }
}

static int compare_disagreements(const void *a, const void *b)
{
    const RbDisagreement *one = *(RbDisagreement *const *)a;
    const RbDisagreement *other = *(RbDisagreement *const *)b;
    if (one->number != other->number) {
        return one->number - other->number;
    }
    return (one->field > other->field) - (one->field < other->field);
}

static int compare_habits(const void *a, const void *b)
{
    const RbHabit *one = *(RbHabit *const *)a;
    const RbHabit *other = *(RbHabit *const *)b;
    const double x = fabs(one->said - one->others) / one->snaps;
    const double y = fabs(other->said - other->others) / other->snaps;
    return (x < y) - (x > y);
}

static void compare_field(Table *table, const RbTaggable *field)
{
    Values values = collect(table, field);
    measure(table, field, &values);
    for (guint i = 0; i < table->snaps->len; i++) {
        bool same = true;
        if (count_said(table, &values, i, &same) >= 2 && !same) {
            add_disagreement(table, field, i);
        }
    }
    for (int person = 0; person < people_of(table) && !is_number(field); person++) {
        for (int value = 0; value < (int)values.texts->len; value++) {
            find_habit(table, field, &values, person, value);
        }
    }
    values_clear(&values);
}

static void compare_all(Table *table)
{
    int n = 0;
    const RbTaggable *fields = rb_taggables(&n);
    for (int i = 0; i < n; i++) {
        if (!fields[i].is_fact && fields[i].kind != RB_VALUE_TEXT) {
            compare_field(table, &fields[i]);
        }
    }
    g_ptr_array_sort(table->result->disagreements, compare_disagreements);
    g_ptr_array_sort(table->result->habits, compare_habits);
}

RbManyCharts *rb_library_compare_people(RbLibrary *library, RbGameId game,
                                        const GArray *people, GError **error)
{
    RbManyCharts *result = g_new0(RbManyCharts, 1);
    Table table = { .result = result,
                    .lists = g_ptr_array_new_with_free_func(
                        (GDestroyNotify)g_ptr_array_unref) };
    result->people = g_array_new(FALSE, FALSE, sizeof(RbPersonId));
    result->tags = g_array_new(FALSE, FALSE, sizeof(RbTagAlpha));
    result->disagreements = g_ptr_array_new_with_free_func(free_disagreement);
    result->habits = g_ptr_array_new_with_free_func(free_habit);
    result->names = rb_library_load_names(library, error);
    table.snaps = result->names != NULL
                      ? rb_store_list_snaps(rb_library_store(library), game, error)
                      : NULL;
    const bool ok =
        table.snaps != NULL && load_people(&table, library, game, people, error);
    if (ok) {
        place_charts(&table);
        compare_all(&table);
    } else {
        g_clear_pointer(&result, rb_many_charts_free);
    }
    g_ptr_array_unref(table.lists);
    g_clear_pointer(&table.snaps, g_ptr_array_unref);
    g_free(table.charts);
    return result;
}
