/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

/* The text of the shipped coefficient table. */
extern const char rb_points_table[];
