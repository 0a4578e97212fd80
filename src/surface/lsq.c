/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/surface/lsq.h"

#include <float.h>
#include <gsl/gsl_blas.h>
#include <gsl/gsl_linalg.h>
#include <math.h>
#include <stdbool.h>
#include <stdint.h>
#include <string.h>

#include "benchtrue/base/alloc.h"

/*
 * The columns are scaled by powers of two, which is exact, to norms between 1/2
 * and 1, and y likewise; A and b below are the scaled ones.  A P = Q R; the
 * solution is that of the augmented system
 *
 *     r + A x = b,   A^T r = c,   c = 0 for the fit
 *
 * in x and r together.  x and r are kept in extended precision, so that what is
 * left after refinement is the rounding of A and b themselves.
 */
struct fit {
    size_t n, p;
    const double *x; /* unscaled */
    double *scale;   /* per column */
    double *qr, *tau;
    size_t *order;
    double *b;               /* n, scaled right side */
    double *f;               /* n, first residual of the augmented system, then dr */
    double *g;               /* p, second residual, then dx in pivoted order */
    long double *r;          /* n */
    long double *coef, *sum; /* p */
    bool mild; /* R is so well conditioned that it costs 3 digits at most */
};

/* Refinement gains nothing once a step is not at least halved; a matrix that
 * passes the test of rank converges at least that fast. */
enum { MAX_STEPS = 60 };

static void fit_free(struct fit *fit)
{
    bt_free(fit->scale);
    bt_free(fit->qr);
    bt_free(fit->tau);
    bt_free(fit->order);
    bt_free(fit->b);
    bt_free(fit->f);
    bt_free(fit->g);
    bt_free(fit->r);
    bt_free(fit->coef);
    bt_free(fit->sum);
}

static bool fit_alloc(struct fit *fit, size_t n, size_t p, const double x[])
{
    memset(fit, 0, sizeof *fit);
    fit->n = n;
    fit->p = p;
    fit->x = x;
    return (fit->scale = bt_alloc(p, sizeof(double))) &&
           (fit->qr = bt_alloc(n, p * sizeof(double))) &&
           (fit->tau = bt_alloc(p, sizeof(double))) &&
           (fit->order = bt_alloc(p, sizeof(size_t))) &&
           (fit->b = bt_alloc(n, sizeof(double))) &&
           (fit->f = bt_alloc(n, sizeof(double))) &&
           (fit->g = bt_alloc(p, sizeof(double))) &&
           (fit->r = bt_alloc(n, sizeof(long double))) &&
           (fit->coef = bt_alloc(p, sizeof(long double))) &&
           (fit->sum = bt_alloc(p, sizeof(long double)));
}

static enum bt_status check(size_t n, size_t p, const double x[], const double y[],
                            struct bt_error *err)
{
    if (p == 0)
        return bt_error_set(err, BT_EINPUT, 0, 0, "there is nothing to fit");
    if (n < p)
        return bt_error_set(err, BT_EINPUT, n, 0,
                            "%zu readings are too few for %zu unknowns", n, p);
    if (p > SIZE_MAX / sizeof(double))
        return bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
    for (size_t i = 0; i < n; i++) {
        for (size_t j = 0; j < p; j++)
            if (!isfinite(x[i * p + j]))
                return bt_error_set(err, BT_EINPUT, i, 0,
                                    "row %zu, column %zu is not a finite number", i + 1,
                                    j + 1);
        if (!isfinite(y[i]))
            return bt_error_set(err, BT_EINPUT, i, 0,
                                "the value of row %zu is not a finite number", i + 1);
    }
    return BT_OK;
}

/* Power of two that brings the norm of n values, step apart, to [1/2, 1); 1 where
 * all are zero.  Kept within the range in which its inverse is a number too. */
static double norm_scale(size_t n, size_t step, const double v[])
{
    double largest = 0.0;
    long double sum = 0.0L;
    int e_largest, e_norm, e;

    for (size_t i = 0; i < n; i++)
        largest = fmax(largest, fabs(v[i * step]));
    if (!(largest > 0.0))
        return 1.0;
    frexp(largest, &e_largest);
    for (size_t i = 0; i < n; i++) {
        long double w = ldexpl((long double)v[i * step], -e_largest);
        sum += w * w;
    }
    frexpl(sqrtl(sum), &e_norm);
    e = e_largest + e_norm;
    e = e > 1000 ? 1000 : e < -1000 ? -1000 : e;
    return ldexp(1.0, -e);
}

