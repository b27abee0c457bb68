/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "suite.h"

TCase *rb_case_agreement(void);
TCase *rb_case_break(void);
TCase *rb_case_distributions(void);
TCase *rb_case_exact(void);
TCase *rb_case_shrink(void);
TCase *rb_case_estimate(void);
TCase *rb_case_intervals(void);
TCase *rb_case_ladder(void);
TCase *rb_case_measure(void);
TCase *rb_case_multiple(void);
TCase *rb_case_packed(void);
TCase *rb_case_pairing(void);
TCase *rb_case_oracle(void);
TCase *rb_case_passer(void);
TCase *rb_case_points(void);
TCase *rb_case_points_model(void);
TCase *rb_case_spacing(void);
TCase *rb_case_success(void);

int main(void)
{
    static const RbCaseMaker makers[] = {
        rb_case_agreement, rb_case_shrink,   rb_case_exact,        rb_case_distributions,
        rb_case_oracle,    rb_case_break,    rb_case_estimate,     rb_case_intervals,
        rb_case_ladder,    rb_case_multiple, rb_case_packed,       rb_case_pairing,
        rb_case_passer,    rb_case_points,   rb_case_points_model, rb_case_success,
        rb_case_spacing,   rb_case_measure,
    };
    return rb_suite_main("stats", makers, sizeof makers / sizeof makers[0]);
}
