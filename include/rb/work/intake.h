/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>
#include <stdint.h>

#include "rb/base/cancel.h"
#include "rb/base/jobs.h"
#include "rb/model/film.h"
#include "rb/model/snap.h"
#include "rb/work/films.h"
#include "rb/work/library.h"

/* Loading a game's film: look at the files, propose which clip shows which snap, let a person
 * mend the table, then write it all as one action. Nothing is written before that.
 *
 *     intake = rb_intake_read(paths, &options, cancel, progress, &error);   // worker thread
 *     rb_intake_match(intake, game, snaps);                                 // at once
 *     …show intake->rows, rb_intake_set_extra(), rb_intake_shift()…
 *     rb_library_save_intake(library, intake, &result, &error);
 */

/* Small grey pictures of a clip: at its start, middle and end. */
#define RB_INTAKE_PICTURES 3
#define RB_INTAKE_WIDTH 64
#define RB_INTAKE_HEIGHT 36
#define RB_INTAKE_PIXELS (RB_INTAKE_WIDTH * RB_INTAKE_HEIGHT)

typedef enum {
    RB_SHAPE_TELL,  /* long above 90 s, else a clip */
    RB_SHAPE_CLIPS, /* a file is a snap */
    RB_SHAPE_LONG,  /* a file is a recording, to be cut */
} RbIntakeShape;

typedef struct {
    RbIntakeShape shape;
    bool
        tight_first; /* of two cameras that no name tells apart, the first file is tight */
} RbIntakeOptions;

typedef struct {
    RbFilmLook *look; /* owned */
    RbAngle angle;
    bool named; /* the angle is the caller's or the name's word */
} RbIntakeFile;

typedef struct {
    int file; /* in files */
    RbAngle angle;
    int number;    /* of the snap in the file's name, -1: none */
    int same_as;   /* the clip it shows once more; -1: none */
    int64_t first; /* frames of the film, both ends included */
    int64_t last;
    RbTime first_time;
    RbTime last_time;
    int64_t length_us;
    double cut_sure; /* that the camera was stopped before it; 1 where a file starts */
    bool out;        /* a person said that it shows no snap */
    bool goes_on;    /* the recording goes on in the next file without a cut */
    uint8_t pictures[RB_INTAKE_PICTURES][RB_INTAKE_PIXELS];
} RbIntakeClip;

typedef enum {
    RB_INTAKE_BOTH,       /* a snap with both angles */
    RB_INTAKE_WIDE_ONLY,  /* the tight clip is missing */
    RB_INTAKE_TIGHT_ONLY, /* the wide clip is missing */
    RB_INTAKE_NO_FILM,    /* a snap of the log, or a number, without any clip */
    RB_INTAKE_EXTRA,      /* a clip of no snap: not written */
    RB_INTAKE_DUPLICATE,  /* shows what another clip shows: not written */
} RbIntakeKind;
extern const RbWords rb_intake_kind_words;

typedef struct {
    RbIntakeKind kind;
    int wide; /* in clips; -1: none */
    int tight;
    int number;    /* of the snap; 0: none */
    RbSnapId snap; /* 0: to be made, or none */
    double sure;   /* 0 to 1 */
} RbIntakeRow;

typedef struct {
    GPtrArray *files;   /* owned, of RbIntakeFile */
    GPtrArray *clips;   /* owned, of RbIntakeClip: by angle as filmed */
    GArray *rows;       /* owned, of RbIntakeRow */
    GPtrArray *refused; /* owned, of char *: a sentence for each file that is no film */
    RbGameId game;
    GPtrArray *snaps; /* owned, of RbSnap: those of the game, in order */
    bool by_number;   /* the names' numbers are those of the snaps */
    bool by_hand;     /* rows were taken out, put back or moved since they were matched */
    bool alternating; /* the angles were told apart by their pictures */
} RbIntake;

/* A number of what rb_intake_read() would find at `path`: another one when a film comes, goes, grows
 * or is written again; 0 when nothing can be read there. Blocking: a worker's job. */
uint64_t rb_intake_look(const char *path);

/* paths: NULL-ended; films, and folders whose films (and those of their folders) are taken in
 * natural order. angles: (nullable): of each path; RB_ANGLE_OTHER: tell from names and
 * pictures. Files that are no films are listed, not fatal; no film at all is an error.
 * Blocking: a worker's job. Returns: (transfer full) (nullable). */
RbIntake *rb_intake_read(const char *const *paths, const RbAngle *angles,
                         const RbIntakeOptions *options, RbCancel *cancel,
                         RbProgress *progress, GError **error);
void rb_intake_free(RbIntake *intake); /* NULL is allowed */

