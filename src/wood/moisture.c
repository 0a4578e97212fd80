/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/wood/moisture.h"

#include <math.h>
#include <stdbool.h>
#include <stddef.h>

#include "wood/rules.h"

/* The equation at one temperature. */
struct curve {
    double w, k, k1, k2;
};

static struct curve curve_at(double t)
{
    const bt_emc_row *c = bt_emc_coefficients();
    double v[4];

    for (size_t i = 0; i < 4; i++)
        v[i] = c[i][0] + (c[i][1] + c[i][2] * t) * t;
    return (struct curve){v[0], v[1], v[2], v[3]};
}

/* h: relative humidity as a share */
static double moisture_of(const struct curve *c, double h)
{
    double a = c->k * h, b = c->k1 * a, d = c->k1 * c->k2 * a * a;

    return 1800.0 / c->w * (a / (1.0 - a) + (b + 2.0 * d) / (1.0 + b + d));
}

static bool temperature_fits(double t)
{
    return t >= BT_MOISTURE_COLDEST && t <= BT_MOISTURE_HOTTEST;
}

static enum bt_status refuse_temperature(struct bt_error *err)
{
    return bt_error_set(err, BT_EINPUT, 0, 0, "the temperature must be -1.2 C to 99 C");
}

enum bt_status bt_moisture_of_air(double temperature, double humidity, double *moisture,
                                  struct bt_error *err)
{
    struct curve c;

    if (!temperature_fits(temperature))
        return refuse_temperature(err);
    if (!(humidity >= 0.0 && humidity <= 100.0))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "the humidity must be 0 %% to 100 %%");
    c = curve_at(temperature);
    *moisture = moisture_of(&c, humidity / 100.0);
    return BT_OK;
}

enum bt_status bt_humidity_of_wood(double temperature, double moisture,
                                   double *humidity, struct bt_error *err)
{
    struct curve c;
    double low = 0.0, high = 1.0;

    if (!temperature_fits(temperature))
        return refuse_temperature(err);
    c = curve_at(temperature);
    if (!(moisture >= 0.0 && moisture <= moisture_of(&c, 1.0)))
        return bt_error_set(err, BT_EINPUT, 0, 0, "no air keeps wood at that moisture");
    /* the curve rises all the way, so halving finds the one place: 60 times is past the
     * last bit of the share */
    for (int i = 0; i < 60; i++) {
        double middle = 0.5 * (low + high);
        if (moisture_of(&c, middle) < moisture)
            low = middle;
        else
            high = middle;
    }
    *humidity = 100.0 * high;
    return BT_OK;
}
