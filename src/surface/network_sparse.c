/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Any mixture of readings, large or small: sparse Cholesky of the normal matrix by
 * CHOLMOD, heights scaled to a unit diagonal.  As many heights as planes are unseen are
 * held by a unit weight, which changes nothing that the readings determine.  The
 * entries of the inverse on the pattern of the factor (K. Takahashi, J. Fagan, M. S.
 * Chen, 8th PICA conference, 1973, from memory) give variances and redundancies.
 */
#include <cholmod.h>
#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "surface/dense.h"
#include "surface/network_private.h"

struct sparse {
    cholmod_common common;
    cholmod_factor *l;
    size_t n;      /* all unknowns: heights, then nuisance */
    double *scale; /* [heights] 1/sqrt of the diagonal of H */
    int *where;    /* [n] column of an unknown in the factor */
    double *z;     /* entries of the inverse, on the pattern of the factor */
};

static void sparse_free(void *state)
{
    struct sparse *sp = state;

    if (!sp)
        return;
    cholmod_free_factor(&sp->l, &sp->common);
    cholmod_finish(&sp->common);
    bt_free(sp->scale);
    bt_free(sp->where);
    bt_free(sp->z);
    bt_free(sp);
}

/* CHOLMOD reports through its own status; it must not print. */
static struct sparse *sparse_alloc(const struct bt_system *sys)
{
    struct sparse *sp = bt_alloc(1, sizeof *sp);

    if (!sp)
        return NULL;
    cholmod_start(&sp->common);
    sp->common.print = 0;
    sp->common.supernodal = CHOLMOD_SIMPLICIAL;
    sp->common.final_ll = 0;
    sp->n = sys->n + sys->m;
    sp->scale = bt_alloc(sys->n, sizeof *sp->scale);
    sp->where = bt_alloc(sp->n, sizeof *sp->where);
    if (!sp->scale || !sp->where) {
        sparse_free(sp);
        return NULL;
    }
    for (size_t p = 0; p < sys->n; p++)
        sp->scale[p] = 1 / sqrt(sys->diag[p]);
    return sp;
}

/* Unknowns and scaled coefficients of a reading; how many. */
static int row_of(const struct bt_system *sys, const struct sparse *sp, size_t i,
                  int unknown[7], double v[7])
{
    const struct bt_obs *o = &sys->obs[i];
    int count = 0;

    for (int k = 0; k < o->npoint; k++, count++) {
        unknown[count] = (int)o->point[k];
        v[count] = sys->a[4 * i + (size_t)k] * sp->scale[o->point[k]];
    }
    for (int j = 0; o->group >= 0 && j < sys->dim[o->group]; j++, count++) {
        unknown[count] = (int)(sys->n + sys->col[o->group]) + j;
        v[count] = sys->g[3 * i + (size_t)j];
    }
    return count;
}

/*
 * The heights to hold: each in turn the point that the unseen planes, made orthogonal
 * to those held before, move most.
 */
static enum bt_status choose_held(const struct bt_system *sys, size_t held[3])
{
    double *f = bt_alloc(sys->nplane * sys->n, sizeof *f);

    if (!f)
        return BT_ENOMEM;
    bt_system_planes(sys, f);
    for (size_t k = 0; k < sys->nplane; k++) {
        double most = -1;
        size_t row = k;
        for (size_t r = k; r < sys->nplane; r++)
            for (size_t p = 0; p < sys->n; p++)
                if (fabs(f[r * sys->n + p]) > most) {
                    most = fabs(f[r * sys->n + p]);
                    held[k] = p;
                    row = r;
                }
        for (size_t p = 0; p < sys->n; p++) {
            const double swap = f[k * sys->n + p];
            f[k * sys->n + p] = f[row * sys->n + p];
            f[row * sys->n + p] = swap;
        }
        for (size_t r = k + 1; r < sys->nplane; r++) {
            const double c = f[r * sys->n + held[k]] / f[k * sys->n + held[k]];
            for (size_t p = 0; p < sys->n; p++)
                f[r * sys->n + p] -= c * f[k * sys->n + p];
        }
    }
    bt_free(f);
    return BT_OK;
}

static void put(cholmod_triplet *t, int i, int j, double x)
{
    ((int *)t->i)[t->nnz] = i > j ? i : j;
    ((int *)t->j)[t->nnz] = i > j ? j : i;
    ((double *)t->x)[t->nnz] = x;
    t->nnz++;
}

