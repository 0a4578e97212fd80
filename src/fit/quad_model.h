/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_FIT_QUAD_MODEL_H
#define BENCHTRUE_FIT_QUAD_MODEL_H

#include "benchtrue/fit/quad.h"

/* Readings as functions of the unknowns, and their solution.  Private to the room. */

enum { BT_QUAD_CORNERS = 5, BT_QUAD_UNKNOWNS = 8 };

struct bt_quad_model {
    size_t n, nu; /* readings of the caller; unknowns, 5 or 8 */
    const struct bt_opening_reading *reading;
    const struct bt_wall_profile *profile; /* [4] */
    bool *used;                            /* [n] counts in the adjustment */
    double mirror; /* 1, or -1: the template's y runs the other way */
    double scale;  /* mm: typical size, turns the template's angle into a length */
    double *a;     /* [rows * nu] */
    double *r;     /* [rows] */
    size_t rows;   /* n, or nu where that is more */
};

/* A solution. */
struct bt_quad_solution {
    double x[BT_QUAD_UNKNOWNS];
    double chi2;
    size_t rank;
    double
        v[BT_QUAD_UNKNOWNS * BT_QUAD_UNKNOWNS]; /* right singular vectors in columns */
    double s[BT_QUAD_UNKNOWNS];                 /* singular values, descending */
};

/* Corners from the unknowns. */
void bt_quad_corners(const double x[], struct bt_point corner[4]);

/* What reading i would be; of a point, how far the traced place lies outside its wall.
 */
double bt_quad_predict(const struct bt_quad_model *model, const double x[], size_t i);

/* Reading less prediction over nothing: mm or rad. */
double bt_quad_residual(const struct bt_quad_model *model, const double x[], size_t i);

/* Gradient of the prediction of reading i. */
void bt_quad_gradient(const struct bt_quad_model *model, const double x[], size_t i,
                      double g[]);

/* Values to start from; BT_OK or BT_EINPUT. */
enum bt_status bt_quad_start(struct bt_quad_model *model, double x[],
                             struct bt_error *err);

/* From x to the least chi2; leave out reading `without` (n: none). */
void bt_quad_solve(struct bt_quad_model *model, size_t without,
                   struct bt_quad_solution *solution);

/* Variance of a figure with gradient g; NaN where it is not determined. */
double bt_quad_variance(const struct bt_quad_model *model,
                        const struct bt_quad_solution *solution, const double g[]);

/* All figures with u of a solution. */
void bt_quad_measure(const struct bt_quad_model *model,
                     const struct bt_quad_solution *solution,
                     struct bt_measured figure[]);

#endif
