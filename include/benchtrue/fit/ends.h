/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_FIT_ENDS_H
#define BENCHTRUE_FIT_ENDS_H

#include "benchtrue/fit/fixing.h"
#include "benchtrue/fit/seasons.h"

/*
 * What goes across the ends of a panel or round it: breadboard ends and frames.  They
 * hardly change along their own grain, so the panel's whole movement shows at them.
 * Lengths in mm.
 */

/* Of one long edge of the panel. */
struct bt_edge_room {
    double outwards,
        u_outwards; /* how far the edge goes beyond where it is today, >= 0 */
    double inwards, u_inwards; /* and how far it draws back, >= 0 */
    double room_needed;  /* beyond the edge (frame) or the tongue (breadboard) today, at
                            the confidence: outwards and the quantile times its u */
    double depth_needed; /* of a frame's groove: room, what draws back, at the
                            confidence, and BT_FRAME_HOLD; NaN otherwise */
    double p_room;  /* probability that the stated room is enough; NaN not stated */
    double p_holds; /* that the edge stays BT_FRAME_HOLD in the stated groove; NaN */
};

/* What has to stay of a panel's edge in its groove (common practice, no source). */
#define BT_FRAME_HOLD 3.0

struct bt_ends_room {
    struct bt_edge_room back, front;
};

/*
 *   back, front  bt_seasons_shift at the two edges
 *   confidence   0.5 < c < 1
 *
 * For ends of kind none everything that is about them is NaN.
 */
BT_API struct bt_ends_room bt_ends_room(const struct bt_fixing_setup *setup,
                                        const struct bt_season_change *back,
                                        const struct bt_season_change *front,
                                        double confidence);

/* ---- joint to a wall ---- */

/* Classes of sealants by ISO 11600:2002: how far they may be stretched and pressed, as
 * a share of the joint's width: 0.075, 0.125, 0.2, 0.25. */

/* A joint between an edge of the piece and a wall. */
struct bt_seal {
    double joint;             /* its width today, > 0 */
    double narrowest, widest; /* through the year */
    double u_narrowest, u_widest;
    double stretched, pressed; /* of the sealant, share of the width today, >= 0 */
    double takes;              /* share; NaN not stated */
    double joint_needed;       /* the least width today whose sealant takes it, at the
                                  confidence; NaN without `takes` */
    double p_takes; /* probability that the sealant takes it; NaN without `takes` */
    double p_clear; /* that the piece does not touch the wall */
};

/*
 *   joint       width today, mm, > 0
 *   takes       share, > 0; NaN: no sealant, an open joint
 *   outwards, inwards, with u  how far the edge goes to the wall and away from it
 *
 * All NaN where joint is not > 0.
 */
BT_API struct bt_seal bt_seal_of(double joint, double takes, double outwards,
                                 double u_outwards, double inwards, double u_inwards,
                                 double confidence);

#endif
