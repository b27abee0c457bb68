/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/base/error.h"

#include <glib/gi18n-lib.h>
#include <stdarg.h>

GQuark rb_base_error_quark(void)
{
    return g_quark_from_static_string("rb-base-error");
}

bool rb_error_errno(GError **error, GQuark domain, int code, int errnum,
                    const char *format, ...)
{
    va_list args;
    va_start(args, format);
    g_autofree char *text = g_strdup_vprintf(g_dgettext(GETTEXT_PACKAGE, format), args);
    va_end(args);
    g_set_error(error, domain, code, "%s: %s", text, g_strerror(errnum));
    return false;
}

bool rb_error_set(GError **error, GQuark domain, int code, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    g_autofree char *text = g_strdup_vprintf(g_dgettext(GETTEXT_PACKAGE, format), args);
    va_end(args);
    g_set_error_literal(error, domain, code, text);
    return false;
}

bool rb_error_is_cancelled(const GError *error)
{
    return g_error_matches(error, RB_BASE_ERROR, RB_BASE_ERROR_CANCELLED);
}
