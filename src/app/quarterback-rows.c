/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "quarterback-rows.h"

#include <glib/gi18n.h>
#include <math.h>

static int percent(int part, int whole)
{
    return whole > 0 ? (int)lround(100.0 * part / whole) : 0;
}

char *rb_quarterback_rate_text(const RbQuarterback *figures)
{
    const RbRate *rate = &figures->rate;
    return rate->judged > 0 ? g_strdup_printf(_("%d %% right decisions, %d of %d"),
                                              percent(rate->right, rate->judged),
                                              rate->right, rate->judged)
                            : g_strdup(_("No decision is judged yet"));
}

char *rb_quarterback_counts_text(const RbQuarterback *figures)
{
    const RbRate *rate = &figures->rate;
    g_autofree char *dropbacks =
        g_strdup_printf(ngettext("%d dropback. ", "%d dropbacks. ", figures->dropbacks),
                        figures->dropbacks);
    g_autofree char *interval =
        rate->judged > 0
            ? g_strdup_printf(_("80 %% interval %d to %d %%. Ungraded %d, spoiled %d."),
                              (int)lround(100 * rate->low), (int)lround(100 * rate->high),
                              figures->verdicts[RB_VERDICT_UNGRADED],
                              figures->verdicts[RB_VERDICT_SPOILED])
            : g_strdup("");
    const char *few = rate->judged > 0 && rate->judged < RB_FEW
                          ? _(" Fewer than five judged: too few to say anything.")
                          : "";
    return g_strconcat(dropbacks, interval, few, NULL);
}

static GPtrArray *figures_new(void)
{
    return g_ptr_array_new_with_free_func((GDestroyNotify)rb_figure_free);
}

GPtrArray *rb_quarterback_habit_rows(const RbQuarterback *figures)
{
    GPtrArray *rows = figures_new();
    for (guint i = 0; i < figures->habits->len; i++) {
        const RbHabit *habit = figures->habits->pdata[i];
        g_ptr_array_add(rows, rb_figure_new(habit->sentence,
                                            g_strdup_printf("%.1f", habit->cost),
                                            habit->snaps));
    }
    return rows;
}

GPtrArray *rb_quarterback_decision_rows(const RbQuarterback *figures)
{
    static const struct {
        const char *label;
        RbTone tone;
    } kinds[RB_DECISIONS] = {
        [RB_DECISION_RIGHT_GOOD] = { N_("Right, worked"), RB_TONE_GOOD },
        [RB_DECISION_RIGHT_BAD] = { N_("Right, failed"), RB_TONE_PLAIN },
        [RB_DECISION_WRONG_GOOD] = { N_("Wrong, worked"), RB_TONE_PLAIN },
        [RB_DECISION_WRONG_BAD] = { N_("Wrong, failed"), RB_TONE_BAD },
    };
    guint most = 1;
    for (int i = 0; i < RB_DECISIONS; i++) {
        most = MAX(most, figures->decisions[i]->len);
    }
    GPtrArray *rows = figures_new();
    for (int i = 0; i < RB_DECISIONS; i++) {
        const GArray *snaps = figures->decisions[i];
        RbFigure *row =
            rb_figure_new(_(kinds[i].label), g_strdup_printf("%u", snaps->len), snaps);
        row->value = (double)snaps->len / most;
        row->tone = kinds[i].tone;
        g_ptr_array_add(rows, row);
    }
    return rows;
}

static RbTone tone_of(RbVerdict verdict)
{
    if (rb_verdict_is_right(verdict)) {
        return RB_TONE_GOOD;
    }
    return rb_verdict_is_error(verdict) ? RB_TONE_BAD : RB_TONE_PLAIN;
}

GPtrArray *rb_quarterback_verdict_rows(const RbQuarterbackAnswer *answer)
{
    int most = 1;
    for (int i = 0; i < RB_VERDICTS; i++) {
        most = MAX(most, answer->figures->verdicts[i]);
    }
    GPtrArray *rows = figures_new();
    for (int i = 0; i < RB_VERDICTS; i++) {
        const int n = answer->figures->verdicts[i];
        if (n > 0) {
            g_autoptr(GArray) snaps =
                rb_quarterback_snaps(answer->selection, (RbVerdict)i);
            RbFigure *row = rb_figure_new(rb_words_label(&rb_verdict_words, i),
                                          g_strdup_printf("%d", n), snaps);
            row->value = (double)n / most;
            row->tone = tone_of((RbVerdict)i);
            g_ptr_array_add(rows, row);
        }
    }
    return rows;
}

