/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/film/sound.h"

/* The desktop's sound server, by PulseAudio's simple interface, which PipeWire serves too. The
 * library is looked for when it is first needed: without it, or without a server, there is
 * silence. */
extern const RbSoundSink rb_speaker_sink;

/* data for the sink, which frees it. */
void *rb_speaker_new(void);