static cholmod_sparse *normal_matrix(const struct bt_system *sys, struct sparse *sp,
                                     const size_t held[3])
{
    const size_t most = sys->nobs * 28 + sys->m + 3 * sys->ngroup + sys->nplane;
    cholmod_triplet *t =
        cholmod_allocate_triplet(sp->n, sp->n, most, -1, CHOLMOD_REAL, &sp->common);
    cholmod_sparse *a;

    if (!t)
        return NULL;
    for (size_t i = 0; i < sys->nobs; i++) {
        int unknown[7];
        double v[7];
        const int count = row_of(sys, sp, i, unknown, v);
        for (int r = 0; r < count; r++)
            for (int c = 0; c <= r; c++)
                /* a group's own block is the identity already: rounding stays out */
                if ((size_t)unknown[c] < sys->n)
                    put(t, unknown[r], unknown[c], v[r] * v[c]);
    }
    /* Its zeros are kept as entries: the inverse is needed there. */
    for (size_t g = 0; g < sys->ngroup; g++)
        for (int r = 0; r < sys->dim[g]; r++)
            for (int c = 0; c <= r; c++)
                put(t, (int)(sys->n + sys->col[g]) + r, (int)(sys->n + sys->col[g]) + c,
                    r == c ? 1 : 0);
    for (size_t k = 0; k < sys->nplane; k++)
        put(t, (int)held[k], (int)held[k], 1);
    a = cholmod_triplet_to_sparse(t, t->nnz, &sp->common);
    cholmod_free_triplet(&t, &sp->common);
    return a;
}

static enum bt_status factorise(struct sparse *sp, cholmod_sparse *a)
{
    cholmod_factor *l = cholmod_analyze(a, &sp->common);
    const int *perm;

    sp->l = l;
    if (!l || !cholmod_factorize(a, l, &sp->common) ||
        !cholmod_change_factor(CHOLMOD_REAL, 0, 0, 1, 1, l, &sp->common))
        return BT_ENOMEM;
    if (sp->common.status == CHOLMOD_NOT_POSDEF || l->minor < sp->n)
        return BT_ESINGULAR;
    perm = l->Perm;
    for (size_t k = 0; k < sp->n; k++) {
        sp->where[perm[k]] = (int)k;
        if (!(((const double *)l->x)[((const int *)l->p)[k]] > 0))
            return BT_ESINGULAR;
    }
    return BT_OK;
}

/*
 * Takahashi's recursion, columns from last to first: with L D L^T the factor and rows
 * r, s below the diagonal of column j,
 *     Z_rj = - sum_s Z_rs L_sj,   Z_jj = 1/D_j - sum_r Z_rj L_rj.
 * Every Z_rs needed lies on the pattern, because a column's rows are a clique later.
 */
static enum bt_status selected_inverse(struct sparse *sp)
{
    const int *lp = sp->l->p, *li = sp->l->i, *count = sp->l->nz;
    const double *lx = sp->l->x;
    double *sum = bt_alloc(sp->n, sizeof *sum);
    int *slot = bt_alloc(sp->n, sizeof *slot);
    enum bt_status status = BT_ENOMEM;

    sp->z = bt_alloc((size_t)lp[sp->n], sizeof *sp->z);
    for (size_t col = sp->n; sum && slot && sp->z && col-- > 0;) {
        const int first = lp[col] + 1, last = lp[col] + count[col];
        double diagonal = 1 / lx[lp[col]];
        for (int a = first; a < last; a++) {
            slot[li[a]] = a;
            sum[li[a]] = 0;
        }
        for (int a = first; a < last; a++) {
            const int s = li[a];
            for (int b = lp[s]; b < lp[s] + count[s]; b++) {
                const int r = li[b];
                if (r != s && (slot[r] < first || slot[r] >= last || li[slot[r]] != r))
                    continue;
                sum[r] += sp->z[b] * lx[a];
                if (r != s)
                    sum[s] += sp->z[b] * lx[slot[r]];
            }
        }
        for (int a = first; a < last; a++) {
            sp->z[a] = -sum[li[a]];
            diagonal -= sp->z[a] * lx[a];
        }
        sp->z[lp[col]] = diagonal;
    }
    if (sum && slot && sp->z)
        status = BT_OK;
    bt_free(sum);
    bt_free(slot);
    return status;
}

