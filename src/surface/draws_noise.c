/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <float.h>
#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "surface/dense.h"
#include "surface/draws_private.h"
#include "surface/network_private.h"

/* Points nearer to one line than this part of its length are on it. */
static const double on_line = 1e-9;

/* A diagonal this far below 0, as part of the largest, is more than rounding. */
static const double below_zero = 1e-9;

static enum bt_status no_memory(struct bt_error *err)
{
    return bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
}

/* Rows of f[3][n]: an orthonormal basis of the planes over the points. */
static size_t plane_basis(size_t n, const struct bt_point p[], double f[])
{
    double x = 0, y = 0, size = 0;

    for (size_t i = 0; i < n; i++) {
        x += p[i].x / (double)n;
        y += p[i].y / (double)n;
    }
    for (size_t i = 0; i < n; i++)
        size = fmax(size, fmax(fabs(p[i].x - x), fabs(p[i].y - y)));
    for (size_t i = 0; i < n && size > 0; i++) {
        f[i] = 1;
        f[n + i] = (p[i].x - x) / size;
        f[2 * n + i] = (p[i].y - y) / size;
    }
    return size > 0 ? bt_dense_orthonormalise(3, n, f, on_line) : 0;
}

static void take_off(size_t k, size_t n, const double f[], double v[])
{
    for (size_t j = 0; j < k; j++) {
        const double along = bt_dense_dot(n, f + j * n, v);
        for (size_t i = 0; i < n; i++)
            v[i] -= along * f[j * n + i];
    }
}

static void transpose(size_t n, double c[])
{
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j < i; j++) {
            const double swap = c[i * n + j];
            c[i * n + j] = c[j * n + i];
            c[j * n + i] = swap;
        }
}

/* C to P C P with P taking the plane off. */
static void take_off_both(size_t k, size_t n, const double f[], double c[])
{
    for (int side = 0; side < 2; side++) {
        for (size_t i = 0; i < n; i++)
            take_off(k, n, f, c + i * n);
        transpose(n, c);
    }
}

static enum bt_status check(size_t n, const double c[], struct bt_error *err)
{
    double largest = 0;

    for (size_t i = 0; i < n * n; i++) {
        if (!isfinite(c[i]))
            return bt_error_set(err, BT_EINPUT, i / n, 0,
                                "the covariance of point %zu is not finite", i / n + 1);
        largest = fmax(largest, fabs(c[i]));
    }
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j < i; j++)
            if (!(fabs(c[i * n + j] - c[j * n + i]) <= below_zero * largest))
                return bt_error_set(err, BT_EINPUT, i, 0,
                                    "the covariance of points %zu and %zu is not the "
                                    "same both ways round",
                                    j + 1, i + 1);
    return BT_OK;
}

static void swap_rows(size_t n, size_t k, size_t with, double l[], double diagonal[],
                      size_t order[])
{
    const size_t point = order[k];
    const double left = diagonal[k];

    order[k] = order[with];
    order[with] = point;
    diagonal[k] = diagonal[with];
    diagonal[with] = left;
    for (size_t j = 0; j < k; j++) {
        const double swap = l[k * n + j];
        l[k * n + j] = l[with * n + j];
        l[with * n + j] = swap;
    }
}

/*
 * Cholesky with the largest diagonal first, which stops where only rounding of elements
 * as large as `largest` is left: a covariance over a plane has no inverse, and no rank
 * above `most`.  l[n][n]; N. J. Higham, Accuracy and
 * Stability of Numerical Algorithms, SIAM 2002, 10.3 (from memory).
 */
