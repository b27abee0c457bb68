/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <libavcodec/avcodec.h>
#include <stdbool.h>
#include <stdint.h>

/* The memory of decoded frames: one pool for the process, taken from and given back to on any
 * thread. A fresh frame-sized buffer costs more than decoding into it, because every page of it
 * faults in; so buffers are used again, and made in idle time before they are needed. */

/* Makes a decoder use the pool. Before avcodec_open2(). */
void frame_pool_attach(AVCodecContext *codec);

/* How many buffers there should be. Free ones above that are given up at once; later, when a
 * decoder holds more than was thought, a few more may live. */
void frame_pool_want(int buffers);
/* Has the pages of one of them there, of the size used last; false if all have theirs. */
bool frame_pool_prepare(void);
/* Buffers that a decoder was given without their pages, since the start. */
uint32_t frame_pool_get_fresh(void);
/* Bytes of a buffer of the size used last; 0 before the first. */
int64_t frame_pool_get_bytes(void);

/* Fewer and dearer faults, each of which costs much less than those that it stands for. */
void frame_pool_use_large_pages(uint8_t *memory, size_t bytes);

/* Has every page of memory there, so that nobody waits for that later; what is in it stays.
 * False on a system that cannot. */
bool frame_pool_populate(uint8_t *memory, size_t bytes);
