/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "suite.h"

TCase *rb_case_bounds(void);
TCase *rb_case_diagram(void);
TCase *rb_case_document(void);
TCase *rb_case_film_drawing(void);
TCase *rb_case_ladder_chart(void);
TCase *rb_case_mirror_chart(void);
TCase *rb_case_report(void);
TCase *rb_case_sheet(void);
TCase *rb_case_text(void);
TCase *rb_case_words(void);

int main(void)
{
    static const RbCaseMaker makers[] = { rb_case_diagram,      rb_case_document,
                                          rb_case_ladder_chart, rb_case_report,
                                          rb_case_sheet,        rb_case_text,
                                          rb_case_words,        rb_case_film_drawing,
                                          rb_case_mirror_chart, rb_case_bounds };
    return rb_suite_main("report", makers, sizeof makers / sizeof makers[0]);
}
