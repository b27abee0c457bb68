/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "rb/model/situation.h"
#include "rb/store/cutups.h"
#include "rb/work/cutups.h"
#include "rb/work/error.h"
#include "rb/work/film-drawings.h"
#include "rb/work/snapshot.h"

#include "library-private.h"

/* From the list to what is shown: films, frames, words. */

/* A clip of two or three frames has no length to measure a frame by. */
#define USUAL_FRAME_US 33367

static void free_clip(void *data)
{
    RbCutupClip *clip = data;
    rb_cutup_entry_free(clip->entry);
    g_free(clip->title);
    g_free(clip->subtitle);
    g_ptr_array_unref(clip->card);
    g_free(clip->film_title);
    g_free(clip->path);
    g_free(clip->beside);
    g_ptr_array_unref(clip->drawings);
    g_ptr_array_unref(clip->beside_drawings);
    g_free(clip->missing);
    g_free(clip);
}

static void free_drawing(void *drawing)
{
    rb_film_drawing_free(drawing);
}

static GPtrArray *copy_drawings(const GPtrArray *drawings)
{
    GPtrArray *copy = g_ptr_array_new_with_free_func(free_drawing);
    for (guint i = 0; i < drawings->len; i++) {
        g_ptr_array_add(copy, rb_film_drawing_copy(drawings->pdata[i]));
    }
    return copy;
}

static RbCutupClip *copy_clip(const RbCutupClip *clip)
{
    RbCutupClip *copy = g_memdup2(clip, sizeof *clip);
    copy->entry = rb_cutup_entry_copy(clip->entry);
    copy->title = g_strdup(clip->title);
    copy->subtitle = g_strdup(clip->subtitle);
    copy->card = g_ptr_array_new_with_free_func(g_free);
    for (guint i = 0; i < clip->card->len; i++) {
        g_ptr_array_add(copy->card, g_strdup(clip->card->pdata[i]));
    }
    copy->film_title = g_strdup(clip->film_title);
    copy->path = g_strdup(clip->path);
    copy->beside = g_strdup(clip->beside);
    copy->drawings = copy_drawings(clip->drawings);
    copy->beside_drawings = copy_drawings(clip->beside_drawings);
    copy->missing = g_strdup(clip->missing);
    return copy;
}

RbCutupPlan *rb_cutup_plan_copy(const RbCutupPlan *plan)
{
    RbCutupPlan *copy = g_new0(RbCutupPlan, 1);
    copy->cutup = rb_cutup_copy(plan->cutup);
    copy->clips = g_ptr_array_new_with_free_func(free_clip);
    copy->names = plan->names;
    for (guint i = 0; i < plan->clips->len; i++) {
        g_ptr_array_add(copy->clips, copy_clip(plan->clips->pdata[i]));
    }
    return copy;
}

void rb_cutup_plan_free(RbCutupPlan *plan)
{
    if (plan == NULL) {
        return;
    }
    rb_cutup_free(plan->cutup);
    g_ptr_array_unref(plan->clips);
    g_free(plan);
}

typedef struct {
    RbLibrary *library;
    RbSnapshot *snapshot; /* owned reference */
    GPtrArray *films;     /* owned, of RbFilm */
    bool names;
} Planner;

/* ---- words */

static const RbChart *chart_of(const Planner *planner, RbSnapId snap)
{
    return rb_snapshot_find_chart(planner->snapshot, snap);
}

static char *call_text(const Planner *planner, const RbSnap *snap)
{
    const RbChart *chart = chart_of(planner, snap->id);
    return chart != NULL && chart->call.kind != RB_CALL_UNKNOWN
               ? rb_names_call_text(rb_snapshot_get_names(planner->snapshot),
                                    &chart->call)
               : NULL;
}

static char *coverage_text(const Planner *planner, const RbSnap *snap)
{
    const RbChart *chart = chart_of(planner, snap->id);
    return chart != NULL && chart->played.coverage.value != 0
               ? g_strdup(rb_names_term(rb_snapshot_get_names(planner->snapshot),
                                        chart->played.coverage))
               : NULL;
}

