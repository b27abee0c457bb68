/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "measure-layer.h"

/* Beside the film while it is measured: what can be measured and which mark is clicked, by button
 * and with its key; what was measured on the snap, to be gone to and taken off; the times between
 * marks; the unit. */
#define RB_TYPE_MEASURE_PANEL (rb_measure_panel_get_type())
G_DECLARE_FINAL_TYPE(RbMeasurePanel, rb_measure_panel, RB, MEASURE_PANEL, GtkWidget)

void rb_measure_panel_set_layer(RbMeasurePanel *panel, RbMeasureLayer *layer);
