/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_SURFACE_FAR_OFF_H
#define BENCHTRUE_SURFACE_FAR_OFF_H

#include <stddef.h>

#include "benchtrue/base/status.h"

/*
 * Points of a scan whose height no panel can have: a pencil on the wood, a slip of the
 * decimal point.  Named, never taken out.
 */

/* So many robust standard deviations: the form of a panel makes heights about its mean
 * plane that end at two or three of them, noise of 10^6 points at five. */
#define BT_FAR_OFF_DEVIATIONS 12.0

enum { BT_FAR_OFF_SHOWN = 20 };

struct bt_far_off {
    size_t n;                       /* points that are far off */
    size_t point[BT_FAR_OFF_SHOWN]; /* indices of the first of them, ascending */
    double middle;                  /* mm, median of the residuals */
    double limit;                   /* mm, from there */
};

/*
 *   residual[n]  heights over their least-squares plane, mm, finite
 *   u            standard uncertainty of each, mm: the robust standard deviation is
 *                taken as no less, so that heights rounded to one value are not
 *                measured by 0
 *   out          untouched on error
 *
 * The robust standard deviation is 1.4826 times the median absolute deviation from the
 * median (1/1.4826 is the 75 % point of the standard normal distribution), of 65,536
 * residuals taken evenly where there are more.  A height so far off that it tilts the
 * plane of a few points hides itself: below some dozen points nothing need be found.
 * n 0 gives n 0.  Returns BT_OK or BT_ENOMEM.
 */
BT_API enum bt_status bt_far_off_find(size_t n, const double residual[], double u,
                                      struct bt_far_off *out);

#endif
