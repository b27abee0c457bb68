/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n.h>
#include <locale.h>

#include "application.h"
#include "small-maker.h"
#include "thumb-maker.h"

int main(int argc, char **argv)
{
    setlocale(LC_ALL, "");
    bindtextdomain(GETTEXT_PACKAGE, RB_LOCALE_DIR);
    bind_textdomain_codeset(GETTEXT_PACKAGE, "UTF-8");
    textdomain(GETTEXT_PACKAGE);

    g_autoptr(GApplication) application = G_APPLICATION(rb_application_new());
    const int status = g_application_run(application, argc, argv);
    rb_small_maker_end();
    rb_thumb_maker_end();
    return status;
}
