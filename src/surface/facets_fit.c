/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "surface/facets_fit.h"

#include <gsl/gsl_linalg.h>
#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "surface/dense.h"

/* A height whose curvature is that of each board's sign, crowned positive; level and
 * at 0 at the back edge, smooth at the joints. */
static double ripple_at(const struct bt_facets_model *m, double y)
{
    double from = m->rectangle->y0, z = 0, slope = 0;

    for (size_t b = 0; b <= m->njoint && (b == 0 || y > from); b++) {
        const double to = b < m->njoint && y > m->joint[b] ? m->joint[b] : y;
        const double run = to - from;

        z += slope * run - m->sign[b] * run * run / 2;
        slope -= m->sign[b] * run;
        from = to;
    }
    return z;
}

static void terms_at(const struct bt_facets_model *m, const struct bt_point *p,
                     double out[])
{
    const struct bt_rectangle *r = m->rectangle;
    const double u = (2 * p->x - r->x0 - r->x1) / (r->x1 - r->x0);
    const double v = (2 * p->y - r->y0 - r->y1) / (r->y1 - r->y0);
    size_t k = BT_FACETS_COMMON;

    out[0] = 1;
    out[1] = u;
    out[2] = v;
    out[3] = u * u;
    out[4] = u * v;
    if (m->cup)
        out[k++] = v * v;
    if (m->sign)
        out[k++] = ripple_at(m, p->y);
    for (size_t j = 0; !m->sign && j < m->njoint; j++)
        out[k++] = p->y > m->joint[j] ? 2 * (p->y - m->joint[j]) / (r->y1 - r->y0) : 0;
}

/* What the readings would show of each term, weighted; room[terms]. */
static void fill(const struct bt_system *sys, const struct bt_facets_model *model,
                 struct bt_facets_fit *fit, double room[])
{
    for (size_t i = 0; i < sys->nobs; i++)
        for (int k = 0; k < sys->obs[i].npoint; k++) {
            const double a = sys->a[4 * i + (size_t)k];
            terms_at(model, &sys->point[sys->obs[i].point[k]], room);
            for (size_t j = 0; j < fit->terms; j++)
                fit->x[fit->terms * i + j] += a * room[j];
        }
}

/* Scale columns to length 1 before the groups take their share, so that what is left of
 * one that a group swallows whole is known for rounding. */
static enum bt_status scale_and_take_off(const struct bt_system *sys,
                                         struct bt_facets_fit *fit)
{
    enum bt_status status = BT_OK;

    for (size_t j = 0; j < fit->terms && status == BT_OK; j++) {
        double sum = 0;
        for (size_t i = 0; i < sys->nobs; i++)
            sum += fit->x[fit->terms * i + j] * fit->x[fit->terms * i + j];
        fit->scale[j] = sum > 0 ? 1 / sqrt(sum) : 0;
        for (size_t i = 0; i < sys->nobs; i++)
            fit->x[fit->terms * i + j] *= fit->scale[j];
        status = bt_system_take_off_groups(sys, fit->terms, fit->x + j);
    }
    return status;
}

/* A decomposition that does not converge leaves every term open: rank 0. */
static void decompose(struct bt_facets_fit *fit, double least)
{
    const size_t p = fit->terms;
    gsl_matrix_view x = gsl_matrix_view_array(fit->x, fit->rows, p);
    gsl_vector_view tau = gsl_vector_view_array(fit->tau, p);
    gsl_matrix_view left = gsl_matrix_view_array(fit->left, p, p);
    gsl_matrix_view right = gsl_matrix_view_array(fit->right, p, p);
    gsl_vector_view singular = gsl_vector_view_array(fit->singular, p);

    fit->rank = 0;
    if (gsl_linalg_QR_decomp(&x.matrix, &tau.vector) != GSL_SUCCESS)
        return;
    for (size_t i = 0; i < p; i++)
        for (size_t j = 0; j < p; j++)
            fit->left[i * p + j] = j >= i ? fit->x[i * p + j] : 0;
    if (gsl_linalg_SV_decomp_jacobi(&left.matrix, &right.matrix, &singular.vector) !=
        GSL_SUCCESS)
        return;
    while (fit->rank < p && fit->singular[fit->rank] > least)
        fit->rank++;
}

