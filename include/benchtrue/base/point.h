/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_BASE_POINT_H
#define BENCHTRUE_BASE_POINT_H

/* A place seen from above: x along the grain from the left, y from the back edge to the
 * front (design, conventions). */
struct bt_point {
    double x, y; /* mm, as the panel lies */
};

#endif
