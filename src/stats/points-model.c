/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <errno.h>
#include <glib/gi18n-lib.h>
#include <math.h>
#include <pthread.h>
#include <string.h>

#include "rb/base/error.h"
#include "rb/stats/points.h"

#include "points-table-private.h"

enum {
    FACTORS_MAX = 4,
    TERMS_MAX = 64,
    DISTANCE_MAX = 40,
};

/* What a term multiplies. */
typedef enum {
    FACTOR_Y,
    FACTOR_Y2,
    FACTOR_Y3,
    FACTOR_LN_Y,
    FACTOR_LN_OWN,
    FACTOR_LN_T,
    FACTOR_D2,
    FACTOR_D3,
    FACTOR_D4,
    FACTOR_GOAL,
    FACTORS,
} Factor;

static const char *const factor_names[FACTORS + 1] = {
    /* ends with NULL */
    [FACTOR_Y] = "y",
    [FACTOR_Y2] = "y^2",
    [FACTOR_Y3] = "y^3",
    [FACTOR_LN_Y] = "ln(Y)",
    [FACTOR_LN_OWN] = "ln(100-Y)",
    [FACTOR_LN_T] = "ln(T)",
    [FACTOR_D2] = "D2",
    [FACTOR_D3] = "D3",
    [FACTOR_D4] = "D4",
    [FACTOR_GOAL] = "G",
};

typedef struct {
    unsigned factors; /* bit i: factor i; none: the intercept */
    double coefficients[RB_POINTS_CLASSES];
} Term;

struct RbPointsModel {
    Term terms[TERMS_MAX];
    int n;
};

static const char header[] = "term,k-7,k-3,k-2,k+0,k+2,k+3,k+7";
static const double class_points[RB_POINTS_CLASSES] = { -7, -3, -2, 0, 2, 3, 7 };

/* Coefficients beyond this are a slip of the pen, and keep the sums far from overflow. */
static const double coefficient_max = 1e6;

G_DEFINE_QUARK(rb - stats - error - quark, rb_stats_error)

static bool refuse(GError **error, int line, const char *format, ...) G_GNUC_PRINTF(3, 4);

static bool refuse(GError **error, int line, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    g_autofree char *reason = g_strdup_vprintf(format, args);
    va_end(args);
    return rb_error_set(error, RB_STATS_ERROR, RB_STATS_ERROR_TABLE,
                        "Expected-points table, line %d: %s", line, reason);
}

/* "y*D2" into a set of factors. */
static bool parse_factors(const char *name, unsigned *factors, int line, GError **error)
{
    *factors = 0;
    if (strcmp(name, "1") == 0) {
        return true;
    }
    g_auto(GStrv) parts = g_strsplit(name, "*", FACTORS_MAX + 1);
    if (g_strv_length(parts) > FACTORS_MAX) {
        return refuse(error, line, _("the term \"%s\" multiplies more than %d factors."),
                      name, FACTORS_MAX);
    }
    for (int i = 0; parts[i] != NULL; i++) {
        int factor = 0;
        while (factor < FACTORS && strcmp(parts[i], factor_names[factor]) != 0) {
            factor++;
        }
        if (factor == FACTORS) {
            g_autofree char *known = g_strjoinv(", ", (char **)factor_names);
            return refuse(error, line, _("\"%s\" in the term \"%s\" is none of 1, %s."),
                          parts[i], name, known);
        }
        if ((*factors & 1U << factor) != 0) {
            return refuse(error, line, _("the term \"%s\" names %s twice."), name,
                          parts[i]);
        }
        *factors |= 1U << factor;
    }
    return true;
}

static bool parse_row(RbPointsModel *model, const char *text, int line, GError **error)
{
    g_auto(GStrv) cells = g_strsplit(text, ",", -1);
    const unsigned n_cells = g_strv_length(cells);
    if (n_cells != RB_POINTS_CLASSES + 1) {
        return refuse(error, line, _("%u columns where a term and %d numbers belong."),
                      n_cells, RB_POINTS_CLASSES);
    }
    if (model->n == TERMS_MAX) {
        return refuse(error, line, _("more than %d terms."), TERMS_MAX);
    }
    Term term = { 0 };
    if (!parse_factors(g_strstrip(cells[0]), &term.factors, line, error)) {
        return false;
    }
    for (int i = 0; i < model->n; i++) {
        if (model->terms[i].factors == term.factors) {
            return refuse(error, line, _("the term \"%s\" stands twice."), cells[0]);
        }
    }
    for (int k = 0; k < RB_POINTS_CLASSES; k++) {
        const char *cell = g_strstrip(cells[k + 1]);
        char *end = NULL;
        const double value = g_ascii_strtod(cell, &end);
        if (end == cell || *end != '\0' || !(fabs(value) <= coefficient_max)) {
            return refuse(error, line, _("\"%s\" is not a number up to a million."),
                          cell);
        }
        term.coefficients[k] = value;
    }
    model->terms[model->n++] = term;
    return true;
}

