/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The approach to rest.  An error that readings share is one more unknown with a value
 * of 0 +- 1 known beforehand: the same as weighting by the inverse of the full
 * covariance, without having to invert it.
 */
#include <gsl/gsl_cdf.h>
#include <gsl/gsl_linalg.h>
#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "benchtrue/judge/trend.h"

enum { END, AMPLITUDE, TAU, OWN, GRID = 33, STEPS = 200, HALVINGS = 40 };

/* Diagonal of the triangle, against its column, that counts as nothing left. */
static const double singular = 1e-11;

/* value = p[END] + p[AMPLITUDE] exp(-(day - first)/exp(p[TAU])) + sum shared p[OWN + k]
 */
struct fit {
    size_t n, nshared, rows, columns;
    const struct bt_trend_point *point;
    size_t *used; /* [n] which points */
    double first, last, mean, u_log;
    double *p, *step, *trial; /* [columns] unknowns */
    double *a, *r, *rest;     /* [rows][columns], [rows], [rows] */
    double *tau;              /* [columns] of the triangle */
};

static enum bt_status refuse(struct bt_error *err, size_t row, const char *why)
{
    return bt_error_set(err, BT_EINPUT, row, 0, "%s", why);
}

static enum bt_status check(size_t n, const struct bt_trend_point point[],
                            size_t nshared, const struct bt_trend_prior *prior,
                            struct bt_error *err)
{
    if (!(prior->tau > 0) || !isfinite(prior->tau) || !(prior->u_log > 0) ||
        !isfinite(prior->u_log))
        return refuse(err, 0, "the time constant and its u must be over 0");
    for (size_t i = 0; i < n; i++) {
        if (isnan(point[i].value))
            continue;
        if (!isfinite(point[i].value) || !isfinite(point[i].day))
            return refuse(err, i, "a value or a day is not finite");
        if (!(point[i].own > 0) || !isfinite(point[i].own))
            return refuse(err, i, "an uncertainty is not over 0");
        for (size_t k = 0; k < nshared; k++)
            if (!isfinite(point[i].shared[k]))
                return refuse(err, i, "a shared error is not finite");
    }
    return BT_OK;
}

static bool new_day(const struct fit *f, size_t n, double day)
{
    for (size_t i = 0; i < n; i++)
        if (f->point[f->used[i]].day == day)
            return false;
    return true;
}

/* Which points count, and on how many days they lie. */
static size_t choose(struct fit *f, size_t n)
{
    size_t days = 0;

    f->first = HUGE_VAL;
    f->last = -HUGE_VAL;
    for (size_t i = 0; i < n; i++) {
        if (isnan(f->point[i].value))
            continue;
        days += new_day(f, f->n, f->point[i].day);
        f->first = fmin(f->first, f->point[i].day);
        f->last = fmax(f->last, f->point[i].day);
        f->used[f->n++] = i;
    }
    return days;
}

static enum bt_status take_memory(struct fit *f)
{
    f->columns = OWN + f->nshared;
    f->rows = f->n + 1 + f->nshared;
    f->p = bt_alloc(f->columns, 4 * sizeof *f->p);
    f->a = bt_alloc(f->rows * f->columns, sizeof *f->a);
    f->r = bt_alloc(f->rows, 2 * sizeof *f->r);
    if (!f->p || !f->a || !f->r)
        return BT_ENOMEM;
    f->step = f->p + f->columns;
    f->trial = f->step + f->columns;
    f->tau = f->trial + f->columns;
    f->rest = f->r + f->rows;
    return BT_OK;
}

/* Weighted residuals at p, and their sum of squares. */
static double residuals(const struct fit *f, const double p[], double r[])
{
    double chi2 = 0;

    for (size_t i = 0; i < f->n; i++) {
        const struct bt_trend_point *point = &f->point[f->used[i]];
        double model =
            p[END] + p[AMPLITUDE] * exp(-(point->day - f->first) / exp(p[TAU]));

        for (size_t k = 0; k < f->nshared; k++)
            model += point->shared[k] * p[OWN + k];
        r[i] = (point->value - model) / point->own;
    }
    r[f->n] = (f->mean - p[TAU]) / f->u_log;
    for (size_t k = 0; k < f->nshared; k++)
        r[f->n + 1 + k] = -p[OWN + k];
    for (size_t i = 0; i < f->rows; i++)
        chi2 += r[i] * r[i];
    return chi2;
}