static enum bt_status take_memory(size_t nobs, size_t terms, struct bt_facets_fit *fit)
{
    memset(fit, 0, sizeof *fit);
    fit->terms = terms;
    fit->rows = nobs < terms ? terms : nobs; /* rows of zeros, as the SVD wants */
    fit->x = bt_alloc(fit->rows, terms * sizeof *fit->x);
    fit->tau = bt_alloc(terms, sizeof *fit->tau);
    fit->scale = bt_alloc(terms, sizeof *fit->scale);
    fit->left = bt_alloc(terms, terms * sizeof *fit->left);
    fit->right = bt_alloc(terms, terms * sizeof *fit->right);
    fit->singular = bt_alloc(terms, sizeof *fit->singular);
    fit->column = bt_alloc(fit->rows, sizeof *fit->column);
    fit->along = bt_alloc(terms, sizeof *fit->along);
    return fit->x && fit->tau && fit->scale && fit->left && fit->right &&
                   fit->singular && fit->column && fit->along
               ? BT_OK
               : BT_ENOMEM;
}

enum bt_status bt_facets_fit_make(const struct bt_system *sys,
                                  const struct bt_facets_model *model,
                                  struct bt_facets_fit *fit)
{
    const size_t terms =
        BT_FACETS_COMMON + model->cup + (model->sign ? 1 : model->njoint);
    enum bt_status status = take_memory(sys->nobs, terms, fit);

    if (status == BT_OK) {
        fill(sys, model, fit, fit->along);
        status = scale_and_take_off(sys, fit);
    }
    if (status == BT_OK) {
        /* what counts as zero in the adjustment is an eigenvalue, here its root */
        decompose(fit, sqrt(sys->null_tolerance));
        fit->tolerance = sys->shape_tolerance * sys->shape_tolerance;
        memcpy(fit->column, sys->y, sys->nobs * sizeof *fit->column);
        status = bt_system_take_off_groups(sys, 1, fit->column);
    }
    if (status == BT_OK)
        fit->chi_square = bt_facets_fit_project(fit);
    return status;
}

void bt_facets_fit_clear(struct bt_facets_fit *fit)
{
    bt_free(fit->x);
    bt_free(fit->tau);
    bt_free(fit->scale);
    bt_free(fit->left);
    bt_free(fit->right);
    bt_free(fit->singular);
    bt_free(fit->column);
    bt_free(fit->along);
    memset(fit, 0, sizeof *fit);
}

double bt_facets_fit_project(struct bt_facets_fit *fit)
{
    const size_t p = fit->terms;
    gsl_matrix_view x = gsl_matrix_view_array(fit->x, fit->rows, p);
    gsl_vector_view tau = gsl_vector_view_array(fit->tau, p);
    gsl_vector_view column = gsl_vector_view_array(fit->column, fit->rows);

    gsl_linalg_QR_QTvec(&x.matrix, &tau.vector, &column.vector);
    for (size_t k = 0; k < p; k++) {
        fit->along[k] = 0;
        for (size_t i = 0; k < fit->rank && i < p; i++)
            fit->along[k] += fit->left[i * p + k] * fit->column[i];
    }
    /* no sum over the other left vectors: those of singular value 0 GSL leaves 0 */
    for (size_t i = 0; i < p; i++)
        fit->column[i] -= bt_dense_dot(fit->rank, fit->left + i * p, fit->along);
    return bt_dense_dot(fit->rows, fit->column, fit->column);
}

double bt_facets_fit_value(const struct bt_facets_fit *fit, size_t term)
{
    const double *right = fit->right + term * fit->terms;
    double value = 0;

    for (size_t k = 0; k < fit->rank; k++)
        value += right[k] / fit->singular[k] * fit->along[k];
    return value * fit->scale[term];
}

double bt_facets_fit_u(const struct bt_facets_fit *fit, size_t term)
{
    const double *right = fit->right + term * fit->terms;
    double sum = 0;

    for (size_t k = 0; k < fit->rank; k++)
        sum += right[k] / fit->singular[k] * (right[k] / fit->singular[k]);
    return sqrt(sum) * fit->scale[term];
}

double bt_facets_fit_covariance(const struct bt_facets_fit *fit, size_t a, size_t b)
{
    const double *ra = fit->right + a * fit->terms, *rb = fit->right + b * fit->terms;
    double sum = 0;

    for (size_t k = 0; k < fit->rank; k++)
        sum += ra[k] / fit->singular[k] * (rb[k] / fit->singular[k]);
    return sum * fit->scale[a] * fit->scale[b];
}

bool bt_facets_fit_sees(const struct bt_facets_fit *fit, size_t term)
{
    const double *right = fit->right + term * fit->terms;
    double open = 0;

    for (size_t k = fit->rank; k < fit->terms; k++)
        open += right[k] * right[k];
    return fit->rank > 0 && fit->scale[term] > 0 && open <= fit->tolerance;
}
