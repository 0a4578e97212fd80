/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/places.h"

#include <math.h>

enum bt_status places_check(const struct bt_readings *readings, struct bt_error *err)
{
    if (readings->npoint == 0)
        return bt_error_set(err, BT_EINPUT, 0, 0, "no place was read: nothing to draw");
    for (size_t i = 0; i < readings->npoint; i++)
        if (!(fabs(readings->point[i].x) <= PLACE_FARTHEST) ||
            !(fabs(readings->point[i].y) <= PLACE_FARTHEST))
            return bt_error_set(err, BT_EINPUT, i, 0,
                                "a place is not finite, or over 1 km away");
    return BT_OK;
}