/* Makes the rows anew. snaps: (transfer full) (nullable): of RbSnap, what the game's log says
 * was played, in order. */
void rb_intake_match(RbIntake *intake, RbGameId game, GPtrArray *snaps);

/* How many rows are of this kind. */
int rb_intake_count(const RbIntake *intake, RbIntakeKind kind);
/* What the row says, for a person: "the tight clip is missing", "shows what 012.mp4 shows".
 * Returns: (transfer full). */
char *rb_intake_row_text(const RbIntake *intake, const RbIntakeRow *row);
/* A clip's name: its file's, with the span when it is one of several. Returns: (transfer full):
 * "-" for -1. */
char *rb_intake_clip_text(const RbIntake *intake, int clip);

/* Mending. Each returns false when the row does not allow it. */
/* Takes a row's clips out of the snaps, or puts an extra one back in its place as filmed. */
bool rb_intake_set_extra(RbIntake *intake, guint row, bool extra);
/* Moves the clips of one angle from this row on to the next row (1) or the one before (-1). */
bool rb_intake_shift(RbIntake *intake, guint row, RbAngle angle, int by);

/* The same paths were read again, since a film came, went or changed, and matched: what a person
 * mended in the table `before`, rows and cuts, is done to this one, and new clips go where no other
 * is: beside the angle they were matched with, to a snap without film, else they are extra ones.
 * row: of before, or -1. Returns: where its clips stand now; -1: nowhere. */
int rb_intake_keep_mends(RbIntake *intake, const RbIntake *before, int row);

/* Reviewing the cuts of a long recording. A cut is named by the clip that it starts. */
#define RB_INTAKE_SURE 0.9
/* The least sure cut that the row's clips start with; -1: each of them is at least `sure`. */
int rb_intake_find_cut(const RbIntake *intake, const RbIntakeRow *row, double sure);
/* How many cuts of clips that count are less sure than RB_INTAKE_SURE. */
int rb_intake_count_cuts(const RbIntake *intake);
/* The clip of the same recording that ends where this one starts; -1: none. */
int rb_intake_clip_before(const RbIntake *intake, int clip);
/* A person has seen it: the camera was stopped there. */
bool rb_intake_keep_cut(RbIntake *intake, int clip);
/* It was not: the clip becomes the end of the one before. Everything is matched anew, so that
 * what was shifted by hand is forgotten; what was taken out stays out. */
bool rb_intake_join_cut(RbIntake *intake, int clip);

/* A cut that the finder missed, or put wrongly: where it is to be, its time, and small pictures of
 * the middle and the end of what is before it, of the start and the middle of what is behind. */
#define RB_SEAM_PICTURES 4
typedef struct {
    int64_t first; /* frame of what is cut … */
    int64_t at;    /* … the first behind the cut … */
    int64_t last;
    RbTime before_time; /* of the frame before the cut */
    RbTime at_time;
    int64_t before_us; /* lengths of the two */
    int64_t after_us;
    uint8_t pictures[RB_SEAM_PICTURES][RB_INTAKE_PIXELS];
} RbIntakeSeam;

/* Looks at a film where it is to be cut: first < at, at <= last. Blocking: a worker's job. */
bool rb_intake_read_seam(const char *path, int64_t first, int64_t at, int64_t last,
                         RbIntakeSeam *seam, RbCancel *cancel, GError **error);
/* Cuts a clip in two, for certain; the seam is of its first and last frame. Everything is matched
 * anew, as with rb_intake_join_cut(). False if the clip is another by now. */
bool rb_intake_add_cut(RbIntake *intake, int clip, const RbIntakeSeam *seam);
/* Moves the cut that the clip starts with; the seam is from the first frame of the clip before to
 * the last of this one. */
bool rb_intake_move_cut(RbIntake *intake, int clip, const RbIntakeSeam *seam);

typedef struct {
    int films; /* added; those known already count not */
    int clips;
    int snaps; /* made */
} RbIntakeSaved;

/* Writes films, snaps and clips as one action; what is there already stays as it is, so that a second time changes nothing. copy: (nullable): a folder
 * that the films are copied into first, with rb_intake_copy(); else they stay where they are.
 * saved: (out). */
bool rb_library_save_intake(RbLibrary *library, const RbIntake *intake, const char *copy,
                            RbIntakeSaved *saved, RbCancel *cancel, RbProgress *progress,
                            GError **error);

/* Copies a film into a folder under its own name (with a number when another film has it) and
 * compares the SHA-256 of what was read and of what is there. A film that is there already is
 * not copied again. Returns: (transfer full) (nullable): the copy's path. */
char *rb_intake_copy(const char *path, const char *folder, RbCancel *cancel,
                     RbProgress *progress, GError **error);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbIntake, rb_intake_free)
