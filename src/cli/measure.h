/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/work/measuring.h"

#include "cli.h"

/* What the commands that measure share. */
bool cli_unit(const CliArgs *args, RbLengthUnit *unit, GError **error);
json_t *cli_measure_json(const RbFilmMeasure *measure, RbLengthUnit unit);
