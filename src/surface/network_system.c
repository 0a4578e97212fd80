/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "surface/dense.h"
#include "surface/network_private.h"

/* A column that its group's readings cannot tell from those before it: relative length
 * left, far above rounding and far below any two places worth reading. */
static const double dependent_column = 1e-9;

/* Share of what a reading kind shows of a plane, squared, that rounding may leave. */
static const double plane_seen = 1e-12;

static enum bt_status check(const struct bt_readings *r, struct bt_error *err)
{
    if (r->nobs == 0)
        return bt_error_set(err, BT_EINPUT, 0, 0, "there is no reading");
    for (size_t i = 0; i < r->nobs; i++) {
        const struct bt_obs *o = &r->obs[i];
        bool finite = isfinite(o->value) && isfinite(o->u);

        if (o->npoint < 1 || o->npoint > 4 || o->group < BT_NO_GROUP ||
            (o->group >= 0 && (size_t)o->group >= r->ngroup))
            return bt_error_set(err, BT_ECALL, i, 0, "reading %zu has no such group",
                                i);
        for (int k = 0; k < o->npoint; k++) {
            if (o->point[k] >= r->npoint)
                return bt_error_set(err, BT_ECALL, i, 0,
                                    "reading %zu has no such point", i);
            for (int l = 0; l < k; l++)
                if (o->point[l] == o->point[k])
                    return bt_error_set(err, BT_EINPUT, i, 0,
                                        "reading %zu uses one place twice", i);
            finite = finite && isfinite(o->coef[k]) && o->coef[k] != 0 &&
                     isfinite(r->point[o->point[k]].x) &&
                     isfinite(r->point[o->point[k]].y);
        }
        if (!finite)
            return bt_error_set(err, BT_EINPUT, i, 0, "reading %zu is not finite", i);
        if (!(o->u > 0))
            return bt_error_set(err, BT_EINPUT, i, 0,
                                "reading %zu has an uncertainty of 0 or less", i);
    }
    for (size_t g = 0; g < r->ngroup; g++)
        if (r->group[g].dim < 1 || r->group[g].dim > 3)
            return bt_error_set(err, BT_ECALL, g, 0, "group %zu has no such size", g);
    return BT_OK;
}

static enum bt_status take_memory(const struct bt_readings *r, struct bt_system *sys)
{
    sys->n = r->npoint;
    sys->nobs = r->nobs;
    sys->ngroup = r->ngroup;
    sys->obs = bt_alloc(r->nobs, sizeof *sys->obs);
    sys->point = bt_alloc(r->npoint, sizeof *sys->point);
    sys->a = bt_alloc(r->nobs, 4 * sizeof *sys->a);
    sys->g = bt_alloc(r->nobs, 3 * sizeof *sys->g);
    sys->y = bt_alloc(r->nobs, sizeof *sys->y);
    sys->diag = bt_alloc(r->npoint, sizeof *sys->diag);
    sys->col = bt_alloc(r->ngroup, sizeof *sys->col);
    sys->dim = bt_alloc(r->ngroup, sizeof *sys->dim);
    sys->start = bt_alloc(r->npoint + 1, sizeof *sys->start);
    sys->item = bt_alloc(r->nobs, 4 * sizeof *sys->item);
    return sys->obs && sys->point && sys->a && sys->g && sys->y && sys->diag &&
                   sys->col && sys->dim && sys->start && sys->item
               ? BT_OK
               : BT_ENOMEM;
}

static void weight_rows(const struct bt_readings *r, struct bt_system *sys)
{
    memcpy(sys->obs, r->obs, r->nobs * sizeof *sys->obs);
    memcpy(sys->point, r->point, r->npoint * sizeof *sys->point);
    sys->single = true;
    for (size_t i = 0; i < r->nobs; i++) {
        const struct bt_obs *o = &r->obs[i];
        sys->y[i] = o->value / o->u;
        sys->single = sys->single && o->npoint == 1;
        for (int k = 0; k < o->npoint; k++) {
            const double a = o->coef[k] / o->u;
            sys->a[4 * i + (size_t)k] = a;
            sys->diag[o->point[k]] += a * a;
        }
    }
}

/* Readings of each point, an entry a height. */
static enum bt_status index_points(struct bt_system *sys, struct bt_error *err)
{
    const size_t heights = sys->single ? 1 : 4;
    size_t *key = bt_alloc(sys->nobs, heights * sizeof *key);

