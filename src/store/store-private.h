/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/base/thread.h"
#include "rb/store/history.h"
#include "rb/store/store.h"

#include "sqlite-private.h"

#define RB_APPLICATION_ID 0x5264426b /* "RdBk", in the header of the file */

/* The scripts that make the schema; tests give longer lists. */
typedef struct {
    const char *const *scripts;
    int n;
} RbSchema;

typedef struct {
    bool read_only;
    int busy_ms;            /* how long to wait for another program; 0: 5 seconds */
    const char *vfs;        /* nullable: the system's; tests stand in for a bad disk */
    const RbSchema *schema; /* nullable: this version's */
} RbStoreOptions;

RbStore *rb_store_open_with(const char *path, const RbStoreOptions *options,
                            GError **error);
RbStore *rb_store_create_with(const char *path, const RbStoreOptions *options,
                              GError **error);

/* What the open action is: filled in by begin, and by undo, redo and forget. */
typedef struct {
    RbActionType type;
    RbPersonId person;
    char *words;       /* owned */
    RbActionId target; /* undo, redo */
    const char *table; /* forget: static */
    int64_t row;       /* forget */
    bool seed;         /* what every new library starts with */
} RbPending;

/* A field whose heads are to be replaced by one with the value shown already. */
typedef struct {
    int64_t field;
    int64_t row;
} RbSettled;

/* A field to which undo or redo brings back the value of an older op. */
typedef struct {
    int64_t field;
    int64_t row;
    int64_t author;
    int64_t seq;
} RbRestored;

struct RbStore {
    RbConfined confined;
    /* owned */
    char *path; /* absolute */
    char *vfs;  /* nullable */
    sqlite3 *db;
    GHashTable *statements; /* idle: text to sqlite3_stmt */
    GHashTable *tables; /* table name to GPtrArray of column names, for the recorder */
    sqlite3_session *session; /* while an action is open */
    GArray *settled;          /* of RbSettled: ops with no change of value */
    GArray *restored;         /* of RbRestored: what undo and redo bring back */
    RbPending pending;
    /* plain */
    bool read_only;
    bool in_action;
    int version;    /* of the schema it was opened with */
    int64_t laptop; /* 0: opened for reading only */
};

/* Starts an action like rb_store_begin(), of any type. Takes pending->words. */
bool rb_store_begin_pending(RbStore *store, RbPending pending, GError **error);

/* A transaction on shared tables that is not recorded: what comes from another laptop has its
 * history with it. End with rb_store_rollback() or: */
bool rb_store_begin_unrecorded(RbStore *store, GError **error);
bool rb_store_commit_unrecorded(RbStore *store, GError **error);

/* Sets `error` from the store's connection; returns false. */
bool rb_store_fail(RbStore *store, int code, GError **error);

/* Asserts the right thread, and an open action. */
void rb_store_assert_in_action(const RbStore *store);

/* The shared tables, in the order of the schema. NULL ends the list. */
extern const char *const rb_shared_tables[];
/* The local ones. */
extern const char *const rb_local_tables[];
