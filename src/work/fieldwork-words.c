/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>

#include "rb/base/text.h"

#include "fieldwork-private.h"

static const char *place_words(const RbFieldwork *work)
{
    static const char *const first[RB_MEASURE_KINDS] = {
        [RB_MEASURE_CUSHION] = N_("the receiver's feet"),
        [RB_MEASURE_SPLIT] = N_("the ball"),
        [RB_MEASURE_NUMBERS] = N_("the receiver's feet"),
        [RB_MEASURE_SIDELINE] = N_("the man's feet"),
        [RB_MEASURE_DEPTH] = N_("the ball at the snap"),
        [RB_MEASURE_WIDTH] = N_("the ball at the snap"),
        [RB_MEASURE_LANDMARK] = N_("the man's feet"),
        [RB_MEASURE_THROW] = N_("the ground under the release"),
        [RB_MEASURE_SEPARATION] = N_("the receiver's feet"),
        [RB_MEASURE_SPEED] = N_("his feet at first"),
        [RB_MEASURE_LENGTH] = N_("the first place"),
    };
    static const char *const second[RB_MEASURE_KINDS] = {
        [RB_MEASURE_CUSHION] = N_("the corner's feet"),
        [RB_MEASURE_SPLIT] = N_("the receiver's feet"),
        [RB_MEASURE_DEPTH] = N_("where he breaks"),
        [RB_MEASURE_WIDTH] = N_("where he breaks"),
        [RB_MEASURE_THROW] = N_("the ground under the arrival"),
        [RB_MEASURE_SEPARATION] = N_("the defender's feet"),
        [RB_MEASURE_SPEED] = N_("his feet later"),
        [RB_MEASURE_LENGTH] = N_("the second place"),
    };
    const RbMeasureKind kind = work->measure->kind;
    return _(work->n_places == 0 ? first[kind] : second[kind]);
}

static char *measuring_sentence(const RbFieldwork *work)
{
    g_autofree char *kind = rb_film_measure_what(work->measure, work->rules);
    if (work->phase == RB_FIELDWORK_MEASURED) {
        g_autofree char *value = rb_film_measure_text(work->measure, work->unit);
        if (rb_fieldwork_wants_landmark(work)) {
            return rb_text_fill(_("{kind}: {value}. Enter keeps it; the keys for marks "
                                  "choose another landmark."),
                                "kind", kind, "value", value, NULL);
        }
        return rb_text_fill(_("{kind}: {value}. Enter keeps it."), "kind", kind, "value",
                            value, NULL);
    }
    return rb_text_fill(_("{kind}: click {place}."), "kind", kind, "place",
                        place_words(work), NULL);
}

static char *marking_sentence(const RbFieldwork *work)
{
    if (!work->has_next) {
        return g_strdup(_("No other mark of the field is in the picture."));
    }
    g_autofree char *name = rb_field_mark_name(&work->next);
    g_autofree char *number = g_strdup_printf("%d", work->n + 1);
    if (!work->fitted) {
        return rb_text_fill(_("Mark {number}: click the {name}."), "number", number,
                            "name", name, NULL);
    }
    if (work->view.freedom < 1) {
        return rb_text_fill(
            _("The view stands. Choose a measure, or click the {name}: one "
              "more mark shows how far they are off."),
            "name", name, NULL);
    }
    g_autofree char *off = g_strdup_printf("%.1f", work->view.rms);
    return rb_text_fill(
        _("The view stands, {off} pixels off. Choose a measure, or click the {name}."),
        "off", off, "name", name, NULL);
}

char *rb_fieldwork_get_sentence(const RbFieldwork *work)
{
    if (work->loose) {
        return g_strdup(
            _("Here the view is too loose to measure: go back toward the marks, "
              "or mark this frame anew."));
    }
    g_autofree char *sentence = work->phase == RB_FIELDWORK_MARKING
                                    ? marking_sentence(work)
                                    : measuring_sentence(work);
    if (work->trouble == NULL) {
        return g_steal_pointer(&sentence);
    }
    return rb_text_fill(_("{trouble} {sentence}"), "trouble", work->trouble, "sentence",
                        sentence, NULL);
}