    if (!key)
        return BT_ENOMEM;
    for (size_t i = 0; i < sys->nobs; i++)
        for (size_t k = 0; k < heights; k++)
            key[heights * i + k] =
                (int)k < sys->obs[i].npoint ? sys->obs[i].point[k] : sys->n;
    bt_sort_by_key(sys->n, heights * sys->nobs, key, sys->start, sys->item);
    for (size_t i = 0; sys->single && i < sys->nobs; i++)
        sys->item[i] *= 4;
    bt_free(key);
    for (size_t p = 0; p < sys->n; p++)
        if (sys->start[p] == sys->start[p + 1])
            return bt_error_set(err, BT_EINPUT, p, 0,
                                "no reading is taken at point %zu", p);
    return BT_OK;
}

/*
 * Gram-Schmidt, twice, on the weighted basis of one group; columns stay over its
 * readings only.  Centring comes by itself: the first column is the constant.
 */
static int orthonormalise_group(const struct bt_system *sys, const size_t item[],
                                size_t count, int dim)
{
    int kept = 0;

    for (int c = 0; c < dim; c++) {
        double before = 0, after = 0;

        for (size_t i = 0; i < count; i++) {
            double *g = sys->g + 3 * item[i];
            const struct bt_obs *o = &sys->obs[item[i]];
            g[kept] = o->basis[c] / o->u;
            before += g[kept] * g[kept];
        }
        for (int pass = 0; pass < 2; pass++)
            for (int k = 0; k < kept; k++) {
                double along = 0;
                for (size_t i = 0; i < count; i++)
                    along += sys->g[3 * item[i] + (size_t)kept] *
                             sys->g[3 * item[i] + (size_t)k];
                for (size_t i = 0; i < count; i++)
                    sys->g[3 * item[i] + (size_t)kept] -=
                        along * sys->g[3 * item[i] + (size_t)k];
            }
        for (size_t i = 0; i < count; i++)
            after +=
                sys->g[3 * item[i] + (size_t)kept] * sys->g[3 * item[i] + (size_t)kept];
        if (!(sqrt(after) > dependent_column * sqrt(before)))
            continue;
        after = 1 / sqrt(after);
        for (size_t i = 0; i < count; i++)
            sys->g[3 * item[i] + (size_t)kept] *= after;
        kept++;
    }
    for (size_t i = 0; i < count; i++)
        for (int k = kept; k < 3; k++)
            sys->g[3 * item[i] + (size_t)k] = 0;
    return kept;
}

static enum bt_status scale_groups(const struct bt_readings *r, struct bt_system *sys)
{
    size_t *key = bt_alloc(r->nobs, sizeof *key);
    size_t *start = bt_alloc(r->ngroup + 1, sizeof *start);
    size_t *item = bt_alloc(r->nobs, sizeof *item);
    enum bt_status status = key && start && item ? BT_OK : BT_ENOMEM;

    sys->nominal = r->npoint;
    if (status == BT_OK) {
        for (size_t i = 0; i < r->nobs; i++)
            key[i] = r->obs[i].group < 0 ? r->ngroup : (size_t)r->obs[i].group;
        bt_sort_by_key(r->ngroup, r->nobs, key, start, item);
        for (size_t g = 0; g < r->ngroup; g++) {
            const size_t count = start[g + 1] - start[g];
            sys->dim[g] =
                orthonormalise_group(sys, item + start[g], count, r->group[g].dim);
            sys->col[g] = sys->m;
            sys->m += (size_t)sys->dim[g];
            sys->nominal += count ? (size_t)r->group[g].dim : 0;
        }
    }
    bt_free(key);
    bt_free(start);
    bt_free(item);
    return status;
}

static void place_planes(struct bt_system *sys)
{
    double low[2] = {HUGE_VAL, HUGE_VAL}, high[2] = {-HUGE_VAL, -HUGE_VAL};

    for (size_t p = 0; p < sys->n; p++) {
        const double at[2] = {sys->point[p].x, sys->point[p].y};
        for (int k = 0; k < 2; k++) {
            low[k] = at[k] < low[k] ? at[k] : low[k];
            high[k] = at[k] > high[k] ? at[k] : high[k];
        }
    }
    sys->centre[0] = (low[0] + high[0]) / 2;
    sys->centre[1] = (low[1] + high[1]) / 2;
    sys->scale = fmax(high[0] - low[0], high[1] - low[1]) / 2;
    if (!(sys->scale > 0))
        sys->scale = 1;
}

