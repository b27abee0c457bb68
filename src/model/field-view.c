/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/model/field-view.h"

#include <math.h>

RbFieldViewId rb_field_view_id(RbFilmId film, int64_t frame)
{
    return (RbFieldViewId){ rb_id_from_pair("field_view", film.value, frame) };
}

RbFieldView *rb_field_view_new(RbFilmId film, int64_t frame)
{
    RbFieldView *view = g_new0(RbFieldView, 1);
    view->id = rb_field_view_id(film, frame);
    view->film = film;
    view->frame = frame;
    view->time.base = (RbRational){ 1, 1 };
    view->sights = g_array_new(FALSE, TRUE, sizeof(RbFieldSight));
    return view;
}

RbFieldView *rb_field_view_copy(const RbFieldView *view)
{
    RbFieldView *copy = g_memdup2(view, sizeof *view);
    copy->sights = g_array_copy(view->sights);
    return copy;
}

void rb_field_view_free(RbFieldView *view)
{
    if (view != NULL) {
        g_array_unref(view->sights);
        g_free(view);
    }
}

void rb_field_view_add(RbFieldView *view, const char *name, double x, double y)
{
    RbFieldSight sight = { .view = view->id,
                           .x = (int)lround(x * RB_SIGHT_PART),
                           .y = (int)lround(y * RB_SIGHT_PART) };
    g_strlcpy(sight.name, name, sizeof sight.name);
    g_array_append_val(view->sights, sight);
}
