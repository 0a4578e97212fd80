/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The form is solved from the triangle R of its six columns: R^T R q = A^T h.  Where
 * points cover a face the triangle comes from sums (sweep.h); where they are few, or
 * leave a term nearly open, from Householder transformations of blocks, in the
 * coordinates of the rectangle, as in form.c.
 */
#include "benchtrue/surface/scan.h"

#include <gsl/gsl_linalg.h>
#include <math.h>
#include <string.h>

#include "sweep.h"

enum { TERMS = 6, TERM_BOW = 3, TERM_TWIST = 4, TERM_CUP = 5, BLOCK = 64 };

/* As in form.c: singular values below this share of the largest leave a term
 * undetermined, and so it counts when more of it lies in their space. */
static const double rank_tolerance = 1e-9;
static const double share_tolerance = 1e-12;

/* Least ratio of singular values at which sums are as good as a triangle: their
 * rounding, 1e-16, is magnified by the square of its inverse, to 1e-12. */
static const double sums_tolerance = 0.01;

/* Squares of residuals, and sums of many, must be numbers. */
static const double largest_residual = 1e150;

/* Powers of u and v in each term. */
static const size_t power_u[TERMS] = {0, 1, 0, 2, 1, 0};
static const size_t power_v[TERMS] = {0, 0, 1, 0, 1, 2};

static const struct bt_measured not_seen = {NAN, NAN, false};

struct view {
    const struct bt_scan *scan;
    const struct bt_rectangle *rectangle;
    struct plane_solution plane;
};

static double middle_of(double low, double high)
{
    return 0.5 * low + 0.5 * high;
}

/* Singular values of a[6][6], in place: left vectors in its columns. */
static bool decompose(double a[TERMS][TERMS], double right[TERMS][TERMS],
                      double singular[TERMS])
{
    gsl_matrix_view m = gsl_matrix_view_array(&a[0][0], TERMS, TERMS);
    gsl_matrix_view v = gsl_matrix_view_array(&right[0][0], TERMS, TERMS);
    gsl_vector_view s = gsl_vector_view_array(singular, TERMS);

    return gsl_linalg_SV_decomp_jacobi(&m.matrix, &v.matrix, &s.vector) == GSL_SUCCESS;
}

/* Rows (six terms, height over the plane) to their triangle, in the rectangle; false
 * where the numbers are too large. */
static bool triangle(const struct view *w, double work[TERMS + 1 + BLOCK][TERMS + 1])
{
    const struct bt_scan *scan = w->scan;
    const struct bt_rectangle *r = w->rectangle;
    const double x = middle_of(r->x0, r->x1), y = middle_of(r->y0, r->y1);
    const double half_x = 0.5 * (r->x1 - r->x0), half_y = 0.5 * (r->y1 - r->y0);
    double tau[TERMS + 1];
    gsl_vector_view t = gsl_vector_view_array(tau, TERMS + 1);

    memset(work, 0, (TERMS + 1) * sizeof *work);
    for (size_t from = 0; from < scan->n; from += BLOCK) {
        const size_t m = scan->n - from < BLOCK ? scan->n - from : BLOCK;
        gsl_matrix_view a =
            gsl_matrix_view_array(&work[0][0], TERMS + 1 + m, TERMS + 1);

        for (size_t i = 0; i < m; i++) {
            const struct bt_point *p = &scan->p[from + i];
            const double u = (p->x - x) / half_x, v = (p->y - y) / half_y;
            const double h = (double)plane_residual(&w->plane, p, scan->z[from + i]);
            const double row[TERMS + 1] = {1, u, v, u * u, u * v, v * v, h};

            for (size_t j = 0; j <= TERMS; j++)
                if (!(fabs(row[j]) <= largest_residual))
                    return false;
            memcpy(work[TERMS + 1 + i], row, sizeof row);
        }
        if (gsl_linalg_QR_decomp(&a.matrix, &t.vector))
            return false;
    }
    return true;
}

