/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Least separation of few points: the simplex method on the dual of
 *
 *     least w with  |h - a - b u - c v| <= w  at every member.
 *
 * The dual has four rows; a basis is four members with sides s and weights >= 0 with
 * sum s weight (1, u, v) = 0 and sum weight = 1, and gives a, b, c, w in return.  A
 * member beyond the planes enters.  Ties of the ratio test, which grids make in
 * plenty, are broken by lexicographic order, so that no basis comes twice.
 * G. B. Dantzig, A. Orden, P. Wolfe, Pacific Journal of Mathematics 5 (1955)
 * 183-195; E. W. Cheney, Introduction to Approximation Theory, 1966, chapter 2 (both
 * from memory).
 */
#include "zone_private.h"

#include <float.h>
#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"

enum { FOUR = 4 };

typedef long double matrix[FOUR][FOUR];

/* The small systems are solved in extended precision.  Rounding noise of their entries,
 * which are of size 1: ties and pivots below are nought. */
static const long double noise = 4096.0L * LDBL_EPSILON;

/* Twice the area of three members, as part of a frame of size 1, below which they are
 * no start: their planes would tilt by rounding. */
static const long double too_thin = 1e-10L;

/* More pivots than any case needs by far; the certificate tells if they were not
 * enough. */
enum { PIVOTS = 20000 };

double zone_slack(const struct zone_set *set)
{
    return 4.0 * DBL_EPSILON * set->largest;
}

void zone_member_move(struct zone_member *member, const struct zone_data *data,
                      const struct zone_frame *frame)
{
    const size_t k = member->point;

    member->at = zone_place(frame, data->p[k].x, data->p[k].y, data->z[k]);
}

bool zone_set_add(struct zone_set *set, const struct zone_data *data,
                  const struct zone_frame *frame, size_t point)
{
    struct zone_member *grown, *m;

    grown = bt_grow(set->member, &set->room, set->count + 1, sizeof *set->member);
    if (!grown)
        return false;
    set->member = grown;
    m = &set->member[set->count++];
    m->point = point;
    zone_member_move(m, data, frame);
    set->largest = fmax(set->largest, fabs(m->at.h));
    return true;
}

void zone_set_move(struct zone_set *set, const struct zone_data *data,
                   const struct zone_frame *frame)
{
    set->largest = 0.0;
    for (size_t i = 0; i < set->count; i++) {
        struct zone_member *m = &set->member[i];
        zone_member_move(m, data, frame);
        set->largest = fmax(set->largest, fabs(m->at.h));
    }
}

/* Twice the signed area. */
static long double area(const struct zone_place *a, const struct zone_place *b,
                        const struct zone_place *c)
{
    const long double u = a->u, v = a->v;

    return (b->u - u) * (c->v - v) - (c->u - u) * (b->v - v);
}

/* Weights of either sign with sum weight (1, u, v) = 0: each is the area of the other
 * three.  Returns the sum of their sizes. */
static long double partition(const struct zone_set *set, const size_t member[FOUR],
                             long double weight[FOUR])
{
    const struct zone_place *a = &set->member[member[0]].at,
                            *b = &set->member[member[1]].at,
                            *c = &set->member[member[2]].at,
                            *d = &set->member[member[3]].at;

    weight[0] = area(b, c, d);
    weight[1] = -area(a, c, d);
    weight[2] = area(a, b, d);
    weight[3] = -area(a, b, c);
    return fabsl(weight[0]) + fabsl(weight[1]) + fabsl(weight[2]) + fabsl(weight[3]);
}

/* Sides from the partition, so that the four are a feasible basis with w >= 0. */
static bool take_sides(const struct zone_set *set, struct zone_basis *basis)
{
    long double weight[FOUR], half = 0.0L;
    int turn;

    if (!(partition(set, basis->member, weight) > too_thin))
        return false;
    for (size_t k = 0; k < FOUR; k++)
        half += weight[k] * set->member[basis->member[k]].at.h;
    turn = half < 0.0L ? -1 : 1;
    for (size_t k = 0; k < FOUR; k++)
        basis->side[k] = weight[k] < 0.0L ? -turn : turn;
    return true;
}

