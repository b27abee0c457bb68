/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>

#include "intake-private.h"

/* What the rows of the matching table say, for people. */

char *rb_intake_clip_text(const RbIntake *intake, int at)
{
    if (at < 0) {
        return g_strdup("-");
    }
    const RbIntakeClip *clip = intake->clips->pdata[at];
    const RbIntakeFile *file = intake->files->pdata[clip->file];
    if (clip->first == 0 && clip->last + 1 == file->look->frames) {
        return g_strdup(file->look->title);
    }
    return g_strdup_printf("%s %" G_GINT64_FORMAT "–%" G_GINT64_FORMAT, file->look->title,
                           clip->first, clip->last);
}

static char *duplicate_text(const RbIntake *intake, int any)
{
    const RbIntakeClip *clip = intake->clips->pdata[any];
    g_autofree char *name = rb_intake_clip_text(intake, clip->same_as);
    const RbIntakeClip *other = intake->clips->pdata[clip->same_as];
    return g_strdup_printf(clip->goes_on || other->goes_on
                               ? _("the shorter part of the snap of %s")
                               : _("shows what %s shows"),
                           name);
}

static char *match_text(const RbIntake *intake, const RbIntakeRow *row)
{
    const int any = row->wide >= 0 ? row->wide : row->tight;
    switch (row->kind) {
    case RB_INTAKE_BOTH:
        return row->sure >= RB_INTAKE_SURE
                   ? g_strdup("")
                   : g_strdup_printf(_("to be looked at: %.0f %% sure"), 100 * row->sure);
    case RB_INTAKE_WIDE_ONLY:
        return g_strdup(_("the tight clip is missing"));
    case RB_INTAKE_TIGHT_ONLY:
        return g_strdup(_("the wide clip is missing"));
    case RB_INTAKE_NO_FILM:
        return g_strdup(intake->snaps->len > 0 ? _("in the log, not on film")
                                               : _("this number is missing"));
    case RB_INTAKE_EXTRA:
        return g_strdup(_("extra: no snap of this game"));
    case RB_INTAKE_DUPLICATE:
        return duplicate_text(intake, any);
    }
    g_assert_not_reached();
}

char *rb_intake_row_text(const RbIntake *intake, const RbIntakeRow *row)
{
    g_autofree char *match = match_text(intake, row);
    const int cut = rb_intake_find_cut(intake, row, RB_INTAKE_SURE);
    if (cut < 0) {
        return g_steal_pointer(&match);
    }
    const RbIntakeClip *clip = intake->clips->pdata[cut];
    g_autofree char *said = g_strdup_printf(clip->angle == RB_ANGLE_TIGHT
                                                ? _("cut before the tight clip: %.0f %%")
                                                : _("cut before the wide clip: %.0f %%"),
                                            100 * clip->cut_sure);
    return *match != '\0' ? g_strdup_printf(_("%s; %s"), match, said)
                          : g_steal_pointer(&said);
}