/* Factor the scaled matrix; false where its columns are dependent. */
static bool factor(struct fit *fit)
{
    size_t n = fit->n, p = fit->p;
    gsl_matrix_view a = gsl_matrix_view_array(fit->qr, n, p);
    gsl_vector_view tau = gsl_vector_view_array(fit->tau, p);
    gsl_vector_view norm = gsl_vector_view_array(fit->g, p);
    gsl_permutation order = {.size = p, .data = fit->order};
    double first, last;
    int sign;

    for (size_t j = 0; j < p; j++)
        fit->scale[j] = norm_scale(n, p, fit->x + j);
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j < p; j++)
            fit->qr[i * p + j] = fit->x[i * p + j] * fit->scale[j];
    if (gsl_linalg_QRPT_decomp(&a.matrix, &tau.vector, &order, &sign, &norm.vector))
        return false;
    first = fabs(fit->qr[0]);
    last = fabs(fit->qr[(p - 1) * p + p - 1]);
    fit->mild = last > 1e-3 * first;
    return last > (double)n * DBL_EPSILON * first;
}

/*
 * f = b - r - A x and g = c - A^T r in extended precision.  b NULL: all zero;
 * c: unit vector -e_unit, or zero for unit == p.
 */
static void residuals(struct fit *fit, const double b[], size_t unit)
{
    size_t p = fit->p;

    for (size_t j = 0; j < p; j++)
        fit->sum[j] = j == unit ? -1.0L : 0.0L;
    for (size_t i = 0; i < fit->n; i++) {
        long double f = (b ? (long double)b[i] : 0.0L) - fit->r[i];
        for (size_t j = 0; j < p; j++) {
            long double a = fit->x[i * p + j] * fit->scale[j];
            f -= a * fit->coef[j];
            fit->sum[j] -= a * fit->r[i];
        }
        fit->f[i] = (double)f;
    }
    for (size_t k = 0; k < p; k++)
        fit->g[k] = (double)fit->sum[fit->order[k]];
}

/*
 * Solve dr + A dx = f, A^T dr = g with the factors: h = R^-T P^T g,
 * (d1, d2) = Q^T f, dx = P R^-1 (d1 - h), dr = Q (h, d2).  dx and dr replace g
 * (pivoted order) and f.
 */
static bool solve_step(struct fit *fit)
{
    size_t n = fit->n, p = fit->p;
    gsl_matrix_view a = gsl_matrix_view_array(fit->qr, n, p);
    gsl_matrix_view r = gsl_matrix_submatrix(&a.matrix, 0, 0, p, p);
    gsl_vector_view tau = gsl_vector_view_array(fit->tau, p);
    gsl_vector_view f = gsl_vector_view_array(fit->f, n);
    gsl_vector_view g = gsl_vector_view_array(fit->g, p);

    if (gsl_blas_dtrsv(CblasUpper, CblasTrans, CblasNonUnit, &r.matrix, &g.vector) ||
        gsl_linalg_QR_QTvec(&a.matrix, &tau.vector, &f.vector))
        return false;
    for (size_t k = 0; k < p; k++) {
        double h = fit->g[k];
        fit->g[k] = fit->f[k] - h;
        fit->f[k] = h;
    }
    return !gsl_blas_dtrsv(CblasUpper, CblasNoTrans, CblasNonUnit, &r.matrix,
                           &g.vector) &&
           !gsl_linalg_QR_Qvec(&a.matrix, &tau.vector, &f.vector);
}

static double largest(size_t n, const double v[])
{
    double size = 0.0;

    for (size_t i = 0; i < n; i++)
        size = fmax(size, fabs(v[i]));
    return size;
}

/* Solve the augmented system into coef and r, step after step until neither part
 * of the correction shrinks to half the one before. */
static bool solve(struct fit *fit, const double b[], size_t unit)
{
    double before_x = INFINITY, before_r = INFINITY;

    for (size_t i = 0; i < fit->n; i++)
        fit->r[i] = 0.0L;
    for (size_t j = 0; j < fit->p; j++)
        fit->coef[j] = 0.0L;
    for (int step = 0; step < MAX_STEPS; step++) {
        double size_x, size_r;

        residuals(fit, b, unit);
        if (!solve_step(fit))
            return false;
        size_x = largest(fit->p, fit->g);
        size_r = largest(fit->n, fit->f);
        if (!(size_x < before_x / 2.0) && !(size_r < before_r / 2.0))
            break;
        for (size_t k = 0; k < fit->p; k++)
            fit->coef[fit->order[k]] += (long double)fit->g[k];
        for (size_t i = 0; i < fit->n; i++)
            fit->r[i] += (long double)fit->f[i];
        before_x = size_x;
        before_r = size_r;
    }
    return true;
}

/* Column k of (A^T A)^-1 into coef: R^-1 R^-T from the factor where that keeps
 * 12 digits, else the refined solution of A^T r = -e_k with b = 0. */