/* Member of largest size of r = h - a - b u - c v, if it is above `over`; count if
 * none is. */
static size_t worst(const struct zone_set *set, const struct zone_planes *planes,
                    double over, double *r)
{
    size_t found = set->count;

    for (size_t i = 0; i < set->count; i++) {
        const double e = zone_residual(planes, &set->member[i].at);
        if (fabs(e) > over) {
            over = fabs(e);
            found = i;
            *r = e;
        }
    }
    return found;
}

static size_t farthest(const struct zone_set *set, size_t from, size_t to)
{
    long double far = -1.0L;
    size_t found = 0;

    for (size_t i = 0; i < set->count; i++) {
        const long double size =
            fabsl(area(&set->member[from].at, &set->member[to].at, &set->member[i].at));
        if (size > far) {
            far = size;
            found = i;
        }
    }
    return found;
}

/* A wide triangle and the member that is most out of its plane. */
static bool cold_start(const struct zone_set *set, struct zone_basis *basis)
{
    size_t *k = basis->member;
    struct zone_planes q = {0.0, 0.0, 0.0, 0.0};
    const struct zone_place *p[3];
    long double whole, b, c;
    double r;

    k[0] = k[1] = 0;
    for (size_t i = 1; i < set->count; i++) {
        if (set->member[i].at.u < set->member[k[0]].at.u)
            k[0] = i;
        if (set->member[i].at.u > set->member[k[1]].at.u)
            k[1] = i;
    }
    k[2] = farthest(set, k[0], k[1]);
    for (size_t i = 0; i < 3; i++)
        p[i] = &set->member[k[i]].at;
    whole = area(p[0], p[1], p[2]);
    if (!(fabsl(whole) > too_thin))
        return false;
    b = ((p[1]->h - (long double)p[0]->h) * (p[2]->v - (long double)p[0]->v) -
         (p[2]->h - (long double)p[0]->h) * (p[1]->v - (long double)p[0]->v)) /
        whole;
    c = ((p[2]->h - (long double)p[0]->h) * (p[1]->u - (long double)p[0]->u) -
         (p[1]->h - (long double)p[0]->h) * (p[2]->u - (long double)p[0]->u)) /
        whole;
    q.a = (double)(p[0]->h - b * p[0]->u - c * p[0]->v);
    q.b = (double)b;
    q.c = (double)c;
    k[3] = worst(set, &q, zone_slack(set), &r);
    /* None out of the plane, or by rounding one of the three: any other. */
    for (size_t i = 0;
         k[3] == set->count || k[3] == k[0] || k[3] == k[1] || k[3] == k[2]; i++)
        k[3] = i;
    return take_sides(set, basis);
}

static void column(const struct zone_place *at, int side, long double entry[FOUR])
{
    entry[0] = side;
    entry[1] = side * (long double)at->u;
    entry[2] = side * (long double)at->v;
    entry[3] = 1.0L;
}

static void matrix_of(const struct zone_set *set, const struct zone_basis *basis,
                      matrix m)
{
    for (size_t k = 0; k < FOUR; k++) {
        long double entry[FOUR];
        column(&set->member[basis->member[k]].at, basis->side[k], entry);
        for (size_t i = 0; i < FOUR; i++)
            m[i][k] = entry[i];
    }
}

static void swap_rows(matrix m, size_t i, size_t j)
{
    long double row[FOUR];

    memcpy(row, m[i], sizeof row);
    memcpy(m[i], m[j], sizeof row);
    memcpy(m[j], row, sizeof row);
}

/* Gauss-Jordan with row pivots; m is spent. */
static bool invert(matrix m, matrix inverse)
{
    for (size_t i = 0; i < FOUR; i++)
        for (size_t j = 0; j < FOUR; j++)
            inverse[i][j] = i == j ? 1.0L : 0.0L;
    for (size_t k = 0; k < FOUR; k++) {
        size_t pivot = k;
        long double by;

        for (size_t i = k + 1; i < FOUR; i++)
            if (fabsl(m[i][k]) > fabsl(m[pivot][k]))
                pivot = i;
        by = m[pivot][k];
        if (!(fabsl(by) > 0.0L))
            return false;
        swap_rows(m, k, pivot);
        swap_rows(inverse, k, pivot);
        for (size_t j = 0; j < FOUR; j++) {
            m[k][j] /= by;
            inverse[k][j] /= by;
        }
        for (size_t i = 0; i < FOUR; i++) {
            const long double times = m[i][k];
            for (size_t j = 0; i != k && j < FOUR; j++) {
                m[i][j] -= times * m[k][j];
                inverse[i][j] -= times * inverse[k][j];
            }
        }
    }
    return true;
}

