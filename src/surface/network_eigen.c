/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Any mixture of readings, through the eigenvalues of the heights' own system
 * S = H - C C^T (the nuisance unknowns eliminated, their block being the identity).
 * Slow, of the third order in the points; it finds every shape that nothing sees.
 */
#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "surface/dense.h"
#include "surface/network_private.h"

struct eigen {
    double *c; /* [m * n] C^T */
    double *s; /* [n * n] pseudo-inverse of S, the planes set aside */
};

static void eigen_free(void *state)
{
    struct eigen *e = state;

    if (!e)
        return;
    bt_free(e->c);
    bt_free(e->s);
    bt_free(e);
}

/* C^T, and S scaled to a unit diagonal of H: scale[p] = 1/sqrt(H_pp). */
static void reduce(const struct bt_system *sys, struct eigen *e, const double scale[])
{
    const size_t n = sys->n;

    for (size_t i = 0; i < sys->nobs; i++) {
        const struct bt_obs *o = &sys->obs[i];
        const double *a = sys->a + 4 * i;
        for (int k = 0; k < o->npoint; k++) {
            const size_t p = o->point[k];
            for (int l = 0; l < o->npoint; l++)
                e->s[p * n + o->point[l]] +=
                    a[k] * a[l] * scale[p] * scale[o->point[l]];
            for (int j = 0; o->group >= 0 && j < sys->dim[o->group]; j++)
                e->c[(sys->col[o->group] + (size_t)j) * n + p] +=
                    sys->g[3 * i + (size_t)j] * a[k];
        }
    }
    for (size_t j = 0; j < sys->m; j++)
        for (size_t p = 0; p < n; p++) {
            const double f = e->c[j * n + p] * scale[p];
            if (f != 0)
                for (size_t q = 0; q < n; q++)
                    e->s[p * n + q] -= f * e->c[j * n + q] * scale[q];
        }
}

/* Pseudo-inverse of the scaled S with the scaled planes added; unseen shapes out. */
static enum bt_status invert(const struct bt_system *sys, struct eigen *e,
                             const double scale[], struct bt_factor *factor)
{
    const size_t n = sys->n;
    double *q = bt_alloc(sys->nplane * n, sizeof *q);
    double *null = bt_alloc(n * n, sizeof *null);
    enum bt_status status = q && null ? BT_OK : BT_ENOMEM;

    if (status == BT_OK) {
        bt_system_planes(sys, q);
        for (size_t k = 0; k < sys->nplane; k++)
            for (size_t p = 0; p < n; p++)
                q[k * n + p] /= scale[p];
        const size_t kept = bt_dense_orthonormalise(sys->nplane, n, q, 1e-12);
        for (size_t k = 0; k < kept; k++)
            for (size_t i = 0; i < n; i++)
                for (size_t j = 0; j < n; j++)
                    e->s[i * n + j] += q[k * n + i] * q[k * n + j];
        status = bt_dense_pseudo_inverse(n, e->s, sys->null_tolerance, null,
                                         &factor->nshape, &factor->least_eigenvalue);
    }
    if (status == BT_OK) {
        factor->shape = bt_alloc(factor->nshape * n, sizeof *factor->shape);
        status = factor->shape ? BT_OK : BT_ENOMEM;
    }
    for (size_t k = 0; status == BT_OK && k < factor->nshape; k++)
        for (size_t p = 0; p < n; p++)
            factor->shape[k * n + p] = null[k * n + p] * scale[p];
    for (size_t i = 0; status == BT_OK && i < n; i++)
        for (size_t j = 0; j < n; j++)
            e->s[i * n + j] *= scale[i] * scale[j];
    bt_free(q);
    bt_free(null);
    return status;
}

static enum bt_status eigen_solve(const struct bt_system *sys, void *state,
                                  const double bh[], const double bt[], double h[],
                                  double t[])
{
    const struct eigen *e = state;
    double *b = bt_alloc(sys->n, sizeof *b);

    if (!b)
        return BT_ENOMEM;
    memcpy(b, bh, sys->n * sizeof *b);
    for (size_t j = 0; j < sys->m; j++)
        for (size_t p = 0; p < sys->n; p++)
            b[p] -= e->c[j * sys->n + p] * bt[j];
    bt_dense_apply(sys->n, e->s, b, h);
    for (size_t j = 0; j < sys->m; j++)
        t[j] = bt[j] - bt_dense_dot(sys->n, e->c + j * sys->n, h);
    bt_free(b);
    return BT_OK;
}

/* a N^- a^T = g . g + (a_h - C g)^T S^- (a_h - C g). */
static enum bt_status variances(const struct bt_system *sys, const struct eigen *e,
                                struct bt_factor *factor)
{
    const size_t n = sys->n;
    double *r = bt_alloc(2 * n, sizeof *r);

    if (!r)
        return BT_ENOMEM;
    for (size_t p = 0; p < n; p++)
        factor->variance[p] = e->s[p * n + p];
    for (size_t i = 0; i < sys->nobs; i++) {
        const struct bt_obs *o = &sys->obs[i];
        double sum = 0;
        memset(r, 0, n * sizeof *r);
        for (int k = 0; k < o->npoint; k++)
            r[o->point[k]] += sys->a[4 * i + (size_t)k];
        for (int j = 0; o->group >= 0 && j < sys->dim[o->group]; j++) {
            const double g = sys->g[3 * i + (size_t)j];
            const double *c = e->c + (sys->col[o->group] + (size_t)j) * n;
            sum += g * g;
            for (size_t p = 0; p < n; p++)
                r[p] -= g * c[p];
        }
        bt_dense_apply(n, e->s, r, r + n);
        factor->quadratic[i] = sum + bt_dense_dot(n, r, r + n);
    }
    bt_free(r);
    return BT_OK;
}

enum bt_status bt_factor_eigen(const struct bt_system *sys, struct bt_factor *factor)
{
    struct eigen *e = bt_alloc(1, sizeof *e);
    double *scale = bt_alloc(sys->n, sizeof *scale);
    enum bt_status status = e && scale ? BT_OK : BT_ENOMEM;

    factor->state = e;
    factor->solve = eigen_solve;
    factor->free = eigen_free;
    if (status == BT_OK) {
        e->c = bt_alloc(sys->m * sys->n, sizeof *e->c);
        e->s = bt_alloc(sys->n * sys->n, sizeof *e->s);
        status = e->c && e->s ? BT_OK : BT_ENOMEM;
    }
    if (status == BT_OK) {
        for (size_t p = 0; p < sys->n; p++)
            scale[p] = 1 / sqrt(sys->diag[p]);
        reduce(sys, e, scale);
        status = invert(sys, e, scale, factor);
    }
    if (status == BT_OK)
        status = variances(sys, e, factor);
    bt_free(scale);
    return status;
}
