/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>

#include "rb/base/text.h"
#include "rb/base/told.h"
#include "rb/work/measuring.h"

#include "measuring-private.h"

static const RbWord unit_table[] = {
    [RB_UNIT_YARDS] = { "yd", N_("yards") },
    [RB_UNIT_FEET] = { "ft", N_("feet") },
    [RB_UNIT_METRES] = { "m", N_("metres") },
};
const RbWords rb_length_unit_words = { N_("unit"), unit_table, G_N_ELEMENTS(unit_table) };

/* International yard and pound agreement, 1959: a yard is 0.9144 m exactly, and three feet. */
static const double per_yard[] = {
    [RB_UNIT_YARDS] = 1.0,
    [RB_UNIT_FEET] = 3.0,
    [RB_UNIT_METRES] = 0.9144,
};

void rb_film_measure_in(const RbFilmMeasure *measure, RbLengthUnit unit, double *value,
                        double *pm)
{
    *value = measure->value / (double)RB_MEASURE_PART * per_yard[unit];
    *pm = rb_film_measure_pm(measure) / (double)RB_MEASURE_PART * per_yard[unit];
}

/* Said no finer than a tenth: less than that is no error that a person believes. */
static double said(double pm)
{
    return MAX(pm, 0.1);
}

char *rb_film_measure_tell(const RbFilmMeasure *measure, RbLengthUnit unit)
{
    double value = 0.0;
    double pm = 0.0;
    rb_film_measure_in(measure, unit, &value, &pm);
    return rb_told("%.1f ± %.1f %s%s", value, said(pm), unit_table[unit].token,
                   measure->kind == RB_MEASURE_SPEED ? "/s" : "");
}

char *rb_film_measure_text(const RbFilmMeasure *measure, RbLengthUnit unit)
{
    g_autofree char *told = rb_film_measure_tell(measure, unit);
    return rb_told_show(told);
}

char *rb_film_measure_what(const RbFilmMeasure *measure, RbRules rules)
{
    RbFieldMark mark = { 0 };
    if (measure->kind == RB_MEASURE_LANDMARK && measure->name != NULL &&
        rb_field_mark_parse((RbFieldCode)rules, measure->name, &mark)) {
        g_autofree char *name = rb_field_mark_name(&mark);
        return rb_text_fill(_("To the {landmark}"), "landmark", name, NULL);
    }
    const bool left = measure->side == RB_SIDE_LEFT;
    if (measure->kind == RB_MEASURE_CUSHION && measure->side != RB_SIDE_UNKNOWN) {
        return g_strdup(left ? _("Left cushion") : _("Right cushion"));
    }
    if (measure->kind == RB_MEASURE_SPLIT && measure->side != RB_SIDE_UNKNOWN) {
        return g_strdup(left ? _("Left split") : _("Right split"));
    }
    return g_strdup(rb_words_label(&rb_film_measure_words, (int)measure->kind));
}

int rb_film_measure_tenths(int thousandths)
{
    return (thousandths + RB_MEASURE_PART / 20) / (RB_MEASURE_PART / 10);
}

/* ---- what the picture takes of it */

static const int *left_cushion(const RbChart *chart)
{
    return &chart->shown.left.cushion_tenths;
}

static const int *left_cushion_pm(const RbChart *chart)
{
    return &chart->shown.left.cushion_pm_tenths;
}

static const int *left_split(const RbChart *chart)
{
    return &chart->shown.left.split_tenths;
}

static const int *left_split_pm(const RbChart *chart)
{
    return &chart->shown.left.split_pm_tenths;
}

static const int *right_cushion(const RbChart *chart)
{
    return &chart->shown.right.cushion_tenths;
}

static const int *right_cushion_pm(const RbChart *chart)
{
    return &chart->shown.right.cushion_pm_tenths;
}

static const int *right_split(const RbChart *chart)
{
    return &chart->shown.right.split_tenths;
}

static const int *right_split_pm(const RbChart *chart)
{
    return &chart->shown.right.split_pm_tenths;
}

/* A cushion by eye is a guess that the measure is made to replace; a split is told by those who have
 * paced it off. */
static const RbFedTags fed_tags[] = {
    { RB_MEASURE_CUSHION, RB_SIDE_LEFT, "left-cushion", "left-cushion-error",
      "left cushion", false, left_cushion, left_cushion_pm },
    { RB_MEASURE_CUSHION, RB_SIDE_RIGHT, "right-cushion", "right-cushion-error",
      "right cushion", false, right_cushion, right_cushion_pm },
    { RB_MEASURE_SPLIT, RB_SIDE_LEFT, "left-split", "left-split-error", "left split",
      true, left_split, left_split_pm },
    { RB_MEASURE_SPLIT, RB_SIDE_RIGHT, "right-split", "right-split-error", "right split",
      true, right_split, right_split_pm },
};

const RbFedTags *rb_film_measure_fed(const RbFilmMeasure *measure)
{
    for (size_t i = 0; i < G_N_ELEMENTS(fed_tags); i++) {
        if (fed_tags[i].kind == measure->kind && fed_tags[i].side == measure->side) {
            return &fed_tags[i];
        }
    }
    return NULL;
}

bool rb_film_measure_feeds(const RbFilmMeasure *measure, const RbChart *chart)
{
    const RbFedTags *fed = rb_film_measure_fed(measure);
    return fed != NULL && *fed->pm_tenths(chart) > 0 &&
           *fed->tenths(chart) == rb_film_measure_tenths(measure->value);
}

static const RbSnap *snap_of(const GPtrArray *snaps, RbSnapId id)
{
    for (guint i = 0; i < snaps->len; i++) {
        const RbSnap *snap = snaps->pdata[i];
        if (snap->id.value == id.value) {
            return snap;
        }
    }
    return NULL;
}

static const char *angle_of(const GPtrArray *clips, RbClipId id)
{
    for (guint i = 0; i < clips->len; i++) {
        const RbClip *clip = clips->pdata[i];
        if (clip->id.value == id.value) {
            return rb_words_token(&rb_angle_words, (int)clip->angle);
        }
    }
    return "";
}

char *rb_film_measures_csv(const GPtrArray *measures, const GPtrArray *snaps,
                           const GPtrArray *clips, RbLengthUnit unit)
{
    GString *text =
        g_string_new("snap,angle,measure,side,to,frame,value,plus_minus,unit\r\n");
    for (guint i = 0; i < measures->len; i++) {
        const RbFilmMeasure *measure = measures->pdata[i];
        const RbSnap *snap = snap_of(snaps, measure->snap);
        double value = 0.0;
        double pm = 0.0;
        rb_film_measure_in(measure, unit, &value, &pm);
        char numbers[2][G_ASCII_DTOSTR_BUF_SIZE];
        g_ascii_formatd(numbers[0], sizeof numbers[0], "%.3f", value);
        g_ascii_formatd(numbers[1], sizeof numbers[1], "%.3f", pm);
        g_string_append_printf(
            text, "%d,%s,%s,%s,%s,%" G_GINT64_FORMAT ",%s,%s,%s%s\r\n",
            snap != NULL ? snap->number : 0, angle_of(clips, measure->clip),
            rb_words_token(&rb_film_measure_words, (int)measure->kind),
            measure->side != RB_SIDE_UNKNOWN
                ? rb_words_token(&rb_side_words, (int)measure->side)
                : "",
            measure->name != NULL ? measure->name : "", measure->frame_1, numbers[0],
            numbers[1], unit_table[unit].token,
            measure->kind == RB_MEASURE_SPEED ? "/s" : "");
    }
    return g_string_free(text, FALSE);
}
