/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/film/cutter.h"

#include "film-file.h"
#include "helper-process.h"
#include "protocol.h"

/* What the pieces of the cutter share: cutter.c runs it, cutter-films.c opens the films and looks
 * at the spans, cutter-say.c tells the helper what to make, cutter-hear.c hears what became of
 * it, cutter-file.c has the file aside that gets its name at the end. */

/* A film of the cut-up. */
typedef struct {
    char *path; /* owned */
    RbFilmFile file;
    GBytes *index; /* owned */
    GError *error; /* owned, nullable: it cannot be used */
    int64_t frames;
} CutterFilm;

typedef struct {
    const char *path; /* borrowed: of the output */
    char *shown;      /* owned: its name, for sentences */
    const RbCutSpan *spans;
    int n;
    RbCutterOptions options;
    RbCancel *cancel;     /* borrowed, nullable */
    RbProgress *progress; /* borrowed, nullable */
    RbCutResult *results; /* borrowed or owned by the call */
    GPtrArray *films;     /* owned, of CutterFilm */
    RbHelper helper;
    int fd;          /* owned; -1: none */
    char *temporary; /* owned; NULL once renamed */
} Cutter;

/* ---- cutter-films.c */

void rb_cutter_film_free(void *film);
/* The films of all spans, each once; one that cannot be opened keeps its error. False only when
 * cancelled. */
bool rb_cutter_add_films(Cutter *cutter, GError **error);
/* Place in cutter->films; -1: none. */
int rb_cutter_find_film(const Cutter *cutter, const char *path);
/* False: the output has the name of a film of the cut-up, which it would destroy. */
bool rb_cutter_spares_films(const Cutter *cutter, GError **error);
/* Spans that no film has are left out, if that is asked; else false. */
bool rb_cutter_check_spans(Cutter *cutter, GError **error);
/* failure: (transfer full): why the span is left out. False: it may not be. */
bool rb_cutter_leave_out(Cutter *cutter, int span, GError *failure, GError **error);
/* What a span is called in sentences. */
int rb_cutter_span_number(const Cutter *cutter, int span);

/* ---- cutter-say.c, cutter-hear.c */

/* Everything the helper must know; it works from the last word on. */
bool rb_cutter_say_all(Cutter *cutter, GError **error);
/* Until the helper is done. span: (out): the one at fault, -1: none. */
bool rb_cutter_hear(Cutter *cutter, int *span, RbTellFinished *finished, GError **error);
/* Always false, with the sentence that the helper stopped. */
bool rb_cutter_helper_gone(const Cutter *cutter, GError **error);

/* ---- cutter-file.c */

/* Opens a file beside the output. */
bool rb_cutter_open_file(Cutter *cutter, GError **error);
/* Gives it its name, once it is whole and on the disk. */
bool rb_cutter_keep_file(Cutter *cutter, const RbTellFinished *finished, GError **error);
/* Nothing is left of it, unless it was kept. */
void rb_cutter_drop_file(Cutter *cutter);
/* Always false, with a sentence. */
bool rb_cutter_write_error(const Cutter *cutter, int errnum, GError **error);