static char *result_text(const RbSnap *snap)
{
    if (snap->result == RB_RESULT_UNKNOWN) {
        return NULL;
    }
    const char *label = rb_words_label(&rb_result_words, (int)snap->result);
    return snap->has_gain == RB_YES ? g_strdup_printf(_("%s, %+d yd"), label, snap->gain)
                                    : g_strdup(label);
}

static char *verdict_text(const Planner *planner, const RbSnap *snap)
{
    const RbJudgment *judged = rb_snapshot_find_judgment(planner->snapshot, snap->id);
    return judged != NULL && judged->verdict != RB_VERDICT_UNGRADED
               ? g_strdup(rb_words_label(&rb_verdict_words, (int)judged->verdict))
               : NULL;
}

static char *card_line(const Planner *planner, RbCardWord word, const RbSnap *snap,
                       const RbCutupEntry *entry)
{
    const RbNames *names = rb_snapshot_get_names(planner->snapshot);
    switch (word) {
    case RB_CARD_GAME:
        return g_strdup(rb_names_game(names, snap->game));
    case RB_CARD_SNAP:
        return g_strdup_printf(_("Snap %d"), snap->number);
    case RB_CARD_SITUATION:
        return rb_situation_text(&snap->situation);
    case RB_CARD_CALL:
        return call_text(planner, snap);
    case RB_CARD_COVERAGE:
        return coverage_text(planner, snap);
    case RB_CARD_VERDICT:
        return verdict_text(planner, snap);
    case RB_CARD_RESULT:
        return result_text(snap);
    case RB_CARD_QUARTERBACK:
        return planner->names && snap->quarterback.value != 0
                   ? rb_names_player_text(names, snap->quarterback)
                   : NULL;
    case RB_CARD_NOTE:
        return planner->names ? g_strdup(entry->note) : NULL; /* notes name people */
    }
    return NULL;
}

static void write_card(const Planner *planner, RbCutupClip *clip, const RbSnap *snap)
{
    unsigned bits = 0;
    if (!rb_card_parse(clip->entry->cut.card, &bits, NULL)) {
        return;
    }
    for (int i = 0; i < rb_card_words.n; i++) {
        char *line = (bits & 1U << i) != 0
                         ? card_line(planner, (RbCardWord)i, snap, clip->entry)
                         : NULL;
        if (line != NULL) {
            g_ptr_array_add(clip->card, line);
        }
    }
}

static void write_titles(const Planner *planner, RbCutupClip *clip, const RbSnap *snap)
{
    clip->title = rb_names_snap_text(rb_snapshot_get_names(planner->snapshot), snap);
    g_autofree char *situation = rb_situation_text(&snap->situation);
    g_autofree char *call = call_text(planner, snap);
    g_autofree char *coverage = coverage_text(planner, snap);
    clip->subtitle =
        call != NULL && coverage != NULL
            ? g_strdup_printf(_("%s, %s against %s"), situation, call, coverage)
            : g_strdup_printf("%s%s%s", situation, call != NULL ? ", " : "",
                              call != NULL ? call : "");
    write_card(planner, clip, snap);
}

/* ---- film */

static const RbClip *clip_of_angle(const GPtrArray *clips, RbAngle angle)
{
    for (guint i = 0; i < clips->len; i++) {
        const RbClip *clip = clips->pdata[i];
        if (clip->film.value != 0 && clip->angle == angle) {
            return clip;
        }
    }
    return NULL;
}

/* What there is instead of an angle that was not filmed. */
static const RbClip *clip_shown(const GPtrArray *clips, RbView view)
{
    const RbAngle order[2][3] = { { RB_ANGLE_WIDE, RB_ANGLE_TIGHT, RB_ANGLE_OTHER },
                                  { RB_ANGLE_TIGHT, RB_ANGLE_WIDE, RB_ANGLE_OTHER } };
    for (int i = 0; i < 3; i++) {
        const RbClip *clip = clip_of_angle(clips, order[view == RB_VIEW_TIGHT][i]);
        if (clip != NULL) {
            return clip;
        }
    }
    return NULL;
}

static const RbFilm *find_film(const Planner *planner, RbFilmId id)
{
    for (guint i = 0; i < planner->films->len; i++) {
        const RbFilm *film = planner->films->pdata[i];
        if (film->id.value == id.value) {
            return film;
        }
    }
    return NULL;
}