/* One term by the pseudo-inverse of the triangle. */
static struct bt_measured term(double left[TERMS][TERMS], double right[TERMS][TERMS],
                               const double singular[TERMS], const double d[TERMS],
                               size_t which, double scale, double u)
{
    double open = 0.0, value = 0.0, square = 0.0;

    for (size_t k = 0; k < TERMS; k++) {
        const double share = right[which][k];
        double along = 0.0;

        if (!(singular[k] > rank_tolerance * singular[0])) {
            open += share * share;
            continue;
        }
        for (size_t i = 0; i < TERMS; i++)
            along += left[i][k] * d[i];
        value += share / singular[k] * along;
        square += (share / singular[k]) * (share / singular[k]);
    }
    if (!(open <= share_tolerance))
        return not_seen;
    return (struct bt_measured){scale * value, fabs(scale) * sqrt(square) * u, true};
}

/* Form of any points. */
static bool form_with_care(const struct view *w, struct bt_form *form)
{
    double work[TERMS + 1 + BLOCK][TERMS + 1], left[TERMS][TERMS], right[TERMS][TERMS];
    double singular[TERMS], d[TERMS];
    const double u = w->scan->u;

    if (!triangle(w, work))
        return false;
    for (size_t i = 0; i < TERMS; i++) {
        for (size_t j = 0; j < TERMS; j++)
            left[i][j] = j < i ? 0.0 : work[i][j];
        d[i] = work[i][TERMS];
    }
    if (!decompose(left, right, singular))
        return false;
    form->bow = term(left, right, singular, d, TERM_BOW, -1.0, u);
    form->cup = term(left, right, singular, d, TERM_CUP, -1.0, u);
    form->twist = term(left, right, singular, d, TERM_TWIST, 4.0, u);
    return true;
}

/* Cholesky triangle of the sums of products of the terms, upper; false where they are
 * not positive definite. */
static bool triangle_of_sums(const struct sweep_sums *sums, long double r[TERMS][TERMS])
{
    for (size_t i = 0; i < TERMS; i++)
        for (size_t j = i; j < TERMS; j++) {
            long double left = sums->moment[sweep_moment(power_u[i] + power_u[j],
                                                         power_v[i] + power_v[j])];

            for (size_t k = 0; k < i; k++)
                left -= r[k][i] * r[k][j];
            if (i == j && !(left > 0.0L))
                return false;
            r[i][j] = i == j ? sqrtl(left) : left / r[i][i];
        }
    for (size_t i = 1; i < TERMS; i++)
        for (size_t j = 0; j < i; j++)
            r[i][j] = 0.0L;
    return true;
}

/* Terms of the rectangle in those of the sums: u = move[0] + stretch[0] u', and so on
 * for v. */
static void rectangle_terms(const double move[2], const double stretch[2],
                            double n[TERMS][TERMS])
{
    const double a = move[0], b = move[1], s = stretch[0], t = stretch[1];
    const double rows[TERMS][TERMS] = {
        {1, 0, 0, 0, 0, 0},
        {a, s, 0, 0, 0, 0},
        {b, 0, t, 0, 0, 0},
        {a * a, 2 * a * s, 0, s * s, 0, 0},
        {a * b, s * b, a * t, 0, s * t, 0},
        {b * b, 0, 2 * b * t, 0, 0, t * t},
    };

    memcpy(n, rows, sizeof rows);
}

/* Whether the sums determine every term, and with digits to spare: in their own
 * coordinates, and by the rule of form.c in those of the rectangle. */