/*
 * A basis of the planes over the points: rows of coefficients, each of unit mean
 * square. A plane that is 0 at every point (all of them on one line) is no shape: how
 * many are.
 */
static enum bt_status plane_basis(const struct bt_system *sys, double basis[9],
                                  size_t *count)
{
    double square[9] = {0}, value[3], vector[9];
    enum bt_status status;

    for (size_t p = 0; p < sys->n; p++) {
        const double f[3] = {1, (sys->point[p].x - sys->centre[0]) / sys->scale,
                             (sys->point[p].y - sys->centre[1]) / sys->scale};
        for (int k = 0; k < 3; k++)
            for (int l = 0; l < 3; l++)
                square[3 * k + l] += f[k] * f[l];
    }
    for (int k = 0; k < 9; k++)
        square[k] /= (double)sys->n;
    status = bt_dense_eigen(3, square, value, vector);
    *count = 0;
    for (size_t k = 0; status == BT_OK && k < 3; k++) {
        if (!(value[k] > plane_seen * value[2]))
            continue;
        for (int l = 0; l < 3; l++)
            basis[3 * *count + (size_t)l] = vector[3 * k + (size_t)l] / sqrt(value[k]);
        (*count)++;
    }
    return status;
}

static bool shows_planes(const struct bt_obs *o)
{
    return o->plane[0] != 0 || o->plane[1] != 0 || o->plane[2] != 0;
}

/* What reading i shows of the planes of the basis, weighted. */
static void plane_response(const struct bt_system *sys, const double basis[9], size_t i,
                           double out[3])
{
    const struct bt_obs *o = &sys->obs[i];
    const double f[3] = {
        o->plane[0] / o->u,
        (o->plane[1] - sys->centre[0] * o->plane[0]) / sys->scale / o->u,
        (o->plane[2] - sys->centre[1] * o->plane[0]) / sys->scale / o->u};

    for (int k = 0; k < 3; k++)
        out[k] =
            basis[3 * k] * f[0] + basis[3 * k + 1] * f[1] + basis[3 * k + 2] * f[2];
}

/* Square of what the readings show of the planes, each group's share taken off; total:
 * its trace before that. */
static enum bt_status plane_square(const struct bt_system *sys, const double basis[9],
                                   double gram[9], double *total)
{
    double *share = bt_alloc(sys->m, 3 * sizeof *share);

    if (!share)
        return BT_ENOMEM;
    for (size_t i = 0; i < sys->nobs; i++) {
        const int group = sys->obs[i].group;
        double p[3];
        if (!shows_planes(&sys->obs[i]))
            continue;
        plane_response(sys, basis, i, p);
        *total += p[0] * p[0] + p[1] * p[1] + p[2] * p[2];
        for (int j = 0; group >= 0 && j < sys->dim[group]; j++)
            for (int k = 0; k < 3; k++)
                share[3 * (sys->col[group] + (size_t)j) + (size_t)k] +=
                    sys->g[3 * i + (size_t)j] * p[k];
    }
    for (size_t i = 0; *total > 0 && i < sys->nobs; i++) {
        const int group = sys->obs[i].group;
        double p[3];
        plane_response(sys, basis, i, p);
        for (int j = 0; group >= 0 && j < sys->dim[group]; j++)
            for (int k = 0; k < 3; k++)
                p[k] -= sys->g[3 * i + (size_t)j] *
                        share[3 * (sys->col[group] + (size_t)j) + (size_t)k];
        for (int k = 0; k < 3; k++)
            for (int l = 0; l < 3; l++)
                gram[3 * k + l] += p[k] * p[l];
    }
    bt_free(share);
    return BT_OK;
}

/*
 * Which planes no reading sees: null vectors of the square of what the readings show of
 * them.  By kind, not by computed positions: a line of merged points that bends by a
 * hair must not seem to see the panel's tilt.
 */
static enum bt_status find_unseen_planes(struct bt_system *sys)
{
    double basis[9] = {0}, gram[9] = {0}, value[3], vector[9], total = 0;
    size_t count;
    enum bt_status status = plane_basis(sys, basis, &count);

