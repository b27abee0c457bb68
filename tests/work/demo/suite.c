/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "suite.h"

TCase *rb_case_adapter(void);
TCase *rb_case_camera_crew(void);
TCase *rb_case_carried(void);
TCase *rb_case_measured_film(void);
TCase *rb_case_digits(void);
TCase *rb_case_figure(void);
TCase *rb_case_routes(void);
TCase *rb_case_runner(void);
TCase *rb_case_stadium(void);
TCase *rb_case_film(void);
TCase *rb_case_found_in_film(void);
TCase *rb_case_lost(void);
TCase *rb_case_plan(void);
TCase *rb_case_raster(void);
TCase *rb_case_scene(void);

int main(void)
{
    static const RbCaseMaker makers[] = {
        rb_case_adapter, rb_case_camera_crew,   rb_case_digits, rb_case_figure,
        rb_case_film,    rb_case_found_in_film, rb_case_plan,   rb_case_raster,
        rb_case_routes,  rb_case_runner,        rb_case_scene,  rb_case_stadium,
        rb_case_carried, rb_case_measured_film, rb_case_lost,
    };
    return rb_suite_main("demo-film", makers, sizeof makers / sizeof makers[0]);
}
