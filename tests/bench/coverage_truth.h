/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_BENCH_COVERAGE_TRUTH_H
#define BENCHTRUE_BENCH_COVERAGE_TRUTH_H

#include <stdbool.h>
#include <stddef.h>

#include "surface/random.h"

#include "benchtrue/surface/readings.h"
#include "benchtrue/surface/straightedge.h"

/*
 * What is true of a simulated panel, by means that share nothing with the library but
 * the zone: figures as rows over the true heights, gaps by trying every chord, and what
 * a way of reading cannot see from the singular vectors of its equations.
 */

/* Invented: an ash table of five boards. */
#define PANEL_LENGTH 1500.0
#define PANEL_WIDTH 600.0
#define PANEL_SPAN 1000.0

enum { PANEL_JOINTS = 4, TRUE_LINEAR = 3 };

extern const double panel_joint[PANEL_JOINTS];

/* A chord of a straightedge between two places, over a third. */
struct chord {
    size_t left, middle, right;
    double t; /* share of the way from left to right */
    enum bt_edge_direction direction;
};

struct truth {
    size_t n;
    const struct bt_point *p;
    double *row[TRUE_LINEAR]; /* cup, bow, twist in the order of enum bt_figure */
    bool sees[TRUE_LINEAR];
    bool *moved; /* [n] whether an unseen shape moves the place off the mean plane */
    size_t nmoved;
    size_t nchord;
    struct chord *chord; /* between places that none moves */
};

/* r must outlive *truth.  Anything that fails aborts. */
void truth_make(const struct bt_readings *r, struct truth *truth);
void truth_clear(struct truth *truth);

double truth_linear(const struct truth *truth, int figure, const double h[]);
double truth_range(const struct truth *truth, const double h[]);
double truth_zone(const struct truth *truth, const double h[]);

/* NaN where no chord of that direction is seen. */
double truth_gap(const struct truth *truth, enum bt_edge_direction direction,
                 const double h[]);

/*
 * True heights: bow, cup, twist, kinks at the joints, ripple by board, and roughness of
 * each place, each of a random size; every tenth panel is perfectly flat.  smooth: only
 * the first three.
 */
void panel_draw(struct bt_random *random, size_t n, const struct bt_point p[],
                bool smooth, double h[]);

#endif