/* Slopes of the weighted model; with hold, tau is not to move. */
static void slopes(const struct fit *f, const double p[], bool hold)
{
    memset(f->a, 0, f->rows * f->columns * sizeof *f->a);
    for (size_t i = 0; i < f->n; i++) {
        const struct bt_trend_point *point = &f->point[f->used[i]];
        const double x = (point->day - f->first) / exp(p[TAU]), e = exp(-x);
        double *row = f->a + i * f->columns;

        row[END] = 1 / point->own;
        row[AMPLITUDE] = e / point->own;
        row[TAU] = hold ? 0 : p[AMPLITUDE] * e * x / point->own;
        for (size_t k = 0; k < f->nshared; k++)
            row[OWN + k] = point->shared[k] / point->own;
    }
    f->a[f->n * f->columns + TAU] = 1 / f->u_log;
    for (size_t k = 0; k < f->nshared; k++)
        f->a[(f->n + 1 + k) * f->columns + OWN + k] = 1;
}

static bool full_rank(const struct fit *f)
{
    for (size_t j = 0; j < f->columns; j++) {
        double square = 0;

        for (size_t i = 0; i <= j; i++)
            square += f->a[i * f->columns + j] * f->a[i * f->columns + j];
        if (!(fabs(f->a[j * f->columns + j]) > singular * sqrt(square)))
            return false;
    }
    return true;
}

/* The step that the residuals r ask for at the slopes in a, which become a triangle. */
static bool solve(struct fit *f)
{
    gsl_matrix_view a = gsl_matrix_view_array(f->a, f->rows, f->columns);
    gsl_vector_view tau = gsl_vector_view_array(f->tau, f->columns);
    gsl_vector_view r = gsl_vector_view_array(f->r, f->rows);
    gsl_vector_view rest = gsl_vector_view_array(f->rest, f->rows);
    gsl_vector_view step = gsl_vector_view_array(f->step, f->columns);

    return !gsl_linalg_QR_decomp(&a.matrix, &tau.vector) && full_rank(f) &&
           !gsl_linalg_QR_lssolve(&a.matrix, &tau.vector, &r.vector, &step.vector,
                                  &rest.vector);
}

/* The best end and amplitude for one time constant, which the others follow from
 * linearly: left in p.  Returns chi2; NaN where they are not determined. */
static double with_tau(struct fit *f, double p[], double log_tau)
{
    memset(p, 0, f->columns * sizeof *p);
    p[TAU] = log_tau;
    residuals(f, p, f->r);
    /* with its slope set to 0 in the readings, tau asks only to go to the prior */
    f->r[f->n] = 0;
    slopes(f, p, true);
    if (!solve(f))
        return NAN;
    for (size_t j = 0; j < f->columns; j++)
        p[j] += f->step[j];
    p[TAU] = log_tau;
    return residuals(f, p, f->r);
}

static bool begin(struct fit *f, double *chi2)
{
    double best = NAN;

    *chi2 = NAN;
    for (int k = 0; k < GRID; k++) {
        const double log_tau = f->mean + f->u_log * (8.0 * k / (GRID - 1) - 4);
        const double here = with_tau(f, f->trial, log_tau);

        if (here < *chi2 || (isnan(*chi2) && !isnan(here))) {
            *chi2 = here;
            best = log_tau;
        }
    }
    return !isnan(best) && !isnan(with_tau(f, f->p, best));
}

/* Halve the step until it gains; false where none does. */
static bool gain(struct fit *f, double *chi2)
{
    double share = 1;

    for (int k = 0; k < HALVINGS; k++, share /= 2) {
        double here;

        for (size_t j = 0; j < f->columns; j++)
            f->trial[j] = f->p[j] + share * f->step[j];
        here = residuals(f, f->trial, f->rest);
        if (here < *chi2) {
            memcpy(f->p, f->trial, f->columns * sizeof *f->p);
            *chi2 = here;
            return true;
        }
    }
    return false;
}

static bool descend(struct fit *f, double *chi2)
{
    for (int k = 0; k < STEPS; k++) {
        const double before = *chi2;

        residuals(f, f->p, f->r);
        slopes(f, f->p, false);
        if (!solve(f))
            return false;
        if (!gain(f, chi2) || before - *chi2 <= 1e-15 * before)
            break;
    }
    return true;
}

/* Sum of the logarithms of the triangle's diagonal, and of R^-1 R^-T the rows and
 * columns of the first three unknowns. */
