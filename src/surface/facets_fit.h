/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BT_SURFACE_FACETS_FIT_H
#define BT_SURFACE_FACETS_FIT_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/base/status.h"
#include "benchtrue/surface/form.h"
#include "surface/network_private.h"

/* Which terms a model has besides plane, bow and twist. */
struct bt_facets_model {
    const struct bt_rectangle *rectangle;
    bool cup;
    size_t njoint;
    const double *joint;
    const int *sign; /* [njoint + 1]: a ripple in place of the kinks; NULL: kinks */
};

enum { BT_FACETS_COMMON = 5 }; /* 1, u, v, u^2, u v: the first terms of every model */

/*
 * Weighted least squares of a model's terms to the readings, the groups' nuisance
 * unknowns taken out of both: Householder QR, then singular values of R, so that terms
 * which the readings leave open are found and not solved for.
 */
struct bt_facets_fit {
    size_t rows, terms, rank;
    double tolerance; /* a term counts as determined when less of it is open */
    double *x, *tau;  /* [rows * terms], [terms]: QR */
    double *scale;    /* [terms] columns were multiplied by it; 0 for one of zeros */
    double *left, *right, *singular; /* [terms * terms] twice, [terms]: of R */
    double *column;                  /* [rows] room */
    double *along;                   /* [terms] room */
    double chi_square;               /* weighted sum of squares left by the terms */
};

/* Returns BT_OK or BT_ENOMEM; fit is to be cleared in both cases. */
enum bt_status bt_facets_fit_make(const struct bt_system *sys,
                                  const struct bt_facets_model *model,
                                  struct bt_facets_fit *fit);
void bt_facets_fit_clear(struct bt_facets_fit *fit);

/* Bring fit->column, weighted values of the readings, to fit->along; returns the sum of
 * squares that the terms leave. */
double bt_facets_fit_project(struct bt_facets_fit *fit);

/* Coefficient of a term for what was projected last. */
double bt_facets_fit_value(const struct bt_facets_fit *fit, size_t term);

/* Standard uncertainty of a coefficient from the stated u of the readings. */
double bt_facets_fit_u(const struct bt_facets_fit *fit, size_t term);

/* Covariance of two coefficients from the same. */
double bt_facets_fit_covariance(const struct bt_facets_fit *fit, size_t a, size_t b);

/* Whether the readings determine a term. */
bool bt_facets_fit_sees(const struct bt_facets_fit *fit, size_t term);

#endif
