/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "suite.h"

TCase *rb_case_check(void);
TCase *rb_case_dead(void);
TCase *rb_case_file(void);
TCase *rb_case_mutated(void);
TCase *rb_case_random_books(void);
TCase *rb_case_schema(void);
TCase *rb_case_sentences(void);
TCase *rb_case_starter(void);

int main(void)
{
    static const RbCaseMaker makers[] = { rb_case_check,        rb_case_dead,
                                          rb_case_file,         rb_case_mutated,
                                          rb_case_random_books, rb_case_schema,
                                          rb_case_sentences,    rb_case_starter };
    return rb_suite_main("book", makers, sizeof makers / sizeof makers[0]);
}
