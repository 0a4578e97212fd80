/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/surface/draws.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_statistics_double.h>
#include <math.h>
#include <pthread.h>
#include <stdatomic.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "surface/draws_private.h"

static const double share = 0.95;

/* Draws that are to lie beyond a point, for it to be steady. */
static const double beyond = 10;

/* Halvings that bring a bound to the last digit. */
enum { HALVINGS = 60 };

/* What one thread works in. */
struct worker {
    struct work *work;
    pthread_t thread;
    bool started;
    double *g, *h, *gap; /* [rank], [n], [2 nedge], each [LANES] */
    struct draws_zone_work zone;
};

/* Everything that is made once, and the results of each draw. */
struct work {
    size_t n, draws, nedge;
    uint64_t seed;
    double confidence;
    bool want_range, want_zone;
    struct draws_noise noise;
    struct draws_zone zone;
    struct draws_edge *edge;
    double *range, *width; /* [draws] */
    double *both, *alone;  /* [nedge][draws] */
    size_t nworker;
    struct worker worker[BT_DRAWS_THREADS];
    atomic_size_t next; /* the next block that nobody has taken */
};

/* ---- one block ---- */

static void take_range(const struct work *w, const double h[], size_t from, size_t m)
{
    for (size_t lane = 0; lane < m; lane++) {
        double low = h[lane], high = h[lane];

        for (size_t i = 1; i < w->n; i++) {
            const double z = h[i * LANES + lane];
            low = z < low ? z : low;
            high = z > high ? z : high;
        }
        w->range[from + lane] = high - low;
    }
}

static void take_zone(const struct work *w, struct worker *me, size_t from, size_t m)
{
    for (size_t lane = 0; lane < m; lane++) {
        for (size_t i = 0; i < w->n; i++)
            me->zone.h[i] = me->h[i * LANES + lane];
        w->width[from + lane] = draws_zone_width(&w->zone, &me->zone);
    }
}

static void keep_larger(double to[LANES], const double of[LANES])
{
    for (size_t lane = 0; lane < LANES; lane++)
        to[lane] = of[lane] > to[lane] ? of[lane] : to[lane];
}

/* The gaps of figure e, up and down; of those before it they are there already. */
static void gaps_of(const struct work *w, size_t e, const double h[], double gap[])
{
    double *up = gap + 2 * e * LANES, *down = up + LANES;

    draws_edge_gaps(&w->edge[e], h, up, down);
    for (size_t k = 1; k <= w->edge[e].together; k++) {
        keep_larger(up, up - 2 * k * LANES);
        keep_larger(down, down - 2 * k * LANES);
    }
}

static void take_edges(const struct work *w, struct worker *me, size_t from, size_t m)
{
    for (size_t e = 0; e < w->nedge; e++) {
        const double *up = me->gap + 2 * e * LANES, *down = up + LANES;

        gaps_of(w, e, me->h, me->gap);
        for (size_t lane = 0; lane < m; lane++) {
            w->alone[e * w->draws + from + lane] = up[lane];
            w->both[e * w->draws + from + lane] = fmax(up[lane], down[lane]);
        }
    }
}

static void draw_block(const struct work *w, struct worker *me, size_t block)
{
    const size_t from = block * LANES;
    const size_t m = w->draws - from < LANES ? w->draws - from : LANES;
    struct bt_random random;

    bt_random_start(&random, w->seed, block);
    bt_random_normals(&random, w->noise.rank * LANES, me->g);
    draws_noise_apply(&w->noise, me->g, me->h);
    if (w->want_range)
        take_range(w, me->h, from, m);
    if (w->want_zone)
        take_zone(w, me, from, m);
    take_edges(w, me, from, m);
}

/* ---- threads ---- */

static void *draw_blocks(void *worker)
{
    struct worker *me = worker;
    struct work *w = me->work;
    const size_t blocks = (w->draws + LANES - 1) / LANES;

    for (size_t b; (b = atomic_fetch_add(&w->next, 1)) < blocks;)
        draw_block(w, me, b);
    return NULL;
}

static void draw_all(struct work *w)
{
    atomic_init(&w->next, 0);
    for (size_t k = 1; k < w->nworker; k++) {
        struct worker *other = &w->worker[k];
        other->started = !pthread_create(&other->thread, NULL, draw_blocks, other);
    }
    draw_blocks(&w->worker[0]);
    for (size_t k = 1; k < w->nworker; k++)
        if (w->worker[k].started)
            pthread_join(w->worker[k].thread, NULL);
}

