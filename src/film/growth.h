/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

/* look: how often files are looked at for growth; 0: never. pause: how long after its last change
 * a recording counts as going on. For tests, whose films are always fresh. */
void rb_growth_set_ms(int look, int pause);
