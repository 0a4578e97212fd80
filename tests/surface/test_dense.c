/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Dense kernels against plain triple loops. */
#include "surface/dense.h"

#include <criterion/criterion.h>
#include <gsl/gsl_errno.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "support/builder.h"

static void quiet_gsl(void)
{
    gsl_set_error_handler_off();
}

TestSuite(dense, .init = quiet_gsl);

enum { MOST = 20 };

static void fill(size_t n, double v[], unsigned long long *seed)
{
    for (size_t i = 0; i < n; i++)
        v[i] = builder_normal(seed);
}

/* a = v^T v + shift on the diagonal, for v[rows][n]. */
static void gram(size_t rows, size_t n, const double v[], double shift, double a[])
{
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j < n; j++) {
            a[i * n + j] = i == j ? shift : 0;
            for (size_t r = 0; r < rows; r++)
                a[i * n + j] += v[r * n + i] * v[r * n + j];
        }
}

/* Largest |a b - I|. */
static double off_identity(size_t n, const double a[], const double b[])
{
    double most = 0;

    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j < n; j++) {
            double sum = i == j ? -1 : 0;
            for (size_t k = 0; k < n; k++)
                sum += a[i * n + k] * b[k * n + j];
            most = fmax(most, fabs(sum));
        }
    return most;
}

Test(dense, a_square_is_subtracted_for_every_number_of_rows)
{
    double u[9 * 7], s[7 * 7], want[7 * 7];
    unsigned long long seed = 1;

    for (size_t m = 0; m <= 9; m++) {
        fill(m * 7, u, &seed);
        fill(5 * 7, want, &seed);
        gram(5, 7, want, 1, s);
        gram(m, 7, u, 0, want);
        for (size_t i = 0; i < 49; i++)
            want[i] = s[i] - want[i];
        bt_dense_subtract_square(m, 7, u, s);
        for (size_t i = 0; i < 49; i++)
            cr_expect(fabs(s[i] - want[i]) <= 1e-13, "%zu rows, entry %zu", m, i);
    }
}

Test(dense, products_are_those_of_the_plain_loops_for_every_size)
{
    double y[3 * 9], s[9 * 9], v[9 * 9], x[3 * 9];
    unsigned long long seed = 2;

    for (size_t n = 1; n <= 9; n++) {
        fill(3 * n, y, &seed);
        fill(n * n, v, &seed);
        gram(n, n, v, 0, s);
        bt_dense_multiply(3, n, y, s, x);
        for (size_t r = 0; r < 3; r++)
            for (size_t j = 0; j < n; j++) {
                double want = 0, got[9];
                for (size_t k = 0; k < n; k++)
                    want += y[r * n + k] * s[k * n + j];
                cr_expect(fabs(x[r * n + j] - want) <= 1e-12, "n %zu", n);
                bt_dense_apply(n, s, y + r * n, got); /* s is symmetric */
                cr_expect(fabs(got[j] - want) <= 1e-12, "n %zu", n);
            }
    }
}

Test(dense, the_inverse_times_the_matrix_is_one_and_only_the_lower_triangle_is_read)
{
    double v[MOST * MOST], a[MOST * MOST], inverse[MOST * MOST], work[MOST];
    unsigned long long seed = 3;

    for (size_t n = 1; n <= MOST; n++) {
        fill(n * n, v, &seed);
        gram(n, n, v, 0.5, a);
        memcpy(inverse, a, n * n * sizeof *a);
        for (size_t i = 0; i < n; i++)
            for (size_t j = i + 1; j < n; j++)
                inverse[i * n + j] = NAN;
        cr_assert(bt_dense_invert(n, inverse, work), "n %zu", n);
        cr_expect(off_identity(n, a, inverse) <= 1e-11, "n %zu: %g", n,
                  off_identity(n, a, inverse));
    }
}

Test(dense, a_matrix_that_is_not_positive_definite_has_no_inverse)
{
    double work[3];
    static const struct {
        const char *name;
        double a[9];
    } rows[] = {{"zero", {0, 0, 0, 0, 1, 0, 0, 0, 1}},
                {"negative", {1, 0, 0, 0, -1, 0, 0, 0, 1}},
                {"indefinite", {1, 2, 0, 2, 1, 0, 0, 0, 1}},
                {"singular", {1, 1, 0, 1, 1, 0, 0, 0, 1}},
                {"NaN", {1, 0, 0, 0, NAN, 0, 0, 0, 1}}};

    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++) {
        double a[9];
        memcpy(a, rows[k].a, sizeof a);
        cr_expect(!bt_dense_invert(3, a, work), "%s", rows[k].name);
    }
}

