/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BT_SURFACE_LOOSE_H
#define BT_SURFACE_LOOSE_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/surface/readings.h"

/*
 * Readings that hang loose: a line that shares fewer than two places with the rest, a
 * bar or level with two places that nothing else reads, winding sticks with two such
 * places. They say nothing of the panel, but their places could move, and with them the
 * plane of all places; so they are left out before the adjustment, and told.
 *
 * Nothing counts as loose (loose[] all false) where what is left would not reach as far
 * as the readings do, or has no more than half of the places: then the readings do not
 * hang together at all, which is another matter.  Sticks are loose wherever there are
 * other readings: they show twist alone, and bt_form_fit takes it from them.
 *
 *   loose[r->nobs]  out
 *   n               out: how many
 *
 * Returns BT_OK or BT_ENOMEM.
 */
enum bt_status bt_loose_find(const struct bt_readings *r, bool loose[], size_t *n);

/*
 * The readings that are not loose, with the places that they have; free with
 * bt_readings_clear.
 *
 *   from[r->nobs]  out: for each reading of `used` its index in r
 */
enum bt_status bt_loose_leave_out(const struct bt_readings *r, const bool loose[],
                                  struct bt_readings *used, size_t from[]);

#endif
