/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "surface/dense.h"

#include <gsl/gsl_eigen.h>
#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"

/* Four sums, so that one addition need not wait for the other. */
double bt_dense_dot(size_t n, const double a[], const double b[])
{
    double sum[4] = {0};
    size_t i = 0;

    for (; i + 4 <= n; i += 4)
        for (size_t k = 0; k < 4; k++)
            sum[k] += a[i + k] * b[i + k];
    for (; i < n; i++)
        sum[0] += a[i] * b[i];
    return (sum[0] + sum[2]) + (sum[1] + sum[3]);
}

/* Four rows of u at a time: s is read from the cache a quarter as often. */
void bt_dense_subtract_square(size_t m, size_t n, const double u[], double s[])
{
    size_t r = 0;

    for (; r + 4 <= m; r += 4) {
        const double *restrict a = u + r * n, *restrict b = a + n, *restrict c = b + n,
                               *restrict d = c + n;
        for (size_t i = 0; i < n; i++) {
            double *restrict row = s + i * n;
            const double ai = a[i], bi = b[i], ci = c[i], di = d[i];
            for (size_t j = 0; j <= i; j++)
                row[j] -= ai * a[j] + bi * b[j] + ci * c[j] + di * d[j];
        }
    }
    for (; r < m; r++) {
        const double *restrict a = u + r * n;
        for (size_t i = 0; i < n; i++)
            for (size_t j = 0; j <= i; j++)
                s[i * n + j] -= a[i] * a[j];
    }
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j < i; j++)
            s[j * n + i] = s[i * n + j];
}

/* out[n] = in[n] s[n*n] */
static void multiply_row(size_t n, const double in[], const double s[],
                         double *restrict out)
{
    size_t k = 0;

    memset(out, 0, n * sizeof *out);
    for (; k + 4 <= n; k += 4) {
        const double *restrict a = s + k * n, *restrict b = a + n, *restrict c = b + n,
                               *restrict d = c + n;
        const double f = in[k], g = in[k + 1], h = in[k + 2], l = in[k + 3];
        for (size_t j = 0; j < n; j++)
            out[j] += (f * a[j] + g * b[j]) + (h * c[j] + l * d[j]);
    }
    for (; k < n; k++)
        for (size_t j = 0; j < n; j++)
            out[j] += in[k] * s[k * n + j];
}

/* Two rows at a time: s is read half as often. */
void bt_dense_multiply(size_t m, size_t n, const double y[], const double s[],
                       double x[])
{
    size_t r = 0;

    for (; r + 2 <= m; r += 2) {
        double *restrict out = x + r * n, *restrict next = out + n;
        const double *in = y + r * n, *after = in + n;
        size_t k = 0;

        memset(out, 0, 2 * n * sizeof *out);
        for (; k + 4 <= n; k += 4) {
            const double *restrict a = s + k * n, *restrict b = a + n,
                                   *restrict c = b + n, *restrict d = c + n;
            const double f = in[k], g = in[k + 1], h = in[k + 2], l = in[k + 3];
            const double t = after[k], u = after[k + 1], v = after[k + 2],
                         w = after[k + 3];
            for (size_t j = 0; j < n; j++) {
                out[j] += (f * a[j] + g * b[j]) + (h * c[j] + l * d[j]);
                next[j] += (t * a[j] + u * b[j]) + (v * c[j] + w * d[j]);
            }
        }
        for (; k < n; k++)
            for (size_t j = 0; j < n; j++) {
                out[j] += in[k] * s[k * n + j];
                next[j] += after[k] * s[k * n + j];
            }
    }
    if (r < m)
        multiply_row(n, y + r * n, s, x + r * n);
}

/* By rows, since s is symmetric: sums along a row could not be done side by side. */
void bt_dense_apply(size_t n, const double s[], const double x[], double y[])
{
    multiply_row(n, x, s, y);
}

/*
 * Sweep operator on the lower triangle (J. H. Goodnight, The American Statistician 33
 * (1979) 149-158, from memory).  GSL's Cholesky would call its global error handler for
 * a matrix that is not positive definite, which is a question here and no mistake.
 */
