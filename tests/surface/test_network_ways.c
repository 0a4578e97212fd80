/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * All ways of solving agree with each other and with the singular value decomposition
 * of the whole weighted matrix, on random mixtures of readings.
 */
#include <criterion/criterion.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "benchtrue/surface/network.h"
#include "support/builder.h"
#include "surface/network_private.h"

static void quiet_gsl(void)
{
    gsl_set_error_handler_off();
}

TestSuite(network_ways, .init = quiet_gsl);

static double wavy(double x, double y)
{
    return 0.4 * sin(x / 210) - 0.3 * cos(y / 130) + 1e-6 * x * y - 2e-4 * x;
}

static struct bt_network *adjusted(const struct bt_readings *r)
{
    struct bt_network *net = NULL;
    struct bt_error err = {0};

    cr_assert_eq(bt_network_adjust(r, &net, &err), BT_OK, "%s", err.message);
    return net;
}

static void add_noise(struct builder *b, double share, unsigned long long *seed)
{
    for (size_t i = 0; i < b->r.nobs; i++)
        b->r.obs[i].value += share * b->r.obs[i].u * builder_normal(seed);
}

/* -- random mixtures --------------------------------------------------------------- */

enum { NX = 6, NY = 4, SCHEMES = 60 };

static size_t below(unsigned long long *seed, size_t n)
{
    return (size_t)(builder_uniform(seed) * (double)n);
}

static struct bt_point place(size_t i, size_t j)
{
    return (struct bt_point){37 + 150 * (double)i, 12 + 180 * (double)j};
}

/* Uncertainties over three decades, weights over six. */
static void draw_u(struct builder *b, bool spread, unsigned long long *seed)
{
    b->u = spread ? 0.1 * pow(10, -3 * builder_uniform(seed)) : 0.02;
}

/* A line in some direction; some places left out, some read twice. */
static void ragged_line(struct builder *b, unsigned long long *seed)
{
    static const int step[5][2] = {{1, 0}, {0, 1}, {1, 1}, {1, -1}, {2, 1}};
    const size_t way = below(seed, 5);
    int i = (int)below(seed, NX), j = (int)below(seed, NY);
    struct bt_point p[32];
    size_t n = 0;

    while (i - step[way][0] >= 0 && j - step[way][1] >= 0 && j - step[way][1] < NY) {
        i -= step[way][0];
        j -= step[way][1];
    }
    for (; i < NX && j >= 0 && j < NY; i += step[way][0], j += step[way][1]) {
        if (builder_uniform(seed) < 0.2)
            continue;
        p[n++] = place((size_t)i, (size_t)j);
        if (n > 1 && builder_uniform(seed) < 0.15) {
            p[n] = p[n - 1];
            n++;
        }
    }
    if (n >= 2 && (p[0].x != p[n - 1].x || p[0].y != p[n - 1].y))
        builder_line(b, n, p);
}

static void some_heights(struct builder *b, unsigned long long *seed)
{
    static const int dims[3] = {0, 1, 3};
    const int dim = dims[below(seed, 3)];
    struct bt_point p[NX * NY];
    size_t n = 0;

    for (size_t i = 0; i < NX; i++)
        for (size_t j = 0; j < NY; j++)
            if (builder_uniform(seed) < 0.35)
                p[n++] = place(i, j);
    if (n)
        builder_heights(b, dim, n, p);
}

static void some_bars(struct builder *b, unsigned long long *seed)
{
    const int group = builder_uniform(seed) < 0.5 ? BT_NO_GROUP : builder_group(b, 1);

    for (int k = 0; k < 8; k++) {
        const size_t i = below(seed, NX - 2), j = below(seed, NY - 2);
        if (builder_uniform(seed) < 0.5)
            builder_bar(b, group, place(i, j), place(i + 1, j), place(i + 2, j));
        else
            builder_bar(b, group, place(i, j), place(i + 1, j + 1),
                        place(i + 2, j + 2));
    }
}

static void some_slopes(struct builder *b, unsigned long long *seed)
{
    const int group = builder_uniform(seed) < 0.5 ? BT_NO_GROUP : builder_group(b, 1);
    const double u = b->u;

    b->u = u / 1000;
    for (int k = 0; k < 10; k++) {
        const size_t i = below(seed, NX - 1), j = below(seed, NY - 1);
        if (builder_uniform(seed) < 0.5)
            builder_slope(b, group, place(i, j), place(i + 1, j));
        else
            builder_slope(b, group, place(i, j + 1), place(i, j));
    }
    b->u = u;
}

