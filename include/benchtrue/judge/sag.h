/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_JUDGE_SAG_H
#define BENCHTRUE_JUDGE_SAG_H

#include <stddef.h>

#include "benchtrue/base/status.h"

/*
 * How far a panel sags under its own weight while it is read: a strip of it as a beam
 * (Euler-Bernoulli) on rigid supports of one height, which can only push.  Lengths in
 * mm, E in MPa, density in kg/m3.  Width does not enter: weight and stiffness both grow
 * with it.
 */

enum bt_lying {
    BT_LYING_UNKNOWN,    /* not stated */
    BT_LYING_FLAT_BENCH, /* supported everywhere: no sag */
    BT_LYING_ON_EDGE,    /* its weight acts in its plane: no sag */
    BT_LYING_ACROSS,     /* on battens across the grain, each as long as the width */
    BT_LYING_ALONG       /* on rails along the grain, each as long as the panel */
};

/* g, m/s2: standard acceleration of free fall (3rd CGPM, 1901). */
#define BT_SAG_GRAVITY 9.80665

/* A strip between its supports, in the direction in which it bends. */
struct bt_sag_request {
    double length;         /* of the strip: the panel's length on battens, its width on
                              rails, > 0 */
    double thickness;      /* > 0 */
    double E;              /* along the strip, > 0 */
    double density;        /* with its moisture, > 0 */
    size_t nsupport;       /* 1 or more */
    const double *support; /* [nsupport] ascending, within 0 to length */
};

/*
 * Heights that its weight gives to places along the strip, over the line of the
 * supports: negative where it hangs, 0 on the supports that carry.
 *
 *   at[n]  places, mm, within 0 to length
 *   z[n]   out, untouched on error
 *
 * Supports that the strip lifts off carry nothing.  With one support, or with all that
 * carry on one side of the middle, it would tip over.
 *
 * Exact for a beam of even section: cubic elements between supports and ends plus the
 * uniform load's own quartic.  Source: reference/beams.csv (uniform load, supports at
 * the ends, least-sag points, two equal spans).
 *
 * Returns BT_OK; BT_EINPUT (not finite, not > 0, supports out of order or beyond the
 * ends, it tips over: row is the support; a place beyond the ends: row is the place);
 * BT_ESINGULAR (rounding alone decides which supports carry); BT_ENOMEM.
 */
BT_API enum bt_status bt_sag_heights(const struct bt_sag_request *request, size_t n,
                                     const double at[], double z[],
                                     struct bt_error *err);

/* Most that the strip can sag on two supports at its ends: 5 q L^4/(384 E I), mm, > 0;
 * NaN where an argument is not > 0. */
BT_API double bt_sag_most(double length, double thickness, double E, double density);

/*
 * Where to put two supports so that it sags least: middle and ends then hang by the
 * same (overhang 0.223149 of the length, reference/beams.csv).
 *
 *   at[2]  out
 *
 * Returns the sag that is left, mm; NaN where an argument is not > 0 (at untouched).
 */
BT_API double bt_sag_least(double length, double thickness, double E, double density,
                           double at[2]);

#endif
