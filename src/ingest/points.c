/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "ingest/points.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#include "benchtrue/base/alloc.h"

/* Spots in square cells, the cells hashed into chains. */
struct bt_spots {
    double cell; /* side, mm */
    size_t n, room;
    struct spot {
        struct bt_point at;
        size_t point;
        size_t next; /* in the chain, SIZE_MAX at its end */
    } * spot;
    size_t nchain; /* a power of two */
    size_t *chain;
};

static struct bt_spots *spots_alloc(double cell)
{
    struct bt_spots *spots = bt_alloc(1, sizeof *spots);

    if (spots)
        spots->cell = cell;
    return spots;
}

static void spots_free(struct bt_spots *spots)
{
    if (!spots)
        return;
    bt_free(spots->spot);
    bt_free(spots->chain);
    bt_free(spots);
}

static double distance(const struct bt_point *a, const struct bt_point *b)
{
    return hypot(a->x - b->x, a->y - b->y);
}

/* Finaliser of the splitmix64 generator: every bit counts for every other. */
static uint64_t mix(uint64_t h)
{
    h = (h ^ (h >> 30)) * 0xbf58476d1ce4e5b9u;
    h = (h ^ (h >> 27)) * 0x94d049bb133111ebu;
    return h ^ (h >> 31);
}

static size_t chain_of(const struct bt_spots *spots, double column, double row)
{
    uint64_t bits[2];

    /* Hashing the bytes of the doubles: a cast to an integer could overflow.
     * -0 and 0 are one cell. */
    column += 0.0;
    row += 0.0;
    memcpy(&bits[0], &column, sizeof column);
    memcpy(&bits[1], &row, sizeof row);
    return (size_t)mix(mix(bits[0]) + bits[1]) & (spots->nchain - 1);
}

static size_t chain_at(const struct bt_spots *spots, const struct bt_point *at)
{
    return chain_of(spots, floor(at->x / spots->cell), floor(at->y / spots->cell));
}

static enum bt_status rechain(struct bt_spots *spots)
{
    size_t n = spots->nchain ? spots->nchain * 2 : 64;
    size_t *chain = bt_alloc(n, sizeof *chain);

    if (!chain)
        return BT_ENOMEM;
    bt_free(spots->chain);
    spots->chain = chain;
    spots->nchain = n;
    for (size_t i = 0; i < n; i++)
        chain[i] = SIZE_MAX;
    for (size_t i = 0; i < spots->n; i++) {
        size_t c = chain_at(spots, &spots->spot[i].at);
        spots->spot[i].next = chain[c];
        chain[c] = i;
    }
    return BT_OK;
}

static enum bt_status spots_add(struct bt_spots *spots, const struct bt_point *at,
                                size_t point)
{
    struct spot *grown;
    size_t c;

    grown = bt_grow(spots->spot, &spots->room, spots->n + 1, sizeof *grown);
    if (!grown)
        return BT_ENOMEM;
    spots->spot = grown;
    if (spots->n >= spots->nchain && rechain(spots) != BT_OK)
        return BT_ENOMEM;
    c = chain_at(spots, at);
    grown[spots->n] = (struct spot){.at = *at, .point = point, .next = spots->chain[c]};
    spots->chain[c] = spots->n++;
    return BT_OK;
}

/* Of one cell's chain, the spot that is nearer than *within, which becomes its
 * distance; best where there is none. */
static size_t chain_nearest(const struct bt_spots *spots, size_t chain,
                            const struct bt_point *at, double *within, size_t best)
{
    for (size_t i = spots->chain[chain]; i != SIZE_MAX; i = spots->spot[i].next) {
        const struct bt_point *there = &spots->spot[i].at;
        double d;
        if (!(fabs(there->x - at->x) < *within) || !(fabs(there->y - at->y) < *within))
            continue;
        d = distance(there, at);
        if (d < *within) {
            *within = d;
            best = i;
        }
    }
    return best;
}

/* The nearest spot that is strictly nearer than within (at most half a cell, so that
 * it lies in one of at most four); SIZE_MAX where there is none. */
static size_t spots_nearest(const struct bt_spots *spots, const struct bt_point *at,
                            double within)
{
    double left = floor((at->x - within) / spots->cell);
    double right = floor((at->x + within) / spots->cell);
    double back = floor((at->y - within) / spots->cell);
    double front = floor((at->y + within) / spots->cell);
    size_t best = SIZE_MAX;

    if (!spots->nchain)
        return SIZE_MAX;
    best = chain_nearest(spots, chain_of(spots, left, back), at, &within, best);
    if (right != left)
        best = chain_nearest(spots, chain_of(spots, right, back), at, &within, best);
    if (front != back)
        best = chain_nearest(spots, chain_of(spots, left, front), at, &within, best);
    if (right != left && front != back)
        best = chain_nearest(spots, chain_of(spots, right, front), at, &within, best);
    return best;
}

enum bt_status bt_points_start(struct bt_points *points, double near)
{
    memset(points, 0, sizeof *points);
    points->near = near > BT_PLACE_ROUNDING ? near : BT_PLACE_ROUNDING;
    points->first = spots_alloc(2 * points->near);
    /* Far wider than what is looked for, so that one cell nearly always holds it; far
     * below the last digit that is ever typed of a place, so that it holds little
     * else. */
    points->seen = spots_alloc(100 * BT_PLACE_ROUNDING);
    return points->first && points->seen ? BT_OK : BT_ENOMEM;
}

enum bt_status bt_points_append(struct bt_points *points, const struct bt_point *place,
                                size_t *point)
{
    struct bt_point *grown;

    grown = bt_grow(points->point, &points->room, points->n + 1, sizeof *grown);
    if (!grown)
        return BT_ENOMEM;
    points->point = grown;
    grown[points->n] = *place;
    *point = points->n++;
    return BT_OK;
}

enum bt_status bt_points_take(struct bt_points *points, const struct bt_point *place,
                              struct bt_points_found *found)
{
    size_t spot = spots_nearest(points->seen, place, BT_PLACE_ROUNDING);

    found->merged = false;
    if (spot != SIZE_MAX) {
        found->point = points->seen->spot[spot].point;
        found->off = distance(place, &points->point[found->point]);
        return BT_OK;
    }
    spot = spots_nearest(points->first, place, points->near);
    if (spot != SIZE_MAX) {
        found->point = points->first->spot[spot].point;
        found->merged = true;
    } else if (bt_points_append(points, place, &found->point) != BT_OK ||
               spots_add(points->first, place, found->point) != BT_OK) {
        return BT_ENOMEM;
    }
    found->off = distance(place, &points->point[found->point]);
    return spots_add(points->seen, place, found->point);
}

void bt_points_clear(struct bt_points *points)
{
    spots_free(points->first);
    spots_free(points->seen);
    bt_free(points->point);
    memset(points, 0, sizeof *points);
}
