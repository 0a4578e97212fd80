/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/fit/ends.h"

#include <gsl/gsl_cdf.h>
#include <math.h>

static double p_above(double left, double u)
{
    if (isnan(left) || isnan(u))
        return NAN;
    if (u > 0)
        return gsl_cdf_ugaussian_P(left / u);
    return left >= 0 ? 1 : 0;
}

/* sign: 1 where outwards is towards the front. */
static void take_way(const struct bt_season_change *c, int sign,
                     struct bt_edge_room *room)
{
    const double dry = sign * c->dry, damp = sign * c->damp;
    const bool damp_out = damp > dry;

    room->outwards = fmax(0, damp_out ? damp : dry);
    room->u_outwards = damp_out ? c->u_damp : c->u_dry;
    room->inwards = fmax(0, -(damp_out ? dry : damp));
    room->u_inwards = damp_out ? c->u_dry : c->u_damp;
}

static struct bt_edge_room room_of(const struct bt_fixing_setup *setup,
                                   const struct bt_season_change *c, int sign,
                                   double quantile)
{
    struct bt_edge_room room;
    double play = setup->ends_play;

    take_way(c, sign, &room);
    room.room_needed = room.depth_needed = room.p_room = room.p_holds = NAN;
    if (setup->ends == BT_ENDS_NONE)
        return room;
    room.room_needed = room.outwards + quantile * room.u_outwards;
    room.p_room = p_above(play - room.outwards, room.u_outwards);
    if (setup->ends != BT_ENDS_FRAME)
        return room;
    if (isnan(play))
        play = room.room_needed;
    room.depth_needed = play + room.inwards + quantile * room.u_inwards + BT_FRAME_HOLD;
    room.p_holds = p_above(setup->ends_width - play - room.inwards - BT_FRAME_HOLD,
                           room.u_inwards);
    return room;
}

struct bt_ends_room bt_ends_room(const struct bt_fixing_setup *setup,
                                 const struct bt_season_change *back,
                                 const struct bt_season_change *front,
                                 double confidence)
{
    const double quantile = gsl_cdf_ugaussian_Pinv(confidence);

    return (struct bt_ends_room){room_of(setup, back, -1, quantile),
                                 room_of(setup, front, 1, quantile)};
}

struct bt_seal bt_seal_of(double joint, double takes, double outwards,
                          double u_outwards, double inwards, double u_inwards,
                          double confidence)
{
    const double quantile = gsl_cdf_ugaussian_Pinv(confidence);
    struct bt_seal s = {.joint = joint, .takes = takes};
    double most_out, most_in;

    if (!(joint > 0))
        joint = s.joint = NAN;
    s.narrowest = joint - outwards;
    s.widest = joint + inwards;
    s.u_narrowest = u_outwards;
    s.u_widest = u_inwards;
    s.stretched = inwards / joint;
    s.pressed = outwards / joint;
    most_out = outwards + quantile * u_outwards;
    most_in = inwards + quantile * u_inwards;
    s.joint_needed = (most_out > most_in ? most_out : most_in) / takes;
    s.p_takes = fmax(0, p_above(takes * joint - outwards, u_outwards) +
                            p_above(takes * joint - inwards, u_inwards) - 1);
    s.p_clear = p_above(s.narrowest, u_outwards);
    if (isnan(takes) || isnan(joint))
        s.p_takes = NAN;
    return s;
}
