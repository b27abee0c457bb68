/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "suite.h"

TCase *rb_case_cases(void);
TCase *rb_case_every(void);
TCase *rb_case_measured(void);
TCase *rb_case_mirror(void);
TCase *rb_case_naive(void);

int main(void)
{
    static const RbCaseMaker makers[] = { rb_case_cases, rb_case_every, rb_case_measured,
                                          rb_case_mirror, rb_case_naive };
    return rb_suite_main("read", makers, sizeof makers / sizeof makers[0]);
}
