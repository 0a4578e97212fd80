/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Width of the zone of few points, many times over the same places.  The exchange is
 * that of zone_solve.c, in double precision and with the inverse of its small system
 * carried along; it starts from the best of some fixed groups of four, whose inverses
 * are made once.  The width is believed only with its certificate: no four points prove
 * more than their own levelled error, so that a width no larger than that is the least.
 * What is not proved goes to the general solver.
 */
#include <float.h>
#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "surface/draws_private.h"

enum { FOUR = 4, WIDE = 8, TRIES = 512, PIVOTS = 64 };

/* A group of four may be this much smaller than the largest found. */
static const double small = 1.0 / 16.0;

/* Rounding: of the planes along the exchange, as part of the largest height, and what a
 * width may miss its certificate by. */
static const double slack = 1e-13, proof = 1e-12;

/* A pivot below this is none, in a system of size 1. */
static const double no_pivot = 1e-11;

static void scale_places(size_t n, const struct bt_point p[], struct draws_zone *zone)
{
    double low[2] = {p[0].x, p[0].y}, high[2] = {p[0].x, p[0].y}, half[2];

    for (size_t i = 1; i < n; i++) {
        low[0] = fmin(low[0], p[i].x);
        high[0] = fmax(high[0], p[i].x);
        low[1] = fmin(low[1], p[i].y);
        high[1] = fmax(high[1], p[i].y);
    }
    for (int k = 0; k < 2; k++) {
        half[k] = high[k] / 2 - low[k] / 2;
        half[k] = half[k] > 0 ? half[k] : 1;
    }
    for (size_t i = 0; i < zone->room; i++) {
        const struct bt_point *at = &p[i < n ? i : 0];
        zone->u[i] = (at->x - low[0]) / half[0] - 1;
        zone->v[i] = (at->y - low[1]) / half[1] - 1;
    }
}

static double area(const struct draws_zone *zone, size_t a, size_t b, size_t c)
{
    const double *u = zone->u, *v = zone->v;

    return (u[b] - u[a]) * (v[c] - v[a]) - (u[c] - u[a]) * (v[b] - v[a]);
}

/* Weights with sum weight (1, u, v) = 0, and the sum of their sizes; see zone_solve.c.
 */
static double partition(const struct draws_zone *zone, const size_t p[FOUR],
                        double weight[FOUR])
{
    weight[0] = area(zone, p[1], p[2], p[3]);
    weight[1] = -area(zone, p[0], p[2], p[3]);
    weight[2] = area(zone, p[0], p[1], p[3]);
    weight[3] = -area(zone, p[0], p[1], p[2]);
    return fabs(weight[0]) + fabs(weight[1]) + fabs(weight[2]) + fabs(weight[3]);
}

/* Gauss-Jordan with row pivots on m[4][8], the right half being the unit matrix. */
static bool eliminate(double m[FOUR][2 * FOUR])
{
    for (size_t k = 0; k < FOUR; k++) {
        size_t best = k;

        for (size_t i = k + 1; i < FOUR; i++)
            if (fabs(m[i][k]) > fabs(m[best][k]))
                best = i;
        if (!(fabs(m[best][k]) > no_pivot))
            return false;
        for (size_t j = 0; j < 2 * FOUR; j++) {
            const double swap = m[k][j];
            m[k][j] = m[best][j];
            m[best][j] = swap;
        }
        for (size_t j = 2 * FOUR; j-- > k;)
            m[k][j] /= m[k][k];
        for (size_t i = 0; i < FOUR; i++)
            for (size_t j = 2 * FOUR; i != k && j-- > k;)
                m[i][j] -= m[i][k] * m[k][j];
    }
    return true;
}

/* The sides are those of the weights: the start of draws with a levelled error above 0,
 * and turned the start of the others. */
static bool take_start(struct draws_zone *zone, double least)
{
    struct draws_start *start = &zone->start[zone->nstart];
    const double sum = partition(zone, start->point, start->weight);
    double m[FOUR][2 * FOUR] = {{0}};

    if (!(sum > least))
        return false;
    for (size_t k = 0; k < FOUR; k++) {
        const double side = start->weight[k] < 0 ? -1 : 1;

        start->weight[k] /= sum;
        m[0][k] = side;
        m[1][k] = side * zone->u[start->point[k]];
        m[2][k] = side * zone->v[start->point[k]];
        m[3][k] = 1;
        m[k][FOUR + k] = 1;
    }
    if (!eliminate(m))
        return false;
    for (size_t i = 0; i < FOUR; i++)
        memcpy(start->inverse[i], m[i] + FOUR, sizeof start->inverse[i]);
    return true;
}

