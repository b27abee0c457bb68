/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/report/diagram.h"

#include "drawing-private.h"

/* The diagram as a drawing. height: (out). Returns: (transfer full). */
RbDrawing *rb_diagram_lay_out(const RbDiagram *diagram, double width, double *height);
