/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

/* A bare H.264 stream coded field by field, which no free encoder makes: every field is an
 * intra picture of its own, samples as they are (I_PCM). 160x96, numbered frames, an IDR every
 * `gop` frames. Written by ITU-T H.264, clauses 7.3 and 7.4. Returns: (transfer full): path. */
char *field_film_write(const char *name, int frames, int gop);
