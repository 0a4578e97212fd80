/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Adjustment where every reading has one height.  The heights are eliminated first
 * (H is diagonal), which leaves R = I - C^T H^-1 C over the nuisance unknowns.  A
 * family of groups without a common point has a block-diagonal part P of R and goes
 * next:
 *
 *     R = [P E; E^T G],   S = G - E^T P^-1 E,   Y = P^-1 E,   X = Y S^-1
 *     R^-1 = [P^-1 + X Y^T  -X; -X^T  S^-1]
 *
 * Only the parts of R^-1 that some point needs are formed: all of X and S^-1, and the
 * diagonal blocks of the first part.
 */
#include "surface/network_private.h"

#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "surface/dense.h"

/* One reading's part in C: c = a g, in the unknowns from `at` on. */
struct share {
    size_t at; /* place of the group's first unknown */
    int dim;   /* 0 where the reading has no group */
    double c[3];
    double square; /* a^2 */
};

struct lines {
    size_t m1, m2;
    struct share *share; /* [nobs] in the order of sys->item */
    size_t *place; /* [m] of a nuisance unknown: below m1 in the family, else rest */
    double *p;     /* [m1 * 3] inverse blocks: row i, the block's columns */
    size_t *block; /* [m1] first unknown of the row's block */
    double *d;     /* [m1 * 3] diagonal blocks of the first part of R^-1 */
    double *y, *x; /* [m1 * m2] */
    double *s;     /* [m2 * m2] S^-1 */
};

static void lines_free(void *state)
{
    struct lines *l = state;

    if (!l)
        return;
    bt_free(l->share);
    bt_free(l->place);
    bt_free(l->block);
    bt_free(l->p);
    bt_free(l->d);
    bt_free(l->y);
    bt_free(l->x);
    bt_free(l->s);
    bt_free(l);
}

static enum bt_status place_unknowns(const struct bt_system *sys, bool whole,
                                     struct lines *l)
{
    bool *chosen = bt_alloc(sys->ngroup, sizeof *chosen);
    enum bt_status status = chosen ? BT_OK : BT_ENOMEM;
    size_t rest = 0;

    if (status == BT_OK && !whole)
        status = bt_choose_family(sys, chosen);
    for (size_t g = 0; status == BT_OK && g < sys->ngroup; g++)
        if (chosen[g])
            l->m1 += (size_t)sys->dim[g];
    l->m2 = sys->m - l->m1;
    for (size_t g = 0, first = 0; status == BT_OK && g < sys->ngroup; g++)
        for (int j = 0; j < sys->dim[g]; j++)
            l->place[sys->col[g] + (size_t)j] = chosen[g] ? first++ : l->m1 + rest++;
    bt_free(chosen);
    return status;
}

/* Readings by point: what follows runs over them often, and a reading is large. */
static void gather_shares(const struct bt_system *sys, struct lines *l)
{
    for (size_t k = 0; k < sys->nobs; k++) {
        const size_t i = sys->item[k] / 4;
        const double a = sys->a[4 * i];
        const int group = sys->obs[i].group;
        struct share *share = &l->share[k];

        share->square = a * a;
        if (group < 0)
            continue;
        share->dim = sys->dim[group];
        share->at = share->dim ? l->place[sys->col[group]] : 0;
        for (int j = 0; j < share->dim; j++)
            share->c[j] = a * sys->g[3 * i + (size_t)j];
    }
}

static struct lines *lines_alloc(const struct bt_system *sys, bool whole)
{
    struct lines *l = bt_alloc(1, sizeof *l);

