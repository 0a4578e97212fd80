/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_WOOD_CLIMATE_H
#define BENCHTRUE_WOOD_CLIMATE_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/base/status.h"

/*
 * The air that a piece lives in through the year, and the moisture that its wood comes
 * to in it.
 */

/* Moisture of wood in a room, percent: above it the air was meant. */
#define BT_SEASON_MOISTURE_MOST 30.0

struct bt_season {
    double moisture;              /* percent of dry mass; NaN not stated */
    double humidity, temperature; /* of the air that it follows from, percent and C; NaN
                                     where the moisture itself was stated */
};

struct bt_climate {
    struct bt_season driest, dampest, now;
};

/* Nothing stated. */
BT_API struct bt_climate bt_climate_none(void);

/* The season of an air: bt_moisture_of_air, whose status this returns; season is
 * untouched on error. */
BT_API enum bt_status bt_season_of_air(double temperature, double humidity,
                                       struct bt_season *season, struct bt_error *err);

#endif
