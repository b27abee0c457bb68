/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "suite.h"

TCase *rb_case_cases(void);

int main(void)
{
    static const RbCaseMaker makers[] = { rb_case_cases };
    return rb_suite_main("read", makers, sizeof makers / sizeof makers[0]);
}
