/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cutups-watch.h"

struct RbCutupsWatch {
    RbDeck *deck;            /* owned reference */
    const RbCutupPlan *plan; /* borrowed, nullable */
    RbCutupsMoved moved;
    RbCutupsCard card;
    void *data;
    int clip; /* -1: none */
    bool running;
    bool started; /* the deck was seen running: its stop is the clip's end */
    bool stood;   /* this showing has had its stop */
    int shown;    /* showings of the clip that are over */
    bool carded;  /* its card was seen, or is */
    guint wait;   /* source of the end of a stop or card; 0 none */
};

static const RbCutupClip *clip_at(const RbCutupsWatch *watch, int i)
{
    return watch->plan != NULL && i >= 0 && i < (int)watch->plan->clips->len
               ? watch->plan->clips->pdata[i]
               : NULL;
}

static gboolean on_card_seen(gpointer data);

/* The card first, once before all showings of its clip. */
static void run_deck(RbCutupsWatch *watch)
{
    const RbCutupClip *clip = clip_at(watch, watch->clip);
    watch->started = false;
    if (!watch->carded && clip->card->len > 0) {
        watch->card(clip, watch->data);
        watch->wait = g_timeout_add(RB_CARD_MS, on_card_seen, watch);
        watch->carded = true;
        return;
    }
    watch->carded = true;
    rb_deck_play(watch->deck, clip->entry->cut.speed / 100.0);
}

static gboolean on_card_seen(gpointer data)
{
    RbCutupsWatch *watch = data;
    watch->wait = 0;
    watch->card(NULL, watch->data);
    run_deck(watch);
    return G_SOURCE_REMOVE;
}

static RbClip *span(const RbCutupClip *clip, const char *path, RbAngle angle,
                    int64_t first, int64_t last, int64_t anchor, GPtrArray *paths)
{
    const RbClipId id = { rb_id_from_pair("cutup-clip", clip->entry->id.value, angle) };
    RbClip *made = rb_clip_new(id, clip->entry->snap, (RbFilmId){ 1 }, angle);
    made->first = first;
    made->last = last;
    const RbMark snap = { .clip = id, .kind = RB_MARK_SNAP, .frame = anchor };
    if (anchor > first && anchor < last) {
        g_array_append_val(made->marks, snap);
    }
    g_ptr_array_add(paths, g_strdup(path));
    return made;
}

static void load(RbCutupsWatch *watch)
{
    const RbCutupClip *clip = clip_at(watch, watch->clip);
    g_autoptr(GPtrArray) clips =
        g_ptr_array_new_with_free_func((GDestroyNotify)rb_clip_free);
    g_autoptr(GPtrArray) paths = g_ptr_array_new_with_free_func(g_free);
    if (clip != NULL && clip->path != NULL) {
        const bool tight = clip->entry->cut.view == RB_VIEW_TIGHT;
        g_ptr_array_add(clips,
                        span(clip, clip->path, tight ? RB_ANGLE_TIGHT : RB_ANGLE_WIDE,
                             clip->first, clip->last, clip->anchor, paths));
        if (clip->beside != NULL) {
            const int64_t shift = clip->beside_anchor - clip->anchor;
            g_ptr_array_add(clips, span(clip, clip->beside, RB_ANGLE_TIGHT,
                                        MAX(clip->first + shift, 0), clip->last + shift,
                                        clip->beside_anchor, paths));
        }
    }
    rb_deck_set_both(watch->deck, clip != NULL && clip->beside != NULL);
    rb_deck_set_clips(watch->deck, clips, paths);
    if (clip != NULL && clip->path != NULL) {
        rb_deck_show(watch->deck, clip->first);
    }
}

static void go_to(RbCutupsWatch *watch, int clip)
{
    watch->clip = clip;
    watch->shown = 0;
    watch->stood = false;
    watch->carded = false;
    load(watch);
    watch->moved(clip, watch->data);
}

/* The next clip that has film; false at the end. */
static bool next(RbCutupsWatch *watch)
{
    for (int i = watch->clip + 1; clip_at(watch, i) != NULL; i++) {
        if (clip_at(watch, i)->missing == NULL) {
            go_to(watch, i);
            return true;
        }
    }
    return false;
}

