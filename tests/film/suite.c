/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "suite.h"

TCase *rb_case_writer(void);

int main(void)
{
    static const RbCaseMaker makers[] = { rb_case_writer };
    return rb_suite_main("film", makers, sizeof makers / sizeof makers[0]);
}
