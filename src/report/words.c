/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/report/words.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "rb/stats/intervals.h"

#include "words-private.h"

#define MINUS "\u2212"

char *rb_dropbacks_text(int n)
{
    return g_strdup_printf(
        g_dngettext(GETTEXT_PACKAGE, "%d dropback", "%d dropbacks", (gulong)n), n);
}

char *rb_points_text(double points, int decimals)
{
    char digits[G_ASCII_DTOSTR_BUF_SIZE];
    g_autofree char *format = g_strdup_printf("%%.%df", decimals);
    g_ascii_formatd(digits, sizeof digits, format, fabs(points));
    /* What rounds to nothing has no sign. */
    const char *sign = points > 0.0 ? "+" : MINUS;
    return g_strconcat(g_ascii_strtod(digits, NULL) == 0.0 ? "" : sign, digits, NULL);
}

char *rb_rate_text(int x, int n)
{
    g_assert(n > 0);
    if (n < RB_PAIRING_MIN) {
        return g_strdup_printf(_("%d of %d"), x, n);
    }
    return g_strdup_printf("%.0f %%", 100.0 * x / n);
}

char *rb_interval_text(int x, int n)
{
    g_assert(n > 0);
    if (n < RB_PAIRING_MIN) {
        return g_strdup(_("too few to rate"));
    }
    double low = 0.0;
    double high = 0.0;
    rb_interval_wilson(x, n, 0.95, &low, &high);
    return g_strdup_printf(_("%.0f to %.0f %%"), 100.0 * low, 100.0 * high);
}

const char *rb_stage_phrase(RbStage stage)
{
    static const char *const phrases[RB_STAGES] = {
        [RB_STAGE_NOT_JUDGED] = NC_("stage", "not judged"),
        [RB_STAGE_SUCCESS] = NC_("stage", "success"),
        [RB_STAGE_BEFORE_SNAP] = NC_("stage", "before the snap"),
        [RB_STAGE_TIPPED] = NC_("stage", "tipped"),
        [RB_STAGE_PROTECTION] = NC_("stage", "protection"),
        [RB_STAGE_EYES] = NC_("stage", "eyes"),
        [RB_STAGE_COVERED] = NC_("stage", "covered"),
        [RB_STAGE_CLOCK] = NC_("stage", "clock"),
        [RB_STAGE_THROW] = NC_("stage", "throw"),
        [RB_STAGE_CATCH] = NC_("stage", "catch"),
        [RB_STAGE_AFTER] = NC_("stage", "after the catch"),
    };
    return g_dpgettext2(GETTEXT_PACKAGE, "stage", phrases[stage]);
}

/* One decimal, no sign. */
static char *digits_text(double points)
{
    char digits[G_ASCII_DTOSTR_BUF_SIZE];
    return g_strdup(g_ascii_formatd(digits, sizeof digits, "%.1f", fabs(points)));
}

char *rb_size_text(double points)
{
    g_autofree char *digits = digits_text(points);
    return g_strdup_printf(strcmp(digits, "1.0") == 0 ? _("%s point") : _("%s points"),
                           digits);
}

static const char *certainty_text(RbCertainty certainty)
{
    switch (certainty) {
    case RB_CERTAINTY_NOT_SETTLED:
        return _("Not settled");
    case RB_CERTAINTY_LEANING:
        return _("Leaning");
    case RB_CERTAINTY_CLEAR:
        return _("Clear");
    }
    return "";
}

const char *rb_break_mark(const RbBreak *found)
{
    return found->certainty == RB_CERTAINTY_NOT_SETTLED ? _("costs most")
                                                        : _("breaks here");
}

/* "at read 2, eyes", "off the reads, protection". Returns: (transfer full). */
static char *break_place(const RbBreak *found)
{
    if (found->read == 0) {
        return g_strdup_printf(_("off the reads, %s"), rb_stage_phrase(found->stage));
    }
    return g_strdup_printf(_("at read %d, %s"), found->read,
                           rb_stage_phrase(found->stage));
}

bool rb_break_is_shown(const RbBreak *found)
{
    return found != NULL && found->found && found->excess > 0.0;
}

char *rb_break_text(const RbBreak *found, const RbLadder *ladder)
{
    return rb_break_text_open(found, ladder, -1);
}

static int count_unjudged(const RbLadder *ladder)
{
    int n = 0;
    for (int read = 0; read <= RB_READS_MAX; read++) {
        n += ladder->cells[read][RB_STAGE_NOT_JUDGED].dropbacks;
    }
    return n;
}

