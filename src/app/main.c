/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n.h>
#include <locale.h>

#include "rb/base/installed.h"

#include "application.h"
#include "small-maker.h"
#include "thumb-maker.h"
#include "view-carrier.h"

int main(int argc, char **argv)
{
    setlocale(LC_ALL, "");
    g_autofree char *locale = rb_installed_path(RB_LOCALE_BELOW, RB_LOCALE_DIR);
    bindtextdomain(GETTEXT_PACKAGE, locale);
    bind_textdomain_codeset(GETTEXT_PACKAGE, "UTF-8");
    textdomain(GETTEXT_PACKAGE);

    /* Started by the desktop it serves all its windows; from a shell, its own. */
    const bool is_service = argc == 2 && g_str_equal(argv[1], "--gapplication-service");
    g_autoptr(GApplication) application = G_APPLICATION(rb_application_new(is_service));
    const int status = g_application_run(application, argc, argv);
    rb_small_maker_end();
    rb_view_carrier_end();
    rb_thumb_maker_end();
    return status;
}
