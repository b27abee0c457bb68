/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "suite.h"

TCase *rb_case_rational(void);

int main(void)
{
    static const RbCaseMaker makers[] = { rb_case_rational };
    return rb_suite_main("base", makers, sizeof makers / sizeof makers[0]);
}
