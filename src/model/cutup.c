/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/model/cutup.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "rb/base/error.h"

static const RbWord kind_table[] = {
    [RB_CUTUP_FIXED] = { "fixed", N_("Fixed list") },
    [RB_CUTUP_LIVE] = { "live", N_("Follows its filter") },
};
const RbWords rb_cutup_kind_words = { N_("kind of cut-up"), kind_table,
                                      G_N_ELEMENTS(kind_table) };

static const RbWord view_table[] = {
    [RB_VIEW_WIDE] = { "wide", N_("Wide") },
    [RB_VIEW_TIGHT] = { "tight", N_("Tight") },
    [RB_VIEW_BOTH] = { "both", N_("Both, side by side") },
};
const RbWords rb_view_words = { N_("view"), view_table, G_N_ELEMENTS(view_table) };

static const RbWord point_table[] = {
    [RB_POINT_NONE] = { "none", N_("Nowhere") },
    [RB_POINT_FIRST] = { "first", N_("First frame") },
    [RB_POINT_SET] = { "set", N_("Set") },
    [RB_POINT_SNAP] = { "snap", N_("Snap") },
    [RB_POINT_TOP] = { "top", N_("Top of the drop") },
    [RB_POINT_RELEASE] = { "release", N_("Release") },
    [RB_POINT_ARRIVAL] = { "arrival", N_("Arrival") },
    [RB_POINT_END] = { "end", N_("End of the play") },
    [RB_POINT_LAST] = { "last", N_("Last frame") },
};
const RbWords rb_point_words = { N_("point of a clip"), point_table,
                                 G_N_ELEMENTS(point_table) };

static const RbWord card_table[] = {
    [RB_CARD_GAME] = { "game", N_("Game") },
    [RB_CARD_SNAP] = { "snap", N_("Number of the snap") },
    [RB_CARD_SITUATION] = { "situation", N_("Down, distance and spot") },
    [RB_CARD_CALL] = { "call", N_("Concept called") },
    [RB_CARD_COVERAGE] = { "coverage", N_("Coverage") },
    [RB_CARD_VERDICT] = { "verdict", N_("Verdict") },
    [RB_CARD_RESULT] = { "result", N_("Result") },
    [RB_CARD_QUARTERBACK] = { "quarterback", N_("Quarterback") },
    [RB_CARD_NOTE] = { "note", N_("Note") },
};
const RbWords rb_card_words = { N_("word on a title card"), card_table,
                                G_N_ELEMENTS(card_table) };

RbCut rb_cut_default(void)
{
    return (RbCut){ .view = RB_VIEW_WIDE,
                    .start = RB_POINT_FIRST,
                    .stop = RB_POINT_LAST,
                    .speed = 100,
                    .loops = 1,
                    .freeze = RB_POINT_NONE,
                    .freeze_ms = 2000 };
}

RbCut rb_cut_copy(const RbCut *cut)
{
    RbCut copy = *cut;
    copy.card = g_strdup(cut->card);
    return copy;
}

void rb_cut_clear(RbCut *cut)
{
    g_clear_pointer(&cut->card, g_free);
}

bool rb_cut_equal(const RbCut *a, const RbCut *b)
{
    return a->view == b->view && a->start == b->start && a->stop == b->stop &&
           a->speed == b->speed && a->loops == b->loops && a->freeze == b->freeze &&
           a->freeze_ms == b->freeze_ms && g_strcmp0(a->card, b->card) == 0;
}

static bool in_range(const char *what, int value, int low, int high, GError **error)
{
    return (value >= low && value <= high) ||
           rb_error_set(error, RB_BASE_ERROR, RB_BASE_ERROR_RANGE,
                        "%s can be from %d to %d, not %d.", what, low, high, value);
}

bool rb_cut_check(const RbCut *cut, GError **error)
{
    unsigned bits = 0;
    if (!in_range(_("The speed of a clip, in percent,"), cut->speed, RB_SPEED_MIN,
                  RB_SPEED_MAX, error) ||
        !in_range(_("The number of times a clip is shown"), cut->loops, 1, RB_LOOPS_MAX,
                  error) ||
        !in_range(_("The time a clip stands still, in milliseconds,"), cut->freeze_ms, 0,
                  RB_FREEZE_MS_MAX, error) ||
        !rb_card_parse(cut->card, &bits, error)) {
        return false;
    }
    if (cut->start == RB_POINT_NONE || cut->stop == RB_POINT_NONE) {
        return rb_error_set(error, RB_BASE_ERROR, RB_BASE_ERROR_RANGE,
                            "A clip needs a start and a stop: choose two of its points.");
    }
    /* The points are in the order in which they happen. */
    if (cut->start >= cut->stop) {
        return rb_error_set(error, RB_BASE_ERROR, RB_BASE_ERROR_RANGE,
                            "A clip cannot start at \"%s\" and stop at \"%s\": choose a "
                            "later stop.",
                            rb_words_label(&rb_point_words, (int)cut->start),
                            rb_words_label(&rb_point_words, (int)cut->stop));
    }
    return true;
}

void rb_cut_mend(RbCut *cut)
{
    unsigned bits = 0;
    const RbCut usual = rb_cut_default();
    if (cut->speed < RB_SPEED_MIN || cut->speed > RB_SPEED_MAX) {
        cut->speed = usual.speed;
    }
    if (cut->loops < 1 || cut->loops > RB_LOOPS_MAX) {
        cut->loops = usual.loops;
    }
    if (cut->freeze_ms < 0 || cut->freeze_ms > RB_FREEZE_MS_MAX) {
        cut->freeze_ms = usual.freeze_ms;
    }
    if (cut->start == RB_POINT_NONE || cut->stop == RB_POINT_NONE ||
        cut->start >= cut->stop) {
        cut->start = usual.start;
        cut->stop = usual.stop;
    }
    if (!rb_card_parse(cut->card, &bits, NULL)) {
        g_clear_pointer(&cut->card, g_free);
    }
}