char *rb_quarterback_late_text(const RbQuarterback *figures)
{
    int late = 0;
    for (guint i = 0; i < figures->throws->len; i++) {
        late += ((const RbThrowTime *)figures->throws->pdata[i])->late ? 1 : 0;
    }
    if (figures->throws->len == 0) {
        return g_strdup(_("No throw has a release and a read with a clock yet."));
    }
    if (late == 0) {
        return g_strdup_printf(
            ngettext("%u throw, within the clock and its tolerance.",
                     "%u throws, none after the clock and its tolerance.",
                     figures->throws->len),
            figures->throws->len);
    }
    return g_strdup_printf(
        _("%d of %u left after the clock and its tolerance (triangles). "
          "Page Down goes to the next late one."),
        late, figures->throws->len);
}

static RbFigure *rate_row(const char *label, const RbRate *rate, double norm,
                          const GArray *snaps)
{
    RbFigure *row = rb_figure_new(
        label,
        rate->judged > 0
            ? g_strdup_printf(_("%d %% of %d"), percent(rate->right, rate->judged),
                              rate->judged)
            : g_strdup(_("none")),
        snaps);
    row->value = rate->judged > 0 ? (double)rate->right / rate->judged : -1;
    row->low = rate->low;
    row->high = rate->high;
    row->norm = norm;
    row->said =
        g_strdup_printf(_("%s: %d %% of %d decisions right, 80 %% interval %d to %d %%"),
                        label, percent(rate->right, rate->judged), rate->judged,
                        (int)lround(100 * rate->low), (int)lround(100 * rate->high));
    return row;
}

static double norm_of(const RbQuarterback *figures)
{
    return figures->rate.judged > 0 ? (double)figures->rate.right / figures->rate.judged
                                    : -1;
}

GPtrArray *rb_quarterback_group_rows(const RbQuarterbackAnswer *answer, guint field)
{
    const GPtrArray *groups = answer->groups[field];
    GPtrArray *rows = figures_new();
    for (guint i = 0; i < groups->len; i++) {
        const RbDecisionGroup *group = groups->pdata[i];
        g_ptr_array_add(rows, rate_row(group->label, &group->rate,
                                       norm_of(answer->figures), group->snaps));
    }
    return rows;
}

static GArray *snaps_of_game(const RbQuarterbackAnswer *answer, RbGameId game)
{
    GArray *snaps = g_array_new(FALSE, FALSE, sizeof(RbSnapId));
    int n = 0;
    const RbDropback *rows = rb_selection_get_rows(answer->selection, &n);
    for (int i = 0; i < n; i++) {
        if (rows[i].in_ladder && rows[i].game.value == game.value &&
            rb_verdict_is_judged(rows[i].verdict)) {
            g_array_append_val(snaps, rows[i].snap);
        }
    }
    return snaps;
}

GPtrArray *rb_quarterback_game_rows(const RbQuarterbackAnswer *answer)
{
    GPtrArray *rows = figures_new();
    for (guint i = 0; i < answer->figures->games->len; i++) {
        const RbGameRate *game = answer->figures->games->pdata[i];
        g_autoptr(GArray) snaps = snaps_of_game(answer, game->game);
        g_ptr_array_add(
            rows, rate_row(game->title, &game->rate, norm_of(answer->figures), snaps));
    }
    return rows;
}

char *rb_quarterback_passing_text(const RbPassing *passing)
{
    double pro = 0;
    double college = 0;
    return rb_passer_rating_pro(passing, &pro) &&
                   rb_passer_rating_college(passing, &college)
               ? g_strdup_printf(
                     _("%d of %d for %d yards, %d touchdowns, %d intercepted. Passer rating "
                       "%.1f by the professional formula, %.1f by the college one."),
                     passing->completions, passing->attempts, passing->yards,
                     passing->touchdowns, passing->interceptions, pro, college)
               : g_strdup("");
}
