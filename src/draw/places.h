/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_DRAW_PLACES_H
#define BENCHTRUE_DRAW_PLACES_H

#include "benchtrue/base/status.h"
#include "benchtrue/surface/readings.h"

/* Farthest place that is drawn, mm: a kilometre.  Beyond any panel, and far below where
 * squares of lengths and counts of cells overflow. */
#define PLACE_FARTHEST 1e6

/* BT_OK, or BT_EINPUT: no place, or one that is not finite or too far off (its row). */
enum bt_status places_check(const struct bt_readings *readings, struct bt_error *err);

#endif
