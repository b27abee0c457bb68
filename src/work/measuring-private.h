/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

/* Of a yard, as a cushion is tagged. */
int rb_film_measure_tenths(int thousandths);
