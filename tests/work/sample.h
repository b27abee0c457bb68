/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/work/names.h"

/* Invented names without a library: the starting vocabulary with two tags of the staff's own
 * ("trick-play", "two-minute"), two concepts ("curl-flat",
 * "smash"), two games, our team with jerseys 7 and 12 and the other team with a 12 too. */
RbNames *sample_names_new(void);

extern const RbTeamId sample_us, sample_them;
extern const RbGameId sample_early, sample_late;
extern const RbPlayerId sample_seven, sample_twelve, sample_their_twelve;
