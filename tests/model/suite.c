/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "suite.h"

TCase *rb_case_words(void);
TCase *rb_case_values(void);
TCase *rb_case_vocabulary(void);
TCase *rb_case_situation(void);
TCase *rb_case_yardline(void);
TCase *rb_case_filter(void);
TCase *rb_case_successor(void);
TCase *rb_case_chain(void);
TCase *rb_case_cutup(void);
TCase *rb_case_film_drawing(void);
TCase *rb_case_route(void);
TCase *rb_case_repair(void);
TCase *rb_case_properties(void);

int main(void)
{
    static const RbCaseMaker makers[] = {
        rb_case_words,     rb_case_values,       rb_case_vocabulary, rb_case_situation,
        rb_case_yardline,  rb_case_filter,       rb_case_successor,  rb_case_chain,
        rb_case_cutup,     rb_case_film_drawing, rb_case_route,      rb_case_repair,
        rb_case_properties
    };
    return rb_suite_main("model", makers, sizeof makers / sizeof makers[0]);
}
