/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/surface/network.h"

#include <gsl/gsl_cdf.h>
#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "surface/dense.h"
#include "surface/network_private.h"
#include "surface/shared.h"

/* Below this redundancy nothing checks a reading: what is left is rounding. */
static const double least_redundancy = 1e-9;
static const double weak_eigenvalue = 1e-8;

/* A^T y over heights and nuisance unknowns. */
static void right_side(const struct bt_system *sys, const double y[], double bh[],
                       double bt[])
{
    memset(bh, 0, sys->n * sizeof *bh);
    memset(bt, 0, sys->m * sizeof *bt);
    for (size_t i = 0; i < sys->nobs; i++) {
        const struct bt_obs *o = &sys->obs[i];
        for (int k = 0; k < o->npoint; k++)
            bh[o->point[k]] += sys->a[4 * i + (size_t)k] * y[i];
        for (int k = 0; o->group >= 0 && k < sys->dim[o->group]; k++)
            bt[sys->col[o->group] + (size_t)k] += sys->g[3 * i + (size_t)k] * y[i];
    }
}

/* r = y - A x, weighted. */
static void remainder_of(const struct bt_system *sys, const double y[],
                         const double h[], const double t[], double r[])
{
    for (size_t i = 0; i < sys->nobs; i++) {
        const struct bt_obs *o = &sys->obs[i];
        double model = 0;
        for (int k = 0; k < o->npoint; k++)
            model += sys->a[4 * i + (size_t)k] * h[o->point[k]];
        for (int k = 0; o->group >= 0 && k < sys->dim[o->group]; k++)
            model += sys->g[3 * i + (size_t)k] * t[sys->col[o->group] + (size_t)k];
        r[i] = y[i] - model;
    }
}

/*
 * Least squares for weighted readings y, with one step of refinement, because the
 * factor holds explicit inverses.
 *
 *   h[n]     out
 *   r[nobs]  out: weighted residuals
 */
static enum bt_status solve_readings(const struct bt_inverse *inv, const double y[],
                                     double h[], double r[])
{
    const struct bt_system *sys = &inv->sys;
    double *work = bt_alloc(2 * sys->n + 3 * sys->m, sizeof *work);
    double *bh = work, *dh = work + sys->n, *bt = work + 2 * sys->n, *t = bt + sys->m,
           *dt = t + sys->m;
    enum bt_status status = BT_OK;

    if (!work)
        return BT_ENOMEM;
    memset(h, 0, sys->n * sizeof *h);
    memcpy(r, y, sys->nobs * sizeof *r);
    for (int pass = 0; pass < 2 && status == BT_OK; pass++) {
        right_side(sys, r, bh, bt);
        status = inv->factor.solve(sys, inv->factor.state, bh, bt, dh, dt);
        for (size_t p = 0; p < sys->n; p++)
            h[p] += dh[p];
        for (size_t j = 0; j < sys->m; j++)
            t[j] += dt[j];
        remainder_of(sys, y, h, t, r);
    }
    bt_free(work);
    return status;
}

enum bt_status bt_network_solve(const struct bt_inverse *inv, const double y[],
                                double h[], double r[])
{
    const struct bt_system *sys = &inv->sys;
    enum bt_status status = solve_readings(inv, y, h, r);

    for (size_t e = 0; status == BT_OK && e < inv->nextension; e++) {
        const struct bt_extension *x = &inv->extension[e];
        const double along = bt_dense_dot(sys->nobs, x->direction, r);

        for (size_t i = 0; i < sys->nobs; i++)
            r[i] -= along * x->direction[i];
        for (size_t p = 0; p < sys->n; p++)
            h[p] -= along * x->height[p];
    }
    return status;
}

void bt_network_studentise(struct bt_network *net, const struct bt_obs obs[])
{
    net->sigma0 = net->dof ? sqrt(net->vtpv / (double)net->dof) : NAN;
    for (size_t i = 0; i < net->nobs; i++) {
        double standard, others = 0;
        net->score[i] = NAN;
        if (!(net->redundancy[i] > least_redundancy))
            continue;
        standard = net->residual[i] / (obs[i].u * sqrt(net->redundancy[i]));
        if (net->dof > 1)
            others = (net->vtpv - standard * standard) / (double)(net->dof - 1);
        net->score[i] = standard / (others > 1 ? sqrt(others) : 1);
    }
}

static enum bt_status residuals(struct bt_network *net, struct bt_inverse *inv)
{
    const struct bt_system *sys = &inv->sys;
    enum bt_status status = solve_readings(inv, sys->y, net->height, net->residual);

