/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "intake-names.h"

#include <string.h>

/* Runs of digits looked at from either end of a name; longer ones are dates or serial numbers. */
#define RUNS 4
#define DIGITS_MAX 7

static size_t digits_at(const char *text)
{
    size_t n = 0;
    while (g_ascii_isdigit(text[n])) {
        n++;
    }
    return n;
}

/* Two runs of digits by value: leading zeros do not count, then the longer is the greater. */
static int compare_digits(const char *a, size_t n, const char *b, size_t m)
{
    for (; n > 1 && *a == '0'; n--) {
        a++;
    }
    for (; m > 1 && *b == '0'; m--) {
        b++;
    }
    return n != m ? (n < m ? -1 : 1) : memcmp(a, b, n);
}

int rb_intake_compare_names(const void *pa, const void *pb)
{
    const char *first = *(const char *const *)pa;
    const char *second = *(const char *const *)pb;
    const char *a = first;
    const char *b = second;
    while (*a != '\0' && *b != '\0') {
        const size_t n = digits_at(a);
        const size_t m = digits_at(b);
        if (n > 0 && m > 0) {
            const int order = compare_digits(a, n, b, m);
            if (order != 0) {
                return order;
            }
            a += n;
            b += m;
            continue;
        }
        const int order = g_ascii_tolower(*a) - g_ascii_tolower(*b);
        if (order != 0) {
            return order;
        }
        a++;
        b++;
    }
    const int order = (*a != '\0') - (*b != '\0');
    return order != 0 ? order : strcmp(first, second);
}

/* True if one of the words stands in `text` between what is no letter. */
static bool has_word(const char *text, const char *const *words)
{
    for (; *words != NULL; words++) {
        const size_t n = strlen(*words);
        for (const char *at = text; (at = strstr(at, *words)) != NULL; at++) {
            if ((at == text || !g_ascii_isalpha(at[-1])) && !g_ascii_isalpha(at[n])) {
                return true;
            }
        }
    }
    return false;
}

static RbAngle angle_of_text(const char *name)
{
    /* How staffs write the two cameras on their files: common practice, no source. */
    static const char *const wide[] = { "wide", "sideline", "side", "press",
                                        "box",  "all",      "sl",   NULL };
    static const char *const tight[] = { "tight",    "endzone", "end zone", "end-zone",
                                         "end_zone", "end",     "ez",       NULL };
    g_autofree char *text = g_ascii_strdown(name, -1);
    char *dot = strrchr(text, '.');
    if (dot != NULL) {
        *dot = '\0';
    }
    const bool is_wide = has_word(text, wide);
    const bool is_tight = has_word(text, tight);
    if (is_wide == is_tight) {
        return RB_ANGLE_OTHER;
    }
    return is_wide ? RB_ANGLE_WIDE : RB_ANGLE_TIGHT;
}

RbAngle rb_intake_angle_of(const char *path)
{
    g_autofree char *name = g_path_get_basename(path);
    const RbAngle angle = angle_of_text(name);
    if (angle != RB_ANGLE_OTHER) {
        return angle;
    }
    g_autofree char *folder = g_path_get_dirname(path);
    g_autofree char *last = g_path_get_basename(folder);
    return angle_of_text(last);
}

/* The runs of digits of a name without its ending, in order. */
static int find_runs(const char *name, int runs[16])
{
    const char *dot = strrchr(name, '.');
    const char *end = dot != NULL ? dot : name + strlen(name);
    int n = 0;
    for (const char *at = name; at < end && n < 16;) {
        const size_t digits = digits_at(at);
        if (digits > 0 && digits <= DIGITS_MAX) {
            runs[n++] = (int)g_ascii_strtoll(at, NULL, 10);
        }
        at += MAX(digits, 1);
    }
    return n;
}

/* way: 0 to RUNS - 1 from the front, then from the back. -1 if there is no such run. */
static int run_of(const char *name, int way)
{
    int runs[16];
    const int n = find_runs(name, runs);
    const int at = way < RUNS ? way : n - 1 - (way - RUNS);
    return at >= 0 && at < n ? runs[at] : -1;
}

/* How many clips have a number that no other clip of their camera has. */
static int count_distinct(const char *const *names, const RbAngle *angles, int n, int way)
{
    g_autoptr(GHashTable) seen = g_hash_table_new(g_direct_hash, g_direct_equal);
    for (int i = 0; i < n; i++) {
        const int number = run_of(names[i], way);
        if (number >= 0) {
            g_hash_table_add(seen, GINT_TO_POINTER(number * 4 + (int)angles[i]));
        }
    }
    return (int)g_hash_table_size(seen);
}

void rb_intake_find_numbers(const char *const *names, const RbAngle *angles, int n,
                            int *numbers)
{
    int best = 0;
    int best_way = -1;
    for (int way = 0; way < 2 * RUNS; way++) {
        const int distinct = count_distinct(names, angles, n, way);
        if (distinct > best) {
            best = distinct;
            best_way = way;
        }
    }
    for (int i = 0; i < n; i++) {
        numbers[i] = best_way >= 0 ? run_of(names[i], best_way) : -1;
    }
}

bool rb_intake_is_film_name(const char *name)
{
    static const char *const ends[] = {
        ".mp4", ".mov",  ".m4v", ".mkv", ".webm", ".avi", ".mts", ".m2ts", ".ts",
        ".mpg", ".mpeg", ".mxf", ".asf", ".wmv",  ".flv", ".dv",  ".ogv",  ".3gp"
    };
    g_autofree char *lower = g_ascii_strdown(name, -1);
    for (size_t i = 0; i < G_N_ELEMENTS(ends); i++) {
        if (g_str_has_suffix(lower, ends[i]) && lower[0] != '.') {
            return true;
        }
    }
    return false;
}