    if (!l)
        return NULL;
    l->place = bt_alloc(sys->m, sizeof *l->place);
    if (!l->place || place_unknowns(sys, whole, l) != BT_OK) {
        lines_free(l);
        return NULL;
    }
    l->share = bt_alloc(sys->nobs, sizeof *l->share);
    l->block = bt_alloc(l->m1, sizeof *l->block);
    l->p = bt_alloc(l->m1 * 3, sizeof *l->p);
    l->d = bt_alloc(l->m1 * 3, sizeof *l->d);
    l->y = bt_alloc(l->m1 * l->m2, sizeof *l->y);
    l->x = bt_alloc(l->m1 * l->m2, sizeof *l->x);
    l->s = bt_alloc(l->m2 * l->m2, sizeof *l->s);
    if (!l->share || !l->block || !l->p || !l->d || !l->y || !l->x || !l->s) {
        lines_free(l);
        return NULL;
    }
    return l;
}

/*
 * The block of [p y; . s] (of R while it is built) or of [d x; . s] between two groups;
 * the one in the family comes first, because E^T is not kept.
 */
struct block {
    double *v;
    size_t step; /* from row to row */
};

static struct block block_between(const struct lines *l, double *first, double *mixed,
                                  size_t row, size_t col)
{
    struct block b = {l->s, l->m2};

    if (row >= l->m1)
        b.v += (row - l->m1) * l->m2 + (col - l->m1);
    else if (col >= l->m1)
        b.v = mixed + row * l->m2 + (col - l->m1);
    else
        b = (struct block){first + 3 * row, 3};
    return b;
}

/* Add f c d^T to the part of R that it belongs to. */
static inline void add_pair(struct lines *l, const struct share *a,
                            const struct share *b, double f)
{
    const struct block to = block_between(l, l->p, l->y, a->at, b->at);

    if (a->dim == 2 && b->dim == 2) { /* lines: nearly all of it */
        const double u = f * a->c[0], v = f * a->c[1];
        to.v[0] += u * b->c[0];
        to.v[1] += u * b->c[1];
        to.v[to.step] += v * b->c[0];
        to.v[to.step + 1] += v * b->c[1];
        return;
    }
    for (int r = 0; r < a->dim; r++)
        for (int c = 0; c < b->dim; c++)
            to.v[(size_t)r * to.step + (size_t)c] += f * a->c[r] * b->c[c];
}

/* out += f C_p, in places.  Figures have few coefficients: zeros are passed over. */
static inline void couple_point(const struct bt_system *sys, const struct lines *l,
                                size_t p, double f, double out[])
{
    if (f == 0)
        return;
    for (size_t i = sys->start[p]; i < sys->start[p + 1]; i++) {
        const struct share *share = &l->share[i];
        double *x = out + share->at;
        if (share->dim == 2) {
            x[0] += f * share->c[0];
            x[1] += f * share->c[1];
        } else {
            for (int k = 0; k < share->dim; k++)
                x[k] += f * share->c[k];
        }
    }
}

/* R: P into p, E into y, the lower triangle of G into s. */
static void reduce_heights(const struct bt_system *sys, struct lines *l)
{
    for (size_t g = 0; g < sys->ngroup; g++)
        for (int r = 0; r < sys->dim[g]; r++) {
            const size_t at = l->place[sys->col[g] + (size_t)r];
            if (at < l->m1) {
                l->block[at] = l->place[sys->col[g]];
                l->p[3 * at + (size_t)r] = 1;
            } else {
                l->s[(at - l->m1) * (l->m2 + 1)] = 1;
            }
        }
    for (size_t p = 0; p < sys->n; p++) {
        const double f = -1 / sys->diag[p];
        for (size_t i = sys->start[p]; i < sys->start[p + 1]; i++) {
            const struct share *a = &l->share[i];
            add_pair(l, a, a, f);
            for (size_t j = sys->start[p]; j < i; j++) {
                const struct share *b = &l->share[j];
                const bool family = a->at < l->m1 || b->at < l->m1;
                const bool first = (a->at < b->at) == family;
                add_pair(l, first ? a : b, first ? b : a, f);
                if (a->at == b->at)
                    add_pair(l, first ? b : a, first ? a : b, f);
            }
        }
    }
}