static void some_winds(struct builder *b, unsigned long long *seed)
{
    for (int k = 0; k < 3; k++) {
        const size_t i = below(seed, NX - 1), j = below(seed, NY - 1);
        const struct bt_point p = place(i, j), q = place(i + 1, j + 1);
        builder_wind(b, p.x, q.x, p.y, q.y, 400);
    }
}

/* Rows and columns in full, and one diagonal: nothing stays unseen. */
static void whole_grid(struct builder *b)
{
    for (size_t j = 0; j < NY; j++)
        builder_run(b, place(0, j), place(NX - 1, j), NX);
    for (size_t i = 0; i < NX; i++)
        builder_run(b, place(i, 0), place(i, NY - 1), NY);
    builder_run(b, place(1, 0), place(NY, NY - 1), NY);
}

/* Scheme k: every third of lines alone, every fourth with the whole grid beneath. */
static void mixture(struct builder *b, int k)
{
    unsigned long long seed = 1000 + 77ULL * (unsigned long long)k;
    const bool lines = k % 3 == 0, spread = k % 2 == 1;

    builder_init(b, 0.02, wavy);
    if (k % 4 == 0 || k % 4 == 3)
        whole_grid(b);
    for (int round = 0; round < 3 + k % 7; round++) {
        const size_t what = lines ? below(&seed, 2) : below(&seed, 5);
        draw_u(b, spread, &seed);
        if (what == 1 && lines && builder_uniform(&seed) < 0.6)
            some_heights(b, &seed);
        else if (what == 1 && !lines)
            some_heights(b, &seed);
        else if (what == 2)
            some_bars(b, &seed);
        else if (what == 3)
            some_slopes(b, &seed);
        else if (what == 4)
            some_winds(b, &seed);
        else
            ragged_line(b, &seed);
    }
    add_noise(b, 1, &seed);
}

/* -- the dense computation --------------------------------------------------------- */

struct dense {
    size_t rows, cols, rank;
    double *left, *right, *singular, *scale; /* scale: of the columns */
    double *x, *redundancy, *residual;
    double vtpv;
};

static void dense_matrix(const struct bt_readings *r, struct dense *d)
{
    size_t *col = calloc(r->ngroup + 1, sizeof *col);

    d->cols = r->npoint;
    for (size_t g = 0; g < r->ngroup; g++) {
        col[g] = d->cols;
        d->cols += (size_t)r->group[g].dim;
    }
    d->rows = r->nobs > d->cols ? r->nobs : d->cols;
    d->left = calloc(d->rows * d->cols, sizeof *d->left);
    d->scale = calloc(d->cols, sizeof *d->scale);
    for (size_t i = 0; i < r->nobs; i++) {
        const struct bt_obs *o = &r->obs[i];
        for (int k = 0; k < o->npoint; k++)
            d->left[i * d->cols + o->point[k]] = o->coef[k] / o->u;
        for (int k = 0; o->group >= 0 && k < r->group[o->group].dim; k++)
            d->left[i * d->cols + col[o->group] + (size_t)k] = o->basis[k] / o->u;
    }
    for (size_t c = 0; c < d->cols; c++) {
        double square = 0;
        for (size_t i = 0; i < d->rows; i++)
            square += d->left[i * d->cols + c] * d->left[i * d->cols + c];
        d->scale[c] = square > 0 ? 1 / sqrt(square) : 1;
        for (size_t i = 0; i < d->rows; i++)
            d->left[i * d->cols + c] *= d->scale[c];
    }
    free(col);
}

static void dense_solve(const struct bt_readings *r, struct dense *d)
{
    d->x = calloc(d->cols, sizeof *d->x);
    d->redundancy = calloc(r->nobs, sizeof *d->redundancy);
    d->residual = calloc(r->nobs, sizeof *d->residual);
    for (size_t i = 0; i < r->nobs; i++) {
        d->redundancy[i] = 1;
        d->residual[i] = r->obs[i].value / r->obs[i].u;
    }
    for (size_t k = 0; k < d->rank; k++) {
        double along = 0;
        for (size_t i = 0; i < r->nobs; i++)
            along += d->left[i * d->cols + k] * r->obs[i].value / r->obs[i].u;
        for (size_t i = 0; i < r->nobs; i++) {
            const double q = d->left[i * d->cols + k];
            d->redundancy[i] -= q * q;
            d->residual[i] -= along * q;
        }
        for (size_t c = 0; c < d->cols; c++)
            d->x[c] += d->scale[c] * d->right[c * d->cols + k] * along / d->singular[k];
    }
    d->vtpv = 0;
    for (size_t i = 0; i < r->nobs; i++) {
        d->vtpv += d->residual[i] * d->residual[i];
        d->residual[i] *= r->obs[i].u;
    }
}

