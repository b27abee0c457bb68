/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/work/error.h"

GQuark rb_work_error_quark(void)
{
    return g_quark_from_static_string("rb-work-error-quark");
}
