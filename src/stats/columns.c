/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/stats/columns.h"

void rb_dropbacks_clear(RbDropbacks *dropbacks)
{
    g_clear_pointer(&dropbacks->rows, g_free);
    dropbacks->n = 0;
}
