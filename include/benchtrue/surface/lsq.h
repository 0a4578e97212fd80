/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_SURFACE_LSQ_H
#define BENCHTRUE_SURFACE_LSQ_H

#include <stddef.h>

#include "benchtrue/base/status.h"

/*
 * Unweighted linear least squares by Householder QR of the column-scaled matrix,
 * refined on the augmented system with residuals in extended precision (A. Bjorck,
 * Numerical Methods for Least Squares Problems, SIAM 1996, section 2.9.2, from
 * memory).  Never by normal equations.
 *
 *   n, p       rows and columns, n >= p >= 1
 *   x[n * p]   design matrix, row after row, finite
 *   y[n]       finite
 *   coef[p]    out: coefficients
 *   cov[p * p] out, may be NULL: (X^T X)^-1, to be multiplied by the variance of a
 *              reading
 *   residual[n] out, may be NULL: y - X b of the refined solution b, before it is
 *              rounded to coef
 *   sum_sq     out, may be NULL: sum of squared residuals
 *
 * With n = p the residuals are 0 up to rounding.  A column of zeros is dependent.
 * Outputs may overlap the inputs; they are left untouched on error.
 *
 * Returns BT_OK; BT_EINPUT (p = 0; n < p; not finite: row at fault; results too large
 * for a number); BT_ESINGULAR (columns dependent: the smallest diagonal of R after
 * column pivoting is at or below n * 2.2e-16 of the largest; row is the index of a
 * column that follows from the others); BT_ENOMEM.
 */
BT_API enum bt_status bt_lsq_fit(size_t n, size_t p, const double x[], const double y[],
                                 double coef[], double cov[], double residual[],
                                 double *sum_sq, struct bt_error *err);

#endif
