/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "surface/dense.h"
#include "surface/network_private.h"

/* What is left of the square of a column where nothing of it is seen: rounding of the
 * adjustment is far below, and a shape so weakly held would have no digits. */
static const double least_left = 1e-9;

enum bt_status bt_network_gains(const struct bt_network *net, const double c[],
                                double gain[])
{
    const struct bt_inverse *inv = net->inverse;
    const struct bt_system *sys = &inv->sys;
    double *work = bt_alloc(sys->n + 2 * sys->m, sizeof *work), *zero = work + sys->n;
    enum bt_status status;

    if (!work)
        return BT_ENOMEM;
    status = inv->factor.solve(sys, inv->factor.state, c, zero, work, zero + sys->m);
    for (size_t i = 0; status == BT_OK && i < sys->nobs; i++) {
        const struct bt_obs *o = &sys->obs[i];
        double sum = 0;

        for (int k = 0; k < o->npoint; k++)
            sum += sys->a[4 * i + (size_t)k] * work[o->point[k]];
        for (int k = 0; o->group >= 0 && k < sys->dim[o->group]; k++)
            sum += sys->g[3 * i + (size_t)k] *
                   zero[sys->m + sys->col[o->group] + (size_t)k];
        gain[i] = sum;
    }
    for (size_t e = 0; status == BT_OK && e < inv->nextension; e++) {
        const struct bt_extension *x = &inv->extension[e];
        const double along = bt_dense_dot(sys->n, c, x->height);

        for (size_t i = 0; i < sys->nobs; i++)
            gain[i] -= along * x->direction[i];
    }
    for (size_t i = 0; status == BT_OK && i < sys->nobs; i++)
        gain[i] /= sys->obs[i].u;
    bt_free(work);
    return status;
}

/* ---- further unknowns ---- */

/* Room for one more extension and for its row of net->shared. */
static enum bt_status make_room(struct bt_network *net, struct bt_extension *made)
{
    struct bt_inverse *inv = net->inverse;
    struct bt_extension *grown =
        bt_mem_resize(inv->extension, (inv->nextension + 1) * sizeof *inv->extension);
    double *shared;

    if (!grown)
        return BT_ENOMEM;
    inv->extension = grown;
    shared = bt_mem_resize(net->shared,
                           (net->nshared + 1) * net->npoint * sizeof *net->shared);
    if (!shared)
        return BT_ENOMEM;
    net->shared = shared;
    made->direction = bt_alloc(net->nobs + net->npoint, sizeof *made->direction);
    made->height = made->direction + net->nobs;
    return made->direction ? BT_OK : BT_ENOMEM;
}

/* One column, weighted, into an extension; *seen false and nothing done where there is
 * nothing left of it. */
static enum bt_status extend_by(struct bt_network *net, const double weighted[],
                                bool *seen)
{
    struct bt_inverse *inv = net->inverse;
    const double whole = bt_dense_dot(net->nobs, weighted, weighted);
    struct bt_extension made = {0};
    enum bt_status status = make_room(net, &made);
    double length;

    *seen = false;
    if (status == BT_OK)
        status = bt_network_solve(inv, weighted, made.height, made.direction);
    if (status == BT_OK) {
        const double left = bt_dense_dot(net->nobs, made.direction, made.direction);
        *seen = left > least_left * whole;
        length = sqrt(left);
    }
    if (!*seen) {
        bt_free(made.direction);
        return status;
    }
    for (size_t i = 0; i < net->nobs; i++)
        made.direction[i] /= length;
    for (size_t p = 0; p < net->npoint; p++)
        made.height[p] /= length;
    memcpy(net->shared + net->nshared++ * net->npoint, made.height,
           net->npoint * sizeof *net->shared);
    inv->extension[inv->nextension++] = made;
    return BT_OK;
}

/* The adjustment with the newest extension, which takes `along` of it off the readings.
 */
