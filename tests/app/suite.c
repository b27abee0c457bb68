/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cases.h"

int main(void)
{
    static const RbCaseMaker makers[] = {
        rb_case_views,     rb_case_widgets, rb_case_style,    rb_case_session,
        rb_case_print,     rb_case_deck,    rb_case_playbook, rb_case_keys,
        rb_case_ahead,     rb_case_thumbs,  rb_case_load,     rb_case_help,
        rb_case_transport,
    };
    return rb_suite_main("app", makers, sizeof makers / sizeof makers[0]);
}
