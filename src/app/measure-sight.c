/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "measure-sight.h"

#include <glib/gi18n.h>
#include <stdlib.h>

#include "rb/base/text.h"

#include "view-carrier.h"

struct RbMeasureSight {
    void (*changed)(void *data);
    void *data;
    RbViewCarrier *carrier; /* owned */
    RbFieldwork *work;      /* borrowed, nullable: nobody measures */
    char *path;             /* owned, nullable */
    int64_t marked;         /* the frame of the marks; -1 none yet */
    int64_t at;             /* the frame that is looked at */
    bool waiting;
    bool loose;           /* the view here is not to be measured on, or there is none */
    bool stopped;         /* by a person */
    RbCalibration fitted; /* of the marks, before it was carried */
};

static bool has_marks(const RbMeasureSight *sight)
{
    const RbFieldMark *marks = NULL;
    return rb_fieldwork_get_marks(sight->work, &marks) > 0;
}

static void on_carried(int64_t frame, const RbCarriedView *carried, void *data)
{
    RbMeasureSight *sight = data;
    sight->waiting = false;
    if (sight->work != NULL && frame == sight->at) {
        const bool here = carried != NULL && carried->state != RB_CARRY_LOST;
        sight->loose = !here || carried->state == RB_CARRY_LOOSE;
        rb_fieldwork_set_view(sight->work, here ? &carried->calibration : &sight->fitted,
                              sight->loose);
    }
    sight->changed(sight->data);
}

static void on_news(void *data)
{
    RbMeasureSight *sight = data;
    sight->changed(sight->data);
}

RbMeasureSight *rb_measure_sight_new(void (*changed)(void *data), void *data)
{
    RbMeasureSight *sight = g_new0(RbMeasureSight, 1);
    sight->changed = changed;
    sight->data = data;
    sight->carrier = rb_view_carrier_new(on_carried, on_news, sight);
    sight->marked = sight->at = -1;
    return sight;
}

void rb_measure_sight_free(RbMeasureSight *sight)
{
    if (sight != NULL) {
        rb_view_carrier_free(sight->carrier);
        g_free(sight->path);
        g_free(sight);
    }
}

void rb_measure_sight_begin(RbMeasureSight *sight, RbFieldwork *work, const char *path,
                            int64_t frame)
{
    rb_measure_sight_end(sight);
    sight->work = work;
    sight->path = g_strdup(path);
    sight->at = frame;
}

void rb_measure_sight_end(RbMeasureSight *sight)
{
    rb_measure_sight_begin_anew(sight);
    rb_view_carrier_forget(sight->carrier);
    sight->work = NULL;
    g_clear_pointer(&sight->path, g_free);
}

void rb_measure_sight_begin_anew(RbMeasureSight *sight)
{
    rb_view_carrier_stop(sight->carrier);
    sight->marked = -1;
    sight->waiting = sight->loose = sight->stopped = false;
}

/* The marks' view, drawn onto the lines and carried to the frame that is looked at. */
static void want(RbMeasureSight *sight)
{
    sight->stopped = false;
    if (sight->path != NULL && sight->marked >= 0) {
        rb_view_carrier_want(sight->carrier, sight->path,
                             rb_fieldwork_get_rules(sight->work), &sight->fitted,
                             sight->marked, sight->at);
    }
}

void rb_measure_sight_marked(RbMeasureSight *sight, int64_t frame)
{
    const RbCalibration *view = rb_fieldwork_get_view(sight->work);
    sight->marked = frame;
    sight->loose = false;
    if (view != NULL) {
        sight->fitted = *view;
        want(sight);
    } else {
        rb_view_carrier_stop(sight->carrier);
    }
}

/* The kept view of this film that is nearest. */
static const RbFieldView *nearest(const GPtrArray *views, RbFilmId film, int64_t frame)
{
    const RbFieldView *found = NULL;
    for (guint i = 0; views != NULL && i < views->len; i++) {
        const RbFieldView *view = views->pdata[i];
        if (view->film.value == film.value &&
            (found == NULL || llabs(view->frame - frame) < llabs(found->frame - frame))) {
            found = view;
        }
    }
    return found;
}

/* True when it is another one than before. */
static bool take_up(RbMeasureSight *sight, RbFilmId film, const GPtrArray *views)
{
    const bool may = rb_fieldwork_get_phase(sight->work) == RB_FIELDWORK_MARKING &&
                     (!has_marks(sight) || rb_fieldwork_is_kept(sight->work));
    const RbFieldView *view = may ? nearest(views, film, sight->at) : NULL;
    if (view == NULL || view->frame == sight->marked ||
        !rb_fieldwork_load(sight->work, view)) {
        return false;
    }
    sight->marked = view->frame;
    sight->fitted = *rb_fieldwork_get_view(sight->work);
    return true;
}

void rb_measure_sight_look(RbMeasureSight *sight, int64_t frame, RbFilmId film,
                           const GPtrArray *views)
{
    const bool moved = frame != sight->at;
    sight->at = frame;
    const bool another = take_up(sight, film, views);
    if ((moved || another) && rb_fieldwork_get_view(sight->work) != NULL) {
        sight->waiting = true;
        want(sight);
    }
}

bool rb_measure_sight_stop(RbMeasureSight *sight)
{
    if (!sight->waiting) {
        return false;
    }
    rb_view_carrier_stop(sight->carrier);
    sight->waiting = false;
    sight->loose = sight->stopped = true;
    rb_fieldwork_set_view(sight->work, &sight->fitted, true);
    return true;
}

bool rb_measure_sight_is_waiting(const RbMeasureSight *sight)
{
    return sight->waiting;
}

bool rb_measure_sight_is_elsewhere(const RbMeasureSight *sight)
{
    return rb_fieldwork_get_phase(sight->work) == RB_FIELDWORK_MARKING &&
           has_marks(sight) && sight->marked != sight->at;
}

int64_t rb_measure_sight_get_marked(const RbMeasureSight *sight)
{
    return sight->marked;
}

static char *waiting_sentence(const RbMeasureSight *sight)
{
    const double done = rb_view_carrier_get_progress(sight->carrier);
    return done > 0.0
               ? g_strdup_printf(_("Following the field to this frame: %.0f %%. Escape "
                                   "stops."),
                                 100.0 * done)
               : g_strdup(_("Following the field to this frame. Escape stops."));
}

char *rb_measure_sight_get_sentence(const RbMeasureSight *sight)
{
    g_autofree char *frame = g_strdup_printf("%" G_GINT64_FORMAT, sight->marked);
    if (sight->waiting) {
        return waiting_sentence(sight);
    }
    if (sight->loose) {
        return rb_text_fill(
            sight->stopped
                ? _("The view was not followed to this frame. Go to frame {frame}, where "
                    "its marks are, or N marks this frame anew.")
                : _("Here the view is too loose to measure. Go back toward frame {frame}, "
                    "where its marks are, or N marks this frame anew."),
            "frame", frame, NULL);
    }
    if (!rb_measure_sight_is_elsewhere(sight)) {
        return rb_fieldwork_get_sentence(sight->work);
    }
    return rb_text_fill(
        rb_fieldwork_get_view(sight->work) != NULL
            ? _("The view was carried here from the marks on frame {frame}. Choose a "
                "measure; N marks this frame anew.")
            : _("The marks stand on frame {frame}: go back there, or N begins anew."),
        "frame", frame, NULL);
}