/*
 * Factor a block of P (rows at, at + 1, ... of p) as L L^T and invert L in place: row r
 * then holds L^-1.  False when the block is singular: the group meets the others at too
 * few points, and shapes of its own stay unseen.
 */
static bool invert_block(double p[], int dim, double tolerance)
{
    double l[3][3] = {{0}}, v[3][3] = {{0}}, trace = 0;

    for (int i = 0; i < dim; i++) {
        for (int j = 0; j <= i; j++) {
            double sum = p[3 * i + j];
            for (int k = 0; k < j; k++)
                sum -= l[i][k] * l[j][k];
            if (i == j) {
                if (!(sum > 0))
                    return false;
                l[i][i] = sqrt(sum);
            } else {
                l[i][j] = sum / l[j][j];
            }
        }
        v[i][i] = 1 / l[i][i];
        for (int j = 0; j < i; j++) {
            double sum = 0;
            for (int k = j; k < i; k++)
                sum -= l[i][k] * v[k][j];
            v[i][j] = sum / l[i][i];
        }
    }
    for (int i = 0; i < dim; i++)
        for (int j = 0; j < 3; j++) {
            p[3 * i + j] = v[i][j];
            trace += v[i][j] * v[i][j];
        }
    return trace * tolerance < 1; /* trace >= 1/least eigenvalue */
}

/* y = f y + g z */
static void combine(size_t width, double f, double g, const double *restrict z,
                    double *restrict y)
{
    for (size_t c = 0; c < width; c++)
        y[c] = f * y[c] + g * z[c];
}

/* Rows of y, in place: L^-1 rows (transposed: L^-T rows), for the block at row `at`. */
static void apply_block(const struct lines *l, size_t at, int dim, bool transposed,
                        size_t width, double y[])
{
    const double *v = l->p + 3 * at;

    for (int k = 0; k < dim; k++) {
        const int r = transposed ? k : dim - 1 - k;
        double f = v[3 * r + r], *row = y + (size_t)r * width;
        const int first = transposed ? r + 1 : 0, last = transposed ? dim : r;

        if (first == last)
            for (size_t c = 0; c < width; c++)
                row[c] *= f;
        for (int q = first; q < last; q++) {
            combine(width, f, transposed ? v[3 * q + r] : v[3 * r + q],
                    y + (size_t)q * width, row);
            f = 1;
        }
    }
}

static int block_dim(const struct lines *l, size_t at)
{
    int dim = 1;

    while (at + (size_t)dim < l->m1 && l->block[at + (size_t)dim] == at)
        dim++;
    return dim;
}

/* s = G - E^T P^-1 E, y = P^-1 E; false when P is singular. */
static bool eliminate_family(struct lines *l, double tolerance)
{
    for (size_t at = 0; at < l->m1; at += (size_t)block_dim(l, at)) {
        const int dim = block_dim(l, at);
        if (!invert_block(l->p + 3 * at, dim, tolerance))
            return false;
        apply_block(l, at, dim, false, l->m2, l->y + at * l->m2);
    }
    bt_dense_subtract_square(l->m1, l->m2, l->y, l->s);
    for (size_t at = 0; at < l->m1; at += (size_t)block_dim(l, at))
        apply_block(l, at, block_dim(l, at), true, l->m2, l->y + at * l->m2);
    return true;
}

/*
 * Add q q^T for an orthonormal basis q of the rest's share of the unseen planes, so
 * that S is regular where nothing but planes is unseen; false where the share has fewer
 * dimensions than the planes.
 */