static void any_four(struct bt_random *random, size_t n, size_t point[FOUR])
{
    for (size_t k = 0; k < FOUR; k++)
        point[k] = (size_t)(bt_random_uniform(random) * (double)n);
}

/* The groups are chosen at random, the same for the same number of points, of those
 * that are large. */
static void find_starts(struct draws_zone *zone)
{
    struct bt_random random;
    double largest = 0, weight[FOUR];
    size_t point[FOUR];

    bt_random_start(&random, 0, 0);
    for (int k = 0; k < TRIES; k++) {
        any_four(&random, zone->n, point);
        largest = fmax(largest, partition(zone, point, weight));
    }
    bt_random_start(&random, 0, 0);
    for (int k = 0; k < TRIES && zone->nstart < STARTS; k++) {
        any_four(&random, zone->n, zone->start[zone->nstart].point);
        zone->nstart += take_start(zone, small * largest);
    }
}

enum bt_status draws_zone_make(size_t n, const struct bt_point p[],
                               struct draws_zone *zone)
{
    memset(zone, 0, sizeof *zone);
    zone->n = n;
    zone->room = (n + WIDE - 1) / WIDE * WIDE;
    zone->u = bt_alloc(2 * zone->room, sizeof *zone->u);
    if (!zone->u)
        return BT_ENOMEM;
    zone->v = zone->u + zone->room;
    scale_places(n, p, zone);
    find_starts(zone);
    return BT_OK;
}

void draws_zone_clear(struct draws_zone *zone)
{
    bt_free(zone->u);
    memset(zone, 0, sizeof *zone);
}

bool draws_zone_work_make(const struct draws_zone *zone, struct draws_zone_work *work)
{
    memset(work, 0, sizeof *work);
    work->h = bt_alloc(2 * zone->room, sizeof *work->h);
    work->set.member = bt_alloc(zone->n, sizeof *work->set.member);
    if (!work->h || !work->set.member)
        return false;
    work->r = work->h + zone->room;
    work->set.count = work->set.room = zone->n;
    return true;
}

void draws_zone_work_clear(struct draws_zone_work *work)
{
    bt_free(work->h);
    bt_free(work->set.member);
    memset(work, 0, sizeof *work);
}

double draws_zone_slow(const struct draws_zone *zone, struct draws_zone_work *work)
{
    struct zone_set *set = &work->set;
    struct zone_basis basis = {{0}, {0}};
    struct zone_planes planes = {0, 0, 0, 0};
    double most = 0;

    set->largest = 0;
    for (size_t i = 0; i < zone->n; i++) {
        set->member[i] = (struct zone_member){i, {zone->u[i], zone->v[i], work->h[i]}};
        set->largest = fmax(set->largest, fabs(work->h[i]));
    }
    /* No solution where all are on one line, which was asked before: then the planes
     * stay level, and what they enclose is still a zone. */
    if (!zone_solve(set, false, &basis, &planes))
        planes = (struct zone_planes){0, 0, 0, 0};
    for (size_t i = 0; i < zone->n; i++)
        most = fmax(most, fabs(zone_residual(&planes, &set->member[i].at)));
    return 2 * most;
}

/* Four points on their sides, their heights with the sign of the side, and the inverse
 * of the system with columns (side, side u, side v, 1). */
struct basis {
    size_t point[FOUR];
    double height[FOUR], inverse[FOUR][FOUR];
};

