/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <stdbool.h>

#include "film/index.h"

/* Gives every frame of the index its time: its packet's pts; where the container has none at
 * all, from the decoding times; else between the times there are, by the rate. Returns true if
 * times had to be made up. */
bool frame_times_set(RbIndex *index);
