/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

/* Gives up what the helper does not need, before the first byte of a film is read. Called once,
 * at the start. */
void confine(void);
