/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/fit/warp.h"

#include <math.h>

static double or_zero(double value)
{
    return isnan(value) ? 0 : value;
}

struct span {
    double low, high;
};

static void take(struct span *span, double value)
{
    span->low = fmin(span->low, value);
    span->high = fmax(span->high, value);
}

/* Along the edge where one of a, b is 1: constant - curve s^2 + k s, s from -1 to 1. */
static void take_edge(struct span *span, double constant, double curve, double k)
{
    const double top = k / (2 * curve); /* no number where curve is 0: a line */

    take(span, constant - curve + k);
    take(span, constant - curve - k);
    if (fabs(top) <= 1)
        take(span, constant - curve * top * top + k * top);
}

double bt_warp_zone(const struct bt_warp *warp)
{
    const double bow = or_zero(warp->bow), cup = or_zero(warp->cup),
                 k = or_zero(warp->twist) / 4;
    /* the middle is the only stationary place inside; the edges opposite are these,
     * turned by half a turn */
    struct span span = {0, 0};

    take_edge(&span, -cup, bow, k);
    take_edge(&span, -bow, cup, k);
    return span.high - span.low;
}

double bt_warp_zone_most(const struct bt_warp *warp)
{
    const struct bt_warp alike = {fabs(warp->bow), fabs(warp->cup), fabs(warp->twist)};

    return bt_warp_zone(&alike);
}

struct bt_warp bt_warp_part(const struct bt_warp *warp, double length, double width)
{
    return (struct bt_warp){warp->bow * length * length, warp->cup * width * width,
                            warp->twist * length * width};
}

/* By how much the zone grows where a size of the whole board grows by its u: over a
 * small share of it, which keeps to one side of a kink. */
static double effect(const struct bt_warp *warp, const struct bt_warp *step, double u,
                     double length, double width)
{
    const double share = 1e-4;
    struct bt_warp more = *warp, less = *warp, part;
    double here, up, down;

    if (!(u > 0))
        return 0;
    part = bt_warp_part(warp, length, width);
    here = bt_warp_zone_most(&part);
    more.bow += share * or_zero(step->bow);
    more.cup += share * or_zero(step->cup);
    more.twist += share * or_zero(step->twist);
    less.bow -= share * or_zero(step->bow);
    less.cup -= share * or_zero(step->cup);
    less.twist -= share * or_zero(step->twist);
    part = bt_warp_part(&more, length, width);
    up = bt_warp_zone_most(&part) - here;
    part = bt_warp_part(&less, length, width);
    down = bt_warp_zone_most(&part) - here;
    return fmax(fabs(up), fabs(down)) / share;
}

struct bt_measured bt_warp_part_zone(const struct bt_warp *warp,
                                     const struct bt_warp *u, double length,
                                     double width)
{
    const struct bt_warp whole = {or_zero(warp->bow), or_zero(warp->cup),
                                  or_zero(warp->twist)};
    const struct bt_warp bow = {u->bow, 0, 0}, cup = {0, u->cup, 0},
                         twist = {0, 0, u->twist};
    const struct bt_warp part = bt_warp_part(&whole, length, width);
    const double by_bow = effect(&whole, &bow, u->bow, length, width),
                 by_cup = effect(&whole, &cup, u->cup, length, width),
                 by_twist = effect(&whole, &twist, u->twist, length, width);

    return (struct bt_measured){
        bt_warp_zone_most(&part),
        sqrt(by_bow * by_bow + by_cup * by_cup + by_twist * by_twist), true};
}
