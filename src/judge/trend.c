/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/judge/trend.h"

#include <math.h>

struct bt_measured bt_trend_change(const struct bt_trend_point *from,
                                   const struct bt_trend_point *to, size_t nshared)
{
    struct bt_measured change = {NAN, NAN, false};
    double square = from->own * from->own + to->own * to->own;

    for (size_t k = 0; k < nshared; k++) {
        const double effect = to->shared[k] - from->shared[k];
        square += effect * effect;
    }
    if (isnan(to->value - from->value) || isnan(square))
        return change;
    change.value = to->value - from->value;
    change.u = sqrt(square);
    change.seen = true;
    return change;
}

const char *bt_trend_verdict_text(enum bt_trend_verdict verdict)
{
    switch (verdict) {
    case BT_TREND_SETTLED:
        return "settled";
    case BT_TREND_MOVED:
        return "moved";
    case BT_TREND_CANNOT_TELL:
        return "cannot tell";
    case BT_TREND_NOT_SEEN:
        return "not seen";
    }
    return "unknown verdict";
}

enum bt_trend_verdict bt_trend_judge(const struct bt_measured *change, double matters)
{
    if (!change->seen || isnan(change->value) || isnan(change->u))
        return BT_TREND_NOT_SEEN;
    if (fabs(change->value) > 2 * change->u)
        return BT_TREND_MOVED;
    return fabs(change->value) + 2 * change->u < matters ? BT_TREND_SETTLED
                                                         : BT_TREND_CANNOT_TELL;
}

/* A figure of the fitted curve by its slopes in end, left and ln tau. */
static struct bt_measured figure_of(const struct bt_trend_rest *rest, double value,
                                    const double slope[3])
{
    double square = 0;

    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            square += slope[i] * rest->covariance[i][j] * slope[j];
    return (struct bt_measured){value, sqrt(fmax(square, 0)), true};
}

struct bt_measured bt_trend_value(const struct bt_trend_rest *rest, double day)
{
    const double x = (day - rest->day) / rest->tau, e = exp(-x);
    const double slope[3] = {1, -e, -rest->left * e * x};

    return figure_of(rest, rest->end - rest->left * e, slope);
}

struct bt_measured bt_trend_left(const struct bt_trend_rest *rest, double day)
{
    const double x = (day - rest->day) / rest->tau, e = exp(-x);
    const double slope[3] = {0, e, rest->left * e * x};

    return figure_of(rest, rest->left * e, slope);
}

struct bt_measured bt_trend_end(const struct bt_trend_rest *rest)
{
    const double slope[3] = {1, 0, 0};

    return figure_of(rest, rest->end, slope);
}

double bt_trend_wait(const struct bt_trend_rest *rest, double within)
{
    const double left = fabs(bt_trend_left(rest, rest->last).value);

    if (!(within > 0))
        return NAN;
    if (!(left > within))
        return 1;
    return fmax(1, rest->tau * fmin(log(left / within), BT_TREND_WAIT_MOST));
}