/* False where a time was never known. */
static bool time_between(RbTime later, RbTime earlier, int64_t *us)
{
    const bool known =
        rb_rational_is_valid(later.base) && rb_rational_is_valid(earlier.base);
    *us = known ? rb_time_diff_us(later, earlier) : 0;
    return known;
}

static int64_t frame_us_of(const RbClip *clip)
{
    int64_t span = 0;
    time_between(clip->last_time, clip->first_time, &span);
    return clip->last > clip->first && span > 0 ? span / (clip->last - clip->first)
                                                : USUAL_FRAME_US;
}

/* The time of a point; of a frame without a time, by the usual length of a frame. */
static int64_t point_us(const RbClip *clip, int64_t frame)
{
    int64_t us = 0;
    if (frame == clip->last && time_between(clip->last_time, clip->first_time, &us)) {
        return us;
    }
    for (guint i = 0; i < clip->marks->len; i++) {
        const RbMark *mark = &g_array_index(clip->marks, RbMark, i);
        if (mark->frame == frame && time_between(mark->time, clip->first_time, &us)) {
            return us;
        }
    }
    return (frame - clip->first) * frame_us_of(clip);
}

static void set_span(RbCutupClip *plan, const RbClip *clip)
{
    const RbCut *cut = &plan->entry->cut;
    rb_clip_find_point(clip, cut->start, &plan->first);
    rb_clip_find_point(clip, cut->stop, &plan->last);
    if (plan->last <=
        plan->first) { /* marks the clip lacks or that contradict each other */
        plan->first = clip->first;
        plan->last = clip->last;
    }
    plan->freeze = -1;
    int64_t freeze = 0;
    if (rb_clip_find_point(clip, cut->freeze, &freeze) && freeze >= plan->first &&
        freeze <= plan->last && cut->freeze_ms > 0) {
        plan->freeze = freeze;
        plan->freeze_at_us = point_us(clip, freeze) - point_us(clip, plan->first);
    }
    rb_clip_find_point(clip, RB_POINT_SNAP, &plan->anchor);
    plan->frame_us = frame_us_of(clip);
    plan->length_us =
        point_us(clip, plan->last) - point_us(clip, plan->first) + plan->frame_us;
    plan->first_time = clip->first_time;
    const RbMark *mark = NULL;
    for (guint i = 0; i < clip->marks->len && plan->first != clip->first; i++) {
        mark = &g_array_index(clip->marks, RbMark, i);
        if (mark->frame == plan->first) {
            plan->first_time = mark->time;
        }
    }
}

static bool set_film(const Planner *planner, RbCutupClip *plan, const RbClip *clip,
                     const RbClip *beside, GError **error)
{
    const RbFilm *film = find_film(planner, clip->film);
    plan->film_title = film != NULL ? g_strdup(film->title) : NULL;
    GError *failure = NULL;
    plan->path = rb_library_film_path(planner->library, clip->film, &failure);
    if (failure == NULL && plan->path != NULL && beside != NULL) {
        plan->beside = rb_library_film_path(planner->library, beside->film, &failure);
        rb_clip_find_point(beside, RB_POINT_SNAP, &plan->beside_anchor);
    }
    if (failure != NULL) {
        g_propagate_error(error, failure);
        return false;
    }
    if (plan->path == NULL) {
        plan->missing = g_strdup_printf(
            _("The film \"%s\" of %s is not known on this computer; add it again."),
            plan->film_title != NULL ? plan->film_title : "?", plan->title);
    }
    return true;
}

/* Words over the film may name a player: they go with the names. */
static bool take_drawings(const Planner *planner, const RbClip *clip, GPtrArray *into,
                          GError **error)
{
    g_autoptr(GPtrArray) drawings =
        rb_library_load_drawings(planner->library, clip->id, error);
    for (guint i = 0; drawings != NULL && i < drawings->len; i++) {
        const RbFilmDrawing *drawing = drawings->pdata[i];
        if (planner->names || drawing->kind != RB_DRAW_TEXT) {
            g_ptr_array_add(into, rb_film_drawing_copy(drawing));
        }
    }
    return drawings != NULL;
}

