/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/wood/drying.h"

#include <math.h>

#include "benchtrue/wood/wood.h"

static const double pi = 3.14159265358979323846;
static const double seconds_a_day = 86400.0;

/* The share left of a sheet whose faces change at once, by the two series: the one in
 * exp(-(2i+1)^2 T) converges fast but for small T, where the other, in the square root
 * of T, is exact to the last digit with one term (Crank, from memory). */
double bt_drying_left(double t, double tau)
{
    double ratio = t / tau, sum = 0.0;

    if (!(t >= 0.0) || !(tau > 0.0) || !isfinite(tau))
        return NAN;
    if (ratio < 0.25) {
        /* 1 - 4 sqrt(D t/L^2) (1/sqrt(pi) + 2 sum (-1)^n ierfc(n L/(2 sqrt(D t)))),
         * D t/L^2 = ratio/pi^2: at 0.25 the first ierfc is below 1e-5 and is kept */
        double f = sqrt(ratio) / pi, z = f > 0.0 ? 1.0 / (2.0 * f) : 40.0;
        for (int n = 1; n <= 3; n++) {
            double x = n * z;
            double ierfc = exp(-x * x) / sqrt(pi) - x * erfc(x);
            sum += n % 2 ? -ierfc : ierfc;
        }
        return 1.0 - 4.0 * f * (1.0 / sqrt(pi) + 2.0 * sum);
    }
    for (int i = 0; i < 12; i++) {
        double k = 2.0 * i + 1.0;
        sum += exp(-k * k * ratio) / (k * k);
    }
    return 8.0 / (pi * pi) * sum;
}

double bt_drying_time(double share)
{
    double low = 0.0, high = 1.0;

    if (!(share > 0.0 && share <= 1.0))
        return NAN;
    if (!(share < 1.0))
        return 0.0;
    while (bt_drying_left(high, 1.0) > share)
        high *= 2.0;
    /* past the last bit */
    for (int i = 0; i < 80; i++) {
        double middle = 0.5 * (low + high);
        if (bt_drying_left(middle, 1.0) > share)
            low = middle;
        else
            high = middle;
    }
    return high;
}

static struct bt_days times(struct bt_days days, double factor)
{
    return (struct bt_days){days.least * factor, days.middle * factor,
                            days.most * factor, days.u * factor};
}

static const struct bt_days none = {0.0, 0.0, 0.0, 0.0};

enum bt_status bt_drying_constant(double thickness, bool one_face, struct bt_days *tau,
                                  struct bt_error *err)
{
    double length = (one_face ? 2.0 : 1.0) * thickness * 1e-3, one;
    double least = bt_wood_rule(BT_RULE_DIFFUSION_LEAST)->value;
    double most = bt_wood_rule(BT_RULE_DIFFUSION_MOST)->value;

    if (!(thickness > 0.0) || isinf(thickness))
        return bt_error_set(err, BT_EINPUT, 0, 0, "the thickness must be over 0 mm");
    one = length * length / (pi * pi) / seconds_a_day;
    tau->least = one / most;
    tau->most = one / least;
    tau->middle = one / sqrt(least * most);
    tau->u = tau->middle * log(most / least) / sqrt(12.0);
    return BT_OK;
}

long bt_drying_rest(double thickness)
{
    struct bt_days tau;

    if (bt_drying_constant(thickness, false, &tau, NULL) != BT_OK)
        return 0;
    return (long)ceil(fmin(tau.middle, 1e6));
}

static bool is_moisture(double m)
{
    return m >= 0.0 && m <= 250.0;
}

enum bt_status bt_drying_wait(double thickness, bool one_face, double now, double end,
                              double within, struct bt_days *days, struct bt_error *err)
{
    struct bt_days tau;
    enum bt_status status;

    if (!is_moisture(now) || !is_moisture(end))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "the moisture must be 0 %% to 250 %%");
    if (!(within > 0.0) || isinf(within))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "within must be over 0 %% of moisture");
    status = bt_drying_constant(thickness, one_face, &tau, err);
    if (status != BT_OK)
        return status;
    *days = fabs(now - end) <= within
                ? none
                : times(tau, bt_drying_time(within / fabs(now - end)));
    return BT_OK;
}
