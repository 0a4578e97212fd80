/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>
#include <math.h>
#include <string.h>

#include "fit/quad_model.h"

/* Singular values below this share of the largest are none: far above the noise of the
 * gradients (1e-9), far below the weakest shape that a tape sees. */
#define RANK_SHARE 1e-6

/* A gradient with more than this share in what is not determined is not determined. */
#define UNSEEN_SHARE 1e-4

enum { STEPS_MOST = 200 };

static double chi2_at(const struct bt_quad_model *m, const double x[], size_t without)
{
    double sum = 0;

    for (size_t i = 0; i < m->n; i++) {
        double z;

        if (!m->used[i] || i == without)
            continue;
        z = bt_quad_residual(m, x, i) / m->reading[i].u;
        sum += z * z;
    }
    return sum;
}

/* Weighted gradients and residuals, and the singular values of the former; the left
 * vectors take the place of m->a. */
static void decompose(struct bt_quad_model *m, struct bt_quad_solution *s,
                      size_t without)
{
    gsl_matrix_view a = gsl_matrix_view_array(m->a, m->rows, m->nu);
    gsl_matrix_view v = gsl_matrix_view_array(s->v, m->nu, m->nu);
    gsl_vector_view sv = gsl_vector_view_array(s->s, m->nu);

    memset(m->a, 0, m->rows * m->nu * sizeof *m->a);
    memset(m->r, 0, m->rows * sizeof *m->r);
    for (size_t i = 0; i < m->n; i++) {
        double *row = m->a + i * m->nu;

        if (!m->used[i] || i == without)
            continue;
        bt_quad_gradient(m, s->x, i, row);
        for (size_t k = 0; k < m->nu; k++)
            row[k] /= m->reading[i].u;
        m->r[i] = bt_quad_residual(m, s->x, i) / m->reading[i].u;
    }
    gsl_linalg_SV_decomp_jacobi(&a.matrix, &v.matrix, &sv.vector);
    s->rank = 0;
    while (s->rank < m->nu && s->s[s->rank] > RANK_SHARE * s->s[0])
        s->rank++;
}

/* The damped step: what is not determined stays where it is. */
static void step(const struct bt_quad_model *m, const struct bt_quad_solution *s,
                 double damping, double to[])
{
    for (size_t k = 0; k < m->nu; k++)
        to[k] = s->x[k];
    for (size_t j = 0; j < s->rank; j++) {
        double along = 0;

        for (size_t i = 0; i < m->rows; i++)
            along += m->a[i * m->nu + j] * m->r[i];
        along *= s->s[j] / (s->s[j] * s->s[j] + damping * s->s[0] * s->s[0]);
        for (size_t k = 0; k < m->nu; k++)
            to[k] += along * s->v[k * m->nu + j];
    }
}

static double moved(const struct bt_quad_model *m, const double a[], const double b[])
{
    double most = 0;

    for (size_t k = 0; k < m->nu; k++)
        most = fmax(most, fabs(a[k] - b[k]));
    return most;
}

void bt_quad_solve(struct bt_quad_model *m, size_t without, struct bt_quad_solution *s)
{
    double damping = 0;

    s->chi2 = chi2_at(m, s->x, without);
    for (int n = 0; n < STEPS_MOST; n++) {
        double to[BT_QUAD_UNKNOWNS], chi2, far;

        decompose(m, s, without);
        step(m, s, damping, to);
        far = moved(m, to, s->x);
        chi2 = chi2_at(m, to, without);
        if (chi2 <= s->chi2) {
            memcpy(s->x, to, m->nu * sizeof *to);
            s->chi2 = chi2;
            damping = damping > 1e-9 ? damping / 10 : 0;
        } else {
            damping = damping > 0 ? damping * 10 : 1e-6;
        }
        /* 1e-7 mm: a thousandth of what anything is printed to, and above the noise */
        if (!(far > 1e-7))
            break;
    }
    decompose(m, s, without);
}

double bt_quad_variance(const struct bt_quad_model *m, const struct bt_quad_solution *s,
                        const double g[])
{
    double size = 0, unseen = 0, variance = 0;

    for (size_t j = 0; j < m->nu; j++) {
        double along = 0;

        for (size_t k = 0; k < m->nu; k++)
            along += g[k] * s->v[k * m->nu + j];
        size += along * along;
        if (j >= s->rank)
            unseen += along * along;
        else
            variance += along * along / (s->s[j] * s->s[j]);
    }
    return unseen > UNSEEN_SHARE * UNSEEN_SHARE * size ? NAN : variance;
}

void bt_quad_measure(const struct bt_quad_model *m, const struct bt_quad_solution *s,
                     struct bt_measured figure[])
{
    const double h = 1e-3;
    double at[BT_QUAD_FIGURES], high[BT_QUAD_FIGURES], low[BT_QUAD_FIGURES];
    double g[BT_QUAD_FIGURES][BT_QUAD_UNKNOWNS] = {{0}}, x[BT_QUAD_UNKNOWNS];
    struct bt_point corner[4];

    memcpy(x, s->x, sizeof x);
    bt_quad_corners(x, corner);
    bt_quad_figures(corner, at);
    for (size_t k = 0; k < BT_QUAD_CORNERS; k++) {
        x[k] = s->x[k] + h;
        bt_quad_corners(x, corner);
        bt_quad_figures(corner, high);
        x[k] = s->x[k] - h;
        bt_quad_corners(x, corner);
        bt_quad_figures(corner, low);
        x[k] = s->x[k];
        for (int f = 0; f < BT_QUAD_FIGURES; f++)
            g[f][k] = (high[f] - low[f]) / (2 * h);
    }
    for (int f = 0; f < BT_QUAD_FIGURES; f++) {
        const double variance = bt_quad_variance(m, s, g[f]);
        const bool seen = s->rank > 0 && !isnan(variance);

        figure[f] = seen ? (struct bt_measured){at[f], sqrt(variance), true}
                         : (struct bt_measured){NAN, NAN, false};
    }
}
