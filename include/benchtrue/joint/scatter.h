/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_JOINT_SCATTER_H
#define BENCHTRUE_JOINT_SCATTER_H

#include <stddef.h>
#include <stdint.h>

#include "benchtrue/base/status.h"
#include "benchtrue/joint/section.h"

/* Median and 95 % point of a size over draws. */
struct bt_spread {
    double median, p95;
};

struct bt_scatter_result {
    size_t draws;
    struct bt_spread cup;     /* mm, of |cup| */
    struct bt_spread opening; /* mm, of the largest opening of all joints */
    struct bt_spread kink;    /* rad, of the largest kink */
};

/*
 * Monte Carlo over the edges: e normal with u_e (one value a draw, shared by all
 * edges), each edge's own r normal with `scatter`, each taper with u_taper.
 *
 *   draws  1 or more
 *   seed   the same seed gives the same random numbers, bit for bit, on every machine
 *          (nothing of the C library's mathematics is in them); figures agree to the
 *          last bits of its atan, sin and cos
 *
 * The kinks are drawn, with the covariance that edges and tapers give them, and held
 * linear in those; an opening is in proportion to its kink, with the depth of the joint
 * as it is without scatter.  What that leaves out is of the order of the angles'
 * squares and of u_taper over the thickness.
 *
 * One board has no joints: all points are 0.
 *
 * Median and 95 % point by order statistics (JCGM 101:2008, 7.7: the q-th of the
 * sorted draws, q = the whole part of p draws + 1/2).
 *
 *   result  out; untouched on error
 *
 * Returns as bt_section_evaluate, BT_EINPUT also for draws 0.
 */
BT_API enum bt_status bt_scatter_draw(size_t n, const struct bt_strip strip[],
                                      const struct bt_board_run run[],
                                      const struct bt_edge_errors *errors, size_t draws,
                                      uint64_t seed, struct bt_scatter_result *result,
                                      struct bt_error *err);

#endif
