/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/fit/fixings.h"

#include <gsl/gsl_cdf.h>
#include <math.h>

#define QUARTER_PI 0.78539816339744831

double bt_stadium_reach(double straight, double radius, double angle)
{
    const double half = straight / 2, c = cos(angle), s = sin(angle);

    if (!(straight >= 0) || !(radius >= 0))
        return NAN;
    /* out by the straight side, else by the round end */
    if (s > 0 && radius * c <= half * s)
        return radius / s;
    return half * c + sqrt(fmax(0, radius * radius - half * half * s * s));
}

/* A width that is not stated fits the screw. */
static double slot_travel(const struct bt_fixing *f)
{
    const double screw = isnan(f->screw) ? 0 : f->screw;
    const double width = isnan(f->hole) ? screw : f->hole;
    const double angle = isnan(f->direction) ? 0 : f->direction;

    if (isnan(f->slot) || (isnan(f->screw) && isnan(f->hole)))
        return NAN;
    return 2 * bt_stadium_reach(f->slot - width, (width - screw) / 2, angle);
}

static double hole_travel(const struct bt_fixing *f)
{
    const double room = f->hole - f->screw;

    return room > BT_FIXING_YIELDS ? room : BT_FIXING_YIELDS;
}

static bool points_along(const struct bt_fixing *f)
{
    return f->direction > QUARTER_PI;
}

static double travel_of(const struct bt_fixing *f)
{
    switch (f->kind) {
    case BT_FIXING_ROUND_HOLE:
        return hole_travel(f);
    case BT_FIXING_SLOT:
        return slot_travel(f);
    case BT_FIXING_FIGURE_EIGHT:
        return isnan(f->travel) ? 2 * f->arm * sin(BT_FIXING_SWING) : f->travel;
    case BT_FIXING_CLIP:
    case BT_FIXING_BUTTON:
        if (!isnan(f->travel))
            return f->travel;
        /* NaN stays NaN: fmax would hide it */
        return points_along(f) ? INFINITY
               : isnan(f->arm) ? NAN
                               : fmax(0, f->arm - BT_FIXING_TONGUE_HOLD);
    case BT_FIXING_BRACKET:
        if (!isnan(f->travel))
            return f->travel;
        return isnan(f->slot) ? hole_travel(f) : slot_travel(f);
    case BT_FIXING_KINDS:
        break;
    }
    return NAN;
}

/* 1 and 0 where it is certain. */
static double p_above(double left, double u)
{
    if (u > 0)
        return gsl_cdf_ugaussian_P(left / u);
    return left >= 0 ? 1 : 0;
}

/* Where the panel goes from today, and how sure that is. */
static void take_need(const struct bt_season_change *c, struct bt_fixing_way *way,
                      double *u_front, double *u_back)
{
    const double high = fmax(c->dry, c->damp), low = fmin(c->dry, c->damp);

    *u_front = c->damp > c->dry ? c->u_damp : c->u_dry;
    *u_back = c->damp > c->dry ? c->u_dry : c->u_damp;
    way->to_front = fmax(0, high);
    way->to_back = fmax(0, -low);
    way->need = way->to_front + way->to_back;
    way->u_need = high > 0 && low < 0 ? c->u_range : high > 0 ? *u_front : *u_back;
    if (isnan(c->dry) || isnan(c->damp))
        way->to_front = way->to_back = way->need = way->u_need = NAN;
}

static void take_left(const struct bt_fixing *f, struct bt_fixing_way *way,
                      double u_front, double u_back)
{
    way->at_best = (way->to_back - way->to_front) / 2;
    way->at = isnan(f->at) ? way->at_best : f->at;
    way->left_front = way->travel / 2 - way->at - way->to_front;
    way->left_back = way->travel / 2 + way->at - way->to_back;
    if (isnan(way->travel) || isnan(way->need))
        way->p_enough = NAN;
    else if (isnan(f->at))
        way->p_enough = p_above(way->travel - way->need, way->u_need);
    else
        way->p_enough = fmax(0, p_above(way->left_front, u_front) +
                                    p_above(way->left_back, u_back) - 1);
}

static double setback_of(const struct bt_fixing *f, const struct bt_fixing_way *way,
                         int outwards, double margin)
{
    const double deeper = outwards > 0 ? way->to_front : way->to_back;

    if ((f->kind != BT_FIXING_CLIP && f->kind != BT_FIXING_BUTTON) || points_along(f))
        return NAN;
    /* what is left over goes half to each side */
    return deeper + (way->travel > way->need ? (way->travel - way->need) / 2 : margin);
}

struct bt_fixing_way bt_fixing_way(const struct bt_fixing *fixing,
                                   const struct bt_season_change *change, int outwards,
                                   double confidence)
{
    struct bt_fixing_way way = {.travel = travel_of(fixing)};
    const double quantile = gsl_cdf_ugaussian_Pinv(confidence);
    double u_front, u_back, margin;

    take_need(change, &way, &u_front, &u_back);
    margin = quantile * way.u_need;
    way.slot_needed = (isnan(fixing->screw) ? 0 : fixing->screw) + way.need + margin;
    take_left(fixing, &way, u_front, u_back);
    way.setback = setback_of(fixing, &way, outwards, margin / 2);
    way.along = (fixing->kind == BT_FIXING_SLOT || fixing->kind == BT_FIXING_BRACKET) &&
                !isnan(fixing->slot) && points_along(fixing);
    if (fixing->kind == BT_FIXING_SLOT && points_along(fixing))
        way.along = true;
    way.off_line =
        fixing->kind == BT_FIXING_ROUND_HOLE && !(way.p_enough >= confidence);
    return way;
}

enum bt_status bt_fixing_pair_find(const struct bt_seasons *seasons, size_t n,
                                   const struct bt_fixing fixing[],
                                   const struct bt_fixing_way way[],
                                   struct bt_fixing_pair *out, struct bt_error *err)
{
    struct bt_fixing_pair worst = {.movement = NAN, .u = NAN, .gives = NAN};
    enum bt_status status = BT_OK;

    for (size_t i = 0; status == BT_OK && i < n; i++)
        for (size_t j = 0; status == BT_OK && j < n; j++) {
            const double apart = fixing[j].y - fixing[i].y;
            const double gives = way[i].travel + way[j].travel;
            struct bt_season_change change;
            double strain;

            if (!(apart > 0) || !isfinite(gives))
                continue;
            status =
                bt_seasons_between(seasons, fixing[i].y, fixing[j].y, &change, err);
            strain = (change.range - gives) / apart;
            if (status == BT_OK && strain > worst.strain)
                worst = (struct bt_fixing_pair){
                    true, i, j, apart, change.range, change.u_range, gives, strain};
        }
    if (status == BT_OK)
        *out = worst;
    return status;
}
