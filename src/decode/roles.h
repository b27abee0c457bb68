/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "parent.h"

/* A helper process has one role for life, given by its first message. */

/* Reads one film: facts, index, frames. asked: the RB_ASK_READ. Does not return. */
_Noreturn void role_read(const Asked *asked);

/* Gives the sound of one film. asked: the RB_ASK_HEAR. Does not return. */
_Noreturn void role_hear(const Asked *asked);

/* Writes one film. asked: the RB_ASK_WRITE. Does not return. */
_Noreturn void role_write(const Asked *asked);

/* Writes a cut-up. asked: the RB_ASK_CUT. Does not return. */
_Noreturn void role_cut(const Asked *asked);