bool rb_card_parse(const char *card, unsigned *bits, GError **error)
{
    *bits = 0;
    g_auto(GStrv) words = g_strsplit(card != NULL ? card : "", ",", -1);
    for (char **word = words; *word != NULL; word++) {
        int found = 0;
        g_strstrip(*word);
        if (**word == '\0') {
            continue;
        }
        if (!rb_words_parse(&rb_card_words, *word, &found)) {
            g_autofree char *list = rb_words_list(&rb_card_words);
            return rb_error_set(error, RB_BASE_ERROR, RB_BASE_ERROR_RANGE,
                                "A title card does not know \"%s\"; it can show %s.",
                                *word, list);
        }
        *bits |= 1U << found;
    }
    return true;
}

char *rb_card_text(unsigned bits)
{
    g_autoptr(GString) text = g_string_new(NULL);
    for (int i = 0; i < rb_card_words.n; i++) {
        if ((bits & 1U << i) != 0) {
            g_string_append_printf(text, "%s%s", text->len > 0 ? "," : "",
                                   rb_words_token(&rb_card_words, i));
        }
    }
    return text->len > 0 ? g_strdup(text->str) : NULL;
}

bool rb_clip_find_point(const RbClip *clip, RbPoint point, int64_t *frame)
{
    const RbMark *mark = NULL;
    *frame = point <= RB_POINT_SNAP ? clip->first : clip->last;
    switch (point) {
    case RB_POINT_NONE:
        return false;
    case RB_POINT_FIRST:
    case RB_POINT_LAST:
        return true;
    case RB_POINT_SET:
        mark = rb_clip_find_mark(clip, RB_MARK_SET);
        break;
    case RB_POINT_SNAP:
        mark = rb_clip_find_mark(clip, RB_MARK_SNAP);
        break;
    case RB_POINT_TOP:
        mark = rb_clip_find_mark(clip, RB_MARK_TOP);
        break;
    case RB_POINT_RELEASE:
        mark = rb_clip_find_mark(clip, RB_MARK_RELEASE);
        break;
    case RB_POINT_ARRIVAL:
        mark = rb_clip_find_mark(clip, RB_MARK_ARRIVAL);
        break;
    case RB_POINT_END:
        mark = rb_clip_find_mark(clip, RB_MARK_END);
        break;
    }
    if (mark == NULL) {
        return false;
    }
    *frame = CLAMP(mark->frame, clip->first, clip->last);
    return true;
}

RbCutup *rb_cutup_new(RbCutupId id, const char *name, RbCutupKind kind)
{
    RbCutup *cutup = g_new0(RbCutup, 1);
    cutup->id = id;
    cutup->name = g_strdup(name);
    cutup->kind = kind;
    cutup->cut = rb_cut_default();
    return cutup;
}

RbCutup *rb_cutup_copy(const RbCutup *cutup)
{
    RbCutup *copy = g_memdup2(cutup, sizeof *cutup);
    copy->name = g_strdup(cutup->name);
    copy->filter = g_strdup(cutup->filter);
    copy->cut = rb_cut_copy(&cutup->cut);
    copy->note = g_strdup(cutup->note);
    return copy;
}

void rb_cutup_free(RbCutup *cutup)
{
    if (cutup == NULL) {
        return;
    }
    rb_cut_clear(&cutup->cut);
    g_free(cutup->name);
    g_free(cutup->filter);
    g_free(cutup->note);
    g_free(cutup);
}

RbCutupEntry *rb_cutup_entry_new(RbCutupEntryId id, RbCutupId cutup, RbSnapId snap)
{
    RbCutupEntry *entry = g_new0(RbCutupEntry, 1);
    entry->id = id;
    entry->cutup = cutup;
    entry->snap = snap;
    entry->cut = rb_cut_default();
    return entry;
}

RbCutupEntry *rb_cutup_entry_copy(const RbCutupEntry *entry)
{
    RbCutupEntry *copy = g_memdup2(entry, sizeof *entry);
    copy->cut = rb_cut_copy(&entry->cut);
    copy->note = g_strdup(entry->note);
    return copy;
}

void rb_cutup_entry_free(RbCutupEntry *entry)
{
    if (entry == NULL) {
        return;
    }
    rb_cut_clear(&entry->cut);
    g_free(entry->note);
    g_free(entry);
}

RbCutupEntryId rb_cutup_entry_id(RbCutupId cutup, RbSnapId snap)
{
    return (RbCutupEntryId){ rb_id_from_pair("cutup-entry", cutup.value, snap.value) };
}

bool rb_place_between(const int64_t *before, const int64_t *after, int64_t *place)
{
    if (before == NULL && after == NULL) {
        *place = 0;
        return true;
    }
    if (after == NULL) {
        *place = *before > INT64_MAX - RB_PLACE_STEP ? 0 : *before + RB_PLACE_STEP;
        return *before <= INT64_MAX - RB_PLACE_STEP;
    }
    if (before == NULL) {
        *place = *after < INT64_MIN + RB_PLACE_STEP ? 0 : *after - RB_PLACE_STEP;
        return *after >= INT64_MIN + RB_PLACE_STEP;
    }
    /* Half the distance without overflow, whatever the signs. */
    const uint64_t gap = (uint64_t)*after - (uint64_t)*before;
    if (*after <= *before || gap < 2) {
        return false;
    }
    *place = (int64_t)((uint64_t)*before + gap / 2);
    return true;
}
