/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_JUDGE_PROGRAMME_H
#define BENCHTRUE_JUDGE_PROGRAMME_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/base/status.h"
#include "benchtrue/surface/plane.h"
#include "benchtrue/surface/readings.h"

/*
 * The linear programmes of removal: a plane under some heights, and with it a parallel
 * one, t lower, over others.
 */

struct programme_side {
    size_t n;
    const struct bt_point *p;
    const double *z;
};

struct programme {
    struct programme_side above; /* plane <= z */
    struct programme_side below; /* plane - t >= z; n 0: there is no second plane */
    struct bt_point middle; /* without a second plane: its height there is the most */
    bool rests; /* with a second plane: the first is not under `height` at middle */
    double height;
};

enum programme_row { ROW_ABOVE, ROW_BELOW, ROW_REST, ROW_FAR };

enum { PROGRAMME_UNKNOWNS = 4 };

struct programme_contact {
    enum programme_row row; /* never ROW_FAR in an answer */
    size_t point;
    double weight; /* >= 0: what the optimum gains per mm of that height (above), loses
                      (below, rest) */
};

struct programme_frame {
    double x, y, size_x, size_y;
    struct bt_plane base; /* near all heights */
};

struct programme_answer {
    struct bt_plane plane;
    double best;  /* t; without a second plane the height at middle */
    int ncontact; /* unknowns: 3 without a second plane, else 4 */
    struct programme_contact contact[PROGRAMME_UNKNOWNS];
    struct programme_frame frame;
    long double inverse[PROGRAMME_UNKNOWNS][PROGRAMME_UNKNOWNS];
    double slack;  /* a row broken by no more is a rounding, mm */
    size_t passes; /* over all points */
};

/*
 * Solve: the largest t, or the greatest height of the plane at `middle`.
 *
 *   programme  at least 3 points above, all finite
 *   answer     out; untouched on error
 *
 * Returns BT_OK, BT_EINPUT (numbers too large), BT_ESINGULAR (places above all on one
 * line, or nothing bounds the optimum) or BT_ENOMEM.
 */
enum bt_status programme_solve(const struct programme *programme,
                               struct programme_answer *answer, struct bt_error *err);

/* How the plane's height at a place moves with the right sides of the contacts: its
 * height is sum factor[k] (z above, -z below, -height at rest). */
void programme_factors(const struct programme_answer *answer, struct bt_point at,
                       double factor[PROGRAMME_UNKNOWNS]);

#endif
