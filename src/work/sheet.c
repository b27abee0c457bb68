/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/store/films.h"
#include "rb/work/tagging.h"

#include "judging.h"
#include "library-private.h"

static bool load_clips(RbSheet *sheet, RbLibrary *library, GError **error)
{
    sheet->clips = rb_library_load_clips(library, sheet->snap->id, error);
    if (sheet->clips == NULL) {
        return false;
    }
    sheet->paths = g_ptr_array_new_with_free_func(g_free);
    for (guint i = 0; i < sheet->clips->len; i++) {
        const RbClip *clip = sheet->clips->pdata[i];
        g_autoptr(GError) failure = NULL;
        char *path = NULL;
        if (clip->film.value != 0) {
            path = rb_library_film_path(library, clip->film, &failure);
        }
        if (failure != NULL) {
            g_propagate_error(error, g_steal_pointer(&failure));
            return false;
        }
        g_ptr_array_add(sheet->paths, path != NULL ? path : g_strdup(""));
    }
    return true;
}

static void judge(RbSheet *sheet)
{
    sheet->reasons = g_ptr_array_new_with_free_func(g_free);
    const RbReadContext context = rb_context_for(sheet->names, sheet->snap, sheet->chart);
    sheet->n_slots = rb_order_slots(&context, sheet->chart, sheet->slots);
    sheet->judged = rb_play_is_pass(sheet->snap->play);
    if (!sheet->judged) {
        return;
    }
    const RbGame *game = rb_names_find_game(sheet->names, sheet->snap->game);
    const RbReadSettings settings = rb_read_settings_default();
    g_autoptr(RbChart) chart = rb_chart_for_judging(sheet->chart, game, sheet->clips);
    RbJudged judged;
    rb_judge_snap(sheet->names, sheet->snap, chart, rb_success_profile_default(),
                  &settings, &judged);
    sheet->success = judged.success;
    sheet->has_points = judged.has_points;
    sheet->points = judged.points;
    sheet->judgment = judged.judgment;
    g_ptr_array_unref(sheet->reasons);
    sheet->reasons = rb_judgment_reasons(&context, &sheet->judgment);
    if (sheet->judgment.settle.kind != RB_TAG_NONE) {
        sheet->settle = rb_tag_text(&sheet->judgment.settle);
    }
}

RbSheet *rb_library_load_sheet(RbLibrary *library, RbSnapId snap, GError **error)
{
    g_autoptr(RbSheet) sheet = g_new0(RbSheet, 1);
    sheet->names = rb_library_load_names(library, error);
    if (sheet->names == NULL) {
        return NULL;
    }
    sheet->snap = rb_library_load_snap(library, snap, error);
    if (sheet->snap == NULL) {
        return NULL;
    }
    sheet->chart = rb_library_own_chart(library, sheet->names, sheet->snap, &sheet->own,
                                        &sheet->counts, error);
    if (sheet->chart == NULL || !load_clips(sheet, library, error)) {
        return NULL;
    }
    judge(sheet);
    return g_steal_pointer(&sheet);
}

void rb_sheet_free(RbSheet *sheet)
{
    if (sheet == NULL) {
        return;
    }
    rb_snap_free(sheet->snap);
    rb_chart_free(sheet->chart);
    rb_chart_free(sheet->counts);
    g_clear_pointer(&sheet->clips, g_ptr_array_unref);
    g_clear_pointer(&sheet->paths, g_ptr_array_unref);
    g_clear_pointer(&sheet->reasons, g_ptr_array_unref);
    g_free(sheet->settle);
    rb_names_unref(sheet->names);
    g_free(sheet);
}
