/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "joint/fence_fit.h"

#include <gsl/gsl_blas.h>
#include <gsl/gsl_linalg.h>
#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"

/*
 * V = L L^T is the covariance of the rows, w = L^-1 x the whitened columns; they are
 * made orthonormal one after the other (modified Gram-Schmidt, which as a solver of
 * least squares is as stable as Householder's way), so that normal equations are not
 * formed.
 */

/* Doublings of tau^2 until it is above the root, and halvings down to it: more than
 * any double needs. */
enum { MAX_DOUBLINGS = 2100, MAX_HALVINGS = 200 };

/* A residual of which less than this share (of its row's inverse variance) is left
 * over is rounding: nothing else checks that row. */
#define UNCHECKED 1e-9

bool bt_fence_room_alloc(struct bt_fence_room *room, size_t n)
{
    memset(room, 0, sizeof *room);
    return (room->v = bt_alloc(n, n * sizeof(double))) &&
           (room->base = bt_alloc(n, n * sizeof(double))) &&
           (room->right = bt_alloc(n, sizeof(double))) &&
           (room->unit = bt_alloc(n, sizeof(double)));
}

void bt_fence_room_free(struct bt_fence_room *room)
{
    bt_free(room->v);
    bt_free(room->base);
    bt_free(room->right);
    bt_free(room->unit);
    memset(room, 0, sizeof *room);
}

static double covariance(const struct bt_fence_row *a, const struct bt_fence_row *b,
                         double tau2)
{
    double v = a->station == b->station ? tau2 : 0.0;

    if (a == b)
        v += a->u * a->u;
    if (a == b || (a->instrument >= 0 && a->instrument == b->instrument))
        v += a->own * b->own;
    return v;
}

/* L of the covariance into room->v. */
static bool factor(const struct bt_fence_model *model, double tau2,
                   struct bt_fence_room *room)
{
    size_t n = model->n;
    gsl_matrix_view v = gsl_matrix_view_array(room->v, n, n);

    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j < n; j++) {
            double c = covariance(&model->row[i], &model->row[j], tau2);
            if (!isfinite(c))
                return false;
            room->v[i * n + j] = c;
        }
    return gsl_linalg_cholesky_decomp1(&v.matrix) == GSL_SUCCESS;
}

/* x = L^-1 x. */
static bool whiten(size_t n, struct bt_fence_room *room, double x[])
{
    gsl_matrix_view l = gsl_matrix_view_array(room->v, n, n);
    gsl_vector_view b = gsl_vector_view_array(x, n);

    return gsl_blas_dtrsv(CblasLower, CblasNoTrans, CblasNonUnit, &l.matrix,
                          &b.vector) == GSL_SUCCESS;
}

static double dot(size_t n, const double a[], const double b[])
{
    double sum = 0.0;

    for (size_t i = 0; i < n; i++)
        sum += a[i] * b[i];
    return sum;
}

/* Take from b what lies along the unit vector a; returns how much that is. */
static double sweep(size_t n, const double a[], double b[])
{
    double along = dot(n, a, b);

    for (size_t i = 0; i < n; i++)
        b[i] -= along * a[i];
    return along;
}

/* Bring a to length 1; returns the length it had. */
static double normalise(size_t n, double a[])
{
    double length = sqrt(dot(n, a, a));

    for (size_t i = 0; i < n; i++)
        a[i] /= length;
    return length;
}

static bool whitened_right(const struct bt_fence_model *model,
                           struct bt_fence_room *room)
{
    for (size_t i = 0; i < model->n; i++)
        room->right[i] = model->row[i].y;
    return whiten(model->n, room, room->right);
}

/* The fit with V factored; the residual stays in room->right, the orthonormal columns
 * in room->base. */
static bool solve(const struct bt_fence_model *model, struct bt_fence_room *room,
                  struct bt_fence_fit *fit)
{
    size_t n = model->n, p = model->slope ? 2 : 1;
    double *one = room->base, *lever = room->base + n;
    double one_length, one_part, shear = 0.0;

    *fit = (struct bt_fence_fit){.dof = n - p};
    for (size_t i = 0; i < n; i++)
        one[i] = 1.0;
    if (!whiten(n, room, one) || !whitened_right(model, room))
        return false;
    one_length = normalise(n, one);
    one_part = sweep(n, one, room->right);
    if (model->slope) {
        double lever_length, lever_part;

        for (size_t i = 0; i < n; i++)
            lever[i] = model->row[i].lever;
        if (!whiten(n, room, lever))
            return false;
        shear = sweep(n, one, lever) / one_length;
        lever_length = normalise(n, lever);
        lever_part = sweep(n, lever, room->right);
        fit->slope = lever_part / lever_length;
        fit->var_slope = 1.0 / (lever_length * lever_length);
    }
    fit->e = one_part / one_length - shear * fit->slope;
    fit->var_e = 1.0 / (one_length * one_length) + shear * shear * fit->var_slope;
    fit->q = dot(n, room->right, room->right);
    return isfinite(fit->e) && isfinite(fit->slope) && isfinite(fit->var_e) &&
           isfinite(fit->var_slope) && isfinite(fit->q);
}

