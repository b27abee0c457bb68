/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

/* For tests: reels opened from now on count a helper as hung after this long a silence, instead
 * of the usual two seconds; 0: the usual again. */
void rb_watchdog_set_ms(int ms);
