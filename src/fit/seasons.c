/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/fit/seasons.h"

#include <math.h>

#include "benchtrue/wood/climate.h"

static bool is_moisture(double percent)
{
    return percent >= 0 && percent <= BT_SEASON_MOISTURE_MOST;
}

static bool is_u(double u)
{
    return u >= 0 && isfinite(u);
}

static enum bt_status check(const struct bt_seasons *s, struct bt_error *err)
{
    const double moisture[] = {s->now, s->driest, s->dampest};

    if (s->n == 0)
        return bt_error_set(err, BT_EINPUT, 0, 0, "a panel has one board at least");
    for (size_t i = 0; i < sizeof moisture / sizeof *moisture; i++) {
        if (isfinite(moisture[i]) && moisture[i] > BT_SEASON_MOISTURE_MOST)
            return bt_error_set(
                err, BT_EINPUT, 0, 0,
                "wood at %.0f %% is too wet to be fitted: let it dry to "
                "the room first",
                moisture[i]);
        if (!is_moisture(moisture[i]))
            return bt_error_set(err, BT_EINPUT, 0, 0,
                                "the moisture must be 0 %% to 30 %%");
    }
    if (s->dampest < s->driest)
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "the dampest is drier than the driest");
    if (!is_u(s->u_driest) || !is_u(s->u_dampest) || !is_u(s->u_now) ||
        !isfinite(s->fixed))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "u of a moisture must be 0 or more, and the fixed line a "
                            "number");
    return BT_OK;
}

/* Sums over the boards. */
struct sums {
    double dry, damp;
    double scatter_dry, scatter_damp; /* signed as the changes: one tree's wood */
    double rate;                      /* mm per percent */
};

static double signed_u(const struct bt_movement *m)
{
    return copysign(m->u, m->change);
}

static enum bt_status add_board(const struct bt_seasons *s, size_t i, double width,
                                struct sums *sums, struct bt_season_change *out,
                                struct bt_error *err)
{
    const struct bt_seasons_board *b = &s->board[i];
    struct bt_movement dry, damp, one;
    enum bt_status status =
        bt_movement_of_board(b->wood, width, &b->angle, s->now, s->driest, &dry, err);

    if (status == BT_OK)
        status = bt_movement_of_board(b->wood, width, &b->angle, s->now, s->dampest,
                                      &damp, err);
    /* the rate between 9 % and 10 %: as good as any inside the range */
    if (status == BT_OK)
        status = bt_movement_of_board(b->wood, width, &b->angle, 9, 10, &one, err);
    if (status != BT_OK) {
        if (err)
            err->row = i;
        return status;
    }
    sums->dry += dry.change;
    sums->damp += damp.change;
    sums->scatter_dry += signed_u(&dry);
    sums->scatter_damp += signed_u(&damp);
    sums->rate += one.change;
    out->outside |= dry.outside || damp.outside;
    out->saturated |= dry.saturated || damp.saturated;
    if (dry.form == BT_MOVEMENT_LONG || damp.form == BT_MOVEMENT_LONG)
        out->form = BT_MOVEMENT_LONG;
    return BT_OK;
}

static void finish(const struct bt_seasons *s, const struct sums *sums,
                   struct bt_season_change *out)
{
    out->dry = sums->dry;
    out->damp = sums->damp;
    out->range = sums->damp - sums->dry;
    out->scatter = fabs(sums->scatter_damp - sums->scatter_dry);
    out->u_dry = hypot(sums->scatter_dry, sums->rate * hypot(s->u_driest, s->u_now));
    out->u_damp = hypot(sums->scatter_damp, sums->rate * hypot(s->u_dampest, s->u_now));
    out->u_range = hypot(out->scatter, sums->rate * hypot(s->u_driest, s->u_dampest));
}

enum bt_status bt_seasons_between(const struct bt_seasons *seasons, double from,
                                  double to, struct bt_season_change *out,
                                  struct bt_error *err)
{
    struct bt_season_change change = {.form = BT_MOVEMENT_COEFFICIENT};
    struct sums sums = {0};
    double y = 0;
    enum bt_status status = check(seasons, err);

    if (status == BT_OK && (isnan(from) || isnan(to)))
        status = bt_error_set(err, BT_EINPUT, 0, 0, "a line of the panel is no number");
    for (size_t i = 0; status == BT_OK && i < seasons->n; i++) {
        const double width = seasons->board[i].width, end = y + width;
        const double part = fmin(fmax(from, to), end) - fmax(fmin(from, to), y);

        /* a board that is no board is refused wherever the lines are */
        if (!(width > 0) || isinf(width))
            status = bt_error_set(err, BT_EINPUT, i, 0, "the width must be over 0 mm");
        else if (part > 0)
            status = add_board(seasons, i, part, &sums, &change, err);
        y = end;
    }
    if (status != BT_OK)
        return status;
    finish(seasons, &sums, &change);
    *out = change;
    return BT_OK;
}

enum bt_status bt_seasons_width(const struct bt_seasons *seasons,
                                struct bt_season_change *out, struct bt_error *err)
{
    return bt_seasons_between(seasons, -INFINITY, INFINITY, out, err);
}

enum bt_status bt_seasons_shift(const struct bt_seasons *seasons, double y,
                                struct bt_season_change *out, struct bt_error *err)
{
    struct bt_season_change change;
    const enum bt_status status =
        bt_seasons_between(seasons, seasons->fixed, y, &change, err);

    if (status != BT_OK)
        return status;
    /* behind the line wider wood moves to the back */
    if (y < seasons->fixed) {
        change.dry = -change.dry;
        change.damp = -change.damp;
        change.range = -change.range;
    }
    *out = change;
    return BT_OK;
}

struct bt_season_change bt_seasons_along(const struct bt_seasons *seasons,
                                         double length)
{
    struct bt_season_change change = {.form = BT_MOVEMENT_COEFFICIENT};
    const double dry = seasons->driest - seasons->now;
    const double damp = seasons->dampest - seasons->now;
    struct sums sums;

    if (!(length > 0) || isinf(length))
        length = NAN;
    sums = (struct sums){.dry = length * BT_SEASONS_ALONG * dry,
                         .damp = length * BT_SEASONS_ALONG * damp,
                         .scatter_dry = length * BT_SEASONS_ALONG_U * dry,
                         .scatter_damp = length * BT_SEASONS_ALONG_U * damp,
                         .rate = length * BT_SEASONS_ALONG};
    finish(seasons, &sums, &change);
    return change;
}
