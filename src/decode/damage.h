/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <libavcodec/avcodec.h>
#include <stdbool.h>
#include <stdint.h>

/* Which packets a decoder found damaged. libav marks the frame (`decode_error_flags`), but with frame
 * threads often too late: the frame has been handed on before its slices are decoded. And some
 * decoders, MPEG-2's among them, mark nothing. All of them say it in words while they decode, with
 * a context that has the packet's number (`reordered_opaque`). Any thread. */

/* From now on libav's words are listened to. Before a decoder is opened. */
void damage_listen(void);
/* What was said until now is of no concern any more: decoding begins elsewhere. */
void damage_forget(void);
/* True if the decoder found damage in that packet, which gave this frame, or marked the frame. */
bool damage_is_in(const AVFrame *frame, int64_t packet);
/* True if it found damage in any packet of these, both included. */
bool damage_is_between(int64_t first, int64_t last);
/* True if it found any since decoding began here. */
bool damage_is_any(void);
