/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/store/store.h"

/* Who did what and when; undo, redo; fields on which laptops disagree; forgetting a name. */

/* An action is named by the laptop it was done on and its number there, 1 and up. */
typedef struct {
    int64_t laptop;
    int64_t number;
} RbActionId;

typedef enum {
    RB_ACTION_DO,
    RB_ACTION_UNDO,
    RB_ACTION_REDO,
    RB_ACTION_FORGET, /* cannot be undone */
} RbActionType;

typedef struct {
    RbActionId id;
    RbActionType type;
    RbPersonId person;
    char *who;   /* owned: the person's name; empty for none */
    char *words; /* owned: as kept (rb/base/told.h); of undo and redo, the action meant */
    int64_t when_us;   /* Unix time */
    RbActionId target; /* undo, redo: the action meant; else zeros */
    bool undone;       /* it is undone now */
    int changes;       /* fields it changed */
} RbHistoryEntry;

/* Newest first. before_us: entries before that time (exclusive); INT64_MAX for all.
 * limit: at most so many. Returns: (transfer full): GPtrArray of RbHistoryEntry. */
GPtrArray *rb_store_list_history(RbStore *store, int64_t before_us, int limit,
                                 GError **error);
void rb_history_entry_free(RbHistoryEntry *entry);

/* One field that an action changed. Values are as stored: tokens, ids, numbers. */
typedef struct {
    char *table; /* owned */
    int64_t row;
    char *column; /* owned */
    char *old;    /* owned, nullable */
    char *new_;   /* owned, nullable */
} RbChange;

/* Returns: (transfer full): GPtrArray of RbChange, in the order recorded. */
GPtrArray *rb_store_list_changes(RbStore *store, RbActionId action, GError **error);
void rb_change_free(RbChange *change);

/* Takes back the newest action of a person on this laptop that is not undone, or puts back the one undone
 * last, as an action of its own by `person`. A field that something else has changed since is
 * left as it is and named in `skipped`: (out) (transfer full) (nullable): GPtrArray of
 * RbChange. words: (out) (transfer full) (nullable): of the action meant, as kept. NOTHING when
 * there is none. Not inside an action. */
bool rb_store_undo(RbStore *store, RbPersonId person, char **words, GPtrArray **skipped,
                   GError **error);
bool rb_store_redo(RbStore *store, RbPersonId person, char **words, GPtrArray **skipped,
                   GError **error);
/* Takes back one action, wherever it stands and whoever did it. */
bool rb_store_undo_action(RbStore *store, RbPersonId person, RbActionId action,
                          GPtrArray **skipped, GError **error);
/* What undo and redo would do now, as kept: (out) (transfer full) (nullable): NULL for nothing. */
bool rb_store_peek_undo(RbStore *store, char **undo_words, char **redo_words,
                        GError **error);

/* One value of a disputed field. */
typedef struct {
    int64_t laptop;
    int64_t seq;
    RbPersonId person;
    int64_t when_us;
    char *value; /* owned, nullable */
} RbHead;

/* A field that two laptops set without knowing of each other, to different values. The first
 * head's value is the one shown. */
typedef struct {
    char *table; /* owned */
    int64_t row;
    char *column;     /* owned */
    GPtrArray *heads; /* owned, of RbHead, the greatest first */
} RbConflict;

/* Returns: (transfer full): GPtrArray of RbConflict, by table, row, column. */
GPtrArray *rb_store_list_conflicts(RbStore *store, GError **error);
void rb_conflict_free(RbConflict *conflict);
/* Settles a field on the value of one of its heads, for all laptops. Needs an action. */
bool rb_store_settle(RbStore *store, const RbConflict *conflict, int head,
                     GError **error);

/* Removes the name of a player or of a member of the staff everywhere: the row, every note,
 * title and document that holds it as whole words, the history, the backups (one of another
 * schema is deleted). Row and tags stay; so do the paths of films on this computer. Cannot be
 * undone. Not inside an action. by: who asks. False with the library itself done when a
 * backup could not be; the error names it. */
bool rb_store_forget_player(RbStore *store, RbPersonId by, RbPlayerId id, GError **error);
bool rb_store_forget_person(RbStore *store, RbPersonId by, RbPersonId id, GError **error);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbHistoryEntry, rb_history_entry_free)
G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbChange, rb_change_free)
G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbConflict, rb_conflict_free)
