/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_TESTS_BUILDER_H
#define BENCHTRUE_TESTS_BUILDER_H

#include "benchtrue/surface/readings.h"

/*
 * Readings for tests, made from a known surface.  Values are what a faultless
 * instrument would show, each group with an offset, slope or zero of its own that is
 * neither 0 nor 1; noise is added by the caller.  Anything that fails aborts.
 */
struct builder {
    struct bt_readings r;
    size_t room_point, room_obs, room_group;
    double u; /* of readings to come */
    double (*surface)(double x, double y);
};

void builder_init(struct builder *b, double u, double (*surface)(double, double));
void builder_clear(struct builder *b);

/* Index of the point at exactly that place, new where there is none. */
size_t builder_point(struct builder *b, double x, double y);
int builder_group(struct builder *b, int dim);

/* One placement of a straightedge over n places. */
int builder_line(struct builder *b, size_t n, const struct bt_point p[]);
/* The same with readings given instead of computed. */
int builder_gaps(struct builder *b, size_t n, const struct bt_point p[],
                 const double gap[]);
/* The straight line from p to q at n equal steps. */
int builder_run(struct builder *b, struct bt_point p, struct bt_point q, size_t n);

/* Heights of n places over one reference: dim 0 known, 1 level, 3 offset and tilt. */
void builder_heights(struct builder *b, int dim, size_t n, const struct bt_point p[]);

/* group: BT_NO_GROUP where the zero is known. */
void builder_bar(struct builder *b, int group, struct bt_point foot1,
                 struct bt_point dial, struct bt_point foot2);
void builder_slope(struct builder *b, int group, struct bt_point p, struct bt_point q);
void builder_wind(struct builder *b, double x1, double x2, double y1, double y2,
                  double stick);

/* A reading of given value in place of the last one added. */
void builder_set_last(struct builder *b, double value);

/* Fixed-seed numbers: uniform in (0, 1), and standard normal. */
double builder_uniform(unsigned long long *seed);
double builder_normal(unsigned long long *seed);

#endif