static double invert(struct fit *f, double out[3][3])
{
    const size_t n = f->columns;
    double *row = f->step, sum_of_logs = 0;

    memset(out, 0, 9 * sizeof(double));
    /* columns of R^-1, one by one, by back substitution */
    for (size_t c = 0; c < n; c++) {
        sum_of_logs += log(fabs(f->a[c * n + c]));
        for (size_t i = c + 1; i-- > 0;) {
            double sum = i == c;

            for (size_t j = i + 1; j <= c; j++)
                sum -= f->a[i * n + j] * row[j];
            row[i] = sum / f->a[i * n + i];
        }
        for (size_t i = 0; i < OWN && i <= c; i++)
            for (size_t j = 0; j < OWN && j <= c; j++)
                out[i][j] += row[i] * row[j];
    }
    return sum_of_logs;
}

/* From the slopes at the solution. */
static bool linear_covariance(struct fit *f, double out[3][3])
{
    residuals(f, f->p, f->r);
    slopes(f, f->p, false);
    if (!solve(f))
        return false;
    invert(f, out);
    return true;
}

/*
 * Mean square about the solution over the time constants that the readings and the
 * prior allow: for each one the covariance of the rest, and how far the rest then lies
 * off.  The slopes alone held the end in 90 to 95 of 100 cases, not in 95.  A time
 * constant counts with what the readings say for it once end, amplitude and shared
 * errors are integrated out, exp(-chi2/2)/det R.
 */
static bool covariance(struct fit *f, double chi2, double out[3][3])
{
    double linear[3][3], given[3][3], off[3], weight = 0, reference = 0, u;

    if (!linear_covariance(f, linear))
        return false;
    u = sqrt(linear[TAU][TAU]);
    memset(out, 0, 9 * sizeof(double));
    for (int k = 0; k < GRID; k++) {
        const double log_tau = f->p[TAU] + u * (8.0 * k / (GRID - 1) - 4);
        const double here = with_tau(f, f->trial, log_tau);
        double w;

        if (isnan(here))
            continue;
        w = -(here - chi2) / 2 - invert(f, given);
        reference = weight > 0 ? reference : w;
        w = exp(w - reference);
        for (int i = 0; i < 3; i++) {
            off[i] = f->trial[i] - f->p[i];
            given[i][TAU] = given[TAU][i] = 0; /* held */
        }
        for (int i = 0; i < 3; i++)
            for (int j = 0; j < 3; j++)
                out[i][j] += w * (given[i][j] + off[i] * off[j]);
        weight += w;
    }
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            out[i][j] /= weight;
    return isfinite(weight) && weight > 0;
}

static bool run(struct fit *f, struct bt_trend_rest *out)
{
    double chi2, c[3][3];

    if (!begin(f, &chi2) || !descend(f, &chi2) || !covariance(f, chi2, c) ||
        !isfinite(chi2))
        return false;
    *out = (struct bt_trend_rest){.day = f->first,
                                  .last = f->last,
                                  .end = f->p[END],
                                  .left = -f->p[AMPLITUDE],
                                  .tau = exp(f->p[TAU]),
                                  .chi2 = chi2,
                                  .dof = f->n - 2};
    /* left is the amplitude with its sign turned */
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            out->covariance[i][j] =
                (i == AMPLITUDE) == (j == AMPLITUDE) ? c[i][j] : -c[i][j];
    out->agreement = gsl_cdf_chisq_Q(chi2, (double)out->dof);
    return true;
}

enum bt_status bt_trend_fit(size_t n, const struct bt_trend_point point[],
                            size_t nshared, const struct bt_trend_prior *prior,
                            struct bt_trend_rest *rest, struct bt_error *err)
{
    struct fit f = {.nshared = nshared, .point = point};
    enum bt_status status = check(n, point, nshared, prior, err);

    if (status != BT_OK)
        return status;
    f.mean = log(prior->tau);
    f.u_log = prior->u_log;
    f.used = bt_alloc(n, sizeof *f.used);
    if (!f.used)
        status = BT_ENOMEM;
    else if (choose(&f, n) < 3)
        status =
            refuse(err, 0, "an approach to rest needs readings of three days or more");
    if (status == BT_OK)
        status = take_memory(&f);
    if (status == BT_OK && !run(&f, rest))
        status = bt_error_set(err, BT_ESINGULAR, 0, 0,
                              "the readings are too close together in time to tell "
                              "where they end");
    if (status == BT_ENOMEM)
        bt_error_set(err, status, 0, 0, "%s", bt_status_text(status));
    bt_free(f.used);
    bt_free(f.p);
    bt_free(f.a);
    bt_free(f.r);
    return status;
}