static bool sums_suffice(long double r[TERMS][TERMS], double n[TERMS][TERMS])
{
    double own[TERMS][TERMS], there[TERMS][TERMS], right[TERMS][TERMS];
    double singular[TERMS];

    for (size_t i = 0; i < TERMS; i++)
        for (size_t j = 0; j < TERMS; j++) {
            own[i][j] = (double)r[i][j];
            there[i][j] = 0.0;
            for (size_t k = 0; k < TERMS; k++)
                there[i][j] += (double)r[i][k] * n[j][k];
        }
    if (!decompose(own, right, singular) ||
        !(singular[TERMS - 1] > sums_tolerance * singular[0]))
        return false;
    return decompose(there, right, singular) &&
           singular[TERMS - 1] > 2.0 * rank_tolerance * singular[0];
}

/* scale times one term: q[which], where R^T R q = the sums with heights, and its u from
 * the diagonal of the inverse. */
static struct bt_measured term_of_sums(const struct sweep_sums *sums,
                                       long double r[TERMS][TERMS], size_t which,
                                       long double scale, double u)
{
    long double w[TERMS], value = 0.0L, square = 0.0L, d[TERMS];

    for (size_t i = 0; i < TERMS; i++) {
        /* R^T w = e_which, R^T d = heights: the term is w . d */
        w[i] = i == which ? 1.0L : 0.0L;
        d[i] = sums->height[sweep_moment(power_u[i], power_v[i])];
        for (size_t k = 0; k < i; k++) {
            w[i] -= r[k][i] * w[k];
            d[i] -= r[k][i] * d[k];
        }
        w[i] /= r[i][i];
        d[i] /= r[i][i];
        value += w[i] * d[i];
        square += w[i] * w[i];
    }
    return (struct bt_measured){(double)(scale * value),
                                (double)(fabsl(scale) * sqrtl(square) * u), true};
}

static bool form_of_sums(const struct view *w, const struct sweep_sums *sums,
                         struct bt_form *form)
{
    const struct bt_rectangle *r = w->rectangle;
    const double half_x = 0.5 * (r->x1 - r->x0), half_y = 0.5 * (r->y1 - r->y0);
    const double stretch[2] = {1.0 / (sums->u_x * half_x), 1.0 / (sums->v_y * half_y)};
    const double move[2] = {(sums->x - middle_of(r->x0, r->x1)) / half_x,
                            (sums->y - middle_of(r->y0, r->y1)) / half_y};
    const long double along = (long double)sums->u_x * half_x;
    const long double across = (long double)sums->v_y * half_y;
    long double triangle[TERMS][TERMS];
    double n[TERMS][TERMS];

    if (!triangle_of_sums(sums, triangle))
        return false;
    rectangle_terms(move, stretch, n);
    if (!sums_suffice(triangle, n))
        return false;
    form->bow = term_of_sums(sums, triangle, TERM_BOW, -along * along, w->scan->u);
    form->cup = term_of_sums(sums, triangle, TERM_CUP, -across * across, w->scan->u);
    form->twist =
        term_of_sums(sums, triangle, TERM_TWIST, 4.0L * along * across, w->scan->u);
    return true;
}

/* Residuals in extended precision. */
static void residuals_with_care(const struct view *w, double relative[], double u[],
                                struct sweep_residuals *found)
{
    const struct bt_scan *scan = w->scan;

    *found = (struct sweep_residuals){INFINITY, -INFINITY, 0, 0, 0.0L};
    for (size_t i = 0; i < scan->n; i++) {
        const long double r = plane_residual(&w->plane, &scan->p[i], scan->z[i]);
        const double rounded = (double)r;

        if (rounded < found->low) {
            found->low = rounded;
            found->lowest = i;
        }
        if (rounded > found->high) {
            found->high = rounded;
            found->highest = i;
        }
        found->square += r * r;
        if (relative)
            relative[i] = rounded;
        if (u)
            u[i] = (double)sqrtl(
                fmaxl(0.0L, 1.0L - plane_hat(&w->plane, &scan->p[i], &scan->p[i])));
    }
}

/* Standard uncertainty from the sum of squared coefficients, which rounding may bring
 * below 0 where it is 0. */
