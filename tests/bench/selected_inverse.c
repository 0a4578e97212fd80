/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "peer_cholmod.h"

/*
 * With L D L^T the factor and rows r, s below the diagonal of column j,
 *     Z_rj = - sum_s Z_rs L_sj,   Z_jj = 1/D_j - sum_r Z_rj L_rj.
 */
double *bench_inverse_columns(const cholmod_factor *l)
{
    const int *lp = l->p, *li = l->i, *count = l->nz;
    const double *lx = l->x;
    double *z = bt_alloc((size_t)lp[l->n], sizeof *z);
    double *sum = bt_alloc(l->n, sizeof *sum), *of = bt_alloc(l->n, sizeof *of);
    bool *has = bt_alloc(l->n, sizeof *has);

    if (!z || !sum || !of || !has) {
        bt_free(z);
        z = NULL;
    }
    for (size_t col = l->n; z && col-- > 0;) {
        const int first = lp[col] + 1, last = lp[col] + count[col];
        double diagonal = 1 / lx[lp[col]];

        for (int a = first; a < last; a++) {
            has[li[a]] = true;
            sum[li[a]] = 0;
            of[li[a]] = lx[a];
        }
        for (int a = first; a < last; a++) {
            const int s = li[a];
            const double f = lx[a];
            double own = z[lp[s]] * f;
            for (int b = lp[s] + 1; b < lp[s] + count[s]; b++) {
                const int r = li[b];
                if (!has[r])
                    continue;
                sum[r] += z[b] * f;
                own += z[b] * of[r];
            }
            sum[s] += own;
        }
        for (int a = first; a < last; a++) {
            has[li[a]] = false;
            z[a] = -sum[li[a]];
            diagonal -= z[a] * lx[a];
        }
        z[lp[col]] = diagonal;
    }
    bt_free(sum);
    bt_free(of);
    bt_free(has);
    return z;
}

/* Lower triangle of the inverse of L L^T, L lower [n*n] with leading dimension ld;
 * inv[n*n] is left with L^-1. */
static void invert_square(size_t n, size_t ld, const double l[], double inv[],
                          double z[])
{
    for (size_t c = 0; c < n; c++)
        for (size_t r = 0; r < n; r++) {
            double sum = r == c ? 1 : 0;
            for (size_t k = c; k < r; k++)
                sum -= l[r + k * ld] * inv[k + c * n];
            inv[r + c * n] = r < c ? 0 : sum / l[r + r * ld];
        }
    for (size_t c = 0; c < n; c++)
        for (size_t r = c; r < n; r++) {
            double sum = 0;
            for (size_t k = r; k < n; k++)
                sum += inv[k + r * n] * inv[k + c * n];
            z[r + c * ld] = sum;
        }
}

struct gather {
    double *full; /* Z over the rows below a supernode, both triangles */
    double *y;    /* L below times the inverse of L's square */
    double *inv;
    int *where; /* [n] place of a row in the supernode at hand */
    int *super; /* [n] supernode of a column */
};

static void gather_rows(const cholmod_factor *l, const double z[], const int rows[],
                        size_t n, struct gather *w)
{
    const int *super = l->super, *pi = l->pi, *px = l->px, *ls = l->s;
    int at = -1;

    for (size_t c = 0; c < n; c++) {
        const int k = w->super[rows[c]];
        const int height = pi[k + 1] - pi[k];
        const double *col = z + px[k] + (ptrdiff_t)(rows[c] - super[k]) * height;
        if (k != at)
            for (int r = 0; r < height; r++)
                w->where[ls[pi[k] + r]] = r;
        at = k;
        for (size_t r = c; r < n; r++)
            w->full[c * n + r] = w->full[r * n + c] = col[w->where[rows[r]]];
    }
}

/*
 * A supernode at a time, last first: J its columns, R the rows below,
 *     Y = L_RJ L_JJ^-1,  Z_RJ = -Z_RR Y,  Z_JJ = (L_JJ L_JJ^T)^-1 - Y^T Z_RJ.
 */
