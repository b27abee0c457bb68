/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>
#include <stdint.h>

/* The simplest decoder there is, in this process and without a line of the product: what
 * measurements are held against. Ends the program when something fails. */
typedef struct PlainFilm PlainFilm;

PlainFilm *plain_film_open(const char *path);
void plain_film_free(PlainFilm *film);

/* Frames a second of decoding the first `frames` frames, with as many threads as the helper. */
double plain_film_rate(PlainFilm *film, int frames);
/* Packets from the key packet at which decoding must start to that of the frame, both counted. */
int64_t plain_film_packets_to(const PlainFilm *film, int64_t frame);
/* The least that any use of this decoder can take to that frame: the packets from the key packet
 * where decoding must start, read beforehand, without those from which nothing is decoded, in a
 * decoder that is open; nothing is waited for behind the frame. */
double plain_film_least_ms(PlainFilm *film, int64_t frame);
/* The share of frames from which nothing else is decoded. */
double plain_film_share_skipped(const PlainFilm *film);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(PlainFilm, plain_film_free)
