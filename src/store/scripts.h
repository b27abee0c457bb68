/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

/* The scripts of schema/, made at build time. Script i makes schema i + 1 of schema i. */
extern const char *const rb_schema_scripts[];
extern const int rb_schema_n;
