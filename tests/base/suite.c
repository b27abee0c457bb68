/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "suite.h"

TCase *rb_case_error(void);
TCase *rb_case_ids(void);
TCase *rb_case_installed(void);
TCase *rb_case_jobs(void);
TCase *rb_case_random(void);
TCase *rb_case_rational(void);
TCase *rb_case_text(void);
TCase *rb_case_thread(void);
TCase *rb_case_told(void);

int main(void)
{
    static const RbCaseMaker makers[] = {
        rb_case_error,    rb_case_ids,  rb_case_installed, rb_case_jobs, rb_case_random,
        rb_case_rational, rb_case_text, rb_case_thread,    rb_case_told
    };
    return rb_suite_main("base", makers, sizeof makers / sizeof makers[0]);
}
