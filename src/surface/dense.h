/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BT_SURFACE_DENSE_H
#define BT_SURFACE_DENSE_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/base/status.h"

/* Dense symmetric kernels on row-major arrays without gaps.  Private. */

/* s[n*n] -= u^T u for u[m*n]; the whole of s, both triangles, is kept. */
void bt_dense_subtract_square(size_t m, size_t n, const double u[], double s[]);

/* x[m*n] = y[m*n] s[n*n]. */
void bt_dense_multiply(size_t m, size_t n, const double y[], const double s[],
                       double x[]);

/* y[n] = s[n*n] x[n]; y is not x. */
void bt_dense_apply(size_t n, const double s[], const double x[], double y[]);

/* Invert a symmetric positive definite matrix in place, only its lower triangle is
 * read; false when it is not positive definite.  work[n]. */
bool bt_dense_invert(size_t n, double a[], double work[]);

/* Smallest eigenvalue of a from its inverse, by power iteration on the inverse: an
 * upper bound that a few steps bring within some percent. */
double bt_dense_least_eigenvalue(size_t n, const double inverse[], double work[]);

/*
 * Pseudo-inverse of a symmetric positive semidefinite matrix.
 *
 *   a[n*n]        in: the matrix; out: its pseudo-inverse
 *   tolerance     eigenvalues not above it count as zero
 *   null[n*n]     out: rows 0 to *nnull-1 are an orthonormal basis of the null space
 *   least         out: smallest eigenvalue that does not count as zero; NaN when none
 *
 * Returns BT_OK or BT_ENOMEM.
 */
enum bt_status bt_dense_pseudo_inverse(size_t n, double a[], double tolerance,
                                       double null[], size_t *nnull, double *least);

/* Eigenvalues ascending in value[n], eigenvectors in the rows of vector[n*n]; a is
 * destroyed. */
enum bt_status bt_dense_eigen(size_t n, double a[], double value[], double vector[]);

/*
 * Orthonormalise the rows of v[k*n] (Gram-Schmidt twice), dropping rows that depend
 * on those before them (what is left below tolerance of the row's length).  Returns
 * the number of rows kept, moved to the front.
 */
size_t bt_dense_orthonormalise(size_t k, size_t n, double v[], double tolerance);

double bt_dense_dot(size_t n, const double a[], const double b[]);

#endif
