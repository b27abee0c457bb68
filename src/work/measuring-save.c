/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>
#include <inttypes.h>

#include "rb/base/error.h"
#include "rb/base/ids.h"
#include "rb/base/told.h"
#include "rb/store/film-measures.h"
#include "rb/store/films.h"
#include "rb/work/error.h"
#include "rb/work/measuring.h"
#include "rb/work/tagging.h"

#include "library-private.h"
#include "measuring-private.h"
#include "tagging-private.h"

GPtrArray *rb_library_load_field_views(RbLibrary *library, RbFilmId film, GError **error)
{
    return rb_store_list_field_views(rb_library_store(library), film, error);
}

GPtrArray *rb_library_load_measures(RbLibrary *library, RbSnapId snap, GError **error)
{
    return rb_store_list_measures(rb_library_store(library), snap, error);
}

GPtrArray *rb_library_load_game_measures(RbLibrary *library, RbGameId game,
                                         GError **error)
{
    return rb_store_list_game_measures(rb_library_store(library), game, error);
}

static bool end(RbLibrary *library, bool done, GError **error)
{
    if (!done) {
        rb_library_rollback(library);
        return false;
    }
    return rb_library_commit(library, false, error);
}

/* What goes with the tags of a cushion or split, or alone. */
typedef struct {
    const RbFieldView *view; /* nullable */
    const RbFilmMeasure *measure;
} Kept;

static bool keep(RbStore *store, void *data, GError **error)
{
    const Kept *kept = data;
    return (kept->view == NULL || rb_store_save_field_view(store, kept->view, error)) &&
           rb_store_save_measure(store, kept->measure, error);
}

/* "left cushion of snap 34 measured 6.2 ± 0.4 yd". Returns: told (transfer full). */
static char *words_for(const RbFilmMeasure *measure, const RbSnap *snap)
{
    g_autofree char *value = rb_film_measure_tell(measure, RB_UNIT_YARDS);
    g_autofree char *label = rb_words_tell(&rb_film_measure_words, (int)measure->kind);
    g_autofree char *kind = rb_told_lower(label);
    switch (measure->side) {
    case RB_SIDE_LEFT:
        return rb_told("left %s of snap %d measured %s", kind, snap->number, value);
    case RB_SIDE_RIGHT:
        return rb_told("right %s of snap %d measured %s", kind, snap->number, value);
    case RB_SIDE_UNKNOWN:
        break;
    }
    return rb_told("%s of snap %d measured %s", kind, snap->number, value);
}

static char *tenths(int thousandths)
{
    const int rounded = rb_film_measure_tenths(thousandths);
    return g_strdup_printf("%d.%d", rounded / 10, rounded % 10);
}

static bool tag(RbLibrary *library, const RbFilmMeasure *measure, const RbFedTags *fed,
                const char *value, const char *pm, const char *words, RbTagAlong along,
                void *data, GError **error)
{
    const RbTagChange changes[] = { { fed->value, value }, { fed->error, pm } };
    return rb_library_tag_with(library, measure->snap, changes, G_N_ELEMENTS(changes),
                               words, along, data, error);
}

static bool save_fed(RbLibrary *library, Kept *kept, const RbFedTags *fed,
                     const char *words, GError **error)
{
    const RbFilmMeasure *measure = kept->measure;
    g_autofree char *value = tenths(measure->value);
    /* At least a tenth: an exact measure there is not. */
    g_autofree char *pm = tenths(MAX(rb_film_measure_pm(measure), RB_MEASURE_PART / 10));
    return tag(library, measure, fed, value, pm, words, keep, kept, error);
}

/* Whether the tag takes the measure; if not, the words say why. */
static bool finds_room(const RbFedTags *fed, const RbSheet *sheet, char **words)
{
    if (!fed->yields || !sheet->own || *fed->tenths(sheet->chart) < 0 ||
        *fed->pm_tenths(sheet->chart) > 0) {
        return true;
    }
    const int said = *fed->tenths(sheet->chart);
    g_autofree char *measured = *words;
    *words = rb_told("%s; its tag stays at %d.%d yd, as a person said", measured,
                     said / 10, said % 10);
    return false;
}

bool rb_library_save_measure(RbLibrary *library, const RbFieldView *view,
                             const RbFilmMeasure *measure, char **words, GError **error)
{
    g_autoptr(RbSheet) sheet = rb_library_load_sheet(library, measure->snap, error);
    if (sheet == NULL) {
        return false;
    }
    g_autoptr(RbFilmMeasure) kept_measure = rb_film_measure_copy(measure);
    const RbFedTags *fed = rb_film_measure_fed(measure);
    if (fed != NULL) {
        kept_measure->id.value =
            rb_id_from_pair(fed->id, measure->snap.value, measure->clip.value);
    } else if (kept_measure->id.value == 0) {
        kept_measure->id.value = rb_id_random();
    }
    Kept kept = { view, kept_measure };
    g_autofree char *text = words_for(kept_measure, sheet->snap);
    const bool tags = fed != NULL && finds_room(fed, sheet, &text);
    const bool saved =
        tags ? save_fed(library, &kept, fed, text, error)
             : rb_library_begin(library, text, error) &&
                   end(library, keep(rb_library_store(library), &kept, error), error);
    if (saved && words != NULL) {
        *words = rb_told_show(text);
    }
    return saved;
}

static bool take_off(RbStore *store, void *id, GError **error)
{
    return rb_store_remove_measure(store, *(const RbFilmMeasureId *)id, error);
}

bool rb_library_remove_measure(RbLibrary *library, RbFilmMeasureId id, GError **error)
{
    RbStore *store = rb_library_store(library);
    GError *failure = NULL;
    g_autoptr(RbFilmMeasure) measure = rb_store_load_measure(store, id, &failure);
    if (measure == NULL) {
        return rb_library_not_found(error, failure, _("This measure is gone already."));
    }
    g_autoptr(RbSheet) sheet = rb_library_load_sheet(library, measure->snap, error);
    if (sheet == NULL) {
        return false;
    }
    g_autofree char *measured = words_for(measure, sheet->snap);
    g_autofree char *words = rb_told("taken off: %s", measured);
    const bool feeds = sheet->own && rb_film_measure_feeds(measure, sheet->chart);
    return feeds ? tag(library, measure, rb_film_measure_fed(measure), "", "", words,
                       take_off, &id, error)
                 : rb_library_begin(library, words, error) &&
                       end(library, take_off(store, &id, error), error);
}
