/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_SURFACE_EXTREMES_H
#define BENCHTRUE_SURFACE_EXTREMES_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/base/status.h"
#include "benchtrue/surface/facets.h"
#include "benchtrue/surface/flatness.h"
#include "benchtrue/surface/straightedge.h"
#include "benchtrue/surface/zone.h"

/* A straightedge figure with its uncertainty. */
struct bt_edge_figure {
    struct bt_edge_result at; /* where; indices of points of flatness.used */
    struct bt_measured gap;   /* mm; u with the places held where the edge rests */
};

enum {
    BT_SPANS_MAX = 4,
    BT_OBLIQUES_MAX = 2,
    BT_EDGES_MAX = BT_SPANS_MAX * (BT_EDGE_DIRECTIONS + BT_OBLIQUES_MAX)
};

/* What is asked for beside the least-squares figures. */
struct bt_extremes_request {
    size_t nspan;
    double span[BT_SPANS_MAX]; /* mm, > 0; none: no straightedge figures */
    size_t ndirection;
    double direction[BT_OBLIQUES_MAX]; /* stated angles to the grain, rad from x towards
                                          y, laid on beside those of every panel */
    size_t njoint;
    const double *joint; /* [njoint] y of the glue joints as read, mm, ascending */
};

/* Zone, straightedge figures and facets of a surface. */
struct bt_extremes {
    bool zone_seen;
    struct bt_zone zone; /* indices of points of flatness.used */
    struct bt_measured
        width; /* mm: normal width of the zone, u with the contacts held */
    size_t nedge;
    struct bt_edge_figure
        edge[BT_EDGES_MAX];  /* span by span, each direction in order; behind them
                                span by span those at a stated angle */
    double band;             /* mm: places within half of it count as one line */
    struct bt_facets facets; /* owned */
};

/*
 * Evaluate what the adjusted heights show beyond the least-squares figures.
 *
 *   flatness  as bt_flatness_evaluate filled it
 *   request   what to look for
 *   out       to be freed with bt_extremes_clear, also after an error
 *
 * The zone is seen only where every height is.  Along lines the heights are those of
 * the places read, nothing is interpolated; those that an unseen shape moves are left
 * out. The band is 6 mm for readings (twice the default distance at which places are
 * one), for a scan half the mean distance of its points.  Facets need readings of an
 * adjustment: of a scan they are not seen.
 *
 * Returns BT_OK, BT_EINPUT (a span, angle or joint that is not usable) or BT_ENOMEM.
 */
BT_API enum bt_status bt_extremes_evaluate(const struct bt_flatness *flatness,
                                           const struct bt_extremes_request *request,
                                           struct bt_extremes *out,
                                           struct bt_error *err);

/* NULL is accepted. */
BT_API void bt_extremes_clear(struct bt_extremes *extremes);

/* The largest gap seen under an edge of that span (to 1e-9), NULL where none is seen.
 */
BT_API const struct bt_edge_figure *
bt_extremes_worst(const struct bt_extremes *extremes, double span);

#endif
