/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_FIT_WARP_H
#define BENCHTRUE_FIT_WARP_H

#include "benchtrue/base/measured.h"
#include "benchtrue/export.h"

/*
 * What has to come off a warped face to make it flat.
 *
 * With a and b from -1 to 1 along and across, a face with bow B, cup C and twist T (the
 * fourth corner from the plane of the other three) is taken as
 *
 *   f(a, b) = -B a^2 - C b^2 + T/4 a b
 *
 * The least depth that reaches every place is the width of its minimum zone.  f is the
 * same after half a turn about the middle, and the width of the zone is a convex
 * function of the plane's tilt, so that the plane without tilt is the best one: the
 * width is max f - min f over the rectangle.  A taper is a tilt and adds nothing.
 *
 * A part of the board has the same shape with B (l/L)^2, C (w/W)^2, T (l/L)(w/W),
 * wherever it is taken from.  Warp that is no such curve (a kink, bow at one end) is
 * not described by it.
 */
struct bt_warp {
    double bow, cup, twist; /* mm; crowned or hollow by their sign, NaN counts as 0 */
};

/* Width of the minimum zone, mm, of a face so curved, signs as they are; infinite where
 * a value is. */
BT_API double bt_warp_zone(const struct bt_warp *warp);

/* The most that the sizes allow, whatever their signs: what is known where only sizes
 * were read.  That is bow and cup hollow on one face; on opposite faces it is never
 * more (found by trying a million, held to by a test). */
BT_API double bt_warp_zone_most(const struct bt_warp *warp);

/* The warp of a part of the board: length and width as a share of the whole, 0 to 1. */
BT_API struct bt_warp bt_warp_part(const struct bt_warp *warp, double length,
                                   double width);

/*
 * bt_warp_zone_most of a part, with the standard uncertainty that those of the sizes
 * make it (first order, the readings independent; where the width has a kink, as at a
 * size of 0, the steeper side counts).
 *
 *   u  of each size, mm, >= 0; NaN counts as 0
 */
BT_API struct bt_measured bt_warp_part_zone(const struct bt_warp *warp,
                                            const struct bt_warp *u, double length,
                                            double width);

#endif