static enum bt_status set_planes_aside(const struct bt_system *sys, struct lines *l,
                                       bool *regular)
{
    double *f = bt_alloc(sys->nplane * sys->n, sizeof *f);
    double *t = bt_alloc(sys->m, sizeof *t);
    double *q = bt_alloc(sys->nplane * l->m2, sizeof *q);
    enum bt_status status = f && t && q ? BT_OK : BT_ENOMEM;
    size_t kept;

    *regular = true;
    if (status == BT_OK && sys->nplane && l->m2 == 0)
        *regular = false;
    if (status == BT_OK && sys->nplane && l->m2) {
        bt_system_planes(sys, f);
        for (size_t k = 0; k < sys->nplane; k++) {
            memset(t, 0, sys->m * sizeof *t);
            for (size_t p = 0; p < sys->n; p++)
                couple_point(sys, l, p, f[k * sys->n + p], t);
            memcpy(q + k * l->m2, t + l->m1, l->m2 * sizeof *q);
        }
        kept = bt_dense_orthonormalise(sys->nplane, l->m2, q, 1e-9);
        *regular = kept == sys->nplane;
        for (size_t k = 0; k < kept; k++)
            for (size_t i = 0; i < l->m2; i++)
                for (size_t j = 0; j <= i; j++) /* the lower triangle is enough */
                    l->s[i * l->m2 + j] += q[k * l->m2 + i] * q[k * l->m2 + j];
    }
    bt_free(f);
    bt_free(t);
    bt_free(q);
    return status;
}

static enum bt_status invert_rest(const struct bt_system *sys, struct lines *l,
                                  double *least)
{
    double *work = bt_alloc(2 * l->m2, sizeof *work);
    enum bt_status status = work ? BT_OK : BT_ENOMEM;

    *least = NAN;
    if (status == BT_OK && l->m2) {
        if (bt_dense_invert(l->m2, l->s, work))
            *least = bt_dense_least_eigenvalue(l->m2, l->s, work);
        if (!(*least > sys->null_tolerance))
            status = BT_ESINGULAR;
    }
    bt_free(work);
    return status;
}

/* x = y s, and the diagonal blocks of P^-1 + X Y^T. */
static void inverse_parts(struct lines *l)
{
    bt_dense_multiply(l->m1, l->m2, l->y, l->s, l->x);
    for (size_t i = 0; i < l->m1; i++) {
        const size_t at = l->block[i];
        const int dim = block_dim(l, at);
        for (int c = 0; c < dim; c++) {
            const double *v = l->p + 3 * at;
            double sum =
                bt_dense_dot(l->m2, l->x + i * l->m2, l->y + (at + (size_t)c) * l->m2);
            for (int k = 0; k < dim; k++)
                sum += v[3 * (size_t)k + (i - at)] * v[3 * k + c];
            l->d[3 * i + (size_t)c] = sum;
        }
    }
}

/* c^T (block of R^-1 between the groups of two readings of one point) d. */
static inline double between(const struct lines *l, const struct share *a,
                             const struct share *b)
{
    const bool swap = b->at < a->at;
    const struct share *u = swap ? b : a, *w = swap ? a : b;
    const struct block v = block_between(l, l->d, l->x, u->at, w->at);
    double sum = 0;

    if (u->dim == 2 && w->dim == 2)
        sum = u->c[0] * (v.v[0] * w->c[0] + v.v[1] * w->c[1]) +
              u->c[1] * (v.v[v.step] * w->c[0] + v.v[v.step + 1] * w->c[1]);
    else
        for (int r = 0; r < u->dim; r++)
            for (int c = 0; c < w->dim; c++)
                sum += u->c[r] * v.v[(size_t)r * v.step + (size_t)c] * w->c[c];
    return u->at < l->m1 && w->at >= l->m1 ? -sum : sum;
}

/*
 * With K_ij = c_i^T R^-1 c_j over the readings of one point and r_i = g_i - (a_i/H_p)
 * C_p, C_p = sum of c:  the height's variance is 1/H_p + sum K/H_p^2, and a_i N^- a_i^T
 * = a_i^2/H_p + r_i^T R^-1 r_i, a_i^2 r_i^T R^-1 r_i = K_ii - 2 f sum_j K_ij + f^2 sum
 * K,  f = a_i^2/H_p.
 */