/* An entry of the inverse, by columns of the factor; rows are sorted. */
static double entry(const struct sparse *sp, int i, int j)
{
    const int *lp = sp->l->p, *li = sp->l->i, *count = sp->l->nz;
    const int col = i < j ? i : j, row = i < j ? j : i;
    int low = lp[col], high = lp[col] + count[col] - 1;

    while (low < high) {
        const int middle = low + (high - low) / 2;
        if (li[middle] < row)
            low = middle + 1;
        else
            high = middle;
    }
    return li[low] == row ? sp->z[low] : 0;
}

static void variances(const struct bt_system *sys, const struct sparse *sp,
                      struct bt_factor *factor)
{
    for (size_t p = 0; p < sys->n; p++)
        factor->variance[p] =
            entry(sp, sp->where[p], sp->where[p]) * sp->scale[p] * sp->scale[p];
    for (size_t i = 0; i < sys->nobs; i++) {
        int unknown[7];
        double v[7], sum = 0;
        const int count = row_of(sys, sp, i, unknown, v);
        for (int r = 0; r < count; r++)
            for (int c = 0; c < count; c++)
                sum += v[r] * v[c] *
                       entry(sp, sp->where[unknown[r]], sp->where[unknown[c]]);
        factor->quadratic[i] = sum;
    }
}

/* x = inverse of the scaled matrix times x. */
static enum bt_status solve_scaled(struct sparse *sp, double x[])
{
    cholmod_dense b = {0}, *out;

    b.nrow = b.nzmax = b.d = sp->n;
    b.ncol = 1;
    b.x = x;
    b.xtype = CHOLMOD_REAL;
    b.dtype = CHOLMOD_DOUBLE;
    out = cholmod_solve(CHOLMOD_A, sp->l, &b, &sp->common);
    if (!out)
        return BT_ENOMEM;
    memcpy(x, out->x, sp->n * sizeof *x);
    cholmod_free_dense(&out, &sp->common);
    return BT_OK;
}

static enum bt_status sparse_solve(const struct bt_system *sys, void *state,
                                   const double bh[], const double bt[], double h[],
                                   double t[])
{
    struct sparse *sp = state;
    double *x = bt_alloc(sp->n, sizeof *x);
    enum bt_status status = BT_ENOMEM;

    if (x) {
        for (size_t p = 0; p < sys->n; p++)
            x[p] = bh[p] * sp->scale[p];
        memcpy(x + sys->n, bt, sys->m * sizeof *x);
        status = solve_scaled(sp, x);
        for (size_t p = 0; p < sys->n; p++)
            h[p] = x[p] * sp->scale[p];
        memcpy(t, x + sys->n, sys->m * sizeof *t);
    }
    bt_free(x);
    return status;
}

/* Smallest eigenvalue by inverse iteration. */
static enum bt_status least_eigenvalue(struct sparse *sp, double *least)
{
    enum { STEPS = 8 };
    double *v = bt_alloc(sp->n, sizeof *v);
    enum bt_status status = v ? BT_OK : BT_ENOMEM;

    for (size_t i = 0; i < sp->n && v; i++)
        v[i] = 1 + fmod((double)i * 0.618033988749895, 1.0);
    for (int step = 0; step < STEPS && status == BT_OK; step++) {
        double length = sqrt(bt_dense_dot(sp->n, v, v));
        for (size_t i = 0; i < sp->n; i++)
            v[i] /= length;
        status = solve_scaled(sp, v);
        if (status == BT_OK)
            *least = 1 / sqrt(bt_dense_dot(sp->n, v, v));
    }
    bt_free(v);
    return status;
}

enum bt_status bt_factor_sparse(const struct bt_system *sys, struct bt_factor *factor)
{
    struct sparse *sp = sparse_alloc(sys);
    cholmod_sparse *a = NULL;
    size_t held[3] = {0};
    enum bt_status status = sp ? BT_OK : BT_ENOMEM;

    factor->state = sp;
    factor->solve = sparse_solve;
    factor->free = sparse_free;
    if (status == BT_OK)
        status = choose_held(sys, held);
    if (status == BT_OK) {
        a = normal_matrix(sys, sp, held);
        status = a ? factorise(sp, a) : BT_ENOMEM;
        cholmod_free_sparse(&a, &sp->common);
    }
    if (status == BT_OK)
        status = least_eigenvalue(sp, &factor->least_eigenvalue);
    if (status == BT_OK && !(factor->least_eigenvalue > sys->null_tolerance))
        status = BT_ESINGULAR;
    if (status == BT_OK)
        status = selected_inverse(sp);
    if (status == BT_OK)
        variances(sys, sp, factor);
    return status;
}
