/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_TESTS_ZONE_SHAPES_H
#define BENCHTRUE_TESTS_ZONE_SHAPES_H

#include <stddef.h>

#include "benchtrue/surface/readings.h"

/*
 * Invented surfaces that are hard for a zone in different ways: smooth and broad tops,
 * plain noise, heights rounded so that thousands tie, edges, steps, spikes, steep tilt,
 * thin strips, points on no grid.  The first ZONE_PANELS look like panels.
 */
enum { ZONE_SHAPES = 15, ZONE_PANELS = 6 };

const char *zone_shape_name(size_t shape);

/* Fills p[nx ny] and z[nx ny], mm; the same on every machine but for the rounding of
 * sin, cos, exp and log. */
void zone_shape_make(size_t shape, size_t nx, size_t ny, struct bt_point p[],
                     double z[]);

#endif
