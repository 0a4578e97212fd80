/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/wood/climate.h"

#include <math.h>

#include "benchtrue/wood/moisture.h"

struct bt_climate bt_climate_none(void)
{
    const struct bt_season none = {
        .moisture = NAN, .humidity = NAN, .temperature = NAN};

    return (struct bt_climate){.driest = none, .dampest = none, .now = none};
}

enum bt_status bt_season_of_air(double temperature, double humidity,
                                struct bt_season *season, struct bt_error *err)
{
    double moisture;
    enum bt_status status = bt_moisture_of_air(temperature, humidity, &moisture, err);

    if (status == BT_OK)
        *season = (struct bt_season){
            .moisture = moisture, .humidity = humidity, .temperature = temperature};
    return status;
}
