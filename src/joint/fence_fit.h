/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BT_JOINT_FENCE_FIT_H
#define BT_JOINT_FENCE_FIT_H

#include <stdbool.h>
#include <stddef.h>

/*
 * Generalised least squares of the checks of a fence, see joint/fence.h.  Private.
 * Angles in rad, lengths in mm.
 */

/* A check as the estimator sees it. */
struct bt_fence_row {
    double y, u;    /* e of the check, its random u > 0 */
    double own;     /* error shared with the rows of that instrument, >= 0 */
    double lever;   /* station - cutter; 0 where there is no station */
    int instrument; /* < 0: its own */
    size_t station; /* 0 to nstation - 1, each in use */
};

struct bt_fence_model {
    size_t n; /* 1 or more */
    const struct bt_fence_row *row;
    size_t nstation;
    bool slope; /* fitted; the levers then differ */
};

struct bt_fence_fit {
    double e, slope;         /* slope 0 where it is not fitted */
    double var_e, var_slope; /* as the model has them */
    double q;                /* weighted square sum of the residuals */
    size_t dof;
};

/* Room for models of up to n rows; freed with bt_fence_room_free, which accepts one of
 * zeroes. */
struct bt_fence_room {
    double *v;     /* n x n, covariance, then its factor */
    double *base;  /* n rows of n, whitened columns made orthonormal */
    double *right; /* n, whitened y, then its residual */
    double *unit;  /* n */
};

/* False when there is no memory; the room can be freed then too. */
bool bt_fence_room_alloc(struct bt_fence_room *room, size_t n);
void bt_fence_room_free(struct bt_fence_room *room);

/* False where numbers are too large or too small: the covariance has no factor or a
 * result is not finite. */
bool bt_fence_fit(const struct bt_fence_model *model, double tau2,
                  struct bt_fence_room *room, struct bt_fence_fit *fit);

/* The between-station variance; NaN with as many unknowns as stations. */
bool bt_fence_tau2(const struct bt_fence_model *model, struct bt_fence_room *room,
                   double *tau2);

/*
 * The row whose studentised residual (what it is off from what the others say of it,
 * over the u of that) is largest with tau2 = 0, the first of equals; rows that nothing
 * else checks are passed over.  *worst n and *score NaN where there is none.
 */
bool bt_fence_worst(const struct bt_fence_model *model, struct bt_fence_room *room,
                    size_t *worst, double *score);

/* max(1, q/dof), which enlarges the variances. */
double bt_fence_enlarge(const struct bt_fence_fit *fit);

#endif
