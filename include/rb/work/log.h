/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>

#include "rb/model/game.h"
#include "rb/model/snap.h"
#include "rb/work/names.h"

/* A play log of any layout, read from a table of text (comma, semicolon, tab or bar between,
 * any usual encoding). What a column holds is told by its values as well as by its name; what
 * cannot be told is asked, never guessed. Reading touches no library: see log-import.h. */

#define RB_LOG_COLUMNS_MAX 200
#define RB_LOG_ROWS_MAX 20000
#define RB_LOG_BYTES_MAX (32 << 20)

/* What a column can hold. */
typedef enum {
    RB_LOG_NOTHING, /* left out */
    RB_LOG_NUMBER,  /* of the play */
    RB_LOG_QUARTER,
    RB_LOG_CLOCK,
    RB_LOG_DOWN,
    RB_LOG_DISTANCE,
    RB_LOG_DOWN_DISTANCE, /* "2 & 7" */
    RB_LOG_SPOT,
    RB_LOG_HALF, /* own or opp, beside a yard line without it */
    RB_LOG_HASH,
    RB_LOG_OFFENSE, /* team with the ball */
    RB_LOG_PLAY,
    RB_LOG_RESULT,
    RB_LOG_GAIN,
    RB_LOG_TEXT, /* the play in a sentence */
    RB_LOG_QUARTERBACK,
    RB_LOG_PERSONNEL,
    RB_LOG_FORMATION,
    RB_LOG_MOTION,
} RbLogField;
#define RB_LOG_FIELDS (RB_LOG_MOTION + 1)

/* How a yard line is written. */
typedef enum {
    RB_YARDS_UNKNOWN,
    RB_YARDS_WORDS,     /* "own 25", "opp 40", "Falls 40"; or a number beside a half */
    RB_YARDS_TO_GOAL,   /* 1 to 99, to the goal line attacked */
    RB_YARDS_FROM_OWN,  /* 1 to 99, from the own goal line */
    RB_YARDS_MINUS_OWN, /* -25 is own 25, 40 is opp 40 */
    RB_YARDS_PLUS_OWN,  /* 25 is own 25, -40 is opp 40 */
    RB_YARDS_MIDFIELD,  /* from the 50: -25 is own 25, 10 is opp 40 */
} RbLogYards;
#define RB_LOG_YARDS (RB_YARDS_MIDFIELD + 1)

extern const RbWords rb_log_field_words, rb_log_yards_words;

/* One line of the file. */
typedef struct {
    int line;     /* in the file, from 1: where the record starts in it */
    int n;        /* cells that were written */
    char **cells; /* owned, NULL-ended, trimmed; at least as many as there are heads */
} RbLogLine;

typedef struct {
    GPtrArray *heads; /* owned, of char * */
    GPtrArray *lines; /* owned, of RbLogLine; blank ones left out */
    int usual;        /* cells that most lines have */
    char *encoding;   /* owned: "UTF-8", "UTF-16LE", "WINDOWS-1252" */
    char delimiter;
} RbLogTable;

/* name: of the file, for sentences. Refuses what is no table of text (RB_WORK_ERROR_VALUE).
 * Returns: (transfer full) (nullable). */
RbLogTable *rb_log_table_parse(GBytes *bytes, const char *name, GError **error);
void rb_log_table_free(RbLogTable *table); /* NULL is allowed */
/* Names the layout: the same for every file of one source. Returns: (transfer full). */
char *rb_log_table_fingerprint(const RbLogTable *table);

/* What a person, or an earlier file of the same source, said. */
typedef struct {
    bool said[RB_LOG_COLUMNS_MAX];         /* the column was spoken of … */
    RbLogField fields[RB_LOG_COLUMNS_MAX]; /* … as this; nothing: left out */
    RbLogYards yards;                      /* unknown: to be found out */
    bool kept;      /* of an earlier file: asked again when the plays now deny it */
    const char *us; /* borrowed, nullable: what the log calls our team */
} RbLogChoice;

/* "COLUMN=FIELD" into the choice; COLUMN by its name or its number from 1, FIELD a token, "-"
 * to leave it out. False with a sentence. */
bool rb_log_choice_map(RbLogChoice *choice, const RbLogTable *table, const char *text,
                       GError **error);

/* Something that only a person can say. */
typedef struct {
    char *sentence;   /* owned: names the option that answers it */
    char *asked;      /* owned: the same without the option, for menus */
    RbLogField field; /* it is about */
} RbLogQuestion;

/* One play as the log has it. */
typedef struct {
    int line;
    int row;      /* in table->lines */
    int number;   /* the log's own; 0 none */
    RbSnap *snap; /* owned: the facts; id and game 0 */
    char *remark; /* owned, nullable: a word of the staff's lists that was left out */
    char *
        trouble; /* owned, nullable: why the row cannot be used: "the down "7" is not 1 to 4" */
} RbLogRow;

typedef struct {
    RbLogTable *table; /* owned */
    RbLogField fields[RB_LOG_COLUMNS_MAX];
    bool by_values[RB_LOG_COLUMNS_MAX]; /* told by its values; its name says nothing */
    RbLogYards yards;
    int steps_agree;      /* steps within a series that fit these yard lines … */
    int steps;            /* … of so many */
    GPtrArray *questions; /* owned, of RbLogQuestion; empty: all is understood */
    GPtrArray *rows;      /* owned, of RbLogRow, good and bad, in order */
    int bad;              /* rows with trouble */
} RbLogReading;

/* names: (nullable). game: its teams name the side with the ball. table: (transfer full), also
 * on failure. Returns: (transfer full) (nullable): NULL with a sentence when no play is in it. */
RbLogReading *rb_log_read(RbLogTable *table, const RbNames *names, const RbGame *game,
                          const RbLogChoice *choice, GError **error);
void rb_log_reading_free(RbLogReading *reading); /* NULL is allowed */

/* "Yard lines are read as …: 61 of 61 steps within a series agree." Returns: (transfer full)
 * (nullable): NULL without yard lines. */
char *rb_log_yards_text(const RbLogReading *reading);

/* The bad rows as a table of the same heads with the reason in front: comma between, quotes,
 * UTF-8. Returns: (transfer full). */
char *rb_log_rejected_text(const RbLogReading *reading);

/* What a sentence about a play says. */
typedef struct {
    RbPlay play;
    RbResult result;
    RbEnding ending;
    RbPhase phase;
    bool has_gain;
    int gain;
} RbLogSaid;

/* Reads general English sentences ("Ruiz pass complete to Okafor for 12 yards, touchdown").
 * False when it says nothing that is understood. Unsure parts stay unknown. */
bool rb_log_text_parse(const char *text, RbLogSaid *said);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbLogTable, rb_log_table_free)
G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbLogReading, rb_log_reading_free)
