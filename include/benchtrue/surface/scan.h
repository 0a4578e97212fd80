/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_SURFACE_SCAN_H
#define BENCHTRUE_SURFACE_SCAN_H

#include <stddef.h>

#include "benchtrue/base/status.h"
#include "benchtrue/surface/flatness.h"
#include "benchtrue/surface/form.h"
#include "benchtrue/surface/plane.h"
#include "benchtrue/surface/readings.h"

/* Heights over one known reference, any number of them. */
struct bt_scan {
    size_t n;                 /* 3 or more */
    const struct bt_point *p; /* [n] mm, finite, not all on one line; the same place may
                                 come more than once */
    const double *z;          /* [n] mm, finite */
    double u;                 /* mm, standard uncertainty of each, independent; > 0 */
};

/* What bt_flatness_evaluate says of the same points as adjusted heights. */
struct bt_scan_figures {
    struct bt_plane plane; /* of the heights as given */
    struct bt_residual_figures residual;
    struct bt_form form;
};

/*
 * Least-squares plane, residual figures and form of a scan: what bt_plane_fit,
 * bt_form_fit and bt_flatness_evaluate find for points of equal and independent u,
 * without an adjustment.  Two visits to each point where the points are spread over a
 * face; a few more where they are few or nearly leave the plane or the form open.
 *
 *   scan         the points
 *   rectangle    the panel, over which u and v of the form run; its sides > 0
 *   figures      out.  u of peak, valley and range with the contacts held (the points
 *                that are highest and lowest), by the hat values of the plane; u of rms
 *                by its first derivatives.  Bow, cup or twist that the points do not
 *                determine are not seen, as in bt_form_fit.
 *   relative[n]  out, may be NULL; may be scan->z itself: z minus plane, mm
 *   u[n]         out, may be NULL: standard uncertainty of each of these, mm
 *
 * Where several points are highest or lowest the first counts, unless they differ by
 * a rounding.  Takes no memory.  Untouched on error.
 *
 * Returns BT_OK; BT_EINPUT (fewer than 3 points; not finite: row at fault; u not a
 * finite number above 0; rectangle without area or not finite; numbers too large to
 * compute with) or BT_ESINGULAR (all points on one line, as bt_plane_fit says).
 */
BT_API enum bt_status bt_scan_form(const struct bt_scan *scan,
                                   const struct bt_rectangle *rectangle,
                                   struct bt_scan_figures *figures, double relative[],
                                   double u[], struct bt_error *err);

#endif
