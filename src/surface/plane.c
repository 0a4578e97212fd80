/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "plane_private.h"

#include <float.h>
#include <gsl/gsl_blas.h>
#include <gsl/gsl_linalg.h>
#include <math.h>
#include <stdbool.h>
#include <string.h>

#include "sweep.h"

/*
 * Positions are moved to their mean, turned to their principal axes and divided by
 * their spread along each axis, so that the columns 1, s, t are nearly orthonormal
 * whatever the points; heights are moved to their mean.  The triangle of the
 * columns and the heights is made block by block, so that a scan of a million
 * points needs no memory of its own.  Most scans do not come here: see sweep.h.
 */
enum { BLOCK = 64, COLUMNS = 4, UNKNOWNS = 3 };

/* More would be noise: the columns are so well conditioned that each step gains all
 * the digits of a double. */
enum { REFINEMENTS = 3 };

static enum bt_status check(size_t n, const struct bt_point p[], const double z[],
                            struct bt_error *err)
{
    if (n < 3)
        return bt_error_set(err, BT_EINPUT, n, 0,
                            "%zu points are too few for a plane, 3 would do", n);
    for (size_t i = 0; i < n; i++)
        if (!isfinite(p[i].x) || !isfinite(p[i].y) || !isfinite(z[i]))
            return bt_error_set(err, BT_EINPUT, i, 0,
                                "point %zu is not three finite numbers", i + 1);
    return BT_OK;
}

static long double along(const struct plane_frame *f, const struct bt_point *p)
{
    return f->s_x * ((long double)p->x - f->x) + f->s_y * ((long double)p->y - f->y);
}

static long double across(const struct plane_frame *f, const struct bt_point *p)
{
    return f->t_x * ((long double)p->x - f->x) + f->t_y * ((long double)p->y - f->y);
}

/* Mean, and the unit vectors of the principal axes as s and t; returns the largest
 * coordinate. */
static double principal_axes(size_t n, const struct bt_point p[], const double z[],
                             struct plane_frame *f)
{
    long double x = 0.0L, y = 0.0L, h = 0.0L, xx = 0.0L, xy = 0.0L, yy = 0.0L, turn;
    double largest = 0.0;

    for (size_t i = 0; i < n; i++) {
        x += (long double)p[i].x;
        y += (long double)p[i].y;
        h += (long double)z[i];
        largest = fmax(largest, fmax(fabs(p[i].x), fabs(p[i].y)));
    }
    f->x = (double)(x / (long double)n);
    f->y = (double)(y / (long double)n);
    f->z = (double)(h / (long double)n);
    for (size_t i = 0; i < n; i++) {
        long double dx = (long double)p[i].x - f->x, dy = (long double)p[i].y - f->y;
        xx += dx * dx;
        xy += dx * dy;
        yy += dy * dy;
    }
    turn = 0.5L * atan2l(2.0L * xy, xx - yy);
    f->s_x = f->t_y = cosl(turn);
    f->s_y = sinl(turn);
    f->t_x = -f->s_y;
    return largest;
}

/* False where the points lie on one line, that is where they leave their long axis by
 * no more than coordinates are rounded. */
static bool make_frame(size_t n, const struct bt_point p[], const double z[],
                       struct plane_frame *f)
{
    const double largest = principal_axes(n, p, z, f);
    long double ss = 0.0L, tt = 0.0L;

    for (size_t i = 0; i < n; i++) {
        long double s = along(f, &p[i]), t = across(f, &p[i]);
        ss += s * s;
        tt += t * t;
    }
    ss = sqrtl(ss / (long double)n);
    tt = sqrtl(tt / (long double)n);
    if (!(tt > 8.0L * DBL_EPSILON * largest))
        return false;
    f->s_x /= ss;
    f->s_y /= ss;
    f->t_x /= tt;
    f->t_y /= tt;
    return true;
}

/* Columns and height of point i in the frame. */
static void place(const struct plane_frame *f, const struct bt_point *p, double z,
                  long double row[COLUMNS])
{
    row[0] = 1.0L;
    row[1] = along(f, p);
    row[2] = across(f, p);
    row[3] = (long double)z - f->z;
}

/*
 * The triangle R of the rows (1, s, t, z) by Householder transformations, block
 * under triangle: work[0..3] is the triangle so far.  Its zeros stay zeros, as the
 * transformation of a column touches only the rows where the column is not zero.
 */
static bool triangle(size_t n, const struct bt_point p[], const double z[],
                     const struct plane_frame *f, double work[COLUMNS + BLOCK][COLUMNS])
{
    double tau[COLUMNS];
    gsl_vector_view t = gsl_vector_view_array(tau, COLUMNS);

    memset(work, 0, COLUMNS * sizeof *work);
    for (size_t start = 0; start < n; start += BLOCK) {
        size_t m = n - start < BLOCK ? n - start : BLOCK;
        gsl_matrix_view a = gsl_matrix_view_array(&work[0][0], COLUMNS + m, COLUMNS);

        for (size_t i = 0; i < m; i++) {
            long double row[COLUMNS];
            place(f, &p[start + i], z[start + i], row);
            for (size_t j = 0; j < COLUMNS; j++)
                work[COLUMNS + i][j] = (double)row[j];
        }
        if (gsl_linalg_QR_decomp(&a.matrix, &t.vector))
            return false;
    }
    return true;
}

