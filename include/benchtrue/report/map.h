/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_REPORT_MAP_H
#define BENCHTRUE_REPORT_MAP_H

#include <stddef.h>

#include "benchtrue/base/print.h"
#include "benchtrue/report/buffer.h"
#include "benchtrue/surface/form.h"
#include "benchtrue/surface/readings.h"

/*
 * A map of heights in characters: back edge on top, corners A B C D, a digit where a
 * point was read (0 lowest), `?` where its height is not seen, blank where nothing
 * was read.  The highest point stands in [ ], the lowest in ( ).  Two points that
 * fall on the same characters show the one that lies farther from the plane, and
 * the legend says how many are not shown.  Where there are more points than characters
 * (a scan) each character shows the mean of the heights that fall on it.
 *
 *   out        the map and its legend are added, each line ended by a line break
 *   n          points; 0 draws nothing
 *   p[n]       places, mm
 *   z[n]       heights, mm, any datum; NaN: not seen
 *   panel      the frame, mm; grown to hold every point
 *   u          standard uncertainty of a height, mm: levels are never finer.  NaN
 *              or 0: a tenth of the range
 *   system     for the legend
 */
BT_API void bt_map_draw(struct bt_buffer *out, size_t n, const struct bt_point p[],
                        const double z[], const struct bt_rectangle *panel, double u,
                        enum bt_system system);

#endif