Test(dense, the_least_eigenvalue_is_found_from_the_inverse)
{
    /* diagonal: eigenvalues stand on it */
    double inverse[MOST * MOST] = {0}, work[2 * MOST], least;

    for (size_t i = 0; i < MOST; i++)
        inverse[i * MOST + i] = 1.0 / (double)(1 + i * i);
    inverse[7 * MOST + 7] = 1 / 3e-9;
    least = bt_dense_least_eigenvalue(MOST, inverse, work);
    cr_expect(fabs(least / 3e-9 - 1) <= 1e-6, "%g", least);
    cr_expect(isnan(bt_dense_least_eigenvalue(0, inverse, work)));
}

Test(dense, eigenvalues_ascend_and_their_vectors_are_rows)
{
    double v[9], a[9], keep[9], value[3], vector[9];
    unsigned long long seed = 5;

    fill(9, v, &seed);
    gram(3, 3, v, 0, a);
    memcpy(keep, a, sizeof a);
    cr_assert_eq(bt_dense_eigen(3, a, value, vector), BT_OK);
    cr_expect(value[0] <= value[1] && value[1] <= value[2]);
    for (size_t k = 0; k < 3; k++) {
        double image[3];
        bt_dense_apply(3, keep, vector + 3 * k, image);
        for (size_t i = 0; i < 3; i++)
            cr_expect(fabs(image[i] - value[k] * vector[3 * k + i]) <= 1e-12);
    }
}

/* The four conditions of Penrose hold a pseudo-inverse fast. */
Test(dense, the_pseudo_inverse_of_a_singular_matrix_leaves_its_null_space_out)
{
    enum { N = 8, RANK = 5 };
    double v[RANK * N], a[N * N], p[N * N], null[N * N], least, q[N * N], w[N * N];
    unsigned long long seed = 6;
    size_t nnull;

    fill(RANK * N, v, &seed);
    gram(RANK, N, v, 0, a);
    memcpy(p, a, sizeof a);
    cr_assert_eq(bt_dense_pseudo_inverse(N, p, 1e-9, null, &nnull, &least), BT_OK);
    cr_assert_eq(nnull, N - RANK);
    cr_expect(least > 1e-3);
    for (size_t k = 0; k < nnull; k++) {
        double image[N];
        bt_dense_apply(N, a, null + k * N, image);
        for (size_t i = 0; i < N; i++)
            cr_expect(fabs(image[i]) <= 1e-12);
        for (size_t l = 0; l <= k; l++)
            cr_expect(fabs(bt_dense_dot(N, null + k * N, null + l * N) - (k == l)) <=
                      1e-13);
    }
    bt_dense_multiply(N, N, a, p, q);
    bt_dense_multiply(N, N, q, a, w); /* a p a = a */
    for (size_t i = 0; i < N * N; i++)
        cr_expect(fabs(w[i] - a[i]) <= 1e-11, "%g", w[i] - a[i]);
    for (size_t i = 0; i < N; i++)
        for (size_t j = 0; j < N; j++)
            cr_expect(fabs(q[i * N + j] - q[j * N + i]) <= 1e-11);
    bt_dense_multiply(N, N, p, a, q);
    bt_dense_multiply(N, N, q, p, w); /* p a p = p */
    for (size_t i = 0; i < N * N; i++)
        cr_expect(fabs(w[i] - p[i]) <= 1e-10 * fabs(p[0]) + 1e-10);
}

Test(dense, a_matrix_of_zeros_has_a_pseudo_inverse_of_zeros_and_no_least_eigenvalue)
{
    double a[4] = {0}, null[4], least = 1;
    size_t nnull;

    cr_assert_eq(bt_dense_pseudo_inverse(2, a, 1e-9, null, &nnull, &least), BT_OK);
    cr_expect_eq(nnull, 2);
    cr_expect(isnan(least));
    cr_expect(a[0] == 0 && a[3] == 0);
    cr_assert_eq(bt_dense_pseudo_inverse(0, a, 1e-9, null, &nnull, &least), BT_OK);
    cr_expect(nnull == 0 && isnan(least));
}

Test(dense, orthonormal_rows_are_kept_and_dependent_ones_dropped)
{
    double v[5 * 4] = {1, 1,    0, 0, /* */ 2, 2, 0, 0, /* the first again */
                       1, 1e-5, 0, 0, /* */ 0, 0, 0, 0, /* no row */
                       3, 0,    4, 5};
    double twice;

    cr_assert_eq(bt_dense_orthonormalise(5, 4, v, 1e-9), 3);
    for (size_t i = 0; i < 3; i++)
        for (size_t j = 0; j <= i; j++)
            cr_expect(fabs(bt_dense_dot(4, v + 4 * i, v + 4 * j) - (i == j)) <= 1e-15,
                      "%zu %zu", i, j);
    /* nearly parallel rows come out orthogonal all the same */
    double w[2 * 3] = {1, 1, 1, 1, 1, 1 + 1e-8};
    cr_assert_eq(bt_dense_orthonormalise(2, 3, w, 1e-12), 2);
    twice = bt_dense_dot(3, w, w + 3);
    cr_expect(fabs(twice) <= 1e-15, "%g", twice);
}
