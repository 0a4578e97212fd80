/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_JOINT_PRESSING_H
#define BENCHTRUE_JOINT_PRESSING_H

#include <stdbool.h>
#include <stddef.h>

/*
 * Two boards pressed together on edge.  They touch at both ends of the joint and may
 * touch between; seen from the gap both together are one beam with shear, simply
 * supported at the ends, whose flexibilities add.  Private to the room.
 *
 * Nothing here is in units: places are shares t of the length, 0 < t < 1, the hollow at
 * the middle is 1, and forces are such that one at the middle bends it by 1.
 */
struct bt_pressing {
    double shear;   /* share of shear in the flexibility at the middle, 0 to 1 */
    size_t n;       /* places, ascending */
    double *at;     /* [n] */
    bool *is_clamp; /* [n] */
    double *force;  /* [n] out: pressing positive, boards on each other negative */
    size_t nclamp;
    /* in work */
    double *matrix, *right; /* n x n, n */
    bool *active;           /* [n] */
    size_t *index;          /* [n] */
};

/*
 * Take memory for the clamps (shares of the length, ascending) and for the places
 * between them where the boards may touch.  False, and nothing kept, without memory.
 */
bool bt_pressing_open(struct bt_pressing *press, double shear, size_t nclamp,
                      const double clamp[], double length);
void bt_pressing_close(struct bt_pressing *press);

/* Gap that a force of 1 at a closes at t. */
double bt_pressing_flexibility(double shear, double t, double a);

/*
 * Forces where each clamp is turned until the joint is closed at it: gap 0 at the
 * clamps, the force of a clamp negative where the boards hold it open; elsewhere gap
 * >= 0, and a force, negative, only where it is 0.
 */
void bt_pressing_closed(struct bt_pressing *press);

/* Forces where each clamp presses with `force`; what the boards press on each other at
 * a clamp is taken off it. */
void bt_pressing_pressed(struct bt_pressing *press, double force);

/* Largest gap left, sampled finely; *at where, the leftmost of equals. */
double bt_pressing_gap(const struct bt_pressing *press, double *at);

#endif