static enum bt_status variances(const struct bt_system *sys, const struct lines *l,
                                struct bt_factor *factor)
{
    size_t most = 0;
    double *own, *row;

    for (size_t p = 0; p < sys->n; p++)
        if (sys->start[p + 1] - sys->start[p] > most)
            most = sys->start[p + 1] - sys->start[p];
    own = bt_alloc(2 * most, sizeof *own);
    if (!own)
        return BT_ENOMEM;
    row = own + most;
    for (size_t p = 0; p < sys->n; p++) {
        const size_t first = sys->start[p], count = sys->start[p + 1] - first;
        const struct share *share = l->share + first;
        const double hp = sys->diag[p];
        double all = 0;

        for (size_t i = 0; i < count; i++) {
            row[i] = own[i] = between(l, &share[i], &share[i]);
            for (size_t j = 0; j < i; j++) {
                const double k = between(l, &share[i], &share[j]);
                row[i] += k;
                row[j] += k;
            }
        }
        for (size_t i = 0; i < count; i++)
            all += row[i];
        factor->variance[p] = 1 / hp + all / (hp * hp);
        for (size_t i = 0; i < count; i++) {
            const double f = share[i].square / hp;
            factor->quadratic[sys->item[first + i] / 4] =
                f + (own[i] - 2 * f * row[i] + f * f * all) / share[i].square;
        }
    }
    bt_free(own);
    return BT_OK;
}

/* t = R^-1 r: t2 = S^-1 r2 - X^T r1, t1 = P^-1 r1 - Y t2. */
static void solve_reduced(const struct lines *l, const double r[], double t[])
{
    const double *r2 = r + l->m1;
    double *t2 = t + l->m1;

    bt_dense_apply(l->m2, l->s, r2, t2);
    for (size_t i = 0; i < l->m1; i++)
        if (r[i] != 0)
            combine(l->m2, 1, -r[i], l->x + i * l->m2, t2);
    memcpy(t, r, l->m1 * sizeof *t);
    for (size_t at = 0; at < l->m1; at += (size_t)block_dim(l, at)) {
        apply_block(l, at, block_dim(l, at), false, 1, t + at);
        apply_block(l, at, block_dim(l, at), true, 1, t + at);
    }
    for (size_t i = 0; i < l->m1; i++)
        t[i] -= bt_dense_dot(l->m2, l->y + i * l->m2, t2);
}

static enum bt_status lines_solve(const struct bt_system *sys, void *state,
                                  const double bh[], const double bt[], double h[],
                                  double t[])
{
    const struct lines *l = state;
    double *r = bt_alloc(2 * sys->m, sizeof *r), *s = r ? r + sys->m : NULL;

    if (!r)
        return BT_ENOMEM;
    for (size_t j = 0; j < sys->m; j++)
        r[l->place[j]] = bt[j];
    for (size_t p = 0; p < sys->n; p++) {
        h[p] = bh[p] / sys->diag[p];
        couple_point(sys, l, p, -h[p], r);
    }
    solve_reduced(l, r, s);
    for (size_t j = 0; j < sys->m; j++)
        t[j] = s[l->place[j]];
    for (size_t p = 0; p < sys->n; p++) {
        double along = 0;
        for (size_t i = sys->start[p]; i < sys->start[p + 1]; i++) {
            const struct share *share = &l->share[i];
            const double *x = s + share->at;
            if (share->dim == 2)
                along += share->c[0] * x[0] + share->c[1] * x[1];
            else
                for (int k = 0; k < share->dim; k++)
                    along += share->c[k] * x[k];
        }
        h[p] -= along / sys->diag[p];
    }
    bt_free(r);
    return BT_OK;
}

/*
 * With r = -C^T D^-1 c:  c^T N^- c = c^T D^-1 c + r1^T P^-1 r1 + w^T S^-1 w,
 * w = r2 - Y^T r1.  Every term is positive: nothing cancels.
 */
