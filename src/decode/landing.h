/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "film/index.h"
#include "source.h"

/* Seeking that is never believed: after each attempt the first packets read are looked up in
 * the film's own index, so the caller knows where it really is. */

/* Moves the source to key packet `key` or somewhere before it. On success source->packet holds
 * a packet and its number in the index, at most `key`, is returned; the decoder is flushed.
 * -1 if no way of seeking led there: try an earlier key, or source_reopen(). */
int64_t land(Source *source, const RbIndex *index, int64_t key);

/* True if `packet` can be the one numbered `at`: what each packet after the first is asked. */
bool landing_fits(const RbIndex *index, int64_t at, const AVPacket *packet);

/* The key packet at which decoding must start for frame `frame`: the last one at or before its
 * packet, or the one before that for a picture shown before its key. -1 if there is none. */
int64_t landing_key(const RbIndex *index, int64_t frame);
/* The key packet before `key`, -1 if there is none. */
int64_t landing_key_before(const RbIndex *index, int64_t key);