/* against_norm: a handful of dropbacks is not held against what is usual. */
static void append_loss(GString *text, const RbBreak *found, bool against_norm)
{
    if (found->points < 0.0) {
        g_autofree char *lost = rb_size_text(found->points);
        g_string_append_printf(text, _(" and lost %s"), lost);
    }
    if (against_norm && found->points < 0.0) {
        g_autofree char *beyond = digits_text(found->excess);
        g_string_append_printf(text, _(", %s more than our norm there"), beyond);
    } else if (against_norm) {
        g_autofree char *excess = rb_size_text(found->excess);
        g_string_append_printf(text, _(", %s worse than our norm there"), excess);
    }
    g_string_append_c(text, '.');
}

char *rb_break_text_open(const RbBreak *found, const RbLadder *ladder, int open)
{
    if (ladder->dropbacks == 0) {
        return g_strdup(_("No dropbacks here."));
    }
    if (!found->found && count_unjudged(ladder) == ladder->dropbacks) {
        return g_strdup(
            _("Not judged yet, so no break point: tag the reads and the ball."));
    }
    if (!found->found) {
        return g_strdup(ladder->pointed == 0
                            ? _("No points to compare, so no break point.")
                            : _("Nothing failed here."));
    }
    if (!rb_break_is_shown(found)) {
        return g_strdup(_("Costs no more than our norm at any read."));
    }
    g_autofree char *place = break_place(found);
    g_autofree char *total = rb_dropbacks_text(ladder->dropbacks);
    GString *text = g_string_new(NULL);
    /* What is not settled is not called a break. */
    const char *verb =
        found->certainty == RB_CERTAINTY_NOT_SETTLED ? _("Costs most") : _("Breaks");
    if (open >= 0 && found->read > 0) {
        g_string_append_printf(text, _("%s %s: open on %d of %s, %d ended there"), verb,
                               place, open, total, found->dropbacks);
    } else {
        g_string_append_printf(text, _("%s %s: %d of %s ended there"), verb, place,
                               found->dropbacks, total);
    }
    append_loss(text, found, ladder->dropbacks >= RB_PAIRING_MIN);
    g_string_append_printf(text, " %s.", certainty_text(found->certainty));
    if (ladder->dropbacks < RB_PAIRING_MIN) {
        g_string_append_printf(text, _(" Rests on fewer than %d dropbacks."),
                               RB_PAIRING_MIN);
    }
    return g_string_free(text, FALSE);
}

const char *rb_estimate_text(void)
{
    return /* xgettext:no-c-format */ _(
        "Estimated rate: what the pairing will do in the long run, from its own dropbacks and from "
        "what its concept and its coverage do elsewhere; its 80 % interval holds the true rate "
        "four times in five. Plain rate: successes by dropbacks of the pairing alone, with its "
        "95 % interval (Wilson).");
}

const char *const *rb_cautions(void)
{
    static const char *const cautions[] = {
        N_("Read a rate with its number: beside each stand its dropbacks and an interval; "
           "under 5 dropbacks only the count."),
        N_("A grade is one coach's reading of one angle."),
        N_("Points are expected points added, fitted on professional play: use them to compare "
           "this team with itself, not with another."),
        N_("Tags about players are personal data, some of it about minors: pass this page to the "
           "staff only, and leave names out of what goes further."),
        N_("Exchange of film and the use of video on game day follow your league's rules."),
        NULL,
    };
    return cautions;
}

const char *rb_break_curve_text(void)
{
    return /* xgettext:no-c-format */ _(
        "How often a planted break is called clear (or leaning), by the points it costs over\n"
        "how many dropbacks, on simulated seasons of an even team:\n"
        "\n"
        "points             8            12            20            40\n"
        "none       1 % (3 %)     1 % (3 %)    0 % (10 %)    1 % (13 %)\n"
        "1          4 % (7 %)     2 % (8 %)    0 % (11 %)    0 % (13 %)\n"
        "2        12 % (18 %)   11 % (16 %)    3 % (20 %)    1 % (20 %)\n"
        "3        26 % (24 %)   17 % (36 %)    6 % (28 %)    3 % (22 %)\n"
        "5        55 % (28 %)   38 % (32 %)   21 % (41 %)    9 % (33 %)\n"
        "\n"
        "Clear is right 98 times in 100 that it is said.\n");
}