static double doubt(double u, long double square)
{
    return u * (double)sqrtl(square > 0.0L ? square : 0.0L);
}

/*
 * With I - H the map from heights to residuals: a residual has the square 1 - H_ii, the
 * difference of two 1 - H_ii + 1 - H_jj + 2 H_ij; the rms has derivatives r / (n rms),
 * which I - H leaves as they are, so that its square is 1/n.
 */
static void residual_figures(const struct view *w, const struct sweep_residuals *found,
                             struct bt_residual_figures *out)
{
    const struct bt_point *high = &w->scan->p[found->highest];
    const struct bt_point *low = &w->scan->p[found->lowest];
    const long double n = (long double)w->scan->n;
    const long double at_high = 1.0L - plane_hat(&w->plane, high, high);
    const long double at_low = 1.0L - plane_hat(&w->plane, low, low);
    const long double both =
        found->highest == found->lowest
            ? 0.0L
            : at_high + at_low + 2.0L * plane_hat(&w->plane, high, low);
    const double u = w->scan->u, rms = (double)sqrtl(found->square / n);
    /* at 0 the slope is undefined; the mean square of the doubt stands for it */
    const bool flat = !(rms > 0.0) || w->scan->n == 3;

    out->highest = found->highest;
    out->lowest = found->lowest;
    out->peak = (struct bt_measured){found->high, doubt(u, at_high), true};
    out->valley = (struct bt_measured){found->low, doubt(u, at_low), true};
    out->range = (struct bt_measured){found->high - found->low, doubt(u, both), true};
    out->rms =
        (struct bt_measured){rms, doubt(u, flat ? (n - 3.0L) / n : 1.0L / n), true};
}

static enum bt_status check(const struct bt_scan *scan, const struct bt_rectangle *r,
                            struct bt_error *err)
{
    if (!(scan->u > 0.0) || !isfinite(scan->u))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "the uncertainty of the heights is not a number above 0");
    if (!isfinite(r->x1 - r->x0) || !isfinite(r->y1 - r->y0))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "the panel's rectangle is not finite");
    if (!(r->x1 > r->x0) || !(r->y1 > r->y0))
        return bt_error_set(err, BT_EINPUT, 0, 0, "the panel's rectangle has no area");
    return BT_OK;
}

static enum bt_status too_large(struct bt_error *err)
{
    return bt_error_set(err, BT_EINPUT, 0, 0,
                        "the numbers are too large to compute with");
}

enum bt_status bt_scan_form(const struct bt_scan *scan,
                            const struct bt_rectangle *rectangle,
                            struct bt_scan_figures *figures, double relative[],
                            double u[], struct bt_error *err)
{
    struct view w = {.scan = scan, .rectangle = rectangle};
    struct bt_scan_figures made;
    struct sweep_residuals found;
    struct sweep_sums sums;
    enum bt_status status = check(scan, rectangle, err);
    bool summed, swept;

    if (status != BT_OK)
        return status;
    memset(&made, 0, sizeof made);
    made.form.rectangle = *rectangle;
    summed = sweep_points(scan->n, scan->p, scan->z, true, &sums);
    swept = summed && sweep_plane(&sums, &w.plane);
    if (!swept)
        status = plane_solve(scan->n, scan->p, scan->z, &w.plane, err);
    if (status == BT_OK)
        status = plane_unframe(&w.plane, &made.plane, err);
    if (status != BT_OK)
        return status;
    if (!(summed && form_of_sums(&w, &sums, &made.form)) &&
        !form_with_care(&w, &made.form))
        return too_large(err);
    if (swept)
        sweep_residuals(scan->n, scan->p, scan->z, &w.plane, relative, u, &found);
    else
        residuals_with_care(&w, relative, u, &found);
    residual_figures(&w, &found, &made.residual);
    for (size_t i = 0; u && i < scan->n; i++)
        u[i] *= scan->u;
    *figures = made;
    return BT_OK;
}