static double take_in(struct bt_network *net)
{
    const struct bt_inverse *inv = net->inverse;
    const struct bt_obs *obs = inv->sys.obs;
    const struct bt_extension *x = &inv->extension[inv->nextension - 1];
    double along = 0;

    for (size_t i = 0; i < net->nobs; i++)
        along += x->direction[i] * net->residual[i] / obs[i].u;
    for (size_t p = 0; p < net->npoint; p++)
        net->height[p] -= along * x->height[p];
    for (size_t i = 0; i < net->nobs; i++) {
        const double d = x->direction[i];
        net->residual[i] -= along * d * obs[i].u;
        net->redundancy[i] = fmax(0, net->redundancy[i] - d * d);
    }
    net->vtpv = fmax(0, net->vtpv - along * along);
    net->unknowns++;
    net->rank++;
    net->dof -= net->dof > 0;
    bt_network_studentise(net, obs);
    return along;
}

/* What stands between `along` and the unknowns: along_e = sum_j R[e][j] k_j, R the
 * columns by the directions, upper triangular. */
struct triangle {
    size_t n;
    size_t *column;        /* [n] which of the columns extension e is of */
    double *along, *entry; /* [n], [n][n] */
};

/* k and u(k) by substitution from the last; work[n]. */
static void solve_triangle(const struct triangle *t, struct bt_extended found[],
                           double work[])
{
    for (size_t e = t->n; e-- > 0;) {
        double k = t->along[e], square = 0;

        for (size_t j = e + 1; j < t->n; j++)
            k -= t->entry[e * t->n + j] * found[t->column[j]].value;
        /* row e of the inverse */
        for (size_t j = e; j < t->n; j++) {
            double v = j == e ? 1 : 0;
            for (size_t i = e; i < j; i++)
                v -= work[i] * t->entry[i * t->n + j];
            work[j] = v / t->entry[j * t->n + j];
            square += work[j] * work[j];
        }
        found[t->column[e]] =
            (struct bt_extended){k / t->entry[e * t->n + e], sqrt(square), true};
    }
}

/* The values found come off the readings that the network keeps. */
static void correct_system(struct bt_network *net, size_t n, const double x[],
                           const struct bt_extended found[])
{
    struct bt_system *sys = &((struct bt_inverse *)net->inverse)->sys;

    for (size_t c = 0; c < n; c++)
        for (size_t i = 0; found[c].seen && i < net->nobs; i++) {
            const double off = found[c].value * x[c * net->nobs + i];
            sys->obs[i].value -= off;
            sys->y[i] -= off / sys->obs[i].u;
        }
}

static enum bt_status extend_all(struct bt_network *net, size_t n, const double x[],
                                 struct bt_extended found[], struct triangle *t,
                                 double weighted[])
{
    const struct bt_inverse *inv = net->inverse;
    enum bt_status status = BT_OK;

    for (size_t c = 0; c < n && status == BT_OK; c++) {
        bool seen;
        for (size_t i = 0; i < net->nobs; i++)
            weighted[i] = x[c * net->nobs + i] / inv->sys.obs[i].u;
        found[c] = (struct bt_extended){NAN, NAN, false};
        status = extend_by(net, weighted, &seen);
        if (status != BT_OK || !seen)
            continue;
        t->along[t->n] = take_in(net);
        t->column[t->n++] = c;
    }
    for (size_t e = 0; e < t->n && status == BT_OK; e++)
        for (size_t j = e; j < t->n; j++) {
            double dot = 0;
            for (size_t i = 0; i < net->nobs; i++)
                dot += inv->extension[e].direction[i] *
                       x[t->column[j] * net->nobs + i] / inv->sys.obs[i].u;
            t->entry[e * t->n + j] = dot;
        }
    return status;
}

enum bt_status bt_network_extend(struct bt_network *net, size_t n, const double x[],
                                 struct bt_extended found[])
{
    struct triangle t = {.n = 0};
    double *weighted = bt_alloc(net->nobs + n, sizeof *weighted);
    enum bt_status status = BT_ENOMEM;

    t.column = bt_alloc(n + 1, sizeof *t.column);
    t.along = bt_alloc((n + 1) * (n + 1), sizeof *t.along);
    if (weighted && t.column && t.along) {
        t.entry = t.along + n;
        status = extend_all(net, n, x, found, &t, weighted);
    }
    if (status == BT_OK) {
        solve_triangle(&t, found, weighted + net->nobs);
        correct_system(net, n, x, found);
    }
    bt_free(weighted);
    bt_free(t.column);
    bt_free(t.along);
    return status;
}
