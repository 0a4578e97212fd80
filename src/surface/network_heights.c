/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Heights relative to their least-squares plane: z = P h with P = I - F (F^T F)^-1 F^T
 * over the planes F, and the diagonal of P Q P for the inverse Q in use.  Q itself is
 * never formed: its diagonal and Q F are enough.
 */
#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "surface/dense.h"
#include "surface/network_private.h"
#include "surface/shared.h"

/* Rows of f[3][n]: an orthonormal basis of the planes over the points; the number of
 * rows, 3 unless all points lie on one line. */
static size_t plane_basis(const struct bt_system *sys, double f[])
{
    for (size_t p = 0; p < sys->n; p++) {
        f[p] = 1;
        f[sys->n + p] = (sys->point[p].x - sys->centre[0]) / sys->scale;
        f[2 * sys->n + p] = (sys->point[p].y - sys->centre[1]) / sys->scale;
    }
    return bt_dense_orthonormalise(3, sys->n, f, 1e-9);
}

static void take_off(size_t n, const double f[], const double h[], double z[])
{
    memmove(z, h, n * sizeof *z);
    for (int pass = 0; pass < 2; pass++)
        for (size_t k = 0; k < 3; k++) {
            const double along = bt_dense_dot(n, f + k * n, z);
            for (size_t p = 0; p < n; p++)
                z[p] -= along * f[k * n + p];
        }
}

/* u[p] = sqrt of (P Q P)_pp = Q_pp - 2 f_p . q_p + f_p^T (F^T Q F) f_p, q = Q F. */
static enum bt_status deviations(const struct bt_inverse *inv, const double f[],
                                 double u[])
{
    const struct bt_system *sys = &inv->sys;
    const size_t n = sys->n;
    double *q = bt_alloc(3 * n + 2 * sys->m, sizeof *q), *zero = q ? q + 3 * n : NULL;
    double square[3][3];
    enum bt_status status = q ? BT_OK : BT_ENOMEM;

    for (size_t k = 0; k < 3 && status == BT_OK; k++)
        status = inv->factor.solve(sys, inv->factor.state, f + k * n, zero, q + k * n,
                                   zero + sys->m);
    for (size_t k = 0; k < 3 && status == BT_OK; k++)
        for (size_t l = 0; l < 3; l++)
            square[k][l] = bt_dense_dot(n, f + k * n, q + l * n);
    for (size_t p = 0; p < n && status == BT_OK; p++) {
        double v = inv->factor.variance[p];
        for (size_t k = 0; k < 3; k++) {
            v -= 2 * f[k * n + p] * q[k * n + p];
            for (size_t l = 0; l < 3; l++)
                v += f[k * n + p] * square[k][l] * f[l * n + p];
        }
        u[p] = sqrt(v > 0 ? v : 0);
    }
    bt_free(q);
    return status;
}

static enum bt_status add_shared(const struct bt_network *net, const double f[],
                                 double u[])
{
    const size_t n = net->npoint;
    double *d = bt_alloc(n, sizeof *d);

    if (!d)
        return BT_ENOMEM;
    for (size_t s = 0; s < net->nshared; s++) {
        take_off(n, f, net->shared + s * n, d);
        for (size_t p = 0; p < n; p++)
            u[p] = hypot(u[p], d[p]);
    }
    bt_free(d);
    return BT_OK;
}

/* Readings whose rounding may be one error, point by point as bt_network_figure. */
static enum bt_status add_alike(const struct bt_network *net, const double f[],
                                double u[])
{
    const size_t n = net->npoint;
    struct bt_alike *alike;
    double *d;

    if (!net->nalike)
        return BT_OK;
    alike = bt_alloc(n, sizeof *alike);
    d = bt_alloc(n, sizeof *d);
    for (size_t i = 0; alike && d && i < net->nalike; i++) {
        take_off(n, f, net->alike + i * n, d);
        for (size_t p = 0; p < n; p++)
            bt_alike_add(&alike[p], net->alike_of[i], d[p]);
    }
    for (size_t p = 0; alike && d && p < n; p++)
        u[p] = hypot(u[p], sqrt(bt_alike_more(&alike[p])));
    bt_free(d);
    if (!d || !alike) {
        bt_free(alike);
        return BT_ENOMEM;
    }
    bt_free(alike);
    return BT_OK;
}

/* NaN for points that an unseen shape other than a plane moves, by more than the
 * tolerance's share of what it moves most. */
static enum bt_status blank_moving(const struct bt_network *net, const double f[],
                                   double tolerance, double z[], double u[])
{
    const size_t n = net->npoint;
    double *shape = bt_alloc(n, sizeof *shape);

    if (!shape)
        return BT_ENOMEM;
    for (size_t s = net->nplane; s < net->nshape; s++) {
        double most = 0;
        take_off(n, f, net->shape + s * n, shape);
        for (size_t p = 0; p < n; p++)
            most = fmax(most, fabs(shape[p]));
        if (!(most > tolerance / (double)n)) /* on these points it is a plane */
            continue;
        for (size_t p = 0; p < n; p++)
            if (!(fabs(shape[p]) <= tolerance * most))
                z[p] = u[p] = NAN;
    }
    bt_free(shape);
    return BT_OK;
}

enum bt_status bt_network_heights(const struct bt_network *net, double z[], double u[],
                                  struct bt_error *err)
{
    const struct bt_inverse *inv = net->inverse;
    const struct bt_system *sys = &inv->sys;
    double *f = bt_alloc(3 * sys->n, sizeof *f);
    enum bt_status status = f ? BT_OK : BT_ENOMEM;

    if (status == BT_OK && plane_basis(sys, f) < 3)
        status =
            bt_error_set(err, BT_ESINGULAR, 0, 0,
                         "all readings lie on one line, which shows no plane: read "
                         "a second line beside it");
    if (status == BT_OK) {
        take_off(sys->n, f, net->height, z);
        status = deviations(inv, f, u);
    }
    if (status == BT_OK)
        status = add_shared(net, f, u);
    if (status == BT_OK)
        status = add_alike(net, f, u);
    if (status == BT_OK)
        status = blank_moving(net, f, sys->shape_tolerance, z, u);
    bt_free(f);
    return status;
}

enum bt_status bt_network_take_off_plane(const struct bt_network *net, double v[])
{
    const struct bt_inverse *inv = net->inverse;
    double *f = bt_alloc(3 * net->npoint, sizeof *f);
    enum bt_status status = f ? BT_OK : BT_ENOMEM;

    if (status == BT_OK && plane_basis(&inv->sys, f) < 3)
        status = BT_ESINGULAR;
    if (status == BT_OK)
        take_off(net->npoint, f, v, v);
    bt_free(f);
    return status;
}