static void dense_init(const struct bt_readings *r, struct dense *d)
{
    gsl_matrix_view a, v;
    gsl_vector_view s, work;
    double *room;

    dense_matrix(r, d);
    d->right = calloc(d->cols * d->cols, sizeof *d->right);
    d->singular = calloc(d->cols, sizeof *d->singular);
    a = gsl_matrix_view_array(d->left, d->rows, d->cols);
    v = gsl_matrix_view_array(d->right, d->cols, d->cols);
    s = gsl_vector_view_array(d->singular, d->cols);
    room = calloc(d->cols, sizeof *room);
    work = gsl_vector_view_array(room, d->cols);
    cr_assert_eq(gsl_linalg_SV_decomp(&a.matrix, &v.matrix, &s.vector, &work.vector),
                 GSL_SUCCESS);
    free(room);
    d->rank = 0;
    while (d->rank < d->cols && d->singular[d->rank] > 1e-9 * d->singular[0])
        d->rank++;
    /* a doubtful rank would make the comparison say nothing */
    cr_assert(d->singular[d->rank - 1] > 1e-7 * d->singular[0]);
    cr_assert(d->rank == d->cols || d->singular[d->rank] < 1e-13 * d->singular[0]);
    dense_solve(r, d);
}

static void dense_clear(struct dense *d)
{
    free(d->left);
    free(d->right);
    free(d->singular);
    free(d->scale);
    free(d->x);
    free(d->redundancy);
    free(d->residual);
}

/* c . h, its u, and whether it is seen. */
static bool dense_figure(const struct dense *d, size_t n, const double c[],
                         double *value, double *u)
{
    double open = 0, length = 0, variance = 0;

    *value = 0;
    for (size_t p = 0; p < n; p++) {
        *value += c[p] * d->x[p];
        length += c[p] * c[p] * d->scale[p] * d->scale[p];
    }
    for (size_t k = 0; k < d->cols; k++) {
        double along = 0;
        for (size_t p = 0; p < n; p++)
            along += c[p] * d->scale[p] * d->right[p * d->cols + k];
        if (k < d->rank)
            variance += along * along / (d->singular[k] * d->singular[k]);
        else
            open += along * along;
    }
    *u = sqrt(variance);
    return sqrt(open) <= 1e-8 * sqrt(length);
}

/* Coefficients of the height of point p relative to the plane. */
static void relative(const struct bt_network *net, size_t p, double c[])
{
    memset(c, 0, net->npoint * sizeof *c);
    c[p] = 1;
    cr_assert_eq(bt_network_take_off_plane(net, c), BT_OK);
}

static void compare_figures(int k, const struct bt_network *net, const struct dense *d)
{
    double c[NX * NY], z[NX * NY], uz[NX * NY];

    cr_assert_eq(bt_network_heights(net, z, uz, NULL), BT_OK);
    for (size_t p = 0; p < net->npoint; p++) {
        double value, u, want, want_u;
        bool seen, want_seen;
        relative(net, p, c);
        want_seen = dense_figure(d, net->npoint, c, &want, &want_u);
        cr_assert_eq(bt_network_figure(net, c, &value, &u, &seen), BT_OK);
        cr_assert_eq(seen, want_seen, "scheme %d point %zu", k, p);
        cr_assert_eq(seen, bt_network_sees(net, c));
        if (seen) {
            cr_expect(fabs(value - want) <= 1e-9, "scheme %d point %zu: %.13g %.13g", k,
                      p, value, want);
            cr_expect(fabs(u - want_u) <= 1e-8 * want_u + 1e-10,
                      "scheme %d point %zu: u %.13g %.13g", k, p, u, want_u);
            cr_expect(fabs(z[p] - value) <= 1e-10, "scheme %d point %zu", k, p);
            cr_expect(fabs(uz[p] - u) <= 1e-8 * u + 1e-8, "scheme %d point %zu: %.13g",
                      k, p, uz[p] - u);
        } else {
            cr_expect(isnan(value) && isnan(u) && isnan(z[p]) && isnan(uz[p]),
                      "scheme %d point %zu is unseen", k, p);
        }
    }
}