/* (a, b, c, w) with side (a + b u + c v) + w = side h at the four. */
static void planes_of(const struct zone_set *set, const struct zone_basis *basis,
                      matrix inverse, struct zone_planes *planes)
{
    long double y[FOUR] = {0.0L, 0.0L, 0.0L, 0.0L};

    for (size_t k = 0; k < FOUR; k++)
        for (size_t j = 0; j < FOUR; j++)
            y[j] += basis->side[k] * (long double)set->member[basis->member[k]].at.h *
                    inverse[k][j];
    planes->a = (double)y[0];
    planes->b = (double)y[1];
    planes->c = (double)y[2];
    planes->half = (double)y[3];
}

/* Row k of key / pivot, in lexicographic order before row best. */
static bool before(long double key[FOUR][FOUR + 1], const long double pivot[FOUR],
                   size_t k, size_t best)
{
    for (size_t j = 0; j <= FOUR; j++) {
        const long double a = key[k][j] / pivot[k], b = key[best][j] / pivot[best];
        if (fabsl(a - b) > noise * (1.0L + fabsl(a) + fabsl(b)))
            return a < b;
    }
    return false;
}

/* Which of the four leaves for the member that enters. */
static size_t leaving(matrix inverse, matrix first, const long double enter[FOUR])
{
    long double key[FOUR][FOUR + 1], pivot[FOUR], largest = 0.0L;
    size_t best = FOUR;

    for (size_t k = 0; k < FOUR; k++) {
        pivot[k] = 0.0L;
        for (size_t j = 0; j < FOUR; j++)
            pivot[k] += inverse[k][j] * enter[j];
        largest = fmaxl(largest, fabsl(pivot[k]));
        key[k][0] = fmaxl(inverse[k][3], 0.0L);
        for (size_t j = 0; j < FOUR; j++) {
            key[k][j + 1] = 0.0L;
            for (size_t i = 0; i < FOUR; i++)
                key[k][j + 1] += inverse[k][i] * first[i][j];
        }
    }
    for (size_t k = 0; k < FOUR; k++)
        if (pivot[k] > noise * largest && (best == FOUR || before(key, pivot, k, best)))
            best = k;
    return best;
}

bool zone_solve(const struct zone_set *set, bool warm, struct zone_basis *basis,
                struct zone_planes *planes)
{
    matrix first;

    if (!(warm && take_sides(set, basis)) && !cold_start(set, basis))
        return false;
    matrix_of(set, basis, first);
    for (size_t pivot = 0; pivot < PIVOTS; pivot++) {
        long double enter[FOUR];
        matrix m, inverse;
        double r = 0.0;
        size_t in, out;

        matrix_of(set, basis, m);
        if (!invert(m, inverse))
            return false;
        planes_of(set, basis, inverse, planes);
        in = worst(set, planes, planes->half + zone_slack(set), &r);
        if (in == set->count)
            break;
        column(&set->member[in].at, r < 0.0 ? -1 : 1, enter);
        out = leaving(inverse, first, enter);
        if (out == FOUR)
            return false;
        basis->member[out] = in;
        basis->side[out] = r < 0.0 ? -1 : 1;
    }
    return true;
}

bool zone_stands(const struct zone_set *set, const struct zone_basis *basis)
{
    long double weight[FOUR], sum = partition(set, basis->member, weight);
    bool as_is = true, turned = true;

    for (size_t k = 0; k < FOUR; k++) {
        as_is = as_is && basis->side[k] * weight[k] >= -noise * sum;
        turned = turned && -basis->side[k] * weight[k] >= -noise * sum;
    }
    return sum > 0.0L && (as_is || turned);
}