static bool cholesky(size_t n, size_t most, double largest, const double c[],
                     double l[], double diagonal[], size_t order[], size_t *rank)
{
    size_t k;

    for (size_t i = 0; i < n; i++) {
        order[i] = i;
        diagonal[i] = c[i * n + i];
    }
    for (k = 0; k < most; k++) {
        size_t best = k;
        double root;

        for (size_t i = k + 1; i < n; i++)
            if (diagonal[i] > diagonal[best])
                best = i;
        if (!(diagonal[best] > 4 * (double)n * DBL_EPSILON * largest))
            break;
        swap_rows(n, k, best, l, diagonal, order);
        root = sqrt(diagonal[k]);
        l[k * n + k] = root;
        for (size_t i = k + 1; i < n; i++) {
            const double dot = bt_dense_dot(k, l + i * n, l + k * n);
            l[i * n + k] = (c[order[i] * n + order[k]] - dot) / root;
            diagonal[i] -= l[i * n + k] * l[i * n + k];
        }
    }
    *rank = k;
    for (size_t i = k; i < n; i++)
        if (!(diagonal[i] >= -below_zero * largest))
            return false;
    return true;
}

static enum bt_status factor(size_t n, double work[], const struct bt_point p[],
                             struct draws_noise *noise, size_t *planes,
                             struct bt_error *err)
{
    double *c = work, *l = c + n * n, *f = l + n * n, *diagonal = f + 3 * n;
    double largest = 0;

    for (size_t i = 0; i < n; i++)
        largest = fmax(largest, fabs(c[i * n + i]));
    *planes = plane_basis(n, p, f);
    take_off_both(*planes, n, f, c);
    if (!cholesky(n, n - *planes, largest, c, l, diagonal, noise->order, &noise->rank))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "the covariance has a combination of heights with a "
                            "variance below 0");
    noise->factor = bt_alloc(n * noise->rank, sizeof *noise->factor);
    if (!noise->factor)
        return no_memory(err);
    for (size_t i = 0; i < n; i++)
        memcpy(noise->factor + i * noise->rank, l + i * n,
               noise->rank * sizeof *noise->factor);
    return BT_OK;
}

enum bt_status draws_noise_make(size_t n, const struct bt_point p[],
                                const double covariance[], struct draws_noise *noise,
                                size_t *planes, struct bt_error *err)
{
    enum bt_status status = check(n, covariance, err);
    double *work;

    memset(noise, 0, sizeof *noise);
    noise->n = n;
    if (status != BT_OK)
        return status;
    work = bt_alloc(2 * n * n + 4 * n, sizeof *work);
    noise->order = bt_alloc(n, sizeof *noise->order);
    if (work && noise->order) {
        memcpy(work, covariance, n * n * sizeof *work);
        status = factor(n, work, p, noise, planes, err);
    } else {
        status = no_memory(err);
    }
    bt_free(work);
    if (status != BT_OK)
        draws_noise_clear(noise);
    return status;
}

void draws_noise_clear(struct draws_noise *noise)
{
    bt_free(noise->order);
    bt_free(noise->factor);
    memset(noise, 0, sizeof *noise);
}

void draws_noise_apply(const struct draws_noise *noise, const double g[], double h[])
{
    const size_t rank = noise->rank;

    for (size_t k = 0; k < noise->n; k++) {
        const double *row = noise->factor + k * rank;
        const size_t m = k < rank ? k + 1 : rank;
        double sum[LANES] = {0};

        for (size_t j = 0; j < m; j++)
            for (size_t lane = 0; lane < LANES; lane++)
                sum[lane] += row[j] * g[j * LANES + lane];
        memcpy(h + noise->order[k] * LANES, sum, sizeof sum);
    }
}

/* ---- of a network ---- */

/* Row k of the covariance: the answer of all heights to one, both over the plane. */
static enum bt_status one_row(const struct bt_inverse *inv, const double f[],
                              size_t planes, size_t k, const size_t kept[], size_t row,
                              double work[], double covariance[])
{
    const struct bt_system *sys = &inv->sys;
    const size_t n = sys->n;
    double *c = work, *q = c + n, *zero = q + n, *t = zero + sys->m;
    enum bt_status status;

    memset(c, 0, n * sizeof *c);
    memset(zero, 0, sys->m * sizeof *zero);
    c[kept[row]] = 1;
    take_off(planes, n, f, c);
    status = inv->factor.solve(sys, inv->factor.state, c, zero, q, t);
    if (status != BT_OK)
        return status;
    take_off(planes, n, f, q);
    for (size_t i = 0; i < k; i++)
        covariance[row * k + i] = q[kept[i]];
    return BT_OK;
}

