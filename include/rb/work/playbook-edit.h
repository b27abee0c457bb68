/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/work/library.h"

/* Changing a concept: first as a value, then into the library. */

/* A concept to begin with: one read, a token made from the name that no other has. Refuses a
 * name that is empty, too long or another concept's. Returns: (transfer full) (nullable). */
RbConcept *rb_concept_start(const RbNames *names, const char *name, GError **error);
/* The same under a name and token of its own: "Smash 2". Returns: (transfer full). */
RbConcept *rb_concept_twin(const RbNames *names, const RbConcept *concept);

/* A read after the last one that is no outlet, later by a hitch. Returns its number; 0 when the
 * concept is full. Numbers stay with their reads, so that tags given before stay right. */
int rb_concept_add_read(RbConcept *concept);
/* By places down the order (up, when negative). False at the end. */
bool rb_concept_move_read(RbConcept *concept, int number, int by);
/* The rules that speak of it go too. Returns how many those were; -1 when the concept has no
 * other read, or not this one. */
int rb_concept_remove_read(RbConcept *concept, int number);
bool rb_concept_move_rule(RbConcept *concept, int index, int by);

/* What is different, for the history: "Smash: read 2 changed, a rule added". old: (nullable): a
 * new concept. Returns: (transfer full) (nullable): NULL when nothing is. */
char *rb_concept_change_text(const RbConcept *old, const RbConcept *new,
                             const GPtrArray *terms);

/* The concept as the next revision, in one action. Refuses one with errors (rb_book_check) with
 * the first of their sentences. words: (out) (transfer full) (nullable): NULL: nothing was
 * different. */
bool rb_library_put_concept(RbLibrary *library, const RbConcept *concept, char **words,
                            GError **error);

/* The points of a drawn route as a person types them: yards downfield and yards toward his
 * sideline, "6 0; 5 -2.5; 5 8". Returns: (transfer full). */
char *rb_read_points_text(const RbRead *read);
/* Takes them from text; "" is none. False with a sentence; then nothing is changed. */
bool rb_read_set_points(RbRead *read, const char *text, GError **error);
/* A point more at the end, in yards; false when there is no room or it is out of reach. */
bool rb_read_add_point(RbRead *read, double deep_yd, double out_yd);
/* False for no such point, or out of reach. */
bool rb_read_move_point(RbRead *read, int index, double deep_yd, double out_yd);
/* The nearest point within so many yards; -1 when there is none. */
int rb_read_find_point(const RbRead *read, double deep_yd, double out_yd,
                       double reach_yd);
/* False for no such point, or the last one there is. */
bool rb_read_remove_point(RbRead *read, int index);
/* Another route: points are a drawn route's only, and that starts with a stem as deep as the
 * break was. */
void rb_read_set_route(RbRead *read, RbRoute route);
