/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/base/locale.h"

#include "application.h"
#include "small-maker.h"
#include "thumb-maker.h"
#include "view-carrier.h"

int main(int argc, char **argv)
{
    rb_locale_start();
    /* Started by the desktop it serves all its windows; from a shell, its own. */
    const bool is_service = argc == 2 && g_str_equal(argv[1], "--gapplication-service");
    g_autoptr(GApplication) application = G_APPLICATION(rb_application_new(is_service));
    const int status = g_application_run(application, argc, argv);
    rb_small_maker_end();
    rb_view_carrier_end();
    rb_thumb_maker_end();
    return status;
}
