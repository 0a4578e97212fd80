/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Largest gaps under an edge, many times over the same places.  Of all chords from one
 * point over another, the highest is that of the steepest slope to any point at least
 * as far; so each point is a fan of the points to its right, gone through from the far
 * end with the steepest slope so far.  The gap of the heights turned over comes from
 * the least slope.
 *
 * Of points at one place of a line each takes part by itself.  The edge rests on the
 * highest of them, and how far the highest moves is at most how far one of them moves:
 * the bound holds for any.
 */
#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "surface/draws_private.h"
#include "surface/straightedge_private.h"

/* As in straightedge.c and straightedge_line.c: one place, and within the span. */
static const double same_place = 1e-9, span_slack = 1e-9;

static bool add_pair(struct draws_edge *edge, size_t point, double distance,
                     bool beyond)
{
    struct draws_pair *pair =
        bt_grow(edge->pair, &edge->pair_room, edge->npair + 1, sizeof *pair);

    if (!pair)
        return false;
    edge->pair = pair;
    pair[edge->npair++] = (struct draws_pair){point, distance, 1 / distance, beyond};
    return true;
}

/* The points to the right of item[left]; worth it only where they are at two places. */
static bool add_fan(struct draws_edge *edge, size_t n, const size_t item[],
                    const double place[], double span, size_t left)
{
    const double same = same_place * span;
    struct draws_fan fan = {item[left], edge->npair, 0}, *grown;
    size_t near = left + 1, far;

    while (near < n && place[near] - place[left] <= same)
        near++;
    far = near;
    while (far < n && place[far] - place[left] <= span * (1 + span_slack))
        far++;
    if (far == near || !(place[far - 1] - place[near] > same))
        return true;
    for (size_t k = far; k-- > near;)
        if (!add_pair(edge, item[k], place[k] - place[left],
                      k + 1 < far && place[k + 1] - place[k] > same))
            return false;
    fan.count = edge->npair - fan.first;
    grown = bt_grow(edge->fan, &edge->fan_room, edge->nfan + 1, sizeof *grown);
    if (!grown)
        return false;
    edge->fan = grown;
    grown[edge->nfan++] = fan;
    return true;
}

static enum bt_status add_lines(struct draws_edge *edge,
                                const struct bt_edge_lines *lines, double span)
{
    for (size_t k = 0; k < lines->count; k++) {
        const size_t from = lines->start[k], n = lines->start[k + 1] - from;

        for (size_t left = 0; left + 2 < n; left++)
            if (!add_fan(edge, n, lines->item + from, lines->place + from, span, left))
                return BT_ENOMEM;
    }
    return BT_OK;
}

enum bt_status draws_edge_make(size_t n, const struct bt_point p[],
                               const struct bt_draws_edge *asked,
                               struct draws_edge *edge, struct bt_error *err)
{
    const int looks = asked->direction == BT_EDGE_OBLIQUE ? 2 : 1;
    const double keep_all = -1; /* no two points are this near */
    double *level;
    enum bt_status status = BT_OK;

    memset(edge, 0, sizeof *edge);
    if (!(asked->span > 0) || !isfinite(asked->span))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "the span of the edge is not a length above 0");
    level = bt_alloc(n, sizeof *level);
    if (!level)
        status = BT_ENOMEM;
    for (int look = 0; look < looks && status == BT_OK; look++) {
        struct bt_edge_lines lines = {0};

        status = bt_edge_lines_gather(n, p, level, &asked->search, asked->direction,
                                      look > 0, keep_all, &lines, err);
        if (status == BT_OK)
            status = add_lines(edge, &lines, asked->span);
        bt_edge_lines_clear(&lines);
    }
    bt_free(level);
    edge->seen = edge->nfan > 0;
    if (status == BT_ENOMEM)
        bt_error_set(err, status, 0, 0, "%s", bt_status_text(status));
    if (status != BT_OK)
        draws_edge_clear(edge);
    return status;
}

void draws_edge_clear(struct draws_edge *edge)
{
    bt_free(edge->fan);
    bt_free(edge->pair);
    memset(edge, 0, sizeof *edge);
}

/* Slopes to the points seen so far of a fan, and those strictly beyond the place of the
 * point that is looked at. */
struct slopes {
    double most[LANES], least[LANES];
    double most_beyond[LANES], least_beyond[LANES];
};

static void pass_on(struct slopes *s)
{
    memcpy(s->most_beyond, s->most, sizeof s->most);
    memcpy(s->least_beyond, s->least, sizeof s->least);
}

static void take_slope(const struct draws_pair *pair, const double *restrict left,
                       const double *restrict right, struct slopes *restrict s)
{
    for (size_t i = 0; i < LANES; i++) {
        const double slope = (right[i] - left[i]) * pair->share;
        s->most[i] = slope > s->most[i] ? slope : s->most[i];
        s->least[i] = slope < s->least[i] ? slope : s->least[i];
    }
}

static void take_gap(const struct draws_pair *pair, const double *restrict left,
                     const double *restrict right, const struct slopes *restrict s,
                     double *restrict up, double *restrict down)
{
    for (size_t i = 0; i < LANES; i++) {
        const double rise = right[i] - left[i];
        const double hollow = pair->distance * s->most_beyond[i] - rise;
        const double crown = rise - pair->distance * s->least_beyond[i];
        up[i] = hollow > up[i] ? hollow : up[i];
        down[i] = crown > down[i] ? crown : down[i];
    }
}

void draws_edge_gaps(const struct draws_edge *edge, const double h[], double up[LANES],
                     double down[LANES])
{
    for (size_t i = 0; i < LANES; i++)
        up[i] = down[i] = 0;
    for (size_t f = 0; f < edge->nfan; f++) {
        const struct draws_fan *fan = &edge->fan[f];
        const double *left = h + fan->left * LANES;
        struct slopes s;
        bool some_beyond = false;

        for (size_t i = 0; i < LANES; i++) {
            s.most[i] = -INFINITY;
            s.least[i] = INFINITY;
        }
        for (size_t k = fan->first; k < fan->first + fan->count; k++) {
            const struct draws_pair *pair = &edge->pair[k];
            const double *right = h + pair->point * LANES;

            if (pair->beyond) {
                pass_on(&s);
                some_beyond = true;
            }
            if (some_beyond)
                take_gap(pair, left, right, &s, up, down);
            take_slope(pair, left, right, &s);
        }
    }
}
