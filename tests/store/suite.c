/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cases.h"

int main(void)
{
    static const RbCaseMaker makers[] = {
        rb_case_repositories, rb_case_history,  rb_case_open,      rb_case_schema,
        rb_case_conflicts,    rb_case_exchange, rb_case_forget,    rb_case_backup,
        rb_case_crash,        rb_case_search,   rb_case_statement, rb_case_cutups,
        rb_case_columns,      rb_case_judged,   rb_case_touched,   rb_case_measures,
    };
    return rb_suite_main("store", makers, sizeof makers / sizeof makers[0]);
}
