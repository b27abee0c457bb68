/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "suite.h"

TCase *rb_case_calibration(void);
TCase *rb_case_camera(void);
TCase *rb_case_carry(void);
TCase *rb_case_estimators(void);
TCase *rb_case_field(void);
TCase *rb_case_homography(void);
TCase *rb_case_landmark(void);
TCase *rb_case_mark(void);
TCase *rb_case_measure(void);

int main(void)
{
    static const RbCaseMaker makers[] = { rb_case_calibration, rb_case_camera,
                                          rb_case_field,       rb_case_homography,
                                          rb_case_landmark,    rb_case_measure,
                                          rb_case_carry,       rb_case_mark,
                                          rb_case_estimators };
    return rb_suite_main("field", makers, sizeof makers / sizeof makers[0]);
}
