/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_SURFACE_RIPPLE_H
#define BENCHTRUE_SURFACE_RIPPLE_H

#include <stddef.h>

#include "benchtrue/base/status.h"
#include "benchtrue/surface/form.h"

/*
 * Whether the width of a panel is bent board by board, each board one way or the other,
 * rather than in one smooth arc.
 */
struct bt_ripple {
    struct bt_measured curvature; /* 1/mm, of a board of sign +1: crowned positive */
    double ahead; /* half of AICc(smooth arc) - AICc(ripple): over 0 where the ripple
                     explains the readings better; NaN where one of them is not seen */
};

/*
 * plane + bow + twist + ripple against plane + bow + twist + cup, both fitted to the
 * readings as bt_facets_fit does.  The ripple has no kink at the joints, for edges stay
 * glued as they were; its curvature is `curvature` times the board's sign.
 *
 *   joint[n]      y of the joints, mm, strictly ascending, inside the rectangle
 *   sign[n + 1]   +1 or -1 of each board from the back
 *
 * Signs that are all alike make it the smooth arc itself: ahead is then 0.  Of a scan
 * nothing is seen.  Returns what bt_facets_fit returns; BT_EINPUT also for a sign that
 * is neither (row is the board).
 */
BT_API enum bt_status bt_ripple_fit(const struct bt_network *net, size_t n,
                                    const double joint[], const int sign[],
                                    const struct bt_rectangle *rectangle,
                                    struct bt_ripple *ripple, struct bt_error *err);

#endif
