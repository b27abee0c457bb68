/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/work/quarterback.h"

#include <glib/gi18n-lib.h>

#include "rb/work/filter-text.h"
#include "rb/work/json.h"

#include "cli.h"

/* quarterback: one man's decisions, his clock and his habits. */

static void print_rate(const char *what, const RbRate *rate)
{
    if (rate->judged == 0) {
        printf(_("%s: no decision is judged yet.\n"), what);
        return;
    }
    printf(_("%s: %d of %d, %.0f %% (80 %% interval %.0f to %.0f %%).\n"), what,
           rate->right, rate->judged, 100.0 * rate->right / rate->judged, 100 * rate->low,
           100 * rate->high);
}

static void print_decisions(const RbQuarterback *quarterback)
{
    printf(
        _("Right and it worked %u, right and it did not %u, wrong and it worked %u, wrong "
          "and it did not %u.\n"),
        quarterback->decisions[RB_DECISION_RIGHT_GOOD]->len,
        quarterback->decisions[RB_DECISION_RIGHT_BAD]->len,
        quarterback->decisions[RB_DECISION_WRONG_GOOD]->len,
        quarterback->decisions[RB_DECISION_WRONG_BAD]->len);
}

static void print_habits(const RbQuarterback *quarterback)
{
    if (quarterback->habits->len > 0) {
        puts(_("\nWhat costs most:"));
    }
    for (guint i = 0; i < quarterback->habits->len; i++) {
        const RbHabit *habit = quarterback->habits->pdata[i];
        printf(_("  %s %.1f points.\n"), habit->sentence, habit->cost);
    }
}

static void print_verdicts(const RbQuarterback *quarterback)
{
    puts("");
    CliTable table =
        cli_table("<>", (const char *const[]){ _("Verdict"), _("Dropbacks"), NULL });
    for (int i = 0; i < RB_VERDICTS; i++) {
        if (quarterback->verdicts[i] > 0) {
            cli_table_add(&table, g_strdup(rb_words_label(&rb_verdict_words, i)),
                          g_strdup_printf("%d", quarterback->verdicts[i]));
        }
    }
    cli_table_print(&table);
}

static void add_group(const CliTable *table, RbField field, const RbDecisionGroup *group,
                      bool first)
{
    cli_table_add(
        table, g_strdup(first ? rb_words_label(&rb_field_words, (int)field) : ""),
        g_strdup(group->label), g_strdup_printf("%d", group->rate.judged),
        g_strdup_printf("%.0f %%", 100.0 * group->rate.right / group->rate.judged),
        g_strdup_printf("%.0f to %.0f %%", 100 * group->rate.low,
                        100 * group->rate.high));
}

static void print_groups(const RbSelection *selection)
{
    puts("");
    CliTable table = cli_table(
        "<<>>>",
        (const char *const[]){ _("By"), "", _("Judged"), C_("judged", "Right"),
                               /* xgettext:no-c-format */ _("80 % interval"), NULL });
    for (int i = 0; i < RB_QUARTERBACK_FIELDS; i++) {
        const RbField field = rb_quarterback_fields[i];
        g_autoptr(GPtrArray) groups = rb_quarterback_groups(selection, field);
        for (guint j = 0; j < groups->len; j++) {
            add_group(&table, field, groups->pdata[j], j == 0);
        }
    }
    cli_table_print(&table);
}

/* Read by read: how many left in time, and the median against the clock. */
static void print_clock(const RbQuarterback *quarterback)
{
    puts("");
    CliTable table =
        cli_table("<>>>", (const char *const[]){ _("Thrown to"), _("Throws"), _("Late"),
                                                 _("Median after the clock"), NULL });
    for (guint i = 0; i < quarterback->throws->len;) {
        const RbThrowTime *first = quarterback->throws->pdata[i];
        g_autoptr(GArray) after = g_array_new(FALSE, FALSE, sizeof(int));
        int late = 0;
        for (; i < quarterback->throws->len; i++) {
            const RbThrowTime *time = quarterback->throws->pdata[i];
            if (time->read != first->read) {
                break;
            }
            const int ms = time->release_ms - time->due_ms;
            g_array_append_val(after, ms);
            late += time->late ? 1 : 0;
        }
        cli_table_add(&table, g_strdup_printf(_("Read %d"), first->read),
                      g_strdup_printf("%u", after->len), g_strdup_printf("%d", late),
                      g_strdup_printf("%+.2f s", rb_median_ms(after) / 1000.0));
    }
    cli_table_print(&table);
}

static void print_passing(const RbPassing *passing)
{
    double pro = 0.0;
    double college = 0.0;
    if (rb_passer_rating_pro(passing, &pro) &&
        rb_passer_rating_college(passing, &college)) {
        printf(
            _("\n%d of %d for %d yards, %d touchdowns, %d intercepted; passer rating %.1f "
              "(professional formula), %.1f (college formula).\n"),
            passing->completions, passing->attempts, passing->yards, passing->touchdowns,
            passing->interceptions, pro, college);
    }
}

static CliExit run_quarterback(const CliArgs *args, GError **error)
{
    g_autoptr(RbSelection) selection = cli_select(args, cli_word(args, 0), error);
    if (selection == NULL) {
        return CLI_REFUSED;
    }
    if (cli_has(args, "json")) {
        cli_print_json(rb_json_quarterback(selection));
        return CLI_DONE;
    }
    const RbNames *names = rb_snapshot_get_names(rb_selection_get_snapshot(selection));
    g_autofree char *filter = rb_filter_text(names, rb_selection_get_filter(selection));
    g_autoptr(RbQuarterback) quarterback = rb_quarterback_new(selection);
    g_autofree char *count = rb_dropbacks_text(quarterback->dropbacks);
    printf("%s\n\n%s.\n", filter, count);
    print_rate(_("Right decisions"), &quarterback->rate);
    print_decisions(quarterback);
    print_habits(quarterback);
    print_verdicts(quarterback);
    print_clock(quarterback);
    print_groups(selection);
    print_passing(&quarterback->passing);
    puts(_("\nA grade is one coach's reading of one angle."));
    return CLI_DONE;
}

const CliCommand cli_quarterback = {
    .name = "quarterback",
    .words = N_("LIBRARY"),
    .least = 1,
    .most = 1,
    .summary =
        N_("One quarterback's decisions: right or wrong, on time, and what costs most."),
    .example = "quarterback season.readbreak --quarterback 12",
    .filters = true,
    .run = run_quarterback,
};