static enum bt_status lines_form(const struct bt_system *sys, const void *state,
                                 const double c[], double *variance)
{
    const struct lines *l = state;
    double *r = bt_alloc(sys->m + l->m2, sizeof *r);
    double *w = r ? r + l->m1 : NULL, *out = r ? r + sys->m : NULL, sum = 0;

    if (!r)
        return BT_ENOMEM;
    for (size_t p = 0; p < sys->n; p++)
        if (c[p] != 0) {
            const double h = c[p] / sys->diag[p];
            sum += c[p] * h;
            couple_point(sys, l, p, -h, r);
        }
    for (size_t i = 0; i < l->m1; i++)
        if (r[i] != 0)
            combine(l->m2, 1, -r[i], l->y + i * l->m2, w);
    for (size_t at = 0; at < l->m1; at += (size_t)block_dim(l, at))
        apply_block(l, at, block_dim(l, at), false, 1, r + at);
    bt_dense_apply(l->m2, l->s, w, out);
    *variance = sum + bt_dense_dot(l->m1, r, r) + bt_dense_dot(l->m2, w, out);
    bt_free(r);
    return BT_OK;
}

/* Through eigenvalues: S is all of R here; each null vector t is a shape -H^-1 C t. */
static enum bt_status invert_whole(const struct bt_system *sys, struct lines *l,
                                   struct bt_factor *factor)
{
    double *null = bt_alloc(l->m2 * l->m2, sizeof *null);
    enum bt_status status = null ? BT_OK : BT_ENOMEM;

    for (size_t i = 0; i < l->m2; i++)
        for (size_t j = 0; j < i; j++)
            l->s[j * l->m2 + i] = l->s[i * l->m2 + j];
    if (status == BT_OK)
        status = bt_dense_pseudo_inverse(l->m2, l->s, sys->null_tolerance, null,
                                         &factor->nshape, &factor->least_eigenvalue);
    if (status == BT_OK)
        factor->shape = bt_alloc(factor->nshape * sys->n, sizeof *factor->shape);
    if (!factor->shape)
        status = BT_ENOMEM;
    for (size_t i = 0; status == BT_OK && i < sys->nobs; i++) {
        const int group = sys->obs[i].group;
        const size_t p = sys->obs[i].point[0];
        for (size_t s = 0; group >= 0 && s < factor->nshape; s++)
            for (int k = 0; k < sys->dim[group]; k++)
                factor->shape[s * sys->n + p] -=
                    sys->a[4 * i] * sys->g[3 * i + (size_t)k] *
                    null[s * l->m2 + l->place[sys->col[group] + (size_t)k]] /
                    sys->diag[p];
    }
    bt_free(null);
    return status;
}

enum bt_status bt_factor_lines(const struct bt_system *sys, bool whole,
                               struct bt_factor *factor)
{
    struct lines *l = lines_alloc(sys, whole);
    enum bt_status status = l ? BT_OK : BT_ENOMEM;
    bool regular = true;

    factor->state = l;
    factor->solve = lines_solve;
    factor->form = lines_form;
    factor->free = lines_free;
    if (status == BT_OK) {
        gather_shares(sys, l);
        reduce_heights(sys, l);
    }
    if (status == BT_OK && !whole && !eliminate_family(l, sys->null_tolerance))
        status = BT_ESINGULAR;
    if (status == BT_OK)
        status = set_planes_aside(sys, l, &regular);
    /* whole: a plane that the groups' unknowns do not share is found or not, as it is
     */
    if (status == BT_OK && !regular && !whole)
        status = BT_ESINGULAR;
    if (status == BT_OK)
        status = whole ? invert_whole(sys, l, factor)
                       : invert_rest(sys, l, &factor->least_eigenvalue);
    if (status == BT_OK) {
        inverse_parts(l);
        status = variances(sys, l, factor);
    }
    return status;
}