    if (status != BT_OK)
        return status;
    for (size_t i = 0; i < net->nobs; i++) {
        const double r = 1 - inv->factor.quadratic[i];
        net->vtpv += net->residual[i] * net->residual[i];
        net->residual[i] *= sys->obs[i].u;
        net->redundancy[i] = r > least_redundancy ? (r < 1 ? r : 1) : 0;
    }
    bt_network_studentise(net, sys->obs);
    return BT_OK;
}

/* All unseen shapes: the planes, then the others made orthonormal to them. */
static enum bt_status gather_shapes(struct bt_network *net, struct bt_inverse *inv)
{
    const struct bt_system *sys = &inv->sys;
    const size_t found = sys->nplane + inv->factor.nshape;

    net->shape = bt_alloc(found * sys->n, sizeof *net->shape);
    if (!net->shape)
        return BT_ENOMEM;
    bt_system_planes(sys, net->shape);
    if (inv->factor.nshape)
        memcpy(net->shape + sys->nplane * sys->n, inv->factor.shape,
               inv->factor.nshape * sys->n * sizeof *net->shape);
    net->nplane = sys->nplane;
    net->nshape = bt_dense_orthonormalise(found, sys->n, net->shape, 1e-12);
    bt_free(inv->factor.shape);
    inv->factor.shape = NULL;
    return BT_OK;
}

static void factor_clear(struct bt_factor *factor)
{
    if (factor->free)
        factor->free(factor->state);
    bt_free(factor->variance);
    bt_free(factor->quadratic);
    bt_free(factor->shape);
    memset(factor, 0, sizeof *factor);
}

static enum bt_status try_factor(struct bt_inverse *inv, int way)
{
    struct bt_factor *factor = &inv->factor;
    const struct bt_system *sys = &inv->sys;

    factor_clear(factor);
    factor->variance = bt_alloc(sys->n, sizeof *factor->variance);
    factor->quadratic = bt_alloc(sys->nobs, sizeof *factor->quadratic);
    if (!factor->variance || !factor->quadratic)
        return BT_ENOMEM;
    if (sys->single)
        return bt_factor_lines(sys, way > 0, factor);
    return way > 0 ? bt_factor_eigen(sys, factor) : bt_factor_sparse(sys, factor);
}

/* The fast way first; where it meets a shape beyond the planes, the one that finds it.
 */
static enum bt_status factorise(struct bt_inverse *inv, struct bt_error *err)
{
    const struct bt_system *sys = &inv->sys;
    enum bt_status status = try_factor(inv, 0);

    if (status == BT_ESINGULAR) {
        if ((sys->single ? sys->m : sys->n) > BT_EIGEN_MAX)
            return bt_error_set(err, BT_ESINGULAR, 0, 0,
                                "the readings leave more than planes unseen, and there "
                                "are too many of them to say what; read lines that "
                                "cross the others, diagonals first");
        status = try_factor(inv, 1);
    }
    return status == BT_OK
               ? BT_OK
               : bt_error_set(err, status, 0, 0, "%s", bt_status_text(status));
}

static enum bt_status network_alloc(struct bt_network *net, const struct bt_system *sys)
{
    net->npoint = sys->n;
    net->nobs = sys->nobs;
    net->unknowns = sys->nominal;
    net->height = bt_alloc(sys->n, sizeof *net->height);
    net->residual = bt_alloc(sys->nobs, sizeof *net->residual);
    net->redundancy = bt_alloc(sys->nobs, sizeof *net->redundancy);
    net->score = bt_alloc(sys->nobs, sizeof *net->score);
    return net->height && net->residual && net->redundancy && net->score ? BT_OK
                                                                         : BT_ENOMEM;
}

static enum bt_status adjust(const struct bt_readings *readings, struct bt_network *net,
                             struct bt_inverse *inv, struct bt_error *err)
{
    enum bt_status status = bt_system_build(readings, &inv->sys, err);

    if (status != BT_OK)
        return status;
    status = network_alloc(net, &inv->sys);
    if (status == BT_OK)
        status = factorise(inv, err);
    if (status == BT_OK)
        status = gather_shapes(net, inv);
    if (status != BT_OK)
        return status;
    net->rank = inv->sys.n + inv->sys.m - net->nshape;
    net->dof = net->nobs > net->rank ? net->nobs - net->rank : 0;
    net->least_eigenvalue = inv->factor.least_eigenvalue;
    net->weak = net->least_eigenvalue < weak_eigenvalue;
    return residuals(net, inv);
}

