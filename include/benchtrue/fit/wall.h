/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_FIT_WALL_H
#define BENCHTRUE_FIT_WALL_H

#include <stddef.h>

#include "benchtrue/base/measured.h"
#include "benchtrue/base/status.h"

/*
 * A wall as the curve that it is: how far it lies behind a straight batten, at stations
 * along it.
 */
struct bt_wall_station {
    double at;     /* mm along the wall from its first corner */
    double offset; /* mm: behind the line through the first and the last station; in
                      front of it negative */
    double u;      /* of the reading, mm */
    double
        home; /* gap to a straight edge pushed home, mm, >= 0; NaN below 3 stations */
    double scribe; /* what comes off an edge here that was straight and is scribed to
                      the wall, mm, >= 0; NaN below 3 stations */
};

struct bt_wall_profile {
    size_t n;
    struct bt_wall_station *station; /* ascending, no two at one place */
    /* The largest gap of the straight edge that follows the wall best: the width,
     * square to the batten, of the narrowest zone between two parallel lines that holds
     * all stations.  So much comes off at most where the edge is scribed. */
    struct bt_measured zone;
    size_t
        zone_at[3]; /* the stations that decide it: two on one line, one on the other */
    /* The largest gap of a straight edge pushed home: it rests on the two high points
     * between which the middle of the stations lies. */
    struct bt_measured home;
    size_t rest[2]; /* the stations that it rests on */
    size_t widest;  /* the station with that gap */
};

/*
 * The profile of one wall.  Place and tilt of the batten do not matter.
 *
 *   n              readings; 0 gives an empty profile
 *   at[n]          mm along the wall, any order, finite; a place that was read more
 * than once counts with the weighted mean reading[n]     mm, positive where the wall
 * lies behind the batten u[n]           standard uncertainty, mm, > 0 out            to
 * be freed with bt_wall_profile_clear, also after an error
 *
 * Below three places zone and home are not seen.  u of both: by propagation with the
 * deciding stations held.  Returns BT_OK, BT_EINPUT (row at fault: not finite, u not
 * above 0) or BT_ENOMEM.
 */
BT_API enum bt_status bt_wall_profile_find(size_t n, const double at[],
                                           const double reading[], const double u[],
                                           struct bt_wall_profile *out,
                                           struct bt_error *err);

/* Offset of the wall at a place, mm: straight between stations, 0 before the first and
 * after the last, and where there is no profile (also NULL). */
BT_API double bt_wall_profile_at(const struct bt_wall_profile *profile, double at);

BT_API void bt_wall_profile_clear(struct bt_wall_profile *profile);

#endif
