/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Names in somebody's folder of clips, one a line: ordered, told by camera and numbered. */
#include <glib.h>
#include <stdint.h>
#include <string.h>

#include "intake-names.h"

#define NAMES_MAX 64

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static int sign(int value)
{
    return (value > 0) - (value < 0);
}

/* An order, or sorting would not end well. */
static void check_order(const char *const *names, int n)
{
    for (int i = 0; i < n; i++) {
        for (int j = 0; j < n; j++) {
            const int way = sign(rb_intake_compare_names(&names[i], &names[j]));
            g_assert(way == -sign(rb_intake_compare_names(&names[j], &names[i])));
            g_assert(i != j || way == 0);
        }
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    g_autofree char *text = g_strndup((const char *)data, size);
    g_auto(GStrv) names = g_strsplit(text, "\n", NAMES_MAX);
    const int n = (int)g_strv_length(names);
    RbAngle angles[NAMES_MAX];
    int numbers[NAMES_MAX];
    for (int i = 0; i < n; i++) {
        angles[i] = rb_intake_angle_of(names[i]);
        g_assert(angles[i] == RB_ANGLE_WIDE || angles[i] == RB_ANGLE_TIGHT ||
                 angles[i] == RB_ANGLE_OTHER);
        rb_intake_is_film_name(names[i]);
    }
    check_order((const char *const *)names, n);
    rb_intake_find_numbers((const char *const *)names, angles, n, numbers);
    for (int i = 0; i < n; i++) {
        g_assert(numbers[i] >= -1);
    }
    return 0;
}