/* The start with the largest levelled error. */
static void begin(const struct draws_zone *zone, const double h[], struct basis *b)
{
    const struct draws_start *best = zone->start;
    double most = 0;

    for (size_t k = 0; k < zone->nstart; k++) {
        const struct draws_start *s = &zone->start[k];
        const double error =
            (s->weight[0] * h[s->point[0]] + s->weight[1] * h[s->point[1]]) +
            (s->weight[2] * h[s->point[2]] + s->weight[3] * h[s->point[3]]);
        if (fabs(error) > fabs(most)) {
            most = error;
            best = s;
        }
    }
    memcpy(b->point, best->point, sizeof b->point);
    for (size_t k = 0; k < FOUR; k++) {
        const double turn = most < 0 ? -1 : 1;

        b->height[k] = (best->weight[k] < 0 ? -turn : turn) * h[best->point[k]];
        for (size_t j = 0; j < FOUR; j++)
            b->inverse[k][j] = (j < 3 ? turn : 1) * best->inverse[k][j];
    }
}

/* Residuals r of all points to the planes y, and the largest of their sizes. */
static double residuals(const struct draws_zone *zone, const double y[FOUR],
                        const double *restrict h, double *restrict r)
{
    const double *u = zone->u, *v = zone->v;
    double most[FOUR] = {0};

    for (size_t i = 0; i < zone->room; i += FOUR)
        for (size_t j = 0; j < FOUR; j++) {
            const double e = h[i + j] - (y[0] + y[1] * u[i + j] + y[2] * v[i + j]);
            const double size = fabs(e);
            r[i + j] = e;
            most[j] = size > most[j] ? size : most[j];
        }
    for (size_t j = 1; j < FOUR; j++)
        most[0] = most[j] > most[0] ? most[j] : most[0];
    return most[0];
}

/* Take a point in on a side, where it keeps the weights at 0 or above; false where it
 * cannot be. */
static bool exchange(const struct draws_zone *zone, struct basis *b, size_t in,
                     double side, double height)
{
    const double u = side * zone->u[in], v = side * zone->v[in];
    double pivot[FOUR], least = INFINITY, by;
    size_t out = FOUR;

    for (size_t k = 0; k < FOUR; k++) {
        const double *row = b->inverse[k];
        pivot[k] = (row[0] * side + row[1] * u) + (row[2] * v + row[3]);
        if (pivot[k] > no_pivot && row[3] / pivot[k] < least) {
            least = row[3] / pivot[k];
            out = k;
        }
    }
    if (out == FOUR)
        return false;
    by = 1 / pivot[out];
    for (size_t j = 0; j < FOUR; j++)
        b->inverse[out][j] *= by;
    for (size_t k = 0; k < FOUR; k++)
        for (size_t j = 0; j < FOUR && k != out; j++)
            b->inverse[k][j] -= pivot[k] * b->inverse[out][j];
    b->point[out] = in;
    b->height[out] = side * height;
    return true;
}

/* The levelled error of the four, from their places alone. */
static double levelled(const struct draws_zone *zone, const size_t p[FOUR],
                       const double h[])
{
    double weight[FOUR], sum = partition(zone, p, weight), error = 0;

    for (size_t k = 0; k < FOUR; k++)
        error += weight[k] * h[p[k]];
    return sum > 0 ? fabs(error) / sum : 0;
}

double draws_zone_width(const struct draws_zone *zone, struct draws_zone_work *work)
{
    double *h = work->h, *r = work->r, highest = 0;
    struct basis b;

    for (size_t i = zone->n; i < zone->room; i++)
        h[i] = h[0];
    for (size_t i = 0; i < zone->n; i++)
        highest = fabs(h[i]) > highest ? fabs(h[i]) : highest;
    if (zone->n == 3) /* a plane */
        return 0;
    if (!zone->nstart)
        return draws_zone_slow(zone, work);
    begin(zone, h, &b);
    for (int pivot = 0; pivot < PIVOTS; pivot++) {
        double y[FOUR] = {0}, most;
        size_t in = 0;

        for (size_t k = 0; k < FOUR; k++)
            for (size_t j = 0; j < FOUR; j++)
                y[j] += b.height[k] * b.inverse[k][j];
        most = residuals(zone, y, h, r);
        if (most <= y[3] + slack * highest) {
            if (most - levelled(zone, b.point, h) <= proof * highest)
                return 2 * most;
            break;
        }
        if (!(most <= 4 * highest)) /* planes gone astray, or not a number */
            break;
        while (fabs(r[in]) < most)
            in++;
        if (in >= zone->n)
            in = 0;
        if (!exchange(zone, &b, in, r[in] < 0 ? -1 : 1, h[in]))
            break;
    }
    return draws_zone_slow(zone, work);
}