/* g = A^T (z - A c), in extended precision. */
static void gradient(size_t n, const struct bt_point p[], const double z[],
                     const struct plane_frame *f, const long double c[UNKNOWNS],
                     double g[UNKNOWNS])
{
    long double sum[UNKNOWNS] = {0.0L, 0.0L, 0.0L};

    for (size_t i = 0; i < n; i++) {
        long double row[COLUMNS], r;
        place(f, &p[i], z[i], row);
        r = row[3] - c[0] - c[1] * row[1] - c[2] * row[2];
        for (size_t j = 0; j < UNKNOWNS; j++)
            sum[j] += row[j] * r;
    }
    for (size_t j = 0; j < UNKNOWNS; j++)
        g[j] = (double)sum[j];
}

/* First the solution from the triangle, then corrections R^T R dc = g.  R is well
 * conditioned by the choice of the frame, so the corrections converge at once. */
static bool solve(size_t n, const struct bt_point p[], const double z[],
                  const struct plane_frame *f, long double c[UNKNOWNS])
{
    double work[COLUMNS + BLOCK][COLUMNS], g[UNKNOWNS];
    gsl_matrix_view all = gsl_matrix_view_array(&work[0][0], COLUMNS, COLUMNS);
    gsl_matrix_view r = gsl_matrix_submatrix(&all.matrix, 0, 0, UNKNOWNS, UNKNOWNS);
    gsl_vector_view v = gsl_vector_view_array(g, UNKNOWNS);

    if (!triangle(n, p, z, f, work))
        return false;
    for (size_t j = 0; j < UNKNOWNS; j++) {
        c[j] = 0.0L;
        g[j] = work[j][3];
    }
    for (int step = 0; step <= REFINEMENTS; step++) {
        if (step > 0) {
            gradient(n, p, z, f, c, g);
            if (gsl_blas_dtrsv(CblasUpper, CblasTrans, CblasNonUnit, &r.matrix,
                               &v.vector))
                return false;
        }
        if (gsl_blas_dtrsv(CblasUpper, CblasNoTrans, CblasNonUnit, &r.matrix,
                           &v.vector))
            return false;
        for (size_t j = 0; j < UNKNOWNS; j++)
            c[j] += (long double)g[j];
    }
    return true;
}

enum bt_status plane_solve(size_t n, const struct bt_point p[], const double z[],
                           struct plane_solution *solution, struct bt_error *err)
{
    enum bt_status status = check(n, p, z, err);

    if (status != BT_OK)
        return status;
    solution->n = n;
    if (!make_frame(n, p, z, &solution->frame) ||
        !solve(n, p, z, &solution->frame, solution->c))
        return bt_error_set(
            err, BT_ESINGULAR, 0, 0,
            "all %zu points lie on one line, a plane needs one beside it", n);
    return BT_OK;
}

enum bt_status plane_unframe(const struct plane_solution *solution,
                             struct bt_plane *plane, struct bt_error *err)
{
    const struct plane_frame *f = &solution->frame;
    const long double *c = solution->c;
    const long double b = c[1] * f->s_x + c[2] * f->t_x;
    const long double d = c[1] * f->s_y + c[2] * f->t_y;
    const struct bt_plane found = {
        (double)((long double)f->z + c[0] - b * f->x - d * f->y), (double)b, (double)d};

    if (!isfinite(found.a) || !isfinite(found.b) || !isfinite(found.c))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "the numbers are too large to compute with");
    *plane = found;
    return BT_OK;
}

long double plane_residual(const struct plane_solution *solution,
                           const struct bt_point *p, double z)
{
    const long double *c = solution->c;
    long double row[COLUMNS];

    place(&solution->frame, p, z, row);
    return row[3] - c[0] - c[1] * row[1] - c[2] * row[2];
}

long double plane_hat(const struct plane_solution *solution, const struct bt_point *p,
                      const struct bt_point *q)
{
    const struct plane_frame *f = &solution->frame;

    return (1.0L + along(f, p) * along(f, q) + across(f, p) * across(f, q)) /
           (long double)solution->n;
}

enum bt_status bt_plane_fit(size_t n, const struct bt_point p[], const double z[],
                            struct bt_plane *plane, double residual[],
                            struct bt_error *err)
{
    struct plane_solution solution;
    struct sweep_sums sums;
    struct sweep_residuals unused;
    const bool swept =
        sweep_points(n, p, z, false, &sums) && sweep_plane(&sums, &solution);
    enum bt_status status = swept ? BT_OK : plane_solve(n, p, z, &solution, err);

    if (status == BT_OK)
        status = plane_unframe(&solution, plane, err);
    if (status != BT_OK)
        return status;
    if (residual && swept)
        sweep_residuals(n, p, z, &solution, residual, NULL, &unused);
    for (size_t i = 0; residual && !swept && i < n; i++)
        residual[i] = (double)plane_residual(&solution, &p[i], z[i]);
    return BT_OK;
}
