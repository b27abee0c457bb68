/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/work/compare.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "rb/report/text.h"

/* Everything that counts, tagged or not, in one tally: what the margin "all" of a table leaves
 * out has a place here, because a filter need not be a pairing. */
static void tally_all(const RbSelection *selection, RbTally *tally)
{
    int n = 0;
    const RbDropback *rows = rb_selection_get_rows(selection, &n);
    rb_tally_rows(rows, n, tally);
}

static void contrast_one(RbMeasure measure, RbCompared *compared)
{
    RbContrast *contrast = &compared->contrasts[measure];
    int n = 0;
    rb_measure_figure(measure, &compared->first, &contrast->first);
    rb_measure_figure(measure, &compared->second, &contrast->second);
    rb_measure_count(measure, &compared->first, &contrast->first_x, &n);
    rb_measure_count(measure, &compared->second, &contrast->second_x, &n);
    contrast->has_difference = contrast->first.known && contrast->second.known;
    if (!contrast->has_difference) {
        return;
    }
    contrast->difference = contrast->first.raw - contrast->second.raw;
    contrast->has_interval =
        rb_measure_difference(measure, &compared->first, &compared->second, 0.8,
                              &contrast->low_80, &contrast->high_80) &&
        rb_measure_difference(measure, &compared->first, &compared->second, 0.95,
                              &contrast->low_95, &contrast->high_95);
}

static int count_shared(const RbSelection *first, const RbSelection *second)
{
    int n = 0;
    int shared = 0;
    g_autoptr(GHashTable) seen = g_hash_table_new(g_int64_hash, g_int64_equal);
    const RbDropback *rows = rb_selection_get_rows(first, &n);
    for (int i = 0; i < n; i++) {
        if (rows[i].in_ladder) {
            g_hash_table_add(seen, (gpointer)&rows[i].snap.value);
        }
    }
    rows = rb_selection_get_rows(second, &n);
    for (int i = 0; i < n; i++) {
        shared += rows[i].in_ladder && g_hash_table_contains(seen, &rows[i].snap.value);
    }
    return shared;
}

void rb_compare(const RbSelection *first, const RbSelection *second, RbCompared *compared)
{
    memset(compared, 0, sizeof *compared);
    tally_all(first, &compared->first);
    tally_all(second, &compared->second);
    rb_selection_ladder(first, &compared->ladders[0]);
    rb_selection_ladder(second, &compared->ladders[1]);
    compared->shared = count_shared(first, second);
    for (int measure = 0; measure < RB_MEASURES; measure++) {
        contrast_one((RbMeasure)measure, compared);
    }
}

/* "48 % of 62", "2 of 4", "+0.12 a dropback". Returns: (transfer full). */
static char *side_text(RbMeasure measure, const RbMeasured *figure, int x)
{
    if (!figure->known) {
        return g_strdup(C_("in a sentence", "none"));
    }
    if (!rb_measure_is_rate(measure)) {
        g_autofree char *mean = rb_points_text(figure->raw, 2);
        return g_strdup_printf(_("%s over %d"), mean, figure->n);
    }
    g_autofree char *rate = rb_rate_text(x, figure->n);
    return figure->n < RB_PAIRING_MIN ? g_steal_pointer(&rate)
                                      : g_strdup_printf(_("%s of %d"), rate, figure->n);
}

/* A difference of rates in points of a hundred, of means as it is. Returns: (transfer full). */
static char *size_text(RbMeasure measure, double difference)
{
    const bool rate = rb_measure_is_rate(measure);
    return rb_points_text(rate ? 100.0 * difference : difference, rate ? 0 : 2);
}

char *rb_contrast_text(const RbCompared *compared, RbMeasure measure)
{
    const RbContrast *contrast = &compared->contrasts[measure];
    g_autofree char *first = side_text(measure, &contrast->first, contrast->first_x);
    g_autofree char *second = side_text(measure, &contrast->second, contrast->second_x);
    GString *text = g_string_new(NULL);
    g_string_append_printf(text, _("%s: %s against %s."),
                           rb_words_label(&rb_measure_words, (int)measure), first,
                           second);
    if (!contrast->has_difference) {
        return g_string_free(text, FALSE);
    }
    g_autofree char *size = size_text(measure, contrast->difference);
    g_string_append_printf(text,
                           rb_measure_is_rate(measure) ? _(" Difference %s in a hundred")
                                                       : _(" Difference %s"),
                           size);
    if (contrast->has_interval) {
        g_autofree char *low = size_text(measure, contrast->low_95);
        g_autofree char *high = size_text(measure, contrast->high_95);
        g_string_append_printf(text, _(", 95 %% interval %s to %s: %s"), low, high,
                               rb_contrast_is_settled(contrast) ? _("not by chance alone")
                                                                : _("could be chance"));
    }
    g_string_append_c(text, '.');
    return g_string_free(text, FALSE);
}

char *rb_compared_warning(const RbCompared *compared)
{
    if (compared->first.dropbacks == 0 || compared->second.dropbacks == 0) {
        return g_strdup(compared->first.dropbacks == 0 && compared->second.dropbacks == 0
                            ? _("Neither side has a dropback: widen both filters.")
                        : compared->first.dropbacks == 0
                            ? _("The first side has no dropback: widen its filter.")
                            : _("The second side has no dropback: widen its filter."));
    }
    if (compared->shared > 0) {
        g_autofree char *shared = rb_dropbacks_text(compared->shared);
        return g_strdup_printf(_("%s on both sides: the intervals hold for sides that "
                                 "share none."),
                               shared);
    }
    if (compared->first.dropbacks < RB_PAIRING_MIN ||
        compared->second.dropbacks < RB_PAIRING_MIN) {
        return g_strdup_printf(_("A side rests on fewer than %d dropbacks."),
                               RB_PAIRING_MIN);
    }
    return NULL;
}

