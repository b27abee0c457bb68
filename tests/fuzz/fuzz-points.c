/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Expected-points tables that a staff loads: whatever stands in the file, it is refused with a
 * sentence or gives values between the worst and the best score. */
#include "rb/stats/points.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    g_autofree char *text = g_strndup((const char *)data, size);
    g_autoptr(GError) error = NULL;
    g_autoptr(RbPointsModel) model = rb_points_model_parse(text, &error);
    g_assert((model == NULL) == (error != NULL));
    for (int down = 1; model != NULL && down <= 4; down++) {
        for (int yards_to_goal = 1; yards_to_goal < 100; yards_to_goal += 14) {
            const double points = rb_points_value(model, down, 7, yards_to_goal, NULL);
            g_assert(points >= -7.0 && points <= 7.0);
        }
    }
    return 0;
}
