/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BT_SURFACE_SHARED_H
#define BT_SURFACE_SHARED_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/surface/readings.h"

/*
 * Errors that several readings share: the stated straightness of each straightedge, as
 * one hollow or crown along every line read with it.  A limit: standard uncertainty
 * limit/sqrt(3), JCGM 100:2008, 4.3.7.
 *
 *   group       in: 0 to begin; out: where to go on
 *   dy[r->nobs] out: what one standard uncertainty does to the readings, mm
 *
 * Returns false when there is no further one.
 */
bool bt_shared_next(const struct bt_readings *r, size_t *group, double dy[]);

#endif
