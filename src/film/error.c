/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/film/error.h"

GQuark rb_film_error_quark(void)
{
    return g_quark_from_static_string("rb-film-error");
}
