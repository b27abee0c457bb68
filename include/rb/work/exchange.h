/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/base/jobs.h"
#include "rb/work/library.h"

/* Many laptops, one chart: each puts its work into a folder that the staff shares (a network
 * folder, a synchronised one, a stick), and takes what the others put there. A library itself
 * never lies in that folder. Work is merged field by field; charts have one author each and never
 * collide; two values given to one fact in ignorance of each other are a dispute that a person
 * settles. Files of others are untrusted: each is checked whole before any of it is used.
 *
 * Tags about players are personal data, some of them about minors: the folder must be one that
 * only the staff can read. */

/* What was put into the folder. */
typedef struct {
    int64_t actions; /* that were not there yet */
    int files;       /* written */
    bool
        anew; /* all of this laptop's files, since a name was forgotten or a file damaged */
} RbExchangeSent;

/* Writes what this laptop did and the folder does not hold. Repeating it changes nothing. A
 * file appears whole or not at all. */
bool rb_exchange_send(RbLibrary *library, const char *folder, RbExchangeSent *sent,
                      RbCancel *cancel, RbProgress *progress, GError **error);

typedef enum {
    RB_EXCHANGE_TAKEN,
    RB_EXCHANGE_WAITS,   /* it builds on work that is not in the folder yet */
    RB_EXCHANGE_REFUSED, /* damaged, foreign, or from a newer version */
} RbExchangeFate;

/* A file of the folder that brought something or could not be used. */
typedef struct {
    char *file;     /* owned: its name */
    char *who;      /* owned: who works on that laptop, as far as known; empty if not */
    char *sentence; /* owned, nullable: why it waits or was refused, and what to do */
    RbExchangeFate fate;
    int64_t actions; /* taken from it */
} RbExchangeLine;

typedef struct {
    GPtrArray *lines; /* owned, of RbExchangeLine */
    int64_t actions;  /* taken in all */
    int64_t fields;   /* that they set */
    int waiting;
    int refused;
} RbExchangeReceived;

void rb_exchange_received_free(RbExchangeReceived *received);

/* Takes what the others put there, in whatever order it lies. A file that cannot be used is named
 * and left; the rest is taken. Cancelled between files: what was taken stays, and the next
 * call goes on. Returns: (transfer full): NULL with `error` when the folder or the library
 * itself fails. */
RbExchangeReceived *rb_exchange_receive(RbLibrary *library, const char *folder,
                                        RbCancel *cancel, RbProgress *progress,
                                        GError **error);

/* One laptop of the staff, as the folder and this library know it. */
typedef struct {
    int64_t laptop;
    bool mine;
    char *who;         /* owned: empty if not known */
    int64_t here;      /* its actions that this library holds */
    int64_t in_folder; /* the last action that the folder holds */
} RbExchangeLaptop;

/* What sending and receiving would do now. Reads only names of files. Returns: (transfer full):
 * GPtrArray of RbExchangeLaptop, this one first. */
GPtrArray *rb_exchange_status(RbLibrary *library, const char *folder, GError **error);

/* One value of a disputed fact. */
typedef struct {
    char *text; /* owned: in words */
    char *told; /* owned: the same, for the history (rb/base/told.h) */
    char *who;  /* owned */
    int64_t stamp_us;
} RbDisputeValue;

/* A field to which two laptops gave different values, neither knowing of the other. */
typedef struct {
    char *what;        /* owned: "snap 34 of Falls at Ridge: down" */
    char *told;        /* owned: the same, for the history (rb/base/told.h) */
    RbSnapId snap;     /* to play it; 0 when it is not of a snap */
    GPtrArray *values; /* owned, of RbDisputeValue; the one shown now first */
    void *conflict;    /* owned: for settling */
} RbDispute;

void rb_dispute_free(RbDispute *dispute);

/* Returns: (transfer full): GPtrArray of RbDispute. */
GPtrArray *rb_exchange_load_disputes(RbLibrary *library, GError **error);
/* Settles on one of the values, for every laptop; the others stay in the history. */
bool rb_exchange_settle(RbLibrary *library, const RbDispute *dispute, int value,
                        GError **error);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbExchangeReceived, rb_exchange_received_free)
G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbDispute, rb_dispute_free)