bool bt_fence_fit(const struct bt_fence_model *model, double tau2,
                  struct bt_fence_room *room, struct bt_fence_fit *fit)
{
    return factor(model, tau2, room) && solve(model, room, fit);
}

/* Q with an unknown of its own for each station: what no tau^2 changes. */
static bool within_stations(const struct bt_fence_model *model,
                            struct bt_fence_room *room, double *q)
{
    size_t n = model->n;

    if (!factor(model, 0.0, room) || !whitened_right(model, room))
        return false;
    for (size_t s = 0; s < model->nstation; s++) {
        double *column = room->base + s * n;

        for (size_t i = 0; i < n; i++)
            column[i] = model->row[i].station == s ? 1.0 : 0.0;
        if (!whiten(n, room, column))
            return false;
        for (size_t before = 0; before < s; before++)
            sweep(n, room->base + before * n, column);
        normalise(n, column);
        sweep(n, column, room->right);
    }
    *q = dot(n, room->right, room->right);
    return isfinite(*q);
}

/* Q(tau2) less what it is expected to be. */
static bool excess(const struct bt_fence_model *model, double tau2, double expected,
                   struct bt_fence_room *room, double *value)
{
    struct bt_fence_fit fit;

    if (!bt_fence_fit(model, tau2, room, &fit))
        return false;
    *value = fit.q - expected;
    return true;
}

/* Q falls as tau2 grows, so halving finds the one root. */
static bool find_root(const struct bt_fence_model *model, double expected,
                      struct bt_fence_room *room, double *tau2)
{
    double low = 0.0, high = INFINITY, value;

    for (size_t i = 0; i < model->n; i++)
        high = fmin(high, model->row[i].u * model->row[i].u);
    for (int k = 0; k < MAX_DOUBLINGS; k++, low = high, high *= 2.0) {
        if (!excess(model, high, expected, room, &value))
            return false;
        if (value <= 0.0)
            break;
    }
    for (int k = 0; k < MAX_HALVINGS; k++) {
        double middle = low + (high - low) / 2.0;

        if (!(middle > low && middle < high))
            break;
        if (!excess(model, middle, expected, room, &value))
            return false;
        if (value > 0.0)
            low = middle;
        else
            high = middle;
    }
    *tau2 = high;
    return true;
}

bool bt_fence_tau2(const struct bt_fence_model *model, struct bt_fence_room *room,
                   double *tau2)
{
    size_t p = model->slope ? 2 : 1;
    double expected, value;

    *tau2 = NAN;
    if (model->nstation <= p)
        return true;
    if (!within_stations(model, room, &expected))
        return false;
    expected += (double)(model->nstation - p);
    if (!excess(model, 0.0, expected, room, &value))
        return false;
    if (value > 0.0)
        return find_root(model, expected, room, tau2);
    *tau2 = 0.0;
    return true;
}

/*
 * With P = V^-1 - V^-1 X (X^T V^-1 X)^-1 X^T V^-1 a row left out is predicted with the
 * error (P y)_i / P_ii, of variance 1/P_ii: the score is (P y)_i / sqrt(P_ii).
 */
bool bt_fence_worst(const struct bt_fence_model *model, struct bt_fence_room *room,
                    size_t *worst, double *score)
{
    size_t n = model->n;
    struct bt_fence_fit fit;

    *worst = n;
    *score = NAN;
    if (!bt_fence_fit(model, 0.0, room, &fit))
        return false;
    for (size_t i = 0; i < n; i++) {
        double whole, left, size;

        memset(room->unit, 0, n * sizeof *room->unit);
        room->unit[i] = 1.0;
        if (!whiten(n, room, room->unit))
            return false;
        whole = dot(n, room->unit, room->unit);
        size = dot(n, room->unit, room->right);
        sweep(n, room->base, room->unit);
        if (model->slope)
            sweep(n, room->base + n, room->unit);
        left = dot(n, room->unit, room->unit);
        if (!(left > UNCHECKED * whole))
            continue;
        size = fabs(size) / sqrt(left);
        if (*worst == n || size > *score) {
            *worst = i;
            *score = size;
        }
    }
    return true;
}

double bt_fence_enlarge(const struct bt_fence_fit *fit)
{
    return fit->dof > 0 ? fmax(1.0, fit->q / (double)fit->dof) : 1.0;
}