    if (status == BT_OK)
        status = plane_square(sys, basis, gram, &total);
    if (status == BT_OK) {
        /* the rows and columns beyond count are 0: keep them out of the null space */
        for (size_t k = count; k < 3; k++)
            gram[4 * k] = 1 + 2 * total;
        status = bt_dense_eigen(3, gram, value, vector);
    }
    if (status != BT_OK)
        return status;
    while (sys->nplane < count && !(value[sys->nplane] > plane_seen * total)) {
        for (int l = 0; l < 3; l++)
            for (int k = 0; k < 3; k++)
                sys->plane[sys->nplane][l] +=
                    vector[3 * sys->nplane + (size_t)k] * basis[3 * k + l];
        sys->nplane++;
    }
    return BT_OK;
}

enum bt_status bt_system_build(const struct bt_readings *readings,
                               struct bt_system *sys, struct bt_error *err)
{
    enum bt_status status = check(readings, err);
    double shift;

    memset(sys, 0, sizeof *sys);
    if (status == BT_OK)
        status = take_memory(readings, sys);
    if (status == BT_OK) {
        weight_rows(readings, sys);
        status = index_points(sys, err);
    }
    if (status == BT_OK)
        status = scale_groups(readings, sys);
    if (status == BT_OK) {
        place_planes(sys);
        status = find_unseen_planes(sys);
    }
    if (status != BT_OK) {
        bt_system_clear(sys);
        return status;
    }
    /* A place moved by slack shows a shape of the panel's size by about this share. */
    shift = isfinite(readings->slack) ? fabs(readings->slack) / sys->scale : 0;
    sys->null_tolerance = fmax(1e-11, shift * shift);
    sys->shape_tolerance = fmax(1e-7, 4 * shift);
    return BT_OK;
}

void bt_system_clear(struct bt_system *sys)
{
    bt_free(sys->obs);
    bt_free(sys->point);
    bt_free(sys->a);
    bt_free(sys->g);
    bt_free(sys->y);
    bt_free(sys->diag);
    bt_free(sys->col);
    bt_free(sys->dim);
    bt_free(sys->start);
    bt_free(sys->item);
    memset(sys, 0, sizeof *sys);
}

void bt_system_couple(const struct bt_system *sys, const double h[], double out[])
{
    memset(out, 0, sys->m * sizeof *out);
    for (size_t i = 0; i < sys->nobs; i++) {
        const struct bt_obs *o = &sys->obs[i];
        double along = 0;
        if (o->group < 0)
            continue;
        for (int k = 0; k < o->npoint; k++)
            along += sys->a[4 * i + (size_t)k] * h[o->point[k]];
        for (int j = 0; j < sys->dim[o->group]; j++)
            out[sys->col[o->group] + (size_t)j] += sys->g[3 * i + (size_t)j] * along;
    }
}

enum bt_status bt_system_take_off_groups(const struct bt_system *sys, size_t stride,
                                         double column[])
{
    double *t = bt_alloc(sys->m, sizeof *t);

    if (!t)
        return BT_ENOMEM;
    for (size_t i = 0; i < sys->nobs; i++) {
        const int group = sys->obs[i].group;
        for (int j = 0; group >= 0 && j < sys->dim[group]; j++)
            t[sys->col[group] + (size_t)j] +=
                sys->g[3 * i + (size_t)j] * column[i * stride];
    }
    for (size_t i = 0; i < sys->nobs; i++) {
        const int group = sys->obs[i].group;
        for (int j = 0; group >= 0 && j < sys->dim[group]; j++)
            column[i * stride] -=
                sys->g[3 * i + (size_t)j] * t[sys->col[group] + (size_t)j];
    }
    bt_free(t);
    return BT_OK;
}

void bt_system_planes(const struct bt_system *sys, double f[])
{
    for (size_t k = 0; k < sys->nplane; k++)
        for (size_t p = 0; p < sys->n; p++)
            f[k * sys->n + p] =
                sys->plane[k][0] +
                sys->plane[k][1] * (sys->point[p].x - sys->centre[0]) / sys->scale +
                sys->plane[k][2] * (sys->point[p].y - sys->centre[1]) / sys->scale;
}