static bool plan_clip(const Planner *planner, RbCutupClip *plan, GError **error)
{
    const RbCutupEntry *entry = plan->entry;
    g_autoptr(GError) failure = NULL;
    g_autoptr(RbSnap) snap =
        rb_library_load_snap(planner->library, entry->snap, &failure);
    if (snap == NULL) {
        plan->title = g_strdup(_("A snap that was removed"));
        plan->subtitle = g_strdup("");
        plan->missing =
            g_strdup(_("The snap was removed; take its clip out of the list."));
        return true;
    }
    write_titles(planner, plan, snap);
    g_autoptr(GPtrArray) clips =
        rb_library_load_clips(planner->library, entry->snap, error);
    if (clips == NULL) {
        return false;
    }
    const RbClip *clip = clip_shown(clips, entry->cut.view);
    const RbClip *tight = clip_of_angle(clips, RB_ANGLE_TIGHT);
    if (clip == NULL) {
        plan->missing = g_strdup_printf(_("%s has no film."), plan->title);
        return true;
    }
    const bool both = entry->cut.view == RB_VIEW_BOTH && tight != NULL && tight != clip;
    set_span(plan, clip);
    return take_drawings(planner, clip, plan->drawings, error) &&
           (!both || take_drawings(planner, tight, plan->beside_drawings, error)) &&
           set_film(planner, plan, clip, both ? tight : NULL, error);
}

static RbCutupPlan *plan_all(const Planner *planner, RbCutup *cutup, GPtrArray *entries,
                             GError **error)
{
    g_autoptr(RbCutupPlan) plan = g_new0(RbCutupPlan, 1);
    plan->cutup = rb_cutup_copy(cutup);
    plan->clips = g_ptr_array_new_with_free_func(free_clip);
    plan->names = planner->names;
    for (guint i = 0; i < entries->len; i++) {
        RbCutupClip *clip = g_new0(RbCutupClip, 1);
        clip->entry = rb_cutup_entry_copy(entries->pdata[i]);
        clip->card = g_ptr_array_new_with_free_func(g_free);
        clip->freeze = -1;
        clip->drawings = g_ptr_array_new_with_free_func(free_drawing);
        clip->beside_drawings = g_ptr_array_new_with_free_func(free_drawing);
        g_ptr_array_add(plan->clips, clip);
        if (!plan_clip(planner, clip, error)) {
            return NULL;
        }
    }
    return g_steal_pointer(&plan);
}

RbCutupPlan *rb_library_plan_cutup(RbLibrary *library, RbCutupId id, bool names,
                                   GError **error)
{
    GError *failure = NULL;
    g_autoptr(RbCutup) cutup =
        rb_store_load_cutup(rb_library_store(library), id, &failure);
    if (cutup == NULL) {
        rb_library_not_found(error, failure,
                             _("There is no such cut-up any more; choose another."));
        return NULL;
    }
    g_autoptr(GPtrArray) entries = rb_library_load_cutup_entries(library, cutup, error);
    g_autoptr(GPtrArray) films =
        entries != NULL ? rb_library_load_films(library, error) : NULL;
    RbSnapshotOptions options = rb_snapshot_options_default();
    options.practice = true;
    g_autoptr(RbSnapshot) snapshot =
        films != NULL ? rb_snapshot_take(library, &options, NULL, error) : NULL;
    if (snapshot == NULL) {
        return NULL;
    }
    const Planner planner = {
        .library = library, .snapshot = snapshot, .films = films, .names = names
    };
    return plan_all(&planner, cutup, entries, error);
}

int64_t rb_cutup_clip_us(const RbCutupClip *clip, bool cards)
{
    if (clip->missing != NULL) {
        return 0;
    }
    const RbCut *cut = &clip->entry->cut;
    const int64_t once = clip->length_us * 100 / cut->speed +
                         (clip->freeze >= 0 ? (int64_t)cut->freeze_ms * 1000 : 0);
    const int64_t card = cards && clip->card->len > 0 ? (int64_t)RB_CARD_MS * 1000 : 0;
    return card + once * cut->loops;
}