enum bt_status bt_network_adjust(const struct bt_readings *readings,
                                 struct bt_network **out, struct bt_error *err)
{
    struct bt_network *net = bt_alloc(1, sizeof *net);
    struct bt_inverse *inv = bt_alloc(1, sizeof *inv);
    enum bt_status status = BT_ENOMEM;

    *out = NULL;
    if (net && inv) {
        net->inverse = inv;
        status = adjust(readings, net, inv, err);
    } else {
        bt_free(inv);
    }
    if (status == BT_ENOMEM)
        bt_error_set(err, status, 0, 0, "%s", bt_status_text(status));
    if (status == BT_OK)
        *out = net;
    else
        bt_network_free(net);
    return status;
}

void bt_network_free(struct bt_network *net)
{
    struct bt_inverse *inv;

    if (!net)
        return;
    inv = net->inverse;
    if (inv) {
        factor_clear(&inv->factor);
        bt_system_clear(&inv->sys);
        for (size_t e = 0; e < inv->nextension; e++)
            bt_free(inv->extension[e].direction);
        bt_free(inv->extension);
        bt_free(inv);
    }
    bt_free(net->height);
    bt_free(net->residual);
    bt_free(net->redundancy);
    bt_free(net->score);
    bt_free(net->shape);
    bt_free(net->shared);
    bt_free(net->alike);
    bt_free(net->alike_of);
    bt_free(net);
}

bool bt_network_sees(const struct bt_network *net, const double c[])
{
    const struct bt_inverse *inv = net->inverse;
    const double length = sqrt(bt_dense_dot(net->npoint, c, c));

    for (size_t s = 0; s < net->nshape; s++) {
        const double along = bt_dense_dot(net->npoint, c, net->shape + s * net->npoint);
        if (!(fabs(along) <= inv->sys.shape_tolerance * length))
            return false;
    }
    return true;
}

static enum bt_status variance_of(const struct bt_inverse *inv, const double c[],
                                  double *variance)
{
    const struct bt_system *sys = &inv->sys;
    const size_t n = sys->n, m = sys->m;
    double *work;
    enum bt_status status;

    if (inv->factor.form)
        return inv->factor.form(sys, inv->factor.state, c, variance);
    work = bt_alloc(2 * n + 2 * m, sizeof *work);
    if (!work)
        return BT_ENOMEM;
    status = inv->factor.solve(sys, inv->factor.state, c, work + n, work, work + n + m);
    *variance = bt_dense_dot(n, c, work);
    bt_free(work);
    return status;
}

enum bt_status bt_network_figure(const struct bt_network *net, const double c[],
                                 double *value, double *u, bool *seen)
{
    const struct bt_inverse *inv = net->inverse;
    const size_t n = net->npoint;
    struct bt_alike alike = {0};
    double variance = 0;
    enum bt_status status;

    *seen = bt_network_sees(net, c);
    *value = *u = NAN;
    if (!*seen)
        return BT_OK;
    status = variance_of(inv, c, &variance);
    if (status != BT_OK)
        return status;
    for (size_t s = 0; s < net->nshared; s++) {
        const double share = bt_dense_dot(n, c, net->shared + s * n);
        variance += share * share;
    }
    for (size_t i = 0; i < net->nalike; i++)
        bt_alike_add(&alike, net->alike_of[i], bt_dense_dot(n, c, net->alike + i * n));
    variance += bt_alike_more(&alike);
    *value = bt_dense_dot(n, c, net->height);
    *u = sqrt(variance > 0 ? variance : 0);
    return BT_OK;
}

enum bt_status bt_network_response(const struct bt_network *net, const double dy[],
                                   double dh[])
{
    const struct bt_inverse *inv = net->inverse;
    double *work = bt_alloc(2 * net->nobs, sizeof *work);
    enum bt_status status = BT_ENOMEM;

    if (work) {
        for (size_t i = 0; i < net->nobs; i++)
            work[i] = dy[i] / inv->sys.obs[i].u;
        status = bt_network_solve(inv, work, dh, work + net->nobs);
    }
    bt_free(work);
    return status;
}

enum bt_status bt_network_share(struct bt_network *net, const double dy[])
{
    const size_t n = net->npoint;
    double *grown =
        bt_mem_resize(net->shared, (net->nshared + 1) * n * sizeof *net->shared);
    enum bt_status status;

    if (!grown)
        return BT_ENOMEM;
    net->shared = grown;
    status = bt_network_response(net, dy, grown + net->nshared * n);
    if (status == BT_OK)
        net->nshared++;
    return status;
}
