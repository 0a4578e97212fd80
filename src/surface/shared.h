/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BT_SURFACE_SHARED_H
#define BT_SURFACE_SHARED_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/surface/readings.h"

/*
 * Errors that several readings share and that are known beforehand: of each
 * straightedge one hollow or crown along every line read with it, with the u of its
 * line test or of its stated straightness (bt_corrections_known), and the panel's own
 * weight.
 *
 *   group       in: 0 to begin; out: where to go on, one more than a group that is read
 *               with the edge, r->ngroup + 1 for the own weight
 *   dy[r->nobs] out: what one standard uncertainty does to the readings, mm
 *
 * Returns false when there is no further one.
 */
bool bt_shared_next(const struct bt_readings *r, size_t *group, double dy[]);

#endif