/* All memory is taken before the threads start. */
static bool make_workers(struct work *w, unsigned threads)
{
    w->nworker = threads ? threads : 2;
    for (size_t k = 0; k < w->nworker; k++) {
        struct worker *me = &w->worker[k];

        me->work = w;
        me->g = bt_alloc(w->noise.rank * LANES, sizeof *me->g);
        me->h = bt_alloc(w->n * LANES, sizeof *me->h);
        me->gap = bt_alloc(2 * w->nedge * LANES, sizeof *me->gap);
        if (!me->g || !me->h || !me->gap ||
            (w->want_zone && !draws_zone_work_make(&w->zone, &me->zone)))
            return false;
    }
    return true;
}

/* ---- all draws ---- */

static enum bt_status check(const struct bt_draws_request *r, struct bt_error *err)
{
    if (r->n < 3 || r->n > BT_DRAWS_POINTS)
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "noise is drawn for 3 to %d points, not %zu",
                            (int)BT_DRAWS_POINTS, r->n);
    if (r->draws && (r->draws < BT_DRAWS_LEAST || r->draws > BT_DRAWS_MOST))
        return bt_error_set(err, BT_EINPUT, 0, 0, "%zu draws, not %d to %d", r->draws,
                            (int)BT_DRAWS_LEAST, (int)BT_DRAWS_MOST);
    if (r->threads > BT_DRAWS_THREADS)
        return bt_error_set(err, BT_EINPUT, 0, 0, "%u threads, not up to %d",
                            r->threads, (int)BT_DRAWS_THREADS);
    if (!(r->confidence <= 0 && r->confidence >= 0) &&
        !(r->confidence > 0.5 && r->confidence < 1))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "the confidence does not lie between 0.5 and 1");
    for (size_t i = 0; i < r->n; i++)
        if (!isfinite(r->p[i].x) || !isfinite(r->p[i].y))
            return bt_error_set(err, BT_EINPUT, i, 0, "point %zu is not finite", i + 1);
    return BT_OK;
}

static enum bt_status make_edge(const struct bt_draws_request *r, size_t e,
                                struct draws_edge edges[], struct bt_error *err)
{
    struct draws_edge *edge = &edges[e];
    const size_t together = r->edge[e].together;

    if (!together)
        return draws_edge_make(r->n, r->p, &r->edge[e], edge, err);
    if (together > e)
        return bt_error_set(err, BT_EINPUT, e, 0,
                            "%zu figures cannot be taken together, %zu stand before",
                            together, e);
    edge->together = together;
    for (size_t k = 1; k <= together; k++)
        edge->seen = edge->seen || edges[e - k].seen;
    return BT_OK;
}

static enum bt_status make_edges(struct work *w, const struct bt_draws_request *r,
                                 struct bt_error *err)
{
    enum bt_status status = BT_OK;

    w->edge = bt_alloc(r->nedge, sizeof *w->edge);
    if (!w->edge)
        return BT_ENOMEM;
    w->nedge = r->nedge;
    for (size_t e = 0; e < r->nedge && status == BT_OK; e++)
        status = make_edge(r, e, w->edge, err);
    return status;
}

static enum bt_status make(struct work *w, const struct bt_draws_request *r,
                           struct bt_error *err)
{
    size_t planes;
    enum bt_status status =
        draws_noise_make(r->n, r->p, r->covariance, &w->noise, &planes, err);

    if (status == BT_OK && planes < 3 && (w->want_range || w->want_zone))
        status =
            bt_error_set(err, BT_ESINGULAR, 0, 0,
                         "all %zu points lie on one line, which shows no plane", r->n);
    if (status == BT_OK && w->want_zone)
        status = draws_zone_make(r->n, r->p, &w->zone);
    if (status == BT_OK)
        status = make_edges(w, r, err);
    if (status != BT_OK)
        return status;
    w->range = bt_alloc(w->want_range ? w->draws : 0, sizeof *w->range);
    w->width = bt_alloc(w->want_zone ? w->draws : 0, sizeof *w->width);
    w->both = bt_alloc(w->nedge * w->draws, sizeof *w->both);
    w->alone = bt_alloc(w->nedge * w->draws, sizeof *w->alone);
    return w->range && w->width && w->both && w->alone && make_workers(w, r->threads)
               ? BT_OK
               : BT_ENOMEM;
}

static void clear(struct work *w)
{
    for (size_t k = 0; k < w->nworker; k++) {
        bt_free(w->worker[k].g);
        bt_free(w->worker[k].h);
        bt_free(w->worker[k].gap);
        draws_zone_work_clear(&w->worker[k].zone);
    }
    for (size_t e = 0; e < w->nedge; e++)
        draws_edge_clear(&w->edge[e]);
    bt_free(w->edge);
    bt_free(w->range);
    bt_free(w->width);
    bt_free(w->both);
    bt_free(w->alone);
    draws_zone_clear(&w->zone);
    draws_noise_clear(&w->noise);
}

static double or_share(double confidence)
{
    return confidence > 0 ? confidence : share;
}