static void add_shared(const struct bt_network *net, const double f[], size_t planes,
                       size_t k, const size_t kept[], double d[], double covariance[])
{
    const size_t n = net->npoint;

    for (size_t s = 0; s < net->nshared; s++) {
        memcpy(d, net->shared + s * n, n * sizeof *d);
        take_off(planes, n, f, d);
        for (size_t i = 0; i < k; i++)
            for (size_t j = 0; j < k; j++)
                covariance[i * k + j] += d[kept[i]] * d[kept[j]];
    }
}

/* c += sign * d d'. */
static void add_square(size_t k, const size_t kept[], const double d[], double sign,
                       double c[])
{
    for (size_t i = 0; i < k; i++)
        for (size_t j = 0; j < k; j++)
            c[i * k + j] += sign * d[kept[i]] * d[kept[j]];
}

/* d[n], sum[n]: room, all 0. */
static void make_alike(const struct bt_network *net, const double f[], size_t planes,
                       size_t k, const size_t kept[], double d[], double sum[],
                       double covariance[])
{
    const size_t n = net->npoint;

    for (size_t i = 0; i < net->nalike; i++) {
        memcpy(d, net->alike + i * n, n * sizeof *d);
        take_off(planes, n, f, d);
        add_square(k, kept, d, -1, covariance);
        for (size_t p = 0; p < n; p++)
            sum[p] += d[p];
        if (i + 1 < net->nalike && net->alike_of[i + 1] == net->alike_of[i])
            continue;
        add_square(k, kept, sum, 1, covariance);
        memset(sum, 0, n * sizeof *sum);
    }
}

static void make_symmetric(size_t k, double c[])
{
    for (size_t i = 0; i < k; i++)
        for (size_t j = 0; j < i; j++)
            c[i * k + j] = c[j * k + i] = (c[i * k + j] + c[j * k + i]) / 2;
}

enum bt_status draws_covariance(const struct bt_network *net, size_t k,
                                const size_t kept[], double covariance[])
{
    const struct bt_inverse *inv = net->inverse;
    const size_t n = net->npoint;
    double *f = bt_alloc(3 * n, sizeof *f);
    double *work = bt_alloc(2 * n + 2 * inv->sys.m, sizeof *work);
    enum bt_status status = f && work ? BT_OK : BT_ENOMEM;

    if (status == BT_OK) {
        const size_t planes = plane_basis(n, inv->sys.point, f);

        for (size_t row = 0; row < k && status == BT_OK; row++)
            status = one_row(inv, f, planes, k, kept, row, work, covariance);
        if (status == BT_OK) {
            make_symmetric(k, covariance);
            add_shared(net, f, planes, k, kept, work, covariance);
        }
    }
    bt_free(f);
    bt_free(work);
    return status;
}

enum bt_status draws_covariance_alike(const struct bt_network *net, size_t k,
                                      const size_t kept[], double covariance[])
{
    /* Errors that are one may leave nothing, of which the difference leaves rounding:
     * this much more, as part of the largest, keeps it a covariance. */
    static const double ridge = 1e-12;
    const size_t n = net->npoint;
    const struct bt_inverse *inv = net->inverse;
    double *f = bt_alloc(5 * n, sizeof *f), largest = 0;

    if (!f)
        return BT_ENOMEM;
    for (size_t i = 0; i < k; i++)
        largest = fmax(largest, covariance[i * k + i]);
    make_alike(net, f, plane_basis(n, inv->sys.point, f), k, kept, f + 3 * n, f + 4 * n,
               covariance);
    for (size_t i = 0; i < k; i++)
        covariance[i * k + i] += ridge * largest;
    bt_free(f);
    return BT_OK;
}