bool bt_dense_invert(size_t n, double a[], double work[])
{
    for (size_t k = 0; k < n; k++) {
        double share;

        if (!(a[k * n + k] > 0))
            return false;
        share = 1 / a[k * n + k];
        for (size_t j = 0; j < n; j++)
            work[j] = j <= k ? a[k * n + j] : a[j * n + k];
        for (size_t i = 0; i < n; i++) {
            double *restrict row = a + i * n;
            const double f = work[i] * share;
            if (i == k)
                continue;
            for (size_t j = 0; j <= i; j++)
                row[j] -= f * work[j];
            if (k < i)
                row[k] = f;
            else
                a[k * n + i] = f;
        }
        for (size_t j = 0; j < k; j++)
            a[k * n + j] = work[j] * share;
        a[k * n + k] = -share;
    }
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j <= i; j++) {
            a[i * n + j] = -a[i * n + j];
            a[j * n + i] = a[i * n + j];
        }
    return true;
}

double bt_dense_least_eigenvalue(size_t n, const double inverse[], double work[])
{
    enum { STEPS = 8 };
    const double golden = 0.618033988749895;
    double *v = work, *next = work + n, largest = 0, share = 0;

    if (n == 0)
        return NAN;
    /* A start with no symmetry, so that it is orthogonal to no likely eigenvector. */
    for (size_t i = 0; i < n; i++) {
        v[i] = 1 + share;
        share += share < 1 - golden ? golden : golden - 1;
    }
    for (int step = 0; step < STEPS; step++) {
        double *swap;
        const double length = sqrt(bt_dense_dot(n, v, v));
        for (size_t i = 0; i < n; i++)
            v[i] /= length;
        bt_dense_apply(n, inverse, v, next);
        largest = sqrt(bt_dense_dot(n, next, next));
        swap = v;
        v = next;
        next = swap;
    }
    return 1 / largest;
}

enum bt_status bt_dense_eigen(size_t n, double a[], double value[], double vector[])
{
    gsl_eigen_symmv_workspace *work = gsl_eigen_symmv_alloc(n);
    gsl_matrix_view m, v;
    gsl_vector_view e;

    if (!work)
        return BT_ENOMEM;
    m = gsl_matrix_view_array(a, n, n);
    v = gsl_matrix_view_array(vector, n, n);
    e = gsl_vector_view_array(value, n);
    gsl_eigen_symmv(&m.matrix, &e.vector, &v.matrix, work);
    gsl_eigen_symmv_sort(&e.vector, &v.matrix, GSL_EIGEN_SORT_VAL_ASC);
    gsl_matrix_transpose(&v.matrix);
    gsl_eigen_symmv_free(work);
    return BT_OK;
}

enum bt_status bt_dense_pseudo_inverse(size_t n, double a[], double tolerance,
                                       double null[], size_t *nnull, double *least)
{
    double *value;
    enum bt_status status;

    *nnull = 0;
    *least = NAN;
    if (n == 0)
        return BT_OK;
    value = bt_alloc(n, sizeof *value);
    status = value ? bt_dense_eigen(n, a, value, null) : BT_ENOMEM;
    if (status == BT_OK) {
        size_t k = 0;
        memset(a, 0, n * n * sizeof *a);
        while (k < n && !(value[k] > tolerance))
            k++;
        *nnull = k;
        *least = k < n ? value[k] : NAN;
        for (; k < n; k++) {
            const double *row = null + k * n;
            for (size_t i = 0; i < n; i++)
                for (size_t j = 0; j < n; j++)
                    a[i * n + j] += row[i] * row[j] / value[k];
        }
    }
    bt_free(value);
    return status;
}

size_t bt_dense_orthonormalise(size_t k, size_t n, double v[], double tolerance)
{
    size_t kept = 0;

    for (size_t r = 0; r < k; r++) {
        double *row = v + r * n, *to = v + kept * n;
        const double before = sqrt(bt_dense_dot(n, row, row));
        double after;

        for (int pass = 0; pass < 2; pass++)
            for (size_t q = 0; q < kept; q++) {
                const double *other = v + q * n;
                const double c = bt_dense_dot(n, row, other);
                for (size_t i = 0; i < n; i++)
                    row[i] -= c * other[i];
            }
        after = sqrt(bt_dense_dot(n, row, row));
        if (!(after > tolerance * before))
            continue;
        for (size_t i = 0; i < n; i++)
            to[i] = row[i] / after;
        kept++;
    }
    return kept;
}