bool rb_contrast_is_settled(const RbContrast *contrast)
{
    return contrast->has_interval && (contrast->low_95 > 0.0 || contrast->high_95 < 0.0);
}

RbContrastWords rb_contrast_words(const RbCompared *compared, RbMeasure measure)
{
    const RbContrast *contrast = &compared->contrasts[measure];
    RbContrastWords words = {
        .first = side_text(measure, &contrast->first, contrast->first_x),
        .second = side_text(measure, &contrast->second, contrast->second_x),
    };
    if (contrast->has_difference) {
        words.difference = size_text(measure, contrast->difference);
    }
    if (contrast->has_interval) {
        g_autofree char *low_80 = size_text(measure, contrast->low_80);
        g_autofree char *high_80 = size_text(measure, contrast->high_80);
        g_autofree char *low_95 = size_text(measure, contrast->low_95);
        g_autofree char *high_95 = size_text(measure, contrast->high_95);
        words.interval_80 = g_strdup_printf(_("%s to %s"), low_80, high_80);
        words.interval_95 = g_strdup_printf(_("%s to %s"), low_95, high_95);
    }
    return words;
}

void rb_contrast_words_clear(RbContrastWords *words)
{
    g_free(words->first);
    g_free(words->second);
    g_free(words->difference);
    g_free(words->interval_80);
    g_free(words->interval_95);
    *words = (RbContrastWords){ 0 };
}

static void add_contrast(RbTextTable *table, const RbCompared *compared,
                         RbMeasure measure)
{
    g_auto(RbContrastWords) words = rb_contrast_words(compared, measure);
    rb_text_table_row(
        table, (const char *const[]){ rb_words_label(&rb_measure_words, (int)measure),
                                      words.first, words.second, words.difference,
                                      words.interval_80, words.interval_95 });
}

/* Both ladders about one spine: what ended at each read and stage, first at the left. */
static void add_ladders(GString *text, const RbCompared *compared, const char *first,
                        const char *second)
{
    static const RbAlign aligns[] = { RB_ALIGN_RIGHT, RB_ALIGN_RIGHT, RB_ALIGN_LEFT,
                                      RB_ALIGN_LEFT, RB_ALIGN_RIGHT };
    g_autoptr(RbTextTable) table = rb_text_table_new(5, aligns);
    rb_text_table_row(table,
                      (const char *const[]){ _("Points"), first, _("Read and stage"),
                                             second, _("Points") });
    rb_text_table_rule(table);
    for (int at = 1; at <= RB_READS_MAX + 1; at++) {
        const int read = at % (RB_READS_MAX + 1); /* those without a read stand last */
        for (int stage = 0; stage < RB_STAGES; stage++) {
            const RbLadderCell *a = &compared->ladders[0].cells[read][stage];
            const RbLadderCell *b = &compared->ladders[1].cells[read][stage];
            if (a->dropbacks + b->dropbacks == 0) {
                continue;
            }
            g_autofree char *place =
                read > 0
                    ? g_strdup_printf("%d %s", read,
                                      rb_words_label(&rb_stage_words, stage))
                    : g_strdup_printf("- %s", rb_words_label(&rb_stage_words, stage));
            g_autofree char *n = g_strdup_printf("%d", a->dropbacks);
            g_autofree char *m = g_strdup_printf("%d", b->dropbacks);
            g_autofree char *p = a->pointed > 0 ? rb_points_text(a->points, 1) : NULL;
            g_autofree char *q = b->pointed > 0 ? rb_points_text(b->points, 1) : NULL;
            rb_text_table_row(table, (const char *const[]){ p, n, place, m, q });
        }
    }
    g_autofree char *printed = rb_text_table_print(table, 0);
    g_string_append_printf(text, "\n%s", printed);
}

char *rb_compared_text(const RbCompared *compared, const char *first, const char *second)
{
    static const RbAlign aligns[] = { RB_ALIGN_LEFT,  RB_ALIGN_RIGHT, RB_ALIGN_RIGHT,
                                      RB_ALIGN_RIGHT, RB_ALIGN_RIGHT, RB_ALIGN_RIGHT };
    first = first != NULL ? first : _("first");
    second = second != NULL ? second : _("second");
    g_autoptr(RbTextTable) table = rb_text_table_new(6, aligns);
    rb_text_table_row(table, (const char *const[]){ _("Measure"), first, second,
                                                    _("Difference"), "80 %", "95 %" });
    rb_text_table_rule(table);
    for (int measure = 0; measure < RB_MEASURES; measure++) {
        add_contrast(table, compared, (RbMeasure)measure);
    }
    g_autofree char *printed = rb_text_table_print(table, 0);
    GString *text = g_string_new(printed);
    add_ladders(text, compared, first, second);
    g_autofree char *warning = rb_compared_warning(compared);
    if (warning != NULL) {
        g_string_append_printf(text, "\n%s\n", warning);
    }
    return g_string_free(text, FALSE);
}