RbPointsModel *rb_points_model_parse(const char *text, GError **error)
{
    g_autoptr(RbPointsModel) model = g_new0(RbPointsModel, 1);
    g_auto(GStrv) lines = g_strsplit(text, "\n", -1);
    bool headed = false;
    for (int i = 0; lines[i] != NULL; i++) {
        const char *line = g_strstrip(lines[i]);
        if (*line == '\0' || *line == '#') {
            continue;
        }
        if (!headed) {
            if (strcmp(line, header) != 0) {
                refuse(error, i + 1, _("the first row must be \"%s\"."), header);
                return NULL;
            }
            headed = true;
        } else if (!parse_row(model, line, i + 1, error)) {
            return NULL;
        }
    }
    if (model->n == 0) {
        rb_error_set(
            error, RB_STATS_ERROR, RB_STATS_ERROR_TABLE,
            "The expected-points table holds no terms; it needs the row \"%s\" and a "
            "row for each term.",
            header);
        return NULL;
    }
    return g_steal_pointer(&model);
}

static RbPointsModel *shipped;

static void load_shipped(void)
{
    g_autoptr(GError) error = NULL;
    shipped = rb_points_model_parse(rb_points_table, &error);
    if (shipped == NULL) {
        g_error("%s", error->message); /* the build embedded a broken table */
    }
}

const RbPointsModel *rb_points_model_default(void)
{
    static pthread_once_t once = PTHREAD_ONCE_INIT;
    pthread_once(&once, load_shipped);
    return shipped;
}

void rb_points_model_free(RbPointsModel *model)
{
    g_free(model);
}

/* Turns the seven scores into probabilities; the largest is taken off first so that none
 * overflows. */
static void soften(double z[RB_POINTS_CLASSES])
{
    double most = z[0];
    for (int k = 1; k < RB_POINTS_CLASSES; k++) {
        most = fmax(most, z[k]);
    }
    double sum = 0.0;
    for (int k = 0; k < RB_POINTS_CLASSES; k++) {
        z[k] = exp(z[k] - most);
        sum += z[k];
    }
    for (int k = 0; k < RB_POINTS_CLASSES; k++) {
        z[k] /= sum;
    }
}

double rb_points_value(const RbPointsModel *model, int down, int distance,
                       int yards_to_goal, double probabilities[RB_POINTS_CLASSES])
{
    g_assert(down >= 1 && down <= 4);
    g_assert(distance >= 1 && yards_to_goal >= 1 && yards_to_goal <= 99);
    distance = MIN(MIN(distance, yards_to_goal), DISTANCE_MAX);
    const double y = yards_to_goal / 100.0;
    const double values[FACTORS] = {
        [FACTOR_Y] = y,
        [FACTOR_Y2] = y * y,
        [FACTOR_Y3] = y * y * y,
        [FACTOR_LN_Y] = log(yards_to_goal),
        [FACTOR_LN_OWN] = log(100.0 - yards_to_goal),
        [FACTOR_LN_T] = log(distance),
        [FACTOR_D2] = down == 2,
        [FACTOR_D3] = down == 3,
        [FACTOR_D4] = down == 4,
        [FACTOR_GOAL] = distance == yards_to_goal,
    };
    double p[RB_POINTS_CLASSES] = { 0 };
    for (int i = 0; i < model->n; i++) {
        const Term *term = &model->terms[i];
        double product = 1.0;
        for (int f = 0; f < FACTORS; f++) {
            product *= (term->factors & 1U << f) != 0 ? values[f] : 1.0;
        }
        for (int k = 0; k < RB_POINTS_CLASSES; k++) {
            p[k] += term->coefficients[k] * product;
        }
    }
    soften(p);
    double points = 0.0;
    for (int k = 0; k < RB_POINTS_CLASSES; k++) {
        points += p[k] * class_points[k];
    }
    if (probabilities != NULL) {
        memcpy(probabilities, p, sizeof p);
    }
    return points;
}
