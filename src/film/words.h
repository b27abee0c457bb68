/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdint.h>

#include "rb/film/facts.h"

#include "protocol.h"

/* The helper tells in numbers; these are the sentences. */

/* name: the film's, for people. Returns false. */
bool rb_film_fault(GError **error, const char *name, const RbTellFault *fault);

/* Returns: (transfer full): one sentence. */
char *rb_film_doubt_text(const RbTellDoubt *doubt);

RbFilmFacts *rb_film_facts_from_message(const RbTellFacts *tell, int64_t bytes);