/* Its rank is counted from 1; see bt_draws_point about the rounding. */
static double rank_of(size_t n, double p)
{
    return ceil(p * ((double)n + 1) * (1 - 1e-14));
}

static struct bt_drawn drawn(const struct work *w, double both[], double alone[])
{
    const double p = w->confidence;

    return (struct bt_drawn){.half = bt_draws_point(w->draws, both, share),
                             .asked = rank_of(w->draws, p) <= (double)w->draws
                                          ? bt_draws_point(w->draws, both, p)
                                          : NAN,
                             .alone = bt_draws_point(w->draws, alone, 0.5),
                             .draws = w->draws};
}

static size_t draws_for(const struct bt_draws_request *r)
{
    const size_t enough = bt_draws_enough(or_share(r->confidence));

    return r->draws ? r->draws
           : enough > BT_DRAWS_DEFAULT
               ? (enough < BT_DRAWS_MOST ? enough : BT_DRAWS_MOST)
               : BT_DRAWS_DEFAULT;
}

enum bt_status bt_draws_run(const struct bt_draws_request *request,
                            struct bt_drawn *range, struct bt_drawn *zone,
                            struct bt_drawn edge[], struct bt_error *err)
{
    struct work w = {.n = request->n,
                     .confidence = or_share(request->confidence),
                     .seed = request->seed,
                     .want_range = range != NULL,
                     .want_zone = zone != NULL};
    enum bt_status status = check(request, err);

    if (status == BT_OK) {
        w.draws = draws_for(request);
        status = make(&w, request, err);
    }
    if (status == BT_OK) {
        draw_all(&w);
        if (range)
            *range = drawn(&w, w.range, w.range);
        if (zone)
            *zone = drawn(&w, w.width, w.width);
        for (size_t e = 0; e < w.nedge; e++)
            edge[e] = w.edge[e].seen
                          ? drawn(&w, w.both + e * w.draws, w.alone + e * w.draws)
                          : (struct bt_drawn){NAN, NAN, w.draws, NAN};
    }
    clear(&w);
    if (status == BT_ENOMEM)
        bt_error_set(err, status, 0, 0, "%s", bt_status_text(status));
    return status;
}

/* ---- order and bound ---- */

double bt_draws_point(size_t n, double v[], double p)
{
    const double rank = rank_of(n, p);
    size_t k = rank > 1 ? (size_t)rank : 1;

    if (!n)
        return NAN;
    k = k < n ? k : n;
    return gsl_stats_select(v, 1, n, k - 1);
}

/* log of the product of P(|n_i| <= t); the largest u most often is that of many. */
static double log_within(size_t n, const double u[], double t)
{
    double sum = 0, last = 0, log_last = 0;

    for (size_t i = 0; i < n; i++) {
        if (!(u[i] > 0))
            continue;
        if (u[i] < last || u[i] > last) {
            last = u[i];
            log_last = log1p(-2 * gsl_cdf_ugaussian_Q(t / last));
        }
        sum += log_last;
    }
    return sum;
}

/* Half width of n heights of one u: the tail that each of them may have, in both
 * directions together. */
static double half_equal(size_t n, double u, double p)
{
    const double tail = -expm1(log(p) / (double)n);

    return n && u > 0 ? 2 * u * gsl_cdf_ugaussian_Qinv(tail / 2) : n ? u : 0;
}

static double half_of(size_t n, const double u[], double p)
{
    double low = 0, high, most = 0;

    for (size_t i = 0; i < n; i++)
        most = u[i] > most ? u[i] : most;
    high = half_equal(n, most, p) / 2;
    for (int k = 0; k < HALVINGS && most > 0; k++) {
        const double middle = (low + high) / 2;
        if (log_within(n, u, middle) >= log(p))
            high = middle;
        else
            low = middle;
    }
    return 2 * high;
}

struct bt_drawn bt_draws_bound_equal(size_t n, double u, double confidence)
{
    return (struct bt_drawn){.half = half_equal(n, u, share),
                             .alone = NAN,
                             .draws = 0,
                             .asked = half_equal(n, u, or_share(confidence))};
}

struct bt_drawn bt_draws_bound(size_t n, const double u[], double confidence)
{
    return (struct bt_drawn){.half = half_of(n, u, share),
                             .alone = NAN,
                             .draws = 0,
                             .asked = half_of(n, u, or_share(confidence))};
}

size_t bt_draws_enough(double confidence)
{
    if (!(confidence < 1))
        return SIZE_MAX;
    /* 1 - 0.999 is a little less than 0.001: ten thousand, not one more */
    return (size_t)ceil(beyond / (1 - confidence) * (1 - 1e-9));
}

struct bt_interval bt_draws_interval(double value, double half)
{
    const double low = value - half;

    return (struct bt_interval){low < 0 ? 0 : low, value + half};
}