static void invert_supernode(const cholmod_factor *l, int k, double z[],
                             struct gather *w)
{
    const int *super = l->super, *pi = l->pi, *px = l->px;
    const size_t cols = (size_t)(super[k + 1] - super[k]);
    const size_t ld = (size_t)(pi[k + 1] - pi[k]), below = ld - cols;
    const double *lx = (const double *)l->x + px[k];
    double *zx = z + px[k];

    invert_square(cols, ld, lx, w->inv, zx);
    if (!below)
        return;
    gather_rows(l, z, (const int *)l->s + pi[k] + cols, below, w);
    for (size_t c = 0; c < cols; c++) {
        double *y = w->y + c * below, *out = zx + c * ld + cols;
        memset(y, 0, below * sizeof *y);
        for (size_t m = c; m < cols; m++) {
            const double f = w->inv[m + c * cols], *in = lx + m * ld + cols;
            for (size_t r = 0; r < below; r++)
                y[r] += f * in[r];
        }
        memset(out, 0, below * sizeof *out);
        for (size_t s = 0; s < below; s++) {
            const double *restrict col = w->full + s * below;
            for (size_t r = 0; r < below; r++)
                out[r] -= col[r] * y[s];
        }
    }
    for (size_t c = 0; c < cols; c++)
        for (size_t r = c; r < cols; r++)
            for (size_t s = 0; s < below; s++)
                zx[r + c * ld] -= w->y[r * below + s] * zx[c * ld + cols + s];
}

double *bench_inverse_supernodes(const cholmod_factor *l)
{
    const int *super = l->super, *pi = l->pi;
    size_t below = 0, cols = 0;
    struct gather w = {0};
    double *z = bt_alloc(l->xsize, sizeof *z);

    for (size_t k = 0; k < l->nsuper; k++) {
        const size_t c = (size_t)(super[k + 1] - super[k]);
        const size_t r = (size_t)(pi[k + 1] - pi[k]) - c;
        cols = c > cols ? c : cols;
        below = r > below ? r : below;
    }
    w.full = bt_alloc(below * below, sizeof *w.full);
    w.y = bt_alloc(below * cols, sizeof *w.y);
    w.inv = bt_alloc(cols * cols, sizeof *w.inv);
    w.where = bt_alloc(l->n, sizeof *w.where);
    w.super = bt_alloc(l->n, sizeof *w.super);
    if (!z || !w.full || !w.y || !w.inv || !w.where || !w.super) {
        bt_free(z);
        z = NULL;
    }
    for (size_t k = 0; z && k < l->nsuper; k++)
        for (int c = super[k]; c < super[k + 1]; c++)
            w.super[c] = (int)k;
    for (size_t k = l->nsuper; z && k-- > 0;)
        invert_supernode(l, (int)k, z, &w);
    bt_free(w.full);
    bt_free(w.y);
    bt_free(w.inv);
    bt_free(w.where);
    bt_free(w.super);
    return z;
}

double bench_inverse_entry(const cholmod_factor *l, const double z[], const int super[],
                           int i, int j)
{
    const int col = i < j ? i : j, row = i < j ? j : i;
    const int k = l->is_super ? super[col] : col;
    const int *rows = l->is_super ? (const int *)l->s + ((const int *)l->pi)[k]
                                  : (const int *)l->i + ((const int *)l->p)[k];
    const int height = l->is_super
                           ? ((const int *)l->pi)[k + 1] - ((const int *)l->pi)[k]
                           : ((const int *)l->nz)[k];
    int low = 0, high = height - 1;

    while (low < high) {
        const int middle = low + (high - low) / 2;
        if (rows[middle] < row)
            low = middle + 1;
        else
            high = middle;
    }
    return l->is_super ? z[((const int *)l->px)[k] +
                           (ptrdiff_t)(col - ((const int *)l->super)[k]) * height + low]
                       : z[((const int *)l->p)[k] + low];
}
