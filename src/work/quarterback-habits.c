/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>

#include "rb/stats/intervals.h"

#include "quarterback-private.h"

/* How narrowly a habit is told: by shell and corner, by one of them, by neither. */
typedef struct {
    bool shell;
    bool technique;
} Grain;

static const Grain grains[] = {
    { true, true }, { true, false }, { false, true }, { false, false }
};

/* One decision with what a habit is told by. */
typedef struct {
    const RbDropback *row; /* borrowed */
    RbShell shell;
    RbTechnique technique;
} Decision;

static int value_or_zero(const RbSnapshot *snapshot, RbSnapId snap, RbField field)
{
    int64_t value = 0;
    return rb_snapshot_value(snapshot, snap, field, &value) ? (int)value : 0;
}

static GArray *judged_decisions(const RbSnapshot *snapshot, const GArray *rows)
{
    GArray *decisions = g_array_new(FALSE, FALSE, sizeof(Decision));
    for (guint i = 0; i < rows->len; i++) {
        const RbDropback *row = &g_array_index(rows, RbDropback, i);
        if (rb_verdict_is_judged(row->verdict)) {
            const Decision decision = {
                .row = row,
                .shell = (RbShell)value_or_zero(snapshot, row->snap, RB_FIELD_SHELL),
                .technique =
                    (RbTechnique)value_or_zero(snapshot, row->snap, RB_FIELD_TECHNIQUE),
            };
            g_array_append_val(decisions, decision);
        }
    }
    return decisions;
}

/* What went wrong before the snap is not a matter of one read. */
static bool is_of_read(RbVerdict verdict)
{
    return verdict != RB_VERDICT_MISSED_ADJUSTMENT && verdict != RB_VERDICT_WRONG_SIDE &&
           verdict != RB_VERDICT_MISSED_HOT;
}

static bool is_wrong(RbVerdict verdict)
{
    return rb_verdict_is_judged(verdict) && !rb_verdict_is_right(verdict) &&
           verdict != RB_VERDICT_NO_TIME; /* not his doing */
}

/* Whether a decision met the same question as the habit: same right read, same picture. */
static bool is_occasion(const RbHabit *habit, const Decision *decision)
{
    return (!is_of_read(habit->verdict) || decision->row->right_read == habit->read) &&
           (habit->shell == RB_SHELL_UNKNOWN || decision->shell == habit->shell) &&
           (habit->technique == RB_TECHNIQUE_UNKNOWN ||
            decision->technique == habit->technique);
}

/* What a right decision earns on average; 0 when none has points. */
static double right_points(const GArray *decisions)
{
    double sum = 0.0;
    int n = 0;
    for (guint i = 0; i < decisions->len; i++) {
        const RbDropback *row = g_array_index(decisions, Decision, i).row;
        if (rb_verdict_is_right(row->verdict) && row->has_points) {
            sum += row->points;
            n++;
        }
    }
    return n > 0 ? sum / n : 0.0;
}

static void count(RbHabit *habit, const GArray *decisions, double norm)
{
    for (guint i = 0; i < decisions->len; i++) {
        const Decision *decision = &g_array_index(decisions, Decision, i);
        if (!is_occasion(habit, decision)) {
            continue;
        }
        habit->of++;
        if (decision->row->verdict == habit->verdict) {
            habit->times++;
            habit->cost += decision->row->has_points ? norm - decision->row->points : 0.0;
            g_array_append_val(habit->snaps, decision->row->snap);
        }
    }
}

static void habit_free(void *data)
{
    RbHabit *habit = data;
    g_free(habit->sentence);
    g_array_unref(habit->snaps);
    g_free(habit);
}

static bool is_listed(const GPtrArray *habits, const RbHabit *habit)
{
    for (guint i = 0; i < habits->len; i++) {
        const RbHabit *other = g_ptr_array_index(habits, i);
        if (other->verdict == habit->verdict && other->read == habit->read &&
            other->shell == habit->shell && other->technique == habit->technique) {
            return true;
        }
    }
    return false;
}

static RbHabit *habit_of(const Decision *decision, const Grain *grain)
{
    RbHabit *habit = g_new0(RbHabit, 1);
    habit->verdict = decision->row->verdict;
    habit->read = is_of_read(habit->verdict) ? decision->row->right_read : 0;
    habit->shell = grain->shell ? decision->shell : RB_SHELL_UNKNOWN;
    habit->technique = grain->technique ? decision->technique : RB_TECHNIQUE_UNKNOWN;
    habit->snaps = g_array_new(FALSE, FALSE, sizeof(RbSnapId));
    return habit;
}

/* Every habit that can be told, at every grain, from RB_HABIT_MIN times on. */
static GPtrArray *candidates(const GArray *decisions)
{
    const double norm = right_points(decisions);
    GPtrArray *habits = g_ptr_array_new_with_free_func(habit_free);
    for (guint i = 0; i < decisions->len; i++) {
        const Decision *decision = &g_array_index(decisions, Decision, i);
        for (size_t g = 0; is_wrong(decision->row->verdict) && g < G_N_ELEMENTS(grains);
             g++) {
            RbHabit *habit = habit_of(decision, &grains[g]);
            if (is_listed(habits, habit)) {
                habit_free(habit);
                continue;
            }
            count(habit, decisions, norm);
            g_ptr_array_add(habits, habit);
        }
    }
    for (guint i = habits->len; i > 0; i--) {
        const RbHabit *habit = g_ptr_array_index(habits, i - 1);
        if (habit->times < RB_HABIT_MIN || habit->cost <= 0.0) {
            g_ptr_array_remove_index(habits, i - 1);
        }
    }
    return habits;
}

