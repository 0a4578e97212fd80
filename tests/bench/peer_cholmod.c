/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "peer_cholmod.h"

#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"

struct peer {
    const struct bench_grid *grid;
    cholmod_common *common;
    size_t n, total; /* heights; heights and two unknowns a line */
    cholmod_sparse *a;
    cholmod_factor *l;
    cholmod_dense *b, *x; /* the readings, then the figures */
    int *where, *super;
    double *z;
};

/* Readings' coefficients: -1, 1 and the place along the edge from -1 to 1. */
static double weight(const struct bt_obs *o)
{
    return 1 / (o->u * o->u);
}

/*
 * Lower triangle by columns, without a detour over triplets: a height's column has its
 * diagonal and two rows a reading; a line's first column has two entries, its second
 * one.  Readings stand by line, so rows come out sorted.
 */
static bool normal_matrix(struct peer *w)
{
    const struct bt_readings *r = &w->grid->readings;
    const size_t entries = w->n + 2 * r->nobs + 3 * r->ngroup;
    int *p, *i, *next = bt_alloc(w->n, sizeof *next);
    double *x;

    w->a = cholmod_allocate_sparse(w->total, w->total, entries, 1, 1, -1, CHOLMOD_REAL,
                                   w->common);
    if (!w->a || !next) {
        bt_free(next);
        return false;
    }
    p = w->a->p;
    i = w->a->i;
    x = w->a->x;
    memset(x, 0, entries * sizeof *x);
    for (size_t k = 0; k < r->nobs; k++)
        next[r->obs[k].point[0]] += 2;
    for (size_t c = 0, at = 0; c < w->total; c++) {
        p[c] = (int)at;
        i[at] = (int)c;
        if (c < w->n) {
            at += 1 + (size_t)next[c];
            next[c] = p[c] + 1;
        } else {
            if ((c - w->n) % 2 == 0)
                i[++at] = (int)c + 1;
            at++;
        }
        p[c + 1] = (int)at;
    }
    for (size_t k = 0; k < r->nobs; k++) {
        const struct bt_obs *o = &r->obs[k];
        const size_t line = w->n + 2 * (size_t)o->group;
        int *at = &next[o->point[0]];
        const double f = weight(o), e = o->edge;
        x[p[o->point[0]]] += f;
        i[*at] = (int)line;
        x[(*at)++] = -f;
        i[*at] = (int)line + 1;
        x[(*at)++] = -f * e;
        x[p[line]] += f;
        x[p[line] + 1] += f * e;
        x[p[line + 1]] += f * e * e;
    }
    for (int k = 0; k < 3; k++)
        x[p[w->grid->pin[k]]] *= 2;
    bt_free(next);
    return true;
}

static bool right_sides(struct peer *w)
{
    const struct bt_readings *r = &w->grid->readings;
    double *b;

    w->b = cholmod_zeros(w->total, 1 + BENCH_FIGURES, CHOLMOD_REAL, w->common);
    if (!w->b)
        return false;
    b = w->b->x;
    for (size_t k = 0; k < r->nobs; k++) {
        const struct bt_obs *o = &r->obs[k];
        const double f = weight(o) * o->value;
        double *line = b + w->n + 2 * (size_t)o->group;
        b[o->point[0]] -= f;
        line[0] += f;
        line[1] += f * o->edge;
    }
    for (size_t k = 0; k < BENCH_FIGURES; k++)
        memcpy(b + (k + 1) * w->total, w->grid->figure + k * w->n, w->n * sizeof *b);
    return true;
}

static bool factorise(struct peer *w)
{
    const int *perm;

    w->l = cholmod_analyze(w->a, w->common);
    if (!w->l || !cholmod_factorize(w->a, w->l, w->common) || w->l->minor < w->total)
        return false;
    w->x = cholmod_solve(CHOLMOD_A, w->l, w->b, w->common);
    w->z =
        w->l->is_super ? bench_inverse_supernodes(w->l) : bench_inverse_columns(w->l);
    w->where = bt_alloc(w->total, sizeof *w->where);
    w->super = bt_alloc(w->total, sizeof *w->super);
    if (!w->x || !w->z || !w->where || !w->super)
        return false;
    perm = w->l->Perm;
    for (size_t k = 0; k < w->total; k++)
        w->where[perm[k]] = (int)k;
    for (size_t k = 0; w->l->is_super && k < w->l->nsuper; k++)
        for (int c = ((int *)w->l->super)[k]; c < ((int *)w->l->super)[k + 1]; c++)
            w->super[c] = (int)k;
    return true;
}

static double inverse(const struct peer *w, size_t i, size_t j)
{
    return bench_inverse_entry(w->l, w->z, w->super, w->where[i], w->where[j]);
}

static void answers(const struct peer *w, struct bench_answer *answer)
{
    const struct bt_readings *r = &w->grid->readings;
    const double *x = w->x->x;
    double vtpv = 0;

    memcpy(answer->height, x, w->n * sizeof *x);
    for (size_t k = 0; k < r->nobs; k++) {
        const struct bt_obs *o = &r->obs[k];
        const size_t p = o->point[0], a = w->n + 2 * (size_t)o->group, b = a + 1;
        const double e = o->edge;
        const double rest = o->value - (x[a] + e * x[b] - x[p]);
        const double cofactor =
            inverse(w, p, p) + inverse(w, a, a) + e * e * inverse(w, b, b) +
            2 * (e * inverse(w, a, b) - inverse(w, p, a) - e * inverse(w, p, b));
        vtpv += weight(o) * rest * rest;
        answer->redundancy[k] = 1 - weight(o) * cofactor;
    }
    answer->sigma0 = sqrt(vtpv / (double)(r->nobs - (w->total - 3)));
    for (size_t k = 0; k < BENCH_FIGURES; k++) {
        const double *c = w->grid->figure + k * w->n, *q = x + (k + 1) * w->total;
        double value = 0, variance = 0;
        for (size_t p = 0; p < w->n; p++) {
            value += c[p] * x[p];
            variance += c[p] * q[p];
        }
        answer->value[k] = value;
        answer->u[k] = sqrt(variance);
    }
}

bool bench_cholmod(const struct bench_grid *grid, cholmod_common *common,
                   struct bench_answer *answer)
{
    struct peer w = {.grid = grid, .common = common, .n = grid->readings.npoint};
    bool done;

    w.total = w.n + 2 * grid->readings.ngroup;
    done = normal_matrix(&w) && right_sides(&w) && factorise(&w);
    if (done)
        answers(&w, answer);
    cholmod_free_sparse(&w.a, common);
    cholmod_free_factor(&w.l, common);
    cholmod_free_dense(&w.b, common);
    cholmod_free_dense(&w.x, common);
    bt_free(w.where);
    bt_free(w.super);
    bt_free(w.z);
    return done;
}