static void end_of_clip(RbCutupsWatch *watch)
{
    const RbCutupClip *clip = clip_at(watch, watch->clip);
    watch->shown++;
    watch->stood = false;
    if (watch->shown < clip->entry->cut.loops) {
        rb_deck_show(watch->deck, clip->first);
        run_deck(watch);
    } else if (next(watch)) {
        run_deck(watch);
    } else {
        watch->running = false;
    }
}

static gboolean on_stood(gpointer data)
{
    RbCutupsWatch *watch = data;
    watch->wait = 0;
    run_deck(watch);
    return G_SOURCE_REMOVE;
}

static void on_frame(RbCutupsWatch *watch)
{
    const RbCutupClip *clip = clip_at(watch, watch->clip);
    if (!watch->running || clip == NULL || clip->freeze < 0 || watch->stood ||
        rb_deck_get_frame(watch->deck) < clip->freeze) {
        return;
    }
    watch->stood = true;
    watch->started = false;
    rb_deck_play(watch->deck, 0);
    watch->wait = g_timeout_add((guint)clip->entry->cut.freeze_ms, on_stood, watch);
}

static void on_changed(RbCutupsWatch *watch)
{
    if (!watch->running || watch->wait != 0) {
        return;
    }
    if (rb_deck_get_speed(watch->deck) != 0) {
        watch->started = true;
        return;
    }
    const RbClip *clip = rb_deck_get_clip(watch->deck);
    if (watch->started && clip != NULL) {
        if (rb_deck_get_frame(watch->deck) >= clip->last) {
            end_of_clip(watch);
        } else {
            watch->running = false; /* somebody stopped the film */
        }
    }
}

RbCutupsWatch *rb_cutups_watch_new(RbDeck *deck, RbCutupsMoved moved, RbCutupsCard card,
                                   void *data)
{
    RbCutupsWatch *watch = g_new0(RbCutupsWatch, 1);
    watch->deck = g_object_ref(deck);
    watch->moved = moved;
    watch->card = card;
    watch->data = data;
    watch->clip = -1;
    g_signal_connect_swapped(deck, "frame", G_CALLBACK(on_frame), watch);
    g_signal_connect_swapped(deck, "changed", G_CALLBACK(on_changed), watch);
    return watch;
}

static void stop(RbCutupsWatch *watch)
{
    watch->running = false;
    if (watch->wait != 0) {
        g_source_remove(watch->wait);
        watch->wait = 0;
        watch->card(NULL, watch->data);
    }
    rb_deck_play(watch->deck, 0);
}

void rb_cutups_watch_free(RbCutupsWatch *watch)
{
    if (watch == NULL) {
        return;
    }
    g_signal_handlers_disconnect_by_data(watch->deck, watch);
    stop(watch);
    g_object_unref(watch->deck);
    g_free(watch);
}

void rb_cutups_watch_set_plan(RbCutupsWatch *watch, const RbCutupPlan *plan)
{
    stop(watch);
    watch->plan = plan;
}

void rb_cutups_watch_show(RbCutupsWatch *watch, int clip)
{
    stop(watch);
    watch->clip = clip;
    watch->shown = 0;
    watch->stood = false;
    watch->carded = false;
    load(watch);
}

void rb_cutups_watch_toggle(RbCutupsWatch *watch)
{
    const RbCutupClip *clip = clip_at(watch, watch->clip);
    if (watch->running) {
        stop(watch);
    } else if (clip != NULL && clip->missing == NULL) {
        watch->running = true;
        if (rb_deck_get_frame(watch->deck) >= clip->last) {
            rb_deck_show(watch->deck, clip->first);
            watch->stood = false;
        }
        /* A film that was stopped within the clip goes on from there. */
        watch->carded = watch->carded || rb_deck_get_frame(watch->deck) > clip->first;
        run_deck(watch);
    } else if (clip != NULL && next(watch)) { /* the first from here that has film */
        watch->running = true;
        run_deck(watch);
    }
}

bool rb_cutups_watch_is_running(const RbCutupsWatch *watch)
{
    return watch->running;
}