static bool inverse_column(struct fit *fit, size_t k)
{
    size_t p = fit->p;
    gsl_matrix_view r = gsl_matrix_view_array(fit->qr, p, p);
    gsl_vector_view g = gsl_vector_view_array(fit->g, p);

    if (!fit->mild)
        return solve(fit, NULL, k);
    for (size_t j = 0; j < p; j++)
        fit->g[j] = fit->order[j] == k ? 1.0 : 0.0;
    if (gsl_blas_dtrsv(CblasUpper, CblasTrans, CblasNonUnit, &r.matrix, &g.vector) ||
        gsl_blas_dtrsv(CblasUpper, CblasNoTrans, CblasNonUnit, &r.matrix, &g.vector))
        return false;
    for (size_t j = 0; j < p; j++)
        fit->coef[fit->order[j]] = (long double)fit->g[j];
    return true;
}

/* Both halves are computed; their mean makes the result exactly symmetric. */
static bool covariance(struct fit *fit, double cov[])
{
    size_t p = fit->p;

    for (size_t k = 0; k < p; k++) {
        if (!inverse_column(fit, k))
            return false;
        for (size_t j = 0; j < p; j++)
            cov[j * p + k] = (double)(fit->coef[j] * (long double)fit->scale[j] *
                                      (long double)fit->scale[k]);
    }
    for (size_t k = 0; k < p; k++)
        for (size_t j = 0; j < k; j++) {
            double mean = 0.5 * cov[j * p + k] + 0.5 * cov[k * p + j];
            cov[j * p + k] = cov[k * p + j] = mean;
        }
    return true;
}

struct outputs {
    double *coef, *cov, *residual, *sum_sq;
};

/* Whether all that was computed is a finite number. */
static bool all_finite(size_t n, const double v[])
{
    for (size_t i = 0; i < n; i++)
        if (!isfinite(v[i]))
            return false;
    return true;
}

/*
 * Unscaled results of the fit: coefficients, their covariance where asked for into
 * cov, residuals into b (no longer needed), their sum of squares.
 */
static bool results(struct fit *fit, const double y[], double coef[], double cov[],
                    double *sum_sq)
{
    long double y_scale, sum = 0.0L;
    size_t n = fit->n, p = fit->p;

    y_scale = norm_scale(n, 1, y);
    for (size_t i = 0; i < n; i++)
        fit->b[i] = (double)((long double)y[i] * y_scale);
    if (!solve(fit, fit->b, p))
        return false;
    for (size_t j = 0; j < p; j++)
        coef[j] = (double)(fit->coef[j] * (long double)fit->scale[j] / y_scale);
    for (size_t i = 0; i < n; i++) {
        long double r = fit->r[i] / y_scale;
        fit->b[i] = (double)r;
        sum += r * r;
    }
    *sum_sq = (double)sum;
    return (!cov || (covariance(fit, cov) && all_finite(p * p, cov))) &&
           all_finite(p, coef) && isfinite(*sum_sq);
}

static enum bt_status run(struct fit *fit, const double y[], const struct outputs *out,
                          double coef[], double cov[], struct bt_error *err)
{
    size_t n = fit->n, p = fit->p;
    double sum_sq;

    if (!factor(fit))
        return bt_error_set(err, BT_ESINGULAR, fit->order[p - 1], 0,
                            "column %zu of %zu follows from the others",
                            fit->order[p - 1] + 1, p);
    if (!results(fit, y, coef, out->cov ? cov : NULL, &sum_sq))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "the numbers are too large or too small to compute with");
    memcpy(out->coef, coef, p * sizeof *coef);
    if (out->cov)
        memcpy(out->cov, cov, p * p * sizeof *cov);
    if (out->residual)
        memcpy(out->residual, fit->b, n * sizeof *fit->b);
    if (out->sum_sq)
        *out->sum_sq = sum_sq;
    return BT_OK;
}

enum bt_status bt_lsq_fit(size_t n, size_t p, const double x[], const double y[],
                          double coef[], double cov[], double residual[],
                          double *sum_sq, struct bt_error *err)
{
    struct outputs out = {coef, cov, residual, sum_sq};
    enum bt_status status = check(n, p, x, y, err);
    double *made_coef = NULL, *made_cov = NULL;
    struct fit fit;

    if (status != BT_OK)
        return status;
    /* results are made aside, so that outputs stay as they were on error and may
     * overlap the inputs */
    if (fit_alloc(&fit, n, p, x) && (made_coef = bt_alloc(p, sizeof(double))) &&
        (!cov || (made_cov = bt_alloc(p, p * sizeof(double)))))
        status = run(&fit, y, &out, made_coef, made_cov, err);
    else
        status = bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
    bt_free(made_coef);
    bt_free(made_cov);
    fit_free(&fit);
    return status;
}