/* Cost times how surely it comes back: the low end of the share's interval. So a mistake made
 * six times in nine against one picture comes before one made eight times in sixty. */
static double weight(const RbHabit *habit)
{
    double low = 0.0;
    double high = 1.0;
    rb_interval_wilson(habit->times, habit->of, 0.8, &low, &high);
    return habit->cost * low;
}

static int by_weight(gconstpointer left, gconstpointer right)
{
    const double a = weight(*(RbHabit *const *)left);
    const double b = weight(*(RbHabit *const *)right);
    return (b > a) - (b < a);
}

static int by_cost(gconstpointer left, gconstpointer right)
{
    const double a = (*(RbHabit *const *)left)->cost;
    const double b = (*(RbHabit *const *)right)->cost;
    return (b > a) - (b < a);
}

static guint shared_snaps(const RbHabit *a, const RbHabit *b)
{
    guint shared = 0;
    for (guint i = 0; i < a->snaps->len; i++) {
        for (guint j = 0; j < b->snaps->len; j++) {
            shared += g_array_index(a->snaps, RbSnapId, i).value ==
                              g_array_index(b->snaps, RbSnapId, j).value
                          ? 1
                          : 0;
        }
    }
    return shared;
}

/* One told already, seen through another grain. */
static bool repeats(const GPtrArray *chosen, const RbHabit *habit)
{
    for (guint i = 0; i < chosen->len; i++) {
        if (2 * shared_snaps(g_ptr_array_index(chosen, i), habit) >= habit->snaps->len) {
            return true;
        }
    }
    return false;
}

static char *picture_text(const RbHabit *habit)
{
    g_autofree char *shell =
        g_utf8_strdown(rb_words_label(&rb_shell_words, (int)habit->shell), -1);
    g_autofree char *corner =
        g_utf8_strdown(rb_words_label(&rb_technique_words, (int)habit->technique), -1);
    const bool has_shell = habit->shell != RB_SHELL_UNKNOWN;
    if (habit->technique == RB_TECHNIQUE_UNKNOWN) {
        return has_shell ? g_strdup_printf(_("Against %s you"), shell)
                         : g_strdup(_("You"));
    }
    if (habit->technique == RB_TECHNIQUE_OFF) { /* a vowel */
        return has_shell
                   ? g_strdup_printf(_("Against %s with an %s corner you"), shell, corner)
                   : g_strdup_printf(_("Against an %s corner you"), corner);
    }
    return has_shell
               ? g_strdup_printf(_("Against %s with a %s corner you"), shell, corner)
               : g_strdup_printf(_("Against a %s corner you"), corner);
}

static char *mistake_text(const RbHabit *habit)
{
    const int read = habit->read;
    switch (habit->verdict) {
    case RB_VERDICT_PASSED_UP:
        return g_strdup_printf(_("came off read %d while it was open"), read);
    case RB_VERDICT_FORCED:
        return read > 0 ? g_strdup_printf(
                              _("threw to a covered man while read %d was open"), read)
                        : g_strdup(_("threw to a covered man with nothing open"));
    case RB_VERDICT_LATE:
        return g_strdup_printf(_("were late to read %d"), read);
    case RB_VERDICT_HELD:
        return read > 0 ? g_strdup_printf(_("held the ball while read %d was open"), read)
                        : g_strdup(_("held the ball with nothing open"));
    case RB_VERDICT_BAILED:
        return read > 0 ? g_strdup_printf(
                              _("gave up on read %d, open and without pressure"), read)
                        : g_strdup(_("bailed out without pressure"));
    case RB_VERDICT_WRONG_SIDE:
        return g_strdup(_("worked the wrong side"));
    case RB_VERDICT_MISSED_ADJUSTMENT:
        return g_strdup(_("did not make the adjustment"));
    case RB_VERDICT_MISSED_HOT:
        return g_strdup(_("missed the hot read"));
    case RB_VERDICT_UNGRADED:
    case RB_VERDICT_SPOILED:
    case RB_VERDICT_ON_READ:
    case RB_VERDICT_NO_TIME:
    case RB_VERDICT_SOUND:
        break;
    }
    g_assert_not_reached();
}

static void describe(RbHabit *habit)
{
    g_autofree char *picture = picture_text(habit);
    g_autofree char *mistake = mistake_text(habit);
    habit->sentence =
        g_strdup_printf(_("%s %s, %d of %d."), picture, mistake, habit->times, habit->of);
}

GPtrArray *rb_quarterback_habits(const RbSelection *selection)
{
    g_autoptr(GArray) rows = rb_quarterback_counted(selection);
    g_autoptr(GArray) decisions =
        judged_decisions(rb_selection_get_snapshot(selection), rows);
    g_autoptr(GPtrArray) found = candidates(decisions);
    g_ptr_array_sort(found, by_weight);
    GPtrArray *chosen = g_ptr_array_new_with_free_func(habit_free);
    for (guint i = 0; chosen->len < RB_HABITS_MAX && i < found->len;) {
        if (repeats(chosen, g_ptr_array_index(found, i))) {
            i++;
            continue;
        }
        RbHabit *habit = g_ptr_array_steal_index(found, i);
        describe(habit);
        g_ptr_array_add(chosen, habit);
    }
    g_ptr_array_sort(chosen, by_cost);
    return chosen;
}