Test(network_ways, random_mixtures_agree_with_a_dense_singular_value_decomposition)
{
    size_t whole = 0;

    for (int k = 0; k < SCHEMES; k++) {
        struct builder b;
        struct dense d;
        struct bt_network *net;
        double sum = 0;

        mixture(&b, k);
        net = adjusted(&b.r);
        dense_init(&b.r, &d);
        cr_assert_eq(net->rank, d.rank, "scheme %d: rank %zu, want %zu", k, net->rank,
                     d.rank);
        cr_expect_eq(net->dof, b.r.nobs - d.rank, "scheme %d", k);
        cr_expect(fabs(net->vtpv - d.vtpv) <= 1e-8 * (1 + d.vtpv), "scheme %d: vtpv %g",
                  k, net->vtpv - d.vtpv);
        for (size_t i = 0; i < net->nobs; i++) {
            cr_expect(fabs(net->residual[i] - d.residual[i]) <= 1e-7 * b.r.obs[i].u,
                      "scheme %d reading %zu: residual %g", k, i,
                      (net->residual[i] - d.residual[i]) / b.r.obs[i].u);
            cr_expect(fabs(net->redundancy[i] - d.redundancy[i]) <= 2e-9,
                      "scheme %d reading %zu: redundancy %g", k, i,
                      net->redundancy[i] - d.redundancy[i]);
            sum += net->redundancy[i];
        }
        cr_expect(fabs(sum - (double)net->dof) <= 1e-8, "scheme %d: sum %.12g of %zu",
                  k, sum, net->dof);
        compare_figures(k, net, &d);
        whole += net->nshape == net->nplane;
        dense_clear(&d);
        bt_network_free(net);
        builder_clear(&b);
    }
    /* the schemes are of both sorts */
    cr_expect(whole > SCHEMES / 5 && whole < SCHEMES * 4 / 5, "%zu", whole);
}

/* -- the ways of solving ----------------------------------------------------------- */

enum { WAY_LINES, WAY_WHOLE, WAY_SPARSE, WAY_EIGEN, WAYS };

struct way {
    enum bt_status status;
    size_t nshape;
    double z[NX * NY], u[NX * NY]; /* relative to the plane */
    double quadratic[400];
};

static void run_way(const struct bt_network *net, const struct bt_system *sys,
                    int which, struct way *out)
{
    struct bt_factor f = {0};
    double *work = calloc(2 * sys->n + 3 * sys->m + 1, sizeof *work);
    double *bh = work, *h = bh + sys->n, *bt = h + sys->n, *t = bt + sys->m,
           *zero = t + sys->m, c[NX * NY], q[NX * NY];

    cr_assert(sys->nobs <= sizeof out->quadratic / sizeof *out->quadratic);
    f.variance = bt_alloc(sys->n, sizeof *f.variance);
    f.quadratic = bt_alloc(sys->nobs, sizeof *f.quadratic);
    out->status = which == WAY_SPARSE  ? bt_factor_sparse(sys, &f)
                  : which == WAY_EIGEN ? bt_factor_eigen(sys, &f)
                                       : bt_factor_lines(sys, which == WAY_WHOLE, &f);
    if (out->status == BT_OK) {
        for (size_t i = 0; i < sys->nobs; i++) {
            const struct bt_obs *o = &sys->obs[i];
            for (int k = 0; k < o->npoint; k++)
                bh[o->point[k]] += sys->a[4 * i + (size_t)k] * sys->y[i];
            for (int k = 0; o->group >= 0 && k < sys->dim[o->group]; k++)
                bt[sys->col[o->group] + (size_t)k] +=
                    sys->g[3 * i + (size_t)k] * sys->y[i];
        }
        cr_assert_eq(f.solve(sys, f.state, bh, bt, h, t), BT_OK);
        out->nshape = f.nshape;
        memcpy(out->quadratic, f.quadratic, sys->nobs * sizeof *f.quadratic);
        for (size_t p = 0; p < sys->n; p++) {
            relative(net, p, c);
            cr_assert_eq(f.solve(sys, f.state, c, zero, q, t), BT_OK);
            out->z[p] = out->u[p] = 0;
            for (size_t i = 0; i < sys->n; i++) {
                out->z[p] += c[i] * h[i];
                out->u[p] += c[i] * q[i];
            }
            out->u[p] = sqrt(fmax(0, out->u[p]));
        }
    }
    if (f.free)
        f.free(f.state);
    bt_free(f.variance);
    bt_free(f.quadratic);
    bt_free(f.shape);
    free(work);
}

static void compare_ways(int k, const char *name, const struct bt_network *net,
                         const struct way *way, const struct way *want)
{
    double c[NX * NY];

    for (size_t i = 0; i < net->nobs; i++)
        cr_expect(fabs(way->quadratic[i] - want->quadratic[i]) <= 1e-8,
                  "scheme %d %s: redundancy of %zu off by %g", k, name, i,
                  way->quadratic[i] - want->quadratic[i]);
    for (size_t p = 0; p < net->npoint; p++) {
        relative(net, p, c);
        if (!bt_network_sees(net, c))
            continue;
        cr_expect(fabs(way->z[p] - want->z[p]) <= 1e-7,
                  "scheme %d %s: z of %zu off by %g", k, name, p,
                  way->z[p] - want->z[p]);
        cr_expect(fabs(way->u[p] - want->u[p]) <= 1e-8,
                  "scheme %d %s: u of %zu off by %g", k, name, p,
                  way->u[p] - want->u[p]);
    }
}

Test(network_ways, every_way_of_solving_gives_the_same_heights_u_and_redundancies)
{
    static const char *const names[WAYS] = {"lines", "whole", "sparse", "eigen"};
    static struct way way[WAYS]; /* too large for some stacks */
    size_t compared[WAYS] = {0};

    for (int k = 0; k < SCHEMES; k++) {
        struct builder b;
        struct bt_system sys;
        struct bt_network *net;

        mixture(&b, k);
        net = adjusted(&b.r);
        cr_assert_eq(bt_system_build(&b.r, &sys, NULL), BT_OK);
        for (int w = 0; w < WAYS; w++) {
            if (w <= WAY_WHOLE && !sys.single)
                continue;
            run_way(net, &sys, w, &way[w]);
        }
        cr_assert_eq(way[WAY_EIGEN].status, BT_OK);
        cr_expect_eq(way[WAY_EIGEN].nshape, net->nshape - net->nplane, "scheme %d", k);
        for (int w = 0; w < WAY_EIGEN; w++) {
            if (w <= WAY_WHOLE && !sys.single)
                continue;
            /* only the ways through eigenvalues go on where a shape is unseen */
            cr_expect_eq(way[w].status == BT_OK,
                         w == WAY_WHOLE || way[WAY_EIGEN].nshape == 0,
                         "scheme %d %s: status %d", k, names[w], (int)way[w].status);
            cr_expect(way[w].status == BT_OK || way[w].status == BT_ESINGULAR);
            if (way[w].status != BT_OK)
                continue;
            compare_ways(k, names[w], net, &way[w], &way[WAY_EIGEN]);
            compared[w]++;
        }
        bt_system_clear(&sys);
        bt_network_free(net);
        builder_clear(&b);
    }
    for (int w = 0; w < WAY_EIGEN; w++)
        cr_expect(compared[w] >= 5, "%s: %zu compared", names[w], compared[w]);
}

/* -- more readings ----------------------------------------------------------------- */

Test(network_ways, one_more_reading_never_raises_a_u)
{
    struct builder b;
    unsigned long long seed = 11;
    double before[NX * NY], z[NX * NY], u[NX * NY];
    const int first = 7;
    size_t gained = 0;

    builder_init(&b, 0.02, wavy);
    for (size_t j = 0; j < NY; j++)
        builder_run(&b, place(0, j), place(NX - 1, j), NX);
    for (size_t i = 0; i < NX; i++)
        builder_run(&b, place(i, 0), place(i, NY - 1), NY);
    for (size_t p = 0; p < NX * NY; p++)
        before[p] = NAN;
    for (int round = 0; round < 2 * first; round++) {
        struct bt_network *net = adjusted(&b.r);
        cr_assert_eq(bt_network_heights(net, z, u, NULL), BT_OK);
        for (size_t p = 0; p < net->npoint; p++) {
            gained += isnan(before[p]) && !isnan(u[p]);
            cr_expect(isnan(before[p]) || u[p] <= before[p] * (1 + 1e-9),
                      "round %d point %zu: %.12g after %.12g", round, p, u[p],
                      before[p]);
            before[p] = u[p];
        }
        bt_network_free(net);
        draw_u(&b, true, &seed);
        if (round % 2)
            some_slopes(&b, &seed);
        else
            ragged_line(&b, &seed);
    }
    cr_expect_eq(gained, NX * NY); /* the twist was unseen at first */
    builder_clear(&b);
}
